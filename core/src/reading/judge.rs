//! Validation of one reading, and what is left of what it says.
//!
//! Validation may downgrade a dead or a no-load reading to undecided. It never touches a live or a
//! loaded one: those count whoever took them, with whatever instrument, however old its calibration.

use std::collections::BTreeSet;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{
    AmpsReading, Category, Doubt, Instrument, Liveness, Loading, OhmsReading, Place, Reads,
    Refusal, Side, Taken, VoltsReading, fresh::is_fresh, liveness, load_on,
};
use crate::{
    plant::{Pair, VoltageSystem},
    quantity::{
        Bounded, Current, Decimal, Impedance, Instant, InstrumentId, Time, Voltage, amps, in_volts,
        ohms, volts,
    },
    rule_sheet::RuleSheet,
};

/// What is held against a reading.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Validation {
    /// Why it is refused.
    pub refused: BTreeSet<Refusal>,
    /// Why it is doubtful.
    pub doubtful: BTreeSet<Doubt>,
}

/// How a reading stands.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Standing {
    /// Nothing is held against it.
    Accepted,
    /// It warns and proves nothing until it is retaken.
    Doubtful,
    /// It is not taken.
    Refused,
}

impl JudgedAmps {
    /// The ids of all that keeps it from saying `no load`, each of which says what to do.
    pub fn ids(&self) -> Vec<&'static str> {
        let mut ids = self.validation.ids();
        if self.loading == Loading::Loaded || ids.is_empty() && self.loading != Loading::NoLoad {
            ids.push(self.loading.id());
        }
        ids
    }
}

impl Validation {
    /// The worst of what is held against it.
    pub fn standing(&self) -> Standing {
        match (self.refused.is_empty(), self.doubtful.is_empty()) {
            (false, _) => Standing::Refused,
            (true, false) => Standing::Doubtful,
            (true, true) => Standing::Accepted,
        }
    }

    /// Nothing is held against it.
    pub fn is_accepted(&self) -> bool {
        self.standing() == Standing::Accepted
    }

    /// The ids of everything held against it, refusals first.
    pub fn ids(&self) -> Vec<&'static str> {
        let refused = self.refused.iter().map(|why| why.id());
        refused.chain(self.doubtful.iter().map(|why| why.id())).collect()
    }
}

/// When and where from a reading is judged.
#[derive(Debug, Clone, Copy)]
pub struct Moment<'a> {
    /// When it is judged.
    pub now: &'a Instant,
    /// When it was taken.
    pub taken: &'a Instant,
    /// When the instrument was last shown to work on a known source; none: not on record.
    pub proven: Option<&'a Instant>,
    /// How old it may be.
    pub window: Time,
}

impl Moment<'static> {
    /// All at one moment, so that no time is held against a reading: for what it says by itself.
    pub(crate) fn all_at_once(window: Time) -> Self {
        static ONCE: Instant = Instant { wall_ms: 0, boot: String::new(), mono_ms: 0 };
        Self { now: &ONCE, taken: &ONCE, proven: Some(&ONCE), window }
    }
}

/// A voltage with everything that may be said about it.
#[derive(Debug, Clone, PartialEq)]
pub struct JudgedVolts {
    /// The value with its limit of error; infinite where no instrument stands for it.
    pub bound: Bounded<Voltage>,
    /// What is held against it.
    pub validation: Validation,
    /// What it says after that: `Dead` only when nothing is.
    pub liveness: Liveness,
}

/// A current with everything that may be said about it.
#[derive(Debug, Clone, PartialEq)]
pub struct JudgedAmps {
    /// The value with its limit of error; infinite where no instrument stands for it.
    pub bound: Bounded<Current>,
    /// What is held against it.
    pub validation: Validation,
    /// What it says after that: `NoLoad` only when nothing is.
    pub loading: Loading,
}

/// An insulation resistance with everything that may be said about it.
#[derive(Debug, Clone, PartialEq)]
pub struct JudgedOhms {
    /// The value with its limit of error; infinite where no instrument stands for it.
    pub bound: Bounded<Impedance>,
    /// What is held against it.
    pub validation: Validation,
}

