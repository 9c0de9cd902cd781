//! One voltage at a time: each is written down when it is read, so that its instant is true.

use super::{
    form::{Form, WORDS},
    scene::VOLTMETERS,
};
use crate::{
    event::{Body, VoltsRead},
    plant::{Conductor, Pair},
    proof::{Point, Zone},
    quantity::InstrumentId,
    reading::{Place, VoltsReading, is_fresh},
    screen::points::{self, DeadTest, Next},
};

type Bodies = Option<Vec<Body>>;

/// Asks for the volts at a point and writes them down.
fn at_point(form: &mut Form<'_>, point: &Point, tester: Option<InstrumentId>) -> Bodies {
    let label = points::label(point, form.words);
    let volts = form.number_at(&points::field(point), &label, "V");
    let instrument = tester.or_else(|| form.instrument("ask-tester", VOLTMETERS));
    Some(vec![Body::Volts(VoltsRead {
        reading: VoltsReading {
            place: point.place.clone(),
            between: point.between,
            volts: volts?,
            instrument: instrument?,
        },
    })])
}

/// Asks for what the tester shows on a known source.
pub(super) fn check(form: &mut Form<'_>, tester: Option<InstrumentId>) -> Bodies {
    let known = form.state.volts.iter().rev().find_map(|taken| match &taken.taken.reading.place {
        Place::KnownSource { what } if taken.person == *form.who => Some(what.clone()),
        _ => None,
    });
    let what = known.or_else(|| form.text("ask-known-source", WORDS));
    let place = Place::KnownSource { what: what.unwrap_or_default() };
    let point = Point { place, between: Pair(Conductor::L1, Conductor::N) };
    at_point(form, &point, tester)
}

/// The next check or point of this person's test of a zone.
fn next_of(form: &mut Form<'_>, zone: &Zone) -> Bodies {
    let (state, sheets) = (form.state, form.sheets);
    let Some(test) = DeadTest::of(state, sheets, form.who, zone, form.device.now) else {
        return form.lacking("unfit-job-not-open");
    };
    match test.next {
        // A tester may be changed where a test begins, and nowhere else.
        Next::Check if test.readings.is_empty() => check(form, None),
        Next::Check => check(form, test.tester),
        Next::Point(point) => at_point(form, &point, test.tester),
        Next::Nothing => form.lacking("unfit-all-read"),
    }
}

pub(super) fn next_point(form: &mut Form<'_>) -> Bodies {
    match form.state.work_zone() {
        Some(zone) => next_of(form, &zone),
        None => form.lacking("unfit-no-zone"),
    }
}

/// The lifted ends of the set in hand.
pub(super) fn lifted_zone(form: &mut Form<'_>) -> Option<Zone> {
    let set = form.set_in_hand()?;
    Some(Zone::LiftedLegs { pad: set.pad, position: set.position })
}

pub(super) fn next_lifted(form: &mut Form<'_>) -> Bodies {
    let zone = lifted_zone(form)?;
    next_of(form, &zone)
}

/// The leg of the base that was not read for longest.
pub(super) fn base(form: &mut Form<'_>) -> Bodies {
    let legs = points::legs_at(&points::base(form.target()?), form.legs());
    least_lately(form, &legs)
}

/// The leg of the pad's bus that was not read for longest.
pub(super) fn bus(form: &mut Form<'_>) -> Bodies {
    let pad = form.set_in_hand()?.pad;
    let legs = points::legs_at(&Place::PadBus { pad }, form.legs());
    least_lately(form, &legs)
}

/// Whether one of this person's testers was shown live lately: without that a dead reading of it
/// counts for nothing.
pub(super) fn shown_right(form: &mut Form<'_>) -> bool {
    let (state, sheets, now) = (form.state, form.sheets, form.device.now);
    let proven = |tester: &InstrumentId| {
        let proven = state.evidence.as_ref().and_then(|evidence| evidence.proven.get(tester));
        let window = sheets.rules.instrument_proven();
        proven.is_some_and(|proven| is_fresh(now, proven, window, sheets.rules))
    };
    form.instruments(VOLTMETERS).iter().any(|tester| proven(&tester.means))
}

fn least_lately(form: &mut Form<'_>, legs: &[Point]) -> Bodies {
    if !shown_right(form) {
        return check(form, None);
    }
    let volts: Vec<_> = form.state.volts.iter().collect();
    match points::least_lately(legs, &volts) {
        Some(point) => at_point(form, point, None),
        None => form.lacking("unfit-job-not-open"),
    }
}

/// The next pair of the restored supply; the tester on a known source where that is too long ago.
pub(super) fn supply(form: &mut Form<'_>) -> Bodies {
    let (state, sheets, now) = (form.state, form.sheets, form.device.now);
    let Some(all) = points::supply_points(state, sheets) else {
        return form.lacking("unfit-job-not-open");
    };
    if !shown_right(form) {
        return check(form, None);
    }
    let read = points::supply_read(state, &all, sheets, now);
    match all.get(read.len()).or(all.first()) {
        Some(point) => at_point(form, point, None),
        None => form.lacking("unfit-job-not-open"),
    }
}
