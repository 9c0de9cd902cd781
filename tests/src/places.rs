//! Where things lie: the repository, what cargo builds, and what is downloaded.

use std::path::{Path, PathBuf};

/// The repository's top folder.
pub fn root() -> PathBuf {
    let tests = Path::new(env!("CARGO_MANIFEST_DIR"));
    tests.parent().unwrap_or(tests).to_path_buf()
}

/// Where cargo builds: `CARGO_TARGET_DIR` when set, else `target/`.
pub fn target() -> PathBuf {
    match std::env::var_os("CARGO_TARGET_DIR") {
        Some(dir) if !dir.is_empty() => root().join(dir),
        _ => root().join("target"),
    }
}

/// Where downloads and the Python environment are kept between runs: `COLDLUG_CACHE` when set,
/// else `target/`.
pub fn cache() -> PathBuf {
    match std::env::var_os("COLDLUG_CACHE") {
        Some(dir) if !dir.is_empty() => root().join(dir),
        _ => root().join("target"),
    }
}

/// What this run writes and nobody needs later: logs, converted map sheets, demo folders.
pub fn scratch() -> PathBuf {
    target().join("verify")
}

/// The cargo that runs us, so that a pinned toolchain stays pinned.
pub fn cargo() -> PathBuf {
    std::env::var_os("CARGO").map_or_else(|| PathBuf::from("cargo"), PathBuf::from)
}
