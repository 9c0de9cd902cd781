//! Pages that ask nothing, and the marks of a drawing as a shell is given them.

use coldlug_phone::{Diagram, DiagramMark, Page, PhoneError, Screen, Spot};
use serde_json::json;

use super::shell::{briefing, says, stay, two_phones};

/// Every place that a mark touches.
fn places(mark: &DiagramMark) -> Vec<Spot> {
    match mark {
        DiagramMark::Line { start, end, .. } => vec![*start, *end],
        DiagramMark::Ring { at, radius, .. } => {
            vec![Spot { x: at.x - radius, y: at.y - radius }, Spot { x: at.x + radius, y: at.y }]
        }
        DiagramMark::Frame { at, width, height, .. } => {
            vec![*at, Spot { x: at.x + width, y: at.y + height }]
        }
        DiagramMark::Words { at, .. } => vec![*at],
    }
}

fn lies_inside(drawn: &Diagram) -> bool {
    let inside =
        |spot: Spot| (0..=drawn.width).contains(&spot.x) && (0..=drawn.height).contains(&spot.y);
    drawn.marks.iter().flat_map(places).all(inside)
}

#[test]
fn the_plan_is_drawn_and_the_fault_current_told() {
    let (_, a, _) = two_phones();
    a.acts(&[briefing()]).unwrap();
    let shown = a.phone.screen("J-1".into(), a.person.into()).unwrap();
    let keys: Vec<Page> = shown.pages.iter().map(|key| key.page).collect();
    assert_eq!(keys, [Page::Plan, Page::FaultCurrent]);

    let plan = a.phone.page("J-1".into(), a.person.into(), Page::Plan).unwrap();
    assert_eq!(plan.physical, shown.physical);
    let drawn = plan.diagram.unwrap();
    assert!(lies_inside(&drawn), "{drawn:#?}");
    assert_eq!(drawn.spoken.lines().next(), Some(plan.headline.spoken.as_str()));
    // What is read out is written on the drawing too; how the zone stands is the page's headline.
    let written: Vec<&str> = drawn
        .marks
        .iter()
        .filter_map(|mark| match mark {
            DiagramMark::Words { text, .. } => Some(text.as_str()),
            _ => None,
        })
        .flat_map(str::split_whitespace)
        .collect();
    let read = drawn.spoken.lines().skip(1).flat_map(str::split_whitespace);
    for word in read.map(|word| word.trim_matches(['(', ')', ';'])) {
        assert!(written.contains(&word), "'{word}' is read out and not written");
    }
    assert!(plan.passages.iter().all(|passage| !passage.lines.is_empty()));

    let faults = a.phone.page("J-1".into(), a.person.into(), Page::FaultCurrent).unwrap();
    assert_eq!(faults.headline.id, "fault-withstand-unknown");
    assert!(faults.diagram.is_none() && faults.passages.len() == 5, "{:#?}", faults.passages);
}

#[test]
fn why_a_stay_stands_or_not_is_a_page_once_something_is_seen() {
    let (_, a, _) = two_phones();
    let number = json!({ "what": "meter-number", "stay": "st-1", "number": "of nobody" });
    let seen = says("sighting", &json!({ "sighting": "s-1", "seen": number }));
    a.acts(&[briefing(), stay(true, "st-1"), seen]).unwrap();
    let shown = a.phone.screen("J-1".into(), a.person.into()).unwrap();
    assert_eq!(shown.pages.first().map(|key| key.page), Some(Page::Reasons));
    let Screen::Ledger { judgement } = &shown.screen else { panic!("{:?}", shown.screen) };
    let page = a.phone.page("J-1".into(), a.person.into(), Page::Reasons).unwrap();
    assert_eq!(page.headline, judgement.sentence);
    let titles: Vec<&str> = page.passages.iter().map(|one| one.title.id.as_str()).collect();
    assert!(titles.contains(&"reasons-title-stay"), "{page:#?}");
    // What is in doubt stands on the ledger itself.
    let doubt = judgement.explanations.iter().find(|said| said.id == "doubt-stay-unnamed");
    assert!(doubt.is_some(), "{:#?}", judgement.explanations);
}

#[test]
fn a_job_that_is_not_here_has_no_page() {
    let (_, a, _) = two_phones();
    let none = a.phone.page("J-9".into(), a.person.into(), Page::Plan);
    assert!(matches!(none, Err(PhoneError::NoSuchJob { .. })), "{none:?}");
}
