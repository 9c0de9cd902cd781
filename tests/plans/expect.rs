//! What an opening is to break, from the sheet alone: by cutting the branch out and counting who is
//! then dark, with nothing of core's but the model its documents state.

use coldlug_core::isolate::{ExpectedLoad, LoadBasis};

use super::world::World;

/// Every switch of the made-up sheets stands at this voltage to ground.
const VOLTS: f64 = 7200.0;

/// The rows of the diversity table that so small a sheet can need.
const DIVERSITY: [f64; 8] = [1.0, 1.0, 1.60, 1.80, 2.10, 2.20, 2.30, 2.40];

/// Amps through a branch.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Amps {
    pub(crate) likely: Option<f64>,
    pub(crate) most: f64,
    pub(crate) recorded: bool,
}

fn diversity(customers: usize) -> f64 {
    DIVERSITY[customers]
}

/// The amps through a branch with these branches closed; none where no feeder reaches it.
pub(crate) fn amps(world: &World, branch: usize, closed: u64) -> Option<Amps> {
    let ends = world.branches[branch].ends;
    let fed = world.reach(world.feeder_bits(), closed);
    if fed & ends[0] == 0 || fed & ends[1] == 0 {
        return None;
    }
    let dark_without = |n: usize| fed & !world.reach(world.feeder_bits(), closed & !(1 << n));
    let behind = dark_without(branch);
    let in_loop = behind == 0;
    let region = if in_loop {
        // All that the loop supplies: what goes dark with the last branch that leads to it.
        let leads = (0..world.branches.len()).filter(|n| closed & (1 << n) != 0);
        let whole = leads.map(dark_without).filter(|dark| ends.iter().all(|end| dark & end != 0));
        whole.min_by_key(|dark| dark.count_ones()).unwrap_or(world.reach(ends[0], closed))
    } else {
        behind
    };
    let (mut peaks, mut plates, mut own, mut count, mut recorded) = (0.0, 0.0, 0.0, 0, true);
    let mut seen = 0;
    for unit in world.units.iter().filter(|unit| region & unit.secondary != 0) {
        if seen & unit.secondary != 0 {
            continue;
        }
        let stretch = world.reach(unit.secondary, closed & !world.transformers);
        seen |= stretch;
        let on = world.units.iter().filter(|other| stretch & other.secondary != 0);
        let rating: f64 = on.map(|other| other.kva).sum();
        let here: Vec<_> = world.customers.iter().filter(|c| stretch & c.house != 0).collect();
        let of_each = rating * diversity(here.len().max(1)) / here.len().max(1) as f64;
        let mut together: f64 = here.iter().map(|c| c.peak_kva.unwrap_or(of_each)).sum();
        recorded &= !here.is_empty() && here.iter().all(|c| c.peak_kva.is_some());
        if here.is_empty() {
            together = rating;
        }
        plates += rating.max(together / diversity(here.len().max(1)));
        peaks += together;
        count += here.len().max(1);
    }
    for customer in &world.customers {
        own +=
            customer.own.iter().filter(|(at, _)| region & at != 0).map(|(_, kw)| kw).sum::<f64>();
    }
    let phases = if world.three_phase { 3.0 } else { 1.0 };
    let amps = |kva: f64| kva * 1e3 / phases / VOLTS;
    let likely = amps(peaks / diversity(count.max(1)));
    let most = likely.max(amps(plates)).max(amps(own));
    Some(Amps { likely: (!in_loop).then_some(likely), most, recorded })
}

/// The amps with nothing closed first, or where sources may be tied also with every loop point.
fn at_worst(world: &World, branch: usize, may_tie: bool) -> Option<Amps> {
    let now = world.closed_now();
    let mut amps_now = amps(world, branch, now)?;
    if may_tie {
        let each = world.branches.iter().enumerate();
        let loops = each.filter(|(_, b)| b.open && b.normally_open && b.breaks_load);
        let tied = loops.fold(now, |bits, (n, _)| bits | 1 << n);
        if let Some(tied) = amps(world, branch, tied) {
            amps_now.most = amps_now.most.max(tied.most);
            amps_now.recorded &= tied.recorded;
        }
    }
    Some(amps_now)
}

/// What its load says against opening a switch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Verdict {
    Fine,
    ReadFirst,
    NotMadeForIt,
    LikelyTooMuch,
    TooMuch,
}

/// What the rule says of a switch that is closed now.
pub(crate) fn verdict(world: &World, branch: usize, may_tie: bool) -> Verdict {
    let this = &world.branches[branch];
    let breaks = this.breaks_ma as f64 / 1e3;
    if let Some(read) = this.read_ma {
        return if read > this.breaks_ma { Verdict::TooMuch } else { Verdict::Fine };
    }
    if this.breaks_ma == 0 {
        return Verdict::NotMadeForIt;
    }
    match at_worst(world, branch, may_tie) {
        Some(amps) if amps.likely.is_some_and(|likely| likely > breaks) => Verdict::LikelyTooMuch,
        Some(amps) if amps.most <= breaks => Verdict::Fine,
        _ => Verdict::ReadFirst,
    }
}

/// Whether an answer's amps are these, in whole amps upwards.
pub(crate) fn agrees(world: &World, branch: usize, may_tie: bool, told: &ExpectedLoad) -> bool {
    let up = |told: Option<u32>, amps: Option<f64>| match (told, amps) {
        (Some(told), Some(amps)) => {
            let told = f64::from(told);
            told >= amps - 1e-5 && told < amps + 1.0 - 1e-7
        }
        (told, amps) => told.is_none() && amps.is_none(),
    };
    let (amps, basis) = match (world.branches[branch].read_ma, at_worst(world, branch, may_tie)) {
        (Some(read), _) => {
            let read = read as f64 / 1e3;
            (Some(Amps { likely: Some(read), most: read, recorded: true }), LoadBasis::Read)
        }
        (None, Some(amps)) if amps.recorded => (Some(amps), LoadBasis::Recorded),
        (None, Some(amps)) => (Some(amps), LoadBasis::Nameplate),
        (None, None) => (None, LoadBasis::Unknown),
    };
    up(told.likely_amps, amps.and_then(|a| a.likely))
        && up(told.most_amps, amps.map(|a| a.most))
        && told.basis == basis
}
