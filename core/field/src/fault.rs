//! The fault catalogue: every single thing that can be false in the field, as data, with what
//! brings it about. What people do wrong is not here: that lives with the simulated crew.

mod ground;

use crate::clamp::ClampFault;
use crate::kit::Kit;
use crate::mistake::MistakeKind;
use crate::record::Record;
use crate::seed::Draw;
use crate::tester::TesterFault;
use crate::world::{FieldError, World};

macro_rules! faults {
    ($($(#[$doc:meta])+ $name:ident = $id:literal,)+) => {
        /// A single fault.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
        pub enum Fault {
            /// A mistake in the record.
            Record(MistakeKind),
            $($(#[$doc])+ $name,)+
        }

        /// Every fault that is not a mistake in the record.
        const BEYOND_THE_RECORD: &[Fault] = &[$(Fault::$name),+];

        impl Fault {
            /// Its stable id.
            pub fn id(self) -> &'static str {
                match self {
                    Self::Record(kind) => kind.id(),
                    $(Self::$name => $id,)+
                }
            }
        }
    };
}

faults! {
    /// The clamp shows zero whatever flows.
    ClampStuckAtZero = "clamp-stuck-at-zero",
    /// The clamp shows two fifths of what flows.
    ClampReadsLow = "clamp-reads-low",
    /// The clamp shows nearly twice what flows.
    ClampReadsHigh = "clamp-reads-high",
    /// The clamp is on the wrong range and shows a tenth of what flows.
    ClampWrongRange = "clamp-wrong-range",
    /// The clamp's jaws do not close.
    ClampJawOpen = "clamp-jaw-open",
    /// The tester's battery is dead.
    TesterDeadBattery = "tester-dead-battery",
    /// The tester's battery is low: it shows too little, now more, now less.
    TesterLowBattery = "tester-low-battery",
    /// A lead of the tester is broken.
    TesterLeadOpen = "tester-lead-open",
    /// The tester is on the wrong range.
    TesterWrongRange = "tester-wrong-range",
    /// The tester is an ordinary multimeter and shows ghosts.
    TesterHighImpedance = "tester-high-impedance",
    /// The target's set goes on in another metal.
    StraightSplice = "straight-splice",
    /// The target's set lies as two runs side by side, and the map knows one.
    SecondRun = "second-run",
    /// A neighbour is fed through the target's set.
    SharedSet = "shared-set",
    /// An empty house is fed through the target's set.
    SharedWithVacant = "shared-with-vacant",
    /// A street light hangs on the target's set.
    StreetLightOnSet = "street-light-on-set",
    /// A load is tapped ahead of the target's meter.
    UnmeteredTap = "unmetered-tap",
    /// The neutral of the target's set is broken.
    OpenNeutral = "open-neutral",
    /// The pad's common neutral is poor: a tone is heard on the wrong sets too.
    PoorNeutral = "poor-neutral",
    /// The target's meter and another's were put into each other's bases.
    MetersExchanged = "meters-exchanged",
    /// The target's meter was replaced, and nobody wrote the new number down.
    MeterReplaced = "meter-replaced",
    /// The target's plate and another's hang on each other's walls.
    PlatesExchanged = "plates-exchanged",
    /// The target's pad and another carry each other's tags.
    TagsExchanged = "tags-exchanged",
    /// The tag of the target's pad was replaced by one that no map knows.
    TagReplaced = "tag-replaced",
    /// Most of the pad's tag is gone.
    TagUnreadable = "tag-unreadable",
    /// Trees or walls hide the sky at the target's pad.
    FixUnderCanopy = "fix-under-canopy",
    /// The pad ends of the target's set and another carry each other's marks.
    MarksExchanged = "marks-exchanged",
    /// Another set of the pad carries the mark of the target's set.
    MarkRepeated = "mark-repeated",
    /// The target has a generator that nobody was told of.
    UntoldGenerator = "untold-generator",
    /// The target has a generator that nobody was told of, and it runs.
    GeneratorRunning = "generator-running",
    /// The target has photovoltaics that nobody was told of, and they run.
    PvRunning = "pv-running",
    /// A neighbour on the same pad has a generator that runs.
    NeighbourGenerates = "neighbour-generates",
    /// A neighbour's loads come and go with the target's.
    NeighbourInStep = "neighbour-in-step",
    /// A large load of the target comes and goes every other minute.
    RestlessLoad = "restless-load",
    /// A large load of a neighbour on the same pad comes and goes every other minute.
    RestlessNeighbour = "restless-neighbour",
    /// The target stands empty.
    TargetVacant = "target-vacant",
    /// Nobody is at the target to let anybody in.
    NobodyThere = "nobody-there",
    /// The target has no supply behind its meter.
    NoSupply = "no-supply",
    /// The target's wiring is not safe to load.
    UnsafeWiring = "unsafe-wiring",
}

impl Fault {
    /// Every fault, mistakes in the record first.
    pub const ALL: [Self; MistakeKind::ALL.len() + BEYOND_THE_RECORD.len()] = {
        let mut all = [Self::ClampStuckAtZero; MistakeKind::ALL.len() + BEYOND_THE_RECORD.len()];
        let (mut record, mut rest) = (MistakeKind::ALL.as_slice(), BEYOND_THE_RECORD);
        let mut free = all.as_mut_slice();
        while let [slot, after @ ..] = free {
            if let [kind, more @ ..] = record {
                *slot = Self::Record(*kind);
                record = more;
            } else if let [fault, more @ ..] = rest {
                *slot = *fault;
                rest = more;
            }
            free = after;
        }
        all
    };

    /// The fault with this id.
    pub fn by_id(id: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|fault| fault.id() == id)
    }

    /// Brings the fault about around a target service: in the world, the record or the kit. The
    /// record is left as it was where the fault lies in the ground: draw it first. False when the
    /// world has no room for the fault (no second pad, no neighbour, no junction).
    pub fn arrange(
        self,
        target: &str,
        world: &mut World,
        record: &mut Record,
        kit: &mut Kit,
        draw: &mut Draw,
    ) -> Result<bool, FieldError> {
        if let Self::Record(kind) = self {
            let Some(mistake) = kind.draw(record, target, draw) else { return Ok(false) };
            record.apply(&mistake)?;
            return Ok(true);
        }
        if self.arrange_in_kit(kit) {
            return Ok(true);
        }
        let surprises = ground::surprises(self, target, world, draw)?;
        for surprise in &surprises {
            world.surprise(surprise)?;
        }
        Ok(!surprises.is_empty())
    }

    fn arrange_in_kit(self, kit: &mut Kit) -> bool {
        *kit = match self {
            Self::ClampStuckAtZero => kit.with_clamp_fault(ClampFault::StuckAtZero),
            Self::ClampReadsLow => kit.with_clamp_fault(ClampFault::GainOff(0.4)),
            Self::ClampReadsHigh => kit.with_clamp_fault(ClampFault::GainOff(1.9)),
            Self::ClampWrongRange => kit.with_clamp_fault(ClampFault::GainOff(0.1)),
            Self::ClampJawOpen => kit.with_clamp_fault(ClampFault::JawOpen),
            Self::TesterDeadBattery => kit.with_tester_fault(TesterFault::DeadBattery),
            Self::TesterLowBattery => kit.with_tester_fault(TesterFault::LowBattery),
            Self::TesterLeadOpen => kit.with_tester_fault(TesterFault::LeadOpen),
            Self::TesterWrongRange => kit.with_tester_fault(TesterFault::WrongRange),
            Self::TesterHighImpedance => Kit { tester: kit.tester.high_impedance(), ..*kit },
            _ => return false,
        };
        true
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::neighbourhood::neighbourhood;
    use crate::seed::stream;
    use std::collections::BTreeSet;

    #[test]
    fn ids_are_given_once_and_found_again() {
        let ids: BTreeSet<&str> = Fault::ALL.into_iter().map(Fault::id).collect();
        assert_eq!(ids.len(), Fault::ALL.len());
        for fault in Fault::ALL {
            assert_eq!(Fault::by_id(fault.id()), Some(fault));
        }
        assert_eq!(Fault::by_id("no such fault"), None);
    }

    #[test]
    fn every_fault_can_be_brought_about_and_changes_something() {
        for fault in Fault::ALL {
            let arranged = (0..200).filter(|seed| {
                let mut world = neighbourhood(*seed);
                let mut record = Record::true_of(&world);
                let mut draw = stream(*seed, "fault");
                let mut kit = Kit::sound(&mut draw);
                let target = world.services_on(&world.pads["P01"].sets[0]).unwrap()[0].to_owned();
                let before = (world.clone(), record.clone(), kit);
                let done =
                    fault.arrange(&target, &mut world, &mut record, &mut kit, &mut draw).unwrap();
                assert_eq!(done, (world, record, kit) != before, "{fault:?} in {seed}");
                done
            });
            assert!(arranged.count() > 20, "{fault:?}");
        }
    }
}
