//! Acts of the coded load step: the doer draws and switches, the pad writes keys, the doer opens.
//!
//! The code is drawn on the doer's device by its own chance and stays there, as a secret, until the
//! last slot is over. What stands on record before is the seal alone.

use super::{
    form::{Form, Pick, WORDS},
    premises::sighting,
};
use crate::{
    event::{Body, SwitchingRunBegun, SwitchingRunEnded},
    quantity::{PlacementId, RunId},
    sighting::{
        BeforeAfter, DrawnCode, Limits, Placement, Run, Seen, Slot, SlotKey, SlotReading,
        draw_code, seal,
    },
};

type Bodies = Option<Vec<Body>>;

/// Where the code of a run is kept on its doer's device.
pub(in super::super) fn secret_name(run: &RunId) -> String {
    format!("run:{run}")
}

/// A code with its salt, as it is kept: one letter a slot, a colon, the salt.
fn secret(code: &[Slot], salt: &str) -> String {
    let letter = |slot: &Slot| match slot {
        Slot::Change => 'c',
        Slot::Hold => 'h',
    };
    code.iter().map(letter).chain([':']).chain(salt.chars()).collect()
}

/// The code and salt that were kept.
pub(in super::super) fn kept(text: &str) -> Option<(Vec<Slot>, String)> {
    let (letters, salt) = text.split_once(':')?;
    let slot = |letter: char| match letter {
        'c' => Some(Slot::Change),
        'h' => Some(Slot::Hold),
        _ => None,
    };
    Some((letters.chars().map(slot).collect::<Option<Vec<_>>>()?, salt.to_owned()))
}

pub(super) fn begin(form: &mut Form<'_>) -> Bodies {
    let stay = form.own_stay()?;
    if form.open_run_in(&stay).is_some() {
        return form.lacking("unfit-run-open");
    }
    let outlet = form.text("ask-outlet", WORDS);
    let load_amps = form.number("ask-load-amps", "A");
    let tolerance = form.number("ask-load-tolerance", "%");
    let (outlet, load_amps, load_tolerance_percent) = (outlet?, load_amps?, tolerance?);
    let limits = Limits::from(form.sheets.rules);
    let Some(DrawnCode { code, salt, size_slot }) = draw_code(form.device.chance, &limits) else {
        return form.lacking("unfit-no-chance");
    };
    let run: RunId = form.fresh("run", 0)?;
    form.keep(secret_name(&run), secret(&code, &salt));
    Some(vec![Body::SwitchingRunBegun(SwitchingRunBegun {
        run,
        stay,
        outlet,
        load_amps,
        load_tolerance_percent,
        sealed: seal(&code, &salt).parse().ok()?,
        size_slot,
    })])
}

pub(super) fn end(form: &mut Form<'_>) -> Bodies {
    let who = form.who;
    let mut own = form.evidence()?.runs.values().rev();
    let Some(run) = own.find(|run| run.doer == *who && run.ended.is_none()) else {
        return form.lacking("unfit-no-own-run");
    };
    let text = form.device.secrets.get(&secret_name(&run.id));
    let Some((code, salt)) = text.and_then(|text| kept(text)) else {
        return form.lacking("unfit-code-elsewhere");
    };
    Some(vec![Body::SwitchingRunEnded(SwitchingRunEnded { run: run.id.clone(), code, salt })])
}

/// The placements this person may read a run on, the newest first.
fn placements(form: &mut Form<'_>, run: &Run) -> Vec<Pick<PlacementId>> {
    let words = form.words;
    let Some(evidence) = form.evidence() else { return Vec::new() };
    let read = |placement: &PlacementId| {
        evidence.sightings.values().any(|sighting| {
            matches!(&sighting.seen, Seen::LoadStep { run: of, placement: on, .. }
                if on == placement && of != &run.id)
        })
    };
    // Nearest in time first; a placement of another run may be read once more, and comes last.
    let mut all: Vec<&Placement> =
        evidence.placements.values().filter(|placement| placement.leg.is_some()).collect();
    all.sort_by_key(|placement| {
        (read(&placement.id), std::cmp::Reverse(placement.at.wall_ms), placement.id.clone())
    });
    let pick = |placement: &Placement| {
        let set = evidence_set(evidence, placement);
        let leg = placement.leg.map(|leg| leg.to_string()).unwrap_or_default();
        let places = [("set", set.as_str()), ("leg", leg.as_str())];
        Pick {
            value: placement.id.to_string(),
            label: words.say("choice-placement", &places),
            means: placement.id.clone(),
        }
    };
    all.into_iter().take(8).map(pick).collect()
}

fn evidence_set(evidence: &crate::sighting::Evidence, placement: &Placement) -> String {
    let set = crate::sighting::resolve(evidence, &placement.pad, &placement.handle);
    set.map_or_else(|| placement.pad.to_string(), |set| crate::form::name(&set))
}

pub(super) fn write_keys(form: &mut Form<'_>) -> Bodies {
    let run = form.others_run()?;
    let picks = placements(form, run);
    let placement = form.one("ask-placement", picks, "unfit-no-placement");
    let load_off_amps = form.number("ask-load-off-amps", "A");
    let count = Limits::from(form.sheets.rules).slots;
    let mut keys = Vec::new();
    for slot in 0..count {
        let shown = (slot + 1).to_string();
        let label = form.words.say("ask-slot", &[("slot", &shown)]);
        let choices = vec![
            form.pick("rose", "key-rose", SlotKey::Rose),
            form.pick("fell", "key-fell", SlotKey::Fell),
            form.pick("same", "key-same", SlotKey::Same),
        ];
        let key = form.one_at(&format!("slot-{shown}"), &label, choices, "unfit-not-now");
        let amps = if slot == usize::from(run.size_slot) {
            let before = form.number("ask-before-amps", "A");
            let after = form.number("ask-after-amps", "A");
            before
                .zip(after)
                .map(|(before_amps, after_amps)| Some(BeforeAfter { before_amps, after_amps }))
        } else {
            Some(None)
        };
        keys.push(key.zip(amps).map(|(key, amps)| SlotReading { key, amps }));
    }
    let slots = keys.into_iter().collect::<Option<Vec<_>>>()?;
    let seen = Seen::LoadStep {
        run: run.id.clone(),
        placement: placement?,
        load_off_amps: load_off_amps?,
        slots,
    };
    Some(vec![sighting(form, 0, seen)?])
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::rule_sheet::RuleSheet;

    proptest! {
        #[test]
        fn every_code_is_kept_as_it_was_drawn(chance: [u8; 32]) {
            let limits = Limits::from(&RuleSheet::default());
            let DrawnCode { code, salt, .. } = draw_code(&chance, &limits).unwrap();
            prop_assert_eq!(kept(&secret(&code, &salt)), Some((code, salt)));
        }
    }

    #[test]
    fn what_was_not_kept_here_is_no_code() {
        for text in ["", "ch", "cx:00", "c h:00"] {
            assert_eq!(kept(text), None, "{text}");
        }
    }
}
