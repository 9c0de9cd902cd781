//! What people do without the software: they open what the map says, or where the amps move most.
//! No gate stands before any of it.

use coldlug_core::{plant::Conductor, quantity::AssetId};
use coldlug_field::conductor::Leg;

use super::{
    Crew, Halt,
    pad::could_be,
    site::{Grip, in_jaws},
};
use crate::simulate::{slip::Slip, spec::Policy};

/// A change that a crew takes for its load, amps; invented.
const LEAST_CHANGE_AMPS: f64 = 2.0;

impl Crew<'_> {
    /// Finds a set by a policy without the software, and lifts both its legs.
    pub(crate) fn work_blind(&mut self, policy: Policy) -> Result<(), Halt> {
        let set = match policy {
            Policy::MapOnly | Policy::Coldlug => self.mapped_set()?,
            Policy::MapAndTag => {
                self.tag_matches()?;
                self.mapped_set()?
            }
            Policy::AmpsOnly => self.moves_most(false)?,
            Policy::MetalAndAmps => self.moves_most(true)?,
        };
        let pad = self.claimed().ok_or(Halt::NOT_ON_THE_SHEET)?.pad;
        let mut opened = set;
        let mut as_told = true;
        if self.slips.made(Slip::WrongSetOpened)
            && let Some(other) = self.other_set(&pad, &opened)?
        {
            opened = other;
            as_told = false;
        }
        self.count_lift(&opened, &[Leg::L1, Leg::L2], as_told)
    }

    fn mapped_set(&mut self) -> Result<String, Halt> {
        let claimed = self.claimed().ok_or(Halt::NOT_ON_THE_SHEET)?;
        let position: usize = claimed.position.parse().map_err(|_| Halt::NOT_ON_THE_SHEET)?;
        let position = self.counted(&claimed.pad, position)?;
        if position > self.sets_in(&claimed.pad)? {
            return Err(Halt::NOT_ON_THE_SHEET);
        }
        let pad = self.really(&claimed.pad)?;
        self.site.set_at(&pad, position)
    }

    fn tag_matches(&mut self) -> Result<(), Halt> {
        let pad = self.claimed().ok_or(Halt::NOT_ON_THE_SHEET)?.pad;
        let really = self.really(&pad)?;
        let tags = self.sheets.plant.pads.get(&pad).map(|pad| pad.tags.clone());
        let read = self.site.world.tag_seen(&really)?.ok_or(Halt::OTHER_TAG)?;
        let fits = tags.into_iter().flatten().any(|tag| could_be(&read.pattern, &tag));
        if fits { Ok(()) } else { Err(Halt::OTHER_TAG) }
    }

    /// One load switched on, or the meter pulled, and every leg of the mapped pad read once before
    /// and once after.
    fn moves_most(&mut self, by_metal: bool) -> Result<String, Halt> {
        let pad = self.claimed().ok_or(Halt::NOT_ON_THE_SHEET)?.pad;
        let really = self.really(&pad)?;
        self.count.tests += 1;
        self.go_to_house()?;
        let base = self.site.world.look_at_base(&self.site.house)?.metal;
        let mut grips = Vec::new();
        for set in self.site.world.pad(&really)?.sets.clone() {
            if by_metal && self.site.world.look_at_pad(&set)?.metal != base {
                continue;
            }
            for leg in [Conductor::L1, Conductor::L2] {
                grips.push(self.grip(&pad, &set, leg)?);
            }
        }
        let before = self.sweep(&grips)?;
        let pulled = self.draw.chance(0.5);
        if pulled {
            let wrong = self.next_door.clone().filter(|_| self.slips.made(Slip::WrongMeterPulled));
            let out = wrong.unwrap_or_else(|| self.site.house.clone());
            self.site.switching.set_meter_out(&out, true);
        } else {
            let leg = if self.draw.chance(0.5) { Leg::L1 } else { Leg::L2 };
            let house = self.house_of_outlet();
            self.site.plug_in(&house, leg);
            self.switch_load(true);
        }
        self.pass_s(30);
        let after = self.sweep(&grips)?;
        let moved = before
            .iter()
            .zip(&after)
            .map(|(before, after)| if pulled { before - after } else { after - before });
        let most = grips.iter().zip(moved).max_by(|a, b| a.1.total_cmp(&b.1));
        match most {
            Some((grip, moved)) if moved >= LEAST_CHANGE_AMPS => Ok(grip.marked.clone()),
            _ => Err(Halt::NO_CHANGE_SEEN),
        }
    }

    /// Reads every leg once.
    fn sweep(&mut self, grips: &[Grip]) -> Result<Vec<f64>, Halt> {
        let mut amps = Vec::with_capacity(grips.len());
        for grip in grips {
            self.pass_s(15);
            amps.push(self.site.amps(grip, self.t_s())?.to_f64());
        }
        Ok(amps)
    }

    /// The clamp on one leg of a set as the crew knows it.
    fn grip(&mut self, pad: &AssetId, set: &str, leg: Conductor) -> Result<Grip, Halt> {
        let mut grip = Grip {
            pad: self.really(pad)?,
            set: set.to_owned(),
            marked: set.to_owned(),
            around: in_jaws(leg)?,
            jaw_open: false,
            spare: false,
        };
        self.misplace(pad, leg, &mut grip)?;
        Ok(grip)
    }
}
