//! On random networks that stand in random ways: words lie apart, and what is drawn dead is proven.

use std::collections::BTreeSet;

use proptest::prelude::*;

use super::*;
use crate::diagram::{fact::Facts, row, row::Course, tree::Part};
use crate::mapsheet::fixture::{cable, pad, sheet};
use crate::plant::derived;

/// A row of pads with customers' own sources here and there, a spur, perhaps a ring, perhaps a
/// second feeder; with names of every length.
fn rows() -> impl Strategy<Value = Vec<Value>> {
    let pads = proptest::collection::vec((1_u8..5, any::<[bool; 4]>()), 1..6);
    let ends = (any::<bool>(), any::<bool>(), any::<bool>(), 1_usize..24);
    (pads, ends).prop_map(|(pads, (ring, spur, second, long))| {
        let source = |id: &str, node: &str| {
            json!({"type": "Feature", "geometry": {"type": "Point", "coordinates": [-30.2, 41.6]},
                "properties": {"kind": "source", "id": id, "node": node,
                    "volts_line_to_line": 12470}})
        };
        let name = |i: usize| format!("P{i}{}", "x".repeat(if i == 0 { 0 } else { long }));
        let mut all = vec![source("S", "n0")];
        for (i, &(sets, own)) in pads.iter().enumerate() {
            let pad_name = name(i);
            pad(&mut all, &pad_name, sets);
            for k in (1..=sets).filter(|k| own[usize::from(*k) - 1]) {
                let service = format!("{pad_name}V{k}");
                let found = all.iter_mut().find(|f| f["properties"]["id"] == service).unwrap();
                found["properties"]["customer_sources"] =
                    json!([{"type": "battery", "kw": 5, "transfer_switch": true}]);
                found["properties"]["premises"] = json!("1 \u{6e2f}\u{6e2f}".repeat(long / 4 + 1));
            }
            let before = if i == 0 { "n0".to_owned() } else { format!("{}:out", name(i - 1)) };
            let from = if spur && i == 2 { format!("{}:bus", name(0)) } else { before };
            cable(&mut all, &format!("C{i}"), &from, &format!("{pad_name}:in"));
        }
        let end = format!("{}:out", name(pads.len() - 1));
        if ring {
            cable(&mut all, "CR", &end, if second { "n1" } else { "n0" });
        }
        if second && ring {
            all.push(source("S2", "n1"));
        }
        all
    })
}

