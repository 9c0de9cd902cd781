//! Readings of one place against each other, by circuit law.

mod neutral;
mod supply;

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Liveness, liveness};
use crate::{
    plant::{Conductor, Pair},
    quantity::{Bounded, Voltage, in_volts},
    rule_sheet::RuleSheet,
};

pub use neutral::{NeutralCurrent, neutral_current};
pub use supply::{NeutralSign, SupplySign, neutral_sign, supply_signs};

/// What readings of one place say together.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case", tag = "says", deny_unknown_fields)]
pub enum Clash {
    /// Voltages round three conductors cannot be so, whatever the phases: one is larger than the
    /// two others together. No dead reading among them counts.
    LawBroken {
        /// The pair that reads too much, or beside which the others read too little.
        longest: Pair,
        /// The third conductor.
        by_way_of: Conductor,
    },
    /// Both legs live to neutral or ground and nothing between them: the signature of one lifted
    /// leg fed through a 240 V load, or of one leg on both jaws. Live, and not implausible.
    FedThrough {
        /// The two legs.
        legs: Pair,
    },
}

impl Clash {
    /// Its stable id, which is the id of its sentence.
    pub const fn id(self) -> &'static str {
        match self {
            Self::LawBroken { .. } => "circuit-law-broken",
            Self::FedThrough { .. } => "circuit-fed-through",
        }
    }
}

/// Compares the voltages of one place. Several readings of a pair count with everything between
/// the least and the most that any of them allows. The order and the names of legs do not matter.
pub fn cross_check(readings: &[(Pair, Bounded<Voltage>)], rules: &RuleSheet) -> Vec<Clash> {
    let mut clashes = law_broken(&spans(readings));
    clashes.extend(fed_through(readings, rules).map(|legs| Clash::FedThrough { legs }));
    clashes
}

/// Voltages round three conductors of which one is larger than the two others together.
fn law_broken(spans: &BTreeMap<Pair, (f64, f64)>) -> Vec<Clash> {
    let span = |one: Conductor, other: Conductor| spans.get(&ordered(one, other));
    let mut clashes = Vec::new();
    for (&longest, &(least, _)) in spans {
        for by_way_of in CONDUCTORS {
            let (Some(&(_, near)), Some(&(_, far))) =
                (span(longest.0, by_way_of), span(by_way_of, longest.1))
            else {
                continue;
            };
            if least > near + far {
                clashes.push(Clash::LawBroken { longest, by_way_of });
            }
        }
    }
    clashes
}

/// The pairs whose dead readings do not count, by the clashes of their place.
pub fn doubted(clashes: &[Clash]) -> Vec<Pair> {
    let mut pairs: Vec<Pair> = clashes
        .iter()
        .flat_map(|clash| match *clash {
            Clash::LawBroken { longest, by_way_of } => {
                vec![longest, ordered(longest.0, by_way_of), ordered(by_way_of, longest.1)]
            }
            Clash::FedThrough { legs } => vec![legs],
        })
        .collect();
    pairs.sort();
    pairs.dedup();
    pairs
}

const CONDUCTORS: [Conductor; 5] =
    [Conductor::L1, Conductor::L2, Conductor::L3, Conductor::N, Conductor::G];

fn ordered(one: Conductor, other: Conductor) -> Pair {
    if one <= other { Pair(one, other) } else { Pair(other, one) }
}

/// By pair: the least and the most volts that any reading of it allows, as sizes.
fn spans(readings: &[(Pair, Bounded<Voltage>)]) -> BTreeMap<Pair, (f64, f64)> {
    let mut spans: BTreeMap<Pair, (f64, f64)> = BTreeMap::new();
    for (pair, voltage) in readings {
        let (size, limit) = (in_volts(voltage.value).abs(), in_volts(voltage.limit_of_error));
        let (least, most) = ((size - limit).max(0.0), size + limit);
        if pair.0 == pair.1 || !size.is_finite() {
            continue;
        }
        spans
            .entry(ordered(pair.0, pair.1))
            .and_modify(|span| *span = (span.0.min(least), span.1.max(most)))
            .or_insert((least, most));
    }
    spans
}

/// Pairs of legs that are both live to the same neutral or ground and not to each other.
fn fed_through<'a>(
    readings: &'a [(Pair, Bounded<Voltage>)],
    rules: &'a RuleSheet,
) -> impl Iterator<Item = Pair> + 'a {
    let said = |one: Conductor, other: Conductor, live: bool| {
        readings.iter().any(|(pair, voltage)| {
            ordered(pair.0, pair.1) == ordered(one, other)
                && (liveness(*voltage, rules) == Liveness::Live) == live
        })
    };
    let legs = [
        Pair(Conductor::L1, Conductor::L2),
        Pair(Conductor::L1, Conductor::L3),
        Pair(Conductor::L2, Conductor::L3),
    ];
    legs.into_iter().filter(move |&Pair(one, other)| {
        let both = [Conductor::N, Conductor::G]
            .into_iter()
            .any(|to| said(one, to, true) && said(other, to, true));
        both && said(one, other, false)
    })
}

#[cfg(test)]
mod tests;
