//! The record: what the map and the meter book claim of the field. It may be wrong.

use crate::conductor::{Metal, Size};
use crate::world::{CustomerSource, End, FieldError, JunctionKind, LonLat, Start, World};
use std::collections::BTreeMap;

/// What the map claims of a pad.
#[derive(Debug, Clone, PartialEq)]
pub struct PadClaim {
    /// Where it stands.
    pub at: LonLat,
    /// How well that is known, metres.
    pub accuracy_m: f64,
    /// The tags on it.
    pub tags: Vec<String>,
    /// Transformer rating, kVA.
    pub kva: f64,
    /// Transformer impedance, percent.
    pub percent_z: f64,
    /// Its phase.
    pub phase: &'static str,
}

/// What the map claims of a set.
#[derive(Debug, Clone, PartialEq)]
pub struct SetClaim {
    /// Where it starts.
    pub from: Start,
    /// Where it ends; never [`End::Dead`], since a map does not show abandoned stubs.
    pub to: End,
    /// Metal.
    pub metal: Metal,
    /// Size.
    pub size: Size,
    /// Metres.
    pub length_m: f64,
    /// Cables of each conductor side by side, 1 and up.
    pub runs: u8,
}

/// What the map and the meter book claim of a service.
#[derive(Debug, Clone, PartialEq)]
pub struct ServiceClaim {
    /// The premises label.
    pub premises: String,
    /// The meter numbers; none where unmetered.
    pub meters: Vec<String>,
    /// Where the meter base is.
    pub at: LonLat,
    /// The customer's own sources, as far as known.
    pub sources: Vec<CustomerSource>,
    /// Why this customer must not go out without more ado.
    pub critical: Option<&'static str>,
    /// How many unmetered loads hang on it.
    pub unmetered_loads: u32,
}

/// The record of a whole field.
#[derive(Debug, Clone, PartialEq)]
pub struct Record {
    /// The sheet's name.
    pub name: String,
    /// The sheet's edition, year and month.
    pub edition: String,
    /// Pads by id.
    pub pads: BTreeMap<String, PadClaim>,
    /// Pedestals by id.
    pub pedestals: BTreeMap<String, LonLat>,
    /// Sets by id.
    pub sets: BTreeMap<String, SetClaim>,
    /// Services by id.
    pub services: BTreeMap<String, ServiceClaim>,
    /// The meter number that each customer is billed by. Not on the map sheet.
    pub billing: BTreeMap<String, String>,
}

impl Record {
    /// The record that says what is true, as far as a map sheet can say it: buried splices stand
    /// on it as pedestals, a set of two metals as what is seen in the pad; dead-ended sets are
    /// not on it.
    pub fn true_of(world: &World) -> Self {
        Self {
            name: world.name.clone(),
            edition: "2026-03".to_owned(),
            pads: world
                .pads
                .values()
                .map(|pad| {
                    let claim = PadClaim {
                        at: pad.at,
                        accuracy_m: 2.0,
                        tags: pad.tags.clone(),
                        kva: pad.kva,
                        percent_z: pad.percent_z,
                        phase: pad.phase,
                    };
                    (pad.id.clone(), claim)
                })
                .collect(),
            pedestals: world.junctions.values().map(|j| (j.id.clone(), j.at)).collect(),
            sets: world
                .sets
                .values()
                .filter(|set| set.to != End::Dead)
                .filter_map(|set| {
                    let seen = set.sections.first()?;
                    let claim = SetClaim {
                        from: set.from.clone(),
                        to: set.to.clone(),
                        metal: seen.metal,
                        size: seen.size,
                        length_m: set.sections.iter().map(|s| s.length_m).sum(),
                        runs: set.runs,
                    };
                    Some((set.id.clone(), claim))
                })
                .collect(),
            services: world
                .services
                .values()
                .map(|service| {
                    let claim = ServiceClaim {
                        premises: service.plate.clone(),
                        meters: service.meter.iter().cloned().collect(),
                        at: service.at,
                        sources: service.sources.clone(),
                        critical: service.critical,
                        unmetered_loads: u32::from(
                            service.street_light() || service.unmetered_amps > 0.0,
                        ),
                    };
                    (service.id.clone(), claim)
                })
                .collect(),
            billing: world
                .services
                .values()
                .filter_map(|service| Some((service.id.clone(), service.meter.clone()?)))
                .collect(),
        }
    }

