//! What a sighting does: which candidates it excludes, and what alone could make it false.

use std::collections::BTreeSet;

use super::{cause::Cause, evidence::SetAt};
use crate::quantity::{AssetId, PersonId, RunId, SightingId, StayId};

/// A candidate of the first question: which premises am I at?
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Premises {
    /// A service of the map sheet.
    Service(AssetId),
    /// Premises the sheet does not have.
    Unmapped,
}

/// A candidate of the second question: which cable set feeds the target?
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Candidate {
    /// A set seen in a pad.
    Set(SetAt),
    /// Any set nobody has seen, unseen sets of this pad included. Never identified.
    Elsewhere,
}

/// What is excluded.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Excludes<T> {
    /// Every candidate but this one, `elsewhere` and `unmapped` included.
    AllBut(T),
    /// These; never `elsewhere` or `unmapped`.
    These(BTreeSet<T>),
}

impl<T: Ord> Excludes<T> {
    /// Whether `candidate` is excluded.
    pub fn excludes(&self, candidate: &T) -> bool {
        match self {
            Self::AllBut(kept) => kept != candidate,
            Self::These(out) => out.contains(candidate),
        }
    }
}

/// Which rule of evidence an effect comes from; also the id of its sentence.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Ground {
    /// The number on the meter is the record's.
    MeterNumber,
    /// The number on the meter is not the record's.
    MeterNumberDiffers,
    /// The address plate.
    AddressPlate,
    /// The meter's picture, read by the other worker.
    MeterPhoto,
    /// The picture shows a number that is not the record's.
    MeterPhotoDiffers,
    /// The customer's word.
    CustomerWord,
    /// The electrician's word.
    ElectricianWord,
    /// The sticker's picture, read by the other worker.
    Sticker,
    /// The number on the picture, held by the desk against the billing record.
    BillingRecord,
    /// The coded load step was seen.
    LoadStepSeen,
    /// The coded load step was flat on both legs.
    LoadStepFlat,
    /// Load was left with the target's meter out.
    LoadedMeterOut,
    /// Metal or size differs at the two ends.
    ConductorDiffers,
    /// The tone was heard on one set alone.
    ToneHeard,
    /// The same marker at both ends.
    MarkerAtBothEnds,
}

impl Ground {
    /// All of them.
    pub const ALL: [Self; 15] = [
        Self::MeterNumber,
        Self::MeterNumberDiffers,
        Self::AddressPlate,
        Self::MeterPhoto,
        Self::MeterPhotoDiffers,
        Self::CustomerWord,
        Self::ElectricianWord,
        Self::Sticker,
        Self::BillingRecord,
        Self::LoadStepSeen,
        Self::LoadStepFlat,
        Self::LoadedMeterOut,
        Self::ConductorDiffers,
        Self::ToneHeard,
        Self::MarkerAtBothEnds,
    ];

    /// The stable id of this rule of evidence.
    pub const fn id(self) -> &'static str {
        match self {
            Self::MeterNumber => "meter-number",
            Self::MeterNumberDiffers => "meter-number-differs",
            Self::AddressPlate => "address-plate",
            Self::MeterPhoto => "meter-photo",
            Self::MeterPhotoDiffers => "meter-photo-differs",
            Self::CustomerWord => "customer-word",
            Self::ElectricianWord => "electrician-word",
            Self::Sticker => "sticker",
            Self::BillingRecord => "billing-record",
            Self::LoadStepSeen => "load-step-seen",
            Self::LoadStepFlat => "load-step-flat",
            Self::LoadedMeterOut => "loaded-meter-out",
            Self::ConductorDiffers => "conductor-differs",
            Self::ToneHeard => "tone-heard",
            Self::MarkerAtBothEnds => "marker-at-both-ends",
        }
    }
}

/// What a premises sighting does, within its stay.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PremisesEffect {
    /// The sighting.
    pub sighting: SightingId,
    /// The stay it belongs to.
    pub stay: StayId,
    /// Whose report it is.
    pub by: PersonId,
    /// The run it was taken inside, as an outside witness to where that run was done.
    pub in_run: Option<RunId>,
    /// What it excludes.
    pub excludes: Excludes<Premises>,
    /// What alone could make it false.
    pub causes: BTreeSet<Cause>,
    /// By which rule of evidence.
    pub ground: Ground,
}

