//! A moment as core has it.

use coldlug_core::quantity::Instant;

use crate::{ports::Moment, trouble::Trouble};

/// Largest whole number that every reader of JSON keeps exactly.
const LARGEST: i64 = (1 << 53) - 1;
/// Longest name of a boot, bytes.
const LONGEST_BOOT: usize = 100;

impl Moment {
    /// As core has it. A moment that could not be read back from a record is refused.
    pub(crate) fn instant(self) -> Result<Instant, Trouble> {
        let Moment { wall_ms, boot, mono_ms } = self;
        let whole = |ms: i64| (0..=LARGEST).contains(&ms);
        if boot.is_empty() || boot.len() > LONGEST_BOOT || !whole(wall_ms) || !whole(mono_ms) {
            return Err(Trouble::Port("the clock gives a moment that cannot be written".into()));
        }
        Ok(Instant { wall_ms, boot, mono_ms })
    }
}
