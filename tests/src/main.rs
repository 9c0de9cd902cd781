//! `cargo verify [PART...]`: runs everything that must hold, or the parts named.
//!
//! Exit status: 0 when every part passed (or was skipped, which is said loudly and fails when
//! `CI=true`), 1 when one failed, 2 when the command line is wrong.
#![allow(clippy::print_stdout, reason = "the runner's purpose is to print what it ran")]

mod verify;

use std::process::ExitCode;

use verify::part::Part;
use verify::{parts, run, shared_build, table};

fn main() -> ExitCode {
    let args: Vec<String> = std::env::args().skip(1).collect();
    match chosen(&args) {
        Ok(Chosen::List) => {
            for part in parts::PARTS {
                println!("{:<12} {}", part.name, part.does);
            }
            ExitCode::SUCCESS
        }
        Ok(Chosen::Parts(parts)) => verify_all(&parts),
        Err(why) => {
            eprintln!("{why}\nusage: cargo verify [PART...] | cargo verify --list");
            ExitCode::from(2)
        }
    }
}

fn verify_all(parts: &[&'static Part]) -> ExitCode {
    let _held = match shared_build::take() {
        Ok(held) => held,
        Err(why) => {
            eprintln!("the build folder cannot be taken: {why}");
            return ExitCode::FAILURE;
        }
    };
    let ended = run::all(parts);
    println!("{}", table::text(&ended));
    if table::all_passed(&ended) { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}

enum Chosen {
    List,
    Parts(Vec<&'static Part>),
}

/// What the command line asks for.
fn chosen(args: &[String]) -> Result<Chosen, String> {
    if args.iter().any(|arg| arg == "--list") {
        return Ok(Chosen::List);
    }
    if args.is_empty() {
        return Ok(Chosen::Parts(parts::PARTS.iter().collect()));
    }
    let named = |name: &String| parts::named(name).ok_or_else(|| format!("no part `{name}`"));
    args.iter().map(named).collect::<Result<_, _>>().map(Chosen::Parts)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(args: &[&str]) -> Result<Vec<&'static str>, String> {
        let args: Vec<String> = args.iter().map(|&arg| arg.to_owned()).collect();
        match chosen(&args)? {
            Chosen::List => Ok(vec!["--list"]),
            Chosen::Parts(parts) => Ok(parts.iter().map(|part| part.name).collect()),
        }
    }

    #[test]
    fn without_a_part_all_run() {
        assert_eq!(check(&[]).map(|names| names.len()), Ok(parts::PARTS.len()));
    }

    #[test]
    fn parts_are_run_by_name_and_an_unknown_one_is_an_error() {
        assert_eq!(check(&["house", "format"]), Ok(vec!["house", "format"]));
        assert_eq!(check(&["--list"]), Ok(vec!["--list"]));
        assert!(check(&["houes"]).is_err());
    }
}
