//! Acts that open: main and own sources, meter, legs.

use super::{
    form::{Form, NAME, Pick, named},
    premises::sighting,
};
use crate::{
    event::{
        Body, Bypass, MeterPulled, Operation, OperationDone, OwnSources, ProofMade, ProofOf,
        RotationRead,
    },
    plant::{Conductor, Metering},
    proof::Rotation,
    reading::InstrumentClass,
    sighting::{Seen, SetAt},
};

type Bodies = Option<Vec<Body>>;

/// An operation that is done, to make safe where the job is stopped.
pub(super) fn done(form: &Form<'_>, operation: Operation) -> Body {
    Body::Operation(OperationDone { operation, making_safe: form.state.stopped.is_some() })
}

pub(super) fn open_main(form: &mut Form<'_>) -> Bodies {
    let service = form.target()?.clone();
    Some(vec![done(form, Operation::MainOpened { service })])
}

/// The customer's own sources are switched off; who is at the premises has seen it, too.
pub(super) fn sources_off(form: &mut Form<'_>) -> Bodies {
    let service = form.target()?.clone();
    let off = done(form, Operation::SourcesOff { service });
    let who = form.who;
    let mut stays = form.evidence()?.stays.values().rev();
    let own = stays.find(|stay| stay.person == *who && stay.is_open());
    match own.map(|stay| stay.id.clone()) {
        Some(stay) => {
            let seen = sighting(form, 1, Seen::SourcesOff { stay })?;
            Some(vec![off, seen])
        }
        None => Some(vec![off]),
    }
}

pub(super) fn pull_meter(form: &mut Form<'_>) -> Bodies {
    let stay = form.own_stay()?;
    let number = form.text("ask-number-in-hand", NAME);
    let meter_form = form.text("ask-meter-form", NAME);
    let bypasses = vec![
        form.pick("none", "choice-bypass-none", Bypass::None),
        form.pick("lever-open", "choice-bypass-open", Bypass::LeverOpen),
        form.pick("lever-closed", "choice-bypass-closed", Bypass::LeverClosed),
    ];
    let bypass = form.one("ask-bypass", bypasses, "unfit-not-now");
    let main_open = form.yes_no("ask-main-open");
    let sources = vec![
        form.pick("none-found", "choice-sources-none", OwnSources::NoneFound),
        form.pick("off", "choice-sources-off", OwnSources::Off),
        form.pick("not-ruled-out", "choice-sources-open", OwnSources::NotRuledOut),
    ];
    let own_sources = form.one("ask-own-sources", sources, "unfit-not-now");
    let damage_or_heat = form.yes_no("ask-damage-or-heat");
    let meterings = vec![
        form.pick("self-contained", "choice-self-contained", Metering::SelfContained),
        form.pick("ct", "choice-ct", Metering::Ct),
    ];
    let metering = form.one("ask-metering", meterings, "unfit-not-now");
    Some(vec![Body::MeterPulled(MeterPulled {
        deed: form.fresh("d", 0)?,
        stay,
        number_in_hand: Some(number?),
        form: meter_form?,
        bypass: bypass?,
        main_open: main_open?,
        own_sources: own_sources?,
        damage_or_heat: damage_or_heat?,
        metering: metering?,
    })])
}

pub(super) fn read_rotation(form: &mut Form<'_>) -> Bodies {
    let service = form.target()?.clone();
    let rotations = vec![
        form.pick("clockwise", "choice-clockwise", Rotation::Clockwise),
        form.pick("counterclockwise", "choice-counterclockwise", Rotation::Counterclockwise),
    ];
    let rotation = form.one("ask-rotation", rotations, "unfit-not-now");
    let instrument = form.instrument("ask-rotation-meter", &[InstrumentClass::PhaseRotation]);
    Some(vec![Body::RotationRead(RotationRead {
        service,
        rotation: rotation?,
        instrument: instrument?,
    })])
}

pub(super) fn lift(form: &mut Form<'_>) -> Bodies {
    let in_hand = form.state.set_in_hand().cloned();
    let picks = form.handles(in_hand.as_ref());
    let found = form.one("ask-set", picks, "unfit-no-marks");
    let lifted = in_hand.as_ref().map(|set| form.state.physical.lifted_of(set)).unwrap_or_default();
    let on_lug: Vec<Pick<Conductor>> =
        form.legs().iter().copied().filter(|leg| !lifted.contains(leg)).map(named).collect();
    let leg = form.one("ask-leg", on_lug, "unfit-all-lifted");
    let runs = form.count("ask-runs-lifted");
    let loosened = form.number("ask-loosened-amps", "A");
    let (pad, handle) = found?;
    let (leg, runs, loosened_amps) = (leg?, runs?, loosened?);
    let operation = Operation::LegLifted { pad, handle, leg, runs, loosened_amps };
    // Lifting makes nothing safe: never marked so.
    Some(vec![Body::Operation(OperationDone { operation, making_safe: false })])
}

/// Lifted ends, those that are not made safe yet first.
fn ends(form: &Form<'_>) -> Vec<Pick<(SetAt, Conductor)>> {
    let mut ends: Vec<(bool, SetAt, Conductor)> = Vec::new();
    for (set, legs) in &form.state.physical.legs {
        for (leg, end) in legs {
            let safe = end.capped.is_some() && end.restrained.is_some() && end.tagged.is_some();
            ends.push((safe, set.clone(), *leg));
        }
    }
    ends.retain(|(safe, ..)| !safe);
    let pick = |(_, set, leg): (bool, SetAt, Conductor)| {
        let places = [("set", crate::form::name(&set)), ("leg", leg.to_string())];
        let places = places.each_ref().map(|(name, text)| (*name, text.as_str()));
        Pick {
            value: format!("{}:{}:{leg}", set.pad, set.position),
            label: form.words.say("choice-end", &places),
            means: (set, leg),
        }
    };
    ends.into_iter().map(pick).collect()
}

/// One lifted end capped, restrained and tagged in one go.
pub(super) fn secure(form: &mut Form<'_>) -> Bodies {
    let picks = ends(form);
    let (SetAt { pad, position }, leg) = form.one("ask-end", picks, "unfit-nothing-loose")?;
    let (one, other) = (pad.clone(), position.clone());
    Some(vec![
        done(form, Operation::LegCapped { pad: pad.clone(), position: position.clone(), leg }),
        done(form, Operation::LegRestrained { pad, position, leg }),
        done(form, Operation::LegTagged { pad: one, position: other, leg }),
    ])
}

/// Exactly the lifted leg died at the base, and the bus lives.
pub(super) fn check_leg(form: &mut Form<'_>) -> Bodies {
    let service = form.target()?.clone();
    let set = form.set_in_hand()?;
    let lifted = form.state.physical.lifted_of(&set);
    let checked = form.state.proofs.checked.get(&set).cloned().unwrap_or_default();
    let Some(&leg) = lifted.iter().find(|leg| !checked.contains(leg)) else {
        return form.lacking("unfit-no-leg-to-check");
    };
    let of = ProofOf::OneLeg { service, pad: set.pad, position: set.position, leg };
    Some(vec![proof(form, 0, of)?])
}

/// A proof of the readings on record: the rule finds them, so that none can be left out.
pub(super) fn proof(form: &mut Form<'_>, place: u64, of: ProofOf) -> Option<Body> {
    let proof = form.fresh("proof", place)?;
    Some(Body::Proof(ProofMade { proof, of, readings: Vec::new() }))
}