/// Any way things may stand: some switches operated, some nodes proven or grounded.
fn standing(plant: &Plant, picks: &[usize]) -> Stands {
    let network = Network::of(plant).unwrap();
    let opens: Vec<&AssetId> =
        network.branches().filter(|b| b.device().is_some()).map(|b| &b.id).collect();
    let nodes: Vec<&NodeId> = network.nodes().collect();
    let mut stands = Stands::default();
    for (place, pick) in picks.iter().enumerate() {
        let branch = opens[pick % opens.len()].clone();
        let node = nodes[pick % nodes.len()].clone();
        match place % 5 {
            0 | 1 => {
                stands.states.insert(branch, SwitchState::Open);
            }
            2 => {
                stands.proven.insert(node, at(1_780_930_777_000));
            }
            3 => {
                stands.grounded.insert(node);
            }
            _ => {
                stands.states.insert(branch, SwitchState::Closed);
            }
        }
    }
    if picks.first().is_some_and(|pick| pick % 2 == 0) {
        let lug = id("P0-lug1");
        stands.states.insert(lug.clone(), SwitchState::Open);
        stands.states.insert(derived::meter(&id("P0V1")).unwrap(), SwitchState::Open);
        stands.lifted.insert(lug, Lifted { legs: 2, of: 2, capped: picks.len() > 3 });
        for name in ["P0V1", "P0V1:load", "P0:s1"] {
            stands.proven.insert(node(name), at(1_780_930_777_000));
        }
    }
    stands
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn words_lie_apart_and_only_what_is_proven_is_drawn_dead(
        all in rows(), scope in 0_usize..5,
        picks in proptest::collection::vec(any::<usize>(), 0..12), narrow in any::<bool>(),
    ) {
        let scopes =
            ["base-line-side", "base-both-sides", "pad-secondary", "pad-primary", "cable:n0:P0::in"];
        let plant = crate::mapsheet::read(sheet(&all).to_string().as_bytes()).unwrap().plant;
        let found = found(&plant, "P0V1", scopes[scope]);
        let stands = standing(&plant, &picks);
        let room = if narrow { Room::Pocket } else { Room::Page };
        let asked = Asked { plant: &plant, found: &found, plan: found.plans.first(), stands: &stands, room };
        let words = Words::english().unwrap();
        let drawn = diagram(&asked, &words).unwrap();
        is_readable(&drawn).map_err(TestCaseError::fail)?;
        prop_assert_eq!(&drawn, &diagram(&asked, &words).unwrap());

        // Anew from the record: what a feeder reaches over what stands closed.
        let network = Network::of(&plant).unwrap();
        let feeders: Vec<&NodeId> = plant.sources.values().map(|s| &s.node).collect();
        let live = network.reach(feeders, |b| !b.is_open(&stands.states));
        let facts = Facts::new(&asked, &network).unwrap();
        let shown = shown::shown(&facts);
        let rows = row::rows(&facts, &shown, &words);
        let may_be_dead = |number: usize| {
            let name = facts.web.name(number).unwrap();
            stands.proven.contains_key(name) && !live.contains(name)
        };
        let mut dead_drawn = false;
        for row in &rows {
            let ends = match row.course {
                Course::Down { above, below } => [above, below],
                Course::Across { before, after, .. } => [Some(before), Some(after)],
            };
            let dead = ends.iter().flatten().any(|s| *s == Status::Dead);
            dead_drawn |= dead;
            let said = row.line().contains("proven dead");
            match &row.part {
                Part::Edge { edge, from, to } => {
                    let proven = [*from, *to].map(may_be_dead);
                    let device = facts.web.branch(*edge).unwrap().device();
                    let is_lug = device == Some(crate::plant::Device::LugPair);
                    // An open lug pair says how it stands past it.
                    let open = is_lug && row.symbol != row::Symbol::Closed;
                    let told = proven[1] && (open || proven[0]);
                    prop_assert!(!dead || proven[0] || proven[1], "{}", row.line());
                    prop_assert_eq!(said, told, "{}", row.line());
                    let conductor = row.symbol == row::Symbol::Plain;
                    prop_assert!(!conductor || dead == said, "{}", row.line());
                }
                Part::Node(number) | Part::To(number) => {
                    prop_assert_eq!(said, may_be_dead(*number), "{}", row.line());
                    prop_assert!(!dead || said, "{}", row.line());
                }
                Part::Pads { .. } | Part::Beyond { .. } => prop_assert_eq!(dead, dead && said),
            }
            if let Part::Edge { edge, .. } = &row.part {
                let branch = facts.web.branch(*edge).unwrap();
                if branch.device().is_some() {
                    let gap = !matches!(row.symbol, row::Symbol::Closed | row::Symbol::Meter);
                    prop_assert_eq!(gap, branch.is_open(&stands.states), "{}", row.line());
                }
            }
        }
        prop_assert!(dead_drawn || strokes(&drawn, Stroke::Dead) == 0);

        // Every opening of the plan is drawn with its number, once, or told among what is beyond.
        let numbers: Vec<usize> = rows.iter().filter_map(|row| row.label.number).collect();
        let beyond = rows.iter().flat_map(|row| match &row.part {
            Part::Beyond { numbers, .. } => numbers.clone(),
            _ => Vec::new(),
        });
        let mut told: Vec<usize> = numbers.into_iter().chain(beyond).collect();
        told.sort_unstable();
        let openings: BTreeSet<usize> = facts.numbers.values().copied().collect();
        prop_assert_eq!(told, openings.into_iter().collect::<Vec<_>>());
        // Every feeder is drawn.
        for feeder in plant.sources.keys() {
            let name = format!("feeder {feeder}");
            prop_assert!(drawn.lines.iter().any(|line| line.contains(&name)), "{}: {:#?}", name, drawn.lines);
        }
    }
}
