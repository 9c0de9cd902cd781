//! `coldlug plan`: what to open so that no source reaches the work zone, and who goes out.

use std::io::Write;

use coldlug_core::{
    gate::Scope,
    isolate::{Isolation, Plan, Request, isolate},
    job::Sheets,
    quantity::AssetId,
    words::Words,
};

use crate::{
    cli, exit::Exit, field, job_file, plan_words, print::Print, sheets, table::Table,
    trouble::Trouble,
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
    if let Some(path) = &args.events {
        let events = job_file::read(path)?;
        let job = job_file::folded(&events, None, &Sheets::new(&map.plant, &rules))?;
        plant = field::corrected(&plant, &job.state.map_corrections).map_err(|why| {
            Trouble::refused("the map correction", why.to_string(), "correct the map sheet first")
        })?;
        request = field::request(&job.state, &service, &scope);
    }
    let found =
        isolate(&plant, &request, &rules).map_err(|e| refused("question", e.to_string()))?;
    let exit = if found.plans.is_empty() { Exit::No } else { Exit::Yes };
    if json {
        print.json(&found)?;
    } else {
        told(&found, words, print)?;
    }
    Ok(exit)
}

fn told<W: Write>(found: &Isolation, words: &Words, print: &mut Print<W>) -> Result<(), Trouble> {
    let (Some(best), service) = (found.plans.first(), found.service.as_str()) else {
        return infeasible(found, words, print);
    };
    print.line(words.say("plan-best", &[("service", service)]).text)?;
    print.line("")?;
    let mut table = Table::new(["open", "others out", "exposure", "operations"]);
    for plan in &found.plans {
        table.row([
            &openings(plan, words),
            &customers(plan),
            &plan.exposure.to_string(),
            &plan.operations.to_string(),
        ]);
    }
    for plan in &found.not_offered {
        let never = words.say("plan-not-offered", &[("openings", &openings(plan, words))]).text;
        let (exposure, operations) = (plan.exposure.to_string(), plan.operations.to_string());
        table.row([&never, &customers(plan), &exposure, &operations]);
    }
    print.table(&table)?;
    steps("plan-forward", best.steps.iter(), words, print)?;
    steps("plan-back", best.restoration.iter(), words, print)?;
    for caution in &best.cautions {
        print.line(plan_words::caution(caution, words))?;
    }
    if !found.complete {
        print.line(words.plain("plan-not-complete").text)?;
    }
    Ok(())
}

fn infeasible<W: Write>(
    found: &Isolation,
    words: &Words,
    print: &mut Print<W>,
) -> Result<(), Trouble> {
    let service = found.service.as_str();
    print.line(words.say("plan-infeasible", &[("service", service)]).text)?;
    if let Some(way) = &found.infeasible {
        let path = way.path.iter().map(AssetId::as_str).collect::<Vec<_>>().join(" - ");
        let source = way.source.id.as_str();
        print.line(words.say("plan-way-left", &[("source", source), ("path", &path)]).text)?;
    }
    for branch in &found.not_allowed {
        let why = plan_words::reason("not-allowed", &branch.rule, words);
        print.line(format!("{}: {why}", branch.branch))?;
    }
    Ok(())
}

fn openings(plan: &Plan, words: &Words) -> String {
    let all: Vec<String> =
        plan.openings.iter().map(|opening| plan_words::opening(opening, words)).collect();
    all.join("; ")
}

fn customers(plan: &Plan) -> String {
    match plan.customers_out.as_slice() {
        [] => "0".to_owned(),
        out => {
            let names = out.iter().take(6).map(AssetId::as_str).collect::<Vec<_>>().join(" ");
            let more = if out.len() > 6 { " …" } else { "" };
            format!("{}: {names}{more}", out.len())
        }
    }
}

fn steps<'a, W: Write>(
    title: &str,
    steps: impl Iterator<Item = &'a coldlug_core::isolate::Step>,
    words: &Words,
    print: &mut Print<W>,
) -> Result<(), Trouble> {
    let title = words.plain(title).text;
    let mut table = Table::new(["", title.as_str(), "gates"]);
    for (i, step) in steps.enumerate() {
        let gates = step.gates.iter().map(|rule| rule.id()).collect::<Vec<_>>().join(" ");
        table.row([&(i + 1).to_string(), &plan_words::step(step, words), &gates]);
    }
    print.table(&table)
}
