//! Acts that say something is proven. The readings are on record; the rule decides.

use super::{
    form::Form,
    opening::{done, proof},
};
use crate::{
    event::{Body, Operation, ProofMade, ProofOf},
    proof::Zone,
    screen::points::DeadTest,
};

type Bodies = Option<Vec<Body>>;

/// The proof of a zone, with this person's own readings named.
fn of_zone(form: &mut Form<'_>, place: u64, zone: &Zone, of: ProofOf) -> Option<Body> {
    let test = DeadTest::of(form.state, form.sheets, form.who, zone, form.device.now);
    let readings = test.map(|test| test.readings).unwrap_or_default();
    Some(Body::Proof(ProofMade { proof: form.fresh("proof", place)?, of, readings }))
}

pub(super) fn prove_dead(form: &mut Form<'_>) -> Bodies {
    let of = match form.state.work_zone() {
        Some(Zone::MeterBase { service }) => ProofOf::Dead { service },
        Some(Zone::PadBus { pad }) => ProofOf::BusDead { pad },
        Some(Zone::LiftedLegs { .. }) | None => return form.lacking("unfit-no-zone"),
    };
    let zone = form.state.work_zone()?;
    Some(vec![of_zone(form, 0, &zone, of)?])
}

pub(super) fn prove_by_opening(form: &mut Form<'_>) -> Bodies {
    let service = form.target()?.clone();
    let set = form.set_in_hand()?;
    let of = ProofOf::Opening { service, pad: set.pad, position: set.position };
    Some(vec![proof(form, 0, of)?])
}

/// The lifted ends are dead, and shorted to neutral.
pub(super) fn short(form: &mut Form<'_>) -> Bodies {
    let set = form.set_in_hand()?;
    let (pad, position) = (set.pad, set.position);
    let of = ProofOf::Lifted { pad: pad.clone(), position: position.clone() };
    let zone = Zone::LiftedLegs { pad: pad.clone(), position: position.clone() };
    let proven = of_zone(form, 0, &zone, of)?;
    Some(vec![proven, done(form, Operation::SetShorted { pad, position })])
}

pub(super) fn prove_live(form: &mut Form<'_>) -> Bodies {
    let service = form.target()?.clone();
    Some(vec![proof(form, 0, ProofOf::Live { service })?])
}
