//! An acceptance by link and offline phones that want to close in: safe in every order.
//!
//! The phones meet the desk at any time, or not for long.

use proptest::prelude::*;

use super::{
    crew::{Crew, Desk},
    holders::{
        Apart,
        Move::{
            self, Accept, Break, Close, EndLink, Inspect, LiftFirst, LiftLast, Meet, Offer,
            OpenMore, Release,
        },
        PAD, PREMISES, Sequences, THIRD, opened, ready,
    },
};
use crate::gate::Rule;

fn play(from: &Apart<'_>, moves: &[Move]) {
    let mut apart = from.clone();
    for next in moves {
        apart.go(*next);
    }
    apart.ends_safe(moves);
}

/// Every order of a few moves, each once.
fn orders(moves: &[Move]) -> Vec<Vec<Move>> {
    if moves.is_empty() {
        return vec![Vec::new()];
    }
    let mut all: Vec<Vec<Move>> = Vec::new();
    let mut first = Vec::new();
    for (n, next) in moves.iter().enumerate() {
        if first.contains(next) {
            continue;
        }
        first.push(*next);
        let mut rest = moves.to_vec();
        rest.remove(n);
        all.extend(orders(&rest).into_iter().map(|mut order| {
            order.insert(0, *next);
            order
        }));
    }
    all
}

fn every_order(start: fn(&Desk) -> Crew<'_>, begun: &[Move], moves: &[Move]) {
    let desk = Desk::new();
    let (crew, sequences) = (start(&desk), Sequences::new(&desk));
    let mut apart = Apart::new(&crew, &sequences);
    for next in begun {
        apart.go(*next);
    }
    for order in orders(moves) {
        play(&apart, &order);
    }
}

/// A clearance by link, taken or ended, while the pad and the premises want to close.
#[test]
fn every_order_of_arrival_ends_safe() {
    let meetings = [Meet(PREMISES), Meet(PREMISES)];
    for others in [
        [Accept, Close(PREMISES), Close(PAD)],
        [Accept, EndLink, Close(PREMISES)],
        [Accept, Close(PAD), Meet(PAD)],
        [Accept, Release, Close(PREMISES)],
    ] {
        every_order(opened, &[Offer(PREMISES)], &[&meetings[..], &others].concat());
    }
}

/// All have said clear but one, who offers late.
#[test]
fn every_order_of_words_and_a_late_offer_ends_safe() {
    for (late, other) in [(PREMISES, THIRD), (THIRD, PREMISES)] {
        let begun = [Inspect(other), Meet(other), Meet(PAD)];
        let moves = [Offer(late), Inspect(late), Meet(late), Meet(PAD), Close(PAD)];
        every_order(opened, &begun, &moves);
    }
}

/// The pad opens everything and offers; the premises, who may set the meter back, write something
/// without having heard that anything is open.
#[test]
fn every_order_of_hearing_what_is_open_ends_safe() {
    let begun = [LiftFirst(PAD), LiftLast(PAD), Break(PREMISES)];
    let moves = [Offer(PAD), Meet(PAD), Accept, Meet(PREMISES), Close(PREMISES)];
    every_order(ready, &begun, &moves);
}

/// The third phone, which opened nothing, has not heard that anything is open.
#[test]
fn every_order_with_a_third_phone_that_knows_of_nothing_ends_safe() {
    let begun = [
        LiftFirst(PAD),
        LiftLast(PAD),
        Meet(PAD),
        Meet(PREMISES),
        Break(PREMISES),
        Meet(PREMISES),
        Meet(PAD),
    ];
    let moves = [Offer(PAD), Meet(PAD), Accept, Meet(THIRD), Close(THIRD)];
    every_order(ready, &begun, &moves);
}

