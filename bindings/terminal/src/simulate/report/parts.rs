//! The parts of a report that every run has: policies, tests, and what rules and reasons came up.

use coldlug_core::words::Words;

use super::{
    Part,
    figure::{bounded, count, in_a_million, mean, median, percent},
    head,
    picture::{Kind, Picture, Share},
};
use crate::simulate::{
    form::{CountsForm, PolicyForm, ReasonForm, SimulationForm},
    interval::share,
};

/// What each policy came to.
pub(super) fn policies(form: &SimulationForm, words: &Words) -> Part {
    let say = |id: &str, places: &[(&str, &str)]| words.say(id, places).text;
    let mut sentences = vec![
        say(
            "simulate-about",
            &[
                ("jobs", &count(form.jobs)),
                ("first", &count(form.first_job)),
                ("seed", &form.seed.to_string()),
                ("faults", &form.faults),
                ("version", &form.version),
                ("edition", &form.rules_edition),
            ],
        ),
        say("simulate-made-up", &[]),
    ];
    if let Some(ours) = form.policies.iter().find(|policy| policy.name == "coldlug") {
        sentences.extend(sure_of(&ours.counts, words));
    }
    let mut columns = vec!["simulate-policy"];
    columns.extend(COLUMNS);
    columns.extend(["simulate-needless", "simulate-tests-mean", "simulate-looks-median"]);
    Part {
        id: "policies",
        title: say("simulate-policies", &[]),
        sentences,
        head: head(words, &columns),
        rows: form.policies.iter().map(policy_row).collect(),
        pictures: vec![
            wrong_shares("simulate-wrong-by-policy", labelled(&form.policies), words),
            finished_shares("simulate-finished-by-policy", labelled(&form.policies), words),
        ],
    }
}

fn labelled(policies: &[PolicyForm]) -> impl Iterator<Item = (String, &CountsForm)> {
    policies.iter().map(|policy| (policy.name.clone(), &policy.counts))
}

/// What the counts of our policy bound, in sentences.
fn sure_of(counts: &CountsForm, words: &Words) -> Vec<String> {
    let jobs = count(counts.jobs);
    let sure = |id: &str, hits: u64, high: f64| {
        let (hits, most) = (count(hits), in_a_million(high));
        words.say(id, &[("jobs", &jobs), ("hits", &hits), ("most", &most)]).text
    };
    let mut sentences = vec![
        sure(
            "simulate-sure-wrong",
            counts.wrong_service_openings,
            counts.wrong_service_openings_high,
        ),
        sure("simulate-sure-dead", counts.false_proven_dead, counts.false_proven_dead_high),
    ];
    if counts.idle_neighbours_dropped > 0 {
        let dropped = count(counts.idle_neighbours_dropped);
        sentences.push(words.say("simulate-idle-dropped", &[("dropped", &dropped)]).text);
    }
    if counts.against_advice_openings > 0 {
        let opened = count(counts.against_advice_openings);
        let caught = count(counts.against_advice_caught);
        let places = [("opened", opened.as_str()), ("caught", &caught)];
        sentences.push(words.say("simulate-against", &places).text);
    }
    sentences
}

/// The columns of [`row`] behind its first.
pub(super) const COLUMNS: [&str; 6] = [
    "simulate-jobs",
    "simulate-solvable",
    "simulate-finished",
    "simulate-wrong",
    "simulate-false-dead",
    "simulate-tests-median",
];

/// A row of counts.
pub(super) fn row(name: &str, counts: &CountsForm) -> Vec<String> {
    vec![
        name.to_owned(),
        count(counts.jobs),
        count(counts.solvable),
        bounded(counts.finished, counts.solvable, counts.finished_low, counts.finished_high),
        count(counts.wrong_service_openings),
        count(counts.false_proven_dead),
        median(counts.tests_median),
    ]
}

fn policy_row(policy: &PolicyForm) -> Vec<String> {
    let counts = &policy.counts;
    let mut cells = row(&policy.name, counts);
    cells.push(count(counts.needless_stops));
    cells.push(mean(counts.tests_mean, 2));
    cells.push(median(counts.looks_median));
    cells
}

