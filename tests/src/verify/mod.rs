//! `cargo verify`: everything that must hold, as parts that can be run alone.

pub(crate) mod actionlint;
pub(crate) mod android;
pub(crate) mod bindings;
pub(crate) mod browser;
pub(crate) mod closing;
pub(crate) mod cross;
pub(crate) mod debian;
pub(crate) mod feeders;
pub(crate) mod need;
pub(crate) mod open_data;
pub(crate) mod part;
pub(crate) mod parts;
pub(crate) mod quiet;
pub(crate) mod run;
pub(crate) mod shared_build;
pub(crate) mod stream;
pub(crate) mod swift;
pub(crate) mod table;
pub(crate) mod venv;
