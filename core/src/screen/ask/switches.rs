//! Acts on switches, locks, tags, tanks and grounds: for plans that open more than legs.

use std::collections::BTreeSet;

use super::{
    form::{Form, Pick, named},
    opening::done,
};
use crate::{
    event::{Body, Operation},
    plant::SwitchState,
    quantity::{AssetId, NodeId},
};

type Bodies = Option<Vec<Body>>;

/// Switches near the job that stand so now.
fn switches(form: &Form<'_>, wanted: SwitchState) -> Vec<Pick<AssetId>> {
    let stands = |switch: &&AssetId| {
        form.state.is_open(form.sheets, switch) == (wanted == SwitchState::Open)
    };
    form.near_switches().iter().filter(stands).take(60).cloned().map(named).collect()
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
    let measured = Operation::LoopPointMeasured { switch: switch?, across_volts: volts? };
    Some(vec![done(form, measured)])
}

/// Locks and tags what was opened, in one go.
pub(super) fn lock_and_tag(form: &mut Form<'_>) -> Bodies {
    form.evidence()?;
    let picks = switches(form, SwitchState::Open);
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

/// Nodes where a ground may be put: the bus and the bushings of the pads near, and the base.
fn nodes(form: &Form<'_>) -> Vec<Pick<NodeId>> {
    let plant = form.sheets.plant;
    let pads: BTreeSet<&AssetId> = form.near_pads().iter().collect();
    let mut nodes: BTreeSet<NodeId> = BTreeSet::new();
    for unit in plant.transformers.values().filter(|unit| pads.contains(&unit.pad)) {
        nodes.extend([unit.primary.clone(), unit.secondary.clone()]);
    }
    for switch in plant.switches.values() {
        if switch.pad.as_ref().is_some_and(|pad| pads.contains(pad)) {
            nodes.extend([switch.from.clone(), switch.to.clone()]);
        }
    }
    nodes.into_iter().take(60).map(named).collect()
}

pub(super) fn put_ground(form: &mut Form<'_>) -> Bodies {
    form.evidence()?;
    let picks = nodes(form);
    let node = form.one("ask-node", picks, "unfit-no-node")?;
    Some(vec![done(form, Operation::Grounded { node })])
}

pub(super) fn take_ground(form: &mut Form<'_>) -> Bodies {
    let on = form.state.physical.grounds.keys().cloned().map(named).collect();
    let node = form.one("ask-node", on, "unfit-no-ground")?;
    Some(vec![done(form, Operation::GroundRemoved { node })])
}