/// Where something was done, which a set sighting rests on.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct RestsOn {
    /// The stay.
    pub stay: StayId,
    /// The reports that say that it was done there: of who did it, and of whose stay it is.
    pub reports: BTreeSet<Cause>,
    /// The run, if it was one.
    pub run: Option<RunId>,
}

/// What one or two sightings do to the cable sets.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SetEffect {
    /// The sightings it is drawn from.
    pub sightings: Vec<SightingId>,
    /// Which set was in hand.
    pub set: SetAt,
    /// What it excludes.
    pub excludes: Excludes<Candidate>,
    /// What alone could make it false.
    pub causes: BTreeSet<Cause>,
    /// Where its deeds were done.
    pub rests_on: BTreeSet<RestsOn>,
    /// By which rule of evidence.
    pub ground: Ground,
}

/// Why a sighting excludes nothing. The text is the id of its sentence.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Idle {
    /// It only orders the search.
    OrdersTheSearch,
    /// The stay it names is not on record, was withdrawn, or was over.
    NotInAStay,
    /// Only the person whose stay it is can report this.
    NotTheirStay,
    /// Who took the picture also read it.
    ReadByItsTaker,
    /// Nothing on the sheet bears on it.
    NotOnTheSheet,
    /// An electrician's word did not come from the link shown at the base.
    NotFromTheLink,
    /// The run is not on record, not over, or left its stay.
    RunNotWhole,
    /// The code was not sealed before slot one, or is not the one that was sealed.
    CodeNotSealed,
    /// The code is too short, or has too few changes or holds.
    CodeTooWeak,
    /// The known load's own tolerance is wider than the rule sheet allows.
    LoadTooUncertain,
    /// The readings do not cover the slots one to one, or amps are missing at the drawn slot.
    SlotsIncomplete,
    /// The clamp is not known, or was not shown to read right before.
    ClampNotProven,
    /// The whole cable was in the jaws, or the placement is not on record.
    PlacementUnusable,
    /// Neither seen nor flat.
    StepUnclear,
    /// Flat on one leg; the other leg is still to be read.
    FlatOnOneLeg,
    /// Flat, but the set carries too much load for a flat reading to mean anything.
    SetNotQuiet,
    /// The meter's number was not read in the hand, or is not the target's.
    NotTheTargetsMeter,
    /// Not clearly loaded.
    NotClearlyLoaded,
    /// The other end is still to be looked at, or both ends look alike.
    EndsDoNotDiffer,
    /// Older than the rule sheet lets a sighting count.
    Stale,
    /// The sticker is not this job's, or the job has none.
    NotTheJobsSticker,
    /// Not every set of the pad was compared, or the tone stood out on none or on several.
    ToneUnclear,
    /// The other end's marker is still to be read, says something else, or another set has the same.
    MarkersDoNotPair,
}

impl Idle {
    /// The stable id of this reason.
    pub const fn id(self) -> &'static str {
        match self {
            Self::OrdersTheSearch => "idle-orders-the-search",
            Self::NotInAStay => "idle-not-in-a-stay",
            Self::NotTheirStay => "idle-not-their-stay",
            Self::ReadByItsTaker => "idle-read-by-its-taker",
            Self::NotOnTheSheet => "idle-not-on-the-sheet",
            Self::NotFromTheLink => "idle-not-from-the-link",
            Self::RunNotWhole => "idle-run-not-whole",
            Self::CodeNotSealed => "idle-code-not-sealed",
            Self::CodeTooWeak => "idle-code-too-weak",
            Self::LoadTooUncertain => "idle-load-too-uncertain",
            Self::SlotsIncomplete => "idle-slots-incomplete",
            Self::ClampNotProven => "idle-clamp-not-proven",
            Self::PlacementUnusable => "idle-placement-unusable",
            Self::StepUnclear => "idle-step-unclear",
            Self::FlatOnOneLeg => "idle-flat-on-one-leg",
            Self::SetNotQuiet => "idle-set-not-quiet",
            Self::NotTheTargetsMeter => "idle-not-the-targets-meter",
            Self::NotClearlyLoaded => "idle-not-clearly-loaded",
            Self::EndsDoNotDiffer => "idle-ends-do-not-differ",
            Self::Stale => "idle-stale",
            Self::NotTheJobsSticker => "idle-not-the-jobs-sticker",
            Self::ToneUnclear => "idle-tone-unclear",
            Self::MarkersDoNotPair => "idle-markers-do-not-pair",
        }
    }
}
