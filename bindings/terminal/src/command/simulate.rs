//! `coldlug simulate`: very many jobs on made-up fields, and what came of them.

use std::io::Write;

use coldlug_core::{sighting::Condition, words::Words};
use indicatif::{ProgressBar, ProgressStyle};

use crate::{
    cli,
    exit::Exit,
    file,
    print::Print,
    simulate::{
        Arm, Course, Keep, Keying, Named, Player, Policy, Progress, Run, SimulationForm,
        checkpoint, form, page, parts,
    },
    table::Table,
    trouble::Trouble,
};

/// Plays the jobs, and prints and writes what came of them.
pub(crate) fn run<W: Write>(
    args: &cli::Simulate,
    player: &dyn Player,
    words: &Words,
    json: bool,
    print: &mut Print<W>,
) -> Result<Exit, Trouble> {
    let run = asked(args)?;
    let threads = rayon::ThreadPoolBuilder::new().num_threads(args.threads.unwrap_or(0)).build();
    let threads = threads.map_err(|why| Trouble::fault(format!("threads: {why}")))?;
    let progress = threads.install(|| played(&run, args, player))?;
    let form = form(&run, &progress);
    let told = parts(&form, words);
    if let Some(path) = &args.html {
        file::write_whole(path, page(&told, &as_typed(args), words)?.as_bytes())?;
    }
    if json {
        print.json(&form)?;
        return Ok(exit(&form));
    }
    for part in &told {
        print.line(&part.title)?;
        part.sentences.iter().try_for_each(|sentence| print.line(sentence))?;
        print.table(&Table::of(part.head.clone(), part.rows.clone()))?;
    }
    if let Some(dir) = &args.save_failures {
        let dir = dir.display().to_string();
        print.line(words.say("simulate-failures-kept", &[("dir", &dir)]).text)?;
    }
    if let Some(path) = &args.html {
        let path = path.display().to_string();
        print.line(words.say("simulate-page-written", &[("path", &path)]).text)?;
    }
    Ok(exit(&form))
}

/// No, as soon as our policy has opened a wrong service or falsely proven dead.
fn exit(form: &SimulationForm) -> Exit {
    let ours = form.policies.iter().filter(|policy| policy.name == Policy::Coldlug.id());
    let mishaps =
        ours.map(|policy| policy.counts.wrong_service_openings + policy.counts.false_proven_dead);
    if mishaps.sum::<u64>() == 0 { Exit::Yes } else { Exit::No }
}

/// Plays all jobs of a run, from its file where there is one.
fn played(run: &Run, args: &cli::Simulate, player: &dyn Player) -> Result<Progress, Trouble> {
    let keep = args.save_failures.as_deref().map_or_else(Keep::nowhere, Keep::within);
    let kept = args.resume.as_deref().map(|path| (path, Named::new(run, run.fingerprint(player))));
    let mut progress = match &kept {
        Some((path, named)) => checkpoint::read(path, run, named)?,
        None => Progress::new(run),
    };
    let bar = ProgressBar::new(run.jobs).with_position(progress.played(run));
    if let Ok(style) = ProgressStyle::with_template("{bar:40} {pos}/{len} jobs, {per_sec}, {eta}") {
        bar.set_style(style);
    }
    let carried = run.carry_on(player, &mut progress, &keep, |so_far| {
        bar.set_position(so_far.played(run));
        kept.iter().try_for_each(|(path, named)| checkpoint::write(path, named, so_far))
    });
    bar.finish_and_clear();
    carried.map(|()| progress)
}

/// What was asked for, as a run.
fn asked(args: &cli::Simulate) -> Result<Run, Trouble> {
    if (args.ablation || args.tolerance.contains(&0)) && !cfg!(feature = "weakened") {
        return Err(Trouble::refused(
            "a weakened rule",
            "what ships tolerates one or two false causes and keeps every condition",
            "build the simulator with it: cargo run --release -p coldlug-terminal \
             --features weakened -- simulate …",
        ));
    }
    Ok(Run {
        seed: args.seed,
        first: args.from,
        jobs: args.jobs,
        course: Course::read(&args.faults)?,
        arms: arms(args),
    })
}

