//! Available fault current.

use schemars::JsonSchema;
use serde::Serialize;

use crate::{
    caution::{Clothing, clothing},
    fault_current::{
        Assumed, COLD_CELSIUS, Circuit, FaultCurrents, Faults, Gear, HOT_CELSIUS, Holds,
        LateralPoint, Most, NotPossible, ServiceFaults, Withstand,
    },
    plant::VoltageSystem,
    quantity::{AssetId, Current, NodeId, Temperature, celsius, in_amps, in_celsius, in_metres},
    rule_sheet::RuleSheet,
    words::{Sentence, Words},
};

/// Symmetrical RMS amps of bolted faults, no motors, nominal volts.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FaultCurrentForm {
    /// The voltage system.
    pub system: String,
    /// Conductor temperature the amps are for, degrees Celsius; cold gives the largest.
    pub conductor_celsius: f64,
    /// All three legs at the pad's secondary terminals; null behind a one-phase transformer.
    pub pad_three_phase_amps: Option<f64>,
    /// Leg to leg at the pad's secondary terminals.
    pub pad_line_to_line_amps: f64,
    /// Leg to neutral at the pad's secondary terminals.
    pub pad_line_to_neutral_amps: f64,
    /// All three legs at the meter base; null without a cable or without three legs.
    pub meter_three_phase_amps: Option<f64>,
    /// Leg to leg at the meter base; null without a cable.
    pub meter_line_to_line_amps: Option<f64>,
    /// Leg to neutral at the meter base; null without a cable. Any of the three may be the largest.
    pub meter_line_to_neutral_amps: Option<f64>,
    /// The same with hot conductors: what must still clear a fuse.
    pub smallest: SmallestForm,
    /// What half a winding has of the whole one's resistance; null behind a three-phase transformer.
    pub half_winding_r: Option<f64>,
    /// Likewise of its reactance.
    pub half_winding_x: Option<f64>,
    /// What has to withstand the largest.
    pub withstand: Vec<WithstandForm>,
    /// Arc clothing at this voltage system's secondary.
    pub clothing: ClothingForm,
    /// What was taken for want of a record or an option.
    pub assumed: Vec<Sentence>,
    /// How it lies on the map record; null when it was computed from numbers alone.
    pub path: Option<FaultPathForm>,
}

/// The smallest amps of bolted faults.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SmallestForm {
    /// Conductor temperature they are for, degrees Celsius.
    pub conductor_celsius: f64,
    /// All three legs at the pad's secondary terminals.
    pub pad_three_phase_amps: Option<f64>,
    /// Leg to leg at the pad's secondary terminals.
    pub pad_line_to_line_amps: f64,
    /// Leg to neutral at the pad's secondary terminals.
    pub pad_line_to_neutral_amps: f64,
    /// All three legs at the meter base.
    pub meter_three_phase_amps: Option<f64>,
    /// Leg to leg at the meter base.
    pub meter_line_to_line_amps: Option<f64>,
    /// Leg to neutral at the meter base.
    pub meter_line_to_neutral_amps: Option<f64>,
}

/// A withstand rating beside the most its gear may see.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WithstandForm {
    /// The customer's source whose transfer switch it is, counted from 1; null for the meter base.
    pub transfer_switch_of_source: Option<usize>,
    /// What it withstands; null: not known.
    pub withstand_amps: Option<f64>,
    /// The most it may see by the nameplate.
    pub most_amps: f64,
    /// The same with the nameplate's impedance at its lower tolerance and what was taken at its worst.
    pub most_amps_at_worst: f64,
    /// Whether it may see more; null: not known, or undecided between the two.
    pub over: Option<bool>,
    /// Said.
    pub sentence: Sentence,
}

/// Arc clothing and where its number is from.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ClothingForm {
    /// The least arc rating, cal/cm2, as it is written; null: no number without a study.
    pub cal_per_cm2: Option<String>,
    /// Where that is from.
    pub source: String,
    /// Said.
    pub sentence: Sentence,
    /// Where that is from, said.
    pub by: Sentence,
}

/// The way to a service by the record, and what follows from it.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FaultPathForm {
    /// The service.
    pub service: AssetId,
    /// Its transformer.
    pub transformer: AssetId,
    /// The other transformers that can feed the same bus; the largest is that of all of them.
    pub beside: Vec<AssetId>,
    /// The cable sets, from the lug to the service.
    pub sets: Vec<AssetId>,
    /// The feeder whose fault current was used; null: the record has none, and the supply was taken
    /// as stiff as can be.
    pub source: Option<AssetId>,
    /// The primary cables on the way whose neutral is not on the record.
    pub without_neutral: Vec<AssetId>,
    /// Along the primary; empty where the source's fault current is not on the record, and where other
    /// transformers feed back to it over the bus.
    pub lateral: Vec<LateralForm>,
}

