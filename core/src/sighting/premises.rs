//! What sightings say about the first question: which premises am I at?

use std::collections::BTreeSet;

use sha2::{Digest, Sha256};

use super::{
    cause::Cause,
    condition::{Condition, Conditions},
    effect::{Excludes, Ground, Idle, Premises, PremisesEffect},
    evidence::Evidence,
    limits::Limits,
    seen::{OfPicture, Seen, Sighting, Speaker},
    stay,
};
use crate::{
    plant::{Plant, plain},
    quantity::{AssetId, Instant, PersonId, RunId, StayId},
};

/// The premises effect of one sighting; none where the sighting is about something else.
pub(crate) fn effect(
    plant: &Plant,
    limits: &Limits,
    evidence: &Evidence,
    sighting: &Sighting,
    conditions: Conditions,
) -> Option<Result<PremisesEffect, Idle>> {
    let draw = Draw { plant, limits, evidence, sighting, conditions };
    match &sighting.seen {
        Seen::MeterNumber { stay, number } => Some(draw.meter_number(stay, number)),
        Seen::AddressPlate { stay, service, .. } => Some(draw.plate(stay, service.as_ref())),
        Seen::MeterPhoto { number, .. } => Some(draw.photo(number)),
        Seen::Sticker { code, .. } => Some(draw.sticker(code)),
        Seen::BillingRecord { service, .. } => Some(draw.billing_record(service.as_ref())),
        Seen::Word { .. } => Some(draw.word()),
        _ => None,
    }
}

/// SHA-256 of a sticker's code as codes are compared, hex: what a record may hold of it.
pub fn seal_sticker(code: &str) -> String {
    hex::encode(Sha256::digest(format!("sticker:{}", plain(code)).as_bytes()))
}

struct Draw<'a> {
    plant: &'a Plant,
    limits: &'a Limits,
    evidence: &'a Evidence,
    sighting: &'a Sighting,
    conditions: Conditions,
}

