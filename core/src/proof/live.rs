//! Proof of a live and healthy supply at a meter base.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Insulation, Judging, NeutralQuality, NeutralTest, Point, judge_neutral};
use crate::{
    plant::{Band, Conductor, Pair, VoltageSystem},
    quantity::{AssetId, Bounded, Decimal, EventId, Impedance, Voltage},
    reading::{
        Doubt, InBand, NeutralSign, Place, Side, SupplySign, Taken, VoltsReading, in_band,
        is_fresh, neutral_sign, reasons, supply_signs,
    },
};

/// Phase rotation as a rotation meter shows it.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Rotation {
    /// L1, L2, L3.
    Clockwise,
    /// L1, L3, L2.
    Counterclockwise,
}

/// What is known of a service that was closed in again.
#[derive(Debug, Clone, Copy)]
pub struct Restored<'a> {
    /// The service.
    pub service: &'a AssetId,
    /// All voltages since the last closing, in the order of the record.
    pub volts: &'a [Taken<VoltsReading>],
    /// The neutral under load.
    pub neutral: Option<&'a Taken<NeutralTest>>,
    /// Computed impedance of the neutral from pad to base; none: metal, size or length not known.
    pub computed_neutral: Option<Impedance>,
    /// Insulation before the legs were landed.
    pub insulation: Option<&'a Insulation>,
    /// Whether all of it was open. Else no conductor had both ends free, and insulation is not asked.
    pub all_was_open: bool,
    /// Rotation before anything was opened; asked of three legs only.
    pub rotation_found: Option<Rotation>,
    /// Rotation now.
    pub rotation_now: Option<Rotation>,
}

/// What the supply comes to.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "outcome")]
pub enum LiveProof {
    /// Live and healthy.
    Proven(ProvenLive),
    /// Something is wrong: do not close the main.
    Stop {
        /// Everything that is wrong.
        why: Vec<Unhealthy>,
    },
    /// Not shown yet.
    Missing {
        /// Everything that is missing.
        missing: Vec<MissingLive>,
    },
}

/// A supply proven live and healthy. Only [`prove_live`] makes one.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct ProvenLive {
    service: AssetId,
    readings: Vec<EventId>,
    notes: Vec<LiveNote>,
}

impl ProvenLive {
    /// The service.
    pub const fn service(&self) -> &AssetId {
        &self.service
    }

    /// The voltages and the neutral test it rests on.
    pub fn readings(&self) -> &[EventId] {
        &self.readings
    }

    /// What is to be reported though it does not stop.
    pub fn notes(&self) -> &[LiveNote] {
        &self.notes
    }
}

reasons! {
    /// Reported though it does not stop.
    pub enum LiveNote {
        NearEdge = "live-note-near-edge":
            "Inside the band as shown, and the instrument could be off by more than is left.";
        RangeB = "live-note-range-b": "Outside ANSI C84.1 Range A and inside Range B.";
        LegsDiffer = "live-note-legs-differ": "The legs differ more than they should.";
        InsulationUneven = "live-note-insulation-uneven":
            "One leg's insulation is far below the best leg's.";
    }
}

/// One thing that is wrong with a supply.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", tag = "wrong", deny_unknown_fields)]
pub enum Unhealthy {
    /// A pair is outside the service band of its system.
    OutOfBand {
        /// Which.
        between: Pair,
        /// What it reads, volts.
        volts: Decimal,
    },
    /// The neutral stands away from ground: open, bad, or swapped with a leg.
    NeutralToGround {
        /// What it reads, volts.
        volts: Decimal,
    },
    /// The legs part as they do with an open neutral.
    LegsApart,
    /// What all voltages say together about what is wrong.
    Together {
        /// What they say.
        sign: SupplySign,
    },
    /// The neutral's impedance is beyond the limit.
    NeutralImpedance,
    /// The phases rotate the other way than they were found.
    RotationChanged,
    /// The insulation is not surely above the floor.
    InsulationLow,
}

/// One thing a proof of a live supply lacks.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", tag = "lacks", deny_unknown_fields)]
pub enum MissingLive {
    /// A pair was not read on the line side.
    NotRead {
        /// Which.
        between: Pair,
    },
    /// Something is held against the reading of a pair.
    NotCounted {
        /// Which.
        between: Pair,
        /// What, by id.
        why: Vec<String>,
    },
    /// Neutral to ground first, then each leg to neutral, then leg to leg.
    Order,
    /// The readings lie further apart than the window.
    Scattered,
    /// The neutral was not tested under load, or the test cannot show it.
    NeutralTest,
    /// The load of the neutral test was too small.
    NeutralLoad,
    /// The neutral test decides nothing: more load or a finer voltmeter.
    NeutralUndecided,
    /// The insulation was not shown before closing in.
    Insulation,
    /// The rotation was not found before opening.
    RotationFound,
    /// The rotation was not read now.
    RotationNow,
}

