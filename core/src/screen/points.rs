//! How far somebody's readings of a proof have come, and what is read next.

use std::collections::BTreeMap;

use super::PointLine;
use crate::{
    job::{Sheets, State, VoltsTaken},
    plant::{Conductor, Pair},
    proof::{Point, Zone},
    quantity::{AssetId, Decimal, EventId, Instant, InstrumentId, PersonId},
    reading::{Liveness, Moment, Place, Side, is_fresh, judge_volts},
    words::{Sentence, Words},
};

/// What is read next.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Next {
    /// The tester, on a known source.
    Check,
    /// This point.
    Point(Point),
    /// Nothing: everything was read, and within its time.
    Nothing,
}

/// Somebody's readings over a zone: a check of the tester, every point dead, a check again.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct DeadTest {
    /// What is read next.
    pub(super) next: Next,
    /// The tester of the readings so far.
    pub(super) tester: Option<InstrumentId>,
    /// Every reading of it, in order.
    pub(super) readings: Vec<EventId>,
    before: Option<Decimal>,
    points: Vec<(Point, Option<(Decimal, bool)>)>,
    after: Option<Decimal>,
}

/// What the walk over the record keeps.
#[derive(Default)]
struct Walk<'a> {
    opening: Option<&'a VoltsTaken>,
    read: BTreeMap<Point, (&'a VoltsTaken, bool)>,
    closing: Option<&'a VoltsTaken>,
}

impl DeadTest {
    /// How far a person's own test of a zone has come. What is older than its window, or was counted
    /// by another boot of the phone, is begun anew.
    pub(super) fn of(
        state: &State,
        sheets: &Sheets<'_>,
        who: &PersonId,
        zone: &Zone,
        now: &Instant,
    ) -> Option<Self> {
        let system = state.system(sheets)?;
        let points = zone.points(system);
        let mut walk = Walk::default();
        for taken in state.volts_since_opening().iter().filter(|taken| taken.person == *who) {
            walk.take(state, sheets, &points, taken);
        }
        walk.drop_if_old(sheets, now);
        Some(walk.test(&points))
    }

    /// Every check and point as a line.
    pub(super) fn lines(&self, words: &Words) -> Vec<PointLine> {
        let (leg, neutral) = (Conductor::L1, Conductor::N);
        let check = |volts: Option<Decimal>, next: bool| PointLine {
            place: Place::KnownSource { what: String::new() },
            between: Pair(leg, neutral).to_string(),
            label: words.plain("point-known-source"),
            reads: volts.map(|volts| reads(volts, words)),
            fits: volts.map(|_| true),
            next,
        };
        let done = self.points.iter().all(|(_, read)| read.is_some_and(|(_, dead)| dead));
        let check_now = self.next == Next::Check;
        let mut lines = vec![check(self.before, check_now && self.before.is_none())];
        lines.extend(self.points.iter().map(|(point, read)| {
            let next = self.next == Next::Point(point.clone());
            line(point, read.map(|(volts, _)| volts), read.map(|(_, dead)| dead), next, words)
        }));
        lines.push(check(self.after, check_now && self.before.is_some() && done));
        lines
    }
}

/// A point as a line.
pub(super) fn line(
    point: &Point,
    volts: Option<Decimal>,
    fits: Option<bool>,
    next: bool,
    words: &Words,
) -> PointLine {
    PointLine {
        place: point.place.clone(),
        between: point.between.to_string(),
        label: label(point, words),
        reads: volts.map(|volts| reads(volts, words)),
        fits,
        next,
    }
}

/// A voltage as it was read, with its unit.
fn reads(volts: Decimal, words: &Words) -> Sentence {
    words.say("point-reads", &[("volts", &volts.to_string())])
}

/// A point in words.
pub(super) fn label(point: &Point, words: &Words) -> Sentence {
    let (one, two) = (point.between.0.to_string(), point.between.1.to_string());
    let pair = [("one", one.as_str()), ("two", two.as_str())];
    match &point.place {
        Place::MeterBase { side: Side::Line, .. } => words.say("point-base-line", &pair),
        Place::MeterBase { side: Side::Load, .. } => words.say("point-base-load", &pair),
        Place::MeterBase { side: Side::AcrossJaws, .. } => words.say("point-base-jaws", &pair),
        Place::PadBus { pad } => {
            words.say("point-bus", &[("pad", pad.as_str()), ("one", &one), ("two", &two)])
        }
        Place::LiftedLegs { .. } => words.say("point-lifted", &pair),
        Place::KnownSource { .. } => words.plain("point-known-source"),
    }
}

/// The field of a point in answers: a number for one point never fits another.
pub(super) fn field(point: &Point) -> String {
    let place = match &point.place {
        Place::MeterBase { side: Side::Line, .. } => "line",
        Place::MeterBase { side: Side::Load, .. } => "load",
        Place::MeterBase { side: Side::AcrossJaws, .. } => "jaws",
        Place::PadBus { .. } => "bus",
        Place::LiftedLegs { .. } => "lifted",
        Place::KnownSource { .. } => "known-source",
    };
    format!("volts-{place}-{}-{}", point.between.0, point.between.1)
}

/// What a voltage says as it was taken, and whether nothing is held against it.
fn judged(state: &State, sheets: &Sheets<'_>, taken: &VoltsTaken) -> (Liveness, bool) {
    let reading = &taken.taken.reading;
    let instruments = state.evidence.as_ref().map(|evidence| &evidence.instruments);
    let instrument = instruments.and_then(|all| all.get(&reading.instrument));
    let at = &taken.taken.at;
    let window = sheets.rules.proof_window();
    let moment = Moment { now: at, taken: at, proven: Some(at), window };
    let judged = judge_volts(reading, instrument, moment, sheets.rules);
    (judged.liveness, judged.validation.is_accepted())
}

