//! Switching runs of a known load, and what is read at the pads meanwhile.

use coldlug_core::{
    quantity::{Decimal, RunId},
    sighting::{
        BeforeAfter, Cause, OpenedCode, Run, Seen, Slot, SlotKey, SlotReading, Speaker, seal,
    },
};
use coldlug_field::{conductor::Leg, switching::TestLoad};

use super::{
    cast::{CUSTOMER, ELECTRICIAN, Play, READER, WORKER, person, run_id},
    fault::Fault,
    sight::Held,
    stay::Scene,
};

/// Volts of the known load, and its amps there.
const LOAD_AMPS: f64 = 12.5;

/// A run that is going on.
struct Begun {
    code: Vec<Slot>,
    salt: String,
    size_slot: usize,
}

/// A load of somebody else that comes and goes during a run.
enum Neighbour {
    Quiet,
    /// Switches at these slots.
    At(Vec<usize>),
    /// Switches at every slot.
    EverySlot,
    /// Switches or not, slot by slot, like a coin.
    Fidgets,
}

impl Play {
    /// A run that is done at `place`, recorded in the scene's stay.
    pub(super) fn play_run(&mut self, scene: &Scene, place: &str) {
        let code = self.draw_code();
        let leg = if self.draw.chance(0.5) { Leg::L1 } else { Leg::L2 };
        self.play_coded(scene, place, code, leg);
    }

    fn play_coded(&mut self, scene: &Scene, place: &str, code: Vec<Slot>, leg: Leg) {
        let id = run_id(&self.name("run"));
        let doer = match self.draw.below(10) {
            0 => CUSTOMER,
            1 => ELECTRICIAN,
            _ => WORKER,
        };
        let fed_from = if self.take(Fault::OutletOfNextDoor) {
            self.false_causes.insert(Cause::Run { run: id.clone() });
            if place == self.target { self.other.clone() } else { self.target.clone() }
        } else {
            place.to_owned()
        };
        if self.draw.chance(0.15) {
            // Called a picture of this run, but taken before it, where the stay is.
            let (at, home) = (self.tick(WORKER), scene.place.clone());
            self.picture(scene, Some(id.clone()), &home, at);
        }
        let begun = self.begin_run(&id, scene, doer, code, leg);
        let held = self.hold_clamps();
        let load = TestLoad::of_amps(&fed_from, leg, LOAD_AMPS);
        let readings = self.switch_through(&begun.code, &load, &held);
        if self.draw.chance(0.7) {
            let at = self.tick(WORKER);
            self.picture(scene, Some(id.clone()), place, at);
        }
        if self.draw.chance(0.25) {
            let at = self.tick(WORKER);
            self.sticker(scene, Some(id.clone()), place, at);
        }
        if self.draw.chance(0.15) {
            let at = self.tick(WORKER);
            self.billing(scene, Some(id.clone()), place, at);
        }
        if self.draw.chance(0.2) {
            self.word(scene, Some(id.clone()), Speaker::Customer, place, false);
        }
        if self.draw.chance(0.2) {
            self.word(scene, Some(id.clone()), Speaker::Electrician, place, true);
        }
        self.end_run(&id, begun, &held, &readings);
    }

    /// A run as the software asks for it: a sound code, one placement, a picture inside.
    pub(super) fn careful_run(&mut self, scene: &Scene, held: Held, leg: Leg) {
        let id = run_id(&self.name("run"));
        let code = loop {
            let code = self.draw_code();
            let changes = code.iter().filter(|&&slot| slot == Slot::Change).count();
            if code.len() == 10 && (3..=7).contains(&changes) {
                break code;
            }
        };
        let begun = self.begin_run(&id, scene, WORKER, code, leg);
        let load = TestLoad::of_amps(&scene.place, leg, LOAD_AMPS);
        let held = [held];
        let readings = self.switch_through(&begun.code, &load, &held);
        let taken_at = self.tick(WORKER);
        self.end_run(&id, begun, &held, &readings);
        let place = scene.place.clone();
        self.picture(scene, Some(id.clone()), &place, taken_at.clone());
        self.sticker(scene, Some(id), &place, taken_at);
    }

    /// The known load switched once by word of mouth, read by one clamp.
    pub(super) fn bare_step(&mut self, scene: &Scene, held: Held, leg: Leg) {
        let held = [held];
        let load = TestLoad::of_amps(&scene.place, leg, LOAD_AMPS);
        let mut shown = [0.0; 2];
        for (shown, on) in shown.iter_mut().zip([false, true]) {
            self.switching.test_loads = vec![TestLoad { on, ..load.clone() }];
            self.clock_ms += 5_000;
            *shown = self.show_all(&held)[0];
        }
        self.switching.test_loads.clear();
        let at = self.tick(READER);
        let [held] = held;
        let seen = Seen::BareStep {
            stay: scene.stay.clone(),
            outlet: outlet(leg),
            load_amps: decimal(LOAD_AMPS),
            placement: held.placement,
            off_amps: decimal(shown[0]),
            on_amps: decimal(shown[1]),
        };
        self.note(READER, at, seen);
    }

    /// Writes a run down with its code sealed.
    fn begin_run(
        &mut self,
        id: &RunId,
        scene: &Scene,
        doer: &str,
        code: Vec<Slot>,
        leg: Leg,
    ) -> Begun {
        let changes: Vec<usize> = (0..code.len()).filter(|&i| code[i] == Slot::Change).collect();
        let size_slot = self.draw.pick(&changes).copied().unwrap_or(0);
        let salt = format!("{:032x}", self.draw.bits());
        let run = Run {
            id: id.clone(),
            stay: scene.stay.clone(),
            doer: person(doer),
            outlet: outlet(leg),
            load_amps: decimal(LOAD_AMPS),
            load_tolerance_percent: decimal(10.0),
            sealed: seal(&code, &salt),
            size_slot: size_slot as u16,
            begun: self.tick(WORKER),
            opened: None,
            ended: None,
        };
        self.evidence.runs.insert(id.clone(), run);
        Begun { code, salt, size_slot }
    }

