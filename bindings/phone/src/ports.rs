//! What the shell gives: a clock, a place for the key, a way to the desk, and ears for changes.
//!
//! Each is called with no lock held, so a shell may call back into the phone from within.

/// Why the shell could not do it.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error, uniffi::Error)]
pub enum PortError {
    /// It failed.
    #[error("{reason}")]
    Failed {
        /// Why.
        reason: String,
    },
}

impl From<uniffi::UnexpectedUniFFICallbackError> for PortError {
    fn from(error: uniffi::UnexpectedUniFFICallbackError) -> Self {
        Self::Failed { reason: error.reason }
    }
}

/// A moment by the phone's clocks.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct Moment {
    /// Milliseconds since 1970 UTC by the wall clock.
    pub wall_ms: i64,
    /// Which boot of this phone counted `mono_ms`: another text after every boot.
    pub boot: String,
    /// Milliseconds of the clock that counts since boot, sleep included, and cannot be set.
    pub mono_ms: i64,
}

/// The phone's clocks.
#[uniffi::export(foreign)]
pub trait Clock: Send + Sync {
    /// This moment.
    fn now(&self) -> Result<Moment, PortError>;
}

/// The phone's key store and its chance.
#[uniffi::export(foreign)]
pub trait Keys: Send + Sync {
    /// The seed that was kept; none: none was.
    fn seed(&self) -> Result<Option<Vec<u8>>, PortError>;
    /// Keeps the seed where nothing but this app can read it. It is kept when this returns.
    fn keep(&self, seed: Vec<u8>) -> Result<(), PortError>;
    /// So many bytes that nobody can guess.
    fn random(&self, count: u32) -> Result<Vec<u8>, PortError>;
}

/// What came back from the desk.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct Reply {
    /// The status of the answer.
    pub status: u16,
    /// Its body.
    pub body: Vec<u8>,
}

/// The way to the desk.
#[uniffi::export(foreign)]
pub trait Transport: Send + Sync {
    /// Posts a body of type `application/octet-stream`, follows nothing, and gives what came back.
    fn send(&self, url: String, body: Vec<u8>) -> Result<Reply, PortError>;
}

/// Ears for changes.
#[uniffi::export(foreign)]
pub trait Observer: Send + Sync {
    /// Something changed: draw anew. Revisions only rise, and may be skipped.
    fn changed(&self, revision: u64) -> Result<(), PortError>;
}
