//! The coded load step: the house switches by a sealed code, the pad reads what it sees.

use coldlug_core::{
    event::{Body, SightingMade, SwitchingRunBegun, SwitchingRunEnded},
    plant::Conductor,
    quantity::{Decimal, RunId},
    reconcile::By,
    sighting::{
        BeforeAfter, DrawnCode, Idle, Limits, Seen, SetAt, Slot, SlotKey, SlotReading, draw_code,
        seal,
    },
};

use super::{house, pad};
use crate::demo::{halt::Halt, people::Hand, play::Play, site::KNOWN_LOAD_AMPS};

/// What the pad calls a rise or a fall: half of the known load.
const MOVED_AMPS: f64 = KNOWN_LOAD_AMPS / 2.0;
/// Tolerance of the known load: a resistive heater, from memory.
const LOAD_TOLERANCE_PERCENT: &str = "5";

/// Where the load can be plugged in; which leg an outlet hangs on is the house's secret.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Outlet {
    /// Beside the panel.
    First,
    /// At the other end of the house.
    Second,
}

impl Outlet {
    const fn words(self) -> &'static str {
        match self {
            Self::First => "receptacle beside the panel",
            Self::Second => "receptacle in the kitchen",
        }
    }
}

/// What the pad saw in one run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Saw {
    /// Every change and hold as the code has it.
    Seen {
        /// Slots in which the amps moved.
        moved: usize,
    },
    /// The amps moved, and not as the code has it: somebody else's load.
    Unclear,
    /// Nothing moved.
    Flat,
}

/// One run read on one placement, with a picture of the meter taken between two slots.
pub(crate) fn run(
    play: &mut Play<'_>,
    set: &SetAt,
    by: By,
    leg: Conductor,
    outlet: Outlet,
) -> Result<Saw, Halt> {
    let placement = pad::place(play, set, by, leg)?;
    let service = play.job.service.clone();
    play.plug_in(outlet)?;
    let load_off_amps = read(play, set, leg)?;
    let limits = Limits::from(play.rules());
    let DrawnCode { code, salt, size_slot } =
        draw_code(&play.chance(), &limits).ok_or(Halt::stuck("no code can be drawn"))?;
    let run = RunId::new(play.names.next("run"))?;
    let begun = Body::SwitchingRunBegun(SwitchingRunBegun {
        run: run.clone(),
        stay: play.stay()?,
        outlet: outlet.words().to_owned(),
        load_amps: number(KNOWN_LOAD_AMPS)?,
        load_tolerance_percent: text(LOAD_TOLERANCE_PERCENT)?,
        sealed: seal(&code, &salt).parse().map_err(|why: String| Halt::stuck(why))?,
        size_slot,
    });
    play.pass_s(20);
    play.write(Hand::House, begun)?;
    let mut slots = Vec::new();
    let mut on = false;
    let mut picture = None;
    for (i, slot) in code.iter().enumerate() {
        play.pass_s(8);
        let before = read(play, set, leg)?;
        play.pass_s(3);
        if *slot == Slot::Change {
            on = !on;
            play.site.switch_load(service.as_str(), on);
        }
        play.pass_s(4);
        let after = read(play, set, leg)?;
        slots.push(SlotReading {
            key: key(before, after),
            amps: (i == usize::from(size_slot))
                .then_some(BeforeAfter { before_amps: before, after_amps: after }),
        });
        if i == code.len() / 2 {
            picture = Some(house::picture(play, Some(&run))?);
        }
    }
    play.pass_s(10);
    play.site.unplug(service.as_str());
    let moved = slots.iter().filter(|slot| slot.key != SlotKey::Same).count();
    let id = play.next_sighting()?;
    // The pad writes what it read before the house opens the code.
    let seen = Seen::LoadStep { run: run.clone(), placement, load_off_amps, slots };
    play.write(Hand::Pad, Body::Sighting(SightingMade { sighting: id.clone(), seen }))?;
    let ended = Body::SwitchingRunEnded(SwitchingRunEnded { run, code, salt });
    play.write(Hand::House, ended)?;
    if let Some(picture) = picture {
        house::picture_read_at_pad(play, picture)?;
    }
    // What the app says of the reading once the code is opened.
    let unclear = play.judgement()?.idle.get(&id) == Some(&Idle::StepUnclear);
    Ok(match moved {
        _ if unclear => Saw::Unclear,
        0 => Saw::Flat,
        moved => Saw::Seen { moved },
    })
}

fn read(play: &mut Play<'_>, set: &SetAt, leg: Conductor) -> Result<Decimal, Halt> {
    Ok(play.site.amps(set.pad.as_str(), &set.position, leg, &play.clock)?)
}

fn key(before: Decimal, after: Decimal) -> SlotKey {
    let moved = after.to_f64() - before.to_f64();
    if moved >= MOVED_AMPS {
        SlotKey::Rose
    } else if moved <= -MOVED_AMPS {
        SlotKey::Fell
    } else {
        SlotKey::Same
    }
}

fn number(value: f64) -> Result<Decimal, Halt> {
    Decimal::from_f64(value, 1).ok_or(Halt::stuck("a number that cannot be shown"))
}

fn text(text: &str) -> Result<Decimal, Halt> {
    text.parse().map_err(|_| Halt::stuck("a number that cannot be shown"))
}