/// Judges a voltage. `instrument` is what the job knows of the instrument it names.
pub fn judge_volts(
    reading: &VoltsReading,
    instrument: Option<&Instrument>,
    moment: Moment<'_>,
    rules: &RuleSheet,
) -> JudgedVolts {
    let mut validation = Validation::default();
    let known = known(&mut validation, instrument, &reading.instrument);
    let shown = reading.volts.to_f64();
    if !is_a_pair(reading) {
        validation.refused.insert(Refusal::NotAPair);
    }
    let category = match reading.place {
        Place::KnownSource { .. } => None,
        Place::MeterBase { .. } | Place::PadBus { .. } | Place::LiftedLegs { .. } => {
            Some(Withstands::at_lugs(rules))
        }
    };
    check(&mut validation, known, reading.volts, Reads::Volts, category, moment, rules);
    let bound = known.map_or(
        Bounded { value: volts(shown), limit_of_error: volts(f64::INFINITY) },
        |instrument| instrument.volts_of(reading),
    );
    let at_face = Bounded { value: volts(shown), limit_of_error: volts(0.0) };
    let said = liveness(if known.is_some() { bound } else { at_face }, rules);
    if said != Liveness::Live && known.is_some_and(|i| i.class.shows_ghosts()) {
        validation.doubtful.insert(Doubt::HighImpedance);
    }
    let liveness = match said {
        Liveness::Dead if !validation.is_accepted() => Liveness::Undecided,
        said => said,
    };
    JudgedVolts { bound, validation, liveness }
}

/// Judges the volts across an open point: the value with its limit of error, and what is held against
/// it.
pub fn judge_across(
    shown: Decimal,
    named: &InstrumentId,
    instrument: Option<&Instrument>,
    at: AmpsAt,
    moment: Moment<'_>,
    rules: &RuleSheet,
) -> (Bounded<Voltage>, Validation) {
    let mut validation = Validation::default();
    let known = known(&mut validation, instrument, named);
    check(&mut validation, known, shown, Reads::Volts, Some(at.asks(rules)), moment, rules);
    let shown = shown.to_f64();
    let limit = known.map_or(f64::INFINITY, |instrument| instrument.limit_of_error(shown, 0.0));
    (Bounded { value: volts(shown), limit_of_error: volts(limit) }, validation)
}

/// Where a current was read, or the volts across an open point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum AmpsAt {
    /// On a secondary, of this system where it is known.
    Secondary(Option<VoltageSystem>),
    /// On a primary, at so many volts to ground.
    Primary(Voltage),
}

/// Judges a current. A zero counts only beside a load that the same clamp read within the window:
/// `others` are the readings of the job among which such a one is looked for.
pub fn judge_amps(
    reading: &AmpsReading,
    instrument: Option<&Instrument>,
    others: &[Taken<AmpsReading>],
    at: AmpsAt,
    moment: Moment<'_>,
    rules: &RuleSheet,
) -> JudgedAmps {
    let mut validation = Validation::default();
    let known = known(&mut validation, instrument, &reading.instrument);
    let shown = reading.amps.to_f64();
    if reading.conductor.is_none() {
        validation.refused.insert(Refusal::WholeCable);
    }
    check(&mut validation, known, reading.amps, Reads::Amps, Some(at.asks(rules)), moment, rules);
    // A primary's volts are typed for nobody's amps.
    if let AmpsAt::Secondary(Some(system)) = at
        && is_unit_slip(shown, system)
    {
        validation.doubtful.insert(Doubt::UnitSlip);
    }
    let bound = known.map_or(
        Bounded { value: amps(shown), limit_of_error: amps(f64::INFINITY) },
        |instrument| instrument.amps_of(reading, rules),
    );
    let at_face = Bounded { value: amps(shown), limit_of_error: amps(0.0) };
    let said = load_on(if known.is_some() { bound } else { at_face }, rules);
    let witnessed = known.is_some_and(|instrument| {
        others.iter().any(|other| {
            other.reading.instrument == reading.instrument
                && shows_load(instrument, &other.reading, rules)
                && is_fresh(moment.now, &other.at, moment.window, rules)
        })
    });
    if said == Loading::NoLoad && !witnessed {
        validation.doubtful.insert(Doubt::ZeroUnproven);
    }
    let loading = match said {
        Loading::NoLoad if !validation.is_accepted() => Loading::Undecided,
        said => said,
    };
    JudgedAmps { bound, validation, loading }
}

/// Whether what a clamp read was a load for certain: then a zero of it means something.
pub fn shows_load(clamp: &Instrument, read: &AmpsReading, rules: &RuleSheet) -> bool {
    read.conductor.is_some()
        && read.amps <= clamp.range
        && load_on(clamp.amps_of(read, rules), rules) == Loading::Loaded
}

