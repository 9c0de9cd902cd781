//! The made-up field as eyes, hands and instruments meet it.
//!
//! Nothing of the truth passes here but what a person at that place could see or measure; the crew
//! has only this and what the software tells them.

use std::collections::BTreeMap;

use coldlug_core::{
    plant::{Conductor, Metal, Pair},
    quantity::Decimal,
    reading::{Place, Side},
};
use coldlug_field::{
    clamp::Clamp,
    conductor as field_conductor,
    flow::{Pair as FieldPair, Place as FieldPlace, Side as FieldSide},
    load::Profile,
    seed::{Draw, mix, stream},
    switching::{Switching, TestLoad},
    tag::TagRead,
    tester::Tester,
    world::{FieldError, World},
};

use super::clock::Clock;
use crate::field_terms;

/// What the crew's known load draws at 120 V, amps: a 1500 W heater.
pub(crate) const KNOWN_LOAD_AMPS: f64 = 12.5;
/// Megohms of the box that the insulation tester is held to.
pub(crate) const KNOWN_MEGOHMS: f64 = 100.0;
/// Volts of the truck's inverter, on which the tester is shown to work.
pub(crate) const INVERTER_VOLTS: f64 = 120.0;

/// What cannot be done in the field.
#[derive(Debug, thiserror::Error)]
pub(crate) enum SiteError {
    /// The field itself says so.
    #[error(transparent)]
    Field(#[from] FieldError),
    /// There is no such place to put hands or eyes.
    #[error("nobody can reach {0} here")]
    NoSuchPlace(String),
}

/// The field, its present state, and the crew's instruments in it.
pub(crate) struct Site {
    world: World,
    switching: Switching,
    clamp: Clamp,
    tester: Tester,
    seed: u64,
    readings: u64,
    /// The crew's load, while it is plugged in.
    plugged: BTreeMap<String, field_conductor::Leg>,
}

/// What a neutral under load showed.
pub(crate) struct NeutralShown {
    pub(crate) without_volts: Decimal,
    pub(crate) with_volts: Decimal,
    pub(crate) amps: Decimal,
}

/// Metal and size as they look at one end of a set.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Look {
    pub(crate) metal: Metal,
    pub(crate) size: String,
}

impl Site {
    /// The field of a world, with sound instruments.
    pub(crate) fn new(world: World, seed: u64) -> Self {
        let mut draw: Draw = stream(seed, "demo instruments");
        Self {
            world,
            switching: Switching::default(),
            clamp: Clamp::sound(&mut draw),
            tester: Tester::sound(&mut draw),
            seed,
            readings: 0,
            plugged: BTreeMap::new(),
        }
    }

    fn chance(&mut self) -> u64 {
        self.readings += 1;
        mix(self.seed, self.readings)
    }

    fn set_at(&self, pad: &str, position: &str) -> Result<String, SiteError> {
        let nowhere = || SiteError::NoSuchPlace(format!("position {position} of {pad}"));
        let lug: usize = position.parse().map_err(|_| nowhere())?;
        let sets = &self.world.pad(pad)?.sets;
        lug.checked_sub(1).and_then(|i| sets.get(i)).cloned().ok_or_else(nowhere)
    }

    /// How many cable sets there are in a pad.
    pub(crate) fn set_count(&self, pad: &str) -> Result<u16, SiteError> {
        Ok(u16::try_from(self.world.pad(pad)?.sets.len()).unwrap_or(u16::MAX))
    }

    /// The newest tag on a pad, as far as sun and salt left it.
    pub(crate) fn tag(&self, pad: &str) -> Result<TagRead, SiteError> {
        let pad = self.world.pad(pad)?;
        let painted = pad.tags.first().map_or("", String::as_str);
        Ok(coldlug_field::tag::read(painted, pad.tag_characters_lost, self.seed))
    }

    /// A position fix beside a pad.
    pub(crate) fn fix(&mut self, pad: &str) -> Result<coldlug_field::fix::Fix, SiteError> {
        let chance = self.chance();
        let pad = self.world.pad(pad)?;
        Ok(coldlug_field::fix::take(pad.at, pad.sky, chance))
    }

    /// What is written on the wall of the premises.
    pub(crate) fn plate(&self, service: &str) -> Result<String, SiteError> {
        Ok(self.world.service(service)?.plate.clone())
    }

