//! A sheet that lies in memory while it comes in: a phone's, a desk's.

use std::{cell::RefCell, collections::BTreeMap, convert::Infallible, mem};

use smol_str::SmolStr;

use super::shelf::{Feature, Filled, Rows, Shelf, TakeRow};
use crate::plant::{Features, Plant};
use crate::quantity::AssetId;

/// A shelf in memory.
#[derive(Debug, Default)]
pub struct Memory {
    features: RefCell<Features>,
    names: RefCell<BTreeMap<SmolStr, u32>>,
    rows: RefCell<BTreeMap<Rows, Sorted>>,
}

impl Memory {
    /// The plant of what was kept, with this header.
    pub fn plant(self, header: Features) -> Plant {
        let Features { name, edition, bounds, invented, .. } = header;
        Plant::of(Features { name, edition, bounds, invented, ..self.features.into_inner() })
    }
}

impl Shelf for Memory {
    type Error = Infallible;

    fn name(&self, name: &str, number: u32) -> Result<Option<u32>, Infallible> {
        Ok(self.names.borrow_mut().insert(name.into(), number))
    }

    fn named(&self, name: &str) -> Result<Option<u32>, Infallible> {
        Ok(self.names.borrow().get(name).copied())
    }

    fn put(&self, rows: Rows, key: &[u8], row: &[u8]) -> Result<(), Infallible> {
        self.rows.borrow_mut().entry(rows).or_default().put(key, row);
        Ok(())
    }

    fn each(&self, rows: Rows, take: &mut TakeRow<'_, Infallible>) -> Result<(), Infallible> {
        let taken = self.rows.borrow_mut().get_mut(&rows).map(mem::take);
        let mut sorted = taken.unwrap_or_default();
        sorted.sort();
        for place in &sorted.places {
            let (key, row) = sorted.at(place);
            take(key, row)?;
        }
        self.rows.borrow_mut().insert(rows, sorted);
        Ok(())
    }

    fn clear(&self, rows: Rows) -> Result<(), Infallible> {
        self.rows.borrow_mut().remove(&rows);
        Ok(())
    }

    fn keep(&self, feature: Feature, _: bool) -> Result<(), Infallible> {
        let mut all = self.features.borrow_mut();
        match feature {
            Feature::Source(it) => drop(all.sources.insert(it.id.clone(), it)),
            Feature::Switch(it) => drop(all.switches.insert(it.id.clone(), it)),
            Feature::Cable(it) => drop(all.cables.insert(it.id.clone(), it)),
            Feature::Transformer(it) => drop(all.transformers.insert(it.id.clone(), it)),
            Feature::Pad(it) => drop(all.pads.insert(it.id.clone(), it)),
            Feature::Pedestal(it) => drop(all.pedestals.insert(it.id.clone(), it)),
            Feature::Set(it) => drop(all.sets.insert(it.id.clone(), it)),
            Feature::Service(it) => drop(all.services.insert(it.id.clone(), it)),
        }
        Ok(())
    }

    fn fill(&self, id: AssetId, list: Filled) -> Result<(), Infallible> {
        let mut all = self.features.borrow_mut();
        match list {
            Filled::Contains(contains) => {
                if let Some(pad) = all.pads.get_mut(&id) {
                    pad.contains = contains;
                }
            }
            Filled::Legs(legs) => {
                if let Some(switch) = all.switches.get_mut(&id) {
                    switch.legs = legs;
                }
            }
        }
        Ok(())
    }
}

/// Rows, the bytes of all of them in one piece: a sheet may have millions.
#[derive(Debug, Default)]
struct Sorted {
    bytes: Vec<u8>,
    places: Vec<Place>,
    sorted: bool,
}

/// Where a row lies.
#[derive(Debug, Clone, Copy)]
struct Place {
    key: usize,
    row: usize,
    end: usize,
}

impl Sorted {
    fn put(&mut self, key: &[u8], row: &[u8]) {
        let from = self.bytes.len();
        self.bytes.extend_from_slice(key);
        self.bytes.extend_from_slice(row);
        self.places.push(Place { key: from, row: from + key.len(), end: self.bytes.len() });
        self.sorted = false;
    }

    fn at(&self, place: &Place) -> (&[u8], &[u8]) {
        (self.part(place.key, place.row), self.part(place.row, place.end))
    }

    fn part(&self, from: usize, to: usize) -> &[u8] {
        self.bytes.get(from..to).unwrap_or_default()
    }

    fn sort(&mut self) {
        if !mem::replace(&mut self.sorted, true) {
            let mut places = mem::take(&mut self.places);
            places.sort_by(|one, other| self.at(one).0.cmp(self.at(other).0));
            self.places = places;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_come_in_the_order_of_their_keys_and_then_as_they_came() {
        let shelf = Memory::default();
        let all = || {
            let mut rows = Vec::new();
            let Ok(()) = shelf.each(Rows::Pads, &mut |key, row| {
                rows.push((key.to_vec(), row.to_vec()));
                shelf.put(Rows::Marks, key, row)
            });
            rows
        };
        for (key, row) in [("b", "1"), ("a", "2"), ("b", "0"), ("", "")] {
            let Ok(()) = shelf.put(Rows::Pads, key.as_bytes(), row.as_bytes());
        }
        let keys: Vec<Vec<u8>> = all().into_iter().flat_map(|(key, row)| [key, row]).collect();
        assert_eq!(keys.concat(), b"a2b1b0");
        let Ok(()) = shelf.put(Rows::Pads, b"a", b"9");
        assert_eq!(all().len(), 5);
        let Ok(()) = shelf.clear(Rows::Pads);
        assert_eq!(all(), []);
    }
}
