//! Acts on instruments: entered from the nameplate, shown right on something known.

use chrono::NaiveDate;

use super::form::{Form, NAME, Pick, WORDS};
use crate::{
    event::{Body, InstrumentEntered, InstrumentProven, Shown},
    quantity::{Decimal, InstrumentId},
    reading::{Accuracy, Instrument, InstrumentClass},
    rule_sheet::Category,
};

type Bodies = Option<Vec<Body>>;

/// The classes in the order they are offered, with the name in answers and the label's id.
const CLASSES: [(&str, &str, InstrumentClass); 7] = [
    ("clamp", "class-clamp", InstrumentClass::Clamp),
    ("two-pole-tester", "class-two-pole-tester", InstrumentClass::TwoPoleTester),
    (
        "low-impedance-voltmeter",
        "class-low-impedance-voltmeter",
        InstrumentClass::LowImpedanceVoltmeter,
    ),
    ("digital-multimeter", "class-digital-multimeter", InstrumentClass::DigitalMultimeter),
    (
        "primary-voltage-detector",
        "class-primary-voltage-detector",
        InstrumentClass::PrimaryVoltageDetector,
    ),
    ("insulation-tester", "class-insulation-tester", InstrumentClass::InsulationTester),
    ("phase-rotation", "class-phase-rotation", InstrumentClass::PhaseRotation),
];

const CATEGORIES: [(&str, &str, Category); 3] = [
    ("cat-iv", "category-four", Category::Four),
    ("cat-iii", "category-three", Category::Three),
    ("cat-ii", "category-two", Category::Two),
];

pub(super) fn enter(form: &mut Form<'_>) -> Bodies {
    let name = form.text("ask-instrument-name", NAME);
    let classes = CLASSES.iter().map(|(value, id, class)| form.pick(value, id, *class)).collect();
    let class = form.one("ask-instrument-class", classes, "unfit-not-now");
    let kinds = CATEGORIES.iter().map(|(value, id, cat)| form.pick(value, id, *cat)).collect();
    let category = form.one("ask-category", kinds, "unfit-not-now");
    let category_volts = form.number("ask-category-volts", "V");
    let range = form.number("ask-range", "");
    let resolution = form.number("ask-resolution", "");
    let percent = form.number("ask-accuracy-percent", "%");
    let counts = form.count("ask-accuracy-counts");
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

pub(super) fn prove(form: &mut Form<'_>) -> Bodies {
    let entered = &form.evidence()?.instruments;
    let own = form.instruments(&CLASSES.map(|(_, _, class)| class));
    let picks: Vec<Pick<&Instrument>> = own
        .into_iter()
        .filter_map(|pick| {
            let known = entered.get(&pick.means)?;
            Some(Pick { value: pick.value, label: pick.label, means: known })
        })
        .filter(|pick| can_be_held(pick.means.class))
        .collect();
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

/// Whether there is something known that an instrument of this class is held to here.
fn can_be_held(class: InstrumentClass) -> bool {
    !matches!(class, InstrumentClass::PrimaryVoltageDetector | InstrumentClass::PhaseRotation)
}

/// What an instrument of a class shows, in its unit.
fn in_unit(class: InstrumentClass, shown: Decimal, expected: Decimal) -> Option<Shown> {
    match class {
        InstrumentClass::Clamp => Some(Shown::Amps { shown_amps: shown, expected_amps: expected }),
        InstrumentClass::InsulationTester => {
            Some(Shown::Megohms { shown_megohms: shown, expected_megohms: expected })
        }
        InstrumentClass::TwoPoleTester
        | InstrumentClass::LowImpedanceVoltmeter
        | InstrumentClass::DigitalMultimeter => {
            Some(Shown::Volts { shown_volts: shown, expected_volts: expected })
        }
        InstrumentClass::PrimaryVoltageDetector | InstrumentClass::PhaseRotation => None,
    }
}
