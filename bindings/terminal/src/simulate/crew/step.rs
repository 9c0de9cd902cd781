//! The known load: switched by a sealed code at the house, read by keys at the pad.

use coldlug_core::{
    event::{Body, SwitchingRunBegun, SwitchingRunEnded},
    plant::Conductor,
    quantity::{AssetId, Decimal, RunId},
    reconcile::By,
    sighting::{
        BeforeAfter, DrawnCode, Idle, Limits, Seen, SetAt, Slot, SlotKey, SlotReading, draw_code,
        seal,
    },
};
use coldlug_field::{
    conductor::Leg,
    seed::{hash_text, mix},
};

use super::{
    Crew, Halt, Who,
    site::{Grip, shown},
};
use crate::{
    demo::site::KNOWN_LOAD_AMPS,
    simulate::{slip::Slip, spec::Keying},
};

/// What the pad calls a rise or a fall: half of the known load.
const MOVED_AMPS: f64 = KNOWN_LOAD_AMPS / 2.0;
/// Tolerance of the known load, percent: a heating appliance (IEC 60335-1 clause 10, from memory).
const LOAD_TOLERANCE_PERCENT: f64 = 10.0;
/// Where the load can be plugged in; which leg an outlet hangs on is the house's secret.
const OUTLETS: [&str; 2] = ["receptacle beside the panel", "receptacle in the kitchen"];
/// Seconds after which a load that drowned a step may have stopped.
const WAIT_AFTER_UNCLEAR_S: i64 = 300;

/// What the crew remembers between steps.
#[derive(Debug, Clone, Default)]
pub(super) struct Memory {
    /// The outlet to use where any will do.
    next_outlet: usize,
}

