//! Features: the record as the list of things that a map sheet has, still as plain data. The sheet
//! is written from it, and who needs no text reads it as it is.
//!
//! Ratings given here: load-break elbows 200 A (IEEE 386, 200 A interface, ten make and break
//! operations at 200 A); bayonet fuses 100 A load break (a maker's sheet for current-limiting
//! links), no visible break; feeder switches and breaker 600 A (common practice, no source); lug
//! pairs 400 A, not to be opened under load (common practice, no source).

use crate::network::{Cabinet, Cable, Device, Supply, Switch};
use crate::record::{PadClaim, Record, ServiceClaim, SetClaim};
use crate::world::{End, LonLat, Start, World};
use std::borrow::Cow;

/// Transformer reactance over resistance on every record.
pub const X_OVER_R: f64 = 1.5;
/// Primary volts to ground.
pub const PRIMARY_VOLTS: u32 = 7_200;
/// Voltage class of every primary cable, kV.
pub const CABLE_KV_CLASS: u32 = 15;
/// Metal of every primary cable.
pub const CABLE_METAL: &str = "al";
/// Rating of every meter base, amps.
pub const METER_BASE_AMPS: u32 = 200;
/// How well a cabinet's place is known, metres.
pub const CABINET_ACCURACY_M: f64 = 2.0;

