//! What an event says, in one sentence, with the facts that tell.
//!
//! Who wrote it and when stand beside it in a timeline, and so are not in the sentence.

mod operated;
mod seen;

#[cfg(test)]
mod tests;

use crate::{
    event::{
        Body, ClearanceOp, Correction, MeterPulled, OwnTest, ProofMade, ProofOf, Shown,
        ShownVerdict, Statement, VerdictShown,
    },
    form::{kebab, name},
    job::{Remark, RemarkOf, Sheets, State},
    reading::{Place, VoltsReading},
    sighting::{Handle, SetAt, Slot},
    words::{Sentence, Words},
};

/// What an event says.
pub fn event_sentence(body: &Body, words: &Words) -> Sentence {
    let teller = Teller { words };
    teller.premises(body).or_else(|| teller.measured(body)).unwrap_or_else(|| teller.course(body))
}

/// What readings say together, each with its place.
pub(super) fn remark_lines(state: &State, sheets: &Sheets<'_>, words: &Words) -> Vec<Sentence> {
    let teller = Teller { words };
    let line = |remark: Remark| {
        let of = match &remark.of {
            RemarkOf::Place(place) => teller.place(place),
            RemarkOf::Set(set) => name(set),
            RemarkOf::Branch(branch) => branch.to_string(),
        };
        let said = words.plain(remark.id);
        let places = [("of", of.as_str()), ("said", &said.text)];
        Sentence { id: remark.id.to_owned(), ..words.say("remark-of", &places) }
    };
    state.remarks(sheets).into_iter().map(line).collect()
}

/// Puts facts into sentences.
#[derive(Clone, Copy)]
pub(super) struct Teller<'a> {
    pub(super) words: &'a Words,
}