impl<'a> Walk<'a> {
    fn take(
        &mut self,
        state: &State,
        sheets: &Sheets<'_>,
        points: &[Point],
        taken: &'a VoltsTaken,
    ) {
        let reading = &taken.taken.reading;
        let (liveness, accepted) = judged(state, sheets, taken);
        let same = |other: &VoltsTaken| other.taken.reading.instrument == reading.instrument;
        if matches!(reading.place, Place::KnownSource { .. }) {
            if liveness != Liveness::Live || !accepted {
                return;
            }
            let going = self.opening.is_some_and(same) && self.closing.is_none();
            let all = points.iter().all(|point| self.read.get(point).is_some_and(|(_, d)| *d));
            if going && all {
                self.closing = Some(taken);
            } else if !going || self.read.is_empty() {
                *self = Self { opening: Some(taken), ..Self::default() };
            }
            return;
        }
        let point = Point::of(reading);
        if points.contains(&point) && self.opening.is_some_and(same) && self.closing.is_none() {
            self.read.insert(point, (taken, liveness == Liveness::Dead && accepted));
        }
    }

    /// Begins anew where the proof can no longer be finished, or is too old to be used.
    fn drop_if_old(&mut self, sheets: &Sheets<'_>, now: &Instant) {
        let old = match (self.opening, self.closing) {
            (Some(_), Some(closing)) => {
                let window = sheets.rules.proof_to_offer();
                !is_fresh(now, &closing.taken.at, window, sheets.rules)
            }
            (Some(opening), None) => {
                let window = sheets.rules.proof_window();
                let at = &opening.taken.at;
                at.boot != now.boot || !is_fresh(now, at, window, sheets.rules)
            }
            (None, _) => false,
        };
        if old {
            *self = Self::default();
        }
    }

    fn test(self, points: &[Point]) -> DeadTest {
        let open = points.iter().find(|point| !self.read.get(point).is_some_and(|(_, dead)| *dead));
        let next = match (self.opening, open, self.closing) {
            (None, ..) | (Some(_), None, None) => Next::Check,
            (Some(_), Some(point), _) => Next::Point(point.clone()),
            (Some(_), None, Some(_)) => Next::Nothing,
        };
        let read = |point: &Point| {
            self.read.get(point).map(|(taken, dead)| (taken.taken.reading.volts, *dead))
        };
        let volts = |check: Option<&VoltsTaken>| check.map(|taken| taken.taken.reading.volts);
        let between = points.iter().filter_map(|point| self.read.get(point)).map(|(t, _)| *t);
        let all = self.opening.into_iter().chain(between).chain(self.closing);
        DeadTest {
            next,
            tester: self.opening.map(|taken| taken.taken.reading.instrument.clone()),
            readings: all.map(|taken| taken.taken.event.clone()).collect(),
            before: volts(self.opening),
            after: volts(self.closing),
            points: points.iter().map(|point| (point.clone(), read(point))).collect(),
        }
    }
}

/// The pairs of a restored supply in the order they are read: neutral to ground, each leg to
/// neutral, leg to leg, at the line side of the base.
pub(super) fn supply_points(state: &State, sheets: &Sheets<'_>) -> Option<Vec<Point>> {
    let (service, system) = (state.target()?, state.system(sheets)?);
    let mut pairs = system.pairs_to_test();
    pairs.retain(|pair| pair.1 != Conductor::G || pair.0 == Conductor::N);
    let rank = |pair: &Pair| match pair.1 {
        Conductor::G => 0,
        Conductor::N => 1,
        _ => 2,
    };
    pairs.sort_by_key(rank);
    let place = Place::MeterBase { service: service.clone(), side: Side::Line };
    Some(pairs.into_iter().map(|between| Point { place: place.clone(), between }).collect())
}

/// How far the supply has been read, in its order; a pair read again begins from there.
pub(super) fn supply_read(
    state: &State,
    points: &[Point],
    sheets: &Sheets<'_>,
    now: &Instant,
) -> Vec<Decimal> {
    let mut read: Vec<&VoltsTaken> = Vec::new();
    for taken in state.volts_since_closing() {
        let point = Point::of(&taken.taken.reading);
        let Some(place) = points.iter().position(|known| *known == point) else { continue };
        if place <= read.len() {
            read.truncate(place);
            read.push(taken);
        }
    }
    let window = sheets.rules.proof_window();
    let old = |taken: &&VoltsTaken| !is_fresh(now, &taken.taken.at, window, sheets.rules);
    if read.len() < points.len() && read.first().is_some_and(old) {
        read.clear();
    }
    read.iter().map(|taken| taken.taken.reading.volts).collect()
}

/// Each leg to neutral at a place.
pub(super) fn legs_at(place: &Place, legs: &[Conductor]) -> Vec<Point> {
    let point = |&leg| Point { place: place.clone(), between: Pair(leg, Conductor::N) };
    legs.iter().map(point).collect()
}

/// The line side of the base.
pub(super) fn base(service: &AssetId) -> Place {
    Place::MeterBase { service: service.clone(), side: Side::Line }
}

/// The point that was not read for longest, of those that `volts` hold.
pub(super) fn least_lately<'a>(points: &'a [Point], volts: &[&VoltsTaken]) -> Option<&'a Point> {
    let last =
        |point: &Point| volts.iter().rposition(|taken| Point::of(&taken.taken.reading) == *point);
    points.iter().min_by_key(|point| last(point).map_or(0, |place| place + 1))
}

/// Whether every point was read.
pub(super) fn all_read(points: &[Point], volts: &[&VoltsTaken]) -> bool {
    points.iter().all(|point| volts.iter().any(|taken| Point::of(&taken.taken.reading) == *point))
}
