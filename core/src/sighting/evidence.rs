//! Everything a verdict is drawn from, gathered from the events of a job.

use std::{
    collections::{BTreeMap, BTreeSet},
    num::NonZeroU8,
};

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{cause::Cause, seen::Sighting};
use crate::{
    plant::Conductor,
    quantity::{
        AssetId, Decimal, DeedId, Instant, InstrumentId, MarksId, PersonId, PlacementId, RunId,
        SightingId, StayId,
    },
    reading::Instrument,
};

/// A hot leg: L1, L2 or L3.
pub type Leg = Conductor;

/// A cable set as it is seen in a pad: the candidate of the second question.
#[derive(
    Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(deny_unknown_fields)]
pub struct SetAt {
    /// The pad.
    pub pad: AssetId,
    /// The lug position.
    pub position: String,
}

/// One stay at premises. It begins and ends on record.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Stay {
    /// Its name.
    pub id: StayId,
    /// Whose stay it is.
    pub person: PersonId,
    /// When it began.
    pub begun: Instant,
    /// When it ended; none: still there.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ended: Option<Instant>,
    /// Withdrawn whole.
    #[serde(default)]
    pub withdrawn: bool,
}

/// The sets seen in a pad, and the marks put on them in one go.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Marks {
    /// This go.
    pub id: MarksId,
    /// The pad.
    pub pad: AssetId,
    /// Each set and its mark.
    pub sets: Vec<MarkedSet>,
}

/// A set with the mark that was put on it.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MarkedSet {
    /// The mark: one letter or two.
    pub mark: String,
    /// The lug position it was put on.
    pub position: String,
}

/// How a set was found again in the cabinet.
#[derive(
    Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case", tag = "by", deny_unknown_fields)]
pub enum Handle {
    /// By the mark on it.
    Mark {
        /// Which go of marks.
        marks: MarksId,
        /// The mark.
        mark: String,
    },
    /// By counting lug positions.
    Position {
        /// The position.
        position: String,
    },
}

/// One placement of a clamp on one leg of one set.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Placement {
    /// Its name.
    pub id: PlacementId,
    /// The pad.
    pub pad: AssetId,
    /// How the set was found.
    pub handle: Handle,
    /// Which leg is in the jaws; none: the whole cable.
    pub leg: Option<Leg>,
    /// Parallel runs of that leg in the jaws: fewer than it has show a part of its amps.
    pub runs_in_jaws: NonZeroU8,
    /// The clamp.
    pub instrument: InstrumentId,
    /// When it was placed.
    pub at: Instant,
}

/// One slot of the code.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Slot {
    /// The load is switched over: on if it was off, off if it was on.
    Change,
    /// The load stays as it is.
    Hold,
}

/// One switching run of a known load at the premises.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Run {
    /// Its name.
    pub id: RunId,
    /// The stay it was done in.
    pub stay: StayId,
    /// Who switched.
    pub doer: PersonId,
    /// Where it was plugged in, in words.
    pub outlet: String,
    /// The known load at the measured voltage, amps.
    pub load_amps: Decimal,
    /// How far its true current may be off, percent.
    pub load_tolerance_percent: Decimal,
    /// SHA-256 of code and salt, written down before slot one, hex.
    pub sealed: String,
    /// The change slot, counted from zero, at which the pad types amps.
    pub size_slot: u16,
    /// When slot one began.
    pub begun: Instant,
    /// The code and its salt, opened after the last slot; none: not opened yet.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub opened: Option<OpenedCode>,
    /// When it ended.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ended: Option<Instant>,
}

/// The code of a run, opened after its last slot.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OpenedCode {
    /// One a slot.
    pub code: Vec<Slot>,
    /// What was hashed with it, hex.
    pub salt: String,
}

/// What was done at the premises.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum DeedKind {
    /// The meter was pulled.
    MeterPulled,
    /// The meter was set back.
    MeterSet,
    /// A tone was put on the conductors.
    ToneOn,
}

