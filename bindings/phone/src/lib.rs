//! The core and its store as a phone uses them.
uniffi::setup_scaffolding!();
