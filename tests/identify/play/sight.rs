//! What the worker at the pads sees: clamps on legs, and metals.

use std::num::NonZeroU8;

use coldlug_core::{
    plant::{Conductor, Metal},
    quantity::{DeedId, PlacementId},
    sighting::{Cause, End, Handle, Placement, Seen, SetAt},
};
use coldlug_field::{
    clamp::{Clamp, ClampFault},
    conductor::{self, Look},
};

use super::{
    cast::{Manner, Play, READER, WORKER, asset, placement_id},
    fault::Fault,
    run::decimal,
};

/// A clamp where it really is.
pub(super) struct Held {
    pub(super) placement: PlacementId,
    clamp: Clamp,
    /// Pad and set that are really in the jaws.
    pad: String,
    set: String,
    /// Jaws that do not close, but are held steadily: one share of everything, all the time.
    steady: Option<u64>,
    /// Which conductors are in the jaws.
    around: Vec<conductor::Conductor>,
}

impl Play {
    /// The placements of one run, by the manner of the crew.
    pub(super) fn hold_clamps(&mut self) -> Vec<Held> {
        match self.manner {
            Manner::Anyhow => {
                (0..self.draw.whole(1, 3)).filter_map(|_| self.hold_clamp()).collect()
            }
            Manner::Aiming => {
                let Some(aim) = self.aim.clone() else { return Vec::new() };
                let aim = if self.draw.chance(0.8) { aim } else { self.truth.clone() };
                self.hold_on_both_legs(&aim)
            }
            Manner::Sweeping => {
                let mut held = Vec::new();
                for set in self.marked_sets() {
                    if Some(&set) != self.left_out.as_ref() {
                        held.extend(self.hold_on_both_legs(&set));
                    }
                }
                held
            }
        }
    }

    fn hold_on_both_legs(&mut self, set: &SetAt) -> Vec<Held> {
        let Some(handle) = self.handle_of(set) else { return Vec::new() };
        [Conductor::L1, Conductor::L2]
            .into_iter()
            .filter_map(|leg| self.hold(set, handle.clone(), Some(leg)))
            .collect()
    }

    fn hold_clamp(&mut self) -> Option<Held> {
        let wanted = self.wanted_set()?;
        let handle = self.handle_of(&wanted)?;
        let leg = match self.draw.below(20) {
            0 => None,
            i if i % 2 == 0 => Some(Conductor::L1),
            _ => Some(Conductor::L2),
        };
        self.hold(&wanted, handle, leg)
    }

    pub(super) fn hold(
        &mut self,
        wanted: &SetAt,
        handle: Handle,
        leg: Option<Conductor>,
    ) -> Option<Held> {
        use conductor::Conductor::{L1, L2, N};
        let pad = wanted.pad.as_str().to_owned();
        let mut position = self.really_at(&pad, &handle, wanted);
        let id = placement_id(&self.name("placement"));
        let count = self.world.pads.get(&pad)?.sets.len();
        let mut false_here = false;
        if self.take(Fault::PlacementElsewhere) {
            let home = wanted.pad == self.truth.pad && self.draw.chance(0.6);
            position = if home {
                self.truth.position.parse().expect("a position")
            } else {
                1 + self.draw.below(count as u32) as usize
            };
            false_here = true;
        }
        let (instrument, mut clamp) = self.draw.pick(&self.clamps.clone())?.clone();
        let mut steady = None;
        if self.take(Fault::JawsOpen) {
            clamp = clamp.with_fault(ClampFault::JawOpen);
            steady = Some(self.draw.bits());
            false_here = true;
        }
        if false_here {
            self.false_causes.insert(Cause::Placement { placement: id.clone() });
        }
        let around = match leg {
            Some(Conductor::L1) => vec![L1],
            Some(_) => vec![L2],
            None => vec![L1, L2, N],
        };
        let set = self.world.pads[&pad].sets.get(position - 1)?.clone();
        let at = self.tick(READER);
        let placement = Placement {
            id: id.clone(),
            pad: asset(&pad),
            handle,
            leg,
            runs_in_jaws: NonZeroU8::MIN,
            instrument,
            at,
        };
        self.evidence.placements.insert(id.clone(), placement);
        Some(Held { placement: id, clamp, pad, set, steady, around })
    }

