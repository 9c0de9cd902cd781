//! The truth: what stands and lies in the made-up field, whatever any map says of it.

use crate::conductor::{Look, Metal, Size};
use crate::entry::Entry;
use crate::habit::Habit;
use crate::load::Profile;
use crate::network::Network;
use std::collections::BTreeMap;

/// A place on the ground, degrees WGS 84.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct LonLat {
    /// Longitude, degrees east.
    pub lon: f64,
    /// Latitude, degrees north.
    pub lat: f64,
}

/// What is not in the world, or not sound in it.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum FieldError {
    /// No pad has this id.
    #[error("no pad {0} in this field; name one of its pads")]
    UnknownPad(String),
    /// No cable set has this id.
    #[error("no cable set {0} in this field; name one of its sets")]
    UnknownSet(String),
    /// No service has this id.
    #[error("no service {0} in this field; name one of its services")]
    UnknownService(String),
    /// No junction has this id.
    #[error("no pedestal or splice {0} in this field; name one of its junctions")]
    UnknownJunction(String),
    /// A set leads back to a junction that it came from.
    #[error("cable set {0} leads back to where it came from; a secondary must be a tree")]
    Loop(String),
    /// The equations have no one solution: something that was to be connected floats.
    #[error("pad {0} has no one electrical state; check its transformer and grounds")]
    NoState(String),
    /// This pair is not at that place.
    #[error("that pair cannot be measured there; jaws are at a meter base only")]
    NoSuchPair,
}

/// A pad: the enclosure with a transformer in it.
#[derive(Debug, Clone, PartialEq)]
pub struct Pad {
    /// Its id, unique over the world.
    pub id: String,
    /// Where it stands.
    pub at: LonLat,
    /// The tags painted on it; the first is the newest.
    pub tags: Vec<String>,
    /// How many characters of its newest tag sun and salt have taken.
    pub tag_characters_lost: u32,
    /// Whether trees or walls hide the sky.
    pub sky: Sky,
    /// Transformer rating, kVA.
    pub kva: f64,
    /// Transformer impedance, percent.
    pub percent_z: f64,
    /// Transformer reactance over resistance.
    pub x_over_r: f64,
    /// Open-circuit volts, leg to neutral, with the feeder live.
    pub supply_volts: f64,
    /// The phase its transformer hangs on: `A`, `B` or `C`.
    pub phase: &'static str,
    /// Ohms from the pad's neutral to remote earth (rods, concentric neutrals).
    pub ground_ohms: f64,
    /// Ids of the sets at its lugs, in lug order: position 1 first.
    pub sets: Vec<String>,
    /// Its common neutral is poor: a tone comes back on the wrong sets too.
    pub poor_neutral: bool,
}

/// How much sky a phone sees.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Sky {
    /// Open sky.
    Open,
    /// Under trees.
    Canopy,
    /// Between walls.
    Walls,
}

/// Where a set starts.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Start {
    /// At lug `position` (1 and up) of a pad.
    Pad {
        /// The pad's id.
        pad: String,
        /// The lug position, 1 and up.
        position: u8,
    },
    /// At a pedestal or a buried splice.
    Junction(String),
}

/// Where a set ends.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum End {
    /// On the line side of a service's meter base (or a street light).
    Service(String),
    /// At a pedestal or a buried splice.
    Junction(String),
    /// Nowhere: the far end is capped and buried.
    Dead,
}

/// A stretch of a set in one metal and size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Section {
    /// Metal of all three conductors.
    pub metal: Metal,
    /// Size of all three conductors.
    pub size: Size,
    /// Metres.
    pub length_m: f64,
}

/// A cable set: two legs and a neutral.
#[derive(Debug, Clone, PartialEq)]
pub struct CableSet {
    /// Its id, unique over the world.
    pub id: String,
    /// Where it starts.
    pub from: Start,
    /// Where it ends.
    pub to: End,
    /// Its stretches from start to end; more than one where an unmapped straight splice lies.
    pub sections: Vec<Section>,
    /// The mark on it at its start, if someone marked it.
    pub mark_at_start: Option<String>,
    /// The mark on it at its far end; the same where it was marked rightly.
    pub mark_at_end: Option<String>,
    /// Picofarads between each of its legs and the live cables in the same trench.
    pub trench_picofarads: f64,
    /// Cables of each conductor that lie side by side and share its current, 1 and up.
    pub runs: u8,
    /// Its neutral is broken where it starts.
    pub neutral_broken: bool,
}

/// What joins sets away from the pad.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum JunctionKind {
    /// A pedestal: above ground, on the map.
    Pedestal,
    /// A buried splice that no map shows.
    BuriedSplice,
}

/// A junction of sets.
#[derive(Debug, Clone, PartialEq)]
pub struct Junction {
    /// Its id, unique over the world.
    pub id: String,
    /// What it is.
    pub kind: JunctionKind,
    /// Where it is.
    pub at: LonLat,
    /// Ids of the sets that start at it.
    pub sets: Vec<String>,
}

/// A source that belongs to a customer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CustomerSource {
    /// What it is.
    pub kind: SourceKind,
    /// Rating, kW.
    pub kw: f64,
    /// Behind a transfer switch: cannot feed the service.
    pub transfer_switch: bool,
    /// It runs when the crew comes.
    pub running: bool,
    /// Its switch is out of everybody's reach: it cannot be shut off.
    pub locked: bool,
}