    /// The number on the meter.
    pub(crate) fn meter_number(&self, service: &str) -> Result<String, SiteError> {
        let none = || SiteError::NoSuchPlace(format!("the meter of {service}"));
        self.world.service(service)?.meter.clone().ok_or_else(none)
    }

    /// Metal and size at the lugs.
    pub(crate) fn look_at_lug(&self, pad: &str, position: &str) -> Result<Look, SiteError> {
        let look = self.world.look_at_pad(&self.set_at(pad, position)?)?;
        Ok(Look { metal: field_terms::metal(look.metal), size: look.size.word().to_owned() })
    }

    /// Amps in one conductor of a set, as the clamp shows them.
    pub(crate) fn amps(
        &mut self,
        pad: &str,
        position: &str,
        conductor: Conductor,
        clock: &Clock,
    ) -> Result<Decimal, SiteError> {
        let chance = self.chance();
        let set = self.set_at(pad, position)?;
        let flow = self.world.flow(pad, clock.field_s(), &self.switching)?;
        let true_amps = coldlug_field::flow::rms(
            flow.set(&set)?.amps.in_conductor(field_conductor_of(conductor)?),
        );
        shown(self.clamp.read(true_amps, flow.neighbour_amps(&set), chance))
    }

    /// Amps of the crew's own load, in the jaws of the clamp, for showing that it works.
    pub(crate) fn amps_of_known_load(&mut self) -> Result<Decimal, SiteError> {
        let chance = self.chance();
        shown(self.clamp.read(KNOWN_LOAD_AMPS, 0.0, chance))
    }

    /// Volts, as the low-impedance tester shows them.
    pub(crate) fn volts(
        &mut self,
        place: &Place,
        between: Pair,
        clock: &Clock,
    ) -> Result<Decimal, SiteError> {
        let chance = self.chance();
        let at = match place {
            Place::KnownSource { .. } => return shown(self.tester.read(INVERTER_VOLTS, chance)),
            Place::PadBus { pad } => FieldPlace::Bus { pad: pad.to_string() },
            Place::LiftedLegs { pad, position } => {
                FieldPlace::SetStart { set: self.set_at(pad.as_str(), position)? }
            }
            Place::MeterBase { service, side } => FieldPlace::Base {
                service: service.to_string(),
                side: match side {
                    Side::Line | Side::AcrossJaws => FieldSide::Line,
                    Side::Load => FieldSide::Load,
                },
            },
        };
        let pair = field_pair(between)?;
        let when = (clock.field_s(), &self.switching);
        shown(self.tester.measure(&self.world, (&at, pair), when, chance)?)
    }

    /// A known load hung on the line jaws of an open base: what the other leg reads to neutral
    /// without it and with it, and the amps of the loaded leg. The customer's own load is out.
    pub(crate) fn neutral_test(
        &mut self,
        service: &str,
        loaded: Conductor,
        clock: &Clock,
    ) -> Result<NeutralShown, SiteError> {
        // The field knows loads behind the main alone: with the customer's own taken away and the
        // way to them closed, the line jaws see the same.
        let mut bare = self.world.clone();
        if let Some(service) = bare.services.get_mut(service) {
            service.profile = Profile::default();
            service.unmetered_amps = 0.0;
        }
        let mut closed = self.switching.clone();
        closed.set_meter_out(service, false);
        closed.set_main_open(service, false);
        let leg = field_leg(loaded)?;
        let at = FieldPlace::Base { service: service.to_owned(), side: FieldSide::Line };
        let pair = FieldPair::LegNeutral(leg.other());
        let mut volts = |on: bool, chance: u64| -> Result<Decimal, SiteError> {
            closed.plug_in(TestLoad { on, ..TestLoad::of_amps(service, leg, KNOWN_LOAD_AMPS) });
            let when = (clock.field_s(), &closed);
            shown(self.tester.measure(&bare, (&at, pair), when, chance)?)
        };
        // One display, steady: both readings share their chance.
        let steady = mix(self.seed, self.readings + 1);
        let (without_volts, with_volts) = (volts(false, steady)?, volts(true, steady)?);
        self.readings += 1;
        Ok(NeutralShown { without_volts, with_volts, amps: self.amps_of_known_load()? })
    }

