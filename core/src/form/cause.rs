//! Causes in words, to go on after "if". What a crew did is named by when and by whom it was done: ids
//! say nothing to a person.

use schemars::JsonSchema;
use serde::Serialize;

use super::name;
use crate::{
    quantity::{AssetId, DeedId, MarksId, PlacementId, RunId, SightingId},
    sighting::{Cause, Evidence, SetAt},
    words::Words,
};

/// What alone could make something false.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CauseForm {
    /// Its key: kind and id.
    pub cause: String,
    /// In words, to go on after "if".
    pub sentence: String,
}

/// How causes of one job are told, in some language.
#[derive(Debug, Clone, Copy)]
pub struct Clauses<'a> {
    /// The job: what its causes are of.
    pub evidence: &'a Evidence,
    /// The language.
    pub words: &'a Words,
}

impl Clauses<'_> {
    pub(super) fn form(&self, cause: &Cause) -> CauseForm {
        CauseForm { cause: cause.to_string(), sentence: self.clause(cause) }
    }

    /// Causes one after the other.
    pub(super) fn joined(&self, by: &str, causes: &[Cause]) -> String {
        let all = causes.chunk_by(alike).map(|alike| match alike {
            [one] => self.clause(one),
            several => self.several(by, several),
        });
        self.in_one(by, all)
    }

    fn in_one(&self, by: &str, parts: impl Iterator<Item = String>) -> String {
        let joined = |one: String, other: String| {
            self.words.say(by, &[("one", &one), ("other", &other)]).text
        };
        parts.reduce(joined).unwrap_or_default()
    }

    /// Causes that are alike in one clause.
    fn several(&self, by: &str, causes: &[Cause]) -> String {
        let names = causes.iter().filter_map(|cause| match cause {
            Cause::Placement { placement } => Some(self.placement(placement)),
            Cause::Run { run } => Some(self.run(run)),
            Cause::Look { sighting } => Some(self.sighting(sighting)),
            _ => None,
        });
        let names = self.in_one(if by == "reason-and" { by } else { "reason-or-name" }, names);
        let said = match causes.first() {
            Some(Cause::Placement { .. }) => {
                self.words.say("cause-placement", &[("placement", &names)])
            }
            Some(Cause::Run { .. }) => self.words.say("cause-run", &[("run", &names)]),
            Some(Cause::Look { .. }) => self.words.say("cause-look", &[("sighting", &names)]),
            _ => return self.in_one(by, causes.iter().map(|cause| self.clause(cause))),
        };
        said.text
    }

    /// One cause.
    pub fn clause(&self, cause: &Cause) -> String {
        let words = self.words;
        let at = |pad: &AssetId, position: &str| {
            name(&SetAt { pad: pad.clone(), position: position.to_owned() })
        };
        let said = match cause {
            Cause::Report { person, stay } => {
                words.say("cause-report", &[("person", person.as_str()), ("stay", stay.as_str())])
            }
            Cause::PadReport { person } => {
                words.say("cause-pad-report", &[("person", person.as_str())])
            }
            Cause::MeterRecords => words.plain("cause-meter-records"),
            Cause::Plates => words.plain("cause-plates"),
            Cause::Electrician => words.plain("cause-electrician"),
            Cause::BillingRecords => words.plain("cause-billing-records"),
            Cause::Tone { pad } => words.say("cause-tone", &[("pad", pad.as_str())]),
            Cause::MarkerScheme => words.plain("cause-marker-scheme"),
            Cause::Placement { placement } => {
                words.say("cause-placement", &[("placement", &self.placement(placement))])
            }
            Cause::Marks { marks } => words.say("cause-marks", &[("marks", &self.marks(marks))]),
            Cause::LugPositions { pad } => {
                words.say("cause-lug-positions", &[("pad", pad.as_str())])
            }
            Cause::Run { run } => words.say("cause-run", &[("run", &self.run(run))]),
            Cause::Instrument { instrument } => {
                words.say("cause-instrument", &[("instrument", instrument.as_str())])
            }
            Cause::Deed { deed } => words.say("cause-deed", &[("deed", &self.deed(deed))]),
            Cause::SharedSet { pad, position } => {
                words.say("cause-shared-set", &[("set", &at(pad, position))])
            }
            Cause::UnmappedSplice { pad, position } => {
                words.say("cause-unmapped-splice", &[("set", &at(pad, position))])
            }
            Cause::Look { sighting } => {
                words.say("cause-look", &[("sighting", &self.sighting(sighting))])
            }
        };
        said.text
    }

    fn by(&self, who: &str, at: &str) -> String {
        self.words.say("reason-seen-by", &[("who", who), ("at", at)]).text
    }

    fn placement(&self, id: &PlacementId) -> String {
        let known = self.evidence.placements.get(id);
        let told = known.and_then(|made| Some((made.at.to_clock(), made.leg?.to_string())));
        told.map_or_else(
            || id.to_string(),
            |(at, leg)| self.words.say("known-placement", &[("at", &at), ("leg", &leg)]).text,
        )
    }

    fn run(&self, id: &RunId) -> String {
        let known = self.evidence.runs.get(id);
        known.map_or_else(|| id.to_string(), |run| run.begun.to_clock())
    }

    fn sighting(&self, id: &SightingId) -> String {
        let known = self.evidence.sightings.get(id);
        known.map_or_else(|| id.to_string(), |it| self.by(it.who.as_str(), &it.at.to_clock()))
    }

    fn deed(&self, id: &DeedId) -> String {
        let known = self.evidence.deeds.get(id);
        known.map_or_else(|| id.to_string(), |it| self.by(it.doer.as_str(), &it.at.to_clock()))
    }

    fn marks(&self, id: &MarksId) -> String {
        let Some(go) = self.evidence.marks.get(id) else { return id.to_string() };
        let letters: Vec<&str> = go.sets.iter().map(|set| set.mark.as_str()).collect();
        let places = [("letters", &*letters.join(", ")), ("pad", go.pad.as_str())];
        self.words.say("known-marks", &places).text
    }
}

/// Whether two causes are said in one clause: two legs are read at two placements by two runs.
const fn alike(one: &Cause, other: &Cause) -> bool {
    matches!(
        (one, other),
        (Cause::Placement { .. }, Cause::Placement { .. })
            | (Cause::Run { .. }, Cause::Run { .. })
            | (Cause::Look { .. }, Cause::Look { .. })
    )
}

#[cfg(test)]
pub(super) mod tests;
