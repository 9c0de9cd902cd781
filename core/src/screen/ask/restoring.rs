//! Acts that restore: short off, insulation, neutral, legs landed, supply proven, meter set.

use super::{
    form::{Form, NAME, Pick, named},
    opening::done,
    readings,
    scene::VOLTMETERS,
};
use crate::{
    event::{Body, MeterSet, NeutralTested, OhmsRead, Operation},
    plant::{Conductor, Pair},
    proof::NeutralTest,
    reading::{AmpsReading, InstrumentClass, OhmsReading},
    sighting::SetAt,
    words::Sentence,
};

type Bodies = Option<Vec<Body>>;

pub(super) fn remove_short(form: &mut Form<'_>) -> Bodies {
    let shorted = form.state.physical.shorts.keys().map(|set| {
        let text = crate::form::name(set);
        let mut pick = named(text);
        pick.value = format!("{}:{}", set.pad, set.position);
        Pick { value: pick.value, label: pick.label, means: set.clone() }
    });
    let shorted = shorted.collect();
    let set = form.one_of_several("ask-set", shorted, "unfit-no-short")?;
    let SetAt { pad, position } = set;
    Some(vec![done(form, Operation::ShortRemoved { pad, position })])
}

/// Every pair of hot legs and each leg to neutral.
fn insulation_pairs(legs: &[Conductor]) -> Vec<Pair> {
    let mut pairs = Vec::new();
    for (n, &one) in legs.iter().enumerate() {
        pairs.extend(legs.iter().skip(n + 1).map(|&other| Pair(one, other)));
    }
    pairs.extend(legs.iter().map(|&leg| Pair(leg, Conductor::N)));
    pairs
}

/// All pairs of the lifted conductors, with both ends free.
pub(super) fn read_insulation(form: &mut Form<'_>) -> Bodies {
    let SetAt { pad, position } = form.set_in_hand()?;
    let both_ends_free = form.yes_no("ask-both-ends-free");
    let instrument = form.instrument("ask-insulation-tester", &[InstrumentClass::InsulationTester]);
    let mut read = Vec::new();
    for between in insulation_pairs(form.legs()) {
        let (one, two) = (between.0.to_string(), between.1.to_string());
        let label = form.words.say("point-insulation", &[("one", &one), ("two", &two)]);
        let megohms = form.number_at(&format!("megohms-{one}-{two}"), &label, "MΩ");
        read.push(megohms.map(|megohms| (between, megohms)));
    }
    let read = read.into_iter().collect::<Option<Vec<_>>>()?;
    let (both_ends_free, instrument) = (both_ends_free?, instrument?);
    let ohms = read.into_iter().map(|(between, megohms)| {
        Body::Ohms(OhmsRead {
            pad: pad.clone(),
            position: position.clone(),
            both_ends_free,
            reading: OhmsReading { between, megohms, instrument: instrument.clone() },
        })
    });
    Some(ohms.collect())
}

pub(super) fn verify_neutral(form: &mut Form<'_>) -> Bodies {
    let SetAt { pad, position } = form.set_in_hand()?;
    form.affirmed("ask-neutral-tight")?;
    Some(vec![done(form, Operation::NeutralVerified { pad, position })])
}

pub(super) fn land(form: &mut Form<'_>) -> Bodies {
    let SetAt { pad, position } = form.set_in_hand()?;
    let set = SetAt { pad: pad.clone(), position: position.clone() };
    let lifted: Vec<Pick<Conductor>> =
        form.state.physical.lifted_of(&set).into_iter().map(named).collect();
    let leg = form.one("ask-leg", lifted, "unfit-nothing-lifted")?;
    Some(vec![done(form, Operation::LegLanded { pad, position, leg })])
}

pub(super) fn test_neutral(form: &mut Form<'_>) -> Bodies {
    let service = form.target()?.clone();
    if !readings::shown_right(form) {
        return readings::check(form, None);
    }
    let legs = form.leg_picks();
    let loaded = form.one("ask-loaded-leg", legs, "unfit-job-not-open");
    let legs = form.leg_picks();
    let unloaded = form.one("ask-unloaded-leg", legs, "unfit-job-not-open");
    let without = form.number("ask-volts-without-load", "V");
    let with = form.number("ask-volts-with-load", "V");
    let voltmeter = form.instrument("ask-tester", VOLTMETERS);
    let label = load_label(form);
    let amps = form.number_at("load-amps-now", &label, "A");
    let clamp = form.instrument("ask-clamp", &[InstrumentClass::Clamp]);
    let (loaded, unloaded) = (loaded?, unloaded?);
    if loaded == unloaded {
        return form.unfit("ask-unloaded-leg", "unfit-same-leg");
    }
    Some(vec![Body::NeutralTested(NeutralTested {
        service,
        test: NeutralTest {
            loaded,
            unloaded,
            without_volts: without?,
            with_volts: with?,
            voltmeter: voltmeter?,
            load: AmpsReading { conductor: Some(loaded), amps: amps?, instrument: clamp? },
        },
    })])
}

/// The question for the load, with how much of it decides: with whichever legs and instruments, so
/// that it holds before any is chosen.
fn load_label(form: &mut Form<'_>) -> Sentence {
    let voltmeters = form.instruments(VOLTMETERS);
    let clamps = form.instruments(&[InstrumentClass::Clamp]);
    let with =
        || voltmeters.iter().flat_map(|one| clamps.iter().map(|two| (&one.means, &two.means)));
    let from = form
        .legs()
        .iter()
        .flat_map(|loaded| form.legs().iter().map(|unloaded| (*loaded, *unloaded)))
        .flat_map(|legs| with().map(move |with| (legs, with)))
        .filter_map(|(legs, with)| form.state.neutral_deciding_amps(form.sheets, legs, with))
        .max();
    match from {
        Some(from) => form.words.say("ask-load-amps-from", &[("amps", &from.to_string())]),
        None => form.words.plain("ask-load-amps-now"),
    }
}

pub(super) fn set_meter(form: &mut Form<'_>) -> Bodies {
    let stay = form.own_stay()?;
    let number = form.text("ask-number-in-hand", NAME);
    let deed = form.fresh("d", 0)?;
    Some(vec![Body::MeterSet(MeterSet { deed, stay, number_in_hand: Some(number?) })])
}

pub(super) fn close_main(form: &mut Form<'_>) -> Bodies {
    let service = form.target()?.clone();
    Some(vec![done(form, Operation::MainClosed { service })])
}

pub(super) fn sources_on(form: &mut Form<'_>) -> Bodies {
    let service = form.target()?.clone();
    Some(vec![done(form, Operation::SourcesOn { service })])
}