/// The ways each job is played: the whole rule under the first tolerance (1 where that is asked
/// for) and the first keys, the other policies, then whatever else is compared.
fn arms(args: &cli::Simulate) -> Vec<Arm> {
    let of_tolerance = args.tolerance.iter().find(|&&at| at == 1).or(args.tolerance.first());
    let tolerated = of_tolerance.copied().unwrap_or(1);
    let keys = args.keys.first().copied().unwrap_or(Keying::OneSize);
    let whole = Arm::whole(tolerated, keys);
    let policies = Policy::ALL.into_iter().filter(|policy| args.policies.contains(policy));
    let mut arms: Vec<Arm> = policies.map(|policy| Arm { policy, ..whole }).collect();
    let ours = arms.contains(&whole);
    let others = args.tolerance.iter().map(|&tolerated| Arm { tolerated, ..whole });
    let others = others.chain(args.keys.iter().map(|&keys| Arm { keys, ..whole }));
    let left_out: &[Condition] = if args.ablation { Condition::ALL } else { &[] };
    let others = others.chain(left_out.iter().map(|&one| Arm { without: Some(one), ..whole }));
    for arm in others.filter(|_| ours) {
        if !arms.contains(&arm) {
            arms.push(arm);
        }
    }
    arms
}

/// The command again, without what changes no number.
fn as_typed(args: &cli::Simulate) -> String {
    let policies: Vec<&str> = args.policies.iter().map(|policy| policy.id()).collect();
    let tolerance: Vec<String> = args.tolerance.iter().map(u32::to_string).collect();
    let keys: Vec<&str> = args.keys.iter().map(|keys| keys.id()).collect();
    let from = if args.from == 0 { String::new() } else { format!(" --from {}", args.from) };
    format!(
        "coldlug simulate --jobs {}{from} --seed {} --faults {} --policies {} --tolerance {} --keys {}{}",
        args.jobs,
        args.seed,
        args.faults,
        policies.join(","),
        tolerance.join(","),
        keys.join(","),
        if args.ablation { " --ablation" } else { "" }
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cli::{Cli, Command};
    use clap::Parser;

    fn args(typed: &str) -> cli::Simulate {
        let line = format!("coldlug simulate --jobs 300 {typed}");
        match Cli::try_parse_from(line.split_whitespace()).unwrap().command {
            Command::Simulate(args) => args,
            other => panic!("another command: {other:?}"),
        }
    }

    #[test]
    fn ours_comes_first_and_nothing_is_played_twice() {
        let all = arms(&args(""));
        assert_eq!(all.len(), Policy::ALL.len());
        assert_eq!(all[0], Arm::whole(1, Keying::OneSize));
        let compared =
            arms(&args("--policies map_only,coldlug --tolerance 0,1,2 --keys one-size,every-slot"));
        assert_eq!(compared.len(), 5);
        assert_eq!(compared[0], Arm::whole(1, Keying::OneSize));
        let ablated = arms(&args("--policies coldlug --ablation"));
        assert_eq!(ablated.len(), 1 + Condition::ALL.len());
    }

    #[test]
    fn without_ours_there_is_nothing_to_vary() {
        let all = arms(&args("--policies map_only --tolerance 1,2 --ablation"));
        assert_eq!(all, [Arm { policy: Policy::MapOnly, ..Arm::whole(1, Keying::OneSize) }]);
    }

    #[test]
    fn a_policy_or_key_that_nobody_knows_is_refused() {
        for typed in ["--policies guess", "--keys some", "--tolerance 3", "--threads none"] {
            let line = format!("coldlug simulate --jobs 1 {typed}");
            assert!(Cli::try_parse_from(line.split_whitespace()).is_err(), "{typed}");
        }
    }

    #[cfg(not(feature = "weakened"))]
    #[test]
    fn what_ships_judges_by_the_whole_rule_alone() {
        for typed in ["--ablation", "--tolerance 0", "--tolerance 1,0"] {
            let Err(Trouble::Refused { todo, .. }) = asked(&args(typed)) else {
                panic!("{typed} is not refused");
            };
            assert!(todo.contains("--features weakened"));
        }
        assert!(asked(&args("--tolerance 1,2")).is_ok());
    }
}