    /// Megohms of a sound box that is held to the insulation tester.
    pub(crate) fn megohms_of_box() -> Result<Decimal, SiteError> {
        shown(KNOWN_MEGOHMS)
    }

    /// Megohms between a lifted leg and neutral. The field has no insulation of its own: sound old
    /// cable is made up here, both legs alike, tens to hundreds of megohms.
    pub(crate) fn megohms(&mut self, pad: &str, position: &str) -> Result<Decimal, SiteError> {
        let set = self.set_at(pad, position)?;
        let mut draw = stream(self.seed, &format!("insulation of {set}"));
        let base = draw.between(60.0, 400.0);
        let chance = self.chance();
        #[allow(clippy::cast_precision_loss, reason = "a share of a thousand")]
        let share = 0.95 + (chance % 1000) as f64 / 10_000.0;
        shown(base * share)
    }

    /// Pulls or sets the meter.
    pub(crate) fn meter_out(&mut self, service: &str, out: bool) {
        self.switching.set_meter_out(service, out);
    }

    /// Opens or closes the main.
    pub(crate) fn main_open(&mut self, service: &str, open: bool) {
        self.switching.set_main_open(service, open);
    }

    /// Whether the customer has sources, and switches them off or lets them run again.
    pub(crate) fn sources(&mut self, service: &str, off: bool) -> Result<usize, SiteError> {
        let count = self.world.service(service)?.sources.len();
        for index in 0..count {
            if off {
                self.switching.set_source(service, index, false);
            } else if let Some(sources) = self.switching.sources.get_mut(service) {
                sources.remove(&index);
            }
        }
        Ok(count)
    }

    /// Lifts or lands a conductor at the pad.
    pub(crate) fn lift(
        &mut self,
        pad: &str,
        position: &str,
        conductor: Conductor,
        lifted: bool,
    ) -> Result<(), SiteError> {
        let set = self.set_at(pad, position)?;
        let conductor = field_conductor_of(conductor)?;
        if lifted {
            self.switching.lift(&set, conductor);
        } else {
            self.switching.land(&set, conductor);
        }
        Ok(())
    }

    /// Shorts the lifted legs of a set to its neutral, or takes the short off.
    pub(crate) fn short(
        &mut self,
        pad: &str,
        position: &str,
        shorted: bool,
    ) -> Result<(), SiteError> {
        let set = self.set_at(pad, position)?;
        self.switching.set_shorted(&set, shorted);
        Ok(())
    }

    /// Plugs the known load in on a leg, off.
    pub(crate) fn plug_in(&mut self, service: &str, leg: Conductor) -> Result<(), SiteError> {
        let leg = field_leg(leg)?;
        let load = TestLoad { on: false, ..TestLoad::of_amps(service, leg, KNOWN_LOAD_AMPS) };
        self.switching.plug_in(load);
        self.plugged.insert(service.to_owned(), leg);
        Ok(())
    }

    /// Switches the known load.
    pub(crate) fn switch_load(&mut self, service: &str, on: bool) {
        self.switching.switch_test_load(service, on);
    }

    /// Unplugs the known load.
    pub(crate) fn unplug(&mut self, service: &str) {
        self.switching.test_loads.retain(|load| load.service != service);
        self.plugged.remove(service);
    }
}

fn shown(value: f64) -> Result<Decimal, SiteError> {
    Decimal::from_f64(value, 1)
        .ok_or_else(|| SiteError::NoSuchPlace(format!("a display that shows {value}")))
}

fn field_leg(leg: Conductor) -> Result<field_conductor::Leg, SiteError> {
    field_terms::leg(leg)
        .ok_or_else(|| SiteError::NoSuchPlace(format!("leg {leg:?} of a two-leg field")))
}

fn field_conductor_of(conductor: Conductor) -> Result<field_conductor::Conductor, SiteError> {
    field_terms::conductor(conductor)
        .ok_or_else(|| SiteError::NoSuchPlace(format!("leg {conductor:?} of a two-leg field")))
}

fn field_pair(pair: Pair) -> Result<FieldPair, SiteError> {
    let Pair(a, b) = pair;
    field_terms::pair(pair).ok_or_else(|| SiteError::NoSuchPlace(format!("{a:?} and {b:?}")))
}
