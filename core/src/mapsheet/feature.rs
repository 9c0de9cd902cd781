//! One feature of a map sheet to one thing of the plant.
//!
//! The ranges are what is made and built, with room to spare: they catch slips of unit and decimal
//! point (common practice, no source).

use super::field::Fields;
use super::finding::FindingId;
use crate::plant::{
    Cable, ConcentricNeutral, Conductor, Connection, Critical, CustomerSource, CustomerSourceKind,
    Device, Metal, Metering, Normally, Pad, Pedestal, Service, Set, Source, Switch, Transformer,
    Windings,
};
use crate::quantity::{AssetId, amps, kilovolt_amps, metres, volts};

/// The least of a number that must be more than nothing.
const ABOVE_ZERO: f64 = 1e-6;

pub(super) const METALS: [(&str, Metal); 2] = [("al", Metal::Al), ("cu", Metal::Cu)];
pub(super) const DEVICES: [(&str, Device); 6] = [
    ("cut-out", Device::CutOut),
    ("elbow", Device::Elbow),
    ("bayonet-fuse", Device::BayonetFuse),
    ("breaker", Device::Breaker),
    ("feeder-switch", Device::FeederSwitch),
    ("lug-pair", Device::LugPair),
];
pub(super) const NORMALLY: [(&str, Normally); 2] =
    [("open", Normally::Open), ("closed", Normally::Closed)];
pub(super) const NEUTRALS: [(&str, ConcentricNeutral); 2] =
    [("full", ConcentricNeutral::Full), ("third", ConcentricNeutral::Third)];
pub(super) const CONNECTIONS: [(&str, Connection); 2] =
    [("delta-wye", Connection::DeltaWye), ("wye-wye", Connection::WyeWye)];
pub(super) const METERING: [(&str, Metering); 2] =
    [("self-contained", Metering::SelfContained), ("ct", Metering::Ct)];
pub(super) const CRITICAL: [(&str, Critical); 3] = [
    ("life-support", Critical::LifeSupport),
    ("well-pump", Critical::WellPump),
    ("traffic-light", Critical::TrafficLight),
];
pub(super) const SOURCE_KINDS: [(&str, CustomerSourceKind); 3] = [
    ("generator", CustomerSourceKind::Generator),
    ("pv", CustomerSourceKind::Pv),
    ("battery", CustomerSourceKind::Battery),
];
pub(super) const LEGS: [(&str, Conductor); 3] =
    [("L1", Conductor::L1), ("L2", Conductor::L2), ("L3", Conductor::L3)];

pub(super) fn source(id: AssetId, f: &Fields<'_>) -> Option<Source> {
    let at = f.point();
    let node = f.node("node");
    let line_to_line = f.number("volts_line_to_line", 100.0..=100_000.0);
    let fault = f.maybe_number("fault_amps", 1.0..=200_000.0);
    let x_over_r = f.maybe_number("x_over_r", 0.0..=200.0);
    Some(Source {
        id,
        at: at?,
        node: node?,
        line_to_line: volts(line_to_line?),
        fault: fault.map(amps),
        x_over_r,
    })
}

pub(super) fn switch(id: AssetId, f: &Fields<'_>) -> Option<Switch> {
    let at = f.maybe_point();
    let from = f.node("from");
    let to = f.node("to");
    let device = f.choice("device", &DEVICES);
    let normally = f.choice("normally", &NORMALLY);
    let rated = f.number("rated_amps", ABOVE_ZERO..=20_000.0);
    let load_break = f.number("load_break_amps", 0.0..=20_000.0);
    let visible_break = f.flag("visible_break");
    let lockable = f.flag("lockable");
    let pad = f.maybe_id("pad");
    let position = f.maybe_text("position");
    let mut legs = f.choices("legs", &LEGS);
    legs.sort_unstable();
    legs.dedup();
    let voltage = f.maybe_number("volts_nominal", ABOVE_ZERO..=100_000.0);
    if device == Some(Device::LugPair) {
        if pad.is_none() {
            f.note(FindingId::MissingField, "pad", "a lug pair needs the pad it is in");
        }
        if position.is_none() {
            f.note(FindingId::MissingField, "position", "a lug pair needs its lug position");
        }
    }
    Some(Switch {
        id,
        from: from?,
        to: to?,
        device: device?,
        normally: normally?,
        rated: amps(rated?),
        load_break: amps(load_break?),
        visible_break: visible_break?,
        lockable: lockable?,
        pad,
        position,
        legs,
        voltage: voltage.map(volts),
        at,
    })
}

