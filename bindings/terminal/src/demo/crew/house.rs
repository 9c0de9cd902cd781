//! The lineworker at the premises.

use coldlug_core::{
    event::{
        Body, Bypass, MeterPulled, MeterSet, Operation, OperationDone, OwnSources, PictureTaken,
        Sha256Hex, SightingMade, StayBegun, StayEnded,
    },
    plant::{Metering, Pair},
    quantity::{DeedId, EventId, RunId, StayId},
    reading::{Place, Side},
    sighting::{Seen, Speaker},
};

use crate::demo::{
    halt::Halt,
    people::{Hand, PhoneAt},
    picture,
    play::Play,
    tools::Tool,
};

const WHO: Hand = Hand::House;

/// Goes to the premises and says so.
pub(crate) fn begin_stay(play: &mut Play<'_>) -> Result<StayId, Halt> {
    play.pass_s(240);
    let stay = StayId::new(play.names.next("stay"))?;
    play.write(WHO, Body::StayBegun(StayBegun { stay: stay.clone() }))?;
    play.stay = Some(stay.clone());
    Ok(stay)
}

/// Leaves the premises and says so.
pub(crate) fn end_stay(play: &mut Play<'_>) -> Result<(), Halt> {
    play.pass_s(30);
    let stay = play.stay()?;
    play.write(WHO, Body::StayEnded(StayEnded { stay }))?;
    play.stay = None;
    Ok(())
}

/// Reads the number on the meter.
pub(crate) fn read_meter_number(play: &mut Play<'_>) -> Result<String, Halt> {
    play.pass_s(40);
    let number = play.site.meter_number(play.job.service.as_str())?;
    let seen = Seen::MeterNumber { stay: play.stay()?, number: number.clone() };
    sighting(play, WHO, seen)?;
    Ok(number)
}

/// Reads the address plate.
pub(crate) fn read_plate(play: &mut Play<'_>) -> Result<String, Halt> {
    play.pass_s(30);
    let plate = play.site.plate(play.job.service.as_str())?;
    let service = play
        .plant()
        .services
        .values()
        .find(|service| service.premises == plate)
        .map(|service| service.id.clone());
    let seen = Seen::AddressPlate { stay: play.stay()?, plate: plate.clone(), service };
    sighting(play, WHO, seen)?;
    Ok(plate)
}

/// Looks for the customer's own sources, and switches off what there is.
pub(crate) fn sources_off(play: &mut Play<'_>) -> Result<usize, Halt> {
    play.pass_s(90);
    let service = play.job.service.clone();
    let found = play.site.sources(service.as_str(), true)?;
    let seen = Seen::SourcesOff { stay: play.stay()? };
    sighting(play, WHO, seen)?;
    Ok(found)
}

/// Takes a picture of the meter; the worker at the pad reads it. `run`: taken between two slots.
pub(crate) fn picture(play: &mut Play<'_>, run: Option<&RunId>) -> Result<Picture, Halt> {
    let number = play.site.meter_number(play.job.service.as_str())?;
    let taken_at = play.instant(WHO);
    let drawn = picture::of_meter(&number).map_err(|why| Halt::stuck(why.to_string()))?;
    let photo = play.house_phone.photo(&play.job.id, drawn)?;
    let (stay, run) = (play.stay()?, run.cloned());
    play.write(WHO, Body::Picture(PictureTaken { photo, stay, run: run.clone() }))?;
    Ok(Picture { run, taken_at, photo, number })
}

/// A picture that waits to be read by the other worker.
pub(crate) struct Picture {
    run: Option<RunId>,
    taken_at: coldlug_core::quantity::Instant,
    photo: Sha256Hex,
    number: String,
}

/// The worker at the pad reads a picture on their own phone.
pub(crate) fn picture_read_at_pad(play: &mut Play<'_>, picture: Picture) -> Result<String, Halt> {
    play.pass_s(25);
    play.meet(PhoneAt::Pad)?;
    play.pad_phone.picture(&play.job.id, picture.photo)?;
    let number = picture.number.clone();
    let seen = Seen::MeterPhoto {
        stay: play.stay()?,
        run: picture.run,
        taken_by: WHO.person()?,
        taken_at: picture.taken_at,
        photo: picture.photo.to_string(),
        number: picture.number,
    };
    sighting(play, Hand::Pad, seen)?;
    Ok(number)
}

