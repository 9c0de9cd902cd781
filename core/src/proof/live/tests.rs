//! Tests of the proof of a live supply.

use proptest::prelude::*;

use super::{
    super::example::{Desk, service},
    *,
};
use crate::{
    plant::Conductor::{G, L1, L2, L3, N},
    quantity::{InstrumentId, ohms},
    reading::{
        AmpsReading,
        example::{at, base, clamp, reading, taken},
    },
};

struct Case {
    desk: Desk,
    volts: Vec<Taken<VoltsReading>>,
    neutral: Option<Taken<NeutralTest>>,
    insulation: Option<Insulation>,
    all_was_open: bool,
    found: Option<Rotation>,
    now: Option<Rotation>,
}

impl Case {
    fn good() -> Self {
        let mut desk = Desk::new();
        let clamp = clamp();
        desk.proven.insert(clamp.id.clone(), at(0));
        desk.instruments.insert(clamp.id.clone(), clamp);
        let read = |n: usize, one, other, shown| {
            let s = 10 * i64::try_from(n).unwrap();
            taken(n, s, reading(base(Side::Line), one, other, shown))
        };
        let test = NeutralTest {
            loaded: L1,
            unloaded: L2,
            without_volts: "120.5".parse().unwrap(),
            with_volts: "120.7".parse().unwrap(),
            voltmeter: InstrumentId::new("T1").unwrap(),
            load: AmpsReading {
                conductor: Some(L1),
                amps: "12.5".parse().unwrap(),
                instrument: InstrumentId::new("C1").unwrap(),
            },
        };
        Self {
            desk,
            volts: vec![
                read(1, N, G, "0.3"),
                read(2, L1, N, "121.0"),
                read(3, L2, N, "120.5"),
                read(4, L1, L2, "241.4"),
            ],
            neutral: Some(taken(5, 60, test)),
            insulation: Some(Insulation::Sound { look_at: vec![], readings: vec![] }),
            all_was_open: true,
            found: None,
            now: None,
        }
    }

    fn prove(&self) -> LiveProof {
        let service = service();
        let restored = Restored {
            service: &service,
            volts: &self.volts,
            neutral: self.neutral.as_ref(),
            computed_neutral: Some(ohms(0.03)),
            insulation: self.insulation.as_ref(),
            all_was_open: self.all_was_open,
            rotation_found: self.found,
            rotation_now: self.now,
        };
        prove_live(&restored, self.desk.with())
    }

    /// No rise at all: where legs stand at 120 degrees, half as much of it shows.
    fn flat_neutral(&mut self) {
        self.neutral.as_mut().unwrap().reading.with_volts = "120.5".parse().unwrap();
    }

    fn set(&mut self, which: usize, shown: &str) {
        self.volts[which].reading.volts = shown.parse().unwrap();
    }
}

/// The ids of what stops or is missing; of the notes where it is proven.
fn ids(proof: &LiveProof) -> Vec<&'static str> {
    match proof {
        LiveProof::Proven(proven) => proven.notes().iter().map(|note| note.id()).collect(),
        LiveProof::Stop { why } => why.iter().map(Unhealthy::id).collect(),
        LiveProof::Missing { missing } => missing.iter().map(MissingLive::id).collect(),
    }
}

fn check(change: impl FnOnce(&mut Case), wanted: &[&str]) {
    let mut case = Case::good();
    change(&mut case);
    assert_eq!(ids(&case.prove()), wanted);
}

#[test]
fn a_healthy_supply_is_proven() {
    let LiveProof::Proven(proven) = Case::good().prove() else { panic!("not proven") };
    assert_eq!((proven.notes(), proven.readings().len()), (&[][..], 5));
}

#[test]
fn a_pair_outside_its_band_stops_and_range_b_is_noted() {
    check(
        |c| c.set(1, "128.5"),
        &["supply-out-of-band", "supply-legs-apart", "circuit-open-neutral"],
    );
    check(|c| c.set(3, "219"), &["supply-out-of-band", "circuit-third-of-a-turn"]);
    check(
        |c| {
            c.set(1, "113");
            c.set(2, "113");
            c.set(3, "226");
        },
        &["live-note-range-b", "live-note-legs-differ"],
    );
    check(|c| c.set(1, "0"), &["supply-out-of-band", "supply-legs-apart"]);
}

#[test]
fn a_narrower_sheet_narrows_the_band() {
    check(
        |c| {
            c.desk.rules.live_band_share = "0.5".parse().unwrap();
            c.set(1, "123.5");
        },
        &["supply-out-of-band"],
    );
}

