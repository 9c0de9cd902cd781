//! `coldlug demo`: a desk and both jobs, with what they leave.

use std::{fs, io::Write, path::Path, sync::Arc};

use coldlug_core::{form, words::Words};
use indicatif::{ProgressBar, ProgressStyle};

use crate::{
    cli,
    demo::{self, BOATHOUSE, METER_BASE, Played},
    exit::Exit,
    print::Print,
    surroundings::System,
    trouble::Trouble,
};

/// Plays both jobs with a desk, prints their tables and outcomes, and leaves the desk running.
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
    if args.hold {
        let held = demo::held(&ground, args.seed, dir, words, &mut || bar.inc(1));
        bar.finish_and_clear();
        let (desk, link) = held?;
        demo::hand_over(dir)?;
        print_desk(desk.public_url(), words, print)?;
        print.line(words.say("demo-held", &[("address", &link)]).text)?;
        print.line(words.plain("desk-ends-by").text)?;
        desk.wait();
        return Ok(Exit::Yes);
    }
    let script = args.script.as_deref();
    let played = demo::both(&ground, args.seed, dir, script, words, &mut || bar.inc(1));
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
    if !args.once {
        demo::hand_over(dir)?;
        stay(&dir.join("desk"), words, print)?;
    }
    Ok(Exit::Yes)
}

/// Leaves the desk running, says who may come in and what to look at, and waits.
fn stay<W: Write>(data: &Path, words: &Words, print: &mut Print<W>) -> Result<(), Trouble> {
    let desk = demo::on_loopback(data, Arc::new(System::new()?))
        .map_err(|error| Trouble::fault(error.to_string()))?;
    let url = desk.public_url().to_owned();
    print_desk(&url, words, print)?;
    for story in [&METER_BASE, &BOATHOUSE] {
        let address = format!("{url}/jobs/{}", story.job);
        print.line(words.say(story.look_at, &[("address", &address)]).text)?;
    }
    let address = format!("{url}/corrections.geojson");
    print.line(words.say("demo-look-corrections", &[("address", &address)]).text)?;
    print.line(words.plain("desk-ends-by").text)?;
    desk.wait();
    Ok(())
}

/// Where the desk is, and who may come in.
fn print_desk<W: Write>(url: &str, words: &Words, print: &mut Print<W>) -> Result<(), Trouble> {
    let who = [("url", url), ("name", demo::NAME), ("password", demo::PASSWORD)];
    print.line(words.say("demo-desk-runs", &who).text)
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
