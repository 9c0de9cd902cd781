//! `coldlug`: the command line of dispatcher, engineer and auditor, and the demo.
//!
//! The terminal reads files, calls the core and prints. It holds no rule and no wording: what may
//! be done is decided in the core, and what it is called is in the core's words.

mod cli;
mod command;
mod demo;
mod exit;
mod field_terms;
mod file;
mod job_file;
mod print;
mod sheets;
mod simulate;
mod surroundings;
mod table;
mod trouble;

use std::{ffi::OsString, io::IsTerminal, process::ExitCode};

use clap::Parser;

use crate::{cli::Cli, exit::Exit, trouble::Trouble};

/// A simulated job makes and lets go of ten thousand small things, which this one does sooner than
/// the system's.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> ExitCode {
    watch();
    let cli = Cli::parse_from(typed(std::env::args_os()));
    match command::run(&cli) {
        Ok(exit) => exit.into(),
        // Whoever read our output has seen enough; that is their choice and no error.
        Err(Trouble::Output { source }) if source.kind() == std::io::ErrorKind::BrokenPipe => {
            Exit::Yes.into()
        }
        Err(trouble) => {
            let exit = trouble.exit();
            let report = miette::Report::new(trouble);
            // Standard error is the last place that is left to say it.
            let _ = std::io::Write::write_fmt(&mut std::io::stderr(), format_args!("{report:?}\n"));
            exit.into()
        }
    }
}

/// What was typed, without the `--` of `cargo demo -- --once`: cargo passes it on behind the alias.
fn typed(args: impl Iterator<Item = OsString>) -> impl Iterator<Item = OsString> {
    args.enumerate().filter(|(place, arg)| *place != 2 || arg != "--").map(|(_, arg)| arg)
}

/// Diagnostics go to standard error, and only when asked for: `COLDLUG_LOG=debug`.
fn watch() {
    let filter = tracing_subscriber::EnvFilter::try_from_env("COLDLUG_LOG")
        .unwrap_or_else(|_| tracing_subscriber::EnvFilter::new("warn"));
    let started = tracing_subscriber::fmt()
        .with_env_filter(filter)
        .with_writer(std::io::stderr)
        .with_ansi(std::io::stderr().is_terminal())
        .without_time()
        .try_init();
    // A second start can only happen in tests; the first one stands.
    drop(started);
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(given: &[&str], want: &[&str]) {
        let typed: Vec<OsString> = typed(given.iter().map(OsString::from)).collect();
        assert_eq!(typed, want.iter().map(OsString::from).collect::<Vec<_>>());
    }

    #[test]
    fn the_dashes_of_the_alias_are_dropped_and_no_others() {
        check(&["coldlug", "demo", "--", "--once"], &["coldlug", "demo", "--once"]);
        check(&["coldlug", "demo", "--once"], &["coldlug", "demo", "--once"]);
        check(&["coldlug", "check", "a", "--", "b"], &["coldlug", "check", "a", "--", "b"]);
    }
}
