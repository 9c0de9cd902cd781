//! `coldlug judge`: ledger, candidates, verdict and settling tests from files.

use std::io::Write;

use coldlug_core::{
    form::{ExplanationsForm, JudgementForm, VerdictName, name},
    job::Sheets,
    reconcile::judge,
    words::Words,
};

use crate::{cli, exit::Exit, job_file, print::Print, sheets, table::Table, trouble::Trouble};

/// Prints what the evidence amounts to.
pub(crate) fn run<W: Write>(
    args: &cli::Judge,
    words: &Words,
    json: bool,
    print: &mut Print<W>,
) -> Result<Exit, Trouble> {
    let map = sheets::map_sheet(&args.map)?;
    let rules = sheets::rule_sheet(args.rules.as_deref())?;
    let sheets = Sheets::new(&map.plant, &rules);
    let events = job_file::read(&args.events)?;
    let job = job_file::folded(&events, args.until.as_deref(), &sheets)?;
    let evidence = job.state.evidence.as_ref().ok_or_else(|| {
        Trouble::refused(
            args.events.display().to_string(),
            "no event opens a job",
            "give the events of one job, from the first",
        )
    })?;
    let judged = judge(&map.plant, &rules, evidence);
    let form = JudgementForm::new(evidence, job.until.as_ref(), &judged, words);
    let exit = match form.verdict {
        VerdictName::Identified => Exit::Yes,
        VerdictName::Contradicted => Exit::Contradicted,
        VerdictName::Unsettled => Exit::No,
    };
    if json {
        print.json(&form)?;
    } else {
        told(&form, words, print)?;
    }
    Ok(exit)
}

/// Verdict first, reason second, action third.
fn told<W: Write>(
    form: &JudgementForm,
    words: &Words,
    print: &mut Print<W>,
) -> Result<(), Trouble> {
    let list = |ids: &mut dyn Iterator<Item = String>| ids.collect::<Vec<_>>().join(", ");
    print.line(&form.sentence.text)?;
    print.line("")?;
    for stay in &form.premises {
        let stay_id = stay.stay.as_str();
        let said = match &stay.identified {
            Some(service) => words.say(
                "verdict-premises-identified",
                &[("stay", stay_id), ("service", service.as_str())],
            ),
            None => words.say("verdict-premises-unsettled", &[("stay", stay_id)]),
        };
        print.line(&said.text)?;
    }
    for doubt in &form.doubts {
        print.line(&doubt.text)?;
    }
    print.line("")?;
    let mut claims = Table::new(["the map says", "the field", "sightings"]);
    for claim in &form.ledger {
        let sightings = list(&mut claim.sightings.iter().map(ToString::to_string));
        claims.row([&claim.sentence, &words.plain(&claim.standing).text, &sightings]);
    }
    print.table(&claims)?;
    let mut candidates = Table::new(["candidate", "", "sightings"]);
    for candidate in &form.candidates {
        let who = match &candidate.set {
            Some(set) => name(set),
            None => words.plain("candidate-elsewhere").text,
        };
        let standing =
            words.plain(if candidate.possible { "candidate-open" } else { "candidate-excluded" });
        let sightings = list(&mut candidate.excluded_by.iter().map(ToString::to_string));
        candidates.row([&who, &standing.text, &sightings]);
    }
    print.table(&candidates)?;
    reasons(form, words, print)?;
    explained(&form.explanations, print)?;
    if !form.still_excluded.is_empty() {
        let mut holds = Table::new(["were this false", "all others are still excluded by"]);
        for row in &form.still_excluded {
            let sightings = list(&mut row.sightings.iter().map(ToString::to_string));
            holds.row([&row.sentence, &sightings]);
        }
        print.table(&holds)?;
    }
    if !form.settling_tests.is_empty() {
        let mut tests = Table::new(["what would settle it", "tests left", "exposure", "minutes"]);
        for test in &form.settling_tests {
            tests.row([
                &test.sentence.text,
                &test.steps_left.to_string(),
                &test.exposure.to_string(),
                &test.minutes.to_string(),
            ]);
        }
        print.table(&tests)?;
    }
    Ok(())
}

/// Why each candidate and each stay is out or in: what was seen, and what alone makes it false.
fn reasons<W: Write>(
    form: &JudgementForm,
    words: &Words,
    print: &mut Print<W>,
) -> Result<(), Trouble> {
    let sets = form.candidates.iter().map(|row| {
        let elsewhere = || words.plain("candidate-elsewhere").text;
        (row.set.as_ref().map_or_else(elsewhere, name), &row.reasons)
    });
    let stays = form.premises.iter().map(|stay| (stay.stay.to_string(), &stay.reasons));
    let mut table = Table::new(["of", "why", "how sure"]);
    for (of, reason) in sets
        .chain(stays)
        .flat_map(|(of, reasons)| reasons.iter().map(move |reason| (of.clone(), reason)))
    {
        let mut lines = reason.lines.iter().map(|line| line.text.as_str());
        let why = lines.next().unwrap_or_default();
        table.row([&of, why, &lines.collect::<Vec<_>>().join(" ")]);
    }
    if form.candidates.len() + form.premises.len() > 0 { print.table(&table) } else { Ok(()) }
}

/// What contradicts the map, and which false claims would explain it.
fn explained<W: Write>(form: &ExplanationsForm, print: &mut Print<W>) -> Result<(), Trouble> {
    if form.findings.is_empty() {
        return Ok(());
    }
    let list = |ids: &mut dyn Iterator<Item = String>| ids.collect::<Vec<_>>().join(", ");
    let mut findings = Table::new(["", "against the map", "sightings"]);
    for finding in &form.findings {
        let sightings = list(&mut finding.sightings.iter().map(ToString::to_string));
        findings.row([&finding.number.to_string(), &finding.sentence, &sightings]);
    }
    print.table(&findings)?;
    if form.falls_short
        && let Some(said) = form.lines.first()
    {
        print.line(&said.text)?;
    }
    let mut claims = Table::new(["rank", "what may be false", "explains", "to confirm"]);
    for explanation in &form.explanations {
        for claim in &explanation.claims {
            let explains = list(&mut claim.explains.iter().map(ToString::to_string));
            let rank = explanation.rank.to_string();
            claims.row([&rank, &claim.sentence, &explains, &claim.confirm_sentence]);
        }
    }
    print.table(&claims)?;
    let against: Vec<_> = form.hypotheses.iter().filter(|one| !one.against.is_empty()).collect();
    if against.is_empty() {
        return Ok(());
    }
    let mut out = Table::new(["would explain", "", "but speaks against it"]);
    for hypothesis in against {
        let explains = list(&mut hypothesis.explains.iter().map(ToString::to_string));
        let sightings = list(&mut hypothesis.against.iter().map(ToString::to_string));
        out.row([&explains, &hypothesis.sentence, &sightings]);
    }
    print.table(&out)
}
