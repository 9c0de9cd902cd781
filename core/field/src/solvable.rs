//! Solvable: whether a crew that knew the truth could meet every gate of a job, decided before
//! play from the world, the record and the kit alone.
//!
//! The limits of the gates are not the field's: they come in as plain numbers.

#[cfg(test)]
mod tests;

use crate::conductor::{Conductor, Leg};
use crate::flow::{Bench, Pair, Place, Side};
use crate::kit::Kit;
use crate::record::Record;
use crate::switching::{Switching, TestLoad};
use crate::world::{FieldError, World};

/// What the gates of a job ask of the field.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wanted {
    /// Amps of the known load at nominal volts.
    pub step_amps: f64,
    /// The least share of those amps that a step shows on its own set.
    pub least_share: f64,
    /// The largest share.
    pub most_share: f64,
    /// How many ways without a known load must agree where none can be switched: a tone heard and
    /// a marker at both ends are one each.
    pub ways_without_step: u8,
    /// A reading and its limit of error together must not be over this with the meter out, amps.
    pub no_load_amps: f64,
    /// The same for what stands at the base once the legs are lifted, volts.
    pub dead_volts: f64,
}

/// Why nobody could finish the job as planned.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Unsolvable {
    /// The record has no such service.
    NotOnSheet,
    /// No clamp of the kit is sound.
    NoSoundClamp,
    /// No low-impedance tester of the kit is sound.
    NoSoundTester,
    /// A neighbour on the same set generates: that hides the step, and holds the set live.
    ForeignGeneration,
    /// A neighbour hangs on the same set at the pad: opening it there drops them too.
    NeighbourOnSet,
    /// The neutral of the target's own way is broken: to be mended first.
    OpenNeutral,
    /// An own source of the target runs and cannot be shut off.
    OwnSourceLocked,
    /// No load can be switched at the premises, and too few other ways are at hand.
    CannotStep,
    /// The step does not show as it should.
    StepHidden,
    /// Unmetered load keeps a leg over the limit with the meter out: another plan is needed.
    UnmeteredLoad,
    /// With its legs lifted the base is still not dead.
    StaysLive,
}

impl Unsolvable {
    /// Every reason, in the order in which they are looked for.
    pub const ALL: [Self; 11] = [
        Self::NotOnSheet,
        Self::NoSoundClamp,
        Self::NoSoundTester,
        Self::ForeignGeneration,
        Self::NeighbourOnSet,
        Self::OpenNeutral,
        Self::OwnSourceLocked,
        Self::CannotStep,
        Self::StepHidden,
        Self::UnmeteredLoad,
        Self::StaysLive,
    ];

    /// Its stable id.
    pub fn id(self) -> &'static str {
        match self {
            Self::NotOnSheet => "target-not-on-sheet",
            Self::NoSoundClamp => "no-sound-clamp",
            Self::NoSoundTester => "no-sound-tester",
            Self::NeighbourOnSet => "neighbour-on-set",
            Self::OpenNeutral => "open-neutral",
            Self::OwnSourceLocked => "own-source-locked",
            Self::CannotStep => "cannot-step",
            Self::ForeignGeneration => "foreign-generation",
            Self::StepHidden => "step-hidden",
            Self::UnmeteredLoad => "unmetered-load",
            Self::StaysLive => "stays-live",
        }
    }
}

/// Whether a crew that knew the truth could finish the job at `target` as planned: find the set
/// with a known load (or without), and open its two legs at the pad. `Err` when the target is not
/// in the world at all.
pub fn solvable(
    world: &World,
    record: &Record,
    kit: &Kit,
    target: &str,
    wanted: &Wanted,
) -> Result<Result<(), Unsolvable>, FieldError> {
    let bench = Bench::of(world, world.pad_of(target)?)?;
    let question = Question { world, bench, kit, target, set: world.feeding_set(target)?, wanted };
    Ok(match question.first(record)? {
        Some(why) => Err(why),
        None => Ok(()),
    })
}

struct Question<'a> {
    world: &'a World,
    bench: Bench,
    kit: &'a Kit,
    target: &'a str,
    set: &'a str,
    wanted: &'a Wanted,
}

