//! Nobody closes in on people a phone has not heard of.
//!
//! A phone that has been out of touch since the lift may not know that somebody was offered the
//! base meanwhile. No clock helps; knowing does. Once everything is open, a phone closes only after
//! every other phone of the crew has given its word that all is clear, in an entry written when that
//! phone knew everything that is open; and a phone that has given its word offers nothing any more.
//!
//! Why that is enough: take an offer on one phone and a closing step on another, both let through
//! where they were written, neither writer having seen the other's.
//!
//! - The closer had seen the word of the phone that offered. That word stands before the offer in
//!   the same phone's entries, or who had seen the word had seen the offer too. So the offer is
//!   refused, unless something was opened anew after the word. But once any word was given, an offer
//!   waits until every phone of the crew has written something in the knowledge of all that is open.
//!   The closing step comes after that entry of the closer's, or who offered had seen the closing.
//!   So the closer knew what was opened anew, and the word, older than that, did not count.
//! - Or the closer needed no word, for not all was open as far as it knew and it took back what that
//!   very phone had opened. An offer waits until every phone that opened anything knows all that is
//!   open: so that closer knew it, and all was open.
//!
//! A lineworker offers on a phone that the job's crew names, for nobody waits for any other. The
//! desk's device gives no word: nothing is offered and nothing closed there. A clearance passed on
//! is still the one that was offered. What was passed by deviation or by a settlement is on two
//! people's word instead.

use std::collections::{BTreeMap, BTreeSet};

use super::{known::Known, physical::Touch, sheets::Sheets, state::State};
use crate::{
    event::{Body, Correction, CrewMember, Event, Operation},
    gate::Role,
    quantity::{DeviceId, EventId},
};

/// Who knows what is open, and who has given their word since.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Clear {
    /// Everything that opened a leg or a switch, or settled or put right that one was opened.
    openings: BTreeSet<EventId>,
    /// Phones that opened or secured something: they may take it back before all is open.
    openers: BTreeSet<DeviceId>,
    /// The first entry of each phone that was written in the knowledge of every opening.
    heard: BTreeMap<DeviceId, EventId>,
    /// The word of each phone since the last opening.
    words: BTreeMap<DeviceId, Word>,
    /// A word was given on this job, whether it counts or not.
    ever_given: bool,
    /// All was open, so that dead could be proven and work begun.
    all_open: bool,
}

/// A phone's word that all is clear.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Word {
    /// The entry that gave it.
    event: EventId,
    /// Not taken back since.
    stands: bool,
}

impl Clear {
    fn opened(&mut self, by: &EventId) {
        self.openings.insert(by.clone());
        self.heard.clear();
        self.words.clear();
    }

    fn give(&mut self, event: &Event, knowing: bool) {
        self.ever_given = true;
        let stands = self.words.get(&event.device).is_some_and(|word| word.stands);
        if knowing && !stands {
            let word = Word { event: event.id.clone(), stands: true };
            self.words.insert(event.device.clone(), word);
        }
    }

    /// A word taken back: nobody closes on it, and its phone offers nothing all the same.
    fn take_back(&mut self, device: &DeviceId) {
        if let Some(word) = self.words.get_mut(device) {
            word.stands = false;
        }
    }
}

/// Operations after which something more is open.
const fn opens(operation: &Operation) -> bool {
    matches!(operation, Operation::LegLifted { .. } | Operation::SwitchOpened { .. })
}

/// Operations that a closing step takes back.
const fn can_be_taken_back(operation: &Operation) -> bool {
    matches!(
        operation,
        Operation::LegLifted { .. }
            | Operation::SwitchOpened { .. }
            | Operation::SetShorted { .. }
            | Operation::Grounded { .. }
            | Operation::Locked { .. }
            | Operation::Tagged { .. }
            | Operation::MainOpened { .. }
            | Operation::SourcesOff { .. }
    )
}

/// A crew member's phone and name, as a refusal lists them.
fn named(member: &CrewMember) -> String {
    let device = member.device.as_ref().map(ToString::to_string).unwrap_or_default();
    format!("{device} ({})", member.person)
}

