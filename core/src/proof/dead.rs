//! Proof of dead: tester shown live, every point dead, tester shown live again.

use std::collections::BTreeSet;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{
    Judging, Point, Zone,
    hypothesis::{Hypothesis, most_likely},
    judging::is_before,
};
use crate::{
    plant::Pair,
    quantity::{EventId, Instant, InstrumentId, Time},
    reading::{
        Clash, Liveness, MayBe, Place, Side, Taken, VoltsReading, cross_check, doubted, is_fresh,
        may_be,
    },
    rule_sheet::RuleSheet,
};

/// What the readings of a zone come to.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "outcome")]
pub enum DeadProof {
    /// Dead, everywhere it was asked for.
    Proven(ProvenDead),
    /// Something is live: a stop, which voids the identification.
    Live {
        /// Every live reading.
        live: Vec<LiveReading>,
        /// What is now most likely, by what is live.
        most_likely: Hypothesis,
    },
    /// Not proven.
    Missing {
        /// Everything that is missing.
        missing: Vec<MissingDead>,
    },
}

/// A zone proven dead. Only [`prove_dead`] makes one.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct ProvenDead {
    zone: Zone,
    instrument: InstrumentId,
    opened: Instant,
    closed: Instant,
    readings: Vec<EventId>,
}

impl ProvenDead {
    /// What is dead.
    pub const fn zone(&self) -> &Zone {
        &self.zone
    }

    /// The one tester it was proven with.
    pub const fn instrument(&self) -> &InstrumentId {
        &self.instrument
    }

    /// When the tester was shown live before.
    pub const fn opened(&self) -> &Instant {
        &self.opened
    }

    /// When the tester was shown live again: the proof's age counts from here.
    pub const fn closed(&self) -> &Instant {
        &self.closed
    }

    /// The readings it rests on: the check before, the points in their order, the check after.
    pub fn readings(&self) -> &[EventId] {
        &self.readings
    }

    /// Whether a clearance may still be offered on it.
    pub fn is_fresh(&self, now: &Instant, rules: &RuleSheet) -> bool {
        is_fresh(now, &self.closed, rules.proof_to_offer(), rules)
    }
}

/// A live reading in a zone that should be dead.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LiveReading {
    /// The event that holds it.
    pub event: EventId,
    /// Where and between what.
    pub point: Point,
}

/// One thing a proof of dead lacks.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", tag = "lacks", deny_unknown_fields)]
pub enum MissingDead {
    /// The tester was not shown live on a known source before the first point.
    TesterBefore,
    /// The tester was not shown live on a known source after the last point.
    TesterAfter,
    /// From the first check to the last took longer than the window.
    TooLong {
        /// The window, seconds.
        window_s: u32,
    },
    /// A point was not read.
    NotRead {
        /// Which.
        point: Point,
    },
    /// A point was read with another tester only.
    OtherTester {
        /// Which.
        point: Point,
    },
    /// A point is neither dead nor live: it is treated as live until a retest settles it.
    Undecided {
        /// Which.
        point: Point,
        /// What it may be, the likeliest first.
        may_be: Vec<MayBe>,
    },
    /// A point reads dead, and something is held against the reading.
    NotCounted {
        /// Which.
        point: Point,
        /// What is held against it, by id.
        why: Vec<String>,
    },
    /// A point was read, and no clock puts it between the two checks.
    OutsideChecks {
        /// Which.
        point: Point,
    },
    /// Points of one place do not go together by circuit law.
    CircuitLaw {
        /// Where.
        place: Place,
        /// The pairs to read again.
        pairs: Vec<Pair>,
    },
}

