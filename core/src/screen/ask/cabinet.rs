//! Acts at an open cabinet before anything is opened: tag, fix, marks, looks, the clamp, amps, the
//! questions on a set.

use std::{collections::BTreeSet, num::NonZeroU8};

use super::{
    form::{Form, NAME, Pick, WORDS, named},
    premises::{conductor, sighting},
};
use crate::{
    event::{Answers, Body, Bolt, Enclosure, Front, MarksPut, PlacementMade},
    plant::Set,
    quantity::{AssetId, PlacementId},
    reading::InstrumentClass,
    reconcile::seen_sets,
    sighting::{End, Handle, Leg, MarkedSet, Marks, Seen},
};

type Bodies = Option<Vec<Body>>;

/// Most sets of one pad: as many as there are marks of one letter.
const MOST_SETS: usize = 26;

/// Pads to choose from, and that it is not known which one this is.
fn pads_or_unknown(form: &Form<'_>) -> Vec<Pick<Option<AssetId>>> {
    let known = form.pads().into_iter().map(|pick| Pick {
        value: pick.value,
        label: pick.label,
        means: Some(pick.means),
    });
    known.chain([form.pick("unknown", "choice-pad-unknown", None)]).collect()
}

pub(super) fn read_tag(form: &mut Form<'_>) -> Bodies {
    form.evidence()?;
    let pads = pads_or_unknown(form);
    let pad = form.one("ask-pad", pads, "unfit-no-pad");
    let pattern = form.text("ask-tag", NAME);
    let upside_down = form.yes_no("ask-tag-upside-down");
    let seen = Seen::Tag { pad: pad?, pattern: pattern?, maybe_upside_down: upside_down? };
    Some(vec![sighting(form, 0, seen)?])
}

pub(super) fn take_fix(form: &mut Form<'_>) -> Bodies {
    form.evidence()?;
    let pads = pads_or_unknown(form);
    let pad = form.one("ask-pad", pads, "unfit-no-pad");
    let lon = form.number("ask-lon", "°");
    let lat = form.number("ask-lat", "°");
    let radius = form.number("ask-radius", "m");
    let seen = Seen::Fix { pad: pad?, lon_deg: lon?, lat_deg: lat?, radius68_m: radius? };
    Some(vec![sighting(form, 0, seen)?])
}

pub(super) fn mark_sets(form: &mut Form<'_>) -> Bodies {
    form.evidence()?;
    let pads = form.pads();
    let pad = form.one("ask-pad", pads, "unfit-no-pad");
    let positions = form.text("ask-positions", WORDS);
    let positions = positions?;
    let apart = positions.split([',', ' ', ';']).filter(|position| !position.is_empty());
    let positions: Vec<&str> = apart.collect();
    let doubled = (1..positions.len()).any(|n| {
        positions.get(n).is_some_and(|one| positions.iter().take(n).any(|other| other == one))
    });
    let long = positions.iter().any(|position| position.chars().count() > NAME);
    if positions.is_empty() || positions.len() > MOST_SETS || doubled || long {
        return form.unfit("ask-positions", "unfit-positions");
    }
    let marked = ('A'..='Z').zip(&positions).map(|(mark, position)| MarkedSet {
        mark: mark.to_string(),
        position: (*position).to_owned(),
    });
    let pad = pad?;
    let marks = Marks { id: form.fresh("m", 0)?, pad: pad.clone(), sets: marked.collect() };
    let count = u16::try_from(positions.len()).ok()?;
    let counted = sighting(form, 1, Seen::SetCount { pad, count })?;
    Some(vec![Body::MarksPut(MarksPut { marks }), counted])
}

pub(super) fn look_at_set(form: &mut Form<'_>) -> Bodies {
    let picks = form.handles(None);
    let found = form.one("ask-set", picks, "unfit-no-marks");
    let looked = conductor(form);
    let ((pad, handle), (metal, size)) = (found?, looked?);
    Some(vec![sighting(form, 0, Seen::Conductor { end: End::Lug { pad, handle }, metal, size })?])
}

/// What a clamp is put round.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Jaws {
    /// A hot leg: what a switched load is seen on.
    Leg,
    /// A hot leg or the neutral.
    AnyConductor,
}

