//! What a test would add, if it came out for one set.

use std::collections::BTreeMap;

use super::{
    super::{
        case::{Case, Rows},
        rule::{Id, PremisesRow, Rest, Row, SetRow},
    },
    names::Names,
    test::{By, Test},
};
use crate::{
    quantity::{PersonId, StayId},
    sighting::{Cause, Drawn, Evidence, Ground, Lack, Premises, Seen, SetAt},
};

/// Where tests are supposed.
#[derive(Debug, Clone)]
pub(super) struct Place {
    pub(super) stay: StayId,
    /// Whose stay it is.
    pub(super) worker: PersonId,
    /// Who stands at the pad meanwhile.
    pub(super) at_pad: PersonId,
    /// Whether marks are put on the pad's sets anew before.
    pub(super) marked_anew: bool,
}

impl Place {
    /// A stay of the other worker, who has not begun it yet.
    pub(super) fn of_the_other(&self, names: &Names) -> Self {
        let (stay, worker) = (names.stay.clone(), names.reader().clone());
        Self { stay, worker, at_pad: self.worker.clone(), marked_anew: self.marked_anew }
    }
}

/// The case in which it is supposed, and the numbers of what is supposed in it.
pub(super) struct Supposing {
    pub(super) case: Case,
    pub(super) names: Names,
    /// Of each load step, by how its set is found and which repetition it is.
    steps: BTreeMap<(By, usize), StepNumbers>,
}

/// Numbers of what a load step brings.
#[derive(Clone, Copy)]
struct StepNumbers {
    placement: Id,
    cause: Id,
    run: Id,
}

impl Supposing {
    pub(super) const fn new(case: Case, names: Names) -> Self {
        Self { case, names, steps: BTreeMap::new() }
    }

    fn step(&mut self, by: By, nth: usize) -> Option<StepNumbers> {
        if let Some(known) = self.steps.get(&(by, nth)) {
            return Some(*known);
        }
        let (placement, run) = Names::of_step(by, nth)?;
        let numbers = StepNumbers {
            placement: self.case.cause(&Cause::Placement { placement }),
            run: self.case.run(&run),
            cause: self.case.cause(&Cause::Run { run }),
        };
        self.steps.insert((by, nth), numbers);
        Some(numbers)
    }
}

/// A place, with what every load step there would be seen beside.
pub(super) struct At<'a> {
    place: &'a Place,
    stay: usize,
    report: Id,
    photo: Option<PremisesRow>,
    sticker: Option<PremisesRow>,
}

/// Supposes that tests come out for the set `x`.
pub(super) struct Suppose<'a> {
    pub(super) evidence: &'a Evidence,
    pub(super) drawn: &'a Drawn,
    pub(super) x: &'a SetAt,
    /// What was seen and said at premises, and what is not to be had there.
    pub(super) told: &'a [&'a Seen],
}

/// Whether something seen is of premises, and tells what is still to be looked at there.
pub(super) const fn is_told(seen: &Seen) -> bool {
    matches!(
        seen,
        Seen::Lacking { .. }
            | Seen::MeterNumber { .. }
            | Seen::AddressPlate { .. }
            | Seen::Sticker { .. }
            | Seen::MeterPhoto { .. }
            | Seen::BillingRecord { .. }
            | Seen::Word { .. }
    )
}

