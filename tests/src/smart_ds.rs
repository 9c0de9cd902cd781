//! Where the published network of the open-data checks is unpacked.

use std::path::PathBuf;

use crate::places;

/// The folder with `Master.dss` and its fellows.
pub fn dir() -> PathBuf {
    places::cache().join("smart-ds")
}
