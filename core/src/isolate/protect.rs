//! What hands are near at each step of a plan, and so what is worn.

use super::phases::Phases;
use super::plan::{KeepAway, Opening, Plan, Protection, Step, StepAct};
use crate::caution::{
    Approach, Clothing, Exposure, Hands, Sourced, approach, clothing, clothing_at_primary, gloves,
    needs_two_workers,
};
use crate::plant::{Conductor, Device, Pair, Plant, Service, Transformer, VoltageSystem};
use crate::quantity::{AssetId, Voltage, in_metres, in_volts, volts};
use crate::rule_sheet::{GloveClass, RuleSheet};

/// The places of one plan.
pub(super) struct Near<'a> {
    pub(super) plant: &'a Plant,
    pub(super) rules: &'a RuleSheet,
    pub(super) phases: &'a Phases<'a>,
    /// The target.
    pub(super) target: &'a AssetId,
    /// The feeders' highest voltage to ground.
    pub(super) primary: Voltage,
    /// The work is in the meter base, not in the pad or on a cable.
    pub(super) at_base: bool,
}

impl Near<'_> {
    /// Says at each step of the plan what is worn.
    pub(super) fn note(&self, plan: &mut Plan) {
        let openings = &plan.openings;
        for step in plan.steps.iter_mut().chain(&mut plan.restoration) {
            step.protection = self.of(step, openings);
        }
    }

    fn of(&self, step: &Step, openings: &[Opening]) -> Option<Protection> {
        if step.act == StepAct::Brief {
            return None;
        }
        let opening = step.branch.as_ref().and_then(|b| openings.iter().find(|o| &o.branch == b));
        let customer = match step.act {
            StepAct::CheckLegAtBase => Some(self.target),
            StepAct::ShowBusLive => {
                return Some(self.in_pad(self.system_of_target(), &self.units_of_target()));
            }
            _ => step.service.as_ref(),
        };
        if let Some(service) = customer.and_then(|id| self.plant.services.get(id)) {
            return Some(self.at_customer(service));
        }
        match opening {
            Some(opening) if opening.device == Device::LugPair => {
                let units = self.units_of_lug(opening);
                Some(self.in_pad(units.first().map(|unit| unit.system), &units))
            }
            Some(opening) => {
                let volts = volts(f64::from(opening.volts_to_ground));
                let several = self.phases.several_at(&opening.branch);
                Some(self.at_primary(volts, opening.device == Device::Elbow, several))
            }
            None if step.branch.is_some() => {
                let switch = step.branch.as_ref().and_then(|b| self.plant.switches.get(b));
                let volts = switch.and_then(|s| s.voltage).unwrap_or(self.primary);
                let elbow = switch.is_some_and(|s| s.device == Device::Elbow);
                Some(self.at_primary(volts, elbow, self.several_at(step)))
            }
            None if self.at_base => None,
            None => Some(self.at_primary(self.primary, false, self.several_at(step))),
        }
    }

    fn system_of_target(&self) -> Option<VoltageSystem> {
        self.plant.services.get(self.target).map(|s| s.system)
    }

    fn units_of_target(&self) -> Vec<&Transformer> {
        let feeds = self.plant.feeds_of(self.target).into_iter();
        let units = feeds.filter_map(|feed| feed.transformer);
        units.filter_map(|unit| self.plant.transformers.get(&unit)).collect()
    }

    fn units_of_lug(&self, lug: &Opening) -> Vec<&Transformer> {
        let Some(lug) = self.plant.switches.get(&lug.branch) else { return Vec::new() };
        let ends = [&lug.from, &lug.to];
        let units = self.plant.transformers.values();
        units.filter(|unit| ends.contains(&&unit.secondary)).collect()
    }

    /// Whether a step at no opening is near more than one phase: at its branch, at its node, else in
    /// the target's pad.
    fn several_at(&self, step: &Step) -> bool {
        match (&step.branch, &step.node) {
            (Some(branch), _) => self.phases.several_at(branch),
            (None, Some(node)) => self.phases.several([node]),
            (None, None) => self.phases.several_in_pad_of(&self.units_of_target()),
        }
    }

    fn at_customer(&self, service: &Service) -> Protection {
        let pairs = service.system.pairs_to_test();
        let most = |of: fn(&Pair) -> bool| {
            let read = pairs.iter().filter(|pair| of(pair));
            let read = read.filter_map(|pair| service.system.expected(*pair));
            volts(read.map(in_volts).fold(0.0, f64::max))
        };
        let to_ground = most(|pair| pair.1 == Conductor::G);
        let between = most(|_| true);
        let hands = gloves(between, Hands::Secondary, self.rules);
        let several = service.system.legs().len() > 2;
        let worn = clothing(service.system, self.rules);
        self.said([to_ground, between], several, hands, worn, false)
    }

    /// Hands at the secondary of an open pad: primary is a hand's breadth away.
    fn in_pad(&self, system: Option<VoltageSystem>, units: &[&Transformer]) -> Protection {
        let worn = system.map_or_else(clothing_at_primary, |s| clothing(s, self.rules));
        let most = [self.primary, phase_to_phase(self.primary)];
        let hands = gloves(most[1], Hands::OpenPad, self.rules);
        let several = self.phases.several_in_pad_of(units);
        self.said(most, several, hands, worn, needs_two_workers(self.primary))
    }

    /// Primary handled by stick or handle; two workers where it is an elbow (WAC 296-45-225).
    fn at_primary(&self, to_ground: Voltage, elbow: bool, several: bool) -> Protection {
        let most = [to_ground, phase_to_phase(to_ground)];
        let hands = gloves(most[1], Hands::OpenPad, self.rules);
        let two = elbow || needs_two_workers(to_ground);
        self.said(most, several, hands, clothing_at_primary(), two)
    }

    /// The highest volts in reach, to ground and between phases; `several`: more than one phase may be
    /// exposed.
    fn said(
        &self,
        [to_ground, between]: [Voltage; 2],
        several: bool,
        hands: Sourced<Option<GloveClass>>,
        worn: Sourced<Clothing>,
        two_workers: bool,
    ) -> Protection {
        let exposure = if several { Exposure::PhaseToPhase } else { Exposure::PhaseToGround };
        let far = approach(between, exposure, self.rules.altitude());
        Protection {
            volts_to_ground: super::opening::whole_volts(to_ground),
            approach: match far.value {
                Approach::BelowTable => KeepAway::BelowTable,
                Approach::AvoidContact => KeepAway::NoContact,
                Approach::AtLeast(length) => {
                    KeepAway::AtLeast { millimetres: millimetres_up(in_metres(length)) }
                }
                Approach::NoNumber => KeepAway::NoNumber,
            },
            between_phases: several,
            approach_source: far.source.to_owned(),
            gloves: hands.value,
            gloves_source: hands.source.to_owned(),
            clothing_cal_per_cm2: match worn.value {
                Clothing::AtLeast { cal_per_cm2 } => Some(cal_per_cm2),
                Clothing::StudyNeeded => None,
            },
            clothing_source: worn.source.to_owned(),
            two_workers,
        }
    }
}

/// Between two phases of a system with this voltage to ground: the most that can be in reach.
fn phase_to_phase(to_ground: Voltage) -> Voltage {
    volts(in_volts(to_ground) * libm::sqrt(3.0))
}

/// A distance is never rounded down.
fn millimetres_up(metres: f64) -> u32 {
    let whole = libm::ceil(metres * 1e3 - 1e-6).clamp(0.0, 1e6);
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to 0 … 1e6 just before"
    )]
    let whole = whole as u32;
    whole
}
