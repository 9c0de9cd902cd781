//! Amps before anything is lifted: a load to know the clamp by, then every leg of the set.

use coldlug_core::{
    plant::Conductor,
    quantity::Decimal,
    reconcile::By,
    sighting::{Seen, SetAt},
};

use super::{Crew, Halt, Who};
use crate::{
    field_terms,
    simulate::slip::{AT_ONE_READING, Slip},
};

/// Clearly a load to any clamp.
const CLEAR_LOAD_AMPS: f64 = 1.7;

impl Crew<'_> {
    /// Places the clamp and writes one current down.
    fn read_amps(&mut self, set: &SetAt, leg: Conductor, out: bool) -> Result<Decimal, Halt> {
        let handle = self.handle(set, By::Mark)?;
        let (placement, grip) = self.place(set, handle, leg)?;
        self.pass_s(10);
        let mut amps = self.site.amps(&grip, self.t_s())?;
        if let Some(leg) = field_terms::leg(leg).filter(|_| out) {
            self.truth.read.push((leg, self.t_s()));
        }
        let key = (set.clone(), leg);
        if let Some(before) = self.last_amps.get(&key).copied()
            && self.slips.made_with(Slip::OldReadingCarriedOver, AT_ONE_READING)
        {
            amps = before;
        }
        self.last_amps.insert(key, amps);
        self.clamp_on = Some((placement.clone(), grip));
        let deed = self.pull.clone().filter(|_| out);
        self.sighting(Who::Pad, Seen::Amps { placement, deed, amps })?;
        Ok(amps)
    }

    /// Reads legs of the other sets until one carries load: only then does a zero of the same clamp
    /// mean anything. Where nothing carries any, the crew's own load shows that the clamp reads.
    pub(super) fn find_load(&mut self, set: &SetAt) -> Result<(), Halt> {
        if self.load_now(set)? { Ok(()) } else { self.prove_clamp() }
    }

    fn load_now(&mut self, set: &SetAt) -> Result<bool, Halt> {
        let count = self.sets_in(&set.pad)?;
        let others = (1..=count).map(|n| n.to_string()).filter(|n| *n != set.position);
        for position in others {
            let other = SetAt { pad: set.pad.clone(), position };
            for leg in [Conductor::L1, Conductor::L2] {
                if self.read_amps(&other, leg, false)?.to_f64() >= CLEAR_LOAD_AMPS {
                    return Ok(true);
                }
            }
        }
        Ok(false)
    }

    /// The neutral of a set and its legs, with a fresh placement each, the leg that is lifted next
    /// last; then the clamp on a load again, and back on that leg.
    pub(super) fn amps_of_set(&mut self, set: &SetAt, next: Conductor) -> Result<(), Halt> {
        let other = if next == Conductor::L1 { Conductor::L2 } else { Conductor::L1 };
        for leg in [Conductor::N, other, next] {
            self.read_amps(set, leg, true)?;
        }
        self.prove_clamp()?;
        let handle = self.handle(set, By::Mark)?;
        self.clamp_on = Some(self.place(set, handle, next)?);
        Ok(())
    }

    /// What the clamp shows where it was left, while the lug is loosened.
    pub(super) fn amps_while_loosened(&mut self) -> Result<Decimal, Halt> {
        let (_, grip) = self.clamp_on.clone().ok_or(Halt::BROKEN)?;
        self.site.amps(&grip, self.t_s())
    }

    /// Writes down what the clamp showed while the lug was loosened, where it was too much to go on.
    pub(super) fn write_loosened(&mut self, amps: Decimal) -> Result<(), Halt> {
        let (placement, _) = self.clamp_on.clone().ok_or(Halt::BROKEN)?;
        let deed = self.pull.clone();
        self.sighting(Who::Pad, Seen::Amps { placement, deed, amps })?;
        Ok(())
    }
}
