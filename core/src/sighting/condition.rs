//! The conditions of the identification rule, by name, so that each can be shown to matter.
//!
//! What ships always judges with all of them. Tests and the simulator (feature `weakened`) can
//! leave one out and must then see a wrong set named; a condition nobody misses would be dead weight.

macro_rules! conditions {
    ($($(#[$doc:meta])* $name:ident,)*) => {
        /// One condition of the identification rule.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
        pub enum Condition {
            $($(#[$doc])* $name,)*
        }

        impl Condition {
            /// Every condition, in the order of the rule.
            pub const ALL: &'static [Self] = &[$(Self::$name,)*];
        }
    };
}

conditions! {
    /// The rule is tried with each possibly false cause removed, not with all evidence alone.
    EveryCauseTried,
    /// Causes of the premises sightings are tried too, not only those of the sightings in favour.
    CausesOfTheStayTried,
    /// What speaks against the candidate must have one single explanation.
    AgainstNeedsOneExplanation,
    /// With that explanation removed, the rest must still hold against any one more.
    ExplanationIsRemovedToo,
    /// A stay counts only when its premises are the target's whatever cause is false, not only with
    /// nothing false.
    StayHoldsWithoutTheCause,
    /// A stay counts only when its premises are the target's.
    StayIsIdentified,
    /// With the doer's report removed, a run counts only by a premises sighting inside it.
    RunHasOutsideWitness,
    /// The witness's picture was taken inside the run.
    PictureInsideRun,
    /// A picture of the meter counts only if it was taken at this stay.
    PictureInsideStay,
    /// What was reported after a stay ended is not part of it.
    StayEndsByLeaving,
    /// A stay that was withdrawn counts for nothing.
    WithdrawnStaysAreOut,
    /// All that one person reports of the premises in one stay falls together, where they did what
    /// they did there included.
    ReportIsOneCause,
    /// A tone and markers that one person writes down at the pad fall together.
    PadReportIsOneCause,
    /// All meter records of the sheet fall together.
    MeterRecordsAreOneCause,
    /// An address plate can be wrong.
    PlateIsACause,
    /// A step seen can be false by its placement.
    PlacementIsACause,
    /// A placement can be false by the mark or the counted position it was found by.
    HandleIsACause,
    /// A step seen can be false by its run.
    RunIsACause,
    /// Flat readings can be false by the clamp.
    ClampIsACause,
    /// A load left with the meter out can be false by the wrong meter having been pulled.
    DeedIsACause,
    /// A load left with the meter out can be a neighbour's on a shared set.
    SharedSetIsACause,
    /// Two metals on one set can be an unmapped splice.
    SpliceIsACause,
    /// What a person reports as a condition of a sighting adds that report as a cause.
    ReportedConditionIsACause,
    /// The code has at least the rule sheet's number of slots.
    EnoughSlots,
    /// The code has enough changes and enough holds.
    EnoughChangesAndHolds,
    /// Every hold is flat.
    HoldsAreFlat,
    /// Every change goes the way the code says.
    ChangesFollowTheCode,
    /// Every change with typed amps is large enough.
    ChangeIsLargeEnough,
    /// At the drawn change slot, amps were typed.
    SizeIsTyped,
    /// Flat counts only when it was seen on both legs.
    FlatOnBothLegs,
    /// Flat counts only on a quiet set, or with the target's own sources off.
    FlatSetIsQuiet,
    /// One leg was in the jaws, not the whole cable.
    OneConductorInTheJaws,
    /// The number was read on the meter in the hand before "meter out" means anything.
    NumberReadInHand,
    /// An electrician's word counts only from the link shown at that base.
    WordFromTheLink,
    /// What the electrician says and where they put the sticker fall together.
    ElectricianIsACause,
    /// A sticker counts only with this job's code.
    StickerIsTheJobs,
    /// The desk's comparison can be false by the records it compares with.
    BillingRecordsAreACause,
    /// A tone can be false by the tone set and by how it bleeds at that pad.
    ToneIsACause,
    /// A tone counts only when every set of the pad was compared, on and off.
    ToneOnEverySet,
    /// Two markers can be false by the scheme they were put on by.
    MarkerSchemeIsACause,

    /// Excluding every seen set but one never names that one: `elsewhere` stays a candidate.
    ElsewhereStaysACandidate,
}

/// Which conditions a judgement keeps.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Conditions {
    dropped: u64,
}

impl Conditions {
    /// All of them: the only way that what ships judges.
    pub const ALL: Self = Self { dropped: 0 };

    /// All of them but one.
    #[cfg(feature = "weakened")]
    pub const fn without(condition: Condition) -> Self {
        Self { dropped: 1 << condition as u64 }
    }

    /// Whether `condition` is kept.
    pub(crate) const fn keep(self, condition: Condition) -> bool {
        self.dropped & (1 << condition as u64) == 0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_conditions_fit_and_are_kept() {
        assert!(Condition::ALL.len() <= 64);
        assert!(Condition::ALL.iter().all(|&c| Conditions::ALL.keep(c)));
    }
}
