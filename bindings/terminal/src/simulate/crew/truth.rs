//! What the field alone knows of what the crew did: nothing of it is told to them.

use coldlug_field::{flow::rms, world::World};

use super::{Crew, Halt, site::Site};

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
    /// Lifts of the target's set on which a vacant house hangs too that no map shows.
    pub(crate) vacant_dropped: u32,
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
    /// The target, and a house where nobody lives.
    VacantToo,
    /// Somebody else.
    Others,
}

/// Whom a set at the lugs feeds, beside the target. A street light is no customer.
fn drops(world: &World, set: &str, target: &str) -> Result<Drops, Halt> {
    let fed = world.services_on(set)?;
    if !fed.contains(&target) {
        return Ok(Drops::Others);
    }
    let mut drops = Drops::TargetAlone;
    for other in fed.into_iter().filter(|other| *other != target) {
        let other = world.service(other)?;
        if other.street_light() {
            continue;
        }
        if !other.vacant() {
            return Ok(Drops::Others);
        }
        drops = Drops::VacantToo;
    }
    Ok(drops)
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
    pub(super) fn count_lift(&mut self, set: &str, as_advised: bool) -> Result<(), Halt> {
        match drops(&self.site.world, set, self.target.as_str())? {
            Drops::TargetAlone => {}
            Drops::VacantToo => self.truth.vacant_dropped += 1,
            Drops::Others if as_advised => self.truth.wrong_advised += 1,
            Drops::Others => self.truth.wrong_against += 1,
        }
        Ok(())
    }

    /// Dead was proven, or somebody accepted the base as dead.
    pub(super) fn count_dead(&mut self) -> Result<(), Halt> {
        if base_is_live(&self.site, self.t_s())? {
            self.truth.false_dead += 1;
        }
        Ok(())
    }
}