impl Draw<'_> {
    fn meter_number(&self, stay: &StayId, number: &str) -> Result<PremisesEffect, Idle> {
        self.by_whose_stay_it_is(stay)?;
        let (excludes, matched) = self.by_number(number)?;
        let ground = if matched { Ground::MeterNumber } else { Ground::MeterNumberDiffers };
        Ok(self.result(stay, None, excludes, self.records(), ground))
    }

    fn plate(&self, stay: &StayId, service: Option<&AssetId>) -> Result<PremisesEffect, Idle> {
        self.by_whose_stay_it_is(stay)?;
        let plate = self.conditions.keep(Condition::PlateIsACause).then_some(Cause::Plates);
        Ok(self.result(stay, None, self.by_name(service)?, plate, Ground::AddressPlate))
    }

    /// The stay a picture was taken in and the run it was taken inside, if it counts.
    fn picture(&self) -> Result<(&StayId, Option<RunId>), Idle> {
        let Some(OfPicture { stay, run, taken_by, taken_at, .. }) = self.sighting.seen.of_picture()
        else {
            return Err(Idle::OrdersTheSearch);
        };
        let at = stay::standing(self.evidence, stay, self.conditions).ok_or(Idle::NotInAStay)?;
        if at.person != *taken_by {
            return Err(Idle::NotTheirStay);
        }
        if self.sighting.who == *taken_by {
            return Err(Idle::ReadByItsTaker);
        }
        if !stay::holds(at, taken_at) && self.conditions.keep(Condition::PictureInsideStay) {
            return Err(Idle::NotInAStay);
        }
        let inside = run.filter(|run| self.picture_inside(stay, run, taken_at)).cloned();
        Ok((stay, inside))
    }

    fn photo(&self, number: &str) -> Result<PremisesEffect, Idle> {
        let (stay, witness) = self.picture()?;
        let (excludes, matched) = self.by_number(number)?;
        let ground = if matched { Ground::MeterPhoto } else { Ground::MeterPhotoDiffers };
        Ok(self.result(stay, witness, excludes, self.records(), ground))
    }

    /// The sticker says where the electrician put it, and nothing else could: no phone holds its
    /// code, so nobody reads it who does not see it.
    fn sticker(&self, code: &str) -> Result<PremisesEffect, Idle> {
        let (stay, witness) = self.picture()?;
        if self.evidence.sticker.as_ref() != Some(&seal_sticker(code))
            && self.conditions.keep(Condition::StickerIsTheJobs)
        {
            return Err(Idle::NotTheJobsSticker);
        }
        let target = Premises::Service(self.evidence.target.clone());
        Ok(PremisesEffect {
            sighting: self.sighting.id.clone(),
            stay: stay.clone(),
            by: self.sighting.who.clone(),
            in_run: witness,
            excludes: Excludes::AllBut(target),
            causes: self.electrician().into_iter().collect(),
            ground: Ground::Sticker,
        })
    }

    fn billing_record(&self, service: Option<&AssetId>) -> Result<PremisesEffect, Idle> {
        let (stay, witness) = self.picture()?;
        let records = if self.limits.billing_apart {
            self.conditions
                .keep(Condition::BillingRecordsAreACause)
                .then_some(Cause::BillingRecords)
        } else {
            self.records()
        };
        Ok(self.result(stay, witness, self.by_name(service)?, records, Ground::BillingRecord))
    }

    fn electrician(&self) -> Option<Cause> {
        self.conditions.keep(Condition::ElectricianIsACause).then_some(Cause::Electrician)
    }

    fn picture_inside(&self, stay: &StayId, run: &RunId, taken_at: &Instant) -> bool {
        self.evidence.runs.get(run).is_some_and(|run| {
            run.stay == *stay
                && (stay::inside_run(run, taken_at)
                    || !self.conditions.keep(Condition::PictureInsideRun))
        })
    }

    fn word(&self) -> Result<PremisesEffect, Idle> {
        let Seen::Word { stay, run, speaker, service, from_link } = &self.sighting.seen else {
            return Err(Idle::OrdersTheSearch);
        };
        let at = stay::standing(self.evidence, stay, self.conditions).ok_or(Idle::NotInAStay)?;
        if !stay::may_hold(at, &self.sighting.at)
            && self.conditions.keep(Condition::StayEndsByLeaving)
        {
            return Err(Idle::NotInAStay);
        }
        let ground = match speaker {
            Speaker::Customer => Ground::CustomerWord,
            Speaker::Electrician => Ground::ElectricianWord,
        };
        let linked = *from_link || !self.conditions.keep(Condition::WordFromTheLink);
        if *speaker == Speaker::Electrician && !linked {
            return Err(Idle::NotFromTheLink);
        }
        let witness = run.clone().filter(|run| {
            self.evidence.runs.get(run).is_some_and(|run| {
                run.stay == *stay
                    && (self.sighting.at.boot != run.begun.boot
                        || stay::inside_run(run, &self.sighting.at))
            })
        });
        let speaker = self.electrician().filter(|_| *speaker == Speaker::Electrician);
        Ok(self.result(stay, witness, self.by_name(service.as_ref())?, speaker, ground))
    }

    /// The stay stands, is the reporter's own, and holds the moment of the report.
    fn by_whose_stay_it_is(&self, stay: &StayId) -> Result<(), Idle> {
        let at = stay::standing(self.evidence, stay, self.conditions).ok_or(Idle::NotInAStay)?;
        if at.person != self.sighting.who {
            return Err(Idle::NotTheirStay);
        }
        let inside = stay::holds(at, &self.sighting.at)
            || !self.conditions.keep(Condition::StayEndsByLeaving);
        if inside { Ok(()) } else { Err(Idle::NotInAStay) }
    }

    /// What a number excludes, and whether some record holds it.
    fn by_number(&self, number: &str) -> Result<(Excludes<Premises>, bool), Idle> {
        match self.plant.services_with_meter(number) {
            [service] => Ok((Excludes::AllBut(Premises::Service(service.clone())), true)),
            [_, _, ..] => Err(Idle::NotOnTheSheet),
            [] => {
                let target = self.plant.services.get(&self.evidence.target);
                if target.is_none_or(|target| target.meters.is_empty()) {
                    return Err(Idle::NotOnTheSheet);
                }
                Ok((self.not_the_target(), false))
            }
        }
    }

    fn by_name(&self, service: Option<&AssetId>) -> Result<Excludes<Premises>, Idle> {
        match service {
            None => Ok(self.not_the_target()),
            Some(service) if self.plant.services.contains_key(service) => {
                Ok(Excludes::AllBut(Premises::Service(service.clone())))
            }
            Some(_) => Err(Idle::NotOnTheSheet),
        }
    }

    fn not_the_target(&self) -> Excludes<Premises> {
        Excludes::These(BTreeSet::from([Premises::Service(self.evidence.target.clone())]))
    }

    fn records(&self) -> Option<Cause> {
        self.conditions.keep(Condition::MeterRecordsAreOneCause).then_some(Cause::MeterRecords)
    }

    fn result(
        &self,
        stay: &StayId,
        in_run: Option<RunId>,
        excludes: Excludes<Premises>,
        cause: Option<Cause>,
        ground: Ground,
    ) -> PremisesEffect {
        let by = &self.sighting.who;
        PremisesEffect {
            sighting: self.sighting.id.clone(),
            stay: stay.clone(),
            by: by.clone(),
            in_run,
            excludes,
            causes: cause.into_iter().chain([report(self, by, stay)]).collect(),
            ground,
        }
    }
}

fn report(draw: &Draw<'_>, person: &PersonId, stay: &StayId) -> Cause {
    if draw.conditions.keep(Condition::ReportIsOneCause) {
        draw.evidence.report_of(person, stay)
    } else {
        Cause::Look { sighting: draw.sighting.id.clone() }
    }
}
