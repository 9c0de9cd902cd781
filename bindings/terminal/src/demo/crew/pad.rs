//! The lineworker at the pad.

use std::num::NonZeroU8;

use coldlug_core::{
    event::{
        Answers, Body, Bolt, Enclosure, Front, MarksPut, OhmsRead, Operation, OperationDone,
        PlacementMade,
    },
    plant::{Conductor, Pair},
    quantity::{AssetId, Decimal, EventId, MarksId, PlacementId},
    reading::{OhmsReading, Place},
    reconcile::By,
    sighting::{End, Handle, MarkedSet, Marks, Seen, SetAt},
};

use super::house::sighting;
use crate::demo::{halt::Halt, people::Hand, play::Play, tools::Tool};

const WHO: Hand = Hand::Pad;
/// Clearly a load to any clamp.
const CLEAR_LOAD_AMPS: f64 = 1.7;
/// So often the crew waits two minutes for a neighbour to switch something on.
const WAITS_FOR_LOAD: u32 = 20;
/// Marks go on in this order.
const LETTERS: [&str; 8] = ["A", "B", "C", "D", "E", "F", "G", "H"];

/// What was seen on arriving at a pad.
pub(crate) struct Found {
    /// The tag as far as it can be read.
    pub(crate) tag: String,
    /// 68 % radius of the fix, metres.
    pub(crate) radius_m: String,
    /// Cable sets in it.
    pub(crate) sets: u16,
}

/// Finds the pad: tag, fix, and the count of sets once it is open.
pub(crate) fn find(play: &mut Play<'_>, pad: &AssetId) -> Result<Found, Halt> {
    play.pass_s(120);
    let read = play.site.tag(pad.as_str())?;
    let tag = Seen::Tag {
        pad: Some(pad.clone()),
        pattern: read.pattern.clone(),
        maybe_upside_down: read.upside_down,
    };
    sighting(play, WHO, tag)?;
    play.pass_s(20);
    let fix = play.site.fix(pad.as_str())?;
    let metres = decimal(fix.radius68_m, 1)?;
    let seen = Seen::Fix {
        pad: Some(pad.clone()),
        lon_deg: decimal(fix.at.lon, 6)?,
        lat_deg: decimal(fix.at.lat, 6)?,
        radius68_m: metres,
    };
    sighting(play, WHO, seen)?;
    play.pass_s(180);
    let sets = play.site.set_count(pad.as_str())?;
    sighting(play, WHO, Seen::SetCount { pad: pad.clone(), count: sets })?;
    Ok(Found { tag: read.pattern, radius_m: metres.to_string(), sets })
}

/// Marks every set of a pad in one go, and notes what each looks like.
pub(crate) fn mark_sets(play: &mut Play<'_>, pad: &AssetId) -> Result<Vec<String>, Halt> {
    let count = usize::from(play.site.set_count(pad.as_str())?);
    let id = MarksId::new(play.names.next("marks"))?;
    let sets: Vec<MarkedSet> = LETTERS
        .iter()
        .take(count)
        .enumerate()
        .map(|(i, mark)| MarkedSet { mark: (*mark).to_owned(), position: (i + 1).to_string() })
        .collect();
    play.pass_s(60);
    let marks = Marks { id: id.clone(), pad: pad.clone(), sets: sets.clone() };
    play.write(WHO, Body::MarksPut(MarksPut { marks }))?;
    play.marks.insert(pad.clone(), id.clone());
    let mut looks = Vec::new();
    for set in sets {
        play.pass_s(20);
        let look = play.site.look_at_lug(pad.as_str(), &set.position)?;
        looks.push(format!("{} {:?} {}", set.mark, look.metal, look.size));
        let handle = Handle::Mark { marks: id.clone(), mark: set.mark };
        let seen = Seen::Conductor {
            end: End::Lug { pad: pad.clone(), handle },
            metal: look.metal,
            size: Some(look.size),
        };
        sighting(play, WHO, seen)?;
    }
    Ok(looks)
}

/// How a set is found again in its cabinet.
pub(crate) fn handle(play: &Play<'_>, set: &SetAt, by: By) -> Result<Handle, Halt> {
    match by {
        By::Position => Ok(Handle::Position { position: set.position.clone() }),
        By::Mark => {
            let marks = play.marks.get(&set.pad).cloned().ok_or(Halt::stuck("no marks on it"))?;
            let mark = set
                .position
                .parse::<usize>()
                .ok()
                .and_then(|n| n.checked_sub(1))
                .and_then(|i| LETTERS.get(i))
                .ok_or(Halt::stuck("no mark for that position"))?;
            Ok(Handle::Mark { marks, mark: (*mark).to_owned() })
        }
    }
}