    /// Takes every billing number from the map's meter numbers, as where both have one source:
    /// every mistake in the one is then in the other.
    pub fn bill_from_sheet(&mut self) {
        let numbers = self.services.iter();
        let numbers = numbers.filter_map(|(id, s)| Some((id.clone(), s.meters.first()?.clone())));
        self.billing = numbers.collect();
    }

    /// The customer who is billed by a meter number.
    pub fn billed_by(&self, number: &str) -> Option<&str> {
        self.billing.iter().find(|(_, billed)| *billed == number).map(|(id, _)| id.as_str())
    }

    /// The record as it was drawn: true, but for every buried splice, which it does not show. The
    /// first service beyond such a splice is drawn on the whole set, each other one on a set of
    /// its own, at a lug position where there is none.
    pub fn as_drawn(world: &World) -> Self {
        let mut record = Self::true_of(world);
        for junction in world.junctions.values() {
            if junction.kind == JunctionKind::BuriedSplice {
                record.hide_splice(&junction.id);
            }
        }
        record
    }

    pub(crate) fn hide_splice(&mut self, junction: &str) {
        let to = End::Junction(junction.to_owned());
        let from = Start::Junction(junction.to_owned());
        let trunk =
            self.sets.iter().find(|(_, s)| s.to == to).map(|(id, s)| (id.clone(), s.from.clone()));
        let Some((trunk, start)) = trunk else { return };
        let beyond: Vec<String> =
            self.sets.iter().filter(|(_, s)| s.from == from).map(|(id, _)| id.clone()).collect();
        self.pedestals.remove(junction);
        for (k, id) in beyond.iter().enumerate() {
            if k == 0 {
                let first = self.sets.remove(id).map(|s| s.to);
                if let (Some(first), Some(set)) = (first, self.sets.get_mut(&trunk)) {
                    set.to = first;
                }
                continue;
            }
            let own = match &start {
                Start::Pad { pad, .. } => {
                    Start::Pad { pad: pad.clone(), position: self.free_position(pad) }
                }
                Start::Junction(_) => start.clone(),
            };
            if let Some(set) = self.sets.get_mut(id) {
                set.from = own;
            }
        }
    }

    /// The lug position after the last that the record knows at a pad.
    pub fn free_position(&self, pad: &str) -> u8 {
        self.sets_at(pad).last().map_or(1, |(position, _)| position.saturating_add(1))
    }

    /// The sets that the record claims at a pad's lugs, by position.
    pub fn sets_at(&self, pad: &str) -> Vec<(u8, &str)> {
        let mut found: Vec<(u8, &str)> = self
            .sets
            .iter()
            .filter_map(|(id, set)| match &set.from {
                Start::Pad { pad: at, position } if at == pad => Some((*position, id.as_str())),
                _ => None,
            })
            .collect();
        found.sort_unstable();
        found
    }

    /// The set that the record claims to end at a service.
    pub fn last_set(&self, service: &str) -> Result<&str, FieldError> {
        self.sets
            .iter()
            .find(|(_, set)| matches!(&set.to, End::Service(id) if id == service))
            .map(|(id, _)| id.as_str())
            .ok_or_else(|| FieldError::UnknownService(service.to_owned()))
    }

    /// The set at a pad's lugs that the record claims to feed a service.
    pub fn feeding_set(&self, service: &str) -> Result<&str, FieldError> {
        let mut id = self.last_set(service)?;
        // A chain is never longer than the number of sets.
        for _ in 0..self.sets.len() {
            let Some(set) = self.sets.get(id) else { break };
            let Start::Junction(junction) = &set.from else { return Ok(id) };
            let before = self
                .sets
                .iter()
                .find(|(_, s)| matches!(&s.to, End::Junction(to) if to == junction));
            let Some((next, _)) = before else { break };
            id = next;
        }
        Err(FieldError::Loop(id.to_owned()))
    }

    /// The pad that the record claims to feed a service.
    pub fn pad_of(&self, service: &str) -> Result<&str, FieldError> {
        match self.sets.get(self.feeding_set(service)?).map(|set| &set.from) {
            Some(Start::Pad { pad, .. }) => Ok(pad),
            _ => Err(FieldError::UnknownService(service.to_owned())),
        }
    }
}
