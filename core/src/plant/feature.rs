//! The features of a map sheet, one type a kind.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::system::{Conductor, VoltageSystem};
use crate::quantity::{AssetId, Current, Length, NodeId, Power, Voltage};

/// A place on WGS84, degrees.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LonLat {
    /// East is positive.
    pub lon_deg: f64,
    /// North is positive.
    pub lat_deg: f64,
}

/// A box on WGS84, degrees; it never crosses the date line.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Bounds {
    /// Western edge.
    pub west_deg: f64,
    /// Southern edge.
    pub south_deg: f64,
    /// Eastern edge.
    pub east_deg: f64,
    /// Northern edge.
    pub north_deg: f64,
}

impl Bounds {
    /// True where the place is inside or on the edge.
    pub fn hold(&self, place: LonLat) -> bool {
        (self.west_deg..=self.east_deg).contains(&place.lon_deg)
            && (self.south_deg..=self.north_deg).contains(&place.lat_deg)
    }
}

/// Conductor metal.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Metal {
    /// Aluminium.
    Al,
    /// Copper.
    Cu,
}

/// What kind of device opens a branch.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Device {
    /// A fused cut-out on a pole.
    CutOut,
    /// A separable load-break elbow.
    Elbow,
    /// A bayonet fuse under oil.
    BayonetFuse,
    /// A breaker.
    Breaker,
    /// A feeder switch.
    FeederSwitch,
    /// The bolted connections of one set's hot legs at the transformer.
    LugPair,
    /// A meter in its base (derived from a service, never a feature).
    Meter,
    /// A customer's service disconnect (derived from a service, never a feature).
    Main,
    /// The disconnect of a customer's own source (derived from a service, never a feature).
    SourceDisconnect,
}

/// Whether a switch is closed when nothing is going on.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Normally {
    /// Open: a loop point.
    Open,
    /// Closed.
    Closed,
}

/// How the windings of a three-phase unit are joined.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Connection {
    /// Primary in delta, secondary in grounded wye: the delta closes the path of a ground fault.
    DeltaWye,
    /// Both sides in grounded wye: the supply's own ground path counts.
    WyeWye,
}

/// How a transformer's windings are made, as far as the record says.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Windings {
    /// How they are joined, for a three-phase unit.
    pub connection: Option<Connection>,
    /// What one half of a centre-tapped secondary has of the full winding's percent resistance.
    pub half_r: Option<f64>,
    /// Likewise of its percent reactance.
    pub half_x: Option<f64>,
    /// Zero-sequence over positive-sequence impedance, for a three-phase unit.
    pub zero_over_positive: Option<f64>,
}

/// The wires round a primary cable that carry what returns, by what they have of the conductor's
/// conductance.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum ConcentricNeutral {
    /// As much as the conductor.
    Full,
    /// A third of it.
    Third,
}

/// A feeder's supply point.
#[derive(Debug, Clone, PartialEq)]
pub struct Source {
    /// Its name.
    pub id: AssetId,
    /// Where it stands.
    pub at: LonLat,
    /// Where it feeds in.
    pub node: NodeId,
    /// Nominal voltage between two phases.
    pub line_to_line: Voltage,
    /// Available fault current there, where the record has it.
    pub fault: Option<Current>,
    /// X/R of the source, where the record has it.
    pub x_over_r: Option<f64>,
}

/// Anything on the sheet that can be opened.
#[derive(Debug, Clone, PartialEq)]
pub struct Switch {
    /// Its name.
    pub id: AssetId,
    /// One side.
    pub from: NodeId,
    /// The other side.
    pub to: NodeId,
    /// What it is.
    pub device: Device,
    /// Its normal state.
    pub normally: Normally,
    /// Continuous rating.
    pub rated: Current,
    /// The most it may break; zero: not to be opened under load.
    pub load_break: Current,
    /// Whether a person can see the gap.
    pub visible_break: bool,
    /// Whether a lock can hold it.
    pub lockable: bool,
    /// The enclosure it is in.
    pub pad: Option<AssetId>,
    /// Lug position in the pad, for a lug pair.
    pub position: Option<String>,
    /// The legs a lug pair joins.
    pub legs: Vec<Conductor>,
    /// Volts to ground it is operated on, where the record has it.
    pub voltage: Option<Voltage>,
    /// Where it is drawn, where the record has it.
    pub at: Option<LonLat>,
}

/// A primary cable.
#[derive(Debug, Clone, PartialEq)]
pub struct Cable {
    /// Its name.
    pub id: AssetId,
    /// One end.
    pub from: NodeId,
    /// The other end.
    pub to: NodeId,
    /// Insulation class, phase to phase.
    pub class: Voltage,
    /// Conductor metal.
    pub metal: Metal,
    /// Conductor size as the trade writes it: "1/0", "350".
    pub size: String,
    /// Its concentric neutral, where the record has it.
    pub neutral: Option<ConcentricNeutral>,
    /// Length along the trench.
    pub length: Length,
    /// Course, for drawing alone.
    pub course: Vec<LonLat>,
}