pub(super) fn cable(id: AssetId, f: &Fields<'_>) -> Option<Cable> {
    let course = f.course();
    let from = f.node("from");
    let to = f.node("to");
    let class = f.number("kv_class", 1.0..=100.0);
    if let Some(kv) = class.filter(|kv| ![15.0, 25.0, 35.0].contains(kv)) {
        let says = format!("{kv} kV is no cable class here: 15, 25 or 35");
        f.note(FindingId::ImpossibleSize, "kv_class", says);
    }
    let metal = f.choice("metal", &METALS);
    let size = f.size("size");
    let neutral = f.maybe_choice("neutral", &NEUTRALS);
    let length = f.number("length_m", 0.01..=100_000.0);
    Some(Cable {
        id,
        from: from?,
        to: to?,
        class: volts(class? * 1000.0),
        metal: metal?,
        size: size?,
        neutral,
        length: metres(length?),
        course: course?,
    })
}

pub(super) fn transformer(id: AssetId, f: &Fields<'_>) -> Option<Transformer> {
    let at = f.maybe_point();
    let primary = f.node("primary");
    let secondary = f.node("secondary");
    let kva = f.number("kva", 0.5..=20_000.0);
    let percent_z = f.number("percent_z", 0.1..=30.0);
    let x_over_r = f.maybe_number("x_over_r", 0.0..=200.0);
    let windings = Windings {
        connection: f.maybe_choice("connection", &CONNECTIONS),
        half_r: f.maybe_number("half_winding_r", 0.5..=4.0),
        half_x: f.maybe_number("half_winding_x", 0.5..=4.0),
        zero_over_positive: f.maybe_number("zero_over_positive", 0.1..=10.0),
    };
    let primary_volts = f.number("primary_volts", 100.0..=100_000.0);
    let system = f.system();
    let phase = f.maybe_text("phase");
    let pad = f.id("pad");
    Some(Transformer {
        id,
        primary: primary?,
        secondary: secondary?,
        rating: kilovolt_amps(kva?),
        percent_z: percent_z?,
        x_over_r,
        windings,
        primary_voltage: volts(primary_volts?),
        system: system?,
        phase,
        pad: pad?,
        at,
    })
}

pub(super) fn pad(id: AssetId, f: &Fields<'_>) -> Option<Pad> {
    let at = f.point();
    let tags = f.texts("tags", true);
    let accuracy = f.number("position_accuracy_m", ABOVE_ZERO..=10_000.0);
    let contains = f.ids("contains");
    Some(Pad { id, at: at?, accuracy: metres(accuracy?), tags, contains })
}

pub(super) fn pedestal(id: AssetId, f: &Fields<'_>) -> Option<Pedestal> {
    let at = f.point();
    let node = f.node("node");
    Some(Pedestal { id, at: at?, node: node? })
}

pub(super) fn set(id: AssetId, f: &Fields<'_>) -> Option<Set> {
    let course = f.maybe_course();
    let from = f.node("from");
    let to = f.node("to");
    let pad = f.maybe_id("pad");
    let position = f.maybe_text("position");
    let metal = f.choice("metal", &METALS);
    let size = f.size("size");
    let neutral_size = f.maybe_size("neutral_size");
    let length = f.number("length_m", 0.01..=5_000.0);
    let runs = f.count("runs", 1, 20, 1);
    Some(Set {
        id,
        from: from?,
        to: to?,
        pad,
        position,
        metal: metal?,
        size: size?,
        neutral_size,
        length: metres(length?),
        runs: u8::try_from(runs).ok()?,
        course: course?,
    })
}

pub(super) fn service(id: AssetId, f: &Fields<'_>) -> Option<Service> {
    let at = f.point();
    let node = f.node("node");
    let premises = f.text("premises");
    let meters = f.texts("meters", true);
    let base_rating = f.number("meter_base_amps", 1.0..=10_000.0);
    let system = f.system();
    let metering = f.maybe_choice("metering", &METERING);
    let withstand = f.maybe_number("withstand_amps", 1.0..=300_000.0);
    let peak = f.maybe_number("peak_kva", 0.0..=20_000.0);
    let critical = f.maybe_choice("critical", &CRITICAL);
    let unmetered_loads = f.count("unmetered_loads", 0, 1000, 0);
    let mut sources = Vec::new();
    for (i, members) in f.objects("customer_sources").into_iter().enumerate() {
        let inner = f.inner(&format!("customer source {}", i + 1), members);
        let kind = inner.choice("type", &SOURCE_KINDS);
        let kw = inner.number("kw", ABOVE_ZERO..=100_000.0);
        let transfer_switch = inner.flag("transfer_switch");
        let withstand = inner.maybe_number("switch_withstand_amps", 1.0..=300_000.0);
        if let (Some(kind), Some(kw), Some(transfer_switch)) = (kind, kw, transfer_switch) {
            sources.push(CustomerSource {
                kind,
                power: kilovolt_amps(kw),
                transfer_switch,
                switch_withstand: withstand.map(amps),
            });
        }
        f.take(inner.finish());
    }
    Some(Service {
        id,
        at: at?,
        node: node?,
        premises: premises?,
        meters,
        base_rating: amps(base_rating?),
        system: system?,
        metering,
        withstand: withstand.map(amps),
        peak: peak.map(kilovolt_amps),
        critical,
        sources,
        unmetered_loads,
    })
}