impl Question<'_> {
    fn first(&self, record: &Record) -> Result<Option<Unsolvable>, FieldError> {
        if !record.services.contains_key(self.target) {
            return Ok(Some(Unsolvable::NotOnSheet));
        }
        if self.kit.clamps().all(|clamp| clamp.fault.is_some()) {
            return Ok(Some(Unsolvable::NoSoundClamp));
        }
        if self.kit.testers().all(|tester| tester.fault.is_some() || !tester.low_impedance()) {
            return Ok(Some(Unsolvable::NoSoundTester));
        }
        if !self.world.alone(self.target)? {
            let theirs = self.others_generate()?;
            let neighbour = Unsolvable::NeighbourOnSet;
            return Ok(Some(if theirs { Unsolvable::ForeignGeneration } else { neighbour }));
        }
        if self.world.path_to(self.target)?.iter().any(|set| set.neutral_broken) {
            return Ok(Some(Unsolvable::OpenNeutral));
        }
        let service = self.world.service(self.target)?;
        if service.sources.iter().any(|source| source.running && source.locked) {
            return Ok(Some(Unsolvable::OwnSourceLocked));
        }
        let mut switching = self.world.as_found();
        for index in 0..service.sources.len() {
            switching.set_source(self.target, index, false);
        }
        if service.entry.allows_a_load() {
            if !self.step_shows(&mut switching)? {
                return Ok(Some(Unsolvable::StepHidden));
            }
        } else if self.other_ways()? < self.wanted.ways_without_step {
            return Ok(Some(Unsolvable::CannotStep));
        }
        switching.set_main_open(self.target, true);
        switching.set_meter_out(self.target, true);
        if !self.unloaded(&switching)? {
            return Ok(Some(Unsolvable::UnmeteredLoad));
        }
        switching.lift(self.set, Conductor::L1);
        switching.lift(self.set, Conductor::L2);
        Ok((!self.dead(&switching)?).then_some(Unsolvable::StaysLive))
    }

    /// Alone on its set and its own sources off, the step hardly changes with time: one look does.
    fn step_shows(&self, switching: &mut Switching) -> Result<bool, FieldError> {
        let least = self.wanted.least_share * self.wanted.step_amps;
        let most = self.wanted.most_share * self.wanted.step_amps;
        for leg in Leg::ALL {
            let mut amps = |on: bool| {
                let load = TestLoad::of_amps(self.target, leg, self.wanted.step_amps);
                switching.plug_in(TestLoad { on, ..load });
                let state = self.bench.state(0.0, switching)?;
                Ok::<f64, FieldError>(state.set(self.set)?.amps.leg(leg))
            };
            let step = amps(true)? - amps(false)?;
            if !(least..=most).contains(&step) {
                return Ok(false);
            }
        }
        switching.test_loads.clear();
        Ok(true)
    }

    /// Whether somebody else on the target's set has a source that runs.
    fn others_generate(&self) -> Result<bool, FieldError> {
        for id in self.world.customers_on(self.set)? {
            let sources = &self.world.service(id)?.sources;
            let mut feeding = sources.iter().filter(|source| source.running);
            if id != self.target && feeding.any(|source| !source.transfer_switch) {
                return Ok(true);
            }
        }
        Ok(false)
    }

    /// How many ways without a known load tell the target's set rightly.
    fn other_ways(&self) -> Result<u8, FieldError> {
        let pad = self.world.pad(self.world.pad_of(self.target)?)?;
        let tone = self.kit.tone_set && !pad.poor_neutral;
        let base = self.world.mark_at_base(self.target)?;
        let lug = self.world.mark_at_lug(self.set)?;
        let mut same = 0;
        for set in &pad.sets {
            same += u32::from(self.world.mark_at_lug(set)? == base);
        }
        let marker = base.is_some() && base == lug && same == 1;
        Ok(u8::from(tone) + u8::from(marker))
    }

    fn unloaded(&self, switching: &Switching) -> Result<bool, FieldError> {
        let state = self.bench.state(0.0, switching)?;
        let amps = &state.set(self.set)?.amps;
        let most = Leg::ALL.map(|leg| amps.leg(leg)).into_iter().fold(0.0, f64::max);
        let mut sound = self.kit.clamps().filter(|clamp| clamp.fault.is_none());
        Ok(sound.any(|clamp| most + clamp.limit(most) <= self.wanted.no_load_amps))
    }

    fn dead(&self, switching: &Switching) -> Result<bool, FieldError> {
        let place = Place::Base { service: self.target.to_owned(), side: Side::Line };
        let mut sound = self.kit.testers().filter(|t| t.fault.is_none() && t.low_impedance());
        let Some(tester) = sound.next() else { return Ok(false) };
        let pairs = [Pair::LegNeutral(Leg::L1), Pair::LegNeutral(Leg::L2), Pair::LegLeg];
        for pair in pairs {
            let volts = self.bench.volts(&place, pair, tester.input_ohms, 0.0, switching)?;
            if volts + tester.limit(volts) > self.wanted.dead_volts {
                return Ok(false);
            }
        }
        Ok(true)
    }
}
