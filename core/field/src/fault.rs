//! The fault catalogue: every single thing that can be false in the field, as data, with what
//! brings it about. What people do wrong is not here: that lives with the simulated crew.

use crate::clamp::ClampFault;
use crate::conductor::{Metal, Size};
use crate::kit::Kit;
use crate::mistake::MistakeKind;
use crate::record::Record;
use crate::seed::Draw;
use crate::surprise::Surprise;
use crate::tester::TesterFault;
use crate::world::{FieldError, World};

/// A single fault.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fault {
    /// A mistake in the record.
    Record(MistakeKind),
    /// The clamp shows zero whatever flows.
    ClampStuckAtZero,
    /// The clamp shows two fifths of what flows.
    ClampReadsLow,
    /// The clamp shows nearly twice what flows.
    ClampReadsHigh,
    /// The clamp's jaws do not close.
    ClampJawOpen,
    /// The tester's battery is dead.
    TesterDeadBattery,
    /// A lead of the tester is broken.
    TesterLeadOpen,
    /// The tester is on the wrong range.
    TesterWrongRange,
    /// The tester is an ordinary multimeter and shows ghosts.
    TesterHighImpedance,
    /// The target's set goes on in another metal.
    StraightSplice,
    /// A neighbour is fed through the target's set.
    SharedSet,
    /// An empty house is fed through the target's set.
    SharedWithVacant,
    /// A load is tapped ahead of the target's meter.
    UnmeteredTap,
    /// The target's meter and another's were put into each other's bases.
    MetersExchanged,
    /// The target's plate and another's hang on each other's walls.
    PlatesExchanged,
    /// The target's pad and another carry each other's tags.
    TagsExchanged,
    /// The pad ends of the target's set and another carry each other's marks.
    MarksExchanged,
    /// The target has a generator that nobody was told of.
    UntoldGenerator,
    /// A neighbour's loads come and go with the target's.
    NeighbourInStep,
    /// The target stands empty.
    TargetVacant,
    /// Most of the pad's tag is gone.
    TagUnreadable,
}

impl Fault {
    /// Every fault.
    pub const ALL: [Self; 31] = [
        Self::Record(MistakeKind::WrongPad),
        Self::Record(MistakeKind::SwappedTags),
        Self::Record(MistakeKind::MissingService),
        Self::Record(MistakeKind::ExtraService),
        Self::Record(MistakeKind::WrongMetal),
        Self::Record(MistakeKind::WrongSize),
        Self::Record(MistakeKind::WrongMeterNumber),
        Self::Record(MistakeKind::SwappedMeters),
        Self::Record(MistakeKind::PadMoved),
        Self::Record(MistakeKind::SwappedSets),
        Self::Record(MistakeKind::HiddenSplice),
        Self::ClampStuckAtZero,
        Self::ClampReadsLow,
        Self::ClampReadsHigh,
        Self::ClampJawOpen,
        Self::TesterDeadBattery,
        Self::TesterLeadOpen,
        Self::TesterWrongRange,
        Self::TesterHighImpedance,
        Self::StraightSplice,
        Self::SharedSet,
        Self::SharedWithVacant,
        Self::UnmeteredTap,
        Self::MetersExchanged,
        Self::PlatesExchanged,
        Self::TagsExchanged,
        Self::MarksExchanged,
        Self::UntoldGenerator,
        Self::NeighbourInStep,
        Self::TargetVacant,
        Self::TagUnreadable,
    ];

