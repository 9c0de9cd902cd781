//! Amps read through what is to be opened under load: which count, and what they show.
//!
//! A reading counts while nothing is held against it, for the window of amps, and until anything is
//! opened or closed after it: load moves with every switch. Then it is read again. One that does not
//! count still speaks against an opening where it showed more than may be broken.

use std::collections::{BTreeMap, BTreeSet};

use super::{sheets::Sheets, state::State};
use crate::{
    event::{AmpsRead, Event},
    isolate::{AmpsLack, ReadAmps, Request, expected_load},
    plant::{Conductor, Device, Plant, VoltageSystem},
    quantity::{
        AssetId, Bounded, Current, Instant, NodeId, PersonId, Voltage, amps, in_amps, volts,
    },
    reading::{AmpsAt, AmpsReading, Doubt, Moment, Taken, judge_amps},
};

/// A current through something that opens, and who read it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AmpsTaken {
    /// The switch or cable.
    pub branch: AssetId,
    /// Who.
    pub person: PersonId,
    /// The reading.
    pub taken: Taken<AmpsReading>,
}

/// What the readings of one conductor come to.
#[derive(Debug, Clone, Default)]
struct OnConductor {
    /// The last that counts, and when it was read.
    counts: Option<(Range, Instant)>,
    /// What others showed, since then if there is one.
    others: Range,
    /// What is held against the last of those, and when it was read.
    doubts: Option<(BTreeSet<&'static str>, Instant)>,
}

/// What flows at least and at most.
#[derive(Debug, Clone, Copy, Default)]
struct Range {
    least: Current,
    most: Current,
}

impl Range {
    /// Where the limit of error has no bound, what is shown counts against the opening as it is.
    fn of(bound: Bounded<Current>) -> Self {
        let shown = amps(in_amps(bound.value).abs());
        if !in_amps(bound.limit_of_error).is_finite() {
            return Self { least: shown, most: shown };
        }
        let least = (shown - bound.limit_of_error).max(amps(0.0));
        Self { least, most: shown + bound.limit_of_error }
    }

    fn and(self, other: Self) -> Self {
        Self { least: self.least.max(other.least), most: self.most.max(other.most) }
    }
}

/// Whether amps are read at something to open it: at all that opens but lugs, whose legs have a rule of
/// their own, and on a primary cable.
pub(super) fn amps_are_read_at(plant: &Plant, branch: &AssetId) -> bool {
    let opens = plant.switches.get(branch).is_some_and(|switch| switch.device != Device::LugPair);
    opens || plant.cables.contains_key(branch)
}

impl State {
    pub(super) fn apply_amps(&mut self, event: &Event, body: &AmpsRead) {
        let taken =
            Taken { event: event.id.clone(), at: event.when(), reading: body.reading.clone() };
        let (branch, person) = (body.branch.clone(), event.person.clone());
        self.amps.push(AmpsTaken { branch, person, taken });
    }

    /// Something was opened or closed: nobody knows what flows now, or what stands across an open point.
    pub(super) fn load_moved(&mut self) {
        self.amps_from = self.amps.len();
        self.physical.measured.clear();
    }

    /// What was read at each switch and cable, as of now.
    pub fn read_amps(&self, sheets: &Sheets<'_>, now: &Instant) -> BTreeMap<AssetId, ReadAmps> {
        let mut branches: BTreeMap<&AssetId, BTreeMap<Option<Conductor>, OnConductor>> =
            BTreeMap::new();
        if self.amps.is_empty() {
            return BTreeMap::new();
        }
        let others = self.all_amps();
        for (place, read) in self.amps.iter().enumerate() {
            let (range, mut held) = self.judged_load(sheets, read, &others, now);
            if place < self.amps_from {
                held.insert(AmpsLack::BeforeSwitching.id());
            }
            let of = branches.entry(&read.branch).or_default();
            let on = of.entry(read.taken.reading.conductor).or_default();
            if held.is_empty() {
                *on = OnConductor {
                    counts: Some((range, read.taken.at.clone())),
                    ..Default::default()
                };
            } else {
                on.others = on.others.and(range);
                on.doubts = Some((held, read.taken.at.clone()));
            }
        }
        branches.into_iter().map(|(branch, on)| (branch.clone(), together(&on))).collect()
    }

    /// What one reading shows, and what is held against it.
    fn judged_load(
        &self,
        sheets: &Sheets<'_>,
        read: &AmpsTaken,
        others: &[Taken<AmpsReading>],
        now: &Instant,
    ) -> (Range, BTreeSet<&'static str>) {
        let Taken { at: taken, reading, .. } = &read.taken;
        let evidence = self.evidence.as_ref();
        let moment = Moment {
            now,
            taken,
            proven: evidence.and_then(|evidence| evidence.proven.get(&reading.instrument)),
            window: sheets.rules.amps_fresh(),
        };
        let instrument =
            evidence.and_then(|evidence| evidence.instruments.get(&reading.instrument));
        let at = voltage_at(sheets.plant, &read.branch);
        let judged = judge_amps(reading, instrument, others, at, moment, sheets.rules);
        let mut held: BTreeSet<&'static str> = judged.validation.ids().into_iter().collect();
        if reading.conductor.is_some_and(|conductor| !conductor.is_leg()) {
            held.insert(AmpsLack::NotEveryPhase.id());
        }
        (Range::of(judged.bound), held)
    }