/// The customer, asked on the spot, says where this is.
pub(crate) fn ask_customer(play: &mut Play<'_>) -> Result<(), Halt> {
    play.pass_s(60);
    let seen = Seen::Word {
        stay: play.stay()?,
        run: None,
        speaker: Speaker::Customer,
        service: Some(play.job.service.clone()),
        from_link: false,
    };
    sighting(play, WHO, seen)?;
    Ok(())
}

/// Opens the customer's main.
pub(crate) fn open_main(play: &mut Play<'_>) -> Result<EventId, Halt> {
    play.pass_s(30);
    let service = play.job.service.clone();
    play.site.main_open(service.as_str(), true);
    operate(play, Operation::MainOpened { service })
}

/// Closes the customer's main.
pub(crate) fn close_main(play: &mut Play<'_>) -> Result<EventId, Halt> {
    play.pass_s(30);
    let service = play.job.service.clone();
    let done = operate(play, Operation::MainClosed { service: service.clone() })?;
    play.site.main_open(service.as_str(), false);
    Ok(done)
}

/// Pulls the meter and reads its number in the hand.
pub(crate) fn pull_meter(play: &mut Play<'_>, own_sources: OwnSources) -> Result<String, Halt> {
    play.pass_s(90);
    let service = play.job.service.clone();
    let number = play.site.meter_number(service.as_str())?;
    let deed = DeedId::new(play.names.next("deed"))?;
    let body = Body::MeterPulled(MeterPulled {
        deed: deed.clone(),
        stay: play.stay()?,
        number_in_hand: Some(number.clone()),
        form: "2S".to_owned(),
        bypass: Bypass::None,
        main_open: true,
        own_sources,
        damage_or_heat: false,
        metering: Metering::SelfContained,
    });
    play.write(WHO, body)?;
    play.site.meter_out(service.as_str(), true);
    play.pull = Some(deed);
    Ok(number)
}

/// Sets the meter back.
pub(crate) fn set_meter(play: &mut Play<'_>) -> Result<(), Halt> {
    play.pass_s(90);
    let service = play.job.service.clone();
    let number = play.site.meter_number(service.as_str())?;
    let deed = DeedId::new(play.names.next("deed"))?;
    let body = Body::MeterSet(MeterSet { deed, stay: play.stay()?, number_in_hand: Some(number) });
    play.write(WHO, body)?;
    play.site.meter_out(service.as_str(), false);
    play.pull = None;
    Ok(())
}

/// The work in the base was looked over before supply comes back.
pub(crate) fn inspect(play: &mut Play<'_>) -> Result<(), Halt> {
    play.pass_s(300);
    let service = play.job.service.clone();
    let findings = play.job.story.inspection.to_owned();
    operate(play, Operation::Inspected { service, findings, released: true })?;
    Ok(())
}

/// Volts of some pairs on one side of the base.
pub(crate) fn volts_at_base(
    play: &mut Play<'_>,
    tool: Tool,
    who: Hand,
    side: Side,
    pairs: &[Pair],
) -> Result<Vec<EventId>, Halt> {
    let place = Place::MeterBase { service: play.job.service.clone(), side };
    pairs.iter().map(|&pair| play.read_volts(who, tool, &place, pair)).collect()
}

fn operate(play: &mut Play<'_>, operation: Operation) -> Result<EventId, Halt> {
    play.write(WHO, Body::Operation(OperationDone { operation, making_safe: false }))
}

/// Writes one sighting down.
pub(crate) fn sighting(play: &mut Play<'_>, who: Hand, seen: Seen) -> Result<EventId, Halt> {
    let sighting = play.next_sighting()?;
    play.write(who, Body::Sighting(SightingMade { sighting, seen }))
}
