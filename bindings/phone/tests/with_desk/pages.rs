//! Pages that ask nothing, and the marks of a drawing as a shell is given them.

use coldlug_phone::{Diagram, DiagramMark, Page, PhoneError, Spot};

use super::shell::{briefing, two_phones};

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
fn a_job_that_is_not_here_has_no_page() {
    let (_, a, _) = two_phones();
    let none = a.phone.page("J-9".into(), a.person.into(), Page::Plan);
    assert!(matches!(none, Err(PhoneError::NoSuchJob { .. })), "{none:?}");
}
