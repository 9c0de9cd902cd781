//! The primary network: how the pads hang on their feeder.

use crate::world::LonLat;

/// The feeder's supply point.
#[derive(Debug, Clone, PartialEq)]
pub struct Supply {
    /// Its id.
    pub id: String,
    /// Where it stands.
    pub at: LonLat,
    /// Its node.
    pub node: String,
    /// Volts line to line.
    pub volts_line_to_line: f64,
    /// Amps of a bolted three-phase fault at it.
    pub fault_amps: f64,
    /// Reactance over resistance of what lies behind it.
    pub x_over_r: f64,
}

/// What can open.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Device {
    /// The feeder's breaker.
    Breaker,
    /// A switch of a switching cabinet.
    FeederSwitch,
    /// A load-break elbow.
    Elbow,
    /// A bayonet fuse.
    BayonetFuse,
    /// The bolted connections of one set's legs, on the secondary side.
    LugPair,
}

impl Device {
    /// The word used on a map sheet.
    pub fn word(self) -> &'static str {
        match self {
            Self::Breaker => "breaker",
            Self::FeederSwitch => "feeder-switch",
            Self::Elbow => "elbow",
            Self::BayonetFuse => "bayonet-fuse",
            Self::LugPair => "lug-pair",
        }
    }
}

/// A switch of the primary.
#[derive(Debug, Clone, PartialEq)]
pub struct Switch {
    /// Its id.
    pub id: String,
    /// What it is.
    pub device: Device,
    /// One node.
    pub from: String,
    /// The other.
    pub to: String,
    /// Whether it is normally closed.
    pub normally_closed: bool,
    /// The pad or cabinet it is in.
    pub pad: Option<String>,
    /// Where it is.
    pub at: LonLat,
    /// Whether it carries one phase to ground (7.2 kV) or the whole feeder.
    pub single_phase: bool,
}

/// A primary cable.
#[derive(Debug, Clone, PartialEq)]
pub struct Cable {
    /// Its id.
    pub id: String,
    /// One node.
    pub from: String,
    /// The other.
    pub to: String,
    /// Metres.
    pub length_m: f64,
    /// Size word: `1/0`, `500`.
    pub size: &'static str,
    /// Where it lies.
    pub line: Vec<LonLat>,
}

/// A cabinet of feeder switches: an enclosure without a transformer.
#[derive(Debug, Clone, PartialEq)]
pub struct Cabinet {
    /// Its id.
    pub id: String,
    /// Where it stands.
    pub at: LonLat,
    /// Its tags.
    pub tags: Vec<String>,
}

/// The primary network.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Network {
    /// Supply points.
    pub supplies: Vec<Supply>,
    /// Switching cabinets.
    pub cabinets: Vec<Cabinet>,
    /// Switches, the pads' elbows and fuses among them.
    pub switches: Vec<Switch>,
    /// Cables.
    pub cables: Vec<Cable>,
    /// Closed rings, each the ids of its pads in the order of the cable.
    pub rings: Vec<Vec<String>>,
}

impl Network {
    /// The pads next to this one round its ring, before and after.
    pub fn ring_neighbours(&self, pad: &str) -> Vec<&str> {
        let mut near = Vec::new();
        for ring in &self.rings {
            let Some(at) = ring.iter().position(|id| id == pad) else { continue };
            for other in [at.checked_sub(1), at.checked_add(1)].into_iter().flatten() {
                near.extend(ring.get(other).map(String::as_str));
            }
        }
        near
    }
}