impl CustomerSource {
    /// A source as it is at most premises: within reach, photovoltaics running, others not.
    pub fn at_rest(kind: SourceKind, kw: f64, transfer_switch: bool) -> Self {
        Self { kind, kw, transfer_switch, running: kind == SourceKind::Pv, locked: false }
    }
}

/// What a customer source is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum SourceKind {
    /// An engine generator: makes its own voltage. Off unless switched on.
    Generator,
    /// Photovoltaics: follow the grid and stop without it. On unless switched off.
    Pv,
    /// A battery that can make its own voltage. Off unless switched on.
    Battery,
}

impl SourceKind {
    /// The word used on a map sheet.
    pub fn word(self) -> &'static str {
        match self {
            Self::Generator => "generator",
            Self::Pv => "pv",
            Self::Battery => "battery",
        }
    }
}

/// A service: a meter base with a customer behind it, or a street light.
#[derive(Debug, Clone, PartialEq)]
pub struct Service {
    /// Its id, unique over the world.
    pub id: String,
    /// What the premises are called, and what the plate on the wall says.
    pub plate: String,
    /// The number on the meter; none where nothing is metered.
    pub meter: Option<String>,
    /// Where the meter base is.
    pub at: LonLat,
    /// What kind of customer.
    pub habit: Habit,
    /// What the customer draws behind the main breaker.
    pub profile: Profile,
    /// Amps of a load tapped ahead of the meter, on leg 1 at nominal volts; 0 for none.
    pub unmetered_amps: f64,
    /// The customer's own sources.
    pub sources: Vec<CustomerSource>,
    /// Why this customer must not go out without more ado, in a map sheet's word.
    pub critical: Option<&'static str>,
    /// Ohms from the base's neutral to remote earth (rod, pipe).
    pub ground_ohms: f64,
    /// Whether somebody who comes can switch a load here.
    pub entry: Entry,
}

impl Service {
    /// Whether nobody lives here.
    pub fn vacant(&self) -> bool {
        self.habit == Habit::Vacant
    }

    /// Whether this is a street light: no meter base, no meter.
    pub fn street_light(&self) -> bool {
        self.habit == Habit::StreetLight
    }
}

/// The whole truth of a made-up field.
#[derive(Debug, Clone, PartialEq)]
pub struct World {
    /// The seed it was made from.
    pub seed: u64,
    /// Its invented name.
    pub name: String,
    /// Pads by id.
    pub pads: BTreeMap<String, Pad>,
    /// Sets by id.
    pub sets: BTreeMap<String, CableSet>,
    /// Pedestals and buried splices by id.
    pub junctions: BTreeMap<String, Junction>,
    /// Services by id, street lights among them.
    pub services: BTreeMap<String, Service>,
    /// The primary network that feeds the pads.
    pub network: Network,
    /// Stickers that somebody put on meter bases: the code by service.
    pub stickers: BTreeMap<String, String>,
}

impl World {
    /// The pad with this id.
    pub fn pad(&self, id: &str) -> Result<&Pad, FieldError> {
        self.pads.get(id).ok_or_else(|| FieldError::UnknownPad(id.to_owned()))
    }

    /// The set with this id.
    pub fn set(&self, id: &str) -> Result<&CableSet, FieldError> {
        self.sets.get(id).ok_or_else(|| FieldError::UnknownSet(id.to_owned()))
    }

    /// The service with this id.
    pub fn service(&self, id: &str) -> Result<&Service, FieldError> {
        self.services.get(id).ok_or_else(|| FieldError::UnknownService(id.to_owned()))
    }

    /// The junction with this id.
    pub fn junction(&self, id: &str) -> Result<&Junction, FieldError> {
        self.junctions.get(id).ok_or_else(|| FieldError::UnknownJunction(id.to_owned()))
    }

    /// What a look at the start of a set (its lugs in the pad) shows.
    pub fn look_at_pad(&self, set: &str) -> Result<Look, FieldError> {
        let sections = &self.set(set)?.sections;
        sections
            .first()
            .map(|s| Look { metal: s.metal, size: s.size })
            .ok_or_else(|| FieldError::UnknownSet(set.to_owned()))
    }

    /// The mark on a set where it starts, at its lugs or in a pedestal.
    pub fn mark_at_lug(&self, set: &str) -> Result<Option<&str>, FieldError> {
        Ok(self.set(set)?.mark_at_start.as_deref())
    }

    /// The mark on the set that ends at a meter base, as read there.
    pub fn mark_at_base(&self, service: &str) -> Result<Option<&str>, FieldError> {
        Ok(self.path_to(service)?.last().and_then(|set| set.mark_at_end.as_deref()))
    }

    /// What a look at the line side of a meter base shows. It differs from the look at the pad
    /// where a splice lies between.
    pub fn look_at_base(&self, service: &str) -> Result<Look, FieldError> {
        let path = self.path_to(service)?;
        path.last()
            .and_then(|set| set.sections.last())
            .map(|s| Look { metal: s.metal, size: s.size })
            .ok_or_else(|| FieldError::UnknownService(service.to_owned()))
    }
}
