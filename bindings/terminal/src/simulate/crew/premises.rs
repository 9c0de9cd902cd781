//! The lineworker at the premises, and what electrician and customer say there.

use coldlug_core::{
    event::{Body, OwnSources, PictureTaken, Sha256Hex, StayBegun, StayEnded},
    quantity::{AssetId, Instant, RunId, StayId},
    sighting::{Lack, Seen, Speaker},
};

use coldlug_field::entry::Entry;

use super::{Crew, Halt, Who, site::TesterOf};
use crate::simulate::slip::Slip;

/// A picture that waits to be read by somebody else.
#[derive(Debug, Clone)]
pub(super) struct Picture {
    run: Option<RunId>,
    taken_at: Instant,
    photo: Sha256Hex,
    /// The house it was really taken at.
    house: String,
}

impl Crew<'_> {
    /// Goes to the premises, says so, and sees to the customer's own sources.
    pub(super) fn begin_stay(&mut self) -> Result<(), Halt> {
        if let Some(stay) = self.stay.take() {
            self.pass_s(30);
            self.write(Who::House, Body::StayEnded(StayEnded { stay }))?;
        }
        self.walk_to_house();
        let stay = StayId::new(self.name("stay"))?;
        self.write(Who::House, Body::StayBegun(StayBegun { stay: stay.clone() }))?;
        self.stay = Some(stay.clone());
        self.pass_s(90);
        if self.see_to_sources()? {
            self.sighting(Who::House, Seen::SourcesOff { stay })?;
        }
        Ok(())
    }

    /// The other worker goes to the premises, and whoever was there to the pad. What each reads
    /// with is shown to work again, on their own phone.
    pub(super) fn change_places(&mut self) -> Result<(), Halt> {
        self.pass_s(300);
        if let Some(stay) = self.stay.take() {
            self.write(Who::House, Body::StayEnded(StayEnded { stay }))?;
        }
        self.cast.change_places();
        self.begin_stay()?;
        self.prove_clamp()?;
        self.prove_tester(Who::Pad, TesterOf::Pad)?;
        self.prove_house_tester()?;
        Ok(())
    }

    fn walk_to_house(&mut self) {
        self.pass_s(240);
        let target = self.target.to_string();
        let wrong = self.next_door.clone().filter(|_| self.slips.made(Slip::WrongHouse));
        self.site.house = wrong.unwrap_or(target);
    }

    /// Whether the customer's own sources are off, as far as the worker reports.
    fn see_to_sources(&mut self) -> Result<bool, Halt> {
        if self.slips.made(Slip::SourcesStillOn) {
            return Ok(true);
        }
        let (all_off, _) = self.site.sources_off()?;
        Ok(all_off)
    }

    /// Goes to the premises where nothing is written down.
    pub(super) fn go_to_house(&mut self) -> Result<(), Halt> {
        self.walk_to_house();
        self.see_to_sources().map(|_| ())
    }

    /// What the customer's own sources are found to be.
    pub(super) fn own_sources(&self) -> Result<OwnSources, Halt> {
        let mapped = self.sheets.plant.services.get(&self.target);
        let none_mapped = mapped.is_none_or(|service| service.sources.is_empty());
        let seen = &self.site.world.service(&self.site.house)?.sources;
        Ok(if seen.iter().any(|source| source.running && source.locked) {
            OwnSources::NotRuledOut
        } else if none_mapped && seen.is_empty() {
            OwnSources::NoneFound
        } else {
            OwnSources::Off
        })
    }

    /// Whether the worker is where the job is.
    pub(super) fn at_target(&self) -> bool {
        self.site.house == self.target.as_str()
    }

    /// The number the sheet has for the target.
    fn number_on_sheet(&self) -> String {
        let service = self.sheets.plant.services.get(&self.target);
        service.and_then(|service| service.meters.first().cloned()).unwrap_or_default()
    }

    /// The number on the meter of a house; empty where there is no meter.
    fn number_at(&self, house: &str) -> Result<String, Halt> {
        Ok(self.site.world.service(house)?.meter.clone().unwrap_or_default())
    }

    /// The number that the worker at the premises takes the meter to have: who is at the wrong house
    /// sees what they expect.
    pub(super) fn number_reported(&self) -> Result<String, Halt> {
        if self.at_target() { self.number_at(&self.site.house) } else { Ok(self.number_on_sheet()) }
    }

    /// Writes down that something cannot be had here. False: that stands there already.
    pub(super) fn lacking(&mut self, lack: Lack) -> Result<bool, Halt> {
        let stay = self.stay()?;
        let sightings = self.state.evidence.iter().flat_map(|evidence| evidence.sightings.values());
        let mut said = sightings.filter_map(|sighting| match &sighting.seen {
            Seen::Lacking { stay, lack } => Some((stay, *lack)),
            _ => None,
        });
        if said.any(|said| said == (&stay, lack)) {
            return Ok(false);
        }
        self.pass_s(60);
        self.sighting(Who::House, Seen::Lacking { stay, lack })?;
        Ok(true)
    }

    /// What stands in the way of the known load at the house; none: nothing.
    pub(super) fn no_load_here(&self) -> Result<Option<Lack>, Halt> {
        Ok(match self.site.world.service(&self.site.house)?.entry {
            Entry::Open => None,
            Entry::NobodyThere => Some(Lack::Entry),
            Entry::NoSupply => Some(Lack::Supply),
            Entry::UnsafeWiring => Some(Lack::SoundWiring),
        })
    }

    /// Reads the number on the meter. False: there is none, and that is known.
    pub(super) fn read_meter_number(&mut self) -> Result<bool, Halt> {
        let mut number = self.number_reported()?;
        if number.is_empty() {
            return self.lacking(Lack::MeterNumber);
        }
        self.pass_s(40);
        if self.slips.made(Slip::DigitsTransposed) {
            number = transposed(&number);
        }
        let seen = Seen::MeterNumber { stay: self.stay()?, number };
        self.sighting(Who::House, seen)?;
        Ok(true)
    }

    /// Reads the address plate.
    pub(super) fn read_plate(&mut self) -> Result<(), Halt> {
        self.pass_s(30);
        let services = &self.sheets.plant.services;
        let (plate, service) = if self.at_target() {
            let plate = self.site.world.service(&self.site.house)?.plate.clone();
            let named = services.values().find(|service| service.premises == plate);
            (plate, named.map(|service| service.id.clone()))
        } else {
            let own = services.get(&self.target);
            let plate = own.map(|service| service.premises.clone()).unwrap_or_default();
            (plate, Some(self.target.clone()))
        };
        let seen = Seen::AddressPlate { stay: self.stay()?, plate, service };
        self.sighting(Who::House, seen)?;
        Ok(())
    }

    /// Takes a picture of the meter, inside a run where one is given.
    pub(super) fn take_picture(&mut self, run: Option<&RunId>) -> Result<Picture, Halt> {
        let photo = Sha256Hex(self.chance_bytes());
        let taken_at = self.instant(Who::House);
        let run = run.cloned();
        let body = PictureTaken { photo, stay: self.stay()?, run: run.clone() };
        self.write(Who::House, Body::Picture(body))?;
        Ok(Picture { run, taken_at, photo, house: self.site.house.clone() })
    }

    /// Whether the worker at the pad is the one who misreads pictures.
    fn misreads(&self) -> bool {
        self.slips.lasts(Slip::PicturesMisread) && self.cast.first_at_pad()
    }

    /// The worker at the pad reads a picture on their own phone.
    pub(super) fn read_picture(&mut self, picture: &Picture) -> Result<(), Halt> {
        self.pass_s(25);
        let mut number = self.number_at(&picture.house)?;
        if self.misreads() {
            let expected = self.number_on_sheet();
            number = if number == expected { transposed(&number) } else { expected };
        }
        let seen = Seen::MeterPhoto {
            stay: self.stay()?,
            run: picture.run.clone(),
            taken_by: self.cast.person(Who::House).clone(),
            taken_at: picture.taken_at.clone(),
            photo: picture.photo.to_string(),
            number,
        };
        self.sighting(Who::Pad, seen)?;
        Ok(())
    }

    /// The worker at the pad reads the code on a picture of the sticker. False: there is none.
    pub(super) fn read_sticker(&mut self, picture: &Picture) -> Result<bool, Halt> {
        let Some(code) = self.site.world.sticker_on(&picture.house) else { return Ok(false) };
        let mut code = code.to_owned();
        if self.misreads() {
            code = transposed(&code);
        }
        self.pass_s(25);
        let seen = Seen::Sticker {
            stay: self.stay()?,
            run: picture.run.clone(),
            taken_by: self.cast.person(Who::House).clone(),
            taken_at: picture.taken_at.clone(),
            photo: picture.photo.to_string(),
            code,
        };
        self.sighting(Who::Pad, seen)?;
        Ok(true)
    }

    /// Whether the job's sticker, or what looks like it, is on the base.
    pub(super) fn sticker_here(&self) -> bool {
        self.site.world.sticker_on(&self.site.house).is_some()
    }

    /// A picture of the sticker outside a run. False: it is not there, and that is known.
    pub(super) fn photograph_sticker(&mut self) -> Result<bool, Halt> {
        if !self.sticker_here() {
            return self.lacking(Lack::Sticker);
        }
        self.pass_s(20);
        let picture = self.take_picture(None)?;
        self.read_sticker(&picture)
    }

    /// The desk holds the number on a picture against the billing record, which has what the map
    /// has: nobody says that it comes from elsewhere.
    pub(super) fn compare_with_billing(&mut self) -> Result<bool, Halt> {
        let number = self.number_at(&self.site.house)?;
        if number.is_empty() {
            return self.lacking(Lack::MeterNumber);
        }
        self.pass_s(300);
        let picture = self.take_picture(None)?;
        let billed = self.sheets.plant.services.values();
        let mut billed = billed.filter(|service| service.meters.contains(&number));
        let service = billed.next().map(|service| service.id.clone());
        let seen = Seen::BillingRecord {
            stay: self.stay()?,
            run: None,
            taken_by: self.cast.person(Who::House).clone(),
            taken_at: picture.taken_at.clone(),
            photo: picture.photo.to_string(),
            service,
        };
        self.sighting(Who::Dispatcher, seen)?;
        Ok(true)
    }

    /// A picture outside a run. False: there is no meter.
    pub(super) fn picture_of_meter(&mut self) -> Result<bool, Halt> {
        if self.number_at(&self.site.house)?.is_empty() {
            return self.lacking(Lack::MeterNumber);
        }
        self.pass_s(20);
        let picture = self.take_picture(None)?;
        self.read_picture(&picture)?;
        Ok(true)
    }

    /// The service that somebody names who is at the worker's side: the true one, or with this slip
    /// another; none: none of the sheet.
    fn named_by(&mut self, slip: Slip) -> Option<AssetId> {
        let target = self.target.to_string();
        let house = self.site.house.clone();
        let named = if self.slips.lasts(slip) {
            if house == target { self.next_door.clone().unwrap_or(house) } else { target }
        } else {
            house
        };
        let known = self.sheets.plant.services.keys().find(|id| id.as_str() == named);
        known.cloned()
    }

    /// The customer says where this is. False: nobody lives there.
    pub(super) fn ask_customer(&mut self) -> Result<bool, Halt> {
        let own = self.site.world.service(&self.site.house)?;
        if own.vacant() || own.entry == Entry::NobodyThere {
            return self.lacking(Lack::Customer);
        }
        self.pass_s(60);
        let service = self.named_by(Slip::CustomerWrong);
        self.say(Who::House, Speaker::Customer, service)?;
        Ok(true)
    }

    /// The electrician says on their own phone where this is.
    pub(super) fn ask_electrician(&mut self) -> Result<(), Halt> {
        self.pass_s(60);
        let service = self.named_by(Slip::ElectricianWrong);
        self.say(Who::ByLink, Speaker::Electrician, service)
    }

    fn say(&mut self, who: Who, speaker: Speaker, service: Option<AssetId>) -> Result<(), Halt> {
        let from_link = speaker == Speaker::Electrician;
        let seen = Seen::Word { stay: self.stay()?, run: None, speaker, service, from_link };
        self.sighting(who, seen)?;
        Ok(())
    }
}

/// A number with two neighbouring characters that differ in each other's place: the first such two.
fn transposed(number: &str) -> String {
    let mut characters: Vec<char> = number.chars().collect();
    let at = characters.windows(2).position(|two| two.first() != two.last());
    if let Some(at) = at {
        characters.swap(at, at + 1);
    }
    characters.into_iter().collect()
}

#[cfg(test)]
mod tests {
    use super::transposed;

    #[test]
    fn two_digits_change_places() {
        assert_eq!(transposed("11234"), "12134");
        assert_eq!(transposed("777"), "777");
    }
}
