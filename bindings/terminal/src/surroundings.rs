//! The system's clock and chance: the only place that reads them.

use std::io;

use coldlug_core::quantity::Instant;
use coldlug_desk::Surroundings;

use crate::trouble::Trouble;

/// This computer's clock and chance, since this start.
#[derive(Debug)]
pub(crate) struct System {
    boot: String,
    began: std::time::Instant,
}

impl System {
    /// From now on. Fails where the system has no chance to give.
    pub(crate) fn new() -> Result<Self, Trouble> {
        let mut bytes = [0; 8];
        getrandom::fill(&mut bytes)
            .map_err(|error| Trouble::fault(format!("the system's chance: {error}")))?;
        let number = u64::from_le_bytes(bytes);
        #[allow(clippy::disallowed_methods, reason = "the rim of the program")]
        let began = std::time::Instant::now();
        Ok(Self { boot: format!("desk-{number:016x}"), began })
    }
}

impl Surroundings for System {
    fn now(&self) -> Instant {
        #[allow(clippy::disallowed_methods, reason = "the rim of the program")]
        let wall = std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH);
        let ms =
            |passed: std::time::Duration| i64::try_from(passed.as_millis()).unwrap_or(i64::MAX);
        Instant {
            wall_ms: wall.map_or(0, ms),
            boot: self.boot.clone(),
            mono_ms: ms(self.began.elapsed()),
        }
    }

    fn random(&self, bytes: &mut [u8]) -> io::Result<()> {
        getrandom::fill(bytes).map_err(|error| io::Error::other(error.to_string()))
    }
}
