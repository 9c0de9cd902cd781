//! What a desk is started with.

use std::{fmt, io, net::SocketAddr, path::PathBuf, sync::Arc};

use coldlug_core::quantity::Instant;

/// What a desk is started with.
#[derive(Debug, Clone)]
pub struct Settings {
    /// The folder of everything that is kept.
    pub data: PathBuf,
    /// Where it listens. Port 0: any that is free.
    pub bind: SocketAddr,
    /// How it is reached from outside, without a slash at the end; none: by where it listens.
    pub public_url: Option<String>,
    /// Its clock and its chance.
    pub surroundings: Arc<dyn Surroundings>,
    /// How hard guessing is made.
    pub strength: Strength,
}

/// Clock and chance. They come from outside, so that a play can be played again.
pub trait Surroundings: fmt::Debug + Send + Sync {
    /// This moment.
    fn now(&self) -> Instant;

    /// Fills `bytes` by chance that nobody can foresee.
    fn random(&self, bytes: &mut [u8]) -> io::Result<()>;
}

/// How hard guessing is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Strength {
    /// Memory of Argon2id for a password, KiB.
    pub memory_kib: u32,
    /// Passes of Argon2id over it.
    pub passes: u32,
    /// How many times the usual number of tries are let through at once.
    pub tries: u32,
}

impl Strength {
    /// For people: 19 MiB and two passes, one lane (OWASP Password Storage Cheat Sheet, Argon2id).
    pub const USUAL: Self = Self { memory_kib: 19 * 1024, passes: 2, tries: 1 };
    /// For a play with made-up people, whose passwords guard nothing.
    pub const PLAY: Self = Self { memory_kib: 64, passes: 1, tries: 1000 };
}

impl Default for Strength {
    fn default() -> Self {
        Self::USUAL
    }
}