impl MissingDead {
    /// Its stable id, which is the id of its sentence.
    pub const fn id(&self) -> &'static str {
        match self {
            Self::TesterBefore => "dead-tester-before",
            Self::TesterAfter => "dead-tester-after",
            Self::TooLong { .. } => "dead-too-long",
            Self::NotRead { .. } => "dead-point-not-read",
            Self::OtherTester { .. } => "dead-point-other-tester",
            Self::Undecided { .. } => "dead-point-undecided",
            Self::NotCounted { .. } => "dead-point-not-counted",
            Self::OutsideChecks { .. } => "dead-point-outside-checks",
            Self::CircuitLaw { .. } => "dead-circuit-law",
        }
    }

    /// Its id, and the ids of what lies below it: each says what to do.
    pub fn said(&self) -> Vec<String> {
        let mut ids = vec![self.id().to_owned()];
        match self {
            Self::NotCounted { why, .. } => ids.extend(why.iter().cloned()),
            Self::Undecided { may_be, .. } => {
                ids.extend(may_be.first().map(|likeliest| likeliest.id().to_owned()));
            }
            _ => {}
        }
        ids
    }

    /// Every id.
    pub const IDS: &[&str] = &[
        "dead-tester-before",
        "dead-tester-after",
        "dead-too-long",
        "dead-point-not-read",
        "dead-point-other-tester",
        "dead-point-undecided",
        "dead-point-not-counted",
        "dead-point-outside-checks",
        "dead-circuit-law",
    ];
}

/// Judges whether a zone is proven dead.
///
/// `readings` are all voltages taken since the last opening (or since a stop was led back), in the
/// order of the record. Pass them all: a live one that is left out is a live one that is not seen.
/// Readings of other places are passed over, but for known sources.
pub fn prove_dead(zone: &Zone, readings: &[Taken<VoltsReading>], with: Judging<'_>) -> DeadProof {
    let live: Vec<&Taken<VoltsReading>> = readings
        .iter()
        .filter(|taken| zone.holds(&taken.reading.place))
        .filter(|taken| with.at_face(taken) == Liveness::Live)
        .collect();
    if !live.is_empty() {
        let most_likely = most_likely(&live, with.system);
        let live = live
            .into_iter()
            .map(|taken| LiveReading {
                event: taken.event.clone(),
                point: Point::of(&taken.reading),
            })
            .collect();
        return DeadProof::Live { live, most_likely };
    }
    let testers: BTreeSet<&InstrumentId> =
        readings.iter().map(|taken| &taken.reading.instrument).collect();
    let mut fewest: Option<Vec<MissingDead>> = None;
    for tester in testers {
        match with_tester(zone, tester, readings, with) {
            Ok(proven) => return DeadProof::Proven(proven),
            Err(missing) if fewest.as_ref().is_none_or(|few| missing.len() < few.len()) => {
                fewest = Some(missing);
            }
            Err(_) => {}
        }
    }
    let missing = fewest.unwrap_or_else(|| {
        let points = zone.points(with.system).into_iter();
        let mut all = vec![MissingDead::TesterBefore, MissingDead::TesterAfter];
        all.extend(points.map(|point| MissingDead::NotRead { point }));
        all
    });
    DeadProof::Missing { missing }
}

/// The proof with one tester, or all it lacks.
fn with_tester(
    zone: &Zone,
    tester: &InstrumentId,
    readings: &[Taken<VoltsReading>],
    with: Judging<'_>,
) -> Result<ProvenDead, Vec<MissingDead>> {
    let mut missing = Vec::new();
    let mut dead = Vec::new();
    for point in zone.points(with.system) {
        match dead_at(point, tester, readings, with) {
            Ok(taken) => dead.push(taken),
            Err(lack) => missing.push(lack),
        }
    }
    let checks: Vec<&Taken<VoltsReading>> = readings
        .iter()
        .filter(|taken| taken.reading.instrument == *tester && with.is_check(taken))
        .collect();
    let (before, after) = around(&checks, &dead);
    for taken in &dead {
        let outside = [before, after].into_iter().flatten().any(|c| c.at.boot != taken.at.boot);
        if outside {
            missing.push(MissingDead::OutsideChecks { point: Point::of(&taken.reading) });
        }
    }
    missing.extend(broken_law(&dead, with));
    let (before, after) = match (before, after) {
        (Some(before), Some(after)) => (before, after),
        (before, after) => {
            missing.extend(before.is_none().then_some(MissingDead::TesterBefore));
            missing.extend(after.is_none().then_some(MissingDead::TesterAfter));
            return Err(missing);
        }
    };
    let window: Time = with.rules.proof_window();
    if !is_before(&before.at, &after.at) || !before_is_within(before, after, window) {
        missing.push(MissingDead::TooLong { window_s: with.rules.proof_window_s });
    }
    // The same rule once more on each reading as it stands at the end of the proof: nothing is held
    // against it, and it lies between the checks.
    for taken in &dead {
        let judged = with.volts(taken, &after.at, Some(&before.at), window);
        let between = is_before(&before.at, &taken.at) && is_before(&taken.at, &after.at);
        let point = Point::of(&taken.reading);
        if judged.liveness != Liveness::Dead {
            let why = judged.validation.ids().into_iter().map(str::to_owned).collect();
            missing.push(MissingDead::NotCounted { point, why });
        } else if !between {
            missing.push(MissingDead::OutsideChecks { point });
        }
    }
    missing.sort();
    missing.dedup();
    if !missing.is_empty() {
        return Err(missing);
    }
    let mut rests_on = vec![before.event.clone()];
    rests_on.extend(dead.iter().map(|taken| taken.event.clone()));
    rests_on.push(after.event.clone());
    Ok(ProvenDead {
        zone: zone.clone(),
        instrument: tester.clone(),
        opened: before.at.clone(),
        closed: after.at.clone(),
        readings: rests_on,
    })
}