/// A deed at the premises.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Deed {
    /// Its name.
    pub id: DeedId,
    /// The stay it was done in.
    pub stay: StayId,
    /// Who did it.
    pub doer: PersonId,
    /// What.
    pub kind: DeedKind,
    /// The number read on the meter in the hand; none: not read.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub number_in_hand: Option<String>,
    /// When.
    pub at: Instant,
}

impl Stay {
    /// Whether it lasts.
    pub fn is_open(&self) -> bool {
        self.ended.is_none() && !self.withdrawn
    }
}

/// Everything a verdict is drawn from.
#[derive(Debug, Clone, PartialEq)]
pub struct Evidence {
    /// The service that is to be made dead.
    pub target: AssetId,
    /// Stays at premises.
    pub stays: BTreeMap<StayId, Stay>,
    /// Sets seen, by go of marks.
    pub marks: BTreeMap<MarksId, Marks>,
    /// The newest go of marks on each pad: the only ones that are still on its sets.
    newest_marks: BTreeMap<AssetId, MarksId>,
    /// Placements of clamps.
    pub placements: BTreeMap<PlacementId, Placement>,
    /// Switching runs.
    pub runs: BTreeMap<RunId, Run>,
    /// Deeds.
    pub deeds: BTreeMap<DeedId, Deed>,
    /// Instruments.
    pub instruments: BTreeMap<InstrumentId, Instrument>,
    /// Instruments that were shown to read right on a known load or source, and when last.
    pub proven: BTreeMap<InstrumentId, Instant>,
    /// Since when each of them has been shown to read right without a failure in between.
    pub proven_since: BTreeMap<InstrumentId, Instant>,
    /// Instruments that failed against something known and were not held to it again since.
    failed: BTreeSet<InstrumentId>,
    /// Placements of a clamp before it failed: what was read there counts no more.
    void_placements: BTreeSet<PlacementId>,
    /// Sightings that have not been superseded.
    pub sightings: BTreeMap<SightingId, Sighting>,
    /// Who of the crew is an electrician: all that they say falls together, the sticker included.
    pub electricians: BTreeSet<PersonId>,
    /// The sealed code of the job's sticker, hex; none: the job has none.
    pub sticker: Option<String>,
    /// Whether an opening showed that another set feeds the target, or somebody besides.
    pub another_set_shown: bool,
    /// The newest instant of each boot: sightings grow stale against it.
    as_of: BTreeMap<String, Instant>,
}

impl Evidence {
    /// Nothing known yet about `target`.
    pub fn new(target: AssetId) -> Self {
        Self {
            target,
            stays: BTreeMap::new(),
            marks: BTreeMap::new(),
            newest_marks: BTreeMap::new(),
            placements: BTreeMap::new(),
            runs: BTreeMap::new(),
            deeds: BTreeMap::new(),
            instruments: BTreeMap::new(),
            proven: BTreeMap::new(),
            proven_since: BTreeMap::new(),
            failed: BTreeSet::new(),
            void_placements: BTreeSet::new(),
            sightings: BTreeMap::new(),
            electricians: BTreeSet::new(),
            sticker: None,
            another_set_shown: false,
            as_of: BTreeMap::new(),
        }
    }

    /// The cause of all that a person reports about the premises in one stay. All of an
    /// electrician's is one cause whatever the stay: who takes another house for the customer's puts
    /// the sticker there too.
    pub(crate) fn report_of(&self, person: &PersonId, stay: &StayId) -> Cause {
        if self.electricians.contains(person) {
            Cause::Electrician
        } else {
            Cause::Report { person: person.clone(), stay: stay.clone() }
        }
    }

    /// Time has come to this instant on some device.
    pub fn come_to(&mut self, at: &Instant) {
        match self.as_of.get_mut(&at.boot) {
            Some(newest) if newest.mono_ms >= at.mono_ms => {}
            Some(newest) => *newest = at.clone(),
            None => {
                self.as_of.insert(at.boot.clone(), at.clone());
            }
        }
    }

