//! Runs parts and keeps what they came to.

use std::process::Command;
use std::time::Instant;

use coldlug_tests::{places, skip};

use super::closing::Counts;
use super::need::Needs;
use super::part::{Judged, Need, Part, Program, Step};
use super::{actionlint, android, bindings, browser, cross, feeders, stream, swift, venv};

/// Our crates compiled with full optimisation, dependencies left as they are built anyway: the
/// property tests run many times faster and nothing else is compiled anew. Overflow checks and
/// debug assertions stay on.
const OPTIMISED: [&str; 9] = [
    "--config=profile.dev.package.coldlug-core.opt-level=3",
    "--config=profile.dev.package.coldlug-desk.opt-level=1",
    "--config=profile.dev.package.coldlug-field.opt-level=3",
    "--config=profile.dev.package.coldlug-phone.opt-level=1",
    "--config=profile.dev.package.coldlug-store.opt-level=1",
    "--config=profile.dev.package.coldlug-tests.opt-level=3",
    "--config=profile.test.package.coldlug-core.opt-level=3",
    "--config=profile.test.package.coldlug-field.opt-level=3",
    "--config=profile.test.package.coldlug-tests.opt-level=3",
];

/// How a part ended.
#[derive(Debug)]
pub(crate) struct Ended {
    /// Its name.
    pub(crate) name: &'static str,
    /// Passed, failed or skipped, with the reason of the last two.
    pub(crate) how: How,
    /// How long it took, waiting for what it needs included.
    pub(crate) minutes: f64,
    /// The closing lines of its suites.
    pub(crate) closings: Vec<String>,
    /// What was skipped inside it.
    pub(crate) skips: Vec<String>,
    /// All its checks.
    pub(crate) counts: Counts,
}

/// Passed, failed or skipped.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum How {
    /// All its steps succeeded.
    Passed,
    /// A step did not, for this reason.
    Failed(String),
    /// What it needs could not be had, for this reason.
    Skipped(String),
}

/// Runs `parts` in their order, each to its end whatever became of the others.
pub(crate) fn all(parts: &[&'static Part]) -> Vec<Ended> {
    let mut wanted: Vec<Need> = parts.iter().flat_map(|part| part.needs).copied().collect();
    wanted.sort_unstable();
    wanted.dedup();
    let needs = Needs::start(wanted);
    parts.iter().map(|part| one(part, &needs)).collect()
}

#[allow(clippy::disallowed_methods, reason = "the runner measures its own minutes, nothing else")]
fn one(part: &'static Part, needs: &Needs) -> Ended {
    println!("\n==== {}: {}", part.name, part.does);
    let began = Instant::now();
    let mut ended = Ended {
        name: part.name,
        how: How::Passed,
        minutes: 0.0,
        closings: Vec::new(),
        skips: Vec::new(),
        counts: Counts::default(),
    };
    ended.how = steps(part, needs, &mut ended).map_or_else(|how| how, |()| How::Passed);
    match ended.how {
        // A suite counts its own failures; one that could not even run counts as one.
        How::Failed(_) if ended.counts.failed == 0 => ended.counts.failed = 1,
        How::Skipped(_) => ended.counts.skipped += 1,
        How::Passed | How::Failed(_) => {}
    }
    ended.minutes = began.elapsed().as_secs_f64() / 60.0;
    println!("---- {}: {} in {:.1} min", ended.name, ended.how, ended.minutes);
    ended
}

fn steps(part: &Part, needs: &Needs, ended: &mut Ended) -> Result<(), How> {
    for &need in part.needs {
        needs.wait(need).map_err(|why| missing(need, &why))?;
    }
    for step in part.steps {
        let outcome = stream::run(&mut command(step)).map_err(How::Failed)?;
        let ran_checks = outcome.counts.passed > 0;
        ended.counts = ended.counts.and(outcome.counts);
        if step.judged == Judged::ByStatus && outcome.succeeded {
            ended.counts.passed += 1;
        }
        let failed_checks = outcome.counts.failed > 0;
        let skipped_checks = outcome.counts.skipped;
        ended.closings.extend(outcome.closings);
        ended.skips.extend(outcome.skips);
        if !outcome.succeeded || failed_checks {
            return Err(How::Failed(format!("`{}`", said(step))));
        }
        if step.judged == Judged::BySuite && !ran_checks {
            return Err(How::Failed(format!("`{}` ran no check", said(step))));
        }
        if skipped_checks > 0 && skip::is_failure() {
            let why = format!("`{}` skipped {skipped_checks} checks, and CI=true", said(step));
            return Err(How::Failed(why));
        }
    }
    Ok(())
}

fn missing(need: Need, why: &str) -> How {
    let why = format!("{} cannot be had: {why}", need.name());
    if skip::is_failure() { How::Failed(why) } else { How::Skipped(why) }
}

fn command(step: &Step) -> Command {
    let mut command = match step.program {
        Program::Cargo => Command::new(places::cargo()),
        Program::Python => Command::new(venv::python()),
        Program::FeederCases => feeders::cases(),
        Program::CrossCargo => cross::cargo(),
        Program::Bindings => bindings::command(),
        Program::Actionlint => Command::new(actionlint::program()),
        Program::SwiftPackage => swift::package(),
        Program::AndroidApp => android::check(),
        Program::Node => Command::new("node"),
    };
    if step.optimised {
        command.args(OPTIMISED);
    }
    command
        .args(step.args)
        .current_dir(if step.program == Program::Node { browser::dir() } else { places::root() })
        .env("COLDLUG_ROOT", places::root())
        .env("COLDLUG_PROGRAM", coldlug_tests::program::path())
        .env("COLDLUG_SCRATCH", places::scratch())
        .env("PYTHONDONTWRITEBYTECODE", "1");
    for (name, value) in step.env {
        command.env(name, value);
    }
    command
}

fn said(step: &Step) -> String {
    let mut words = vec![step.program.name()];
    words.extend(step.args);
    words.join(" ")
}

impl std::fmt::Display for How {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Passed => f.write_str("passed"),
            Self::Failed(why) => write!(f, "FAILED: {why}"),
            Self::Skipped(why) => write!(f, "SKIPPED: {why}"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(step: Step) -> Ended {
        let part: &'static Part = Box::leak(Box::new(Part {
            name: "made-up",
            does: "stands in for a part",
            needs: &[],
            steps: Box::leak(Box::new([step])),
        }));
        one(part, &Needs::start(Vec::new()))
    }

    #[test]
    fn a_target_that_does_not_exist_fails() {
        let ended = check(Step::tests(&["test", "--package=coldlug-tests", "--test=not_there"]));
        assert!(matches!(ended.how, How::Failed(_)), "{:?}", ended.how);
        assert_eq!(ended.counts.failed, 1);
    }

    #[test]
    fn a_suite_that_runs_nothing_fails() {
        let ended = check(Step::tests(&["--version"]));
        assert!(matches!(ended.how, How::Failed(_)), "{:?}", ended.how);
    }

    #[test]
    fn a_command_judged_by_status_counts_once() {
        let ended = check(Step::cargo(&["--version"]));
        assert_eq!(ended.how, How::Passed);
        assert_eq!(ended.counts, Counts { passed: 1, failed: 0, skipped: 0 });
    }
}
