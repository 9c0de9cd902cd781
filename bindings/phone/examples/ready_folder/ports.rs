//! A clock and a key store that give the same at every run.

use std::sync::atomic::{AtomicI64, Ordering};

use coldlug_phone::{Clock, Keys, Moment, PortError};

/// The seed of the phone's key. It protects nothing.
pub(crate) const SEED: [u8; 32] = [7; 32];

/// Both ports. Every look at the clock is a second later.
#[derive(Debug, Default)]
pub(crate) struct Fixed {
    looks: AtomicI64,
}

impl Clock for Fixed {
    fn now(&self) -> Result<Moment, PortError> {
        let s = 600 + self.looks.fetch_add(1, Ordering::Relaxed);
        let (wall_ms, mono_ms) = (1_790_000_000_000 + s * 1000, s * 1000);
        Ok(Moment { wall_ms, boot: "phone-a/1".to_owned(), mono_ms })
    }
}

impl Keys for Fixed {
    fn seed(&self) -> Result<Option<Vec<u8>>, PortError> {
        Ok(Some(SEED.to_vec()))
    }

    fn keep(&self, _: Vec<u8>) -> Result<(), PortError> {
        Err(PortError::Failed { reason: "the seed is fixed".to_owned() })
    }

    fn random(&self, count: u32) -> Result<Vec<u8>, PortError> {
        Ok(vec![9; usize::try_from(count).unwrap_or(0)])
    }
}