/// Fault current at the end of a primary cable, where elbows are.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LateralForm {
    /// The cable.
    pub cable: AssetId,
    /// The node it ends at.
    pub node: NodeId,
    /// The cabinet there, where it is known.
    pub pad: Option<AssetId>,
    /// Cable from the source to there, metres.
    pub distance_m: f64,
    /// All three phases, cold; null on a one-phase lateral.
    pub three_phase_amps: Option<f64>,
    /// Phase to phase, cold; null on a one-phase lateral.
    pub line_to_line_amps: Option<f64>,
    /// Phase to ground, cold and with a return that resists nothing.
    pub line_to_ground_amps: f64,
    /// Phase to ground, hot and with the return in the cables' own neutrals.
    pub smallest_line_to_ground_amps: f64,
}

/// What a form is made beside: the utility's rules and the language.
#[derive(Debug, Clone, Copy)]
pub struct Beside<'a> {
    /// The rule sheet.
    pub rules: &'a RuleSheet,
    /// The sentences.
    pub words: &'a Words,
}

impl FaultCurrentForm {
    /// From numbers alone, for the largest and for the smallest, at a conductor temperature; the
    /// withstand of the meter base where it is known.
    pub fn by_numbers(
        [circuit, hot]: &[Circuit; 2],
        system: VoltageSystem,
        at: Temperature,
        (withstand, assumed): (Option<Current>, &[Assumed]),
        beside: Beside<'_>,
    ) -> Result<Self, NotPossible> {
        let cold = circuit.fault_currents(coldest(at))?;
        let most = Most::of(circuit, &cold, assumed)?;
        let smallest = hot.fault_currents(hottest(at))?;
        let gear = [Withstand { gear: Gear::MeterBase, rated: withstand, most }];
        let of = Of { circuit, smallest, system, gear: &gear, assumed };
        of.form(at, beside)
    }

    /// Of a service by the record, at a conductor temperature.
    pub fn by_record(
        faults: &ServiceFaults,
        at: Temperature,
        beside: Beside<'_>,
    ) -> Result<Self, NotPossible> {
        let of = Of {
            circuit: &faults.circuit,
            smallest: faults.hot_circuit.fault_currents(hottest(at))?,
            system: faults.system,
            gear: &faults.withstand,
            assumed: &faults.assumed,
        };
        Ok(Self { path: Some(FaultPathForm::new(faults)), ..of.form(at, beside)? })
    }
}

/// What the two ways to a form have in common.
struct Of<'a> {
    circuit: &'a Circuit,
    smallest: FaultCurrents,
    system: VoltageSystem,
    gear: &'a [Withstand],
    assumed: &'a [Assumed],
}

impl Of<'_> {
    fn form(&self, at: Temperature, beside: Beside<'_>) -> Result<FaultCurrentForm, NotPossible> {
        let FaultCurrents { pad, meter } = self.circuit.fault_currents(at)?;
        let half = match self.circuit {
            Circuit::SplitPhase(one) => Some(one.half),
            Circuit::Wye(_) => None,
        };
        let words = beside.words;
        Ok(FaultCurrentForm {
            system: self.system.name().to_owned(),
            conductor_celsius: degrees(at),
            pad_three_phase_amps: pad.three_phase.map(in_amps),
            pad_line_to_line_amps: in_amps(pad.line_to_line),
            pad_line_to_neutral_amps: in_amps(pad.line_to_neutral),
            meter_three_phase_amps: meter.and_then(|m| m.three_phase).map(in_amps),
            meter_line_to_line_amps: of(meter, |m| m.line_to_line),
            meter_line_to_neutral_amps: of(meter, |m| m.line_to_neutral),
            smallest: SmallestForm::new(hottest(at), &self.smallest),
            half_winding_r: half.map(|half| half.r),
            half_winding_x: half.map(|half| half.x),
            withstand: self.gear.iter().map(|g| WithstandForm::new(g, words)).collect(),
            clothing: ClothingForm::new(self.system, beside),
            assumed: self.assumed.iter().map(|taken| words.plain(taken.id())).collect(),
            path: None,
        })
    }
}