    /// A set that somebody marked: the target's or the neighbour's more often than others.
    fn wanted_set(&mut self) -> Option<SetAt> {
        let marked = self.marked_sets();
        let at = |service: &str| {
            let set = self.world.feeding_set(service).ok()?;
            let pad = self.world.pad_of(service).ok()?;
            let i = self.world.pads[pad].sets.iter().position(|id| id == set)?;
            Some(SetAt { pad: asset(pad), position: (i + 1).to_string() })
        };
        let wished = match self.draw.below(10) {
            0..=4 => at(&self.target.clone()),
            5..=7 => at(&self.other.clone()),
            _ => None,
        };
        wished.filter(|set| marked.contains(set)).or_else(|| self.draw.pick(&marked).cloned())
    }

    pub(super) fn handle_of(&mut self, set: &SetAt) -> Option<Handle> {
        if self.draw.chance(0.5) {
            return Some(Handle::Position { position: set.position.clone() });
        }
        let goes: Vec<_> =
            self.evidence.marks.values().filter(|go| go.pad == set.pad).cloned().collect();
        let go = self.draw.pick(&goes)?;
        let mark = go.sets.iter().find(|marked| marked.position == set.position)?;
        Some(Handle::Mark { marks: go.id.clone(), mark: mark.mark.clone() })
    }

    /// The lug position where a handle really leads.
    pub(super) fn really_at(&mut self, pad: &str, handle: &Handle, wanted: &SetAt) -> usize {
        let count = self.world.pads[pad].sets.len();
        match handle {
            Handle::Mark { marks, mark } => {
                self.marks_on[&(marks.clone(), mark.clone())].parse().expect("a position")
            }
            Handle::Position { .. } => {
                let counted: usize = wanted.position.parse().expect("a position");
                let miscounted = self.faults.contains(&Fault::PositionsMiscounted);
                if miscounted && pad == self.truth.pad.as_str() {
                    self.false_causes.insert(Cause::LugPositions { pad: asset(pad) });
                    count + 1 - counted
                } else {
                    counted
                }
            }
        }
    }

    /// What every clamp shows now.
    pub(super) fn show_all(&mut self, held: &[Held]) -> Vec<f64> {
        held.iter().map(|held| self.show(held)).collect()
    }

    fn show(&mut self, held: &Held) -> f64 {
        let flow = self.world.flow(&held.pad, self.t_s(), &self.switching).expect("a sound pad");
        let amps = flow.set(&held.set).expect("a set of the pad").amps;
        let chance = held.steady.unwrap_or_else(|| self.draw.bits());
        held.clamp.read(amps.around(&held.around), flow.neighbour_amps(&held.set), chance)
    }

    /// Amps on some leg after a meter was pulled.
    pub(super) fn read_amps(&mut self, deed: &DeedId) {
        let Some(held) = self.hold_clamp() else { return };
        let amps = decimal(self.show(&held));
        let at = self.tick(READER);
        let placement = held.placement;
        self.note(READER, at, Seen::Amps { placement, deed: Some(deed.clone()), amps });
    }

    /// Metals and sizes at lugs and bases.
    pub(super) fn look_at_sets(&mut self) {
        if self.draw.chance(0.4) {
            for _ in 0..self.draw.whole(1, 3) {
                self.look_at_lugs();
            }
        }
    }

    fn look_at_lugs(&mut self) {
        let Some(wanted) = self.wanted_set() else { return };
        let Some(handle) = self.handle_of(&wanted) else { return };
        let pad = wanted.pad.as_str().to_owned();
        let position = self.really_at(&pad, &handle, &wanted);
        let Some(set) = self.world.pads[&pad].sets.get(position - 1).cloned() else { return };
        let Ok(look) = self.world.look_at_pad(&set) else { return };
        let end = End::Lug { pad: wanted.pad, handle };
        let at = self.tick(READER);
        self.note(READER, at, conductor_seen(end, look));
        let open: Vec<_> =
            self.evidence.stays.values().filter(|stay| stay.ended.is_none()).cloned().collect();
        if let Some(stay) = open.last() {
            let place = self.places[&stay.id].clone();
            let Ok(look) = self.world.look_at_base(&place) else { return };
            let at = self.tick(WORKER);
            let end = End::Base { stay: stay.id.clone() };
            self.note(WORKER, at, conductor_seen(end, look));
        }
    }
}

fn conductor_seen(end: End, look: Look) -> Seen {
    let metal = match look.metal {
        conductor::Metal::Al => Metal::Al,
        conductor::Metal::Cu => Metal::Cu,
    };
    Seen::Conductor { end, metal, size: Some(look.size.word().to_owned()) }
}