    /// Whether something seen at `at` is older than `window_s` by its own phone's clock since boot or
    /// by anybody's wall clock: either alone is enough, so that setting a clock back keeps nothing
    /// fresh.
    pub fn is_stale(&self, at: &Instant, window_s: u32) -> bool {
        self.as_of.values().any(|newest| is_older(at, newest, window_s))
    }

    /// Whether a sighting is older than `window_s`: what was seen, and the picture it was seen on.
    pub fn is_old(&self, sighting: &Sighting, window_s: u32) -> bool {
        moments(sighting).any(|at| self.is_stale(at, window_s))
    }

    /// The same evidence as it stands at `now`, where something in it has grown stale since the last
    /// entry; none: nothing has.
    pub fn grown_old(&self, now: &Instant, window_s: u32) -> Option<Self> {
        let grows_old = |one: &Sighting| {
            moments(one).any(|at| is_older(at, now, window_s)) && !self.is_old(one, window_s)
        };
        self.sightings.values().any(grows_old).then(|| {
            let mut then = self.clone();
            then.come_to(now);
            then
        })
    }

    /// Marks were put on the sets of a pad, anew where there were some.
    pub fn put_marks(&mut self, marks: Marks) {
        self.newest_marks.insert(marks.pad.clone(), marks.id.clone());
        self.marks.insert(marks.id.clone(), marks);
    }

    /// The marks that are on a pad's sets now; none: they were never marked.
    pub fn marks_on(&self, pad: &AssetId) -> Option<&Marks> {
        self.marks.get(self.newest_marks.get(pad)?)
    }

    /// The mark that is on a set now.
    pub fn mark_of(&self, set: &SetAt) -> Option<(&MarksId, &str)> {
        let go = self.marks_on(&set.pad)?;
        let marked = go.sets.iter().find(|marked| marked.position == set.position)?;
        Some((&go.id, &marked.mark))
    }

    /// An instrument was held to something known and read right.
    pub fn show_right(&mut self, instrument: &InstrumentId, at: &Instant) {
        self.failed.remove(instrument);
        self.show_life(instrument, at);
    }

    /// An instrument showed that something known is live, but not how far off it reads. That takes
    /// back no failure: one with a low battery still shows some volts.
    pub fn show_life(&mut self, instrument: &InstrumentId, at: &Instant) {
        if self.failed.contains(instrument) {
            return;
        }
        self.proven.insert(instrument.clone(), at.clone());
        self.proven_since.entry(instrument.clone()).or_insert_with(|| at.clone());
    }

    /// An instrument was held to something known and read wrong: it is not used, and what it read
    /// counts no more, whatever it is shown to read later. No clock is asked, since it may have failed
    /// on one phone and been shown right on another.
    pub fn show_wrong(&mut self, instrument: &InstrumentId) {
        self.proven.remove(instrument);
        self.proven_since.remove(instrument);
        self.failed.insert(instrument.clone());
        let placed = self.placements.values().filter(|placed| placed.instrument == *instrument);
        self.void_placements.extend(placed.map(|placed| placed.id.clone()));
    }

    /// Whether what was read at this placement counts no more, since its clamp failed after it.
    pub fn is_void(&self, placement: &PlacementId) -> bool {
        self.void_placements.contains(placement)
    }
}

/// When something was seen, and when the picture was taken that it was seen on.
fn moments(sighting: &Sighting) -> impl Iterator<Item = &Instant> {
    let taken = sighting.seen.of_picture().map(|picture| picture.taken_at);
    std::iter::once(&sighting.at).chain(taken)
}

