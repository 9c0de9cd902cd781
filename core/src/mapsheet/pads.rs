//! Pads: that they are on the sheet, and contain what names them as its own.

use super::check::{Check, Kept, Order, Thing};
use super::finding::{Finding, FindingId};
use super::pack::{Pack, Unpack};
use super::shelf::{Feature, Filled, Rows, Shelf};
use crate::quantity::AssetId;

/// The pad itself.
const PAD: u8 = 0;
/// Something in it.
const INSIDE: u8 = 1;
/// The pad lists it.
const LISTED: u8 = 0;
/// It names the pad.
const NAMES: u8 = 1;
/// A pad that could not be read.
const UNREAD: u8 = 0;
/// One that lists what it contains.
const LISTS: u8 = 1;
/// One whose list is filled in.
const FILLED: u8 = 2;

/// What can name a pad as its own, in the order in which it is told that there is no such pad.
const KINDS: [&str; 3] = ["switch", "set", "transformer"];

/// Keeps that there is a pad of this name in the file, read or not.
pub(super) fn take_pad<S: Shelf>(
    kept: &Kept<S>,
    label: &str,
    known: bool,
    filled: bool,
) -> Result<(), S::Error> {
    let how = match (known, filled) {
        (false, _) => UNREAD,
        (true, false) => LISTS,
        (true, true) => FILLED,
    };
    kept.put(Rows::Pads, &Pack::default().text(label).byte(PAD), &Pack::default().byte(how))
}

/// Keeps what a feature of the plant says of pads.
pub(super) fn take<S: Shelf>(
    kept: &Kept<S>,
    number: u32,
    feature: &Feature,
) -> Result<(), S::Error> {
    let put = |pad: &AssetId, id: &AssetId, how: u8, row: Pack| {
        let key = Pack::default().text(pad.as_str()).byte(INSIDE).text(id.as_str()).byte(how);
        kept.put(Rows::Pads, &key, &row)
    };
    let (pad, id, kind) = match feature {
        Feature::Pad(pad) => {
            for id in &pad.contains {
                put(&pad.id, id, LISTED, Pack::default())?;
            }
            return Ok(());
        }
        Feature::Switch(switch) => (switch.pad.as_ref(), &switch.id, 0),
        Feature::Set(set) => (set.pad.as_ref(), &set.id, 1),
        Feature::Transformer(unit) => (Some(&unit.pad), &unit.id, 2),
        _ => return Ok(()),
    };
    let row = Pack::default().field(kind).number(number);
    pad.map_or(Ok(()), |pad| put(pad, id, NAMES, row))
}

/// Lays down every finding about pads; `all_read` says that every feature could be read, and only
/// then is it known what is in them.
pub(super) fn check<S: Shelf>(check: &Check<'_, S>, all_read: bool) -> Result<(), S::Error> {
    let mut pad = Pad::default();
    check.walk(Rows::Pads, &mut |key, row| {
        let mut key = Unpack::of(key);
        key.past_text();
        if pad.name != key.so_far() {
            pad.left(check, all_read)?;
            pad = Pad { name: key.so_far().to_vec(), ..Pad::default() };
        }
        let mut row = Unpack::of(row);
        if key.byte() == PAD {
            let how = row.byte();
            pad.how = pad.how.max(Some(how));
            return Ok(());
        }
        let (id, how) = (key.text(), key.byte());
        if pad.last.as_ref().is_none_or(|last| last.id != id) {
            pad.thing(check, all_read)?;
            pad.last = Some(Inside { id: id.clone(), listed: 0, names: false });
        }
        let Some(last) = &mut pad.last else { return Ok(()) };
        if how == LISTED {
            last.listed += 1;
            return Ok(());
        }
        let (place, number) = (row.field(), row.number());
        let kind = KINDS.get(place).copied().unwrap_or_default();
        if !check.counts(Thing { kind, id: &id, number })? {
            return Ok(());
        }
        last.names = true;
        if pad.how.is_some() {
            return Ok(());
        }
        let says = format!("there is no pad '{}' on the sheet: correct the name", pad.name());
        let finding = Finding::of(FindingId::UnknownPad, &id, "pad", says);
        check.found(Order::KnownPads, &Pack::default().field(place).text(&id), &finding)
    })?;
    pad.left(check, all_read)?;
    check.done_with(Rows::Pads)
}

/// One pad, as what is in it comes by.
#[derive(Debug, Default)]
struct Pad {
    /// Its name as the keys have it.
    name: Vec<u8>,
    /// How it is in the file; none where it is not.
    how: Option<u8>,
    /// What is filled in so far.
    contains: Vec<AssetId>,
    /// Whether it lists something twice.
    twice: bool,
    /// What came by last.
    last: Option<Inside>,
}

/// Something that may be in a pad.
#[derive(Debug)]
struct Inside {
    id: String,
    /// How often the pad lists it.
    listed: u32,
    /// Whether it names the pad.
    names: bool,
}

impl Pad {
    fn name(&self) -> String {
        Unpack::of(&self.name).text()
    }

    /// Everything of the last thing came by.
    fn thing<S: Shelf>(&mut self, check: &Check<'_, S>, all_read: bool) -> Result<(), S::Error> {
        let Some(Inside { id, listed, names }) = self.last.take() else { return Ok(()) };
        if self.how.is_none_or(|how| how == UNREAD) || !all_read {
            return Ok(());
        }
        if self.how == Some(FILLED) {
            self.contains.extend(AssetId::new(id).ok().filter(|_| names));
            return Ok(());
        }
        self.twice |= listed > 1;
        match (listed > 0, names) {
            (true, false) => {
                let says = format!("'{id}' is not on the sheet, or names another pad as its own");
                self.found(check, &Pack::default().byte(0).text(&id), says)
            }
            (false, true) => {
                let says = format!("'{id}' names this pad as its own and is not listed");
                self.found(check, &Pack::default().byte(1).text(&id), says)
            }
            _ => Ok(()),
        }
    }

    fn found<S: Shelf>(
        &self,
        check: &Check<'_, S>,
        at: &Pack,
        says: String,
    ) -> Result<(), S::Error> {
        let name = self.name();
        let finding = Finding::of(FindingId::PadDisagrees, &name, "contains", says);
        check.found(Order::Contents, &Pack::default().text(&name).then(at), &finding)
    }

    /// Everything of this pad came by.
    fn left<S: Shelf>(&mut self, check: &Check<'_, S>, all_read: bool) -> Result<(), S::Error> {
        self.thing(check, all_read)?;
        if self.twice {
            self.found(check, &Pack::default().byte(2), "lists something twice".to_owned())?;
        }
        if self.how == Some(FILLED) && all_read {
            let contains = std::mem::take(&mut self.contains);
            check.fill(&self.name(), Filled::Contains(contains))?;
        }
        Ok(())
    }
}
