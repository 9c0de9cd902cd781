//! `coldlug demo`: both jobs, once, with what they leave.

use std::{fs, io::Write, path::Path};

use coldlug_core::{form, words::Words};
use indicatif::{ProgressBar, ProgressStyle};

use crate::{
    cli,
    demo::{self, BOATHOUSE, METER_BASE, Played},
    exit::Exit,
    print::Print,
    trouble::Trouble,
};

/// Plays both jobs and prints their tables and outcomes.
pub(crate) fn run<W: Write>(
    args: &cli::Demo,
    words: &Words,
    print: &mut Print<W>,
) -> Result<Exit, Trouble> {
    let kept;
    let dir: &Path = if let Some(dir) = &args.out {
        fs::create_dir_all(dir)
            .map_err(|source| Trouble::Unwritable { path: dir.clone(), source })?;
        dir
    } else {
        kept = tempfile::tempdir()
            .map_err(|source| Trouble::Unwritable { path: "a folder".into(), source })?;
        kept.path()
    };
    let ground = demo::ground(args.seed).map_err(|why| Trouble::fault(why.to_string()))?;
    let scenes = METER_BASE.scenes.len() + BOATHOUSE.scenes.len();
    let bar = ProgressBar::new(u64::try_from(scenes).unwrap_or(0));
    if let Ok(style) = ProgressStyle::with_template("{bar:40} {pos}/{len} scenes") {
        bar.set_style(style);
    }
    let played = demo::both(&ground, args.seed, dir, words, &mut || bar.inc(1));
    bar.finish_and_clear();
    for job in played? {
        print.line(words.plain(job.story.title).text)?;
        print.table(&demo::table(&job.rows))?;
        print.line(outcome(&job, words))?;
        print.line("")?;
    }
    if let Some(out) = &args.out {
        print.line(words.say("demo-left", &[("dir", &out.display().to_string())]).text)?;
    }
    Ok(Exit::Yes)
}

/// The last line of a job.
fn outcome(job: &Played, words: &Words) -> String {
    let set = form::name(&job.set);
    match job.corrections.first() {
        None => words.say("demo-outcome-agree", &[("set", &set)]).text,
        Some(correction) => {
            let wrong = correction.was.get("pad").and_then(|pad| pad.as_str()).unwrap_or("?");
            words.say("demo-outcome-wrong", &[("set", &set), ("wrong", wrong)]).text
        }
    }
}
