//! The wait after the customer's own sources went off, on every phone's own clock.
//!
//! Who switches them off stands at the house; who tests lifted ends stands at the pad, with a phone
//! whose clock cannot be held against the other's. But nothing is known before it happens: from the
//! first entry of a phone that had seen them off, that phone's own clock counts the wait.

use super::{
    sheets::Sheets,
    state::{OffKnown, State},
};
use crate::{
    event::{Event, OwnSources},
    quantity::{Age, EventId, Instant},
};

impl State {
    /// The event by which the customer's own sources are off now; none: there are none, or they are
    /// not off.
    fn sources_off_by(&self) -> Option<&EventId> {
        let off = self.target().and_then(|service| self.physical.sources.get(service));
        match (off, &self.physical.meter_out) {
            (Some(off), _) if off.off => Some(&off.touch.event),
            (_, Some(out)) if out.own_sources == OwnSources::Off => Some(&out.touch.event),
            _ => None,
        }
    }

    /// Notes that the writer of an event knew the sources to be off.
    pub(super) fn know_sources_off(&mut self, event: &Event, had_seen: &dyn Fn(&EventId) -> bool) {
        let Some(by) = self.sources_off_by().cloned() else {
            self.off_known = None;
            return;
        };
        if self.off_known.as_ref().is_none_or(|known| known.by != by) {
            self.off_known = Some(OffKnown { by: by.clone(), since: [].into() });
        }
        let now = event.when();
        if let Some(known) = &mut self.off_known
            && (event.id == by || had_seen(&by))
        {
            known.since.entry(now.boot.clone()).or_insert(now);
        }
    }

    /// Whether a test that begins now would begin before the wait is over after the customer's own
    /// sources went off, as far as this phone's clock can tell.
    pub fn waits_for_sources(&self, sheets: &Sheets<'_>, now: &Instant) -> bool {
        if self.sources_off_by().is_none() {
            return false;
        }
        let since = self.off_known.as_ref().and_then(|known| known.since.get(&now.boot));
        since.is_none_or(|since| match now.age_of(since) {
            Age::Known(age) => age < sheets.rules.wait_after_sources_off(),
            Age::Unknown => true,
        })
    }
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use crate::{
        gate::Rule,
        job::{
            fold_knowing,
            tests::crew::{Crew, Desk},
        },
        quantity::Instant,
    };

    fn at(device: &str, s: i64) -> Instant {
        Instant { wall_ms: 0, boot: format!("{device}/1"), mono_ms: s * 1000 }
    }

    #[test]
    fn each_phone_counts_from_its_first_entry_that_had_seen_them_off() {
        let desk = Desk::new();
        let mut crew = Crew::new(&desk);
        crew.opens_job();
        assert!(!crew.state.waits_for_sources(&crew.sheets, &at("phone-a", 0)));
        crew.operates("b", "sources-off", json!({ "service": "P1V2" }));
        let off = crew.now_s;
        for (s, waits) in [(off + 59, true), (off + 60, false)] {
            assert_eq!(crew.state.waits_for_sources(&crew.sheets, &at("phone-b", s)), waits);
        }
        // The other phone has written nothing since: it cannot tell at all.
        assert!(crew.state.waits_for_sources(&crew.sheets, &at("phone-a", off + 600)));
        // An entry that was written apart, without having seen them off, begins no wait.
        let apart = crew.event(
            "a",
            "apart",
            "verdict-shown",
            json!({
            "shown": { "verdict": "unsettled", "candidates": [], "elsewhere": true },
            "rules_edition": "1" }),
        );
        fold_knowing(&mut crew.state, &crew.sheets, &apart, &|_| false);
        assert!(crew.state.waits_for_sources(&crew.sheets, &at("phone-a", off + 600)));
        crew.wait(100);
        let seen = crew.event(
            "a",
            "seen",
            "verdict-shown",
            json!({
            "shown": { "verdict": "unsettled", "candidates": [], "elsewhere": true },
            "rules_edition": "1" }),
        );
        fold_knowing(&mut crew.state, &crew.sheets, &seen, &|_| true);
        for (s, waits) in [(off + 159, true), (off + 160, false)] {
            assert_eq!(crew.state.waits_for_sources(&crew.sheets, &at("phone-a", s)), waits);
        }
        assert_eq!(Rule::WaitAfterSourcesOff.id(), "wait-after-sources-off");
    }
}