    /// What is held against each reading since anything was opened or closed: the first thing, where the
    /// last of its conductor is no good, or shows more than its switch may break. Its age is not held
    /// against it here: what is merely old was good.
    pub(super) fn amps_amiss(&self, sheets: &Sheets<'_>) -> Vec<(AssetId, &'static str)> {
        let mut last: BTreeMap<(&AssetId, Option<Conductor>), &AmpsTaken> = BTreeMap::new();
        for read in self.amps.get(self.amps_from..).unwrap_or_default() {
            last.insert((&read.branch, read.taken.reading.conductor), read);
        }
        if last.is_empty() {
            return Vec::new();
        }
        let others = self.all_amps();
        let amiss = |read: &AmpsTaken| {
            let taken = &read.taken.at;
            let instants = self.applied.iter().rev().map(|applied| &applied.event.at);
            // As of the last its own clock knows, so that an instrument shown right since counts.
            let now = instants.filter(|at| at.boot == taken.boot).max_by_key(|at| at.mono_ms);
            let (range, mut held) = self.judged_load(sheets, read, &others, now.unwrap_or(taken));
            held.remove(Doubt::Stale.id());
            let rated = sheets.plant.switches.get(&read.branch).map(|switch| switch.load_break);
            let over = rated.filter(|rated| range.most > *rated).map(|rated| {
                let sure = range.least > rated;
                if sure { AmpsLack::OverLoadBreak.id() } else { AmpsLack::NearLoadBreak.id() }
            });
            held.first().copied().or(over)
        };
        last.into_values().filter_map(|read| Some((read.branch.clone(), amiss(read)?))).collect()
    }

    /// Why a switch is not shown to break no more than it may, as everything stands now.
    pub(super) fn lacks_amps(
        &self,
        sheets: &Sheets<'_>,
        switch: &AssetId,
        now: &Instant,
    ) -> Vec<String> {
        let not_known = || vec![AmpsLack::NotRead.id().to_owned()];
        let Some(header) = &self.header else { return not_known() };
        let Some(plant) = self.map(sheets) else { return not_known() };
        let Ok(present) = self.present(&plant) else { return not_known() };
        let request = Request {
            states: present.states,
            loads: self.read_amps(sheets, now),
            ..Request::new(header.service.clone(), header.scope.clone())
        };
        let Ok(Some(load)) = expected_load(&plant, &request, switch) else { return not_known() };
        let rated = plant.switches.get(switch).map_or(amps(0.0), |switch| switch.load_break);
        if rated > amps(0.0) {
            return load.lacks();
        }
        // What may break no load is opened with none on it, and nothing but amps read there shows that.
        let read = request.loads.get(switch).filter(|_| load.counts_as_read());
        match read {
            Some(read) if read.most <= sheets.rules.no_load() => Vec::new(),
            Some(_) => load.lacks(),
            None if load.doubts.is_empty() => not_known(),
            None => load.doubts,
        }
    }

    /// Whether a reading shows more than its switch may break, whatever is held against it.
    pub(super) fn shows_too_much(&self, sheets: &Sheets<'_>, body: &AmpsRead) -> bool {
        let Some(switch) = sheets.plant.switches.get(&body.branch) else { return false };
        let instruments = self.evidence.as_ref().map(|evidence| &evidence.instruments);
        let moment = Moment::all_at_once(sheets.rules.amps_fresh());
        let instrument = instruments.and_then(|all| all.get(&body.reading.instrument));
        let at = voltage_at(sheets.plant, &body.branch);
        let judged = judge_amps(&body.reading, instrument, &[], at, moment, sheets.rules);
        Range::of(judged.bound).least > switch.load_break
    }
}

/// The conductors of a branch together: the fullest counts.
fn together(conductors: &BTreeMap<Option<Conductor>, OnConductor>) -> ReadAmps {
    let mut all = Range::default();
    let (mut counted, mut doubts) = (0, BTreeSet::new());
    let (mut first, mut last): (Option<&Instant>, Option<&Instant>) = (None, None);
    for on in conductors.values() {
        all = all.and(on.others);
        match (&on.counts, &on.doubts) {
            (Some((range, at)), _) => {
                all = all.and(*range);
                counted += 1;
                first = first.filter(|first| first.wall_ms <= at.wall_ms).or(Some(at));
            }
            (None, Some((held, at))) => {
                doubts.extend(held.iter().copied());
                last = last.filter(|last| last.wall_ms >= at.wall_ms).or(Some(at));
            }
            (None, None) => {}
        }
    }
    if counted > 0 {
        doubts.clear();
    }
    ReadAmps {
        least: all.least,
        most: all.most,
        conductors: counted,
        at: first.or(last).map(Instant::to_clock),
        doubts: doubts.into_iter().map(str::to_owned).collect(),
    }
}

/// On which voltage something is read at a branch.
pub(super) fn voltage_at(plant: &Plant, branch: &AssetId) -> AmpsAt {
    let switch = plant.switches.get(branch);
    let ends = switch.map(|switch| [&switch.from, &switch.to]);
    let system = ends.and_then(|ends| secondary_at(plant, ends));
    if system.is_some() {
        return AmpsAt::Secondary(system);
    }
    let highest = || {
        let all = plant.sources.values().map(|source| source.line_to_line / libm::sqrt(3.0));
        all.fold(volts(0.0), Voltage::max)
    };
    AmpsAt::Primary(switch.and_then(|switch| switch.voltage).unwrap_or_else(highest))
}

/// The system of the bus that a switch is on.
fn secondary_at(plant: &Plant, ends: [&NodeId; 2]) -> Option<VoltageSystem> {
    let unit = plant.transformers.values().find(|unit| ends.contains(&&unit.secondary))?;
    Some(unit.system)
}