impl State {
    /// Takes note of what an applied event says about who knows of what.
    pub(super) fn hear(&mut self, sheets: &Sheets<'_>, event: &Event, known: Known<'_>) {
        let mut clear = std::mem::take(&mut self.clear);
        match &event.body {
            Body::Operation(done) => {
                if opens(&done.operation) {
                    clear.opened(&event.id);
                }
                if can_be_taken_back(&done.operation) {
                    clear.openers.insert(event.device.clone());
                }
            }
            Body::MeterPulled(_) => {
                clear.openers.insert(event.device.clone());
            }
            Body::ConflictSettled(settled) => {
                let refused = self.refused.iter().map(|refused| &refused.event);
                let refused = refused.filter(|refused| refused.id == settled.refused);
                for refused in refused {
                    hear_settled(&mut clear, event, refused, settled.stands);
                }
            }
            Body::Correction(correction) => self.hear_corrected(&mut clear, event, correction),
            _ => {}
        }
        clear.all_open |= !clear.openings.is_empty() && self.all_is_open(sheets);
        let knowing =
            clear.openings.iter().all(|opening| *opening == event.id || (known.0)(opening));
        if knowing {
            clear.heard.entry(event.device.clone()).or_insert_with(|| event.id.clone());
        }
        match released(&event.body) {
            Some(true) => clear.give(event, knowing),
            Some(false) => clear.take_back(&event.device),
            None => {}
        }
        self.clear = clear;
    }

    fn hear_corrected(&self, clear: &mut Clear, event: &Event, correction: &Correction) {
        let Some(instead) = &correction.instead else { return };
        let Body::Operation(done) = &*instead.0 else { return };
        if opens(&done.operation) {
            clear.opened(&event.id);
        }
        let was = self.applied.iter().find(|was| was.event.id == correction.corrects);
        match (was, released(&instead.0)) {
            (Some(was), Some(false)) => clear.take_back(&was.event.device),
            // A word is given by inspecting, never by putting an earlier entry right.
            (_, Some(true)) => clear.ever_given = true,
            _ => {}
        }
    }

    /// Whether a switch was opened, or every hot leg of a set is lifted.
    fn all_is_open(&self, sheets: &Sheets<'_>) -> bool {
        let legs = self.system(sheets).map_or(&[][..], |system| system.legs());
        let whole = |lifted: &BTreeMap<crate::plant::Conductor, _>| {
            !legs.is_empty() && legs.iter().all(|leg| lifted.contains_key(leg))
        };
        let switch = |(stands, _): &(crate::plant::SwitchState, Touch)| {
            *stands == crate::plant::SwitchState::Open
        };
        self.physical.legs.values().any(whole) || self.physical.switches.values().any(switch)
    }

    /// Lineworkers of the crew with a phone of their own, without the one that asks.
    fn others(&self, device: &DeviceId) -> impl Iterator<Item = &CrewMember> {
        let crew = self.header.iter().flat_map(|header| &header.crew);
        crew.filter(move |member| {
            member.role == Role::Lineworker
                && member.device.as_ref().is_some_and(|own| own != device && !self.is_desk(own))
        })
    }

    /// Whether a device is a phone of the crew's lineworkers.
    pub fn is_crews_phone(&self, device: &DeviceId) -> bool {
        let crew = self.header.iter().flat_map(|header| &header.crew);
        let mut phones = crew.filter(|member| member.role == Role::Lineworker);
        phones.any(|member| member.device.as_ref() == Some(device)) && !self.is_desk(device)
    }

    /// Phones whose word a closing step waits for, as far as its writer had heard.
    pub(super) fn unheard(&self, event: &Event, known: Known<'_>) -> Vec<String> {
        if !self.clear.all_open && self.takes_own_back(event) {
            return Vec::new();
        }
        self.without_word(&event.device, known).map(named).collect()
    }

    fn without_word(
        &self,
        device: &DeviceId,
        known: Known<'_>,
    ) -> impl Iterator<Item = &CrewMember> {
        self.others(device).filter(move |member| {
            let word = member.device.as_ref().and_then(|own| self.clear.words.get(own));
            !word.is_some_and(|word| word.stands && (known.0)(&word.event))
        })
    }

