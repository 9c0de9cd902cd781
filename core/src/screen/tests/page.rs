//! Pages that ask nothing, along the played jobs.

use std::collections::BTreeSet;

use serde_json::json;

use super::{
    acts::JOBS,
    play::{Play, Sheet},
};
use crate::{
    mapsheet::fixture,
    screen::{Act, Page, PageShown, Tone, page, pages},
};

/// Every so many moments of the played jobs: a plan is searched for at each.
const EVERY: usize = 20;

fn shown(of: Page, play: &Play<'_>) -> PageShown {
    play.with_device("a", |who, device| {
        page(of, &play.state, &play.sheets, who, device, play.words)
    })
}

#[test]
fn every_line_of_a_page_has_words_and_a_dead_zone_is_no_leave() {
    let mut seen = BTreeSet::new();
    for play in JOBS.iter().step_by(EVERY) {
        for of in [Page::Plan, Page::FaultCurrent, Page::Reasons] {
            let PageShown { physical, headline, tone, diagram, passages, .. } = shown(of, play);
            let lines = passages.iter().flat_map(|passage| passage.lines.iter().map(|l| &l.said));
            let titles = passages.iter().map(|passage| &passage.title);
            for said in physical.iter().chain([&headline]).chain(lines).chain(titles) {
                assert!(!said.text.contains('{') && !said.spoken.is_empty(), "{said:?}");
                assert!(play.words.has(&said.id), "no sentence for {}", said.id);
            }
            if of == Page::Plan {
                assert_ne!(tone, Tone::Go, "only a clearance lets hands in");
                assert_eq!(diagram.map(|drawn| drawn.verdict), Some(headline.clone()));
            }
            seen.insert((headline.id, tone));
        }
    }
    let dead = ("diagram-zone-dead".to_owned(), Tone::Rest);
    assert!(seen.contains(&dead), "never dead: {seen:?}");
    assert!(seen.contains(&("diagram-zone-live".to_owned(), Tone::Wait)), "{seen:?}");
}

/// The best way with its price first, the other ways and what may not be opened below the steps.
#[test]
fn the_page_of_a_plan_tells_the_other_ways_and_what_may_not_be_opened() {
    let sheet = Sheet::new();
    let play = Play::new(&sheet);
    let drawn = shown(Page::Plan, &play);
    let lines = |title: &str| -> Vec<(String, String)> {
        let passage = drawn.passages.iter().find(|passage| passage.title.id == title).unwrap();
        passage.lines.iter().map(|l| (l.said.id.clone(), l.said.text.clone())).collect()
    };
    let top = lines("plan-title");
    assert_eq!(top[0].0, "plan-best");
    assert!(top[1].1.contains("Nobody else goes out. Exposure"), "{top:?}");
    let ways = lines("plan-title-ways");
    for (id, text) in &ways {
        assert!(["plan-way-not-first", "plan-way-never"].contains(&id.as_str()), "{text}");
    }
    let rejected = lines("plan-title-rejected");
    assert!(rejected.iter().any(|(_, text)| text.contains("no gap to be seen")), "{rejected:?}");
    let place = |title: &str| drawn.passages.iter().position(|p| p.title.id == title);
    assert!(place("plan-title-ways") > place("plan-title-back"));
}

#[test]
fn who_never_opens_the_page_reads_on_its_key_what_must_stop_the_work() {
    let key = |sheet: &Sheet| {
        let play = Play::new(sheet);
        let keys = pages(&play.state, &play.sheets, play.words);
        keys.into_iter().find(|key| key.page == Page::FaultCurrent).unwrap()
    };
    let unknown = key(&Sheet::new());
    assert_eq!((unknown.label.id.as_str(), unknown.tone), ("page-fault-current", None));
    let weak = fixture::changed("P1V2", "withstand_amps", json!(500));
    let weak = key(&Sheet { plant: fixture::plant_of(&weak), ..Sheet::new() });
    assert_eq!((weak.label.id.as_str(), weak.tone), ("fault-over", Some(Tone::Stop)));
}

