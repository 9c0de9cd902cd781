//! A meter base and what is behind it, as one block at its line side.

use super::{Amps, BaseFlow, L1, L2, Moment, N, Potentials};
use crate::block::{Block, Row};
use crate::conductor::Leg;
use crate::load::NOMINAL_LEG_VOLTS;
use crate::world::{CustomerSource, Service, SourceKind};
use num_complex::Complex64;

/// Load-side nodes while the meter is out.
const M1: usize = 3;
const M2: usize = 4;
/// Capacitance from a load-side jaw to neutral, siemens at 60 Hz: some metres of wire.
const JAW_SIEMENS: Complex64 = Complex64::new(1e-8, 3e-7);
/// Internal impedance of an engine generator or battery, per unit (from memory, order only).
const SOURCE_PER_UNIT_OHMS: f64 = 0.2;

/// A meter base folded to its line side.
pub(super) struct Premises<'w> {
    service: &'w Service,
    pub(super) block: Block<3>,
    /// The load side's equations while the meter is out, in the order of their reduction.
    apart: Option<[Row<5>; 2]>,
}

impl<'w> Premises<'w> {
    /// `supplied`: the pad is live and every conductor up to here is landed.
    pub(super) fn of(moment: &Moment<'_>, service: &'w Service, supplied: bool) -> Option<Self> {
        let meter_in = !moment.switching.meters_out.contains(&service.id);
        let main_closed = !moment.switching.mains_open.contains(&service.id);
        let mut line = Block::<3>::default();
        line.ground(N, real(1.0 / service.ground_ohms));
        line.join(L1, N, real(service.unmetered_amps / NOMINAL_LEG_VOLTS));
        let mut load = Block::<3>::default();
        load.join(L1, N, JAW_SIEMENS);
        load.join(L2, N, JAW_SIEMENS);
        if main_closed {
            connect_panel(&mut load, moment, service, supplied && meter_in);
        }
        let mut both = Block::<5>::default();
        both.add_at(&line, [L1, L2, N]);
        both.add_at(&load, if meter_in { [L1, L2, N] } else { [M1, M2, N] });
        if let Some(probe) = &moment.probe {
            let load_side = if meter_in { [L1, L2] } else { [M1, M2] };
            probe.load_base(&service.id, &mut both, load_side);
        }
        let apart = if meter_in { None } else { Some([both.reduce(M2)?, both.reduce(M1)?]) };
        Some(Self { service, block: both.front(), apart })
    }

    /// The base's state, given its line-side voltages and the currents into it.
    pub(super) fn unfold(&self, line: [Complex64; 3], amps: Amps) -> (String, BaseFlow) {
        let [l1, l2, n] = line;
        let load = match &self.apart {
            None => Potentials::of(line),
            Some([second, first]) => {
                let mut volts = [l1, l2, n, Complex64::ZERO, Complex64::ZERO];
                first.recover(&mut volts);
                second.recover(&mut volts);
                let [_, _, _, m1, m2] = volts;
                Potentials { l1: m1, l2: m2, n }
            }
        };
        (self.service.id.clone(), BaseFlow { line: Potentials::of(line), load, amps })
    }
}

fn real(x: f64) -> Complex64 {
    Complex64::new(x, 0.0)
}

/// Everything behind the main breaker, at the load side's nodes.
fn connect_panel(block: &mut Block<3>, moment: &Moment<'_>, service: &Service, supplied: bool) {
    let on = |index: usize, source: &CustomerSource| {
        let rest = source.kind == SourceKind::Pv;
        let set = moment.switching.sources.get(&service.id).and_then(|s| s.get(&index));
        *set.unwrap_or(&rest)
    };
    // A running source behind a transfer switch takes the house with it.
    let transferred = service
        .sources
        .iter()
        .enumerate()
        .any(|(k, s)| s.transfer_switch && s.kind != SourceKind::Pv && on(k, s));
    if transferred {
        return;
    }
    let demand = service.profile.demand(moment.t_s);
    block.join(L1, N, demand.l1 / NOMINAL_LEG_VOLTS);
    block.join(L2, N, demand.l2 / NOMINAL_LEG_VOLTS);
    block.join(L1, L2, demand.l12 / (2.0 * NOMINAL_LEG_VOLTS));
    for load in moment.switching.test_loads.iter().filter(|l| l.on && l.service == service.id) {
        let leg = match load.leg {
            Leg::L1 => L1,
            Leg::L2 => L2,
        };
        block.join(leg, N, real(1.0 / load.ohms));
    }
    for (index, source) in service.sources.iter().enumerate().filter(|(k, s)| on(*k, s)) {
        match source.kind {
            SourceKind::Pv if supplied => {
                block.drive(L2, L1, real(pv_amps(source, moment.t_s, index)));
            }
            SourceKind::Generator | SourceKind::Battery => connect_generator(block, source),
            SourceKind::Pv => {}
        }
    }
}

/// A source with a voltage of its own: each half behind half of its internal impedance.
fn connect_generator(block: &mut Block<3>, source: &CustomerSource) {
    let volts = 2.0 * NOMINAL_LEG_VOLTS;
    let ohms = 0.5 * SOURCE_PER_UNIT_OHMS * volts * volts / (source.kw * 1000.0);
    let siemens = Complex64::new(0.3, 0.95).inv() / ohms;
    for (leg, sign) in [(L1, 1.0), (L2, -1.0)] {
        block.join(leg, N, siemens);
        block.drive(N, leg, siemens * (sign * NOMINAL_LEG_VOLTS));
    }
}

/// What photovoltaics drive from leg to leg, amps: 20 to 90 % of rating as clouds pass (invented).
fn pv_amps(source: &CustomerSource, t_s: f64, index: usize) -> f64 {
    let phase = if index == 0 { 0.0 } else { 0.25 };
    let cloud = libm::sin(core::f64::consts::TAU * (t_s / 3_400.0 + phase));
    source.kw * 1000.0 / (2.0 * NOMINAL_LEG_VOLTS) * (0.55 + 0.35 * cloud)
}
