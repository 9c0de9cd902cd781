//! Acts on instruments: entered from the nameplate, shown right on something known.

use chrono::{DateTime, NaiveDate};

use super::form::{Form, NAME, Pick, WORDS};
use crate::{
    event::{Body, InstrumentEntered, InstrumentProven, Shown},
    quantity::{Decimal, InstrumentId},
    reading::{Accuracy, Instrument, InstrumentClass, Reads, Usual},
    rule_sheet::Category,
};

type Bodies = Option<Vec<Body>>;

const CATEGORIES: [(&str, &str, Category); 3] = [
    ("cat-iv", "category-four", Category::Four),
    ("cat-iii", "category-three", Category::Three),
    ("cat-ii", "category-two", Category::Two),
];

pub(super) fn enter(form: &mut Form<'_>) -> Bodies {
    let name = form.text("ask-instrument-name", NAME);
    let classes = InstrumentClass::ALL.map(|class| as_usual(form, class)).into();
    let class = form.one("ask-instrument-class", classes, "unfit-not-now");
    let kinds = CATEGORIES.iter().map(|(value, id, cat)| form.pick(value, id, *cat)).collect();
    let category = form.one("ask-category", kinds, "unfit-not-now");
    let category_volts = form.number("ask-category-volts", "V");
    // What neither nameplate nor manual says is as usual for its class, and is written down so.
    let usual = class.map(InstrumentClass::usual);
    let of_usual = |of: fn(&Usual) -> Decimal| usual.as_ref().map(of);
    let range = form.number_or("ask-range", "", of_usual(|usual| usual.range));
    let resolution = form.number_or("ask-resolution", "", of_usual(|usual| usual.resolution));
    let percent =
        form.number_or("ask-accuracy-percent", "%", of_usual(|usual| usual.accuracy.percent));
    let usual_counts = usual.as_ref().map(|usual| usual.accuracy.counts);
    let counts = form.count_or("ask-accuracy-counts", usual_counts);
    let due = form.text("ask-calibration-due", NAME);
    let name = name?;
    let Ok(id) = InstrumentId::new(name.replace(' ', "-")) else {
        return form.unfit("ask-instrument-name", "unfit-name");
    };
    let Ok(due) = due?.parse::<NaiveDate>() else {
        return form.unfit("ask-calibration-due", "unfit-date");
    };
    // Due at the end of that day, wherever on earth the crew is: one day is no matter here.
    let calibration_due_ms = due.and_hms_opt(23, 59, 59)?.and_utc().timestamp_millis();
    Some(vec![Body::Instrument(InstrumentEntered {
        instrument: Instrument {
            id,
            class: class?,
            category: category?,
            category_volts: category_volts?,
            range: range?,
            resolution: resolution?,
            accuracy: Accuracy { percent: percent?, counts: counts? },
            calibration_due_ms,
        },
    })])
}

/// One that the device keeps and the job lacks. It stands in the job as if it had been typed; whether
/// it reads right is still to be shown there.
pub(super) fn own(form: &mut Form<'_>) -> Bodies {
    let entered = &form.evidence()?.instruments;
    let device = form.device;
    let (clamp, now_ms) = (clamp_is_lacking(form), device.now.wall_ms);
    let mut own: Vec<&Instrument> =
        device.instruments.iter().filter(|one| !entered.contains_key(&one.id)).collect();
    // What the next step waits for comes first, what is overdue last.
    own.sort_by_key(|one| {
        let waited = clamp && one.class == InstrumentClass::Clamp;
        (one.calibration_due_ms < now_ms, !waited, &one.id)
    });
    let picks = own.into_iter().map(|one| as_kept(form, one)).collect();
    let instrument = form.one("ask-own-instrument", picks, "unfit-no-own-instrument")?;
    Some(vec![Body::Instrument(InstrumentEntered { instrument: instrument.clone() })])
}

/// Whether the job has no clamp yet.
fn clamp_is_lacking(form: &Form<'_>) -> bool {
    let entered = form.state.evidence.iter().flat_map(|evidence| evidence.instruments.values());
    !entered.into_iter().any(|one| one.class == InstrumentClass::Clamp)
}

