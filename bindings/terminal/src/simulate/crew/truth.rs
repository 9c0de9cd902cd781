//! What the field alone knows of what the crew did: nothing of it is told to them.

use coldlug_field::{conductor::Leg, flow::rms, world::World};

use super::{Crew, Halt, site::Site};
use crate::simulate::job::WANTED;

/// Volts on a conductor that make a proof of dead false: 50 V, as 29 CFR 1910.269(l)(1) has it, from
/// memory.
const LIVE_VOLTS: f64 = 50.0;

/// Truth as counted.
#[derive(Debug, Clone, Default)]
pub(crate) struct Truth {
    /// Lifts of a set that does not feed the target alone, as advised.
    pub(crate) wrong_advised: u32,
    /// The same, of another set than was named.
    pub(crate) wrong_against: u32,
    /// Lifts of a leg of the target's set on which others hang too that no map shows, and who drew
    /// nothing on any leg when it was read that could be told from an idle one, nor on this one when
    /// it was lifted.
    pub(crate) idle_dropped: u32,
    /// Which legs were read with the meter out, and when, since it was pulled or a leg was lifted,
    /// seconds.
    pub(crate) read: Vec<(Leg, f64)>,
    /// A wrong set was noticed: with one leg up, or by the proof by opening.
    pub(crate) caught: bool,
    /// Proofs of dead or offers that passed while the base was live.
    pub(crate) false_dead: u32,
}

/// Whom a lift leaves without supply.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Drops {
    /// The target alone.
    TargetAlone,
    /// The target, and others on its set.
    OthersToo,
    /// Not the target.
    NotTheTarget,
}

/// Whom a set at the lugs feeds, beside the target. A street light is no customer.
fn drops(world: &World, set: &str, target: &str) -> Result<Drops, Halt> {
    let fed = world.services_on(set)?;
    if !fed.contains(&target) {
        return Ok(Drops::NotTheTarget);
    }
    for other in fed.into_iter().filter(|other| *other != target) {
        if !world.service(other)?.street_light() {
            return Ok(Drops::OthersToo);
        }
    }
    Ok(Drops::TargetAlone)
}

/// Whether some conductor of the base where hands go is live.
fn base_is_live(site: &Site, t_s: f64) -> Result<bool, Halt> {
    let base = site.base_at(t_s)?;
    let live = [&base.line, &base.load].into_iter().any(|side| {
        [side.l1, side.l2, side.n].into_iter().any(|volts| rms(volts) > LIVE_VOLTS)
            || side.v12() > LIVE_VOLTS
    });
    Ok(live)
}

impl Crew<'_> {
    /// A lift happened.
    pub(super) fn count_lift(
        &mut self,
        set: &str,
        lifted: &[Leg],
        as_advised: bool,
    ) -> Result<(), Halt> {
        let dropped = match drops(&self.site.world, set, self.target.as_str())? {
            Drops::OthersToo if self.looks_idle(set, lifted)? => {
                self.truth.idle_dropped += 1;
                Drops::TargetAlone
            }
            dropped => dropped,
        };
        self.truth.read.clear();
        match dropped {
            Drops::TargetAlone => {}
            _ if as_advised => self.truth.wrong_advised += 1,
            _ => self.truth.wrong_against += 1,
        }
        Ok(())
    }

    /// Whether each leg of a set carried less than the gate asks for whenever it was read with the
    /// meter out, and those lifted carry less now: then nothing told those on it from an idle leg.
    fn looks_idle(&self, set: &str, lifted: &[Leg]) -> Result<bool, Halt> {
        let now = lifted.iter().map(|&leg| (leg, self.t_s()));
        for (leg, t_s) in self.truth.read.iter().copied().chain(now) {
            if self.site.leg_amps(set, leg, t_s)? >= WANTED.no_load_amps {
                return Ok(false);
            }
        }
        Ok(true)
    }

    /// Dead was proven, or somebody accepted the base as dead.
    pub(super) fn count_dead(&mut self) -> Result<(), Halt> {
        if base_is_live(&self.site, self.t_s())? {
            self.truth.false_dead += 1;
        }
        Ok(())
    }
}
