//! The same jobs played otherwise: other tolerances, other keys, single conditions left out.

use coldlug_core::words::Words;

use super::{
    Part,
    figure::count,
    head,
    parts::{COLUMNS, finished, finished_shares, picture, row, wrong, wrong_shares},
    picture::{Kind, Point},
};
use crate::simulate::form::SimulationForm;

/// Wrong openings against finished jobs, by how many false causes are tolerated.
pub(super) fn tolerances(form: &SimulationForm, words: &Words) -> Option<Part> {
    let name = |tolerated: u32| {
        words.say("simulate-tolerating", &[("count", &tolerated.to_string())]).text
    };
    let points = form.tolerances.iter().map(|row| {
        let label = name(row.tolerated_false_causes);
        Point { across: finished(label.clone(), &row.counts), up: wrong(label, &row.counts) }
    });
    let kind =
        Kind::TradeOff { points: points.collect(), up: words.plain("simulate-axis-wrong").text };
    let rows = form.tolerances.iter().map(|at| row(&name(at.tolerated_false_causes), &at.counts));
    let mut columns = vec!["simulate-tolerated"];
    columns.extend(COLUMNS);
    (!form.tolerances.is_empty()).then(|| Part {
        id: "tolerances",
        title: words.plain("simulate-tolerances").text,
        sentences: vec![words.plain("simulate-tolerances-about").text],
        head: head(words, &columns),
        rows: rows.collect(),
        pictures: vec![picture("simulate-trade-off", "simulate-axis-finished", kind, words)],
    })
}

/// One size a step against amps at every slot.
pub(super) fn keyings(form: &SimulationForm, words: &Words) -> Option<Part> {
    let name = |keys: &str| words.plain(&format!("simulate-keys-{keys}")).text;
    let labelled = || form.keyings.iter().map(|at| (name(&at.keys), &at.counts));
    let mut columns = vec!["simulate-keys"];
    columns.extend(COLUMNS);
    (!form.keyings.is_empty()).then(|| Part {
        id: "keys",
        title: words.plain("simulate-keyings").text,
        sentences: vec![words.plain("simulate-keyings-about").text],
        head: head(words, &columns),
        rows: labelled().map(|(name, counts)| row(&name, counts)).collect(),
        pictures: vec![
            wrong_shares("simulate-wrong-by-keys", labelled(), words),
            finished_shares("simulate-finished-by-keys", labelled(), words),
        ],
    })
}

/// What each condition of the rule keeps out, most first.
pub(super) fn ablation(form: &SimulationForm, words: &Words) -> Option<Part> {
    let mut tried: Vec<_> = form.ablation.iter().collect();
    tried.sort_by_key(|row| std::cmp::Reverse(row.lets_through));
    let rows = tried.iter().map(|at| {
        let lets_through = match at.lets_through {
            0 => words.plain("simulate-buys-nothing").text,
            some => count(some),
        };
        let counts = &at.counts;
        vec![
            at.condition.clone(),
            lets_through,
            count(counts.wrong_service_openings),
            count(counts.false_proven_dead),
            count(counts.finished),
        ]
    });
    let columns = [
        "simulate-condition",
        "simulate-lets-through",
        "simulate-wrong",
        "simulate-false-dead",
        "simulate-finished-jobs",
    ];
    let missed = tried.iter().filter(|row| row.lets_through > 0);
    let labelled = missed.map(|row| (row.condition.clone(), &row.counts));
    (!tried.is_empty()).then(|| Part {
        id: "ablation",
        title: words.plain("simulate-ablation").text,
        sentences: vec![words.say("simulate-ablation-about", &[("jobs", &count(form.jobs))]).text],
        head: head(words, &columns),
        rows: rows.collect(),
        pictures: vec![wrong_shares("simulate-wrong-by-condition", labelled, words)],
    })
}
