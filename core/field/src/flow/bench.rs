//! A bench: one pad's secondary made ready once and solved at many moments.
//!
//! Cables are kept with those beyond a junction before the one that leads to it, so that one pass
//! forward gathers what hangs on each and one pass back carries the voltages out.

use super::cable::{Beyond, Cable, SHORT_SIEMENS};
use super::measure::Probe;
use super::premises::Base;
use super::windings::Windings;
use super::{
    Amps, BaseFlow, L1, L2, Moment, N, PadFlow, Pair, Place, Potentials, SetFlow, most_leg_amps,
};
use crate::block::{Block, Row};
use crate::conductor::Conductor;
use crate::switching::Switching;
use crate::world::{End, FieldError, World};
use num_complex::Complex64;

/// Chains of sets longer than this are taken for loops.
const DEEPEST: usize = 8;

/// One pad's secondary, ready to be solved.
#[derive(Debug, Clone, PartialEq)]
pub struct Bench {
    pad: String,
    windings: Windings,
    ground: Complex64,
    cables: Vec<Cable>,
    bases: Vec<Base>,
    /// For each meeting point: the cable that leads to it.
    meetings: Vec<usize>,
}

/// The state of a bench at one moment: what [`PadFlow`] says, without names of its own.
#[derive(Debug, Clone, PartialEq)]
pub struct State<'b> {
    bench: &'b Bench,
    /// Voltages at the secondary bus.
    pub bus: Potentials,
    /// Currents from the transformer into the bus.
    pub transformer: Amps,
    /// Current from the pad's neutral into earth, amps.
    pub earth: Complex64,
    /// Volts to ground on the primary bushing; see [`PadFlow::primary_volts`].
    pub primary_volts: f64,
    sets: Vec<SetFlow>,
    bases: Vec<BaseFlow>,
}

impl Bench {
    /// Makes a pad of the world ready. A change of the world after it is not in it.
    pub fn of(world: &World, pad: &str) -> Result<Self, FieldError> {
        let pad = world.pad(pad)?;
        let mut bench = Self {
            pad: pad.id.clone(),
            windings: Windings::of(pad).ok_or_else(|| FieldError::NoState(pad.id.clone()))?,
            ground: Complex64::new(1.0 / pad.ground_ohms, 0.0),
            cables: Vec::with_capacity(pad.sets.len()),
            bases: Vec::with_capacity(pad.sets.len()),
            meetings: Vec::new(),
        };
        for set in &pad.sets {
            bench.add(world, set, 0)?;
        }
        Ok(bench)
    }

    /// Adds a set and all beyond it; gives its number.
    fn add(&mut self, world: &World, id: &str, depth: usize) -> Result<usize, FieldError> {
        let set = world.set(id)?;
        if depth > DEEPEST {
            return Err(FieldError::Loop(set.id.clone()));
        }
        let mut children = Vec::new();
        let beyond = match &set.to {
            End::Dead => Beyond::Nothing,
            End::Service(service) => {
                self.bases.push(Base::of(world.service(service)?));
                Beyond::Base(self.bases.len().saturating_sub(1))
            }
            End::Junction(junction) => {
                for next in &world.junction(junction)?.sets {
                    children.push(self.add(world, next, depth + 1)?);
                }
                self.meetings.push(self.cables.len());
                Beyond::Sets(self.meetings.len().saturating_sub(1))
            }
        };
        let number = self.cables.len();
        self.cables.push(Cable::of(set, None, beyond));
        for child in children {
            if let Some(child) = self.cables.get_mut(child) {
                child.parent = Some(number);
            }
        }
        Ok(number)
    }

    /// The pad.
    pub fn pad(&self) -> &str {
        &self.pad
    }

    /// Whether a set, at its lugs or beyond a junction, hangs on this pad.
    pub fn has_set(&self, set: &str) -> bool {
        self.cables.iter().any(|cable| cable.id == set)
    }

    /// Whether a service hangs on this pad.
    pub fn has_service(&self, service: &str) -> bool {
        self.bases.iter().any(|base| base.id == service)
    }