impl Suppose<'_> {
    /// The place, numbered.
    pub(super) fn at<'p>(&self, to: &mut Supposing, place: &'p Place) -> At<'p> {
        let report = self.report(to, &place.worker, place);
        let other = to.names.other(&place.worker).clone();
        let photo = (!self.differs(place))
            .then(|| self.look(to, place, &other, Some(&Cause::MeterRecords)));
        let sticker = self.sticker_in_run(place).then(|| by_electrician(to));
        At { place, stay: to.case.stay(&place.stay), report, photo, sticker }
    }

    /// What the test would add; `nth` tells repetitions of one test apart.
    pub(super) fn rows(&self, to: &mut Supposing, at: &At<'_>, test: &Test, nth: usize) -> Rows {
        let Names { desk, customer, .. } = &to.names;
        let (desk, customer) = (desk.clone(), customer.clone());
        let other = to.names.other(&at.place.worker).clone();
        let (worker, records) = (&at.place.worker, Some(&Cause::MeterRecords));
        let mut look = |by: &PersonId, cause| Some(self.look(to, at.place, by, cause));
        let (set, looks) = match test {
            Test::ReadMeterNumber => (None, [look(worker, records), None]),
            Test::ReadPlate => (None, [look(worker, Some(&Cause::Plates)), None]),
            Test::PictureOfMeter => (None, [look(&other, records), None]),
            Test::CompareWithBilling => (None, [look(&desk, records), None]),
            Test::AskCustomer => (None, [look(&customer, None), None]),
            Test::AskElectrician | Test::PhotographSticker => {
                (None, [Some(by_electrician(to)), None])
            }
            Test::LoadStep { by, .. } => self.step(to, at, *by, nth),
            Test::Tone { .. } | Test::ReadMarkers { .. } => {
                (self.along_the_cable(to, at, test), [None, None])
            }
            Test::BeginStay
            | Test::BeginStayAnew
            | Test::ChangePlaces
            | Test::CallDesk
            | Test::SearchPad { .. }
            | Test::BareSteps { .. } => (None, [None, None]),
        };
        Rows { stay: at.stay, premises: looks, set }
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
            let known = || self.evidence.stays.get(stay);
            *stay == place.stay || (!of_people && known().is_some_and(|stay| !stay.withdrawn))
        };
        self.told.iter().any(
            |seen| matches!(seen, Seen::Lacking { stay, lack } if *lack == what && counts(stay)),
        )
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

    fn report(&self, to: &mut Supposing, by: &PersonId, place: &Place) -> Id {
        to.case.cause(&self.evidence.report_of(by, &place.stay))
    }

    fn look(
        &self,
        to: &mut Supposing,
        place: &Place,
        by: &PersonId,
        cause: Option<&Cause>,
    ) -> PremisesRow {
        let report = self.report(to, by, place);
        let cause = cause.map(|cause| to.case.cause(cause));
        let causes = cause.into_iter().chain([report]).collect();
        PremisesRow { row: Row { out: to.case.all_but_target(), causes }, in_run: None }
    }

    /// The cause that the set's mark, or its place, is what it is taken for.
    fn handle(&self, to: &mut Supposing, place: &Place, by: By) -> Option<Id> {
        let cause = match by {
            By::Position => Cause::LugPositions { pad: self.x.pad.clone() },
            By::Mark if place.marked_anew => Cause::Marks { marks: to.names.marks.clone() },
            By::Mark => {
                let (marks, _) = self.evidence.mark_of(self.x)?;
                Cause::Marks { marks: marks.clone() }
            }
        };
        Some(to.case.cause(&cause))
    }

    /// A step that is seen, with the pictures taken inside its run.
    fn step(
        &self,
        to: &mut Supposing,
        at: &At<'_>,
        by: By,
        nth: usize,
    ) -> (Option<SetRow>, [Option<PremisesRow>; 2]) {
        let Some(StepNumbers { placement, cause, run }) = to.step(by, nth) else {
            return (None, [None, None]);
        };
        let handle = self.handle(to, at.place, by);
        let set = handle.map(|handle| self.for_x(to, at, [placement, handle, cause], Some(run)));
        let inside = |seen: &PremisesRow| PremisesRow { in_run: Some(run), ..seen.clone() };
        (set, [at.photo.as_ref().map(inside), at.sticker.as_ref().map(inside)])
    }

    fn along_the_cable(&self, to: &mut Supposing, at: &At<'_>, test: &Test) -> Option<SetRow> {
        let at_pad = to.case.cause(&Cause::PadReport { person: at.place.at_pad.clone() });
        if matches!(test, Test::Tone { .. }) {
            let position = self.handle(to, at.place, By::Position)?;
            let tone = to.case.cause(&Cause::Tone { pad: self.x.pad.clone() });
            let deed = to.case.cause(&Cause::Deed { deed: to.names.deed.clone() });
            return Some(self.for_x(to, at, [tone, deed, position, at_pad], None));
        }
        let mark = self.handle(to, at.place, By::Mark)?;
        let look = to.case.cause(&Cause::Look { sighting: to.names.look.clone() });
        let scheme = to.case.cause(&Cause::MarkerScheme);
        Some(self.for_x(to, at, [scheme, look, at.report, mark, at_pad], None))
    }

    fn for_x<const N: usize>(
        &self,
        to: &mut Supposing,
        at: &At<'_>,
        causes: [Id; N],
        run: Option<Id>,
    ) -> SetRow {
        let rest = Rest { stay: at.stay, reports: [at.report].into_iter().collect(), run };
        let out = to.case.all_but_set(self.x);
        SetRow { row: Row { out, causes: causes.into_iter().collect() }, rests: [rest].into() }
    }
}

fn by_electrician(to: &mut Supposing) -> PremisesRow {
    let causes = [to.case.cause(&Cause::Electrician)].into_iter().collect();
    PremisesRow { row: Row { out: to.case.all_but_target(), causes }, in_run: None }
}