#[test]
fn an_open_neutral_shows() {
    check(
        |c| {
            c.set(1, "96");
            c.set(2, "144");
        },
        &["supply-out-of-band", "supply-out-of-band", "supply-legs-apart", "circuit-open-neutral"],
    );
    check(|c| c.set(0, "6"), &["supply-neutral-to-ground"]);
    check(|c| c.set(1, "114"), &["live-note-near-edge", "live-note-legs-differ"]);
}

#[test]
fn a_208_volt_service_is_never_judged_by_240() {
    check(|c| c.set(3, "208"), &["supply-out-of-band", "circuit-third-of-a-turn"]);
    check(
        |c| {
            c.desk.system = VoltageSystem::Network208;
            c.flat_neutral();
            c.set(3, "208");
        },
        &[],
    );
}

#[test]
fn neutral_and_polarity_come_first() {
    check(|c| c.volts.swap(0, 3), &["supply-order"]);
    check(|c| c.volts.swap(0, 1), &["supply-order"]);
    check(|c| c.volts.swap(2, 3), &["supply-order"]);
    check(|c| c.volts.swap(1, 2), &[]);
}

#[test]
fn the_neutral_is_tested_under_load() {
    check(|c| c.neutral = None, &["supply-neutral-test"]);
    let bad = |c: &mut Case| {
        c.neutral.as_mut().unwrap().reading.with_volts = "124.5".parse().unwrap();
    };
    check(bad, &["supply-neutral-impedance"]);
    let small = |c: &mut Case| {
        c.neutral.as_mut().unwrap().reading.load.amps = "4".parse().unwrap();
    };
    check(small, &["supply-neutral-load"]);
}

#[test]
fn insulation_comes_before_closing_in() {
    check(|c| c.insulation = None, &["supply-insulation"]);
    check(|c| (c.insulation, c.all_was_open) = (None, false), &[]);
    let low = |c: &mut Case| c.insulation = Some(Insulation::Low { pairs: vec![Pair(L1, N)] });
    check(low, &["supply-insulation-low"]);
    let uneven = |c: &mut Case| {
        c.insulation = Some(Insulation::Sound { look_at: vec![Pair(L1, N)], readings: vec![] });
    };
    check(uneven, &["live-note-insulation-uneven"]);
}

#[test]
fn three_legs_rotate_as_they_were_found() {
    let three = |c: &mut Case| {
        c.desk.system = VoltageSystem::Wye208;
        c.flat_neutral();
        let read =
            |n, one, other, shown| taken(n, 45, reading(base(Side::Line), one, other, shown));
        c.set(3, "208");
        c.volts.insert(3, read(6, L3, N, "120"));
        c.volts.push(read(7, L1, L3, "208"));
        c.volts.push(read(8, L2, L3, "207"));
    };
    check(three, &["supply-rotation-found", "supply-rotation-now"]);
    let rotated = |found, now| {
        move |c: &mut Case| {
            three(c);
            (c.found, c.now) = (Some(found), Some(now));
        }
    };
    check(rotated(Rotation::Clockwise, Rotation::Clockwise), &[]);
    check(rotated(Rotation::Clockwise, Rotation::Counterclockwise), &["supply-rotation-changed"]);
}

#[test]
fn what_does_not_count_is_named() {
    let not_counted = "supply-not-counted";
    check(
        |c| c.desk.proven.clear(),
        &[not_counted, not_counted, not_counted, not_counted, "supply-neutral-test"],
    );
    check(|c| c.volts[3].at = at(700), &["supply-scattered"]);
    check(|c| c.volts[3].at.boot = "b2".into(), &["supply-not-counted"]);
}

proptest! {
    #[test]
    fn leaving_any_pair_out_proves_nothing(which in 0_usize..4) {
        let mut case = Case::good();
        case.volts.remove(which);
        prop_assert_eq!(ids(&case.prove()), ["supply-not-read"]);
    }

    #[test]
    fn no_leg_far_from_nominal_is_healthy(which in 1_usize..4, tenths in 0_u32..3000) {
        let mut case = Case::good();
        let shown = format!("{}.{}", tenths / 10, tenths % 10);
        case.set(which, &shown);
        let value = f64::from(tenths) / 10.0;
        let wide = if which == 3 { 220.0..=254.0 } else { 110.0..=127.0 };
        if matches!(case.prove(), LiveProof::Proven(_)) {
            prop_assert!(wide.contains(&value));
        }
    }
}
