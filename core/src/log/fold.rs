//! A job's state from its log: every entry judged with what its writer had seen.

use std::{
    collections::BTreeMap,
    ops::ControlFlow::{self, Continue},
};

use super::{chain::Log, entry::Entry};
use crate::{
    job::{self, Outcome, Sheets, State},
    quantity::{DeviceId, EventId},
};

/// The state of a job: its entries in fold order, each judged with what its writer had seen.
///
/// Entries taken from others may come between those that are here; whoever took some folds anew.
pub fn fold(log: &Log, sheets: &Sheets<'_>) -> State {
    replay(log, sheets, |_, _| Continue(()))
}

/// [`fold`], telling what became of each entry; it stops where it is told to.
pub fn replay(
    log: &Log,
    sheets: &Sheets<'_>,
    mut each: impl FnMut(&Entry, &Outcome) -> ControlFlow<()>,
) -> State {
    let mut state = State::default();
    let mut sight = Sight::default();
    for entry in log.in_order() {
        let seen = sight.of(log, entry);
        let had_seen = |id: &EventId| sight.saw(&seen, id);
        let outcome = job::fold_knowing(&mut state, sheets, entry.event(), &had_seen);
        sight.take(entry, seen);
        if each(entry, &outcome).is_break() {
            break;
        }
    }
    state
}

/// The state after an entry that was just taken into the log, from the state before it.
///
/// An entry whose writer had seen all the rest, as a device's own next one has, is folded on; any
/// other may belong further back, and then everything is folded anew.
pub fn fold_next(state: &mut State, sheets: &Sheets<'_>, log: &Log, entry: &Entry) {
    if saw_all(log, entry) {
        job::fold(state, sheets, entry.event());
    } else {
        *state = fold(log, sheets);
    }
}

/// Whether an entry's writer had seen everything else that is here.
fn saw_all(log: &Log, entry: &Entry) -> bool {
    log.heads().iter().all(|(device, head)| {
        if device == entry.device() {
            *head == entry.hash()
        } else {
            entry.unsigned().heads.get(device) == Some(head)
        }
    })
}

/// How many entries of each chain somebody had seen.
type Seen = BTreeMap<DeviceId, u64>;

/// What the writers of the entries so far had seen.
#[derive(Default)]
struct Sight {
    /// By writer and place in the writer's chain, from one.
    seen: BTreeMap<DeviceId, Vec<Seen>>,
    /// Where the events stand. A name used twice stands at several places.
    places: BTreeMap<EventId, Vec<(DeviceId, u64)>>,
}

impl Sight {
    /// What the writer of an entry had seen: what the entry before it had, and the heads it names
    /// with all that their writers had seen.
    fn of(&self, log: &Log, entry: &Entry) -> Seen {
        let own = self.at(entry.device(), entry.seq().saturating_sub(1));
        let mut seen = own.cloned().unwrap_or_default();
        for head in entry.unsigned().heads.values() {
            let Some((device, place)) = log.places.get(head) else { continue };
            join(&mut seen, device, *place);
            for (other, place) in self.at(device, *place).into_iter().flatten() {
                join(&mut seen, other, *place);
            }
        }
        join(&mut seen, entry.device(), entry.seq().saturating_sub(1));
        seen
    }

    /// What the writer of the entry at a place had seen; none: there is no such place yet.
    fn at(&self, device: &DeviceId, place: u64) -> Option<&Seen> {
        let index = usize::try_from(place.checked_sub(1)?).ok()?;
        self.seen.get(device)?.get(index)
    }

    /// Whether an event is among those seen.
    fn saw(&self, seen: &Seen, id: &EventId) -> bool {
        let places = self.places.get(id).into_iter().flatten();
        places.into_iter().any(|(device, place)| seen.get(device).is_some_and(|n| n >= place))
    }

    fn take(&mut self, entry: &Entry, seen: Seen) {
        let place = (entry.device().clone(), entry.seq());
        self.places.entry(entry.event().id.clone()).or_default().push(place);
        self.seen.entry(entry.device().clone()).or_default().push(seen);
    }
}

fn join(seen: &mut Seen, device: &DeviceId, place: u64) {
    let have = seen.entry(device.clone()).or_default();
    *have = (*have).max(place);
}
