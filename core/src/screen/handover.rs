//! The screen of the person a clearance is offered to or held by.

use super::{
    Act, Screen, Tone,
    build::{Drawn, Scene},
    physical_lines,
    points::{DeadTest, Next},
};
use crate::{
    clearance::{Clearance, Standing},
    event::{Body, Operation, ProofMade},
    proof::Zone,
    quantity::ClearanceId,
    words::Sentence,
};

/// The clearance that this person holds, or that is on offer to them.
pub(super) fn own<'a>(scene: &Scene<'a>) -> Option<(&'a ClearanceId, &'a Clearance)> {
    let all = || scene.state.clearances.iter();
    let held = all().find(|(_, clearance)| clearance.holder() == Some(scene.who));
    held.or_else(|| {
        all().find(|(_, clearance)| {
            matches!(clearance.standing(), Standing::Offered { to } if to == scene.who)
        })
    })
}

/// Whether hands may go in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Hands {
    /// The job is stopped.
    Stopped,
    /// The proof does not stand any more.
    Void,
    /// They may: the clearance is held on a proof that stands.
    Held,
    /// Not before the own test and the acceptance.
    Offered,
}

impl Hands {
    /// Whether they may in a clearance's zone.
    pub(super) fn of(scene: &Scene<'_>, clearance: &Clearance) -> Self {
        let state = scene.state;
        let stands = state.proofs.dead_of(clearance.zone()).is_some();
        match (clearance.holder().is_some(), stands) {
            _ if state.stopped.is_some() => Self::Stopped,
            (_, false) => Self::Void,
            (true, true) => Self::Held,
            (false, true) => Self::Offered,
        }
    }

    /// How that stands out.
    pub(super) const fn tone(self) -> Tone {
        match self {
            Self::Held => Tone::Go,
            Self::Void | Self::Stopped => Tone::Stop,
            Self::Offered => Tone::Wait,
        }
    }
}

/// Whether hands may go in first; then what is open, what is proven, the own test.
pub(super) fn drawn(scene: &Scene<'_>, id: &ClearanceId, clearance: &Clearance) -> Drawn {
    let (state, words) = (scene.state, scene.words);
    let zone = clearance.zone();
    let held = clearance.holder().is_some();
    let test = DeadTest::of(state, scene.sheets, scene.who, zone, scene.device.now);
    let whole = test.as_ref().is_some_and(|test| test.next == Next::Nothing);
    let hands = words.plain(match Hands::of(scene, clearance) {
        Hands::Stopped => "hands-stopped",
        Hands::Void => "hands-held-void",
        Hands::Held => "hands-held",
        Hands::Offered if whole => "hands-accept-first",
        Hands::Offered => "hands-test-first",
    });
    let acts = if held {
        let mut acts = vec![Act::WorkDone, Act::Release];
        if work_is_done(scene) {
            acts.reverse();
        }
        acts.extend([Act::ReadPoint, Act::Transfer, Act::Interrupt]);
        acts
    } else {
        let mut acts = if whole {
            vec![Act::Accept, Act::ReadPoint]
        } else {
            vec![Act::ReadPoint, Act::EnterInstrument]
        };
        // By a link nobody at the base sees who stood by.
        acts.extend((!clearance.by_link()).then_some(Act::AcceptWitnessed));
        acts.extend([Act::Refuse, Act::Accept]);
        acts
    };
    let screen = Screen::Handover {
        clearance: id.clone(),
        hands: hands.clone(),
        held,
        open: physical_lines(state, words),
        proven: proven(scene, zone),
        points: test.map(|test| test.lines(words)).unwrap_or_default(),
    };
    Drawn { headline: hands, screen, acts }
}

/// Whether this person said that the work is done since they took the clearance.
fn work_is_done(scene: &Scene<'_>) -> bool {
    let by_me = scene
        .state
        .applied
        .iter()
        .rev()
        .filter(|applied| !applied.superseded && applied.event.person == *scene.who);
    for applied in by_me {
        match &applied.event.body {
            Body::Operation(done) if matches!(done.operation, Operation::WorkDone { .. }) => {
                return true;
            }
            Body::Clearance(_) => return false,
            _ => {}
        }
    }
    false
}

fn proven(scene: &Scene<'_>, zone: &Zone) -> Vec<Sentence> {
    let (state, words) = (scene.state, scene.words);
    let zone_name = match zone {
        Zone::MeterBase { service } => {
            words.say("zone-meter-base", &[("service", service.as_str())])
        }
        Zone::LiftedLegs { .. } => words.plain("zone-lifted"),
        Zone::PadBus { pad } => words.say("zone-bus", &[("pad", pad.as_str())]),
    };
    let mut lines = Vec::new();
    let said = |made: &dyn Fn(&ProofMade) -> bool| {
        state
            .applied
            .iter()
            .rev()
            .map(|applied| &applied.event)
            .find(|event| matches!(&event.body, Body::Proof(proof) if made(proof)))
    };
    for (id, dead) in state.proofs.dead.iter().filter(|(_, dead)| dead.zone() == zone) {
        let by = said(&|proof| proof.proof == *id);
        let person = by.map(|event| event.person.as_str()).unwrap_or_default();
        let at = dead.closed().to_text();
        let places = [
            ("zone", zone_name.text.as_str()),
            ("person", person),
            ("at", &at),
            ("tester", dead.instrument().as_str()),
        ];
        lines.push(words.say("proven-dead-by", &places));
    }
    if let Some(opening) = &state.proofs.opening {
        let by = said(&|proof| proof.proof == opening.proof);
        let person = by.map(|event| event.person.as_str()).unwrap_or_default();
        let at = by.map(|event| event.at.to_text()).unwrap_or_default();
        lines.push(words.say("proven-opening-by", &[("person", person), ("at", &at)]));
    }
    lines
}