/// Every word is given and heard, and then more is opened and offered again.
#[test]
fn every_order_of_opening_more_ends_safe() {
    let words = [Inspect(THIRD), Meet(THIRD), Inspect(PREMISES), Meet(PREMISES), Meet(PAD)];
    let moves = [OpenMore(PREMISES), Offer(PREMISES), Meet(PREMISES), Meet(PAD), Close(PAD)];
    every_order(opened, &words, &moves);
    let words = [Inspect(PAD), Meet(PAD), Inspect(PREMISES), Meet(PREMISES), Meet(THIRD)];
    let more =
        [OpenMore(PREMISES), Meet(PREMISES), Meet(PAD), Break(PAD), Meet(PAD), Meet(PREMISES)];
    let moves = [Offer(PREMISES), Meet(PREMISES), Accept, Meet(THIRD), Close(THIRD)];
    every_order(opened, &[words.as_slice(), &more].concat(), &moves);
}

fn any_move() -> impl Strategy<Value = Move> {
    prop_oneof![
        2 => (0_usize..3).prop_map(LiftFirst),
        2 => (0_usize..3).prop_map(LiftLast),
        3 => (0_usize..3).prop_map(Offer),
        3 => Just(Accept),
        1 => Just(Release),
        2 => Just(EndLink),
        4 => (0_usize..3).prop_map(Inspect),
        1 => (0_usize..3).prop_map(Break),
        1 => (0_usize..3).prop_map(OpenMore),
        4 => (0_usize..3).prop_map(Close),
        6 => (0_usize..3).prop_map(Meet),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    #[test]
    fn any_course_ends_safe(
        moves in proptest::collection::vec(any_move(), 1..24), begun in any::<bool>(),
    ) {
        let desk = Desk::new();
        let crew = if begun { opened(&desk) } else { ready(&desk) };
        let sequences = Sequences::new(&desk);
        play(&Apart::new(&crew, &sequences), &moves);
    }
}

/// Hands are in under an offer that the pad never heard of: the pad closes nothing.
#[test]
fn a_phone_that_has_not_heard_of_an_offer_closes_nothing() {
    let desk = Desk::new();
    let (crew, sequences) = (opened(&desk), Sequences::new(&desk));
    let mut apart = Apart::new(&crew, &sequences);
    for next in [Offer(PREMISES), Meet(PREMISES), Accept] {
        apart.go(next);
    }
    assert_eq!(apart.held.len(), 1);
    for on in [PAD, THIRD] {
        assert!(apart.holders[on].state.clearances.blocks_closing().is_empty());
        apart.go(Close(on));
        assert!(apart.closings.is_empty());
    }
    apart.go(Close(PREMISES));
    assert!(apart.closings.is_empty());
}

/// The model is not empty: work is handed over, given back, and everything closes in the end.
#[test]
fn with_every_word_heard_the_pad_lands() {
    let desk = Desk::new();
    let (crew, sequences) = (ready(&desk), Sequences::new(&desk));
    let mut apart = Apart::new(&crew, &sequences);
    for next in [LiftFirst(PAD), LiftLast(PAD), Offer(PAD)] {
        apart.go(next);
    }
    // The premises pulled the meter and may set it back: until they have heard, nothing is offered.
    assert_eq!(apart.refused_by, Some(Rule::OpeningHeardBeforeOffer));
    for next in [Meet(PAD), Meet(PREMISES), Offer(PREMISES), Meet(PREMISES), Accept, Release] {
        apart.go(next);
    }
    assert!(apart.on_offer.is_empty() && apart.held.is_empty());
    for next in [EndLink, Meet(PREMISES), Inspect(PREMISES), Meet(PREMISES), Meet(PAD)] {
        apart.go(next);
    }
    apart.go(Close(PAD));
    assert!(apart.closings.is_empty(), "the third phone was not heard");
    for next in [Meet(THIRD), Inspect(THIRD), Meet(THIRD), Meet(PAD), Close(PAD)] {
        apart.go(next);
    }
    assert!(apart.landed);
    apart.go(Offer(THIRD));
    assert!(apart.on_offer.is_empty());
    apart.ends_safe(&[]);
}