impl Crew<'_> {
    /// The leg that an outlet of a house hangs on.
    fn leg_of(&self, house: &str, outlet: usize) -> Leg {
        let first = mix(self.site.world.seed, hash_text(house)) & 1 == 0;
        if first == (outlet == 0) { Leg::L1 } else { Leg::L2 }
    }

    /// Plugs the load in at an outlet of the house where the worker is, or so they believe.
    fn plug_in(&mut self, outlet: usize) {
        self.pass_s(60);
        let fed_from = self.house_of_outlet();
        let leg = self.leg_of(&fed_from, outlet);
        self.site.plug_in(&fed_from, leg);
    }

    /// The house from which an outlet at the worker's hand is really fed.
    pub(super) fn house_of_outlet(&mut self) -> String {
        if self.at_target()
            && self.slips.made(Slip::WalkNextDoor)
            && let Some(next_door) = self.next_door.clone()
        {
            self.site.house = next_door;
        }
        let house = self.site.house.clone();
        if self.slips.made(Slip::OutletOfNextDoor) {
            return self.other_house(&house).unwrap_or(house);
        }
        house
    }

    /// The target from next door, next door from anywhere else.
    fn other_house(&self, house: &str) -> Option<String> {
        let next_door = self.next_door.clone()?;
        Some(if house == next_door { self.target.to_string() } else { next_door })
    }

    /// Switches the known load.
    pub(super) fn switch_load(&mut self, on: bool) {
        for load in &mut self.site.switching.test_loads {
            load.on = on;
        }
    }

    /// The outlet that is asked for; where any will do, the one that was used longest ago.
    fn outlet(&mut self, asked: Option<&str>) -> usize {
        let known = asked.and_then(|asked| OUTLETS.iter().position(|outlet| *outlet == asked));
        known.unwrap_or_else(|| {
            let next = self.steps.next_outlet;
            self.steps.next_outlet = (next + 1) % OUTLETS.len();
            next
        })
    }

    /// A coded run, read on one leg of a set. False: no load can be switched, and that is known.
    pub(super) fn load_step(
        &mut self,
        set: &SetAt,
        by: By,
        leg: Conductor,
        outlet: Option<&str>,
    ) -> Result<bool, Halt> {
        if let Some(lack) = self.no_load_here()? {
            return self.lacking(lack);
        }
        self.count.tests += 1;
        self.prove_clamp()?;
        let outlet = self.outlet(outlet);
        let handle = self.handle(set, by)?;
        let (placement, grip) = self.place(set, handle, leg)?;
        self.plug_in(outlet);
        let load_off_amps = self.site.amps(&grip, self.t_s())?;
        let run = RunId::new(self.name("run"))?;
        let limits = Limits::from(self.sheets.rules);
        let DrawnCode { code, salt, size_slot } =
            draw_code(&self.chance_bytes(), &limits).ok_or(Halt::BROKEN)?;
        let begun = SwitchingRunBegun {
            run: run.clone(),
            stay: self.stay()?,
            outlet: OUTLETS.get(outlet).copied().unwrap_or_default().to_owned(),
            load_amps: shown(KNOWN_LOAD_AMPS)?,
            load_tolerance_percent: shown(LOAD_TOLERANCE_PERCENT)?,
            sealed: seal(&code, &salt).parse().map_err(|_| Halt::BROKEN)?,
            size_slot,
        };
        self.pass_s(20);
        self.write(Who::House, Body::SwitchingRunBegun(begun))?;
        let (mut picture, mut sticker) = (None, None);
        let size_slot = usize::from(size_slot);
        let mut slots = Vec::with_capacity(code.len());
        let mut on = false;
        for (at, slot) in code.iter().enumerate() {
            let (before, after) = self.slot(&grip, *slot == Slot::Change, &mut on)?;
            let typed = at == size_slot || self.keys == Keying::EverySlot;
            let amps = typed.then_some(BeforeAfter { before_amps: before, after_amps: after });
            slots.push(SlotReading { key: key_of(before, after), amps });
            if at == code.len() / 2 {
                picture = Some(self.take_picture(Some(&run))?);
                if self.sticker_here() {
                    self.pass_s(1);
                    sticker = Some(self.take_picture(Some(&run))?);
                }
            }
        }
        self.pass_s(10);
        self.site.unplug();
        if self.slips.made(Slip::ReadingsInvented) {
            slots = self.invented(code.len(), size_slot)?;
        }
        let seen = Seen::LoadStep { run: run.clone(), placement, load_off_amps, slots };
        let (_, sighting) = self.sighting(Who::Pad, seen)?;
        let ended = SwitchingRunEnded { run, code, salt };
        self.write(Who::House, Body::SwitchingRunEnded(ended))?;
        if let Some(picture) = picture {
            self.read_picture(&picture)?;
        }
        if let Some(sticker) = sticker {
            self.read_sticker(&sticker)?;
        }
        if self.advised()?.idle.get(&sighting) == Some(&Idle::StepUnclear) {
            self.pass_s(WAIT_AFTER_UNCLEAR_S);
        }
        Ok(true)
    }

    /// The known load switched once for each leg of each set of a pad, by word of mouth. False: no
    /// load can be switched, and that is known.
    pub(super) fn bare_steps(&mut self, pad: &AssetId) -> Result<bool, Halt> {
        if let Some(lack) = self.no_load_here()? {
            return self.lacking(lack);
        }
        self.prove_clamp()?;
        let outlet = self.outlet(None);
        self.plug_in(outlet);
        for set in self.marked_sets(pad)? {
            for leg in [Conductor::L1, Conductor::L2] {
                self.bare_step(&set, leg, outlet)?;
            }
        }
        self.site.unplug();
        Ok(true)
    }

    fn bare_step(&mut self, set: &SetAt, leg: Conductor, outlet: usize) -> Result<(), Halt> {
        let handle = self.handle(set, By::Mark)?;
        let (placement, grip) = self.place(set, handle, leg)?;
        self.switch_load(false);
        self.pass_s(5);
        let off_amps = self.site.amps(&grip, self.t_s())?;
        self.switch_load(true);
        self.pass_s(5);
        let on_amps = self.site.amps(&grip, self.t_s())?;
        let seen = Seen::BareStep {
            stay: self.stay()?,
            outlet: OUTLETS.get(outlet).copied().unwrap_or_default().to_owned(),
            load_amps: shown(KNOWN_LOAD_AMPS)?,
            placement,
            off_amps,
            on_amps,
        };
        self.sighting(Who::Pad, seen)?;
        Ok(())
    }

    /// One slot: amps just before and just after.
    fn slot(
        &mut self,
        grip: &Grip,
        changes: bool,
        on: &mut bool,
    ) -> Result<(Decimal, Decimal), Halt> {
        self.pass_s(8);
        let before = self.site.amps(grip, self.t_s())?;
        self.pass_s(3);
        if changes {
            *on = !*on;
            self.switch_load(*on);
        }
        self.pass_s(4);
        let after = self.site.amps(grip, self.t_s())?;
        Ok((before, after))
    }

    /// Keys and amps as a person makes them up who knows that a load comes and goes.
    fn invented(&mut self, count: usize, size_slot: usize) -> Result<Vec<SlotReading>, Halt> {
        let low = shown(1.2)?;
        let high = shown(1.2 + KNOWN_LOAD_AMPS)?;
        let mut on = false;
        let mut slots = Vec::with_capacity(count);
        for at in 0..count {
            let (key, before, after) = if at == size_slot || self.slips.chance(0.5) {
                on = !on;
                if on { (SlotKey::Rose, low, high) } else { (SlotKey::Fell, high, low) }
            } else {
                (SlotKey::Same, if on { high } else { low }, if on { high } else { low })
            };
            let typed = at == size_slot || self.keys == Keying::EverySlot;
            let amps = typed.then_some(BeforeAfter { before_amps: before, after_amps: after });
            slots.push(SlotReading { key, amps });
        }
        Ok(slots)
    }
}

fn key_of(before: Decimal, after: Decimal) -> SlotKey {
    let moved = after.to_f64() - before.to_f64();
    if moved >= MOVED_AMPS {
        SlotKey::Rose
    } else if moved <= -MOVED_AMPS {
        SlotKey::Fell
    } else {
        SlotKey::Same
    }
}
