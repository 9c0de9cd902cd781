//! The made-up field as this crew's eyes, hands and instruments meet it: where people really are,
//! which set is really in the jaws, and instruments that fail from some moment on.
//!
//! Nothing of the truth passes from here to the crew but what a person at that place could see.

use coldlug_core::{
    plant::{Conductor, Pair},
    quantity::Decimal,
};
use coldlug_field::{
    clamp::{Clamp, ClampFault},
    conductor::{self as field, Leg},
    flow::{self, BaseFlow, Benches},
    kit::Kit,
    seed::{hash_text, mix, unit_of},
    switching::{Switching, TestLoad},
    tester::Tester,
    world::World,
};

use super::halt::Halt;
use crate::{demo::site::KNOWN_LOAD_AMPS, field_terms};

/// Volts of the truck's inverter, and of the load's outlet by its nameplate.
const INVERTER_VOLTS: f64 = 120.0;

/// Whose tester.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum TesterOf {
    /// The kit's own, at the premises.
    House,
    /// A sound one, at the pad.
    Pad,
    /// The electrician's own.
    Electrician,
    /// The sound spare of the truck.
    Spare,
}

/// A clamp where it really is.
#[derive(Debug, Clone)]
pub(crate) struct Grip {
    /// The pad.
    pub(crate) pad: String,
    /// The set that is really in the jaws.
    pub(crate) set: String,
    /// The set that the crew came to by its handle.
    pub(crate) marked: String,
    /// The conductors that are really in the jaws.
    pub(crate) around: Vec<field::Conductor>,
    /// Whether the jaws stand open.
    pub(crate) jaw_open: bool,
    /// Whether it is the truck's spare clamp.
    pub(crate) spare: bool,
}

/// Where a tester's probes really are.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Probes {
    /// On a source known to be live.
    Inverter,
    /// In the field.
    At(flow::Place),
}

/// The field, its present state, and the crew's instruments in it.
#[derive(Debug, Clone)]
pub(crate) struct Site {
    /// The truth.
    pub(crate) world: World,
    /// What is switched, lifted, shorted and plugged in now.
    pub(crate) switching: Switching,
    /// The service whose house the worker at the premises is really at.
    pub(crate) house: String,
    /// What is on the truck.
    pub(crate) kit: Kit,
    sound: Kit,
    /// From when on the first clamp and tester of the kit are as they are; sound before, seconds.
    onset_s: f64,
    seed: u64,
    readings: u64,
    /// The pads, ready to be solved: what people do changes the switching and not the world.
    benches: Benches,
}

impl Site {
    /// A field with a kit that is as given from `onset_s` on, and sound before.
    pub(crate) fn new(
        world: World,
        house: &str,
        (kit, sound): (Kit, Kit),
        onset_s: f64,
        seed: u64,
    ) -> Result<Self, Halt> {
        let switching = world.as_found();
        let house = house.to_owned();
        let benches = Benches::of(&world)?;
        Ok(Self { world, switching, house, kit, sound, onset_s, seed, readings: 0, benches })
    }

    /// The chance of the next reading.
    pub(crate) fn chance(&mut self) -> u64 {
        self.readings += 1;
        mix(self.seed, self.readings)
    }

    fn kit_at(&self, t_s: f64) -> &Kit {
        if t_s >= self.onset_s { &self.kit } else { &self.sound }
    }

    fn clamp(&self, spare: bool, t_s: f64) -> Clamp {
        match self.kit.spare_clamp {
            Some(clamp) if spare => clamp,
            _ => self.kit_at(t_s).clamp,
        }
    }

    fn tester(&self, whose: TesterOf, t_s: f64) -> Tester {
        match whose {
            TesterOf::House => self.kit_at(t_s).tester,
            TesterOf::Pad | TesterOf::Electrician => self.sound.tester,
            TesterOf::Spare => self.kit.spare_tester.unwrap_or(self.kit.tester),
        }
    }

    /// The set at a lug position, counted from one.
    pub(crate) fn set_at(&self, pad: &str, position: usize) -> Result<String, Halt> {
        let sets = &self.world.pad(pad)?.sets;
        position.checked_sub(1).and_then(|i| sets.get(i)).cloned().ok_or(Halt::BROKEN)
    }

    /// How many cable sets there are in a pad.
    pub(crate) fn set_count(&self, pad: &str) -> Result<usize, Halt> {
        Ok(self.world.pad(pad)?.sets.len())
    }

    /// Amps as a clamp shows them.
    pub(crate) fn amps(&mut self, grip: &Grip, t_s: f64) -> Result<Decimal, Halt> {
        let chance = self.chance();
        let mut clamp = self.clamp(grip.spare, t_s);
        if grip.jaw_open {
            clamp = clamp.with_fault(ClampFault::JawOpen);
        }
        let state = self.benches.pad(&grip.pad)?.state(t_s, &self.switching)?;
        let amps = state.set(&grip.set)?.amps.around(&grip.around);
        shown(clamp.read(amps, state.neighbour_amps(&grip.set), chance))
    }

