//! A meter base and what is behind it, as one block at its line side.

use super::{Amps, BaseFlow, L1, L2, Moment, N, Potentials};
use crate::block::{Block, Row};
use crate::conductor::Leg;
use crate::load::{Drawn, NOMINAL_LEG_VOLTS};
use crate::switching::TestLoad;
use crate::world::{CustomerSource, Service, SourceKind};
use num_complex::Complex64;

/// Load-side nodes while the meter is out.
const M1: usize = 3;
const M2: usize = 4;
/// Capacitance from a load-side jaw to neutral, siemens at 60 Hz: some metres of wire.
const JAW_SIEMENS: Complex64 = Complex64::new(1e-8, 3e-7);
/// Internal impedance of an engine generator or battery, per unit (from memory, order only).
const SOURCE_PER_UNIT_OHMS: f64 = 0.2;

/// A meter base and its customer, ready to be folded at many moments.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Base {
    pub(super) id: String,
    sources: Vec<CustomerSource>,
    drawn: Drawn,
    /// What is on its line side: ground and unmetered load.
    line: Block<3>,
    /// What is on its load side ahead of the main breaker.
    jaws: Block<3>,
}

impl Base {
    pub(super) fn of(service: &Service) -> Self {
        let mut line = Block::<3>::default();
        line.ground(N, real(1.0 / service.ground_ohms));
        line.join(L1, N, real(service.unmetered_amps / NOMINAL_LEG_VOLTS));
        let mut jaws = Block::<3>::default();
        jaws.join(L1, N, JAW_SIEMENS);
        jaws.join(L2, N, JAW_SIEMENS);
        let (id, sources) = (service.id.clone(), service.sources.clone());
        Self { id, sources, drawn: Drawn::of(&service.profile), line, jaws }
    }

    /// The base as seen from its line side, and while the meter is out the load side's equations
    /// in the order of their reduction. `supplied`: the pad is live and every conductor up to
    /// here is landed.
    pub(super) fn fold(
        &self,
        moment: &Moment<'_>,
        supplied: impl Fn() -> bool,
    ) -> Option<(Block<3>, Option<[Row<5>; 2]>)> {
        let switching = moment.switching;
        let meter_in = switching.meters_out.is_empty() || !switching.meters_out.contains(&self.id);
        let main_open = !switching.mains_open.is_empty() && switching.mains_open.contains(&self.id);
        let mut line = self.line;
        join_loads(&mut line, &switching.line_loads, &self.id);
        let mut load = self.jaws;
        if !main_open {
            self.connect_panel(&mut load, moment, || supplied() && meter_in);
        }
        if meter_in {
            let mut block = line;
            block.add(&load);
            if let Some(probe) = &moment.probe {
                probe.load_base(&self.id, &mut block, [L1, L2]);
            }
            return Some((block, None));
        }
        let mut both = Block::<5>::default();
        both.add_at(&line, [L1, L2, N]);
        both.add_at(&load, [M1, M2, N]);
        if let Some(probe) = &moment.probe {
            probe.load_base(&self.id, &mut both, [M1, M2]);
        }
        let rows = [both.reduce(M2)?, both.reduce(M1)?];
        Some((both.front(), Some(rows)))
    }

    /// A base's state, given its line-side voltages and the currents into it.
    pub(super) fn unfold(
        apart: Option<&[Row<5>; 2]>,
        line: [Complex64; 3],
        amps: Amps,
    ) -> BaseFlow {
        let [l1, l2, n] = line;
        let load = match apart {
            None => Potentials::of(line),
            Some([second, first]) => {
                let mut volts = [l1, l2, n, Complex64::ZERO, Complex64::ZERO];
                first.recover(&mut volts);
                second.recover(&mut volts);
                let [_, _, _, m1, m2] = volts;
                Potentials { l1: m1, l2: m2, n }
            }
        };
        BaseFlow { line: Potentials::of(line), load, amps }
    }

    /// Everything behind the main breaker, at the load side's nodes.
    fn connect_panel(
        &self,
        block: &mut Block<3>,
        moment: &Moment<'_>,
        supplied: impl Fn() -> bool,
    ) {
        let switched =
            if self.sources.is_empty() { None } else { moment.switching.sources.get(&self.id) };
        let on = |index: usize, source: &CustomerSource| {
            let rest = source.kind == SourceKind::Pv;
            *switched.and_then(|s| s.get(&index)).unwrap_or(&rest)
        };
        // A running source behind a transfer switch takes the house with it.
        let transferred = self
            .sources
            .iter()
            .enumerate()
            .any(|(k, s)| s.transfer_switch && s.kind != SourceKind::Pv && on(k, s));
        if transferred {
            return;
        }
        let demand = self.drawn.demand(moment.t_s);
        block.join(L1, N, demand.l1 / NOMINAL_LEG_VOLTS);
        block.join(L2, N, demand.l2 / NOMINAL_LEG_VOLTS);
        block.join(L1, L2, demand.l12 / (2.0 * NOMINAL_LEG_VOLTS));
        join_loads(block, &moment.switching.test_loads, &self.id);
        for (index, source) in self.sources.iter().enumerate().filter(|(k, s)| on(*k, s)) {
            match source.kind {
                SourceKind::Pv if supplied() => {
                    block.drive(L2, L1, real(pv_amps(source, moment.t_s, index)));
                }
                SourceKind::Generator | SourceKind::Battery => connect_generator(block, source),
                SourceKind::Pv => {}
            }
        }
    }
}

fn real(x: f64) -> Complex64 {
    Complex64::new(x, 0.0)
}

/// Connects the test loads of a service that are on.
fn join_loads(block: &mut Block<3>, loads: &[TestLoad], service: &str) {
    for load in loads.iter().filter(|load| load.on && load.service == service) {
        let leg = match load.leg {
            Leg::L1 => L1,
            Leg::L2 => L2,
        };
        block.join(leg, N, real(1.0 / load.ohms));
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