/// One feature, in the words of a map sheet.
#[derive(Debug, Clone, PartialEq)]
pub enum Feature<'r> {
    /// A feeder's supply point.
    Source(&'r Supply),
    /// An enclosure without a transformer, and what is in it.
    Cabinet(&'r Cabinet, Vec<Cow<'r, str>>),
    /// What can be opened.
    Switch(SwitchFeature<'r>),
    /// A primary cable.
    Cable(&'r Cable),
    /// The transformer in a pad; its id is the pad's and `-T`.
    Transformer(&'r str, &'r PadClaim),
    /// A pad, and what is in it.
    Pad(&'r str, &'r PadClaim, Vec<Cow<'r, str>>),
    /// A pedestal; its node is its id.
    Pedestal(&'r str, LonLat),
    /// A cable set.
    Set(SetFeature<'r>),
    /// A service; its node is its id.
    Service(&'r str, &'r ServiceClaim),
}

/// A switch, elbow, fuse, breaker or lug pair.
#[derive(Debug, Clone, PartialEq)]
pub struct SwitchFeature<'r> {
    /// Its id.
    pub id: Cow<'r, str>,
    /// One node.
    pub from: Cow<'r, str>,
    /// The other.
    pub to: Cow<'r, str>,
    /// What it is.
    pub device: Device,
    /// Whether it is normally closed.
    pub normally_closed: bool,
    /// Amps it carries.
    pub rated_amps: u32,
    /// Amps it breaks.
    pub load_break_amps: u32,
    /// Whether its gap can be seen.
    pub visible_break: bool,
    /// Whether it can be locked.
    pub lockable: bool,
    /// Volts to ground it is operated on.
    pub volts_nominal: u32,
    /// The enclosure it is in.
    pub pad: Option<&'r str>,
    /// A lug pair's position; a lug pair joins both legs.
    pub position: Option<u8>,
    /// Where it is.
    pub at: Option<LonLat>,
}

/// A cable set.
#[derive(Debug, Clone, PartialEq)]
pub struct SetFeature<'r> {
    /// Its id.
    pub id: &'r str,
    /// The node it starts at.
    pub from: Cow<'r, str>,
    /// The node it ends at.
    pub to: &'r str,
    /// Its pad and lug position, where it starts at a pad.
    pub lug: Option<(&'r str, u8)>,
    /// Its course, where both ends have a place.
    pub course: Option<[LonLat; 2]>,
    /// The claim: metal, size, length and runs.
    pub claim: &'r SetClaim,
}

impl Record {
    /// The features of this record on the world's primary network, in the order of the sheet.
    pub fn features<'r>(&'r self, world: &'r World) -> Vec<Feature<'r>> {
        let network = &world.network;
        let mut features = Vec::with_capacity(
            network.switches.len() + 2 * (self.sets.len() + self.services.len()),
        );
        features.extend(network.supplies.iter().map(Feature::Source));
        features.extend(network.cabinets.iter().map(|cabinet| {
            Feature::Cabinet(cabinet, inside(&network.switches, &cabinet.id).collect())
        }));
        features.extend(network.switches.iter().map(|s| Feature::Switch(switch(s))));
        features.extend(network.cables.iter().map(Feature::Cable));
        for (id, pad) in &self.pads {
            features.push(Feature::Transformer(id, pad));
            let mut contains: Vec<Cow<'r, str>> = inside(&network.switches, id).collect();
            contains.push(format!("{id}-T").into());
            for (position, set) in self.sets_at(id) {
                contains.push(format!("{id}-s{position}").into());
                contains.push(set.into());
            }
            features.push(Feature::Pad(id, pad, contains));
        }
        features.extend(self.pedestals.iter().map(|(id, at)| Feature::Pedestal(id, *at)));
        for (id, set) in &self.sets {
            features.extend(self.lug_pair(set).map(Feature::Switch));
            features.push(Feature::Set(self.set_feature(id, set)));
        }
        features.extend(self.services.iter().map(|(id, claim)| Feature::Service(id, claim)));
        features
    }

    /// The box round every place of the sheet, a ten-thousandth of a degree wider: west, south,
    /// east, north.
    pub fn bounds(features: &[Feature<'_>]) -> [f64; 4] {
        let mut bounds = [f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY];
        let mut take = |at: LonLat| {
            let LonLat { lon, lat } = on_sheet(at);
            let [west, south, east, north] = bounds;
            bounds = [west.min(lon), south.min(lat), east.max(lon), north.max(lat)];
        };
        for feature in features {
            match feature {
                Feature::Source(supply) => take(supply.at),
                Feature::Cabinet(cabinet, _) => take(cabinet.at),
                Feature::Switch(switch) => switch.at.into_iter().for_each(&mut take),
                Feature::Cable(cable) => cable.line.iter().copied().for_each(&mut take),
                Feature::Transformer(_, claim) | Feature::Pad(_, claim, _) => take(claim.at),
                Feature::Pedestal(_, at) => take(*at),
                Feature::Set(set) => set.course.into_iter().flatten().for_each(&mut take),
                Feature::Service(_, claim) => take(claim.at),
            }
        }
        let [west, south, east, north] = bounds;
        let out = |x: f64, by: f64| libm::round((x + by) * 1e4) / 1e4;
        [out(west, -1.5e-4), out(south, -1.5e-4), out(east, 1.5e-4), out(north, 1.5e-4)]
    }

    fn set_feature<'r>(&'r self, id: &'r str, claim: &'r SetClaim) -> SetFeature<'r> {
        let (to, to_at) = match &claim.to {
            End::Service(to) => (to.as_str(), self.services.get(to).map(|s| s.at)),
            End::Junction(to) => (to.as_str(), self.pedestals.get(to).copied()),
            End::Dead => ("", None),
        };
        let (from, from_at, lug) = match &claim.from {
            Start::Pad { pad, position } => {
                let at = self.pads.get(pad).map(|p| p.at);
                (format!("{pad}:s{position}").into(), at, Some((pad.as_str(), *position)))
            }
            Start::Junction(id) => (id.as_str().into(), self.pedestals.get(id).copied(), None),
        };
        let course = from_at.zip(to_at).map(|(from, to)| [from, to]);
        SetFeature { id, from, to, lug, course, claim }
    }

    fn lug_pair<'r>(&'r self, set: &'r SetClaim) -> Option<SwitchFeature<'r>> {
        let Start::Pad { pad, position } = &set.from else { return None };
        Some(SwitchFeature {
            id: format!("{pad}-s{position}").into(),
            from: format!("{pad}:sec").into(),
            to: format!("{pad}:s{position}").into(),
            device: Device::LugPair,
            normally_closed: true,
            rated_amps: 400,
            load_break_amps: 0,
            visible_break: true,
            lockable: true,
            volts_nominal: 120,
            pad: Some(pad),
            position: Some(*position),
            at: self.pads.get(pad).map(|p| p.at),
        })
    }
}

/// A place as a sheet has it: to 1e-7 degree, about a centimetre.
pub fn on_sheet(at: LonLat) -> LonLat {
    let rounded = |x: f64| libm::round(x * 1e7) / 1e7;
    LonLat { lon: rounded(at.lon), lat: rounded(at.lat) }
}

/// Metres as a sheet has them: to a tenth.
pub fn tenth(metres: f64) -> f64 {
    libm::round(metres * 10.0) / 10.0
}

fn inside<'r>(switches: &'r [Switch], enclosure: &str) -> impl Iterator<Item = Cow<'r, str>> {
    switches
        .iter()
        .filter(move |s| s.pad.as_deref() == Some(enclosure))
        .map(|s| Cow::Borrowed(s.id.as_str()))
}

fn switch(switch: &Switch) -> SwitchFeature<'_> {
    let (amps, visible_break, lockable) = match switch.device {
        Device::Breaker => (600, false, true),
        Device::FeederSwitch => (600, true, true),
        Device::Elbow => (200, true, true),
        Device::BayonetFuse => (100, false, false),
        Device::LugPair => (400, true, true),
    };
    SwitchFeature {
        id: switch.id.as_str().into(),
        from: switch.from.as_str().into(),
        to: switch.to.as_str().into(),
        device: switch.device,
        normally_closed: switch.normally_closed,
        rated_amps: amps,
        load_break_amps: amps,
        visible_break,
        lockable,
        volts_nominal: PRIMARY_VOLTS,
        pad: switch.pad.as_deref(),
        position: None,
        at: Some(switch.at),
    }
}
