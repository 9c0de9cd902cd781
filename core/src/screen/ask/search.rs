//! Acts that order the search, and the ways besides a coded load step: the job's sticker, the
//! billing record, a tone, cable markers, and what is not to be had.

use super::{
    cabinet::{Jaws, placed},
    form::{Form, NAME, WORDS},
    premises::{sighting, unread},
};
use crate::{
    event::{Body, ToneOn},
    quantity::AssetId,
    reading::InstrumentClass,
    reconcile::Test,
    sighting::{DeedKind, End, Handle, Lack, Seen, ToneLevel},
};

type Bodies = Option<Vec<Body>>;

/// What can be missing at premises, with the words for it.
const LACKS: [(&str, &str, Lack); 10] = [
    ("supply", "lack-supply", Lack::Supply),
    ("sound-wiring", "lack-sound-wiring", Lack::SoundWiring),
    ("entry", "lack-entry", Lack::Entry),
    ("meter-number", "lack-meter-number", Lack::MeterNumber),
    ("plate", "lack-plate", Lack::Plate),
    ("customer", "lack-customer", Lack::Customer),
    ("electrician", "lack-electrician", Lack::Electrician),
    ("sticker", "lack-sticker", Lack::Sticker),
    ("tone", "lack-tone", Lack::Tone),
    ("marker", "lack-marker", Lack::Marker),
];

pub(super) fn not_to_be_had(form: &mut Form<'_>) -> Bodies {
    let stay = form.own_stay()?;
    let picks = LACKS.map(|(value, label, lack)| form.pick(value, label, lack)).into();
    let lack = form.one("ask-lack", picks, "unfit-not-now");
    Some(vec![sighting(form, 0, Seen::Lacking { stay, lack: lack? })?])
}

pub(super) fn bare_step(form: &mut Form<'_>) -> Bodies {
    let stay = form.crews_stay()?;
    let placed = placed(form, Jaws::Leg);
    let outlet = form.text("ask-outlet", WORDS);
    let load_amps = form.number("ask-load-amps", "A");
    let off_amps = form.number("ask-load-off-amps", "A");
    let on_amps = form.number("ask-load-on-amps", "A");
    let (placement, body) = placed?;
    let (outlet, load_amps) = (outlet?, load_amps?);
    let (off_amps, on_amps) = (off_amps?, on_amps?);
    let seen = Seen::BareStep { stay, outlet, load_amps, placement, off_amps, on_amps };
    Some(vec![body, sighting(form, 1, seen)?])
}

pub(super) fn read_sticker(form: &mut Form<'_>) -> Bodies {
    let picks = unread(form, |seen| matches!(seen, Seen::Sticker { .. }));
    let picture = form.one("ask-picture", picks, "unfit-no-picture");
    let code = form.text("ask-sticker-code", NAME);
    let picture = picture?;
    let seen = Seen::Sticker {
        stay: picture.stay,
        run: picture.run,
        taken_by: picture.by,
        taken_at: picture.at,
        photo: picture.photo,
        code: code?,
    };
    Some(vec![sighting(form, 0, seen)?])
}

pub(super) fn compare_billing(form: &mut Form<'_>) -> Bodies {
    let picks = unread(form, |seen| matches!(seen, Seen::BillingRecord { .. }));
    let picture = form.one("ask-picture", picks, "unfit-no-picture");
    let picks = form.premises();
    let service = form.one("ask-billed-premises", picks, "unfit-not-now");
    let picture = picture?;
    let seen = Seen::BillingRecord {
        stay: picture.stay,
        run: picture.run,
        taken_by: picture.by,
        taken_at: picture.at,
        photo: picture.photo,
        service: service?,
    };
    Some(vec![sighting(form, 0, seen)?])
}

pub(super) fn tone_on(form: &mut Form<'_>) -> Bodies {
    let stay = form.own_stay()?;
    let instrument = form.instrument("ask-tone-set", &[InstrumentClass::ToneSet])?;
    Some(vec![Body::ToneOn(ToneOn { deed: form.fresh("d", 0)?, stay, instrument })])
}

/// The pad whose sets are compared: the one that is asked for, else the one that was marked last.
fn pad_to_compare(form: &mut Form<'_>) -> Option<AssetId> {
    let advised = form.judgement()?.settling.iter().find_map(|test| match &test.test {
        Test::Tone { pad } => Some(pad.clone()),
        _ => None,
    });
    let evidence = form.evidence()?;
    let marked = |pad: &AssetId| evidence.marks_on(pad).is_some();
    let newest = form.state.applied.iter().rev().find_map(|applied| match &applied.event.body {
        Body::MarksPut(put) if !applied.superseded => Some(put.marks.pad.clone()),
        _ => None,
    });
    advised.filter(marked).or(newest).or_else(|| form.lacking("unfit-no-marks"))
}

pub(super) fn compare_tone(form: &mut Form<'_>) -> Bodies {
    let evidence = form.evidence()?;
    let on = evidence.deeds.values().filter(|deed| deed.kind == DeedKind::ToneOn);
    let newest = on.max_by_key(|deed| (deed.at.wall_ms, &deed.id)).map(|deed| deed.id.clone());
    let Some(deed) = newest else { return form.lacking("unfit-no-tone") };
    let set_on = form.state.applied.iter().find_map(|applied| match &applied.event.body {
        Body::ToneOn(tone) if tone.deed == deed => Some(tone.instrument.clone()),
        _ => None,
    });
    let pad = pad_to_compare(form)?;
    let go = evidence.marks_on(&pad)?;
    let mut levels = Vec::new();
    for set in &go.sets {
        let mut level = |on: &str, label: &str| {
            let places = [("mark", set.mark.as_str()), ("position", &set.position)];
            let label = form.words.say(label, &places);
            form.number_at(&format!("{on}-{}", set.mark.to_lowercase()), &label, "")
        };
        let (on, off) = (level("tone-on", "ask-tone-on"), level("tone-off", "ask-tone-off"));
        let handle = Handle::Position { position: set.position.clone() };
        levels.push(on.zip(off).map(|(on_level, off_level)| ToneLevel {
            handle,
            on_level,
            off_level,
        }));
    }
    let levels = levels.into_iter().collect::<Option<Vec<_>>>()?;
    let seen = Seen::Tone { deed, instrument: set_on?, pad, levels };
    Some(vec![sighting(form, 0, seen)?])
}

pub(super) fn marker_at_base(form: &mut Form<'_>) -> Bodies {
    let stay = form.own_stay()?;
    let text = form.text("ask-marker", NAME);
    Some(vec![sighting(form, 0, Seen::Marker { end: End::Base { stay }, text: text? })?])
}

pub(super) fn marker_at_set(form: &mut Form<'_>) -> Bodies {
    let picks = form.handles(None);
    let found = form.one("ask-set", picks, "unfit-no-marks");
    let text = form.text("ask-marker", NAME);
    let (pad, handle) = found?;
    Some(vec![sighting(form, 0, Seen::Marker { end: End::Lug { pad, handle }, text: text? })?])
}