/// Places the clamp on one leg of a set.
pub(crate) fn place(
    play: &mut Play<'_>,
    set: &SetAt,
    by: By,
    leg: Conductor,
) -> Result<PlacementId, Halt> {
    play.pass_s(40);
    let placement = PlacementId::new(play.names.next("placement"))?;
    let handle = handle(play, set, by)?;
    let body = Body::Placement(PlacementMade {
        placement: placement.clone(),
        pad: set.pad.clone(),
        handle,
        leg: Some(leg),
        runs_in_jaws: NonZeroU8::MIN,
        instrument: Tool::Clamp.id()?,
    });
    play.write(WHO, body)?;
    Ok(placement)
}

/// Reads legs of the other sets until one carries load: only then does a zero of the same clamp
/// mean anything.
pub(crate) fn find_load(play: &mut Play<'_>, set: &SetAt) -> Result<(), Halt> {
    for _ in 0..WAITS_FOR_LOAD {
        if load_now(play, set)? {
            return Ok(());
        }
        play.pass_s(120);
    }
    Err(Halt::stuck("no other conductor of this pad carries a load"))
}

fn load_now(play: &mut Play<'_>, set: &SetAt) -> Result<bool, Halt> {
    let count = play.site.set_count(set.pad.as_str())?;
    let others = (1..=count).map(|n| n.to_string()).filter(|n| *n != set.position);
    for position in others {
        let other = SetAt { pad: set.pad.clone(), position };
        for leg in [Conductor::L1, Conductor::L2] {
            let placement = place(play, &other, By::Mark, leg)?;
            play.pass_s(10);
            let amps = play.site.amps(other.pad.as_str(), &other.position, leg, &play.clock)?;
            sighting(play, WHO, Seen::Amps { placement, deed: None, amps })?;
            if amps.to_f64() >= CLEAR_LOAD_AMPS {
                return Ok(true);
            }
        }
    }
    Ok(false)
}

/// Reads the amps of the neutral and every leg of a set, with a fresh placement each: the leg that
/// is lifted next comes last, and the clamp stays on it.
pub(crate) fn amps_on_every_conductor(
    play: &mut Play<'_>,
    set: &SetAt,
    next: Conductor,
) -> Result<Vec<(Conductor, Decimal)>, Halt> {
    let mut read = Vec::new();
    let other = if next == Conductor::L1 { Conductor::L2 } else { Conductor::L1 };
    for leg in [Conductor::N, other, next] {
        let placement = place(play, set, By::Mark, leg)?;
        play.pass_s(10);
        let amps = play.site.amps(set.pad.as_str(), &set.position, leg, &play.clock)?;
        let deed = play.pull.clone();
        sighting(play, WHO, Seen::Amps { placement, deed, amps })?;
        read.push((leg, amps));
    }
    Ok(read)
}

/// Answers what is asked of a set before anything is opened.
pub(crate) fn answer(play: &mut Play<'_>, set: &SetAt) -> Result<(), Halt> {
    play.pass_s(60);
    let body = Body::Answers(Answers {
        pad: set.pad.clone(),
        position: set.position.clone(),
        bolt: Bolt::Own,
        runs_per_leg: 1,
        meters_on_set: 1,
        front: Front::Dead,
        enclosure: Enclosure {
            case_volts: "0.2".parse().map_err(|_| Halt::stuck("0.2 is a number"))?,
            wet: false,
            damage: false,
            animals: false,
        },
    });
    play.write(WHO, body)?;
    Ok(())
}

/// What is written when one leg of a set is lifted.
pub(crate) fn lift_body(play: &mut Play<'_>, set: &SetAt, leg: Conductor) -> Result<Body, Halt> {
    let handle = handle(play, set, By::Mark)?;
    let loosened_amps = play.site.amps(set.pad.as_str(), &set.position, leg, &play.clock)?;
    let pad = set.pad.clone();
    let operation = Operation::LegLifted { pad, handle, leg, runs: 1, loosened_amps };
    Ok(Body::Operation(OperationDone { operation, making_safe: false }))
}

