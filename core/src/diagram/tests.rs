//! Tests of the one-line diagram.

use serde_json::{Value, json};

use super::mark::text_box;
use super::*;
use crate::isolate::{Request, isolate};
use crate::mapsheet::fixture::{features, plant_of};
use crate::plant::SwitchState;
use crate::quantity::{Instant, NodeId};
use crate::rule_sheet::RuleSheet;

mod random;

fn id(text: &str) -> AssetId {
    AssetId::new(text).unwrap()
}

fn node(text: &str) -> NodeId {
    NodeId::new(text).unwrap()
}

fn at(wall_ms: i64) -> Instant {
    Instant { wall_ms, boot: "boot".into(), mono_ms: wall_ms }
}

fn found(plant: &Plant, service: &str, scope: &str) -> Isolation {
    let request = Request::new(id(service), scope.parse().unwrap());
    isolate(plant, &request, &RuleSheet::default()).unwrap()
}

fn drawn(all: &[Value], scope: &str, stands: &Stands) -> Diagram {
    drawn_in(Room::Page, all, scope, stands)
}

fn drawn_in(room: Room, all: &[Value], scope: &str, stands: &Stands) -> Diagram {
    let plant = plant_of(all);
    let found = found(&plant, "P2V1", scope);
    let asked = Asked { plant: &plant, found: &found, plan: found.plans.first(), stands, room };
    diagram(&asked, &Words::english().unwrap()).unwrap()
}

/// The target's set lifted, its meter out and its main open.
fn opened() -> Stands {
    let open = |id: AssetId| (id, SwitchState::Open);
    Stands {
        states: ["P2-lug1", "P2V1/meter", "P2V1/main"].map(id).map(open).into(),
        lifted: [(id("P2-lug1"), Lifted { legs: 2, of: 2, capped: true })].into(),
        ..Stands::default()
    }
}

/// The same, with the base and the lifted end proven dead.
fn proven() -> Stands {
    let dead = ["P2V1", "P2V1:load", "P2:s1"].map(|n| (node(n), at(1_780_930_777_000)));
    Stands { proven: dead.into(), shorted: [node("P2:s1")].into(), ..opened() }
}

fn line_of<'a>(drawn: &'a Diagram, name: &str) -> &'a str {
    let line = drawn.lines.iter().find(|line| line.contains(name));
    line.unwrap_or_else(|| panic!("no '{name}' in {:#?}", drawn.lines))
}

fn strokes(drawn: &Diagram, of: Stroke) -> usize {
    drawn.marks.iter().filter(|m| matches!(m, Mark::Line { stroke, .. } if *stroke == of)).count()
}

/// Texts lie inside the drawing, on no other text and on no conductor.
fn is_readable(drawn: &Diagram) -> Result<(), String> {
    let mut texts: Vec<([i32; 4], &str)> = Vec::new();
    for mark in &drawn.marks {
        if let Mark::Text { at, text, face } = mark {
            texts.push((text_box(*at, text, *face), text));
        }
    }
    let apart =
        |a: &[i32; 4], b: &[i32; 4]| a[2] <= b[0] || b[2] <= a[0] || a[3] <= b[1] || b[3] <= a[1];
    for (place, (one, text)) in texts.iter().enumerate() {
        if one[0] < 0 || one[1] < 0 || one[2] > drawn.width || one[3] > drawn.height {
            return Err(format!("'{text}' at {one:?} is outside of {}", drawn.height));
        }
        for (other, on) in texts.iter().skip(place + 1) {
            if !apart(one, other) {
                return Err(format!("'{text}' at {one:?} lies on '{on}' at {other:?}"));
            }
        }
        for mark in &drawn.marks {
            let Mark::Line { from, to, stroke } = mark else { continue };
            let line = [
                from.x.min(to.x) - 2,
                from.y.min(to.y) - 2,
                from.x.max(to.x) + 2,
                from.y.max(to.y) + 2,
            ];
            if !apart(one, &line) {
                return Err(format!("'{text}' at {one:?} lies on {stroke:?} {line:?}"));
            }
        }
    }
    Ok(())
}