    /// The state at `t_s` seconds; the same to the last bit as [`World::flow`].
    pub fn state(&self, t_s: f64, switching: &Switching) -> Result<State<'_>, FieldError> {
        self.solve(&Moment { switching, t_s, probe: None })
    }

    /// The true volts between `pair` at `place`; the same as [`World::volts`].
    pub fn volts(
        &self,
        place: &Place,
        pair: Pair,
        input_ohms: f64,
        t_s: f64,
        switching: &Switching,
    ) -> Result<f64, FieldError> {
        let probe = Some(Probe::new(place, pair, input_ohms)?);
        self.solve(&Moment { switching, t_s, probe })?.volts(place, pair)
    }

    fn solve(&self, moment: &Moment<'_>) -> Result<State<'_>, FieldError> {
        self.solved(moment).ok_or_else(|| FieldError::NoState(self.pad.clone()))
    }

    fn solved(&self, moment: &Moment<'_>) -> Option<State<'_>> {
        let live = !moment.switching.dead_pads.contains(&self.pad);
        let source = self.windings.source(moment.t_s, live);
        let mut bus = source;
        bus.ground(N, self.ground);
        let folded = self.fold(moment, live, &mut bus)?;
        let volts = bus.solve()?;
        let [_, _, neutral] = volts;
        let transformer = source.amps_in(volts).map(|amps| -amps);
        let [leg1, leg2, _] = transformer;
        let mut state = State {
            bench: self,
            bus: Potentials::of(volts),
            transformer: Amps::of(transformer),
            earth: neutral * self.ground,
            primary_volts: self.windings.primary_volts(moment.t_s, live, [leg1, leg2]),
            sets: vec![SetFlow::default(); self.cables.len()],
            bases: vec![BaseFlow::default(); self.bases.len()],
        };
        self.unfold(&folded, volts, &mut state);
        Some(state)
    }

    /// Folds every cable with what hangs on it to its start, those at the lugs into the bus.
    fn fold(&self, moment: &Moment<'_>, live: bool, bus: &mut Block<3>) -> Option<Folded> {
        let mut folded = Folded::default();
        folded.cables.reserve_exact(self.cables.len());
        let mut meetings: Vec<Block<3>> = self
            .meetings
            .iter()
            .filter_map(|number| self.cables.get(*number))
            .map(|cable| *cable.own(live))
            .collect();
        for (number, cable) in self.cables.iter().enumerate() {
            let mut far = *cable.own(live);
            match cable.beyond {
                Beyond::Nothing => {}
                Beyond::Base(base) => {
                    let supplied = || live && self.landed_up_to(number, moment.switching);
                    let (block, apart) = self.bases.get(base)?.fold(moment, supplied)?;
                    far.add(&block);
                    folded.apart.extend(apart.map(|rows| (base, rows)));
                }
                Beyond::Sets(meeting) => far = *meetings.get(meeting)?,
            }
            let landed = far.through(cable.ohms)?;
            let meets = match cable.parent.and_then(|parent| self.cables.get(parent)) {
                None => &mut *bus,
                Some(Cable { beyond: Beyond::Sets(meeting), .. }) => meetings.get_mut(*meeting)?,
                Some(_) => return None,
            };
            if is_as_drawn(cable, moment) {
                meets.add(&landed);
            } else {
                meets.add(&folded.take_off(number, cable, moment, landed)?);
            }
            folded.cables.push(landed);
        }
        Some(folded)
    }

    /// Whether every conductor is on its lug from the pad to the far end of a cable.
    fn landed_up_to(&self, number: usize, switching: &Switching) -> bool {
        let mut next = Some(number);
        while let Some(cable) = next.and_then(|number| self.cables.get(number)) {
            if switching.lifted.get(&cable.id).is_some_and(|lifted| !lifted.is_empty()) {
                return false;
            }
            next = cable.parent;
        }
        true
    }

    /// Carries the voltages from the bus out to every base.
    fn unfold(&self, folded: &Folded, bus: [Complex64; 3], state: &mut State<'_>) {
        let mut ends = vec![bus; self.cables.len()];
        for (number, cable) in self.cables.iter().enumerate().rev() {
            let Some(landed) = folded.cables.get(number) else { continue };
            let mut volts =
                cable.parent.and_then(|parent| ends.get(parent)).copied().unwrap_or(bus);
            let mut still = [false; 3];
            for off in folded.off.iter().rev().filter(|off| off.cable == number) {
                off.row.recover(&mut volts);
                for (still, conductor) in still.iter_mut().zip(Conductor::ALL) {
                    *still |= off.still && conductor == off.conductor;
                }
            }
            let mut amps = landed.amps_in(volts);
            for (amps, still) in amps.iter_mut().zip(still) {
                if still {
                    *amps = Complex64::ZERO;
                }
            }
            let far = cable.far(volts, amps);
            if let Some(set) = state.sets.get_mut(number) {
                *set = SetFlow { amps: Amps::of(amps), start: Potentials::of(volts) };
            }
            if let Beyond::Base(base) = cable.beyond {
                let rows = folded.apart.iter().find(|(at, _)| *at == base).map(|(_, rows)| rows);
                if let Some(flow) = state.bases.get_mut(base) {
                    *flow = Base::unfold(rows, far, Amps::of(amps));
                }
            }
            if let Some(end) = ends.get_mut(number) {
                *end = far;
            }
        }
    }
}

/// What folding leaves behind for unfolding.
#[derive(Default)]
struct Folded {
    /// Each cable as if landed.
    cables: Vec<Block<3>>,
    /// Conductors that are not connected where their cable starts, in the order of reduction.
    off: Vec<Off>,
    /// The load sides of bases whose meter is out.
    apart: Vec<(usize, [Row<5>; 2])>,
}

/// A conductor that is not connected where its cable starts.
struct Off {
    cable: usize,
    conductor: Conductor,
    row: Row<3>,
    /// It carries nothing there.
    still: bool,
}

impl Folded {
    /// Shorts, probes and takes off their lugs the conductors of a cable as they are now; gives
    /// what is seen of it then.
    fn take_off(
        &mut self,
        number: usize,
        cable: &Cable,
        moment: &Moment<'_>,
        mut at_start: Block<3>,
    ) -> Option<Block<3>> {
        let switching = moment.switching;
        let shorted = switching.shorted.contains(&cable.id);
        if shorted {
            let jumper = Complex64::new(SHORT_SIEMENS, 0.0);
            at_start.join(L1, N, jumper);
            at_start.join(L2, N, jumper);
        }
        if let Some(probe) = &moment.probe {
            probe.load_start(&cable.id, &mut at_start);
        }
        let lifted = switching.lifted.get(&cable.id);
        for (node, conductor) in Conductor::ALL.into_iter().enumerate() {
            let off_its_lug = lifted.is_some_and(|l| l.contains(&conductor));
            if off_its_lug || (cable.neutral_broken && conductor == Conductor::N) {
                let row = at_start.reduce(node)?;
                self.off.push(Off { cable: number, conductor, row, still: !shorted });
            }
        }
        Some(at_start)
    }
}

/// Whether nothing was done to a cable where it starts: the rule, and soon told.
fn is_as_drawn(cable: &Cable, moment: &Moment<'_>) -> bool {
    let Moment { switching, probe, .. } = moment;
    probe.is_none()
        && !cable.neutral_broken
        && (switching.shorted.is_empty() || !switching.shorted.contains(&cable.id))
        && (switching.lifted.is_empty() || !switching.lifted.contains_key(&cable.id))
}

impl State<'_> {
    /// One set's state.
    pub fn set(&self, id: &str) -> Result<&SetFlow, FieldError> {
        let sets = self.bench.cables.iter().zip(&self.sets);
        let found = sets.into_iter().find(|(cable, _)| cable.id == id).map(|(_, flow)| flow);
        found.ok_or_else(|| FieldError::UnknownSet(id.to_owned()))
    }

    /// One service's state.
    pub fn service(&self, id: &str) -> Result<&BaseFlow, FieldError> {
        let bases = self.bench.bases.iter().zip(&self.bases);
        let found = bases.into_iter().find(|(base, _)| base.id == id).map(|(_, flow)| flow);
        found.ok_or_else(|| FieldError::UnknownService(id.to_owned()))
    }

    /// The largest leg current of any other set, amps: what may disturb a clamp on this one.
    pub fn neighbour_amps(&self, set: &str) -> f64 {
        let sets = self.bench.cables.iter().zip(&self.sets);
        most_leg_amps(sets.filter(|(cable, _)| cable.id != set).map(|(_, flow)| flow))
    }

    /// The same state under the names of its sets and services.
    pub fn named(self) -> PadFlow {
        let bench = self.bench;
        let sets = bench.cables.iter().map(|cable| cable.id.clone()).zip(self.sets).collect();
        let bases = bench.bases.iter().map(|base| base.id.clone()).zip(self.bases).collect();
        PadFlow {
            pad: bench.pad.clone(),
            bus: self.bus,
            transformer: self.transformer,
            earth: self.earth,
            primary_volts: self.primary_volts,
            sets,
            services: bases,
        }
    }
}

