//! Tests of the check of one leg.

use super::{
    super::example::{Desk, at_point, service},
    *,
};
use crate::{
    plant::Conductor::{L1, L2},
    quantity::EventId,
    reading::{Taken, VoltsReading},
};

fn pad() -> AssetId {
    AssetId::new("P07").unwrap()
}

struct Case {
    before: [&'static str; 2],
    lifted: Vec<Conductor>,
    after: [&'static str; 2],
    between: Option<&'static str>,
    bus: [&'static str; 2],
}

impl Case {
    fn good() -> Self {
        Self {
            before: ["121", "120"],
            lifted: vec![L1],
            after: ["0.3", "120"],
            between: None,
            bus: ["121", "120"],
        }
    }

    fn check(&self) -> LegCheck {
        let desk = Desk::new();
        let event = EventId::new("o1").unwrap();
        let base = |n, s, leg, shown| at_point(n, s, &Point::at_base(&service(), leg), shown);
        let bus = |n, s, leg, shown| at_point(n, s, &Point::on_bus(&pad(), leg), shown);
        let pair = Point { between: Pair(L1, L2), ..Point::at_base(&service(), L1) };
        let given = |all: Vec<Taken<VoltsReading>>| {
            all.into_iter()
                .filter(|taken| taken.reading.volts.to_string() != "999")
                .collect::<Vec<_>>()
        };
        let before = given(vec![base(1, 1, L1, self.before[0]), base(2, 2, L2, self.before[1])]);
        let after = given(vec![
            base(3, 20, L1, self.after[0]),
            base(4, 21, L2, self.after[1]),
            at_point(7, 22, &pair, self.between.unwrap_or("999")),
            bus(5, 23, L1, self.bus[0]),
            bus(6, 24, L2, self.bus[1]),
        ]);
        let mut happened: Vec<_> = before.iter().map(Happening::Read).collect();
        happened.extend(
            self.lifted.iter().map(|&leg| Happening::Opened { event: &event, leg: Some(leg) }),
        );
        happened.extend(after.iter().map(Happening::Read));
        check_legs(&service(), &pad(), &happened, desk.with())
    }
}

#[test]
fn exactly_the_lifted_leg_died() {
    assert_eq!(Case::good().check(), LegCheck::Confirmed { lifted: vec![L1] });
    let both = Case { lifted: vec![L1, L2], after: ["0", "0.2"], ..Case::good() };
    assert_eq!(both.check(), LegCheck::Confirmed { lifted: vec![L1, L2] });
}

#[test]
fn a_wrong_set_shows_after_one_leg() {
    let wrong = Case { after: ["121", "120"], ..Case::good() };
    assert_eq!(wrong.check(), LegCheck::NothingDied);
}

#[test]
fn a_wrong_set_shows_whatever_was_read_before_it() {
    let undecided = Case { before: ["45", "120"], after: ["121", "120"], ..Case::good() };
    assert_eq!(undecided.check(), LegCheck::NothingDied);
    let no_bus = Case { after: ["121", "120"], bus: ["999", "999"], ..Case::good() };
    assert_eq!(no_bus.check(), LegCheck::NothingDied);
    let one_read = Case { after: ["121", "999"], ..Case::good() };
    assert!(matches!(one_read.check(), LegCheck::Missing { .. }));
}

#[test]
fn legs_marked_differently_at_the_two_ends_are_named() {
    let crossed = Case { after: ["121", "0"], ..Case::good() };
    assert_eq!(crossed.check(), LegCheck::OtherLegDied { died: vec![L2] });
}

#[test]
fn a_dead_bus_shows_nothing_whatever_the_base_says() {
    let gone = Case { after: ["0", "0"], bus: ["0", "0"], ..Case::good() };
    assert_eq!(gone.check(), LegCheck::BusDead { leg: L1 });
    let more = Case { after: ["0", "0"], ..Case::good() };
    assert_eq!(more.check(), LegCheck::MoreDied { died: vec![L1, L2] });
}

#[test]
fn one_leg_fed_through_a_load_is_live() {
    let fed = Case { after: ["119", "120"], between: Some("0.4"), ..Case::good() };
    assert_eq!(fed.check(), LegCheck::FedThrough { legs: Pair(L1, L2) });
}

#[test]
fn a_base_dead_before_shows_nothing() {
    let before = Case { before: ["0", "120"], ..Case::good() };
    assert_eq!(before.check(), LegCheck::BaseDeadBefore { leg: L1 });
}

#[test]
fn another_operation_between_shows_nothing() {
    let desk = Desk::new();
    let [ours, other] = ["o1", "o2"].map(|name| EventId::new(name).unwrap());
    let read = |n, s, point: Point, shown| at_point(n, s, &point, shown);
    let base = |leg| Point::at_base(&service(), leg);
    let bus = |leg| Point::on_bus(&pad(), leg);
    let before = [read(1, 1, base(L1), "121"), read(2, 2, base(L2), "120")];
    let after = [
        read(3, 20, base(L1), "0.3"),
        read(4, 21, base(L2), "120"),
        read(5, 22, bus(L1), "121"),
        read(6, 23, bus(L2), "120"),
    ];
    let mut happened: Vec<_> = before.iter().map(Happening::Read).collect();
    happened.push(Happening::Opened { event: &ours, leg: Some(L1) });
    happened.extend(after.iter().map(Happening::Read));
    for place in 1..happened.len() {
        let mut disturbed = happened.clone();
        disturbed.insert(place, Happening::Operated { event: &other });
        let found = check_legs(&service(), &pad(), &disturbed, desk.with());
        assert_eq!(found, LegCheck::OtherOperation { events: vec![other.clone()] }, "{place}");
    }
    happened.insert(0, Happening::Operated { event: &other });
    let found = check_legs(&service(), &pad(), &happened, desk.with());
    assert_eq!(found, LegCheck::Confirmed { lifted: vec![L1] });
}

#[test]
fn what_was_not_read_is_named() {
    let check = |case: Case, wanted: MissingLeg| {
        assert_eq!(case.check(), LegCheck::Missing { missing: vec![wanted] });
    };
    check(Case { before: ["999", "120"], ..Case::good() }, MissingLeg::BaseLiveBefore { leg: L1 });
    check(Case { after: ["0", "999"], ..Case::good() }, MissingLeg::BaseAfter { leg: L2 });
    check(Case { after: ["17", "120"], ..Case::good() }, MissingLeg::BaseUndecided { leg: L1 });
    check(Case { bus: ["121", "999"], ..Case::good() }, MissingLeg::BusLiveAfter { leg: L2 });
    check(Case { lifted: vec![], ..Case::good() }, MissingLeg::Lifted);
}

/// Every pattern of dead, undecided, live and not read at base and bus, against the rule in plain
/// words: confirmed means base live before, the lifted leg dead, the other alive, the bus alive.
#[test]
fn confirmed_only_when_exactly_the_lifted_leg_died() {
    let shown = ["0.3", "17", "120", "999"];
    let mut confirmed = 0;
    for before in shown {
        for one in shown {
            for other in shown {
                for bus in shown {
                    let case = Case {
                        before: [before, "120"],
                        after: [one, other],
                        bus: ["121", bus],
                        ..Case::good()
                    };
                    let found = case.check();
                    let is_confirmed = found == LegCheck::Confirmed { lifted: vec![L1] };
                    let wanted = [before, one, other, bus] == ["120", "0.3", "120", "120"];
                    assert_eq!(is_confirmed, wanted, "{before} {one} {other} {bus}: {found:?}");
                    confirmed += u32::from(is_confirmed);
                }
            }
        }
    }
    assert_eq!(confirmed, 1);
}
