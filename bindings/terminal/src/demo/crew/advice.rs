//! Doing what the software asks for next.

use std::collections::BTreeMap;

use coldlug_core::{
    plant::Conductor,
    reconcile::{By, SettlingTest, Test},
    sighting::{Candidate, SetAt},
};

use super::{
    electrician, house, pad,
    step::{self, Outlet, Saw},
};
use crate::demo::{halt::Halt, play::Play, scene::clearance};

/// What the crew remembers between tests: on which leg of a set the load was seen.
#[derive(Debug, Default)]
pub(crate) struct Memory {
    seen_on: BTreeMap<SetAt, Conductor>,
    /// How often each set was read and came out unclear.
    unclear: BTreeMap<SetAt, u32>,
    /// How often each set and handle was tried, so that a failed run goes to the other outlet.
    tries: BTreeMap<(SetAt, By), u32>,
}

/// What came of one test, for the table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Outcome {
    /// Somebody is at the premises; so many own sources were switched off.
    AtPremises {
        /// How many.
        sources: usize,
    },
    /// Something was read.
    Read(String),
    /// The load was seen on a leg of a set.
    Seen {
        /// The set.
        set: SetAt,
        /// The leg.
        leg: Conductor,
        /// Slots in which the amps moved.
        moved: usize,
    },
    /// The amps moved, and not with the load.
    Unclear {
        /// The set.
        set: SetAt,
    },
    /// Flat on both legs.
    Flat {
        /// The set.
        set: SetAt,
    },
    /// Sets were found and marked.
    Marked(Vec<String>),
}

/// Does the first test of the list.
pub(crate) fn follow(
    play: &mut Play<'_>,
    memory: &mut Memory,
    offered: &[SettlingTest],
) -> Result<(Test, Outcome), Halt> {
    let test = offered
        .first()
        .map(|offered| offered.test.clone())
        .ok_or_else(|| Halt::stuck("nothing is offered that would settle it"))?;
    let outcome = match &test {
        Test::BeginStay | Test::BeginStayAnew => {
            if test == Test::BeginStayAnew {
                house::end_stay(play)?;
            }
            house::begin_stay(play)?;
            let found = house::sources_off(play)?;
            Outcome::AtPremises { sources: found }
        }
        Test::ReadMeterNumber => Outcome::Read(house::read_meter_number(play)?),
        Test::ReadPlate => Outcome::Read(house::read_plate(play)?),
        Test::PictureOfMeter => {
            let picture = house::picture(play, None)?;
            Outcome::Read(house::picture_read_at_pad(play, picture)?)
        }
        Test::AskCustomer => {
            house::ask_customer(play)?;
            Outcome::Read(play.job.service.to_string())
        }
        Test::AskElectrician => {
            electrician::open_link(play, &clearance()?)?;
            electrician::say_where(play)?;
            Outcome::Read(play.job.service.to_string())
        }
        Test::SearchPad { pad } => {
            pad::find(play, pad)?;
            Outcome::Marked(pad::mark_sets(play, pad)?)
        }
        Test::LoadStep { set, by, leg, outlet } => {
            let set = quieter(play, memory, set)?;
            let outcome = load_step(play, memory, &set, *by)?;
            let done = Test::LoadStep { set, by: *by, leg: *leg, outlet: outlet.clone() };
            return Ok((done, outcome));
        }
        test => return Err(Halt::stuck(format!("this crew cannot do {}", test.id()))),
    };
    Ok((test, outcome))
}

/// The set to read: the one that is asked for, or, when somebody else's load keeps drowning the
/// step there, the possible one that drowned it least.
fn quieter(play: &mut Play<'_>, memory: &Memory, asked: &SetAt) -> Result<SetAt, Halt> {
    let drowned = |set: &SetAt| memory.unclear.get(set).copied().unwrap_or(0);
    if drowned(asked) < UNCLEAR_BEFORE_ANOTHER {
        return Ok(asked.clone());
    }
    let judged = play.judgement()?;
    let possible = judged.candidates.into_iter().filter(|row| row.excluded_by.is_empty());
    let sets = possible.filter_map(|row| match row.candidate {
        Candidate::Set(set) => Some(set),
        Candidate::Elsewhere => None,
    });
    Ok(sets.min_by_key(|set| drowned(set)).unwrap_or_else(|| asked.clone()))
}

/// So often a set is read before the crew tries another one first.
const UNCLEAR_BEFORE_ANOTHER: u32 = 2;

/// One outlet, first one leg of the set, then the other, until the load is seen or both are flat.
///
/// Both legs are read with the load at the same outlet: a flat leg says nothing about a load that
/// hangs on the other.
fn load_step(
    play: &mut Play<'_>,
    memory: &mut Memory,
    set: &SetAt,
    by: By,
) -> Result<Outcome, Halt> {
    let tried = memory.tries.entry((set.clone(), by)).or_default();
    *tried += 1;
    let fresh = (by == By::Position) != tried.is_multiple_of(2);
    let outlet = if fresh { Outlet::Second } else { Outlet::First };
    let first = match memory.seen_on.get(set) {
        // Other outlet, most likely other leg.
        Some(Conductor::L1) => Conductor::L2,
        _ => Conductor::L1,
    };
    let second = if first == Conductor::L1 { Conductor::L2 } else { Conductor::L1 };
    for leg in [first, second] {
        match step::run(play, set, by, leg, outlet)? {
            Saw::Seen { moved } => {
                memory.seen_on.insert(set.clone(), leg);
                return Ok(Outcome::Seen { set: set.clone(), leg, moved });
            }
            Saw::Unclear => {
                // Whatever ran there may have stopped by then.
                play.pass_s(300);
                *memory.unclear.entry(set.clone()).or_default() += 1;
                return Ok(Outcome::Unclear { set: set.clone() });
            }
            Saw::Flat => {}
        }
    }
    Ok(Outcome::Flat { set: set.clone() })
}
