//! A case: everything that one simulated job is played on, drawn from one seed.

use crate::fault::Fault;
use crate::kit::Kit;
use crate::mistake::MistakeKind;
use crate::neighbourhood::{metered, neighbourhood};
use crate::record::Record;
use crate::seed::{Draw, mix, stream};
use crate::world::{FieldError, World};

/// A job's field.
#[derive(Debug, Clone, PartialEq)]
pub struct Case {
    /// The truth.
    pub world: World,
    /// What the map and the meter book claim.
    pub record: Record,
    /// What the crew carries.
    pub kit: Kit,
    /// The service that the job is about.
    pub target: String,
    /// Which of the faults asked for were brought about; the world had no room for the others.
    pub arranged: Vec<Fault>,
    /// Whether the map names a wrong set or a wrong pad for the target, as asked.
    pub misdrawn: bool,
}

/// How many worlds are tried for one with room for all that is asked.
const WORLDS: u64 = 32;

impl Case {
    /// Draws the case of this seed with these faults, on top of a map that names the wrong set or
    /// the wrong pad for the target where `wrong_map` says so. Worlds without room for a fault
    /// are passed over; where none of many has it, the last stands without it.
    pub fn draw(seed: u64, faults: &[Fault], wrong_map: bool) -> Result<Self, FieldError> {
        let mut case = Self::in_world(seed, faults, wrong_map)?;
        for k in 1..WORLDS {
            if case.arranged.len() == faults.len() && case.misdrawn == wrong_map {
                break;
            }
            case = Self::in_world(mix(seed, k), faults, wrong_map)?;
        }
        Ok(case)
    }

    fn in_world(seed: u64, faults: &[Fault], wrong_map: bool) -> Result<Self, FieldError> {
        let mut draw = stream(seed, "case");
        let mut world = neighbourhood(seed);
        let target = choose(&world, &mut draw)?;
        let mut record = Record::true_of(&world);
        let misdrawn = wrong_map && misdraw(&mut record, &target, &mut draw)?;
        let mut kit = Kit::drawn(&mut draw);
        let mut arranged = Vec::new();
        for fault in faults {
            if fault.arrange(&target, &mut world, &mut record, &mut kit, &mut draw)? {
                arranged.push(*fault);
            }
        }
        Ok(Self { world, record, kit, target, arranged, misdrawn })
    }
}

/// Mostly a house alone on its set; sometimes any.
fn choose(world: &World, draw: &mut Draw) -> Result<String, FieldError> {
    let from = if draw.chance(0.05) { metered(world) } else { world.all_alone()? };
    let none = || FieldError::UnknownService("any metered one".to_owned());
    draw.pick(&from).map(|id| (*id).to_owned()).ok_or_else(none)
}

/// Draws the target on another set of its pad, or on another pad. False where there is neither.
fn misdraw(record: &mut Record, target: &str, draw: &mut Draw) -> Result<bool, FieldError> {
    let mut kinds = [MistakeKind::WrongPad, MistakeKind::SwappedSets];
    if draw.chance(0.5) {
        kinds.reverse();
    }
    for kind in kinds {
        if let Some(mistake) = kind.draw(record, target, draw) {
            record.apply(&mistake)?;
            return Ok(true);
        }
    }
    Ok(false)
}

#[cfg(test)]
mod tests {
    use super::*;
    #[test]
    fn every_fault_finds_room_in_nearly_every_case() {
        for fault in Fault::ALL {
            let room = (0..60).filter(|seed| {
                let case = Case::draw(*seed, &[fault], false).unwrap();
                case.arranged == [fault]
            });
            let room = room.count();
            assert!(room >= 57, "{fault:?}: {room} of 60");
        }
    }

    #[test]
    fn any_two_faults_can_stand_together() {
        let mut without_room = 0;
        for (seed, first) in (0u64..).zip(Fault::ALL) {
            for second in Fault::ALL.into_iter().filter(|second| *second > first) {
                let faults = [first, second];
                let case = Case::draw(mix(seed, 9), &faults, seed.is_multiple_of(2)).unwrap();
                without_room += u32::from(case.arranged != faults);
                let found = case.world.as_found();
                for pad in case.world.pads.keys() {
                    case.world.flow(pad, 60.0, &found).unwrap();
                }
            }
        }
        assert!(without_room < 10, "{without_room}");
    }

    #[test]
    fn a_wrong_map_names_another_set_or_pad() {
        for seed in 0..200 {
            let case = Case::draw(seed, &[], true).unwrap();
            assert!(case.misdrawn);
            let true_pad = case.world.pad_of(&case.target).unwrap();
            let true_set = case.world.feeding_set(&case.target).unwrap();
            let named = (
                case.record.pad_of(&case.target).unwrap(),
                case.record.feeding_set(&case.target).unwrap(),
            );
            assert_ne!(named, (true_pad, true_set), "{seed}");
        }
    }
}