/// Every pad of a world made ready.
#[derive(Debug, Clone, PartialEq)]
pub struct Benches(Vec<Bench>);

impl Benches {
    /// Makes every pad of the world ready. A change of the world after it is not in them.
    pub fn of(world: &World) -> Result<Self, FieldError> {
        world.pads.keys().map(|pad| Bench::of(world, pad)).collect::<Result<_, _>>().map(Self)
    }

    /// The bench of a pad.
    pub fn pad(&self, pad: &str) -> Result<&Bench, FieldError> {
        let found = self.0.iter().find(|bench| bench.pad == pad);
        found.ok_or_else(|| FieldError::UnknownPad(pad.to_owned()))
    }

    /// The bench that a set hangs on.
    pub fn set(&self, set: &str) -> Result<&Bench, FieldError> {
        let found = self.0.iter().find(|bench| bench.has_set(set));
        found.ok_or_else(|| FieldError::UnknownSet(set.to_owned()))
    }

    /// The bench that a service hangs on.
    pub fn service(&self, service: &str) -> Result<&Bench, FieldError> {
        let found = self.0.iter().find(|bench| bench.has_service(service));
        found.ok_or_else(|| FieldError::UnknownService(service.to_owned()))
    }

    /// The true volts between `pair` at `place`; the same as [`World::volts`].
    pub fn volts(
        &self,
        place: &Place,
        pair: Pair,
        input_ohms: f64,
        t_s: f64,
        switching: &Switching,
    ) -> Result<f64, FieldError> {
        let bench = match place {
            Place::Bus { pad } => self.pad(pad)?,
            Place::SetStart { set } => self.set(set)?,
            Place::Base { service, .. } => self.service(service)?,
        };
        bench.volts(place, pair, input_ohms, t_s, switching)
    }
}