/// Whether `then` lies more than `window_s` before `now` by the clock of one boot or by wall clocks.
fn is_older(then: &Instant, now: &Instant, window_s: u32) -> bool {
    let most_ms = i64::from(window_s) * 1000;
    let older = |now: i64, then: i64| now.saturating_sub(then) > most_ms;
    now.boot == then.boot && older(now.mono_ms, then.mono_ms) || older(now.wall_ms, then.wall_ms)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sighting::{Seen, Sighting};

    fn at(boot: &str, wall_s: i64, mono_s: i64) -> Instant {
        Instant { wall_ms: wall_s * 1000, boot: boot.into(), mono_ms: mono_s * 1000 }
    }

    fn none() -> Evidence {
        Evidence::new("V1".try_into().unwrap())
    }

    fn seen(at: Instant, seen: Seen) -> Sighting {
        Sighting { id: "s".try_into().unwrap(), who: "ana".try_into().unwrap(), at, seen }
    }

    fn picture(taken_at: Instant) -> Seen {
        Seen::MeterPhoto {
            stay: "stay".try_into().unwrap(),
            run: None,
            taken_by: "ana".try_into().unwrap(),
            taken_at,
            photo: "0".repeat(64),
            number: "M1".into(),
        }
    }

    #[test]
    fn what_was_seen_grows_old_by_the_clock_of_its_own_boot_or_by_any_wall_clock() {
        let mut evidence = none();
        let then = at("one", 0, 0);
        evidence.come_to(&at("one", 0, 100));
        assert!(!evidence.is_stale(&then, 100), "a hundred seconds are not more than a hundred");
        evidence.come_to(&at("one", 0, 101));
        assert!(evidence.is_stale(&then, 100));
        let mut other = none();
        other.come_to(&at("two", 100, 9000));
        assert!(!other.is_stale(&then, 100), "another boot says nothing by its own count");
        other.come_to(&at("two", 101, 9001));
        assert!(other.is_stale(&then, 100));
    }

    #[test]
    fn a_picture_is_as_old_as_when_it_was_taken() {
        let mut evidence = none();
        evidence.come_to(&at("one", 150, 150));
        let read_late = seen(at("two", 150, 7), picture(at("one", 0, 0)));
        assert!(evidence.is_old(&read_late, 100));
        assert!(!evidence.is_old(&seen(at("two", 150, 7), picture(at("one", 60, 60))), 100));
    }

    #[test]
    fn what_nobody_wrote_on_grows_old_by_the_moment_at_which_it_is_asked() {
        let mut evidence = none();
        let number = Seen::Marker {
            end: super::super::seen::End::Base { stay: "stay".try_into().unwrap() },
            text: "1".into(),
        };
        let sighting = seen(at("one", 0, 0), number);
        evidence.sightings.insert(sighting.id.clone(), sighting.clone());
        evidence.come_to(&at("one", 50, 50));
        assert_eq!(evidence.grown_old(&at("one", 100, 100), 100), None);
        let then = evidence.grown_old(&at("two", 101, 3), 100).expect("something grew old");
        assert!(then.is_old(&sighting, 100));
        assert!(!evidence.is_old(&sighting, 100), "nothing was changed by asking");
        assert_eq!(then.grown_old(&at("two", 900, 803), 100), None, "it is old already");
    }

    #[test]
    fn one_that_failed_is_taken_back_by_being_held_to_something_known_alone() {
        let mut evidence = none();
        let tester: InstrumentId = "T1".try_into().unwrap();
        evidence.show_life(&tester, &at("one", 1, 1));
        assert!(evidence.proven.contains_key(&tester));
        evidence.show_wrong(&tester);
        evidence.show_life(&tester, &at("one", 2, 2));
        assert!(!evidence.proven.contains_key(&tester), "some volts are not the right volts");
        evidence.show_right(&tester, &at("one", 3, 3));
        assert!(evidence.proven.contains_key(&tester));
        evidence.show_life(&tester, &at("one", 4, 4));
        assert_eq!(evidence.proven.get(&tester), Some(&at("one", 4, 4)));
        assert_eq!(evidence.proven_since.get(&tester), Some(&at("one", 3, 3)));
    }
}
