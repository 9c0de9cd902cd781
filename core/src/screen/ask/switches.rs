//! Acts on switches and what flows through them, locks, tags, tanks and grounds: for plans that open more than legs.

use std::collections::BTreeSet;

use super::{
    form::{Form, Pick, named},
    opening::done,
    scene::VOLTMETERS,
};
use crate::{
    event::{AmpsRead, Body, Operation},
    plant::{Conductor, SwitchState, derived},
    quantity::{AssetId, Decimal, InstrumentId},
    reading::{AmpsReading, InstrumentClass},
};

type Bodies = Option<Vec<Body>>;

/// Switches near the job that stand so now.
fn switches(form: &Form<'_>, wanted: SwitchState) -> Vec<Pick<AssetId>> {
    let stands = |switch: &&AssetId| {
        form.state.is_open(form.sheets, switch) == (wanted == SwitchState::Open)
    };
    form.near_switches().iter().filter(stands).take(60).cloned().map(named).collect()
}

/// One current through something that is to be opened: each is written down when it is read.
pub(super) fn read_load(form: &mut Form<'_>) -> Bodies {
    form.evidence()?;
    let picks = switches(form, SwitchState::Closed);
    let branch = form.one("ask-switch", picks, "unfit-no-switch");
    let phases = vec![
        form.pick("L1", "choice-phase-first", Conductor::L1),
        form.pick("L2", "choice-phase-second", Conductor::L2),
        form.pick("L3", "choice-phase-third", Conductor::L3),
    ];
    let conductor = form.one("ask-phase", phases, "unfit-not-now");
    let clamps = clamps(form);
    let instrument = form.one("ask-clamp", clamps, "unfit-no-instrument");
    let amps = form.number("ask-amps", "A");
    let reading = AmpsReading { conductor: Some(conductor?), amps: amps?, instrument: instrument? };
    Some(vec![Body::Amps(AmpsRead { branch: branch?, reading })])
}

/// Clamps with the volts they are made for, which a primary asks of them; the highest first.
fn clamps(form: &mut Form<'_>) -> Vec<Pick<InstrumentId>> {
    let own = form.instruments(&[InstrumentClass::Clamp]);
    let Some(evidence) = form.evidence() else { return Vec::new() };
    let volts_of = |id: &InstrumentId| evidence.instruments.get(id).map(|it| it.category_volts);
    let mut rated: Vec<(Decimal, Pick<InstrumentId>)> = own
        .into_iter()
        .filter_map(|pick| {
            let volts = volts_of(&pick.means)?;
            let places = [("clamp", pick.value.as_str()), ("volts", &volts.to_string())];
            let label = form.words.say("choice-clamp", &places);
            Some((volts, Pick { label, ..pick }))
        })
        .collect();
    rated.sort_by(|(one, _), (other, _)| other.to_f64().total_cmp(&one.to_f64()));
    rated.into_iter().map(|(_, pick)| pick).collect()
}

pub(super) fn open(form: &mut Form<'_>) -> Bodies {
    form.evidence()?;
    let picks = switches(form, SwitchState::Closed);
    let switch = form.one("ask-switch", picks, "unfit-no-switch")?;
    Some(vec![done(form, Operation::SwitchOpened { switch })])
}

pub(super) fn close(form: &mut Form<'_>) -> Bodies {
    form.evidence()?;
    let picks = switches(form, SwitchState::Open);
    let switch = form.one("ask-switch", picks, "unfit-no-switch")?;
    Some(vec![done(form, Operation::SwitchClosed { switch })])
}

pub(super) fn measure_loop(form: &mut Form<'_>) -> Bodies {
    form.evidence()?;
    let picks = switches(form, SwitchState::Open);
    let switch = form.one("ask-switch", picks, "unfit-no-switch");
    let volts = form.number("ask-volts-across", "V");
    let instrument = form.instrument("ask-tester", VOLTMETERS);
    let measured = Operation::LoopPointMeasured {
        switch: switch?,
        across_volts: volts?,
        instrument: Some(instrument?),
    };
    Some(vec![done(form, measured)])
}

/// Meters, mains and own sources that are off now, by the names the plan has for them.
fn off_at_customers(form: &Form<'_>) -> BTreeSet<AssetId> {
    let physical = &form.state.physical;
    let out = physical.meter_out.as_ref().and(form.state.target()).into_iter();
    let open = physical.mains.iter().filter(|(_, main)| main.open);
    let off = physical.sources.iter().filter(|(_, sources)| sources.off);
    let sources = off.flat_map(|(service, _)| {
        let known = form.sheets.plant.services.get(service).map_or(0, |s| s.sources.len());
        (1..=known).map(move |number| derived::source(service, number))
    });
    let meters = out.map(derived::meter);
    let mains = open.map(|(service, _)| derived::main(service));
    meters.chain(mains).chain(sources).flatten().collect()
}

/// Locks and tags what was opened, in one go.
pub(super) fn lock_and_tag(form: &mut Form<'_>) -> Bodies {
    form.evidence()?;
    let mut picks: Vec<_> = off_at_customers(form).into_iter().map(named).collect();
    picks.extend(switches(form, SwitchState::Open));
    let what = form.one("ask-switch", picks, "unfit-no-switch")?;
    Some(vec![
        done(form, Operation::Locked { what: what.clone() }),
        done(form, Operation::Tagged { what }),
    ])
}

/// Takes off what of lock and tag is on.
pub(super) fn take_lock(form: &mut Form<'_>) -> Bodies {
    let (locks, tags) = (&form.state.physical.locks, &form.state.physical.tags);
    let on: BTreeSet<&AssetId> = locks.keys().chain(tags.keys()).collect();
    let picks = on.into_iter().cloned().map(named).collect();
    let what = form.one("ask-switch", picks, "unfit-nothing-locked")?;
    let mut off = Vec::new();
    if tags.contains_key(&what) {
        off.push(done(form, Operation::TagRemoved { what: what.clone() }));
    }
    if locks.contains_key(&what) {
        off.push(done(form, Operation::LockRemoved { what }));
    }
    Some(off)
}

pub(super) fn relieve(form: &mut Form<'_>) -> Bodies {
    let pads = form.pads();
    let pad = form.one("ask-pad", pads, "unfit-no-pad")?;
    Some(vec![done(form, Operation::PressureRelieved { pad })])
}

pub(super) fn put_ground(form: &mut Form<'_>) -> Bodies {
    form.evidence()?;
    let nodes = form.state.may_be_grounded(form.sheets, form.device.now);
    let picks = nodes.into_iter().map(named).collect();
    let node = form.one("ask-node", picks, "unfit-no-node")?;
    Some(vec![done(form, Operation::Grounded { node })])
}

pub(super) fn take_ground(form: &mut Form<'_>) -> Bodies {
    let on = form.state.physical.grounds.keys().cloned().map(named).collect();
    let node = form.one("ask-node", on, "unfit-no-ground")?;
    Some(vec![done(form, Operation::GroundRemoved { node })])
}