#[test]
fn on_the_record_alone_everything_is_live_and_the_openings_are_numbered() {
    let drawn = drawn(&features(), "base-line-side", &Stands::default());
    assert_eq!(drawn.verdict.id, "diagram-zone-live");
    assert_eq!(line_of(&drawn, "feeder SRC"), "feeder SRC live");
    assert_eq!(line_of(&drawn, "meter P2V1"), "(1) meter P2V1 in");
    assert_eq!(line_of(&drawn, "lugs 1"), "(2) lugs 1 landed, live");
    assert_eq!(line_of(&drawn, "lugs 2"), "lugs 2 landed, live; to P2V2");
    assert_eq!(line_of(&drawn, "pad P1 "), "pad P1 live", "the pad before is folded");
    assert_eq!(line_of(&drawn, "CO2"), "cut-out CO2 open", "the loop point is on the way");
    assert_eq!(line_of(&drawn, "joins"), "joins feeder SRC live");
    assert!(line_of(&drawn, "WORK ZONE").contains("base P2V1"));
    assert_eq!(strokes(&drawn, Stroke::Dead), 0);
    is_readable(&drawn).unwrap();
}

/// Under "the order of opening" stands the order of the steps, by whatever means each opens.
#[test]
fn numbers_are_the_order_of_the_opening_steps() {
    use StepAct::{LiftLeg, OpenMain, OpenSwitch, ParkElbow, PullMeter, SeeOpen, SourceOff};
    let opens = [LiftLeg, OpenMain, OpenSwitch, ParkElbow, PullMeter, SeeOpen, SourceOff];
    let mut all = features();
    for f in &mut all {
        if f["properties"]["device"] == "cut-out" {
            f["properties"]["load_break_amps"] = json!(100);
        }
    }
    let plant = plant_of(&all);
    let mut elbow_before_another = false;
    for scope in ["base-line-side", "base-both-sides", "pad-secondary", "pad-primary"] {
        let request = Request::new(id("P2V1"), scope.parse().unwrap());
        let rules = RuleSheet { allow_opening_without_visible_break: true, ..RuleSheet::default() };
        let found = isolate(&plant, &request, &rules).unwrap();
        for plan in found.plans.iter().chain(&found.dearer) {
            let first = |branch: &AssetId| {
                let here = |s: &crate::isolate::Step| {
                    opens.contains(&s.act) && s.branch.as_ref() == Some(branch)
                };
                plan.steps.iter().position(here)
            };
            let order = in_order_of_steps(plan);
            assert_eq!(order.len(), plan.openings.len());
            let steps: Vec<usize> = order.iter().map(|branch| first(branch).unwrap()).collect();
            assert!(steps.is_sorted(), "{scope}: {order:?} at {steps:?}");
            let acts: Vec<StepAct> = steps.iter().map(|&step| plan.steps[step].act).collect();
            elbow_before_another |= acts.windows(2).any(|w| w[0] == ParkElbow && w[1] != ParkElbow);
        }
    }
    assert!(elbow_before_another, "no plan tells the two orders apart");
}

#[test]
fn opened_and_not_proven_is_drawn_like_live() {
    let drawn = drawn(&features(), "base-line-side", &opened());
    assert_eq!(drawn.verdict.id, "diagram-zone-not-proven");
    assert_eq!(line_of(&drawn, "lugs 1"), "(2) lugs 1 lifted, capped; past it not proven");
    assert_eq!(line_of(&drawn, "meter P2V1"), "(1) meter P2V1 out");
    assert!(line_of(&drawn, "base P2V1").contains("not proven"));
    assert_eq!(line_of(&drawn, "main P2V1"), "main P2V1 open");
    assert_eq!(strokes(&drawn, Stroke::Dead), 0);
}

#[test]
fn a_cable_is_dead_where_both_its_ends_are_proven() {
    let drawn_now = drawn(&features(), "base-line-side", &proven());
    assert_eq!(drawn_now.verdict.id, "diagram-zone-dead");
    assert_eq!(line_of(&drawn_now, "set "), "set P2-set1 proven dead");
    assert!(line_of(&drawn_now, "P2:s1").contains("shorted to neutral"));
    assert!(strokes(&drawn_now, Stroke::Dead) > 0);
    let shortest = |mark: &&Mark| match mark {
        Mark::Line { from, to, stroke: Stroke::Bar } => from.y == to.y && to.x - from.x == 4,
        _ => false,
    };
    assert_eq!(drawn_now.marks.iter().filter(shortest).count(), 1, "one earth");
    let mut half = proven();
    half.proven.remove(&node("P2:s1"));
    half.shorted.clear();
    let half = drawn(&features(), "base-line-side", &half);
    assert_eq!(line_of(&half, "set "), "set P2-set1 not proven");
}

