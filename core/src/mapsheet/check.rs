//! The checks of a whole sheet: what all of them share. Each goes through rows that were put on the
//! shelf while the sheet came in, in the order of what it compares; what it finds lies on the shelf
//! too, and is told in the order of the checks and of the sheet.

use std::cell::{Cell, RefCell};

use super::finding::{Finding, Severity};
use super::pack::Pack;
use super::shelf::{Filled, Rows, Shelf, TakeRow};
use super::{lugs, marks, nodes, pads};
use crate::quantity::AssetId;

/// Rows between two words about how far the checks are.
const REPORTED: u64 = 1 << 14;

/// What is told while a sheet is checked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Told {
    /// So many rows are gone through, of about so many.
    Checked {
        /// So many.
        done: u64,
        /// Of about so many.
        of: u64,
    },
    /// This was found, at the feature of this number where it is at one.
    Found(Option<u32>, Finding),
}

/// Which check found something, in the order in which they are told.
#[derive(Debug, Clone, Copy)]
pub(super) enum Order {
    Dangling,
    Reserved,
    SetEnds,
    SharedNodes,
    Fed,
    Tags,
    Meters,
    KnownPads,
    Positions,
    Lugs,
    Systems,
    Contents,
}

/// A feature that is part of the plant, as the checks know it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Thing<'a> {
    /// Its kind.
    pub(super) kind: &'a str,
    /// Its id.
    pub(super) id: &'a str,
    /// The how many-th feature of the file it is.
    pub(super) number: u32,
}

/// A shelf, with what is counted of it.
#[derive(Debug)]
pub(super) struct Kept<S> {
    pub(super) shelf: S,
    rows: Cell<u64>,
    /// Whether a kind has two features of one id: the later one counts.
    twins: Cell<bool>,
}

impl<S: Shelf> Kept<S> {
    pub(super) fn on(shelf: S) -> Self {
        Self { shelf, rows: Cell::new(0), twins: Cell::new(false) }
    }

    pub(super) fn put(&self, rows: Rows, key: &Pack, row: &Pack) -> Result<(), S::Error> {
        self.rows.set(self.rows.get() + 1);
        self.shelf.put(rows, key.bytes(), row.bytes())
    }

    /// This thing counts, and no earlier one of its kind and id.
    pub(super) fn twin(&self, thing: Thing<'_>) -> Result<(), S::Error> {
        self.twins.set(true);
        self.shelf.name(&twin_name(thing), thing.number).map(drop)
    }

    /// Whether it is this thing that counts.
    fn counts(&self, thing: Thing<'_>) -> Result<bool, S::Error> {
        if !self.twins.get() {
            return Ok(true);
        }
        Ok(self.shelf.named(&twin_name(thing))?.is_none_or(|number| number == thing.number))
    }
}

/// A name that no feature can have.
fn twin_name(thing: Thing<'_>) -> String {
    format!("{}/{}", thing.kind, thing.id)
}

/// The checks on their way.
pub(super) struct Check<'a, S> {
    kept: &'a Kept<S>,
    tell: RefCell<&'a mut dyn FnMut(Told)>,
    walked: Cell<u64>,
    sound: Cell<bool>,
}

impl<'a, S: Shelf> Check<'a, S> {
    /// Checks the whole of a sheet of so many features; true where nothing stands in the way, and
    /// nothing did in any feature by itself.
    pub(super) fn all(
        kept: &'a Kept<S>,
        count: u32,
        all_read: bool,
        tell: &'a mut dyn FnMut(Told),
    ) -> Result<bool, S::Error> {
        let check = Self {
            kept,
            tell: RefCell::new(tell),
            walked: Cell::new(0),
            sound: Cell::new(all_read),
        };
        nodes::check(&check, count)?;
        lugs::check(&check)?;
        marks::check(&check)?;
        pads::check(&check, all_read)?;
        check.tell_all()?;
        Ok(check.sound.get())
    }

    /// Goes through rows in the order of their keys.
    pub(super) fn walk(
        &self,
        rows: Rows,
        take: &mut TakeRow<'_, S::Error>,
    ) -> Result<(), S::Error> {
        self.kept.shelf.each(rows, &mut |key, row| {
            let done = self.walked.get() + 1;
            self.walked.set(done);
            if done.is_multiple_of(REPORTED) {
                (*self.tell.borrow_mut())(Told::Checked { done, of: self.kept.rows.get() });
            }
            take(key, row)
        })
    }

    pub(super) fn done_with(&self, rows: Rows) -> Result<(), S::Error> {
        self.kept.shelf.clear(rows)
    }

    pub(super) fn put(&self, rows: Rows, key: &Pack, row: &Pack) -> Result<(), S::Error> {
        self.kept.put(rows, key, row)
    }

    pub(super) fn counts(&self, thing: Thing<'_>) -> Result<bool, S::Error> {
        self.kept.counts(thing)
    }

    /// Lays down what was found; `at` is its place among the findings of this check.
    pub(super) fn found(&self, order: Order, at: &Pack, finding: &Finding) -> Result<(), S::Error> {
        find(self.kept, order, at, finding)
    }

    /// Fills in a list of a feature.
    pub(super) fn fill(&self, id: &str, list: Filled) -> Result<(), S::Error> {
        AssetId::new(id).map_or(Ok(()), |id| self.kept.shelf.fill(id, list))
    }

    fn tell_all(&self) -> Result<(), S::Error> {
        let lies = &self.kept.shelf;
        lies.each(Rows::Findings, &mut |_, row| {
            let Ok(finding) = serde_json::from_slice::<Finding>(row) else { return Ok(()) };
            self.sound.set(self.sound.get() && finding.severity == Severity::Warning);
            let number = match &finding.feature {
                Some(label) => lies.named(label)?,
                None => None,
            };
            (*self.tell.borrow_mut())(Told::Found(number, finding));
            Ok(())
        })?;
        self.done_with(Rows::Findings)
    }
}

/// Lays down what was found while the sheet still comes in.
pub(super) fn find<S: Shelf>(
    kept: &Kept<S>,
    order: Order,
    at: &Pack,
    finding: &Finding,
) -> Result<(), S::Error> {
    let mut key = vec![order as u8];
    key.extend_from_slice(at.bytes());
    // A finding is texts and numbers alone, which JSON always holds.
    let row = serde_json::to_vec(finding).unwrap_or_default();
    kept.shelf.put(Rows::Findings, &key, &row)
}
