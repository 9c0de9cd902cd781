//! Building a world piece by piece, so that every id is unique and every list complete.

use crate::conductor::{Metal, Size};
use crate::entry::Entry;
use crate::fix::{metres_between, moved};
use crate::habit::{self, Habit};
use crate::names;
use crate::network::Network;
use crate::seed::{Draw, stream};
use crate::world::{
    CableSet, CustomerSource, End, Junction, JunctionKind, LonLat, Pad, Section, Service, Sky,
    SourceKind, Start, World,
};
use std::collections::{BTreeMap, BTreeSet};

/// Where invented fields lie: open ocean, no land for hundreds of kilometres.
pub(crate) const ORIGIN: LonLat = LonLat { lon: -30.2, lat: 41.6 };

/// A world under construction.
pub(crate) struct Builder {
    pub(crate) world: World,
    pub(crate) draw: Draw,
    used: BTreeSet<String>,
}

impl Builder {
    pub(crate) fn new(seed: u64, label: &str) -> Self {
        let mut draw = stream(seed, label);
        let name = names::place(&mut draw);
        let world = World {
            seed,
            name,
            pads: BTreeMap::new(),
            sets: BTreeMap::new(),
            junctions: BTreeMap::new(),
            services: BTreeMap::new(),
            network: Network::default(),
            stickers: BTreeMap::new(),
        };
        Self { world, draw, used: BTreeSet::new() }
    }

    /// A text that was not given out before.
    pub(crate) fn unused(&mut self, mut make: impl FnMut(&mut Draw) -> String) -> String {
        let mut text = make(&mut self.draw);
        while !self.used.insert(text.clone()) {
            text = make(&mut self.draw);
        }
        text
    }

    /// A pad for about `kva`, with no set yet.
    pub(crate) fn pad(&mut self, id: &str, at: LonLat, kva: f64, phase: &'static str) {
        let tag = self.unused(names::tag);
        let draw = &mut self.draw;
        let pad = Pad {
            id: id.to_owned(),
            at,
            tags: vec![tag],
            tag_characters_lost: if draw.chance(0.25) { draw.whole(1, 2) } else { 0 },
            sky: *draw.pick(&[Sky::Open, Sky::Open, Sky::Canopy, Sky::Walls]).unwrap_or(&Sky::Open),
            kva,
            percent_z: libm::round(draw.between(16.0, 24.0)) / 10.0,
            x_over_r: 1.5,
            supply_volts: draw.between(119.0, 122.5),
            phase,
            ground_ohms: draw.between(0.6, 2.0),
            sets: Vec::new(),
            poor_neutral: false,
        };
        self.world.pads.insert(id.to_owned(), pad);
    }

    /// A junction with no set yet.
    pub(crate) fn junction(&mut self, id: &str, kind: JunctionKind, at: LonLat) {
        let junction = Junction { id: id.to_owned(), kind, at, sets: Vec::new() };
        self.world.junctions.insert(id.to_owned(), junction);
    }

    /// A service of this habit with its own load, sources and meter.
    pub(crate) fn service(&mut self, id: &str, plate: &str, at: LonLat, habit: Habit) {
        let metered = habit != Habit::StreetLight;
        let meter = metered.then(|| self.unused(|draw| format!("4{:07}", draw.below(10_000_000))));
        let draw = &mut self.draw;
        let sources = if matches!(habit, Habit::LivedIn | Habit::Workshop) {
            customer_sources(draw)
        } else {
            Vec::new()
        };
        let service = Service {
            id: id.to_owned(),
            plate: plate.to_owned(),
            meter,
            at,
            habit,
            profile: habit::profile(habit, draw),
            unmetered_amps: if metered && draw.chance(0.02) { draw.between(0.3, 1.5) } else { 0.0 },
            sources,
            critical: None,
            ground_ohms: draw.between(3.0, 40.0),
            entry: Entry::Open,
        };
        self.world.services.insert(id.to_owned(), service);
    }

