//! The most that gear may see where the plate may be off and where values were taken.
//!
//! Only what a rating is held against is reckoned so: the amps that are told are those of the plate.

use super::{
    assumed::Assumed,
    circuit::{COLD_CELSIUS, Circuit, SplitPhase, TransformerPlate, Wye, WyeConnection},
    primary::SourceStrength,
    refuse::NotPossible,
};
use crate::quantity::{Current, amps, celsius};

/// Up to this percent impedance the larger tolerance holds, above it the smaller (IEEE C57.12.00,
/// from memory).
const LARGER_TOLERANCE_UP_TO: f64 = 2.5;
/// What is left of the nameplate's impedance at its lower tolerance: 10 % and 7.5 % off.
const LEAST_SHARES: [f64; 2] = [0.90, 0.925];
/// Of units from 10 kVA up to large ones (common practice, no source).
const UNIT_X_OVER_R: [f64; 5] = [0.5, 1.5, 4.0, 10.0, 20.0];
/// Of feeders, from far out to at the station (common practice, no source).
const SOURCE_X_OVER_R: [f64; 3] = [1.0, 4.0, 30.0];
/// Zero over positive of a unit whose core counts, at the least (common practice, no source).
const LEAST_UNIT_ZERO: f64 = 0.8;
/// Zero over positive of a supply near its station, at the least (common practice, no source).
const LEAST_SOURCE_ZERO: f64 = 0.5;
/// Half a winding's shares of R and X at the least (common practice, no source).
const LEAST_HALF: [f64; 2] = [1.4, 1.1];

/// The largest current at the end of a circuit's way with its plates at their lower tolerance and
/// what was taken at the worst of what may be. More than one thing taken: every mix is tried.
pub(crate) fn most_at_worst(
    circuit: &Circuit,
    assumed: &[Assumed],
) -> Result<Current, NotPossible> {
    let mut worst = circuit.clone();
    plates(&mut worst, |plate| {
        let [small, large] = LEAST_SHARES;
        let share = if plate.percent_z <= LARGER_TOLERANCE_UP_TO { small } else { large };
        plate.percent_z *= share;
    });
    // Less impedance at the same angle only ever gives more.
    if assumed.contains(&Assumed::HalfWinding) {
        half_windings(&mut worst);
    }
    if assumed.contains(&Assumed::UnitZero) {
        three_phase(&mut worst, |unit| {
            unit.zero_over_positive = unit.zero_over_positive.min(LEAST_UNIT_ZERO);
        });
    }
    if assumed.contains(&Assumed::SourceZero) {
        three_phase(&mut worst, |unit| {
            if let WyeConnection::WyeWye { source_zero_over_positive } = &mut unit.connection {
                *source_zero_over_positive = source_zero_over_positive.min(LEAST_SOURCE_ZERO);
            }
        });
    }
    // An angle may do either, by what else is on the way.
    let mut all = vec![worst];
    if assumed.contains(&Assumed::UnitXOverR) {
        all = varied(all, &UNIT_X_OVER_R, |circuit, ratio| {
            plates(circuit, |plate| plate.x_over_r = ratio);
        });
    }
    if assumed.contains(&Assumed::SourceXOverR) {
        all = varied(all, &SOURCE_X_OVER_R, |circuit, ratio| {
            sources(circuit, |source| source.x_over_r = ratio);
        });
    }
    all.iter().try_fold(amps(0.0), |most: Current, circuit| {
        let found = circuit.fault_currents(celsius(COLD_CELSIUS))?;
        Ok(most.max(found.at_end()))
    })
}

/// Each as it is, and with each value.
fn varied(
    circuits: Vec<Circuit>,
    values: &[f64],
    change: impl Fn(&mut Circuit, f64),
) -> Vec<Circuit> {
    let with = |circuit: &Circuit, value: f64| {
        let mut circuit = circuit.clone();
        change(&mut circuit, value);
        circuit
    };
    let more: Vec<Circuit> = circuits
        .iter()
        .flat_map(|circuit| values.iter().map(move |&value| (circuit, value)))
        .map(|(circuit, value)| with(circuit, value))
        .collect();
    circuits.into_iter().chain(more).collect()
}

fn one_phase(circuit: &mut Circuit, mut change: impl FnMut(&mut SplitPhase)) {
    if let Circuit::SplitPhase(one) = circuit {
        one.beside.iter_mut().for_each(&mut change);
        change(one);
    }
}

fn three_phase(circuit: &mut Circuit, mut change: impl FnMut(&mut Wye)) {
    if let Circuit::Wye(three) = circuit {
        three.beside.iter_mut().for_each(&mut change);
        change(three);
    }
}

fn plates(circuit: &mut Circuit, mut change: impl FnMut(&mut TransformerPlate)) {
    one_phase(circuit, |unit| change(&mut unit.unit));
    three_phase(circuit, |unit| change(&mut unit.unit));
}

fn half_windings(circuit: &mut Circuit) {
    let [r, x] = LEAST_HALF;
    one_phase(circuit, |unit| {
        unit.half.r = unit.half.r.min(r);
        unit.half.x = unit.half.x.min(x);
    });
}

fn sources(circuit: &mut Circuit, mut change: impl FnMut(&mut SourceStrength)) {
    one_phase(circuit, |unit| {
        let supplies = unit.primary.iter_mut().chain(&mut unit.shared);
        supplies.filter_map(|supply| supply.source.as_mut()).for_each(&mut change);
    });
    three_phase(circuit, |unit| {
        let supplies = unit.primary.iter_mut().chain(&mut unit.shared);
        supplies.filter_map(|supply| supply.source.as_mut()).for_each(&mut change);
    });
}

#[cfg(test)]
mod tests;