impl Unhealthy {
    /// Its stable id, which is the id of its sentence.
    pub const fn id(&self) -> &'static str {
        match self {
            Self::OutOfBand { .. } => "supply-out-of-band",
            Self::NeutralToGround { .. } => "supply-neutral-to-ground",
            Self::LegsApart => "supply-legs-apart",
            Self::Together { sign } => sign.id(),
            Self::NeutralImpedance => "supply-neutral-impedance",
            Self::RotationChanged => "supply-rotation-changed",
            Self::InsulationLow => "supply-insulation-low",
        }
    }
}

impl MissingLive {
    /// Its id, and the ids of what lies below it: each says what to do.
    pub fn said(&self) -> Vec<String> {
        let mut ids = vec![self.id().to_owned()];
        if let Self::NotCounted { why, .. } = self {
            ids.extend(why.iter().cloned());
        }
        ids
    }

    /// Its stable id, which is the id of its sentence.
    pub const fn id(&self) -> &'static str {
        match self {
            Self::NotRead { .. } => "supply-not-read",
            Self::NotCounted { .. } => "supply-not-counted",
            Self::Order => "supply-order",
            Self::Scattered => "supply-scattered",
            Self::NeutralTest => "supply-neutral-test",
            Self::NeutralLoad => "supply-neutral-load",
            Self::NeutralUndecided => "supply-neutral-undecided",
            Self::Insulation => "supply-insulation",
            Self::RotationFound => "supply-rotation-found",
            Self::RotationNow => "supply-rotation-now",
        }
    }
}

/// Judges whether a supply is live and healthy, by readings on the line side of the base with the
/// meter out.
///
/// Voltages are compared with the band as they stand, without guard band: a utility's supply is
/// judged so (JCGM 106: simple acceptance). Where the instrument's limit of error reaches over an
/// edge, that is noted. Outside Range A and inside Range B is noted, not stopped, where the table has
/// both.
pub fn prove_live(restored: &Restored<'_>, with: Judging<'_>) -> LiveProof {
    let mut found = Found::default();
    found.read_pairs(restored, with);
    found.check_order(with);
    found.check_legs(with);
    found.check_together(with);
    found.check_neutral(restored, with);
    found.check_insulation(restored);
    found.check_rotation(restored, with);
    let Found { used, wrong, missing, notes, .. } = found;
    if !wrong.is_empty() {
        LiveProof::Stop { why: wrong }
    } else if !missing.is_empty() {
        LiveProof::Missing { missing }
    } else {
        let mut readings: Vec<EventId> = used.into_iter().map(|(_, _, taken)| taken).collect();
        readings.extend(restored.neutral.map(|test| test.event.clone()));
        LiveProof::Proven(ProvenLive { service: restored.service.clone(), readings, notes })
    }
}

/// What the readings come to so far.
#[derive(Default)]
struct Found {
    /// Place in the record, pair and event of each reading that counts, and its volts.
    used: Vec<(usize, Pair, EventId)>,
    values: Vec<(Pair, Bounded<Voltage>)>,
    wrong: Vec<Unhealthy>,
    missing: Vec<MissingLive>,
    notes: Vec<LiveNote>,
}

const NEUTRAL_TO_GROUND: Pair = Pair(Conductor::N, Conductor::G);

impl Found {
    fn read_pairs(&mut self, restored: &Restored<'_>, with: Judging<'_>) {
        let place = Place::MeterBase { service: restored.service.clone(), side: Side::Line };
        let mut instants = Vec::new();
        for between in with.system.pairs_to_test() {
            if between.1 == Conductor::G && between != NEUTRAL_TO_GROUND {
                continue;
            }
            let point = Point { place: place.clone(), between };
            let last = restored.volts.iter().enumerate().rev();
            let Some((at, taken)) = last.into_iter().find(|(_, t)| Point::of(&t.reading) == point)
            else {
                self.missing.push(MissingLive::NotRead { between });
                continue;
            };
            let proven = with.proven.get(&taken.reading.instrument);
            let mut judged = with.volts(taken, &taken.at, proven, with.rules.proof_window());
            // A multimeter tells a healthy voltage as well as a tester does.
            judged.validation.doubtful.remove(&Doubt::HighImpedance);
            if !judged.validation.is_accepted() {
                let why = judged.validation.ids().into_iter().map(str::to_owned).collect();
                self.missing.push(MissingLive::NotCounted { between, why });
                continue;
            }
            self.used.push((at, between, taken.event.clone()));
            instants.push(&taken.at);
            self.values.push((between, judged.bound));
            self.check_band(between, taken.reading.volts, judged.bound, with);
        }
        let window = with.rules.proof_window();
        let near = |one, other| {
            is_fresh(one, other, window, with.rules) || is_fresh(other, one, window, with.rules)
        };
        if instants.iter().any(|&one| instants.iter().any(|&other| !near(one, other))) {
            self.missing.push(MissingLive::Scattered);
        }
    }

