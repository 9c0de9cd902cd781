//! What the desk keeps beside the jobs: who may sign in, which devices are enrolled, one-time codes,
//! links, sheets to prepare jobs with.
//!
//! Codes, cookies and link tokens are kept as hashes alone: who reads the file cannot use them.

mod codes;
mod devices;
mod file;
mod links;
mod photos;
mod sessions;
mod sheets;

pub use codes::{Code, CodeFor};
pub use devices::{DeviceEnrolled, Enrolment};
pub use file::DeskStore;
pub use links::Link;
pub use photos::Photos;
pub use sessions::{Password, SessionTimes};
pub use sheets::{SheetListed, SheetOf};
