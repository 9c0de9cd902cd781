//! What each fault came to, and pairs by what the rule promises.

use coldlug_core::words::Words;

use super::{
    Part,
    figure::count,
    head,
    parts::{COLUMNS, finished_shares, row},
};
use crate::simulate::{
    form::{CaughtForm, FaultForm, SimulationForm},
    interval::share,
};

/// So many faults are shown, the worst ones: a run of pairs has hundreds. The JSON has all.
const MOST: usize = 80;

/// By fault, of our policy; what went wrong first, then what finished worst.
pub(super) fn by_fault(form: &SimulationForm, words: &Words) -> Option<Part> {
    let ours = form.policies.iter().find(|policy| policy.name == "coldlug")?;
    let mut faults: Vec<&FaultForm> =
        ours.by_fault.iter().filter(|fault| fault.counts.jobs > 0).collect();
    faults.sort_by(|a, b| worse(a, b));
    let of = count(faults.len() as u64);
    faults.truncate(MOST);
    let shown = count(faults.len() as u64);
    let mut columns = vec!["simulate-fault"];
    columns.extend(COLUMNS);
    columns.extend(["simulate-against-caught", "simulate-caught-by"]);
    let labelled = faults.iter().map(|fault| (fault.fault.clone(), &fault.counts));
    Some(Part {
        id: "faults",
        title: words.plain("simulate-by-fault").text,
        sentences: vec![
            words.say("simulate-by-fault-about", &[("shown", &shown), ("of", &of)]).text,
        ],
        head: head(words, &columns),
        rows: faults.iter().map(|fault| fault_row(fault)).collect(),
        pictures: vec![finished_shares("simulate-finished-by-fault", labelled, words)],
    })
}

/// Wrong openings and false proofs first, then by share of finished jobs, lowest first; last those
/// of which none could be finished by anybody.
fn worse(a: &FaultForm, b: &FaultForm) -> std::cmp::Ordering {
    let wrong =
        |fault: &FaultForm| fault.counts.wrong_service_openings + fault.counts.false_proven_dead;
    let finished = |fault: &FaultForm| share(fault.counts.finished, fault.counts.solvable);
    let never = |fault: &FaultForm| fault.counts.solvable == 0;
    let finished = never(a).cmp(&never(b)).then(finished(a).total_cmp(&finished(b)));
    wrong(b).cmp(&wrong(a)).then(finished)
}

fn fault_row(fault: &FaultForm) -> Vec<String> {
    let mut cells = row(&fault.fault, &fault.counts);
    let counts = &fault.counts;
    cells.push(match counts.against_advice_openings {
        0 => "-".to_owned(),
        opened => format!("{} / {}", count(counts.against_advice_caught), count(opened)),
    });
    cells.push(most_caught(&fault.caught_by));
    cells
}

/// The rules that refused in most jobs.
fn most_caught(rules: &[CaughtForm]) -> String {
    let told: Vec<String> =
        rules.iter().take(3).map(|row| format!("{} {}", row.rule, count(row.jobs))).collect();
    if told.is_empty() { "-".to_owned() } else { told.join(", ") }
}

/// Pairs within what the rule promises, and beyond it.
pub(super) fn pairs(form: &SimulationForm, words: &Words) -> Option<Part> {
    let pairs = form.pairs.as_ref()?;
    let name = |id: &str| words.plain(id).text;
    let mut columns = vec!["simulate-pairs-kind"];
    columns.extend(COLUMNS);
    Some(Part {
        id: "pairs",
        title: name("simulate-pairs"),
        sentences: vec![name("simulate-pairs-about")],
        head: head(words, &columns),
        rows: vec![
            row(&name("simulate-pairs-others"), &pairs.others),
            row(&name("simulate-pairs-premises"), &pairs.two_of_the_premises),
        ],
        pictures: Vec::new(),
    })
}
