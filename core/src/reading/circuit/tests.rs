//! Tests of circuit law.

use proptest::prelude::*;

use super::*;
use crate::{
    plant::Conductor::{G, L1, L2, L3, N},
    quantity::volts,
};

fn v(one: Conductor, other: Conductor, shown: f64) -> (Pair, Bounded<Voltage>) {
    (Pair(one, other), Bounded { value: volts(shown), limit_of_error: volts(1.5) })
}

fn check(readings: &[(Pair, Bounded<Voltage>)], wanted: &[Clash]) {
    assert_eq!(cross_check(readings, &RuleSheet::default()), wanted);
}

#[test]
fn a_healthy_place_has_no_clash() {
    check(&[v(L1, L2, 241.0), v(L1, N, 120.0), v(L2, N, 121.0)], &[]);
    check(&[v(L1, L2, 0.0), v(L1, N, 0.1), v(L2, N, 0.0), v(N, G, 0.0)], &[]);
    check(&[v(L1, L2, 208.0), v(L1, N, 120.0), v(L2, N, 120.0)], &[]);
}

#[test]
fn one_lifted_leg_fed_through_a_load_is_live() {
    let fed = [v(L1, N, 120.0), v(L2, N, 119.0), v(L1, L2, 0.4)];
    let clash = Clash::FedThrough { legs: Pair(L1, L2) };
    check(&fed, &[clash]);
    assert_eq!(doubted(&[clash]), [Pair(L1, L2)]);
}

#[test]
fn a_dead_reading_that_cannot_be_is_named() {
    let impossible = [v(L1, L2, 240.0), v(L1, N, 0.0), v(L2, N, 0.0)];
    let clash = Clash::LawBroken { longest: Pair(L1, L2), by_way_of: N };
    check(&impossible, &[clash]);
    assert_eq!(doubted(&[clash]), [Pair(L1, L2), Pair(L1, N), Pair(L2, N)]);
    check(
        &[v(L1, N, 120.0), v(N, G, 0.0), v(L1, G, 0.0)],
        &[Clash::LawBroken { longest: Pair(L1, N), by_way_of: G }],
    );
}

#[test]
fn a_leg_read_twice_counts_with_both() {
    let twice = [v(L1, L2, 240.0), v(L1, N, 0.0), v(L1, N, 120.0), v(L2, N, 120.0)];
    check(&twice, &[]);
}

proptest! {
    /// Any three true phasor voltages read within their limits never break the law.
    #[test]
    fn true_readings_never_clash_by_law(
        p in prop::array::uniform4((-300.0..300.0, -300.0..300.0)),
        off in prop::array::uniform6(-1.5..1.5),
    ) {
        let names = [L1, L2, N, G];
        let mut readings = Vec::new();
        let mut k = 0;
        for i in 0..4 {
            for j in i + 1..4 {
                let (dx, dy): (f64, f64) = (p[i].0 - p[j].0, p[i].1 - p[j].1);
                readings.push(v(names[i], names[j], dx.hypot(dy) + off[k]));
                k += 1;
            }
        }
        let law = |c: &Clash| matches!(c, Clash::LawBroken { .. });
        prop_assert!(!cross_check(&readings, &RuleSheet::default()).iter().any(law));
    }

    #[test]
    fn names_of_legs_and_order_of_readings_do_not_matter(
        a in 0.0..300.0, b in 0.0..300.0, c in 0.0..300.0, turn in 0_usize..3,
    ) {
        let rules = RuleSheet::default();
        let one = cross_check(&[v(L1, L2, a), v(L1, N, b), v(L2, N, c)], &rules);
        let mut swapped = vec![v(L2, L1, a), v(N, L2, b), v(L1, N, c)];
        swapped.rotate_left(turn);
        prop_assert_eq!(one.len(), cross_check(&swapped, &rules).len());
        let other_names = cross_check(&[v(L2, L3, a), v(L2, N, b), v(L3, N, c)], &rules);
        prop_assert_eq!(one.len(), other_names.len());
    }

    #[test]
    fn more_error_never_makes_a_clash_by_law(a in 0.0..300.0, b in 0.0..300.0, c in 0.0..300.0) {
        let rules = RuleSheet::default();
        let law = |more: f64| {
            let mut readings = [v(L1, L2, a), v(L1, N, b), v(L2, N, c)];
            for (_, bound) in &mut readings {
                bound.limit_of_error += volts(more);
            }
            let clashes = cross_check(&readings, &rules);
            clashes.iter().filter(|c| matches!(c, Clash::LawBroken { .. })).count()
        };
        prop_assert!(law(2.0) <= law(0.0));
    }
}
