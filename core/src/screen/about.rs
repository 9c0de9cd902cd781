//! What a job's screen is about, whoever looks: by stage, from the record.

use super::{
    LegLine, PointLine, ProofName, Screen,
    build::{Drawn, Scene, stage_id},
    holding::holding,
    ledger::ledger,
    points::{self, DeadTest},
};
use crate::{caution::Subject, gate::Stage, plant::Conductor, proof::Zone};

/// Headline and screen; no acts.
pub(super) fn about(scene: &Scene<'_>) -> Drawn {
    let (state, words) = (scene.state, scene.words);
    let headline = words.plain(stage_id(state));
    let drawn = |screen| Drawn { headline, screen, acts: Vec::new() };
    if let Some(stop) = &state.stopped {
        return drawn(Screen::Stopped { event: stop.event.to_string() });
    }
    match state.stage {
        Stage::Requested => drawn(briefing(scene)),
        Stage::Briefed | Stage::Found => searching(scene),
        // What was identified may no longer be: then it is searched for again.
        Stage::Identified if scene.judged.is_some_and(|judged| judged.identified().is_none()) => {
            searching(scene)
        }
        Stage::Opened if all_lifted(scene) => drawn(dead(scene)),
        Stage::Identified | Stage::Opened => drawn(match state.set_in_hand() {
            Some(set) => Screen::Lift { set: set.clone(), legs: legs(scene) },
            None => Screen::Restore { legs: Vec::new() },
        }),
        Stage::ProvenDead | Stage::HandedOver => drawn(clearance(scene)),
        Stage::Returned => drawn(Screen::Restore { legs: legs(scene) }),
        Stage::Restored | Stage::ProvenLive => drawn(live(scene)),
        Stage::Closed => drawn(Screen::Closed { map_corrections: state.map_corrections.len() }),
    }
}

fn briefing(scene: &Scene<'_>) -> Screen {
    let missing = Subject::ALL
        .iter()
        .filter(|subject| !scene.state.briefed_subjects.contains(subject))
        .map(|subject| scene.words.plain(subject.id()).text);
    Screen::Briefing { missing: missing.collect() }
}

fn searching(scene: &Scene<'_>) -> Drawn {
    if let Some((headline, screen)) = ledger(scene) {
        return Drawn { headline, screen, acts: Vec::new() };
    }
    let headline = scene.words.plain(stage_id(scene.state));
    Drawn { headline, screen: briefing(scene), acts: Vec::new() }
}

/// The hot legs of the target.
pub(super) fn hot_legs(scene: &Scene<'_>) -> &'static [Conductor] {
    scene.state.system(scene.sheets).map_or(&[], |system| system.legs())
}

/// Whether every hot leg of the set in hand is lifted.
pub(super) fn all_lifted(scene: &Scene<'_>) -> bool {
    let legs = hot_legs(scene);
    !legs.is_empty()
        && scene.state.set_in_hand().is_some_and(|set| {
            legs.iter().all(|leg| scene.state.physical.lifted(set, *leg).is_some())
        })
}

fn legs(scene: &Scene<'_>) -> Vec<LegLine> {
    let Some(set) = scene.state.set_in_hand() else { return Vec::new() };
    let line = |leg: &Conductor| {
        let id = match scene.state.physical.lifted(set, *leg) {
            None => "leg-on-lug",
            Some(lifted) if lifted.capped.is_some() && lifted.restrained.is_some() => {
                "leg-lifted-safe"
            }
            Some(_) => "leg-lifted-loose",
        };
        LegLine { leg: leg.to_string(), state: scene.words.plain(id) }
    };
    hot_legs(scene).iter().map(line).collect()
}

/// The test of dead that is furthest on, this person's own first.
fn dead(scene: &Scene<'_>) -> Screen {
    let points = scene.state.work_zone().and_then(|zone| furthest(scene, &zone));
    let points = points.map(|test| test.lines(scene.words)).unwrap_or_default();
    Screen::Proof { of: ProofName::Dead, points }
}

fn furthest(scene: &Scene<'_>, zone: &Zone) -> Option<DeadTest> {
    let (state, now) = (scene.state, scene.device.now);
    let own = DeadTest::of(state, scene.sheets, scene.who, zone, now)?;
    if !own.readings.is_empty() {
        return Some(own);
    }
    let crew = state.header.iter().flat_map(|header| &header.crew);
    // Another phone's clock cannot be held against this one: as of its own newest reading.
    let tests = crew.filter_map(|member| {
        let theirs = state.volts.iter().rev().find(|taken| taken.person == member.person)?;
        DeadTest::of(state, scene.sheets, &member.person, zone, &theirs.taken.at)
    });
    let mut best = own;
    for test in tests {
        if test.readings.len() > best.readings.len() {
            best = test;
        }
    }
    Some(best)
}

fn live(scene: &Scene<'_>) -> Screen {
    let all = points::supply_points(scene.state, scene.sheets).unwrap_or_default();
    let read = points::supply_read(scene.state, &all, scene.sheets, scene.device.now);
    let lines: Vec<PointLine> = all
        .iter()
        .enumerate()
        .map(|(n, point)| {
            let volts = read.get(n).copied();
            points::line(point, volts, None, n == read.len(), scene.words)
        })
        .collect();
    Screen::Proof { of: ProofName::Live, points: lines }
}

/// Who holds what.
pub(super) fn clearance(scene: &Scene<'_>) -> Screen {
    Screen::Clearance { holding: holding(scene.state, scene.words) }
}