fn before_is_within(
    before: &Taken<VoltsReading>,
    after: &Taken<VoltsReading>,
    window: Time,
) -> bool {
    after.at.age_of(&before.at).within(window)
}

/// The last check before the first dead reading, and the first after the last.
fn around<'a>(
    checks: &[&'a Taken<VoltsReading>],
    dead: &[&Taken<VoltsReading>],
) -> (Option<&'a Taken<VoltsReading>>, Option<&'a Taken<VoltsReading>>) {
    let all = |test: &dyn Fn(&Instant) -> bool| dead.iter().all(|taken| test(&taken.at));
    let before = checks
        .iter()
        .copied()
        .filter(|check| !dead.is_empty() && all(&|at| is_before(&check.at, at)))
        .max_by_key(|check| check.at.mono_ms);
    let after = checks
        .iter()
        .copied()
        .filter(|check| !dead.is_empty() && all(&|at| is_before(at, &check.at)))
        .min_by_key(|check| check.at.mono_ms);
    (before, after)
}

/// The reading that shows a point dead with one tester: the last one, and no other reading of the
/// point, whoever took it, that is not dead and not surely earlier.
fn dead_at<'a>(
    point: Point,
    tester: &InstrumentId,
    readings: &'a [Taken<VoltsReading>],
    with: Judging<'_>,
) -> Result<&'a Taken<VoltsReading>, MissingDead> {
    let of_point: Vec<&Taken<VoltsReading>> =
        readings.iter().filter(|taken| Point::of(&taken.reading) == point).collect();
    let by_tester = |taken: &&&Taken<VoltsReading>| taken.reading.instrument == *tester;
    let Some(&last) = of_point.iter().rev().find(by_tester) else {
        return Err(if of_point.is_empty() {
            MissingDead::NotRead { point }
        } else {
            MissingDead::OtherTester { point }
        });
    };
    let judged = with.as_taken(last);
    if judged.liveness == Liveness::Dead {
        let open = of_point
            .iter()
            .any(|taken| with.at_face(taken) != Liveness::Dead && !is_before(&taken.at, &last.at));
        if !open {
            return Ok(last);
        }
    } else if with.at_face(last) == Liveness::Dead {
        let why = judged.validation.ids().into_iter().map(str::to_owned).collect();
        return Err(MissingDead::NotCounted { point, why });
    }
    let class = with.instruments.get(tester).map(|instrument| instrument.class);
    let may_be = class.map(|class| may_be(point.between, class).to_vec()).unwrap_or_default();
    Err(MissingDead::Undecided { point, may_be })
}

/// Places whose dead readings do not go together.
fn broken_law(dead: &[&Taken<VoltsReading>], with: Judging<'_>) -> Vec<MissingDead> {
    let places: BTreeSet<&Place> = dead.iter().map(|taken| &taken.reading.place).collect();
    let mut broken = Vec::new();
    for place in places {
        if matches!(place, Place::MeterBase { side: Side::AcrossJaws, .. }) {
            continue;
        }
        let values: Vec<_> = dead
            .iter()
            .filter(|taken| taken.reading.place == *place)
            .map(|taken| (taken.reading.between, with.as_taken(taken).bound))
            .collect();
        let clashes: Vec<Clash> = cross_check(&values, with.rules);
        if !clashes.is_empty() {
            broken.push(MissingDead::CircuitLaw { place: place.clone(), pairs: doubted(&clashes) });
        }
    }
    broken
}

#[cfg(test)]
mod oracle;
#[cfg(test)]
mod tests;