/// A kept instrument to choose: what it is, and until when it is calibrated.
fn as_kept<'a>(form: &Form<'_>, one: &'a Instrument) -> Pick<&'a Instrument> {
    let overdue = one.calibration_due_ms < form.device.now.wall_ms;
    let id = if overdue { "choice-own-overdue" } else { "choice-own" };
    let kind = form.words.plain(&format!("class-{}", one.class.name())).text;
    let due = DateTime::from_timestamp_millis(one.calibration_due_ms)
        .map_or_else(|| "?".to_owned(), |due| due.format("%Y-%m-%d").to_string());
    let places = [("name", one.id.as_str()), ("kind", &kind), ("due", &due)];
    Pick { value: one.id.to_string(), label: form.words.say(id, &places), means: one }
}

/// A class to choose, with what is usual for it, so that nobody leaves a field empty unseen.
fn as_usual(form: &Form<'_>, class: InstrumentClass) -> Pick<InstrumentClass> {
    let kind = form.words.plain(&format!("class-{}", class.name()));
    let Usual { range, resolution, accuracy, calibration_months } = class.usual();
    let unit = if class.unit().is_empty() { String::new() } else { format!(" {}", class.unit()) };
    let label = form.words.say(
        "class-as-usual",
        &[
            ("kind", &kind.text),
            ("range", &range.to_string()),
            ("unit", &unit),
            ("step", &resolution.to_string()),
            ("percent", &accuracy.percent.to_string()),
            ("counts", &accuracy.counts.to_string()),
            ("months", &calibration_months.to_string()),
        ],
    );
    Pick { value: class.name().to_owned(), label, means: class }
}

pub(super) fn prove(form: &mut Form<'_>) -> Bodies {
    let entered = &form.evidence()?.instruments;
    let own = form.instruments(&InstrumentClass::ALL);
    let mut picks: Vec<Pick<&Instrument>> = own
        .into_iter()
        .filter_map(|pick| {
            let known = entered.get(&pick.means)?;
            Some(Pick { value: pick.value, label: pick.label, means: known })
        })
        .filter(|pick| can_be_held(pick.means.class))
        .collect();
    // What the next step waits for comes first: the clamp before a lift, else what nobody has shown.
    let clamp = clamp_is_waited_for(form);
    let shown = &form.evidence()?.proven;
    picks.sort_by_key(|pick| {
        let waited = clamp && pick.means.class == InstrumentClass::Clamp;
        (!waited, shown.contains_key(&pick.means.id))
    });
    let instrument = form.one("ask-instrument", picks, "unfit-no-instrument");
    let known = form.text("ask-known", WORDS);
    let tolerance = form.number("ask-known-tolerance", "%");
    let shown = form.number("ask-shown", "");
    let expected = form.number("ask-expected", "");
    let instrument = instrument?;
    Some(vec![Body::InstrumentProven(InstrumentProven {
        instrument: instrument.id.clone(),
        known: known?,
        known_tolerance_percent: tolerance?,
        shown: in_unit(instrument.class, shown?, expected?)?,
    })])
}

/// Whether a lift waits for the clamp to be on a load again.
fn clamp_is_waited_for(form: &Form<'_>) -> bool {
    form.state.physical.meter_out.is_some()
        && form
            .state
            .set_in_hand()
            .is_some_and(|set| form.state.waits_for_clamp(form.sheets, set, form.device.now))
}

/// Whether there is something known that an instrument of this class is held to here.
fn can_be_held(class: InstrumentClass) -> bool {
    in_unit(class, Decimal::scaled(0, 0), Decimal::scaled(0, 0)).is_some()
}

/// What an instrument of a class shows, in its unit; none where nothing known is held to it here.
fn in_unit(class: InstrumentClass, shown: Decimal, expected: Decimal) -> Option<Shown> {
    match class.reads() {
        Reads::Volts => Some(Shown::Volts { shown_volts: shown, expected_volts: expected }),
        Reads::Amps => Some(Shown::Amps { shown_amps: shown, expected_amps: expected }),
        Reads::Megohms => Some(Shown::Megohms { shown_megohms: shown, expected_megohms: expected }),
        Reads::Level | Reads::Presence | Reads::Rotation => None,
    }
}