    /// Ends a run, opens its code, and writes down what every clamp showed.
    fn end_run(&mut self, id: &RunId, begun: Begun, held: &[Held], readings: &[Vec<(f64, f64)>]) {
        let ended = self.tick(WORKER);
        let Begun { code, salt, size_slot } = begun;
        if let Some(run) = self.evidence.runs.get_mut(id) {
            run.ended = Some(ended);
            run.opened = Some(OpenedCode { code, salt });
        }
        for (held, pairs) in held.iter().zip(readings) {
            self.note_step(id, held, size_slot, pairs);
        }
    }

    /// Mostly a good code; some that a rule must turn down.
    fn draw_code(&mut self) -> Vec<Slot> {
        let kind = self.draw.below(12);
        let slots = if kind == 0 { 6 } else { 10 };
        let rare = if kind == 1 { 0.12 } else { 0.5 };
        loop {
            let code: Vec<Slot> = (0..slots)
                .map(|_| if self.draw.chance(rare) { Slot::Change } else { Slot::Hold })
                .collect();
            let changes = code.iter().filter(|&&slot| slot == Slot::Change).count();
            if changes > 0 && (kind == 1 || (changes >= 3 && slots - changes >= 3)) {
                return code;
            }
        }
    }

    /// Switches by the code; for each clamp, what it shows with the load off and round each slot.
    fn switch_through(
        &mut self,
        code: &[Slot],
        load: &TestLoad,
        held: &[Held],
    ) -> Vec<Vec<(f64, f64)>> {
        let neighbour = if self.calm { Neighbour::Quiet } else { self.draw_neighbour(code) };
        let services: Vec<String> = self.world.services.keys().cloned().collect();
        let anybody = self.draw.pick(&services).cloned().unwrap_or_default();
        let who = if self.draw.chance(0.5) { self.other.clone() } else { anybody };
        let amps = self.draw.between(8.0, 20.0);
        let leg = if self.draw.chance(0.5) { Leg::L1 } else { Leg::L2 };
        let theirs = TestLoad::of_amps(&who, leg, amps);
        let mut readings = vec![Vec::new(); held.len()];
        let (mut on, mut their_on) = (false, false);
        for (slot, &kind) in code.iter().enumerate() {
            let before = self.show_all(held);
            on ^= kind == Slot::Change;
            their_on ^= match &neighbour {
                Neighbour::Quiet => false,
                Neighbour::At(slots) => slots.contains(&slot),
                Neighbour::EverySlot => true,
                Neighbour::Fidgets => self.draw.chance(0.5),
            };
            self.switching.test_loads =
                vec![TestLoad { on, ..load.clone() }, TestLoad { on: their_on, ..theirs.clone() }];
            self.clock_ms += 6_000;
            let after = self.show_all(held);
            for (list, pair) in readings.iter_mut().zip(before.into_iter().zip(after)) {
                list.push(pair);
            }
            self.clock_ms += 6_000;
        }
        self.switching.test_loads.clear();
        readings
    }

    fn draw_neighbour(&mut self, code: &[Slot]) -> Neighbour {
        // A coin for ten slots falls as a sound code does once in a thousand runs: no appliance is
        // such a coin. Beside a code that is too short, one shows what the length is for.
        if code.len() < 10 {
            return Neighbour::Fidgets;
        }
        match self.draw.below(6) {
            0 => Neighbour::EverySlot,
            1 | 2 => {
                // At most two, and often where a weak code has its own changes; beside a sound code
                // anywhere, since nobody knows it.
                let changes: Vec<usize> =
                    (0..code.len()).filter(|&i| code[i] == Slot::Change).collect();
                let slots = (0..self.draw.whole(1, 2)).map(|_| {
                    let any = self.draw.below(code.len() as u32) as usize;
                    let same = self.draw.pick(&changes).copied().unwrap_or(any);
                    if changes.len() < 3 && self.draw.chance(0.5) { same } else { any }
                });
                Neighbour::At(slots.collect())
            }
            _ => Neighbour::Quiet,
        }
    }

    fn note_step(&mut self, run: &RunId, held: &Held, size_slot: usize, pairs: &[(f64, f64)]) {
        let least = if self.twitchy { 0.15 } else { 3.0 };
        let sized = self.types_sizes && self.draw.chance(0.95);
        let slots = pairs.iter().enumerate().map(|(slot, &(before, after))| {
            let key = if after - before >= least {
                SlotKey::Rose
            } else if before - after >= least {
                SlotKey::Fell
            } else {
                SlotKey::Same
            };
            let typed = sized && (slot == size_slot || self.draw.chance(0.1));
            let amps = typed
                .then(|| BeforeAfter { before_amps: decimal(before), after_amps: decimal(after) });
            SlotReading { key, amps }
        });
        let slots = slots.collect();
        let off = pairs.first().map_or(0.0, |pair| pair.0);
        let at = self.tick(READER);
        let seen = Seen::LoadStep {
            run: run.clone(),
            placement: held.placement.clone(),
            load_off_amps: decimal(off),
            slots,
        };
        self.note(READER, at, seen);
    }
}

/// The name a crew gives the outlet on a leg.
pub(super) fn outlet(leg: Leg) -> String {
    format!("outlet on {leg:?}")
}

pub(super) fn decimal(value: f64) -> Decimal {
    Decimal::from_f64(value, 1).expect("a finite number")
}
