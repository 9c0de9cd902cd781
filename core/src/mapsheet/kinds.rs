//! Which kinds of features there are, with their fields and the unit of each: what a mapping from a
//! foreign source may fill.

/// Every kind of feature.
pub const KINDS: [&str; 8] =
    ["source", "switch", "cable", "transformer", "pad", "pedestal", "set", "service"];

/// What a number on a map sheet counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Measure {
    /// Metres.
    Metres,
    /// Volts.
    Volts,
    /// Thousands of volts.
    Kilovolts,
    /// Amps.
    Amps,
    /// Thousands of volt-amps.
    KilovoltAmps,
    /// Thousands of watts.
    Kilowatts,
    /// Hundredths.
    Percent,
    /// A ratio.
    Bare,
}

/// What a field holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FieldForm {
    /// One text.
    Text,
    /// A list of texts.
    Texts,
    /// A number of a unit.
    Number(Measure),
    /// A whole number.
    Whole,
    /// True or false.
    Flag,
    /// A list of objects with fields of their own.
    Objects(&'static [FieldOf]),
}

/// One field of a kind.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FieldOf {
    /// Its name.
    pub name: &'static str,
    /// What it holds.
    pub form: FieldForm,
    /// Whether a feature without it is refused.
    pub required: bool,
}

const fn must(name: &'static str, form: FieldForm) -> FieldOf {
    FieldOf { name, form, required: true }
}

const fn may(name: &'static str, form: FieldForm) -> FieldOf {
    FieldOf { name, form, required: false }
}

use FieldForm::{Flag, Number, Objects, Text, Texts, Whole};
use Measure::{Amps, Bare, KilovoltAmps, Kilovolts, Kilowatts, Metres, Percent, Volts};

const SOURCE: [FieldOf; 5] = [
    must("id", Text),
    must("node", Text),
    must("volts_line_to_line", Number(Volts)),
    may("fault_amps", Number(Amps)),
    may("x_over_r", Number(Bare)),
];

const SWITCH: [FieldOf; 13] = [
    must("id", Text),
    must("from", Text),
    must("to", Text),
    must("device", Text),
    must("normally", Text),
    must("rated_amps", Number(Amps)),
    must("load_break_amps", Number(Amps)),
    must("visible_break", Flag),
    must("lockable", Flag),
    may("pad", Text),
    may("position", Text),
    may("legs", Texts),
    may("volts_nominal", Number(Volts)),
];

const CABLE: [FieldOf; 8] = [
    must("id", Text),
    must("from", Text),
    must("to", Text),
    must("kv_class", Number(Kilovolts)),
    must("metal", Text),
    must("size", Text),
    may("neutral", Text),
    must("length_m", Number(Metres)),
];

const TRANSFORMER: [FieldOf; 14] = [
    must("id", Text),
    must("primary", Text),
    must("secondary", Text),
    must("kva", Number(KilovoltAmps)),
    must("percent_z", Number(Percent)),
    may("x_over_r", Number(Bare)),
    may("connection", Text),
    may("half_winding_r", Number(Bare)),
    may("half_winding_x", Number(Bare)),
    may("zero_over_positive", Number(Bare)),
    must("primary_volts", Number(Volts)),
    must("system", Text),
    may("phase", Text),
    must("pad", Text),
];

const PAD: [FieldOf; 4] = [
    must("id", Text),
    must("tags", Texts),
    must("position_accuracy_m", Number(Metres)),
    must("contains", Texts),
];

const PEDESTAL: [FieldOf; 2] = [must("id", Text), must("node", Text)];

const SET: [FieldOf; 10] = [
    must("id", Text),
    must("from", Text),
    must("to", Text),
    may("pad", Text),
    may("position", Text),
    must("metal", Text),
    must("size", Text),
    may("neutral_size", Text),
    must("length_m", Number(Metres)),
    may("runs", Whole),
];

const CUSTOMER_SOURCE: [FieldOf; 4] = [
    must("type", Text),
    must("kw", Number(Kilowatts)),
    must("transfer_switch", Flag),
    may("switch_withstand_amps", Number(Amps)),
];

const SERVICE: [FieldOf; 12] = [
    must("id", Text),
    must("node", Text),
    must("premises", Text),
    must("meters", Texts),
    must("meter_base_amps", Number(Amps)),
    must("system", Text),
    may("metering", Text),
    may("withstand_amps", Number(Amps)),
    may("peak_kva", Number(KilovoltAmps)),
    may("critical", Text),
    may("unmetered_loads", Whole),
    may("customer_sources", Objects(&CUSTOMER_SOURCE)),
];

/// The fields of a kind; none where there is no such kind.
pub fn fields_of(kind: &str) -> Option<&'static [FieldOf]> {
    Some(match kind {
        "source" => &SOURCE,
        "switch" => &SWITCH,
        "cable" => &CABLE,
        "transformer" => &TRANSFORMER,
        "pad" => &PAD,
        "pedestal" => &PEDESTAL,
        "set" => &SET,
        "service" => &SERVICE,
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::mapsheet::{Finding, FindingId, field::Fields, gather::read_kind};
    use crate::plant::Bounds;
    use crate::quantity::AssetId;
    use serde_json::{Map, Value, json};
    use std::collections::BTreeSet;

    /// Which fields the reader asks a feature for, and what it finds.
    fn asked(kind: &str, members: &Map<String, Value>) -> (BTreeSet<&'static str>, Vec<Finding>) {
        let fields = Fields::new("f".to_owned(), members, None, Bounds::default());
        let id = AssetId::new("f").unwrap();
        read_kind(kind, id, &fields);
        (fields.asked(), fields.finish())
    }

    fn missing(findings: &[Finding], of: &str) -> BTreeSet<String> {
        let missing = findings.iter().filter(|f| f.id == FindingId::MissingField);
        let of_it = missing.filter(|f| f.feature.as_deref() == Some(of));
        of_it.map(|f| f.field.clone().unwrap()).collect()
    }

    fn required(fields: &[FieldOf]) -> BTreeSet<String> {
        let required = fields.iter().filter(|field| field.required && field.name != "id");
        required.map(|field| field.name.to_owned()).collect()
    }

    #[test]
    fn the_reader_asks_for_these_fields_and_no_others() {
        for kind in KINDS {
            let fields = fields_of(kind).unwrap();
            let (asked, findings) = asked(kind, &Map::new());
            let known: BTreeSet<&str> =
                fields.iter().map(|field| field.name).chain(["kind"]).collect();
            assert_eq!(asked, known, "{kind}");
            assert_eq!(missing(&findings, "f"), required(fields), "{kind}");
        }
        assert_eq!(fields_of("bush"), None);
    }

    #[test]
    fn a_customers_source_is_asked_for_these() {
        let fill = |field: &FieldOf| (field.name.to_owned(), json!("x"));
        let all: Map<String, Value> = CUSTOMER_SOURCE.iter().map(fill).collect();
        for (source, wanted) in [(all, BTreeSet::new()), (Map::new(), required(&CUSTOMER_SOURCE))] {
            let members = Map::from_iter([("customer_sources".to_owned(), json!([source]))]);
            let (_, findings) = asked("service", &members);
            assert_eq!(missing(&findings, "f customer source 1"), wanted);
            assert!(findings.iter().all(|f| f.id != FindingId::UnknownField), "{findings:?}");
        }
    }
}