impl SmallestForm {
    fn new(at: Temperature, FaultCurrents { pad, meter }: &FaultCurrents) -> Self {
        Self {
            conductor_celsius: degrees(at),
            pad_three_phase_amps: pad.three_phase.map(in_amps),
            pad_line_to_line_amps: in_amps(pad.line_to_line),
            pad_line_to_neutral_amps: in_amps(pad.line_to_neutral),
            meter_three_phase_amps: meter.and_then(|m| m.three_phase).map(in_amps),
            meter_line_to_line_amps: of(*meter, |m| m.line_to_line),
            meter_line_to_neutral_amps: of(*meter, |m| m.line_to_neutral),
        }
    }
}

impl WithstandForm {
    /// A rating beside the most its gear may see.
    pub(crate) fn new(held: &Withstand, words: &Words) -> Self {
        let (gear, source) = match held.gear {
            Gear::MeterBase => (words.plain("fault-gear-meter-base"), None),
            Gear::TransferSwitch(number) => {
                let places = [("number", number.to_string())];
                let places = places.each_ref().map(|(name, value)| (*name, value.as_str()));
                (words.say("fault-gear-transfer-switch", &places), Some(number))
            }
        };
        let (id, over) = match held.holds() {
            Holds::Over => ("fault-over", Some(true)),
            Holds::Undecided => ("fault-undecided", None),
            Holds::Within => ("fault-within", Some(false)),
            Holds::NotKnown => ("fault-withstand-unknown", None),
        };
        let whole = |amps: Current| format!("{:.0}", in_amps(amps));
        let rated = held.rated.map(whole).unwrap_or_default();
        let (most, worst) = (whole(held.most.by_plate), whole(held.most.at_worst));
        let places =
            [("gear", &*gear.text), ("rated", &*rated), ("most", &*most), ("worst", &*worst)];
        Self {
            transfer_switch_of_source: source,
            withstand_amps: held.rated.map(in_amps),
            most_amps: in_amps(held.most.by_plate),
            most_amps_at_worst: in_amps(held.most.at_worst),
            over,
            sentence: words.say(id, &places),
        }
    }
}

impl ClothingForm {
    /// What is worn at a voltage system's secondary.
    pub(crate) fn new(system: VoltageSystem, Beside { rules, words }: Beside<'_>) -> Self {
        let worn = clothing(system, rules);
        let cal = match worn.value {
            Clothing::AtLeast { cal_per_cm2 } => Some(cal_per_cm2.to_string()),
            Clothing::StudyNeeded => None,
        };
        let source = [("source", worn.source)];
        let (sentence, by) = match &cal {
            Some(cal) => (words.say("fault-clothing", &[("cal", cal)]), "fault-clothing-by"),
            None => (words.plain("fault-clothing-study"), "fault-clothing-study-by"),
        };
        let by = words.say(by, &source);
        Self { cal_per_cm2: cal, source: worn.source.to_owned(), sentence, by }
    }
}

impl FaultPathForm {
    fn new(faults: &ServiceFaults) -> Self {
        Self {
            service: faults.service.clone(),
            transformer: faults.transformer.clone(),
            beside: faults.beside.clone(),
            sets: faults.sets.clone(),
            source: faults.source.clone(),
            without_neutral: faults.without_neutral.clone(),
            lateral: faults.lateral.iter().map(LateralForm::new).collect(),
        }
    }
}

impl LateralForm {
    fn new(point: &LateralPoint) -> Self {
        Self {
            cable: point.cable.clone(),
            node: point.node.clone(),
            pad: point.pad.clone(),
            distance_m: in_metres(point.distance),
            three_phase_amps: point.largest.three_phase.map(in_amps),
            line_to_line_amps: point.largest.line_to_line.map(in_amps),
            line_to_ground_amps: in_amps(point.largest.line_to_ground),
            smallest_line_to_ground_amps: in_amps(point.smallest.line_to_ground),
        }
    }
}

fn of(faults: Option<Faults>, which: impl Fn(&Faults) -> Current) -> Option<f64> {
    faults.as_ref().map(|faults| in_amps(which(faults)))
}

/// The colder of the usual cold conductor and what was asked for; and the hotter of the usual hot one.
fn coldest(at: Temperature) -> Temperature {
    at.min(celsius(COLD_CELSIUS))
}

fn hottest(at: Temperature) -> Temperature {
    at.max(celsius(HOT_CELSIUS))
}

/// Degrees to a hundredth: kelvins and back must not print 24.999999999999972.
fn degrees(at: Temperature) -> f64 {
    libm::round(in_celsius(at) * 100.0) / 100.0
}
