//! The electrician's screens: where they are, a run of theirs, a clearance.

use super::{
    Act, Screen,
    about::{about, clearance},
    build::{Drawn, Scene},
    handover, switching,
};
use crate::{
    gate::{Role, Stage},
    quantity::PersonId,
    sighting::{Seen, Speaker},
    words::Sentence,
};

/// A clearance comes before everything, a stop included: who holds it must be able to release.
pub(super) fn drawn(scene: &Scene<'_>) -> Drawn {
    if let Some((id, clearance)) = handover::own(scene) {
        return handover::drawn(scene, id, clearance);
    }
    if let Some(run) = switching::own_run(scene) {
        let headline = scene.words.plain("headline-switching");
        let acts = vec![Act::EndRun, Act::SayWhere];
        return Drawn { headline, screen: switching::prompts(scene, run), acts };
    }
    if scene.state.stopped.is_some() || scene.state.stage == Stage::Closed {
        return about(scene);
    }
    if scene.state.stage >= Stage::HandedOver {
        // Where they are no longer matters: the base is somebody else's, or being restored.
        let headline = scene.words.plain("headline-nothing-yours");
        let acts = vec![Act::OpenMain, Act::TakeBack, Act::Interrupt, Act::WrongDrop];
        return Drawn { headline, screen: clearance(scene), acts };
    }
    let screen = Screen::Where { beside: beside(scene), said: said(scene) };
    let acts = vec![
        Act::SayWhere,
        Act::BeginStay,
        Act::BeginRun,
        Act::EnterInstrument,
        Act::ProveInstrument,
        Act::OpenMain,
        Act::SourcesOff,
        Act::EndStay,
        Act::WithdrawStay,
        Act::TakeBack,
        Act::Interrupt,
        Act::WrongDrop,
    ];
    Drawn { headline: scene.words.plain("headline-where"), screen, acts }
}

/// The lineworker who is at the premises on record.
fn beside(scene: &Scene<'_>) -> Option<PersonId> {
    let mut stays = scene.state.evidence.as_ref()?.stays.values().rev();
    let stay = stays
        .find(|stay| stay.is_open() && scene.state.role_of(&stay.person) == Some(Role::Lineworker));
    stay.map(|stay| stay.person.clone())
}

fn said(scene: &Scene<'_>) -> Option<Sentence> {
    let evidence = scene.state.evidence.as_ref()?;
    let words = evidence.sightings.values().filter(|sighting| sighting.who == *scene.who);
    let last = words
        .filter_map(|sighting| match &sighting.seen {
            Seen::Word { speaker: Speaker::Electrician, service, .. } => {
                Some((sighting.at.wall_ms, &sighting.id, service))
            }
            _ => None,
        })
        .max_by_key(|(at, id, _)| (*at, *id))?;
    let service = last.2.as_ref().and_then(|id| scene.sheets.plant.services.get(id));
    Some(match service {
        Some(known) => scene.words.say("said-where", &[("premises", &known.premises)]),
        None => scene.words.plain("said-nowhere"),
    })
}