/// Judges an insulation resistance, typed in megohms. It is taken with nothing live, so no category
/// is asked for.
pub fn judge_ohms(
    reading: &OhmsReading,
    instrument: Option<&Instrument>,
    moment: Moment<'_>,
    rules: &RuleSheet,
) -> JudgedOhms {
    let mut validation = Validation::default();
    let known = known(&mut validation, instrument, &reading.instrument);
    let shown = reading.megohms.to_f64();
    if reading.between.0 == reading.between.1 {
        validation.refused.insert(Refusal::NotAPair);
    }
    check(&mut validation, known, reading.megohms, Reads::Megohms, None, moment, rules);
    let limit = known.map_or(f64::INFINITY, |instrument| instrument.limit_of_error(shown, 0.0));
    JudgedOhms {
        bound: Bounded { value: ohms(shown * 1e6), limit_of_error: ohms(limit * 1e6) },
        validation,
    }
}

/// What an instrument has to withstand where it is used.
#[derive(Debug, Clone, Copy)]
struct Withstands {
    /// None: the place has none.
    category: Option<Category>,
    volts: f64,
}

impl Withstands {
    fn at_lugs(rules: &RuleSheet) -> Self {
        let volts = f64::from(rules.category_at_lugs_volts);
        Self { category: Some(rules.category_at_lugs), volts }
    }
}

impl AmpsAt {
    /// Measurement categories end at 1000 V (IEC 61010-1): on a primary the volts alone are asked for,
    /// which no clamp for a hand has, and one on a stick does.
    fn asks(self, rules: &RuleSheet) -> Withstands {
        match self {
            Self::Secondary(_) => Withstands::at_lugs(rules),
            Self::Primary(to_ground) => Withstands { category: None, volts: in_volts(to_ground) },
        }
    }
}

/// The instrument if it is the one named and its entry makes sense.
fn known<'a>(
    validation: &mut Validation,
    instrument: Option<&'a Instrument>,
    named: &InstrumentId,
) -> Option<&'a Instrument> {
    let known = instrument.filter(|i| i.id == *named && i.makes_sense());
    if known.is_none() {
        validation.refused.insert(Refusal::UnknownInstrument);
    }
    known
}

/// What is asked of every reading: the right kind, in range, category, calibration, shown to work,
/// fresh.
fn check(
    validation: &mut Validation,
    instrument: Option<&Instrument>,
    typed: Decimal,
    reads: Reads,
    withstands: Option<Withstands>,
    moment: Moment<'_>,
    rules: &RuleSheet,
) {
    let Validation { refused, doubtful } = validation;
    if typed.is_negative() {
        refused.insert(Refusal::Negative);
    }
    if !is_fresh(moment.now, moment.taken, moment.window, rules) {
        doubtful.insert(Doubt::Stale);
    }
    let proven = moment
        .proven
        .is_some_and(|proven| is_fresh(moment.now, proven, rules.instrument_proven(), rules));
    if !proven {
        doubtful.insert(Doubt::NotProven);
    }
    let Some(instrument) = instrument else { return };
    if instrument.class.reads() != reads {
        refused.insert(Refusal::WrongInstrument);
    }
    if typed.to_f64().abs() > instrument.range.to_f64() {
        refused.insert(Refusal::OutsideRange);
    }
    // 0.12 on a display of tenths of a volt was 0.12 kV, or another instrument's.
    if !typed.fits_steps_of(instrument.resolution) {
        doubtful.insert(Doubt::FinerThanDisplay);
    }
    let too_low = withstands.is_some_and(|place| {
        place.category.is_some_and(|least| instrument.category < least)
            || instrument.category_volts.to_f64() < place.volts
    });
    if too_low {
        refused.insert(Refusal::CategoryTooLow);
    }
    if moment.now.wall_ms > instrument.calibration_due_ms {
        doubtful.insert(Doubt::CalibrationOverdue);
    }
}

/// As many amps as some pair of the system has volts, within 5 %: 240 typed for amps.
fn is_unit_slip(shown: f64, system: VoltageSystem) -> bool {
    let near = |pair| {
        system.expected(pair).is_some_and(|nominal| {
            let nominal = in_volts(nominal);
            nominal > 0.0 && (shown.abs() - nominal).abs() <= 0.05 * nominal
        })
    };
    system.pairs_to_test().into_iter().any(near)
}

/// Whether the leads were on two conductors; across a pair of jaws, on the two sides of one leg.
fn is_a_pair(reading: &VoltsReading) -> bool {
    let Pair(one, other) = reading.between;
    match reading.place {
        Place::MeterBase { side: Side::AcrossJaws, .. } => one == other && one.is_leg(),
        Place::MeterBase { .. }
        | Place::PadBus { .. }
        | Place::LiftedLegs { .. }
        | Place::KnownSource { .. } => one != other,
    }
}

#[cfg(test)]
mod tests;
