//! Which branches may be opened, which may not and why, and what each opening costs.

use std::collections::{BTreeMap, BTreeSet};

use super::graph::{Closing, Price, is_last_resort};
use super::load::{Loads, is_loop_point, makes_load};
use super::plan::{ExpectedLoad, Opening, WhyNot};
use super::zone::Request;
use crate::gate::Scope;
use crate::plant::{
    Branch, Conductor, Device, Metering, Pair, Plant, Service, Switch, VoltageSystem, derived,
};
use crate::quantity::{AssetId, Current, IdError, NodeId, Voltage, in_volts, volts};
use crate::rule_sheet::RuleSheet;

/// What is known of a branch that opens.
pub(super) struct Openable<'a> {
    pub(super) opening: Opening,
    /// Why it may not be counted on; none where it may.
    pub(super) why_not: Option<WhyNot>,
    pub(super) switch: Option<&'a Switch>,
    /// What closing it costs, where it is a loop point that may be closed onto load.
    pub(super) closing: Option<Closing>,
}

impl Openable<'_> {
    pub(super) const fn price(&self) -> Price {
        Price {
            exposure: self.opening.exposure,
            operations: self.opening.operations,
            device: self.opening.device,
        }
    }
}

/// Looks at branches one by one.
pub(super) struct Openings<'a> {
    plant: &'a Plant,
    request: &'a Request,
    rules: &'a RuleSheet,
    zone: &'a BTreeSet<NodeId>,
    loads: &'a Loads<'a>,
    /// The service whose derived branch each is.
    of_service: BTreeMap<AssetId, &'a Service>,
    /// The system of each secondary bus.
    systems: BTreeMap<&'a NodeId, VoltageSystem>,
    /// What a primary switch without volts on the record is taken to be on.
    pub(super) primary: Voltage,
}

impl<'a> Openings<'a> {
    pub(super) fn new(
        plant: &'a Plant,
        request: &'a Request,
        rules: &'a RuleSheet,
        zone: &'a BTreeSet<NodeId>,
        loads: &'a Loads<'a>,
    ) -> Result<Self, IdError> {
        let mut of_service = BTreeMap::new();
        for service in plant.services.values() {
            of_service.insert(derived::meter(&service.id)?, service);
            of_service.insert(derived::main(&service.id)?, service);
            for number in 1..=service.sources.len() {
                of_service.insert(derived::source(&service.id, number)?, service);
            }
        }
        let highest = plant
            .sources
            .values()
            .map(|s| in_volts(s.line_to_line) / libm::sqrt(3.0))
            .fold(0.0, f64::max);
        let systems = plant.transformers.values().map(|t| (&t.secondary, t.system)).collect();
        let primary = volts(highest);
        Ok(Self { plant, request, rules, zone, loads, of_service, systems, primary })
    }