    /// Amps that really flow in a leg of a set, unless it is lifted.
    pub(crate) fn leg_amps(&self, set: &str, leg: Leg, t_s: f64) -> Result<f64, Halt> {
        let state = self.benches.set(set)?.state(t_s, &self.switching)?;
        Ok(state.set(set)?.amps.leg(leg))
    }

    /// Amps of the crew's own load from the truck, in the jaws of a clamp.
    pub(crate) fn amps_of_known_load(&mut self, spare: bool, t_s: f64) -> Result<Decimal, Halt> {
        let chance = self.chance();
        shown(self.clamp(spare, t_s).read(KNOWN_LOAD_AMPS, 0.0, chance))
    }

    /// Volts as a tester shows them.
    pub(crate) fn volts(
        &mut self,
        whose: TesterOf,
        probes: &Probes,
        between: Pair,
        t_s: f64,
    ) -> Result<Decimal, Halt> {
        let chance = self.chance();
        let tester = self.tester(whose, t_s);
        match probes {
            Probes::Inverter => shown(tester.read(INVERTER_VOLTS, chance)),
            Probes::At(place) => {
                let pair = field_terms::pair(between).ok_or(Halt::BROKEN)?;
                let ohms = tester.input_ohms;
                let volts = self.benches.volts(place, pair, ohms, t_s, &self.switching)?;
                shown(tester.read(volts, chance))
            }
        }
    }

    /// What the state of the base where the worker is says at `t_s` seconds.
    pub(crate) fn base_at(&self, t_s: f64) -> Result<BaseFlow, Halt> {
        let state = self.benches.service(&self.house)?.state(t_s, &self.switching)?;
        Ok(*state.service(&self.house)?)
    }

    /// A known load hung on the line jaws of the open base where the worker is: what the other leg
    /// reads to neutral without it and with it.
    pub(crate) fn neutral_test(&mut self, loaded: Leg, t_s: f64) -> Result<[Decimal; 2], Halt> {
        let service = self.house.clone();
        let chance = self.chance();
        let tester = self.tester(TesterOf::Pad, t_s);
        let load = TestLoad::of_amps(&service, loaded, KNOWN_LOAD_AMPS);
        let at = flow::Place::Base { service, side: flow::Side::Line };
        let pair = flow::Pair::LegNeutral(loaded.other());
        let mut hung = self.switching.clone();
        let mut read = [0.0; 2];
        for (on, volts) in [false, true].into_iter().zip(&mut read) {
            hung.hang_on_line(TestLoad { on, ..load.clone() });
            let stands = self.benches.volts(&at, pair, tester.input_ohms, t_s, &hung)?;
            *volts = tester.read(stands, chance);
        }
        let [without, with] = read;
        Ok([shown(without)?, shown(with)?])
    }

    /// Megohms of the lifted conductors of a set. The field has no insulation of its own: sound old
    /// cable is made up here, all pairs alike, tens to hundreds of megohms.
    pub(crate) fn megohms(&self, set: &str) -> Result<Decimal, Halt> {
        shown(60.0 + 340.0 * unit_of(mix(self.seed, hash_text(set))))
    }

    /// Switches the customer's own sources at the house off, but those out of reach. Whether none
    /// runs then, and how many there are.
    pub(crate) fn sources_off(&mut self) -> Result<(bool, usize), Halt> {
        let sources = &self.world.service(&self.house)?.sources;
        let mut all_off = true;
        for (index, source) in sources.iter().enumerate() {
            if source.locked {
                all_off &= !source.running;
            } else {
                self.switching.set_source(&self.house, index, false);
            }
        }
        Ok((all_off, sources.len()))
    }

    /// Lets the customer's own sources at the house run as they did.
    pub(crate) fn sources_back(&mut self) {
        self.switching.sources.remove(&self.house);
    }

    /// Plugs the known load in at a house, off.
    pub(crate) fn plug_in(&mut self, service: &str, leg: Leg) {
        let load = TestLoad { on: false, ..TestLoad::of_amps(service, leg, KNOWN_LOAD_AMPS) };
        self.switching.plug_in(load);
    }

    /// Unplugs every known load.
    pub(crate) fn unplug(&mut self) {
        self.switching.test_loads.clear();
    }
}

/// What a display shows, as it is typed.
pub(crate) fn shown(value: f64) -> Result<Decimal, Halt> {
    Decimal::from_f64(value, 1).ok_or(Halt::BROKEN)
}

/// The conductor of the field that a leg is.
pub(crate) fn in_jaws(leg: Conductor) -> Result<Vec<field::Conductor>, Halt> {
    Ok(vec![field_terms::conductor(leg).ok_or(Halt::BROKEN)?])
}