impl Teller<'_> {
    fn say(self, id: &str, places: &[(&str, &str)]) -> Sentence {
        self.words.say(id, places)
    }

    fn text(self, id: &str) -> String {
        self.words.plain(id).text
    }

    /// A list for a sentence; without anything in it a dash.
    fn list<T: ToString>(self, things: impl IntoIterator<Item = T>) -> String {
        let all: Vec<String> = things.into_iter().map(|thing| thing.to_string()).collect();
        if all.is_empty() { self.text("told-nothing") } else { all.join(", ") }
    }

    fn yes(self, flag: bool) -> String {
        self.text(if flag { "told-yes" } else { "told-no" })
    }

    fn handle(self, handle: &Handle) -> String {
        match handle {
            Handle::Mark { mark, .. } => self.say("told-by-mark", &[("mark", mark)]).text,
            Handle::Position { position } => {
                self.say("told-by-position", &[("position", position)]).text
            }
        }
    }

    fn place(self, place: &Place) -> String {
        let (id, what, more) = match place {
            Place::MeterBase { service, side } => {
                return self
                    .say(&format!("told-base-{}", kebab(side)), &[("service", service.as_str())])
                    .text;
            }
            Place::PadBus { pad } => ("told-pad-bus", pad.as_str(), ""),
            Place::LiftedLegs { pad, position } => ("told-lifted-legs", pad.as_str(), &**position),
            Place::KnownSource { what } => ("told-known-source", &**what, ""),
        };
        self.say(id, &[("what", what), ("position", more)]).text
    }

    /// The request, stays, runs and the meter.
    fn premises(self, body: &Body) -> Option<Sentence> {
        let id = format!("event-{}", body.kind());
        Some(match body {
            Body::JobOpened(b) => {
                let crew = self.list(b.crew.iter().map(|member| &member.person));
                let scope = self.text(&format!("scope-{}", scope_id(&b.scope)));
                let places = [
                    ("service", b.service.as_str()),
                    ("work", &b.work),
                    ("scope", &scope),
                    ("crew", &crew),
                ];
                self.say(&id, &places)
            }
            Body::Briefed(b) => {
                let count = b.subjects.len().to_string();
                let places = [("count", count.as_str()), ("present", &self.list(&b.present))];
                self.say(&id, &places)
            }
            Body::StayBegun(b) => self.say(&id, &[("stay", b.stay.as_str())]),
            Body::StayEnded(b) => self.say(&id, &[("stay", b.stay.as_str())]),
            Body::StayWithdrawn(b) => {
                self.say(&id, &[("stay", b.stay.as_str()), ("reason", &b.reason)])
            }
            Body::SwitchingRunBegun(b) => {
                let (load, run) = (b.load_amps.to_string(), b.run.as_str());
                self.say(&id, &[("run", run), ("outlet", &b.outlet), ("amps", &load)])
            }
            Body::SwitchingRunEnded(b) => {
                let changes = b.code.iter().filter(|slot| **slot == Slot::Change).count();
                let (slots, changes) = (b.code.len().to_string(), changes.to_string());
                let places = [("run", b.run.as_str()), ("slots", &slots), ("changes", &changes)];
                self.say(&id, &places)
            }
            Body::Picture(b) => match &b.run {
                Some(run) => self.say("event-picture-in-run", &[("run", run.as_str())]),
                None => self.say(&id, &[("stay", b.stay.as_str())]),
            },
            Body::ToneOn(b) => self.say(&id, &[("instrument", b.instrument.as_str())]),
            Body::MeterPulled(b) => self.pulled(b),
            Body::MeterSet(b) => {
                self.say(&id, &[("number", b.number_in_hand.as_deref().unwrap_or("?"))])
            }
            _ => return None,
        })
    }

    fn pulled(self, b: &MeterPulled) -> Sentence {
        let sources = self.text(&format!("own-sources-{}", kebab(&b.own_sources)));
        let places = [
            ("number", b.number_in_hand.as_deref().unwrap_or("?")),
            ("main", &self.yes(b.main_open)),
            ("sources", &sources),
            ("damage", &self.yes(b.damage_or_heat)),
        ];
        self.say("event-meter-pulled", &places)
    }

    /// Instruments and what was read.
    fn measured(self, body: &Body) -> Option<Sentence> {
        let id = format!("event-{}", body.kind());
        Some(match body {
            Body::Instrument(b) => {
                let class = self.text(&format!("instrument-{}", kebab(&b.instrument.class)));
                self.say(&id, &[("instrument", b.instrument.id.as_str()), ("class", &class)])
            }
            Body::InstrumentProven(b) => {
                let (unit, shown, expected) = match &b.shown {
                    Shown::Volts { shown_volts, expected_volts } => {
                        ("told-volts", shown_volts, expected_volts)
                    }
                    Shown::Amps { shown_amps, expected_amps } => {
                        ("told-amps", shown_amps, expected_amps)
                    }
                    Shown::Megohms { shown_megohms, expected_megohms } => {
                        ("told-megohms", shown_megohms, expected_megohms)
                    }
                };
                let (shown, expected) = (shown.to_string(), expected.to_string());
                let places = [
                    ("instrument", b.instrument.as_str()),
                    ("known", &b.known),
                    ("shown", &shown),
                    ("expected", &expected),
                    ("unit", &self.text(unit)),
                ];
                self.say(&id, &places)
            }
            Body::MarksPut(b) => {
                let marks = b.marks.sets.iter().map(|set| format!("{} {}", set.position, set.mark));
                let count = b.marks.sets.len().to_string();
                let places = [
                    ("pad", b.marks.pad.as_str()),
                    ("count", &count),
                    ("marks", &self.list(marks)),
                ];
                self.say(&id, &places)
            }
            Body::Placement(b) => {
                let leg =
                    b.leg.map_or_else(|| self.text("told-whole-cable"), |leg| leg.to_string());
                let runs = b.runs_in_jaws.get();
                let id = if runs > 1 { "event-placement-runs" } else { &id };
                let places = [
                    ("pad", b.pad.as_str()),
                    ("leg", &leg),
                    ("runs", &runs.to_string()),
                    ("by", &self.handle(&b.handle)),
                    ("instrument", b.instrument.as_str()),
                ];
                self.say(id, &places)
            }
            Body::Sighting(b) => self.seen(&b.seen),
            Body::Volts(b) => self.volts(&b.reading),
            Body::Amps(b) => {
                let reading = &b.reading;
                let whole = || self.text("told-whole-cable");
                let conductor = reading.conductor.map_or_else(whole, |one| one.to_string());
                let places = [
                    ("amps", reading.amps.to_string()),
                    ("branch", b.branch.to_string()),
                    ("conductor", conductor),
                    ("instrument", reading.instrument.to_string()),
                ];
                self.say(&id, &places.each_ref().map(|(name, text)| (*name, text.as_str())))
            }
            Body::Ohms(b) => {
                let (between, megohms) =
                    (b.reading.between.to_string(), b.reading.megohms.to_string());
                let set = set_name(&b.pad, &b.position);
                let free = if b.both_ends_free { "told-ends-free" } else { "told-ends-not-free" };
                let places = [
                    ("between", between.as_str()),
                    ("megohms", &megohms),
                    ("set", &set),
                    ("ends", &self.text(free)),
                ];
                self.say(&id, &places)
            }
            Body::NeutralTested(b) => {
                let test = &b.test;
                let numbers = [test.without_volts, test.with_volts, test.load.amps];
                let [without, with, amps] = numbers.map(|number| number.to_string());
                let (leg, service) = (test.unloaded.to_string(), b.service.as_str());
                let places = [
                    ("service", service),
                    ("leg", &leg),
                    ("without", &without),
                    ("with", &with),
                    ("amps", &amps),
                ];
                self.say(&id, &places)
            }
            Body::RotationRead(b) => {
                let turns = self.text(&format!("rotation-{}", kebab(&b.rotation)));
                self.say(&id, &[("service", b.service.as_str()), ("rotation", &turns)])
            }
            _ => return None,
        })
    }

    fn volts(self, reading: &VoltsReading) -> Sentence {
        let (volts, between) = (reading.volts.to_string(), reading.between.to_string());
        let place = self.place(&reading.place);
        let places = [
            ("volts", volts.as_str()),
            ("between", &between),
            ("place", &place),
            ("instrument", reading.instrument.as_str()),
        ];
        self.say("event-volts", &places)
    }

    /// What was done, proven, handed over and how the job went.
    fn course(self, body: &Body) -> Sentence {
        let id = format!("event-{}", body.kind());
        match body {
            Body::Answers(b) => self.answers(b),
            Body::Operation(b) => self.operated(&b.operation, b.making_safe),
            Body::Proof(b) => self.proof(b),
            Body::Clearance(b) => self.clearance(b.clearance.as_str(), &b.act),
            Body::Correction(b) => self.correction(b),
            Body::MapCorrection(b) => {
                let [was, now] = [&b.was, &b.now].map(plain_value);
                let places = [("feature", b.feature.as_str()), ("was", &was), ("now", &now)];
                self.say(&id, &places)
            }
            Body::Deviation(b) => {
                let places = [
                    ("rule", b.rule.id()),
                    ("reason", &b.reason),
                    ("second", b.second_person.as_str()),
                ];
                self.say(&id, &places)
            }
            Body::VerdictShown(b) => self.verdict(b),
            Body::ConflictSettled(b) => {
                let id = if b.stands { "event-conflict-stands" } else { "event-conflict-not-done" };
                self.say(id, &[("refused", b.refused.as_str()), ("finding", &b.finding)])
            }
            Body::Interrupted(b) => self.say(&format!("event-interrupted-{}", kebab(&b.by)), &[]),
            Body::WrongDrop(b) => {
                let service = b.service.as_ref().map_or("?", |service| service.as_str());
                let places = [
                    ("service", service),
                    ("told", &self.yes(b.told)),
                    ("asked", &self.yes(b.life_support_asked)),
                    ("main", &self.yes(b.main_off)),
                ];
                self.say(&id, &places)
            }
            Body::Stopped(b) => {
                self.say(&id, &[("reason", &b.reason), ("safe", &self.list(&b.made_safe))])
            }
            Body::Resumed(b) => {
                let stage = self.text(&format!("stage-{}", kebab(&b.stage)));
                self.say(&id, &[("stage", &stage), ("checks", &self.list(&b.checks))])
            }
            Body::Closed(b) => self.say(&id, &[("summary", &b.summary)]),
            other => self.say("event-unknown", &[("kind", other.kind())]),
        }
    }

    fn proof(self, b: &ProofMade) -> Sentence {
        let id = format!("event-proof-{}", tag(&b.of, "of"));
        let count = b.readings.len().to_string();
        let (what, leg) = match &b.of {
            ProofOf::Dead { service } | ProofOf::Live { service } => (service.to_string(), None),
            ProofOf::OneLeg { pad, position, leg, .. } => (set_name(pad, position), Some(*leg)),
            ProofOf::Opening { pad, position, .. } | ProofOf::Lifted { pad, position } => {
                (set_name(pad, position), None)
            }
            ProofOf::BusDead { pad } => (pad.to_string(), None),
        };
        let leg = leg.map_or_else(String::new, |leg| leg.to_string());
        self.say(&id, &[("what", &what), ("leg", &leg), ("count", &count)])
    }

    fn clearance(self, clearance: &str, act: &ClearanceOp) -> Sentence {
        let id = format!("event-clearance-{}", tag(act, "op"));
        match act {
            ClearanceOp::Offered { to, by_link, .. } => {
                let id = if *by_link { "event-clearance-offered-by-link" } else { &id };
                self.say(id, &[("clearance", clearance), ("to", to.as_str())])
            }
            ClearanceOp::Accepted { test } => {
                self.say(&id, &[("clearance", clearance), ("test", &self.test(test))])
            }
            ClearanceOp::Refused { reason } => {
                self.say(&id, &[("clearance", clearance), ("reason", reason)])
            }
            ClearanceOp::Abandoned { second_person, reason, .. } => {
                let places = [
                    ("clearance", clearance),
                    ("second", second_person.as_str()),
                    ("reason", reason),
                ];
                self.say(&id, &places)
            }
            ClearanceOp::Transferred { to, test } => {
                let places =
                    [("clearance", clearance), ("to", to.as_str()), ("test", &self.test(test))];
                self.say(&id, &places)
            }
            ClearanceOp::Released | ClearanceOp::LinkEnded => {
                self.say(&id, &[("clearance", clearance)])
            }
        }
    }

    fn test(self, test: &OwnTest) -> String {
        match test {
            OwnTest::Readings { readings } => {
                self.say("told-own-test", &[("count", &readings.len().to_string())]).text
            }
            OwnTest::Witnessed { proof } => {
                self.say("told-witnessed", &[("proof", proof.as_str())]).text
            }
        }
    }

    fn correction(self, b: &Correction) -> Sentence {
        let corrects = b.corrects.as_str();
        match &b.instead {
            None => self.say("event-correction", &[("corrects", corrects), ("reason", &b.reason)]),
            Some(Statement(instead)) => {
                let instead = event_sentence(instead, self.words).text;
                let places = [("corrects", corrects), ("reason", &b.reason), ("instead", &instead)];
                self.say("event-correction-instead", &places)
            }
        }
    }

    fn verdict(self, b: &VerdictShown) -> Sentence {
        match &b.shown {
            ShownVerdict::Identified { set } => {
                self.say("event-verdict-identified", &[("set", &name(set))])
            }
            ShownVerdict::Contradicted { claims, .. } => {
                self.say("event-verdict-contradicted", &[("claims", &self.list(claims))])
            }
            ShownVerdict::Unsettled { candidates, .. } => {
                let sets = self.list(candidates.iter().map(name));
                self.say("event-verdict-unsettled", &[("sets", &sets)])
            }
        }
    }
}

fn set_name(pad: &crate::quantity::AssetId, position: &str) -> String {
    name(&SetAt { pad: pad.clone(), position: position.to_owned() })
}

/// The id of a scope without its ends.
fn scope_id(scope: &crate::gate::Scope) -> String {
    scope.to_string().split(':').next().unwrap_or_default().to_owned()
}

/// The tag of a tagged enum, as its JSON has it.
fn tag<T: serde::Serialize>(value: &T, member: &str) -> String {
    let json = serde_json::to_value(value).ok();
    let tag = json.as_ref().and_then(|json| json.get(member)).and_then(|tag| tag.as_str());
    tag.unwrap_or_default().to_owned()
}

/// A value of the map record as it is read: text without quotes, a list as such.
fn plain_value(value: &serde_json::Value) -> String {
    match value {
        serde_json::Value::String(text) => text.clone(),
        serde_json::Value::Array(list) => {
            list.iter().map(plain_value).collect::<Vec<_>>().join(", ")
        }
        other => other.to_string(),
    }
}
