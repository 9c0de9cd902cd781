//! How often a tank was vented before a fuse in it is drawn or put back.
//!
//! Only ventings since that fuse was handled last count, and only fresh ones: a warm tank comes under
//! pressure again.

use super::{physical::Touch, sheets::Sheets, state::State};
use crate::{
    plant::Device,
    quantity::{AssetId, Instant},
    reading::is_fresh,
};

/// One venting of a tank.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Vented {
    /// The pad whose tank it is.
    pub pad: AssetId,
    /// Who, when.
    pub touch: Touch,
}

impl State {
    /// A switch was opened or closed: what was vented before it counts no more for it.
    pub(super) fn handled(&mut self, switch: &AssetId) {
        let so_far = self.physical.vented.len();
        self.physical.vented_before.insert(switch.clone(), so_far);
    }

    /// Whether the tank that a switch is in was vented so often, or it is in none.
    pub(super) fn is_vented(
        &self,
        sheets: &Sheets<'_>,
        switch: &AssetId,
        times: usize,
        now: &Instant,
    ) -> bool {
        let known = sheets.plant.switches.get(switch);
        let Some(fuse) = known.filter(|known| known.device == Device::BayonetFuse) else {
            return true;
        };
        let physical = &self.physical;
        let from = physical.vented_before.get(switch).copied().unwrap_or(0);
        let since = physical.vented.get(from..).unwrap_or_default();
        let counts = |vented: &&Vented| {
            fuse.pad.as_ref() == Some(&vented.pad)
                && is_fresh(now, &vented.touch.at, sheets.rules.amps_fresh(), sheets.rules)
        };
        since.iter().filter(counts).count() >= times
    }
}
