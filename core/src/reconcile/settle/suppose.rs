//! What a test would add, if it came out for one set.

use std::collections::BTreeSet;

use super::{
    super::case::Case,
    test::{By, Test},
};
use crate::{
    quantity::{PersonId, RunId, SightingId, StayId},
    sighting::{
        Candidate, Cause, Drawn, Evidence, Excludes, Ground, Lack, Premises, PremisesEffect,
        RestsOn, Seen, SetAt, SetEffect,
    },
};

/// Where tests are supposed.
#[derive(Debug, Clone)]
pub(super) struct Place {
    pub(super) stay: StayId,
    /// Whose stay it is.
    pub(super) worker: PersonId,
    /// Whether marks are put on the pad's sets anew before.
    pub(super) marked_anew: bool,
}

impl Place {
    /// A stay of the other worker, who has not begun it yet.
    pub(super) fn of_the_other(&self) -> Option<Self> {
        let stay = "supposed/stay".try_into().ok()?;
        Some(Self { stay, worker: reader()?, marked_anew: self.marked_anew })
    }
}

/// Supposes that tests come out for the set `x`.
pub(super) struct Suppose<'a> {
    pub(super) evidence: &'a Evidence,
    pub(super) drawn: &'a Drawn,
    pub(super) x: &'a SetAt,
}