/// Lifts one leg, caps, restrains and tags it.
pub(crate) fn lift(play: &mut Play<'_>, set: &SetAt, leg: Conductor) -> Result<EventId, Halt> {
    play.pass_s(60);
    let body = lift_body(play, set, leg)?;
    let lifted = play.write(WHO, body)?;
    play.site.lift(set.pad.as_str(), &set.position, leg, true)?;
    let (pad, position) = (&set.pad, &set.position);
    for operation in [
        Operation::LegCapped { pad: pad.clone(), position: position.clone(), leg },
        Operation::LegRestrained { pad: pad.clone(), position: position.clone(), leg },
        Operation::LegTagged { pad: pad.clone(), position: position.clone(), leg },
    ] {
        play.pass_s(30);
        operate(play, operation)?;
    }
    Ok(lifted)
}

/// What is written when one leg is landed again.
pub(crate) fn land_body(set: &SetAt, leg: Conductor) -> Body {
    let (pad, position) = (set.pad.clone(), set.position.clone());
    let operation = Operation::LegLanded { pad, position, leg };
    Body::Operation(OperationDone { operation, making_safe: false })
}

/// The word of the pad's phone: everything at the pad was looked over, nobody is in there.
pub(crate) fn say_clear(play: &mut Play<'_>) -> Result<(), Halt> {
    play.pass_s(60);
    let service = play.job.service.clone();
    let findings = "ends capped and tagged, nobody in the cabinet".to_owned();
    operate(play, Operation::Inspected { service, findings, released: true })?;
    Ok(())
}

/// Lands one leg.
pub(crate) fn land(play: &mut Play<'_>, set: &SetAt, leg: Conductor) -> Result<(), Halt> {
    play.pass_s(120);
    play.write(WHO, land_body(set, leg))?;
    play.site.lift(set.pad.as_str(), &set.position, leg, false)?;
    Ok(())
}

/// Shorts the lifted legs to neutral, or takes the short off.
pub(crate) fn short(play: &mut Play<'_>, set: &SetAt, on: bool) -> Result<(), Halt> {
    play.pass_s(60);
    let (pad, position) = (set.pad.clone(), set.position.clone());
    let operation = if on {
        Operation::SetShorted { pad, position }
    } else {
        Operation::ShortRemoved { pad, position }
    };
    operate(play, operation)?;
    play.site.short(set.pad.as_str(), &set.position, on)?;
    Ok(())
}

/// Looks at the neutral and tightens it.
pub(crate) fn verify_neutral(play: &mut Play<'_>, set: &SetAt) -> Result<(), Halt> {
    play.pass_s(60);
    let (pad, position) = (set.pad.clone(), set.position.clone());
    operate(play, Operation::NeutralVerified { pad, position })?;
    Ok(())
}

/// Volts on the pad's bus.
pub(crate) fn volts_on_bus(
    play: &mut Play<'_>,
    pad: &AssetId,
    pairs: &[Pair],
) -> Result<Vec<EventId>, Halt> {
    let place = Place::PadBus { pad: pad.clone() };
    pairs.iter().map(|&pair| play.read_volts(WHO, Tool::PadTester, &place, pair)).collect()
}

/// Insulation of every pair of the lifted legs, both ends free; the tester is shown on a known box
/// first.
pub(crate) fn insulation(play: &mut Play<'_>, set: &SetAt) -> Result<Vec<Decimal>, Halt> {
    let mut read = Vec::new();
    play.prove_insulation_tester()?;
    for between in [
        Pair(Conductor::L1, Conductor::L2),
        Pair(Conductor::L1, Conductor::N),
        Pair(Conductor::L2, Conductor::N),
    ] {
        play.pass_s(70);
        let megohms = play.site.megohms(set.pad.as_str(), &set.position)?;
        let body = Body::Ohms(OhmsRead {
            pad: set.pad.clone(),
            position: set.position.clone(),
            both_ends_free: true,
            reading: OhmsReading { between, megohms, instrument: Tool::Insulation.id()? },
        });
        play.write(WHO, body)?;
        read.push(megohms);
    }
    Ok(read)
}

fn operate(play: &mut Play<'_>, operation: Operation) -> Result<EventId, Halt> {
    play.write(WHO, Body::Operation(OperationDone { operation, making_safe: false }))
}

fn decimal(value: f64, places: u32) -> Result<Decimal, Halt> {
    Decimal::from_f64(value, places).ok_or(Halt::stuck("a number that cannot be shown"))
}