    /// Whether what a closing step undoes was done on the same device. To close a job undoes nothing.
    fn takes_own_back(&self, event: &Event) -> bool {
        let touch = match &event.body {
            Body::Closed(_) => return true,
            Body::MeterSet(_) => self.physical.meter_out.as_ref().map(|out| &out.touch),
            Body::Operation(done) => self.undone_by(&done.operation),
            _ => None,
        };
        let applied = self.applied.iter().map(|applied| &applied.event);
        let mut events = applied.chain(self.refused.iter().map(|refused| &refused.event));
        touch.is_some_and(|touch| {
            events.any(|done| done.id == touch.event && done.device == event.device)
        })
    }

    /// Who did last what a closing operation undoes; none: it is not on record.
    fn undone_by(&self, operation: &Operation) -> Option<&Touch> {
        let physical = &self.physical;
        let set = super::facts::set;
        match operation {
            Operation::LegLanded { pad, position, leg } => {
                physical.lifted(&set(pad, position), *leg).map(|end| &end.lifted)
            }
            Operation::ShortRemoved { pad, position } => physical.shorts.get(&set(pad, position)),
            Operation::GroundRemoved { node } => physical.grounds.get(node),
            Operation::LockRemoved { what } => physical.locks.get(what),
            Operation::TagRemoved { what } => physical.tags.get(what),
            Operation::SwitchClosed { switch } => {
                physical.switches.get(switch).map(|(_, touch)| touch)
            }
            Operation::MainClosed { service } => {
                physical.mains.get(service).map(|main| &main.touch)
            }
            Operation::SourcesOn { service } => {
                physical.sources.get(service).map(|sources| &sources.touch)
            }
            _ => None,
        }
    }

    /// Phones that an offer waits for: they may close something and are not known to know all that
    /// is open.
    pub(super) fn unaware(&self, event: &Event, known: Known<'_>) -> Vec<String> {
        let may_close = |member: &&CrewMember| {
            let own = member.device.as_ref();
            self.clear.ever_given || own.is_some_and(|own| self.clear.openers.contains(own))
        };
        let unaware = |member: &&CrewMember| {
            let heard = member.device.as_ref().and_then(|own| self.clear.heard.get(own));
            !heard.is_some_and(|entry| (known.0)(entry))
        };
        self.others(&event.device).filter(may_close).filter(unaware).map(named).collect()
    }

    /// Whether all was open on this job, so that dead could be proven and work begun.
    pub fn was_all_open(&self) -> bool {
        self.clear.all_open
    }

    /// Whether a device has given its word that all is clear since something was opened last, taken
    /// back or not: nothing is offered on it.
    pub fn said_clear(&self, device: &DeviceId) -> bool {
        self.clear.words.contains_key(device)
    }

    /// Whether a device's word that all is clear stands.
    pub fn word_stands(&self, device: &DeviceId) -> bool {
        self.clear.words.get(device).is_some_and(|word| word.stands)
    }

    /// Whose word a device waits for before it closes anything; nobody's before all was open.
    pub fn waits_for_word_of(&self, device: &DeviceId) -> Vec<&CrewMember> {
        if !self.clear.all_open {
            return Vec::new();
        }
        self.without_word(device, Known(&|_| true)).collect()
    }
}

/// Whether an event is a word, and says that all is clear.
fn released(body: &Body) -> Option<bool> {
    match body {
        Body::Operation(done) => match &done.operation {
            Operation::Inspected { released, .. } => Some(*released),
            _ => None,
        },
        _ => None,
    }
}

/// A refused act that was settled. A word that was refused frees nobody, and binds its phone.
fn hear_settled(clear: &mut Clear, event: &Event, refused: &Event, stands: bool) {
    match &refused.body {
        Body::Operation(done) if opens(&done.operation) && stands => {
            clear.opened(&event.id);
            clear.openers.insert(refused.device.clone());
        }
        _ if released(&refused.body) == Some(true) => {
            clear.ever_given = true;
            let word = Word { event: event.id.clone(), stands: false };
            clear.words.insert(refused.device.clone(), word);
        }
        _ => {}
    }
}