    /// Its stable id.
    pub fn id(self) -> &'static str {
        match self {
            Self::Record(kind) => kind.id(),
            Self::ClampStuckAtZero => "clamp-stuck-at-zero",
            Self::ClampReadsLow => "clamp-reads-low",
            Self::ClampReadsHigh => "clamp-reads-high",
            Self::ClampJawOpen => "clamp-jaw-open",
            Self::TesterDeadBattery => "tester-dead-battery",
            Self::TesterLeadOpen => "tester-lead-open",
            Self::TesterWrongRange => "tester-wrong-range",
            Self::TesterHighImpedance => "tester-high-impedance",
            Self::StraightSplice => "straight-splice",
            Self::SharedSet => "shared-set",
            Self::SharedWithVacant => "shared-with-vacant",
            Self::UnmeteredTap => "unmetered-tap",
            Self::MetersExchanged => "meters-exchanged",
            Self::PlatesExchanged => "plates-exchanged",
            Self::TagsExchanged => "tags-exchanged",
            Self::MarksExchanged => "marks-exchanged",
            Self::UntoldGenerator => "untold-generator",
            Self::NeighbourInStep => "neighbour-in-step",
            Self::TargetVacant => "target-vacant",
            Self::TagUnreadable => "tag-unreadable",
        }
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
        if self == Self::TagUnreadable {
            let id = world.pad_of(target)?.to_owned();
            if let Some(pad) = world.pads.get_mut(&id) {
                pad.tag_characters_lost = 5;
            }
            return Ok(true);
        }
        let surprises = self.surprises(target, world, draw)?;
        for surprise in &surprises {
            world.surprise(surprise)?;
        }
        Ok(!surprises.is_empty())
    }

    fn arrange_in_kit(self, kit: &mut Kit) -> bool {
        let clamp = match self {
            Self::ClampStuckAtZero => Some(ClampFault::StuckAtZero),
            Self::ClampReadsLow => Some(ClampFault::GainOff(0.4)),
            Self::ClampReadsHigh => Some(ClampFault::GainOff(1.9)),
            Self::ClampJawOpen => Some(ClampFault::JawOpen),
            _ => None,
        };
        let tester = match self {
            Self::TesterDeadBattery => Some(TesterFault::DeadBattery),
            Self::TesterLeadOpen => Some(TesterFault::LeadOpen),
            Self::TesterWrongRange => Some(TesterFault::WrongRange),
            _ => None,
        };
        if let Some(fault) = clamp {
            kit.clamp = kit.clamp.with_fault(fault);
        }
        if let Some(fault) = tester {
            kit.tester = kit.tester.with_fault(fault);
        }
        if self == Self::TesterHighImpedance {
            kit.tester = kit.tester.high_impedance();
        }
        clamp.is_some() || tester.is_some() || self == Self::TesterHighImpedance
    }

    fn surprises(
        self,
        target: &str,
        world: &World,
        draw: &mut Draw,
    ) -> Result<Vec<Surprise>, FieldError> {
        let service = target.to_owned();
        let own_set = world.feeding_set(target)?.to_owned();
        let Some(neighbour) = neighbour(world, target, draw)? else {
            return Ok(self.alone(service, own_set, draw));
        };
        let (a, b) = (service.clone(), neighbour.clone());
        Ok(match self {
            Self::SharedSet => vec![Surprise::SharedSet { service, neighbour }],
            Self::SharedWithVacant => vec![
                Surprise::Vacated { service: neighbour.clone() },
                Surprise::SharedSet { service, neighbour },
            ],
            Self::MetersExchanged => vec![Surprise::SwappedMeters { a, b }],
            Self::PlatesExchanged => vec![Surprise::SwappedPlates { a, b }],
            Self::NeighbourInStep => vec![Surprise::SameHabits { service, neighbour }],
            Self::MarksExchanged => {
                let b = world.feeding_set(&neighbour)?.to_owned();
                let marked = |id: &str| world.set(id).is_ok_and(|s| s.mark_at_start.is_some());
                if !marked(&own_set) && !marked(&b) {
                    return Ok(Vec::new());
                }
                vec![Surprise::SwappedMarks { a: own_set, b }]
            }
            Self::TagsExchanged => {
                let a = world.pad_of(target)?.to_owned();
                let others: Vec<&String> = world.pads.keys().filter(|id| **id != a).collect();
                let other = draw.pick(&others).map(|id| (*id).clone());
                other.map(|b| Surprise::SwappedTags { a, b }).into_iter().collect()
            }
            _ => self.alone(service, own_set, draw),
        })
    }

    /// The surprises that need no neighbour.
    fn alone(self, service: String, set: String, draw: &mut Draw) -> Vec<Surprise> {
        match self {
            Self::StraightSplice => {
                let metal = if draw.chance(0.5) { Metal::Al } else { Metal::Cu };
                vec![Surprise::StraightSplice { set, metal, size: Size::Kcmil500 }]
            }
            Self::UnmeteredTap => {
                vec![Surprise::UnmeteredTap { service, amps: draw.between(0.4, 4.0) }]
            }
            Self::UntoldGenerator => {
                vec![Surprise::UntoldGenerator { service, kw: draw.between(2.0, 9.0) }]
            }
            Self::TargetVacant => vec![Surprise::Vacated { service }],
            _ => Vec::new(),
        }
    }
}

/// A metered service on another set of the same pad.
fn neighbour(world: &World, target: &str, draw: &mut Draw) -> Result<Option<String>, FieldError> {
    let set = world.feeding_set(target)?;
    let pad = world.pad_of(target)?;
    let mut near = Vec::new();
    for other in world.pad(pad)?.sets.iter().filter(|id| id.as_str() != set) {
        for service in world.services_on(other)? {
            if world.service(service)?.meter.is_some() {
                near.push(service.to_owned());
            }
        }
    }
    Ok(draw.pick(&near).cloned())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::seed::stream;
    use crate::small::small;
    use std::collections::BTreeSet;

    #[test]
    fn ids_are_given_once() {
        let ids: BTreeSet<&str> = Fault::ALL.into_iter().map(Fault::id).collect();
        assert_eq!(ids.len(), Fault::ALL.len());
        for kind in MistakeKind::ALL {
            assert!(Fault::ALL.contains(&Fault::Record(kind)), "{kind:?}");
        }
    }

    #[test]
    fn every_fault_can_be_brought_about_and_changes_something() {
        for fault in Fault::ALL {
            let arranged = (0..300).filter(|seed| {
                let mut world = small(*seed);
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
