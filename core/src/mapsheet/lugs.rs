//! Lug pairs, against the sets that leave them and the voltage system they are on.

use super::check::{Check, Order};
use super::end::{End, legs, system_byte, system_of};
use super::finding::{Finding, FindingId};
use super::pack::{Pack, Unpack};
use super::shelf::{Filled, Rows, Shelf};
use crate::plant::{Conductor, VoltageSystem};

/// What is known of one node as its ends come by: transformers first, then switches, then sets.
#[derive(Debug, Default)]
pub(super) struct AtNode {
    /// The transformer whose secondary is here; the last by name where there are several.
    unit: Option<(String, VoltageSystem)>,
    /// The first lug pairs here by name: two are as many as a finding names.
    lugs: Vec<Lug>,
}

/// A lug pair at a node.
#[derive(Debug)]
struct Lug {
    id: String,
    field: usize,
    pad: Option<String>,
    position: Option<String>,
}

impl AtNode {
    /// Takes an end of a feature that is part of the plant.
    pub(super) fn end<S: Shelf>(
        &mut self,
        check: &Check<'_, S>,
        end: &End,
    ) -> Result<(), S::Error> {
        match (end.kind, end.field()) {
            ("transformer", "secondary") => self.unit(end),
            ("switch", "from" | "to") if end.lug() => {
                self.lug(end);
                self.legs(check, end)?;
            }
            ("set", "from") => self.set(check, end)?,
            _ => {}
        }
        Ok(())
    }

    fn unit(&mut self, end: &End) {
        let id = end.id();
        if let Some(system) = end.system
            && self.unit.as_ref().is_none_or(|(other, _)| *other < id)
        {
            self.unit = Some((id, system));
        }
    }

    fn lug(&mut self, end: &End) {
        let (pad, position) = (end.pad.clone(), end.position.clone());
        let lug = Lug { id: end.id(), field: end.field, pad, position };
        let before = |other: &Lug| (&other.id, other.field) < (&lug.id, lug.field);
        let place = self.lugs.partition_point(before);
        self.lugs.insert(place, lug);
        self.lugs.truncate(2);
    }

    /// A lug pair's legs are those of the system where it begins, or else of that where it ends.
    fn legs<S: Shelf>(&self, check: &Check<'_, S>, end: &End) -> Result<(), S::Error> {
        let system = self.unit.as_ref().map(|(_, system)| *system);
        let id = end.id();
        match (end.field(), system) {
            ("from", Some(_)) => told(check, &id, end.legs, system),
            ("from", None) => {
                let key = Pack::default().text(&id).byte(0);
                check.put(Rows::Lugs, &key, &Pack::default().byte(end.legs))
            }
            (_, Some(system)) => {
                let key = Pack::default().text(&id).byte(1);
                check.put(Rows::Lugs, &key, &Pack::default().byte(system_byte(system)))
            }
            _ => Ok(()),
        }
    }

    /// A set that leaves a pad, against the lug pair it starts at.
    fn set<S: Shelf>(&self, check: &Check<'_, S>, set: &End) -> Result<(), S::Error> {
        let Some(lug) = self.lugs.first() else { return Ok(()) };
        let id = set.id();
        let note = |place: u8, field: &str, says: String| {
            let finding = Finding::of(FindingId::LugDisagrees, &id, field, says);
            check.found(Order::Lugs, &Pack::default().text(&id).byte(place), &finding)
        };
        match &set.pad {
            None => {
                note(0, "pad", format!("starts at lug pair '{}' and names no pad", lug.id))?;
            }
            pad if lug.pad != *pad => {
                note(
                    0,
                    "pad",
                    format!("starts at lug pair '{}', which is in another pad", lug.id),
                )?;
            }
            Some(_) => {}
        }
        if lug.position != set.position {
            let says = format!("starts at lug pair '{}', at another position", lug.id);
            note(1, "position", says)?;
        }
        if let Some(other) = self.lugs.get(1) {
            let says = format!("starts at two lug pairs, '{}' and '{}'", lug.id, other.id);
            note(2, "from", says)?;
        }
        Ok(())
    }
}

/// Looks at the lug pairs that begin where no transformer is.
pub(super) fn check<S: Shelf>(check: &Check<'_, S>) -> Result<(), S::Error> {
    let mut waiting: Option<(String, u8)> = None;
    check.walk(Rows::Lugs, &mut |key, row| {
        let mut key = Unpack::of(key);
        let (id, ends) = (key.text(), key.byte() == 1);
        let byte = Unpack::of(row).byte();
        let last = waiting.take();
        if !ends {
            if let Some((last, legs)) = last {
                told(check, &last, legs, None)?;
            }
            waiting = Some((id, byte));
            return Ok(());
        }
        // One that ends at a transformer and begins at one too is told already.
        match last {
            Some((last, legs)) if last == id => told(check, &id, legs, system_of(byte)),
            Some((last, legs)) => told(check, &last, legs, None),
            None => Ok(()),
        }
    })?;
    if let Some((last, legs)) = waiting {
        told(check, &last, legs, None)?;
    }
    check.done_with(Rows::Lugs)
}

/// Holds a lug pair's legs against its system, or gives it the system's legs where it names none.
fn told<S: Shelf>(
    check: &Check<'_, S>,
    id: &str,
    bits: u8,
    system: Option<VoltageSystem>,
) -> Result<(), S::Error> {
    if bits == 0 {
        let system = system.unwrap_or(VoltageSystem::Split120_240);
        return check.fill(id, Filled::Legs(system.legs().to_vec()));
    }
    let stray = |leg: &Conductor| system.is_some_and(|system| !system.legs().contains(leg));
    let Some(leg) = legs(bits).find(stray) else { return Ok(()) };
    let says = format!("the transformer here has no leg {leg}");
    let finding = Finding::of(FindingId::SystemDisagrees, id, "legs", says);
    check.found(Order::Systems, &Pack::default().byte(1).text(id), &finding)
}