#[test]
fn a_proof_does_not_outvote_a_closed_way_from_a_feeder() {
    let stands = Stands { states: [].into(), lifted: [].into(), ..proven() };
    let drawn = drawn(&features(), "base-line-side", &stands);
    assert_eq!(drawn.verdict.id, "diagram-zone-live");
    assert_eq!(strokes(&drawn, Stroke::Dead), 0);
}

#[test]
fn one_leg_off_is_not_open() {
    let one = Lifted { legs: 1, of: 2, capped: true };
    let stands = Stands { lifted: [(id("P2-lug1"), one)].into(), ..Stands::default() };
    let drawn = drawn(&features(), "base-line-side", &stands);
    assert_eq!(line_of(&drawn, "lugs 1"), "(2) lugs 1 1 of 2 lifted, live");
    assert!(line_of(&drawn, "base P2V1").contains("live"));
}

#[test]
fn every_scope_is_drawn_with_words_for_everything() {
    for scope in ["base-both-sides", "pad-secondary", "pad-primary", "cable:P1::out:P2::in"] {
        for stands in [Stands::default(), opened(), proven()] {
            let drawn = drawn(&features(), scope, &stands);
            is_readable(&drawn).unwrap();
            let narrow = drawn_in(Room::Pocket, &features(), scope, &stands);
            is_readable(&narrow).unwrap();
            assert_eq!(narrow.spoken(), drawn.spoken(), "it says the same in less room");
            let silent = drawn.lines.iter().find(|line| line.contains("diagram-"));
            assert_eq!(silent, None);
        }
    }
}

#[test]
fn what_is_written_on_a_sheet_is_never_markup() {
    let mut all = features();
    let target = all.iter_mut().find(|f| f["properties"]["id"] == "P2V1").unwrap();
    target["properties"]["premises"] = json!("</text><script>alert('1')</script>&amp;");
    let drawn = drawn(&all, "base-line-side", &Stands::default());
    for dress in [Dress::Alone, Dress::InPage] {
        let svg = drawn.svg(dress);
        assert!(!svg.contains("<script"), "{svg}");
        assert!(svg.contains("&lt;script&gt;") || svg.contains("&lt;/text"), "{svg}");
        assert_eq!(svg.matches("<text").count(), svg.matches("</text>").count());
    }
    is_readable(&drawn).unwrap();
}

#[test]
fn the_svg_tells_what_it_is_and_holds_no_style_in_a_page() {
    let drawn = drawn(&features(), "base-line-side", &Stands::default());
    let (alone, page) = (drawn.svg(Dress::Alone), drawn.svg(Dress::InPage));
    assert!(alone.contains("role=\"img\"") && alone.contains("<desc>P2V1: "));
    for part in ["<title>One-line diagram for P2V1</title>", ">P2V1: the work zone is live<"] {
        assert!(alone.contains(part) && page.contains(part), "{part}");
    }
    assert!(alone.contains("prefers-color-scheme:dark") && !page.contains("style"));
    assert!(page.len() < 5_000, "{} bytes", page.len());
    assert_eq!(alone, drawn.svg(Dress::Alone));
}

#[test]
fn who_draws_by_hand_has_the_pens_of_the_style() {
    let of = |class: &str| {
        let (_, rest) = STYLE.split_once(&format!(".oneline .{class}{{")).unwrap_or_default();
        rest.split('}').next().unwrap_or_default()
    };
    let all = [
        (Stroke::Live, "live"),
        (Stroke::Dead, "dead"),
        (Stroke::Bar, "bar"),
        (Stroke::Thin, "thin"),
        (Stroke::Zone, "zone"),
        (Stroke::Hatch, "hatch"),
    ];
    assert!(STYLE.contains(".oneline path,.oneline circle{stroke:currentColor;stroke-width:2}"));
    for (stroke, class) in all {
        let Pen { width, dash, round } = stroke.pen();
        let mut said: Vec<String> = Vec::new();
        said.extend((width != 2).then(|| format!("stroke-width:{width}")));
        said.extend(dash.map(|dash| format!("stroke-dasharray:{dash} {dash}")));
        said.extend(round.then(|| "stroke-linecap:round".to_owned()));
        assert_eq!(of(class), said.join(";"), "{class}");
    }
}
