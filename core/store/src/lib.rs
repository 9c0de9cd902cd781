//! Where entries, map sheets, rule sheets and photos are kept: one SQLite file, one writer.
//!
//! WAL with `synchronous=FULL`: what was acknowledged survives a kill or a battery pulled. Writing
//! the same entry again is fine; other bytes at the same place are a conflict, and no entry, sheet or
//! photo is ever overwritten or deleted. A damaged or newer file is an error that says so; it is left as it is.
//!
//! ```
//! # use coldlug_store::Store;
//! # let folder = tempfile::tempdir().unwrap();
//! let mut store = Store::open(&folder.path().join("jobs.sqlite"))?;
//! store.suspend()?; // the phone goes to sleep
//! store.resume()?;
//! store.close()?;
//! # Ok::<(), coldlug_store::StoreError>(())
//! ```

mod blobs;
pub mod desk;
mod entries;
mod error;
mod file;
#[cfg(feature = "import")]
pub mod import;
mod instruments;
mod own;

pub use blobs::BlobKind;
pub use entries::Appended;
pub use error::StoreError;
pub use file::Store;
pub use instruments::OwnInstrument;
pub use own::{Own, OwnDesk};