/// Shares of solvable jobs that finish, drawn.
pub(super) fn finished_shares<'a>(
    caption: &str,
    rows: impl Iterator<Item = (String, &'a CountsForm)>,
    words: &Words,
) -> Picture {
    let solvable = rows.filter(|(_, counts)| counts.solvable > 0);
    let shares = solvable.map(|(label, counts)| finished(label, counts)).collect();
    picture(caption, "simulate-axis-finished", Kind::Shares(shares), words)
}

/// Shares of jobs with a wrong opening, drawn.
pub(super) fn wrong_shares<'a>(
    caption: &str,
    rows: impl Iterator<Item = (String, &'a CountsForm)>,
    words: &Words,
) -> Picture {
    let shares = rows.map(|(label, counts)| wrong(label, counts)).collect();
    picture(caption, "simulate-axis-wrong", Kind::Shares(shares), words)
}

/// The share of solvable jobs that finish.
pub(super) fn finished(label: String, counts: &CountsForm) -> Share {
    Share {
        label,
        share: share(counts.finished, counts.solvable),
        low: counts.finished_low,
        high: counts.finished_high,
    }
}

/// The share of jobs with a wrong opening.
pub(super) fn wrong(label: String, counts: &CountsForm) -> Share {
    Share {
        label,
        share: share(counts.wrong_service_openings, counts.jobs),
        low: counts.wrong_service_openings_low,
        high: counts.wrong_service_openings_high,
    }
}

/// A picture with its words.
pub(super) fn picture(caption: &str, across: &str, kind: Kind, words: &Words) -> Picture {
    Picture { caption: words.plain(caption).text, across: words.plain(across).text, kind }
}

/// How many tests a finished job takes.
pub(super) fn tests(form: &SimulationForm, words: &Words) -> Option<Part> {
    let ours = form.policies.iter().find(|policy| policy.name == "coldlug")?;
    let finished = ours.counts.finished;
    let rows = ours.tests.iter().map(|bin| {
        let part = percent(share(bin.jobs, finished), 0.05);
        vec![bin.tests.to_string(), count(bin.jobs), part]
    });
    let bins = ours.tests.iter().map(|bin| (bin.tests, bin.jobs)).collect();
    let kind = Kind::Bars { bins, up: words.plain("simulate-jobs").text };
    Some(Part {
        id: "tests",
        title: words.plain("simulate-tests").text,
        sentences: vec![words.plain("simulate-what-a-test-is").text],
        head: head(words, &["simulate-tests", "simulate-jobs", "simulate-share"]),
        rows: rows.collect(),
        pictures: vec![picture("simulate-tests-drawn", "simulate-tests", kind, words)],
    })
}

/// Which rule caught what.
pub(super) fn caught(form: &SimulationForm, words: &Words) -> Option<Part> {
    let rows = form.caught_by.iter().map(|caught| {
        let sentence = words.plain(&caught.rule).text;
        vec![caught.rule.clone(), count(caught.jobs), count(caught.refusals), sentence]
    });
    let columns = ["simulate-rule", "simulate-jobs", "simulate-refusals", "simulate-says"];
    (!form.caught_by.is_empty()).then(|| Part {
        id: "caught",
        title: words.plain("simulate-caught").text,
        sentences: vec![words.plain("simulate-caught-about").text],
        head: head(words, &columns),
        rows: rows.collect(),
        pictures: Vec::new(),
    })
}

/// Why solvable jobs stopped.
pub(super) fn stopped(form: &SimulationForm, words: &Words) -> Option<Part> {
    by_reason("stopped", "simulate-stopped", &form.stopped, words)
}

/// Why jobs were not solvable.
pub(super) fn unsolvable(form: &SimulationForm, words: &Words) -> Option<Part> {
    by_reason("unsolvable", "simulate-unsolvable", &form.unsolvable, words)
}

fn by_reason(id: &'static str, title: &str, reasons: &[ReasonForm], words: &Words) -> Option<Part> {
    let rows = reasons.iter().map(|row| vec![row.reason.clone(), count(row.jobs)]);
    (!reasons.is_empty()).then(|| Part {
        id,
        title: words.plain(title).text,
        sentences: Vec::new(),
        head: head(words, &["simulate-reason", "simulate-jobs"]),
        rows: rows.collect(),
        pictures: Vec::new(),
    })
}
