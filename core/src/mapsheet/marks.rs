//! What may stand on a sheet once: a tag, a meter number, a lug position of a pad.

use super::check::{Check, Kept, Order, Thing};
use super::finding::{Finding, FindingId};
use super::pack::{Pack, Unpack};
use super::shelf::{Feature, Rows, Shelf};
use crate::plant::{Device, plain};

const TAG: u8 = 0;
const METER: u8 = 1;
const POSITION: u8 = 2;

/// Keeps what a feature of the plant marks.
pub(super) fn take<S: Shelf>(
    kept: &Kept<S>,
    number: u32,
    feature: &Feature,
) -> Result<(), S::Error> {
    let put = |mark: Pack, id: &str, place: u32, shown: &str| {
        let key = mark.text(id).number(place);
        kept.put(Rows::Marks, &key, &Pack::default().number(number).text(shown))
    };
    match feature {
        Feature::Pad(pad) => {
            for (tag, place) in pad.tags.iter().zip(0..) {
                put(Pack::default().byte(TAG).text(&plain(tag)), pad.id.as_str(), place, tag)?;
            }
        }
        Feature::Service(service) => {
            for (meter, place) in service.meters.iter().zip(0..) {
                let mark = Pack::default().byte(METER).text(&plain(meter));
                put(mark, service.id.as_str(), place, meter)?;
            }
        }
        Feature::Switch(lug) if lug.device == Device::LugPair => {
            if let (Some(pad), Some(position)) = (&lug.pad, &lug.position) {
                let mark = Pack::default().byte(POSITION).text(pad.as_str()).text(position);
                put(mark, lug.id.as_str(), 0, "")?;
            }
        }
        _ => {}
    }
    Ok(())
}

/// Lays down what stands twice.
pub(super) fn check<S: Shelf>(check: &Check<'_, S>) -> Result<(), S::Error> {
    let mut mark = Vec::new();
    let mut other = String::new();
    check.walk(Rows::Marks, &mut |key, row| {
        let mut key = Unpack::of(key);
        let which = key.byte();
        let pad = if which == POSITION { key.text() } else { String::new() };
        let text = key.text();
        let here = key.so_far();
        let (id, place) = (key.text(), key.number());
        let mut row = Unpack::of(row);
        let (number, shown) = (row.number(), row.text());
        let kind = match which {
            TAG => "pad",
            METER => "service",
            _ => "switch",
        };
        if !check.counts(Thing { kind, id: &id, number })? {
            return Ok(());
        }
        if mark != here {
            mark.clear();
            mark.extend_from_slice(here);
            other = id;
            return Ok(());
        }
        let same = other == id;
        let (order, finding, field, says) = match which {
            TAG if same => (
                Order::Tags,
                FindingId::DuplicateTag,
                "tags",
                format!("tag '{shown}' stands twice: name it once"),
            ),
            TAG => (
                Order::Tags,
                FindingId::DuplicateTag,
                "tags",
                format!("tag '{shown}' is on pad '{other}' too: one of them is wrong"),
            ),
            METER if same => (
                Order::Meters,
                FindingId::DuplicateMeter,
                "meters",
                format!("meter number '{shown}' stands twice: name it once"),
            ),
            METER => (
                Order::Meters,
                FindingId::DuplicateMeter,
                "meters",
                format!("meter number '{shown}' is at service '{other}' too: one is wrong"),
            ),
            _ => (
                Order::Positions,
                FindingId::DuplicatePosition,
                "position",
                format!("position '{text}' of pad '{pad}' is lug pair '{other}' too"),
            ),
        };
        let finding = Finding::of(finding, &id, field, says);
        check.found(order, &Pack::default().text(&id).number(place), &finding)?;
        other = id;
        Ok(())
    })?;
    check.done_with(Rows::Marks)
}