    /// What is known of a branch; none for one that does not open at all.
    pub(super) fn look(&self, branch: &Branch) -> Option<Openable<'a>> {
        let device = branch.device()?;
        let service = self.of_service.get(&branch.id).copied();
        let switch = self.plant.switches.get(&branch.id);
        let to_ground = self.to_ground(switch, service);
        let off = self.request.lifted.get(&branch.id);
        let is_off = |leg: &Conductor| off.is_some_and(|off| off.contains(leg));
        let mut legs = switch.map_or_else(Vec::new, |s| s.legs.clone());
        // Those that are off already come first: the set opens with the last that is still on.
        legs.sort_by_key(|leg| !is_off(leg));
        let hold = branch.is_open(&self.request.states);
        let each = match device {
            Device::LugPair => {
                let on = legs.iter().filter(|leg| !is_off(leg)).count();
                u32::try_from(on).unwrap_or(u32::MAX).max(1)
            }
            _ => 1,
        };
        let operations = if hold { 0 } else { each };
        let contact = match device {
            Device::LugPair | Device::Meter => self.rules.exposure_by_gloved_hand,
            Device::CutOut | Device::Elbow | Device::BayonetFuse => self.rules.exposure_by_stick,
            Device::Breaker | Device::FeederSwitch | Device::Main | Device::SourceDisconnect => {
                self.rules.exposure_by_handle
            }
        };
        let weight = contact.saturating_mul(self.rules.exposure_at(to_ground));
        let opening = Opening {
            branch: branch.id.clone(),
            device,
            hold,
            operations,
            exposure: operations.saturating_mul(weight),
            volts_to_ground: whole_volts(to_ground),
            visible_break: switch.map_or(device == Device::Meter, |s| s.visible_break),
            // A covered base takes a seal; whether a customer's own switch takes a lock is not on record.
            lockable: switch.map_or(device == Device::Meter, |s| s.lockable),
            pad: switch.and_then(|s| s.pad.clone()),
            position: switch.and_then(|s| s.position.clone()),
            service: service.map(|s| s.id.clone()),
            legs: if device == Device::LugPair { legs } else { Vec::new() },
            // Worked out for what is told alone.
            expected: None,
        };
        let why_not = self.why_not(branch, device, switch, service, hold);
        // Closing puts load on it.
        let closes = is_loop_point(branch, self.request) && switch.is_some_and(makes_load);
        let closing = closes.then_some(Closing {
            exposure: weight,
            operations: 1,
            last_resorts: u32::from(is_last_resort(device)),
        });
        Some(Openable { opening, why_not, switch, closing })
    }

    fn why_not(
        &self,
        branch: &Branch,
        device: Device,
        switch: Option<&Switch>,
        service: Option<&Service>,
        hold: bool,
    ) -> Option<WhyNot> {
        if self.zone.contains(&branch.from) && self.zone.contains(&branch.to) {
            return Some(WhyNot::InZone);
        }
        if let Some(service) = service {
            return match device {
                Device::Meter => self.meter_stays(service),
                _ => self.behind_the_meter(service),
            };
        }
        let switch = switch?;
        if !hold && let Some(why) = self.loads.why_not(switch) {
            return Some(why);
        }
        let seen = switch.visible_break || self.rules.allow_opening_without_visible_break;
        (!seen).then_some(WhyNot::NoVisibleBreak)
    }

    /// What an opening is expected to break; none for what stands open already.
    pub(super) fn expected(&self, opening: &Opening) -> Option<ExpectedLoad> {
        let switch = self.plant.switches.get(&opening.branch);
        (!opening.hold).then(|| self.loads.expected(&opening.branch, switch))
    }

    /// What a branch carries at most, where that was read.
    pub(super) fn carries(&self, branch: &Branch) -> Option<Current> {
        self.loads.carries(&branch.id)
    }

    /// Why the meter of a service is not pulled; none where it is.
    pub(super) fn meter_stays(&self, service: &Service) -> Option<WhyNot> {
        if service.metering == Some(Metering::Ct) {
            return Some(WhyNot::CtMeter);
        }
        let legs = Pair(Conductor::L1, Conductor::L2);
        let high = service.system.expected(legs).is_none_or(|v| v > self.rules.meter_pull_most());
        high.then_some(WhyNot::MeterVoltage)
    }

    /// Whether the service's meter comes out for this work.
    pub(super) fn meter_comes_out(&self, service: &Service) -> bool {
        self.request.at_base()
            && service.id == self.request.service
            && !service.meters.is_empty()
            && self.meter_stays(service).is_none()
    }

    fn behind_the_meter(&self, service: &Service) -> Option<WhyNot> {
        let line_side = self.request.scope == Scope::BaseLineSide;
        (line_side && self.meter_comes_out(service)).then_some(WhyNot::BehindTheMeter)
    }

    fn to_ground(&self, switch: Option<&Switch>, service: Option<&Service>) -> Voltage {
        let leg_to_neutral = |system: VoltageSystem| {
            system.expected(Pair(Conductor::L1, Conductor::N)).unwrap_or(self.primary)
        };
        match (switch, service) {
            (Some(s), _) if s.device == Device::LugPair => {
                let system = self.systems.get(&s.from).or_else(|| self.systems.get(&s.to));
                leg_to_neutral(system.copied().unwrap_or(VoltageSystem::Split120_240))
            }
            (Some(s), _) => s.voltage.unwrap_or(self.primary),
            (None, Some(service)) => leg_to_neutral(service.system),
            (None, None) => self.primary,
        }
    }
}

/// Volts as a whole number, for words and JSON.
pub(super) fn whole_volts(voltage: Voltage) -> u32 {
    whole(in_volts(voltage))
}

/// A quantity as a whole number, for words and JSON.
pub(super) fn whole(value: f64) -> u32 {
    let rounded = libm::round(value).clamp(0.0, 1e9);
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to 0 … 1e9 just before"
    )]
    let whole = rounded as u32;
    whole
}