/// Where a clamp is put: set by its handle, leg, clamp.
pub(super) fn placed(form: &mut Form<'_>, jaws: Jaws) -> Option<(PlacementId, Body)> {
    let picks = form.handles(None);
    let found = form.one("ask-set", picks, "unfit-no-marks");
    let mut legs = form.leg_picks();
    // With the meter out a lift needs amps of every leg: those that lack them first.
    if let (Some(_), Some(set)) = (&form.state.physical.meter_out, form.state.set_in_hand()) {
        let stale = form.state.legs_without_amps(form.sheets, set, form.device.now);
        legs.sort_by_key(|pick| !stale.contains(&pick.means));
    }
    if jaws == Jaws::AnyConductor {
        legs.push(named(Leg::N));
    }
    let leg: Option<Leg> = form.one("ask-leg", legs, "unfit-job-not-open");
    let runs_in_jaws =
        if several_runs(form) { form.count("ask-runs-in-jaws") } else { Some(NonZeroU8::MIN) };
    let clamp = form.instrument("ask-clamp", &[InstrumentClass::Clamp]);
    let placement: PlacementId = form.fresh("pl", 0)?;
    let (pad, handle): (AssetId, Handle) = found?;
    let body = Body::Placement(PlacementMade {
        placement: placement.clone(),
        pad,
        handle,
        leg: Some(leg?),
        runs_in_jaws: runs_in_jaws?,
        instrument: clamp?,
    });
    Some((placement, body))
}

/// Whether a leg within reach has parallel runs, as somebody counted or as the map claims of a pad
/// whose sets are marked.
fn several_runs(form: &Form<'_>) -> bool {
    let counted = form.state.answers.values().any(|answers| answers.runs_per_leg > 1);
    let marked: BTreeSet<AssetId> =
        form.state.evidence.iter().flat_map(seen_sets).map(|set| set.pad).collect();
    let claimed =
        |set: &Set| set.runs > 1 && set.pad.as_ref().is_some_and(|pad| marked.contains(pad));
    counted || form.sheets.plant.sets.values().any(claimed)
}

pub(super) fn clamp(form: &mut Form<'_>) -> Bodies {
    let (_, body) = placed(form, Jaws::Leg)?;
    Some(vec![body])
}

pub(super) fn read_amps(form: &mut Form<'_>) -> Bodies {
    let placed = placed(form, Jaws::AnyConductor);
    let amps = form.number("ask-amps", "A");
    let deed = form.state.physical.meter_out.as_ref().map(|out| out.deed.clone());
    let (placement, body) = placed?;
    let read = sighting(form, 1, Seen::Amps { placement, deed, amps: amps? })?;
    Some(vec![body, read])
}

pub(super) fn answer(form: &mut Form<'_>) -> Bodies {
    let picks = form.sets();
    let set = form.one("ask-set", picks, "unfit-no-marks");
    let bolts = vec![
        form.pick("own", "choice-bolt-own", Bolt::Own),
        form.pick("shared", "choice-bolt-shared", Bolt::Shared),
    ];
    let bolt = form.one("ask-bolt", bolts, "unfit-not-now");
    let runs_per_leg = form.count("ask-runs-per-leg");
    let meters_on_set = form.count("ask-meters-on-set");
    let fronts = vec![
        form.pick("dead", "choice-front-dead", Front::Dead),
        form.pick("live", "choice-front-live", Front::Live),
    ];
    let front = form.one("ask-front", fronts, "unfit-not-now");
    let case_volts = form.number("ask-case-volts", "V");
    let wet = form.yes_no("ask-wet");
    let damage = form.yes_no("ask-cabinet-damage");
    let animals = form.yes_no("ask-animals");
    let set = set?;
    Some(vec![Body::Answers(Answers {
        pad: set.pad,
        position: set.position,
        bolt: bolt?,
        runs_per_leg: runs_per_leg?,
        meters_on_set: meters_on_set?,
        front: front?,
        enclosure: Enclosure {
            case_volts: case_volts?,
            wet: wet?,
            damage: damage?,
            animals: animals?,
        },
    })])
}