    fn check_band(
        &mut self,
        between: Pair,
        shown: Decimal,
        bound: Bounded<Voltage>,
        with: Judging<'_>,
    ) {
        let value = bound.value;
        if between == NEUTRAL_TO_GROUND {
            if value.abs() > with.rules.neutral_to_ground_most() {
                self.wrong.push(Unhealthy::NeutralToGround { volts: shown });
            }
            return;
        }
        if let Some(band) = accepted_band(between, with).filter(|band| band.holds(value)) {
            if in_band(bound, band) != InBand::Inside {
                self.note(LiveNote::NearEdge);
            }
            return;
        }
        let narrowed = with.rules.live_band_share.to_f64() < 1.0;
        if !narrowed && with.system.range_b(between).is_some_and(|band| band.holds(value)) {
            self.note(LiveNote::RangeB);
        } else {
            self.wrong.push(Unhealthy::OutOfBand { between, volts: shown });
        }
    }

    /// Neutral and polarity first: neutral to ground, each leg to neutral, leg to leg.
    fn check_order(&mut self, with: Judging<'_>) {
        let rank = |pair: Pair| match pair {
            NEUTRAL_TO_GROUND => 0,
            Pair(_, Conductor::N) => 1,
            Pair(..) => 2,
        };
        let mut places: Vec<(usize, i32)> =
            self.used.iter().map(|&(at, pair, _)| (at, rank(pair))).collect();
        places.sort_unstable();
        let whole = places.len() > with.system.legs().len();
        if whole && !places.is_sorted_by_key(|&(_, rank)| rank) {
            self.missing.push(MissingLive::Order);
        }
    }

    /// The legs of a split-phase service beside each other: an open neutral parts them.
    fn check_legs(&mut self, with: Judging<'_>) {
        let value = |pair| self.values.iter().find(|(p, _)| *p == pair).map(|(_, value)| *value);
        let legs =
            (value(Pair(Conductor::L1, Conductor::N)), value(Pair(Conductor::L2, Conductor::N)));
        let (VoltageSystem::Split120_240, (Some(one), Some(other))) = (with.system, legs) else {
            return;
        };
        match neutral_sign(one.value, other.value, with.rules) {
            NeutralSign::Balanced => {}
            NeutralSign::Look => self.note(LiveNote::LegsDiffer),
            NeutralSign::Stop => self.wrong.push(Unhealthy::LegsApart),
        }
    }

    /// What is wrong by all voltages together, so that nobody looks for it in one of them.
    fn check_together(&mut self, with: Judging<'_>) {
        let signs = supply_signs(&self.values, with.system);
        self.wrong.extend(signs.into_iter().map(|sign| Unhealthy::Together { sign }));
    }

    fn check_neutral(&mut self, restored: &Restored<'_>, with: Judging<'_>) {
        let Some(test) = restored.neutral else {
            self.missing.push(MissingLive::NeutralTest);
            return;
        };
        match judge_neutral(
            &test.reading,
            restored.service,
            &test.at,
            restored.computed_neutral,
            with,
        ) {
            NeutralQuality::Good => {}
            NeutralQuality::Bad => self.wrong.push(Unhealthy::NeutralImpedance),
            NeutralQuality::Undecided => self.missing.push(MissingLive::NeutralUndecided),
            NeutralQuality::LoadTooSmall => self.missing.push(MissingLive::NeutralLoad),
            NeutralQuality::NotCounted => self.missing.push(MissingLive::NeutralTest),
        }
    }

    fn check_insulation(&mut self, restored: &Restored<'_>) {
        match restored.insulation {
            None | Some(Insulation::Missing { .. }) if !restored.all_was_open => {}
            Some(Insulation::Sound { look_at, .. }) if look_at.is_empty() => {}
            Some(Insulation::Sound { .. }) => self.note(LiveNote::InsulationUneven),
            Some(Insulation::Low { .. }) => self.wrong.push(Unhealthy::InsulationLow),
            Some(Insulation::Missing { .. }) | None => {
                self.missing.push(MissingLive::Insulation);
            }
        }
    }

    fn check_rotation(&mut self, restored: &Restored<'_>, with: Judging<'_>) {
        if with.system.legs().len() < 3 {
            return;
        }
        match (restored.rotation_found, restored.rotation_now) {
            (Some(found), Some(now)) if found == now => {}
            (Some(_), Some(_)) => self.wrong.push(Unhealthy::RotationChanged),
            (found, now) => {
                self.missing.extend(found.is_none().then_some(MissingLive::RotationFound));
                self.missing.extend(now.is_none().then_some(MissingLive::RotationNow));
            }
        }
    }

    fn note(&mut self, note: LiveNote) {
        if !self.notes.contains(&note) {
            self.notes.push(note);
        }
    }
}

/// The system's own service band, narrowed round nominal by the rule sheet.
fn accepted_band(between: Pair, with: Judging<'_>) -> Option<Band> {
    let band = with.system.service_band(between)?;
    let nominal = with.system.expected(between)?;
    let share = with.rules.live_band_share.to_f64();
    Some(Band {
        least: nominal - (nominal - band.least) * share,
        most: nominal + (band.most - nominal) * share,
    })
}

#[cfg(test)]
mod tests;