    /// A set at the next free lug of a pad.
    pub(crate) fn set_from_pad(&mut self, pad: &str, to: End, metal: Metal, size: Size) -> String {
        let position = self.world.pads.get(pad).map_or(0, |p| p.sets.len());
        let position = u8::try_from(position.saturating_add(1)).unwrap_or(u8::MAX);
        self.set(Start::Pad { pad: pad.to_owned(), position }, to, metal, size)
    }

    /// A set that starts at a junction.
    pub(crate) fn set_from_junction(
        &mut self,
        junction: &str,
        to: End,
        metal: Metal,
        size: Size,
    ) -> String {
        self.set(Start::Junction(junction.to_owned()), to, metal, size)
    }

    fn set(&mut self, from: Start, to: End, metal: Metal, size: Size) -> String {
        let id = format!("S{:03}", self.world.sets.len().saturating_add(1));
        let start = match &from {
            Start::Pad { pad, .. } => self.world.pads.get(pad).map(|p| p.at),
            Start::Junction(id) => self.world.junctions.get(id).map(|j| j.at),
        };
        let end = match &to {
            End::Service(id) => self.world.services.get(id).map(|s| s.at),
            End::Junction(id) => self.world.junctions.get(id).map(|j| j.at),
            End::Dead => None,
        };
        let length_m = match (start, end) {
            (Some(a), Some(b)) => cable_metres(a, b),
            _ => libm::round(self.draw.between(8.0, 30.0)),
        };
        let list = match &from {
            Start::Pad { pad, .. } => self.world.pads.get_mut(pad).map(|p| &mut p.sets),
            Start::Junction(id) => self.world.junctions.get_mut(id).map(|j| &mut j.sets),
        };
        if let Some(list) = list {
            list.push(id.clone());
        }
        let marked = self.draw.chance(0.1);
        let mark = marked.then(|| self.unused(|draw| format!("M{:03}", draw.below(1_000))));
        let set = CableSet {
            id: id.clone(),
            from,
            to,
            sections: vec![Section { metal, size, length_m }],
            mark_at_start: mark.clone(),
            mark_at_end: mark,
            trench_picofarads: length_m * self.draw.between(5.0, 30.0),
            runs: 1,
            neutral_broken: false,
        };
        self.world.sets.insert(id.clone(), set);
        id
    }

    /// Puts an unmapped straight splice into a set: its last half is of another metal and size.
    pub(crate) fn splice_in(&mut self, set: &str, metal: Metal, size: Size) {
        if let Some(set) = self.world.sets.get_mut(set)
            && let Some(first) = set.sections.first_mut()
        {
            first.length_m *= 0.5;
            let length_m = first.length_m;
            set.sections.push(Section { metal, size, length_m });
        }
    }

    /// A place near another, at most so many metres off on each axis.
    pub(crate) fn near(&mut self, at: LonLat, east_m: f64, north_m: f64) -> LonLat {
        let east = self.draw.between(-east_m, east_m);
        let north = self.draw.between(-north_m, north_m);
        moved(at, east, north)
    }
}

/// Metres of cable between two places: cables bend and rise, so a sixth longer than the straight
/// line, and a tail at each end; to a tenth.
pub(crate) fn cable_metres(a: LonLat, b: LonLat) -> f64 {
    libm::round((metres_between(a, b) * 1.15 + 3.0) * 10.0) / 10.0
}

fn customer_sources(draw: &mut Draw) -> Vec<CustomerSource> {
    let mut sources = Vec::new();
    if draw.chance(0.08) {
        let kw = libm::round(draw.between(3.0, 9.0));
        sources.push(CustomerSource::at_rest(SourceKind::Pv, kw, false));
        if draw.chance(0.2) {
            sources.push(CustomerSource::at_rest(SourceKind::Battery, 5.0, false));
        }
    }
    if draw.chance(0.06) {
        let kw = libm::round(draw.between(3.0, 10.0));
        let transfer_switch = draw.chance(0.6);
        sources.push(CustomerSource::at_rest(SourceKind::Generator, kw, transfer_switch));
    }
    sources
}