impl Suppose<'_> {
    /// Adds what the test would add; `nth` tells repetitions of one test apart.
    pub(super) fn add(&self, case: &mut Case, place: &Place, test: &Test, nth: usize) {
        let worker = || Some(place.worker.clone());
        let records = || Some(Cause::MeterRecords);
        let looks = match test {
            Test::ReadMeterNumber => {
                [self.look(place, worker(), records(), Ground::MeterNumber), None]
            }
            Test::ReadPlate => {
                [self.look(place, worker(), Some(Cause::Plates), Ground::AddressPlate), None]
            }
            Test::PictureOfMeter => {
                [self.look(place, other(place), records(), Ground::MeterPhoto), None]
            }
            Test::CompareWithBilling => {
                [self.look(place, named("desk"), records(), Ground::BillingRecord), None]
            }
            Test::AskCustomer => {
                [self.look(place, named("customer"), None, Ground::CustomerWord), None]
            }
            Test::AskElectrician => [self.by_electrician(place, Ground::ElectricianWord), None],
            Test::PhotographSticker => [self.by_electrician(place, Ground::Sticker), None],
            Test::LoadStep { by, .. } => {
                let run = supposed::<RunId>(&format!("run-{}-{nth}", by_name(*by)));
                if let Some(effect) = self.step(place, *by, run.clone(), nth) {
                    case.add_set(&effect);
                }
                let photo = self.look(place, other(place), records(), Ground::MeterPhoto);
                let sticker = self.by_electrician(place, Ground::Sticker);
                let inside = |seen: PremisesEffect| PremisesEffect { in_run: run.clone(), ..seen };
                [
                    photo.filter(|_| !self.differs(place)).map(inside),
                    sticker.filter(|_| self.sticker_in_run(place)).map(inside),
                ]
            }
            Test::Tone { .. } | Test::ReadMarkers { .. } => {
                if let Some(effect) = self.along_the_cable(place, test) {
                    case.add_set(&effect);
                }
                [None, None]
            }
            Test::BeginStay
            | Test::ChangePlaces
            | Test::SearchPad { .. }
            | Test::BareSteps { .. } => [None, None],
        };
        for seen in looks.iter().flatten() {
            case.add_premises(seen);
        }
    }

    /// Whether the job has a sticker that was not found missing at this stay.
    pub(super) fn has_sticker(&self, place: &Place) -> bool {
        self.evidence.sticker.is_some() && !self.lacks(place, Lack::Sticker)
    }

    /// Whether a picture of the sticker is to be had inside a run: not where runs were made and none
    /// of them came with one that could be read.
    fn sticker_in_run(&self, place: &Place) -> bool {
        let run = self.evidence.runs.values().any(|run| run.stay == place.stay);
        let read = self.drawn.premises.iter().any(|seen| {
            seen.ground == Ground::Sticker && seen.stay == place.stay && seen.in_run.is_some()
        });
        self.has_sticker(place) && (read || !run)
    }

    /// Whether something is known not to be had: at this stay, or at the premises whoever comes there.
    pub(super) fn lacks(&self, place: &Place, what: Lack) -> bool {
        let of_people = matches!(what, Lack::Customer | Lack::Electrician);
        let counts = |stay: &StayId| {
            let known = self.evidence.stays.get(stay);
            *stay == place.stay || (!of_people && known.is_some_and(|stay| !stay.withdrawn))
        };
        self.evidence.sightings.values().any(|sighting| {
            matches!(&sighting.seen, Seen::Lacking { stay, lack } if *lack == what && counts(stay))
        })
    }

    /// Whether a number that was read at this stay is not the record's of the target, or none can
    /// be read: then no further one is supposed to be.
    fn differs(&self, place: &Place) -> bool {
        let target = Premises::Service(self.evidence.target.clone());
        self.lacks(place, Lack::MeterNumber)
            || self.drawn.premises.iter().any(|seen| {
                let of_number = matches!(
                    seen.ground,
                    Ground::MeterNumber
                        | Ground::MeterNumberDiffers
                        | Ground::MeterPhoto
                        | Ground::MeterPhotoDiffers
                );
                of_number && seen.stay == place.stay && seen.excludes.excludes(&target)
            })
    }

    fn look(
        &self,
        place: &Place,
        by: Option<PersonId>,
        cause: Option<Cause>,
        ground: Ground,
    ) -> Option<PremisesEffect> {
        let report = self.evidence.report_of(by.as_ref()?, &place.stay);
        self.at_target(place, by?, cause.into_iter().chain([report]).collect(), ground)
    }

    fn by_electrician(&self, place: &Place, ground: Ground) -> Option<PremisesEffect> {
        self.at_target(place, named("electrician")?, [Cause::Electrician].into(), ground)
    }

    fn at_target(
        &self,
        place: &Place,
        by: PersonId,
        causes: BTreeSet<Cause>,
        ground: Ground,
    ) -> Option<PremisesEffect> {
        let target = Premises::Service(self.evidence.target.clone());
        Some(PremisesEffect {
            sighting: supposed::<SightingId>("look")?,
            stay: place.stay.clone(),
            by,
            in_run: None,
            excludes: Excludes::AllBut(target),
            causes,
            ground,
        })
    }

    /// The cause that the set's mark, or its place, is what it is taken for.
    fn handle(&self, place: &Place, by: By) -> Option<Cause> {
        match by {
            By::Position => Some(Cause::LugPositions { pad: self.x.pad.clone() }),
            By::Mark if place.marked_anew => Some(Cause::Marks { marks: supposed("marks")? }),
            By::Mark => {
                let (marks, _) = self.evidence.mark_of(self.x)?;
                Some(Cause::Marks { marks: marks.clone() })
            }
        }
    }

    fn step(&self, place: &Place, by: By, run: Option<RunId>, nth: usize) -> Option<SetEffect> {
        let placement = supposed(&format!("placement-{}-{nth}", by_name(by)))?;
        let run = run?;
        let causes = [
            Cause::Placement { placement },
            self.handle(place, by)?,
            Cause::Run { run: run.clone() },
        ];
        self.for_x(place, causes.into(), Some(run), Ground::LoadStepSeen)
    }

    fn along_the_cable(&self, place: &Place, test: &Test) -> Option<SetEffect> {
        if matches!(test, Test::Tone { .. }) {
            let position = self.handle(place, By::Position)?;
            let (pad, deed) = (self.x.pad.clone(), supposed("deed")?);
            let causes = [Cause::Tone { pad }, Cause::Deed { deed }, position];
            return self.for_x(place, causes.into(), None, Ground::ToneHeard);
        }
        let mark = self.handle(place, By::Mark)?;
        let report = self.evidence.report_of(&place.worker, &place.stay);
        let look = Cause::Look { sighting: supposed("look")? };
        let causes = [Cause::MarkerScheme, look, report, mark];
        self.for_x(place, causes.into(), None, Ground::MarkerAtBothEnds)
    }

    fn for_x(
        &self,
        place: &Place,
        causes: BTreeSet<Cause>,
        run: Option<RunId>,
        ground: Ground,
    ) -> Option<SetEffect> {
        let report = self.evidence.report_of(&place.worker, &place.stay);
        Some(SetEffect {
            sightings: vec![supposed("step")?],
            set: self.x.clone(),
            excludes: Excludes::AllBut(Candidate::Set(self.x.clone())),
            causes,
            rests_on: [RestsOn { stay: place.stay.clone(), reports: [report].into(), run }].into(),
            ground,
        })
    }
}

/// The worker who is not at the premises.
fn other(place: &Place) -> Option<PersonId> {
    reader().filter(|reader| *reader != place.worker).or_else(|| named("first-worker"))
}

fn reader() -> Option<PersonId> {
    named("other-worker")
}

fn named(who: &str) -> Option<PersonId> {
    supposed(who)
}

/// A name of something supposed. A record that holds the same one loses nothing but advice.
fn supposed<T: TryFrom<String>>(what: &str) -> Option<T> {
    T::try_from(format!("supposed/{what}")).ok()
}

const fn by_name(by: By) -> &'static str {
    match by {
        By::Mark => "mark",
        By::Position => "position",
    }
}