/// A transformer.
#[derive(Debug, Clone, PartialEq)]
pub struct Transformer {
    /// Its name.
    pub id: AssetId,
    /// Primary side.
    pub primary: NodeId,
    /// Secondary side: the bus the lugs are on.
    pub secondary: NodeId,
    /// Rating.
    pub rating: Power,
    /// Impedance in percent of the rating.
    pub percent_z: f64,
    /// X/R, where the record has it.
    pub x_over_r: Option<f64>,
    /// How its windings are made.
    pub windings: Windings,
    /// Primary voltage: phase to ground for a one-phase unit, between phases for a three-phase one.
    pub primary_voltage: Voltage,
    /// Secondary voltage system.
    pub system: VoltageSystem,
    /// Which phases it hangs on, by the letters A, B and C; one of a three-phase bank has one letter.
    pub phase: Option<String>,
    /// The pad it stands in.
    pub pad: AssetId,
    /// Where it is drawn, where the record has it.
    pub at: Option<LonLat>,
}

/// A steel cabinet on its pad.
#[derive(Debug, Clone, PartialEq)]
pub struct Pad {
    /// Its name on the record.
    pub id: AssetId,
    /// Where the record puts it.
    pub at: LonLat,
    /// How far off that may be, as a 68 % radius.
    pub accuracy: Length,
    /// The tags it should carry.
    pub tags: Vec<String>,
    /// What stands in it.
    pub contains: Vec<AssetId>,
}

/// A pedestal where a set branches.
#[derive(Debug, Clone, PartialEq)]
pub struct Pedestal {
    /// Its name.
    pub id: AssetId,
    /// Where it stands.
    pub at: LonLat,
    /// Its node.
    pub node: NodeId,
}

/// A secondary cable set.
#[derive(Debug, Clone, PartialEq)]
pub struct Set {
    /// Its name.
    pub id: AssetId,
    /// The load side of its lug pair, or a pedestal.
    pub from: NodeId,
    /// A service's or pedestal's node.
    pub to: NodeId,
    /// The pad it leaves; none when it starts at a pedestal.
    pub pad: Option<AssetId>,
    /// Its lug position in that pad.
    pub position: Option<String>,
    /// Conductor metal.
    pub metal: Metal,
    /// Size of the hot legs.
    pub size: String,
    /// Size of the neutral, where it differs.
    pub neutral_size: Option<String>,
    /// Length along the trench.
    pub length: Length,
    /// Parallel runs a leg.
    pub runs: u8,
    /// Course, for drawing alone; empty where the record has none.
    pub course: Vec<LonLat>,
}

/// How a service is metered.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Metering {
    /// The load goes through the meter's jaws.
    SelfContained,
    /// The meter hangs on current transformers.
    Ct,
}

/// A customer who must not lose supply unannounced.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Critical {
    /// A life-support appliance.
    LifeSupport,
    /// A well pump.
    WellPump,
    /// A traffic light.
    TrafficLight,
}

/// What kind of source a customer has.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum CustomerSourceKind {
    /// An engine generator.
    Generator,
    /// Photovoltaics.
    Pv,
    /// A battery.
    Battery,
}

/// A source behind a customer's meter.
#[derive(Debug, Clone, PartialEq)]
pub struct CustomerSource {
    /// What it is.
    pub kind: CustomerSourceKind,
    /// Its size.
    pub power: Power,
    /// Whether a transfer switch keeps it off the utility.
    pub transfer_switch: bool,
    /// What fault current that switch withstands, where the record has it.
    pub switch_withstand: Option<Current>,
}

/// One customer's service.
#[derive(Debug, Clone, PartialEq)]
pub struct Service {
    /// Its name.
    pub id: AssetId,
    /// Where the record puts it.
    pub at: LonLat,
    /// Line side of the meter base.
    pub node: NodeId,
    /// How the premises are called.
    pub premises: String,
    /// Numbers on its meters; none: unmetered.
    pub meters: Vec<String>,
    /// Rating of the meter base.
    pub base_rating: Current,
    /// Voltage system.
    pub system: VoltageSystem,
    /// How it is metered, where the record has it.
    pub metering: Option<Metering>,
    /// What fault current its gear withstands, where the record has it.
    pub withstand: Option<Current>,
    /// The most it has drawn, as metered, where the record has it.
    pub peak: Option<Power>,
    /// Whether losing supply would endanger someone.
    pub critical: Option<Critical>,
    /// Its own sources.
    pub sources: Vec<CustomerSource>,
    /// Loads ahead of any meter.
    pub unmetered_loads: u16,
}

/// Everything on one map sheet. Built by `mapsheet`, which refuses one that does not hold together.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Features {
    /// Name of the sheet.
    pub name: String,
    /// Edition of the sheet.
    pub edition: String,
    /// The ground it covers; every coordinate lies inside.
    pub bounds: Bounds,
    /// True where the sheet describes no real place.
    pub invented: bool,
    /// Feeders.
    pub sources: BTreeMap<AssetId, Source>,
    /// Everything that opens.
    pub switches: BTreeMap<AssetId, Switch>,
    /// Primary cables.
    pub cables: BTreeMap<AssetId, Cable>,
    /// Transformers.
    pub transformers: BTreeMap<AssetId, Transformer>,
    /// Cabinets.
    pub pads: BTreeMap<AssetId, Pad>,
    /// Pedestals.
    pub pedestals: BTreeMap<AssetId, Pedestal>,
    /// Secondary cable sets.
    pub sets: BTreeMap<AssetId, Set>,
    /// Services.
    pub services: BTreeMap<AssetId, Service>,
}
