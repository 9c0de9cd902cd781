//! `coldlug plan`: what to open so that no source reaches the work zone, and who goes out.

use std::io::Write;

use coldlug_core::{
    diagram::{Asked, Dress, Room, Stands, diagram},
    form::{PlanForm, StepForm, WayForm},
    gate::Scope,
    isolate::{Isolation, ReadAmps, Request, isolate},
    job::Sheets,
    quantity::AssetId,
    words::Words,
};

use crate::{
    cli, exit::Exit, file, job_file, print::Print, sheets, table::Table, trouble::Trouble,
};

/// Prints the plans, best first.
pub(crate) fn run<W: Write>(
    args: &cli::Plan,
    words: &Words,
    json: bool,
    print: &mut Print<W>,
) -> Result<Exit, Trouble> {
    let map = sheets::map_sheet(&args.map)?;
    let rules = sheets::rule_sheet(args.rules.as_deref())?;
    let refused = |what: &str, reason: String| {
        Trouble::refused(format!("the {what}"), reason, "see `coldlug plan --help`")
    };
    let service =
        AssetId::new(args.service.as_str()).map_err(|e| refused("service", e.to_string()))?;
    let scope: Scope = args.scope.parse().map_err(|e| refused("scope", format!("{e}")))?;
    let mut plant = map.plant.clone();
    let mut request = Request::new(service.clone(), scope.clone());
    let mut stands = Stands::default();
    if let Some(path) = &args.events {
        let events = job_file::read(path)?;
        let judged_by = Sheets::new(&map.plant, &rules);
        let job = job_file::folded(&events, None, &judged_by)?;
        plant = job.state.corrected(&plant).map_err(|why| {
            Trouble::refused("the map correction", why.to_string(), "correct the map sheet first")
        })?;
        // As of the last event: what was read shortly before it still counts.
        if let Some(last) = job.state.applied.last() {
            let now = last.event.when();
            request = job
                .state
                .plan_request(&judged_by, &plant, (&service, &scope), &now)
                .map_err(|e| refused("job", e.to_string()))?;
        }
        stands = Stands::of_job(&job.state, &plant).map_err(|e| refused("job", e.to_string()))?;
    }
    for read in &args.amps {
        request.loads.insert(read.branch.clone(), ReadAmps::exactly(read.current));
    }
    let found =
        isolate(&plant, &request, &rules).map_err(|e| refused("question", e.to_string()))?;
    if let Some(path) = &args.diagram {
        let plan = found.plans.first();
        let asked = Asked { plant: &plant, found: &found, plan, stands: &stands, room: Room::Page };
        let drawn = diagram(&asked, words).map_err(|e| refused("map sheet", e.to_string()))?;
        file::write_whole(path, drawn.svg(Dress::Alone).as_bytes())?;
    }
    let exit = if found.plans.is_empty() { Exit::No } else { Exit::Yes };
    if json {
        print.json(&found)?;
    } else {
        told(&found, words, print)?;
    }
    Ok(exit)
}

fn told<W: Write>(found: &Isolation, words: &Words, print: &mut Print<W>) -> Result<(), Trouble> {
    let form = PlanForm::new(found, words);
    print.line(&form.sentence.text)?;
    if let Some(certain) = &form.certain {
        print.line(&certain.text)?;
    }
    if form.ways.is_empty() {
        if let Some(way) = &form.way_left {
            print.line(&way.text)?;
        }
        for change in &form.changes {
            print.line(&change.text)?;
        }
        for branch in &form.not_allowed {
            print.line(format!("{}: {}", branch.branch, branch.sentence.text))?;
        }
        return Ok(());
    }
    print.line("")?;
    let mut table = Table::new(["open", "others out", "exposure", "operations", "why not first"]);
    for way in &form.ways {
        table.row([
            &way.openings_text(words),
            &customers(way, words),
            &way.exposure.to_string(),
            &way.operations.to_string(),
            way.why_not_first.as_ref().map_or("", |why| &why.text),
        ]);
    }
    print.table(&table)?;
    for line in &form.withdrawn {
        print.line(&line.text)?;
    }
    if !form.rejected.is_empty() {
        print.line(words.plain("plan-title-rejected").text)?;
    }
    for line in &form.rejected {
        print.line(format!("  {}", line.text))?;
    }
    for line in form.out.iter().chain(&form.pick_ups).chain(&form.loads) {
        print.line(&line.text)?;
    }
    steps("plan-forward", &form.steps, words, print)?;
    steps("plan-back", &form.restoration, words, print)?;
    for mind in form.worn_by.iter().chain(&form.cautions).chain(&form.not_complete) {
        print.line(&mind.text)?;
    }
    Ok(())
}

fn customers(way: &WayForm, words: &Words) -> String {
    let count = way.out_text(words);
    match way.customers_out.as_slice() {
        [] => count,
        out => {
            let names = out.iter().take(6).map(AssetId::as_str).collect::<Vec<_>>().join(" ");
            let more = if out.len() > 6 { " …" } else { "" };
            format!("{count}: {names}{more}")
        }
    }
}

fn steps<W: Write>(
    title: &str,
    steps: &[StepForm],
    words: &Words,
    print: &mut Print<W>,
) -> Result<(), Trouble> {
    let title = words.plain(title).text;
    let mut table = Table::new(["", title.as_str(), "gates"]);
    for (i, step) in steps.iter().enumerate() {
        table.row([&(i + 1).to_string(), &step.sentence.text, &step.gates.join(" ")]);
        if let Some(wear) = step.wear.as_ref().filter(|_| step.wear_changes) {
            table.row(["", &wear.text, ""]);
        }
        for mind in &step.minds {
            table.row(["", &mind.text, ""]);
        }
    }
    print.table(&table)
}