/// The elbow towards the last two pads breaks 12 A, and 14 A may flow.
#[test]
fn a_plan_that_reads_first_leads_to_where_it_is_read() {
    let features = fixture::changed("P1-out", "load_break_amps", json!(12));
    let sheet = Sheet { plant: fixture::plant_of(&features), ..Sheet::new() };
    let mut play = Play::with_scope(&sheet, "cable:P1::out:P2::in");
    assert_eq!(shown(Page::Plan, &play).acts, [], "nothing before the briefing");
    play.begins();
    let drawn = shown(Page::Plan, &play);
    assert_eq!(drawn.acts.iter().map(|offer| offer.act).collect::<Vec<_>>(), [Act::ReadLoad]);
    let says = |shown: &PageShown, what: &str| {
        let lines = shown.passages.iter().flat_map(|passage| &passage.lines);
        lines.map(|line| &line.said.text).any(|text| text.contains(what))
    };
    assert!(says(&drawn, "Read the amps through P1-out (likely 11 A, at most 14 A)"), "{drawn:#?}");
    assert!(says(&drawn, "transformer ratings"), "{drawn:#?}");
    play.does("a", Act::EnterInstrument, STICK);
    play.does("a", Act::ProveInstrument, HEATER);
    let read = [("switch", "P1-out"), ("phase", "L1"), ("clamp", "stick-1"), ("amps", "9.20")];
    play.does("a", Act::ReadLoad, &read);
    let drawn = shown(Page::Plan, &play);
    assert_eq!(drawn.acts, []);
    assert!(says(&drawn, "park elbow P1-out: at most 10 A, read at 14:1"), "{drawn:#?}");
    play.now_s += 301;
    let drawn = shown(Page::Plan, &play);
    assert_eq!(drawn.acts.len(), 1);
    assert!(says(&drawn, "Too old, or no clock can say how old. Read again."), "{drawn:#?}");
}

/// Along the played jobs: the page of reasons has the verdict of the ledger, a passage for each set,
/// and says what alone could make wrong whatever counts.
#[test]
fn each_set_is_told_with_what_was_seen_and_what_alone_makes_it_false() {
    let mut ids = BTreeSet::new();
    for play in JOBS.iter().step_by(EVERY / 4) {
        let keys = pages(&play.state, &play.sheets, play.words);
        let evidence = play.state.evidence.as_ref().unwrap();
        let has_key = keys.iter().any(|key| key.page == Page::Reasons);
        assert_eq!(has_key, !evidence.sightings.is_empty());
        let drawn = shown(Page::Reasons, play);
        assert!(drawn.headline.id.starts_with("verdict-"), "{:?}", drawn.headline);
        let judged = play.sheets.judge(evidence);
        let titles = drawn.passages.iter().filter(|one| one.title.id == "reasons-title-set");
        assert_eq!(titles.count(), judged.candidates.len(), "every set, and elsewhere");
        for passage in &drawn.passages {
            assert!(!passage.lines.is_empty(), "{passage:?}");
            ids.extend(passage.lines.iter().map(|line| line.said.id.clone()));
        }
    }
    for id in ["reason-line", "reason-wrong-if", "reason-for-another", "reason-none", "doubt-set"] {
        assert!(ids.contains(id), "{id} is never told: {ids:?}");
    }
}

const STICK: &[(&str, &str)] = &[
    ("instrument-name", "stick-1"),
    ("instrument-class", "clamp"),
    ("category", "cat-iv"),
    ("category-volts", "15000"),
    ("range", "60"),
    ("resolution", "0.01"),
    ("accuracy-percent", "1"),
    ("accuracy-counts", "3"),
    ("calibration-due", "2030-01-01"),
];
const HEATER: &[(&str, &str)] = &[
    ("instrument", "stick-1"),
    ("known", "the crew's heater"),
    ("known-tolerance", "5"),
    ("shown", "12.45"),
    ("expected", "12.5"),
];
