//! A whole proof of dead, made up, for the tests of proofs and clearances.

use std::collections::BTreeMap;

use super::{Judging, Point, Zone};
use crate::{
    plant::{
        Conductor::{L1, N},
        VoltageSystem,
    },
    quantity::{AssetId, Instant, InstrumentId},
    reading::{
        Instrument, Taken, VoltsReading,
        example::{at, known, reading, taken, tester},
    },
    rule_sheet::RuleSheet,
};

pub(crate) struct Desk {
    pub(crate) instruments: BTreeMap<InstrumentId, Instrument>,
    pub(crate) proven: BTreeMap<InstrumentId, Instant>,
    pub(crate) rules: RuleSheet,
    pub(crate) system: VoltageSystem,
}

impl Desk {
    pub(crate) fn new() -> Self {
        let tester = tester();
        Self {
            proven: BTreeMap::from([(tester.id.clone(), at(0))]),
            instruments: BTreeMap::from([(tester.id.clone(), tester)]),
            rules: RuleSheet::default(),
            system: VoltageSystem::Split120_240,
        }
    }

    pub(crate) fn with(&self) -> Judging<'_> {
        Judging {
            system: self.system,
            instruments: &self.instruments,
            proven: &self.proven,
            proven_since: &self.proven,
            rules: &self.rules,
        }
    }
}

pub(crate) fn service() -> AssetId {
    AssetId::new("V014").unwrap()
}

pub(crate) fn zone() -> Zone {
    Zone::MeterBase { service: service() }
}

pub(crate) fn at_point(number: usize, s: i64, point: &Point, shown: &str) -> Taken<VoltsReading> {
    taken(number, s, reading(point.place.clone(), point.between.0, point.between.1, shown))
}

/// The check before, every point dead five seconds apart, the check after; from second `from`.
pub(crate) fn whole_proof(
    zone: &Zone,
    system: VoltageSystem,
    from: i64,
) -> Vec<Taken<VoltsReading>> {
    let number = |i: i64| usize::try_from(from * 100 + i).unwrap();
    let mut all = vec![taken(number(0), from, reading(known(), L1, N, "120.4"))];
    let mut s = 0;
    for point in zone.points(system) {
        s += 5;
        all.push(at_point(number(s), from + s, &point, "0.2"));
    }
    all.push(taken(number(s + 5), from + s + 5, reading(known(), L1, N, "120.3")));
    all
}
