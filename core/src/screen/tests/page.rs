//! Pages that ask nothing, along the played jobs.

use std::collections::BTreeSet;

use serde_json::json;

use super::{
    acts::JOBS,
    play::{Play, Sheet},
};
use crate::{
    mapsheet::fixture,
    screen::{Page, PageShown, Tone, page, pages},
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
        for of in [Page::Plan, Page::FaultCurrent] {
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
