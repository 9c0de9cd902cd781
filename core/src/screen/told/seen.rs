//! Sightings and answers, in one sentence each.

use super::{Teller, set_name, tag};
use crate::{
    event::Answers,
    form::kebab,
    sighting::{End, Seen, SlotKey, SlotReading, Speaker},
    words::Sentence,
};

impl Teller<'_> {
    pub(super) fn seen(self, seen: &Seen) -> Sentence {
        let id = format!("event-sighting-{}", tag(seen, "what"));
        match seen {
            Seen::MeterNumber { number, .. } => self.say(&id, &[("number", number)]),
            Seen::AddressPlate { plate, service, .. } => {
                let service = self.or_none(service.as_ref());
                self.say(&id, &[("plate", plate), ("service", &service)])
            }
            Seen::MeterPhoto { .. } | Seen::Sticker { .. } | Seen::BillingRecord { .. } => {
                self.of_picture(&id, seen)
            }
            Seen::BareStep { placement, outlet, off_amps, on_amps, .. } => {
                let (off, on) = (off_amps.to_string(), on_amps.to_string());
                let places = [
                    ("placement", placement.as_str()),
                    ("outlet", outlet),
                    ("off", &off),
                    ("on", &on),
                ];
                self.say(&id, &places)
            }
            Seen::Lacking { lack, .. } => {
                let what = self.text(&format!("lack-{}", kebab(lack)));
                self.say(&id, &[("what", &what)])
            }
            Seen::Tone { pad, levels, .. } => {
                let told = levels.iter().map(|level| {
                    let by = self.handle(&level.handle);
                    format!("{by}: {} / {}", level.on_level, level.off_level)
                });
                let told = told.collect::<Vec<_>>().join("; ");
                self.say(&id, &[("pad", pad.as_str()), ("levels", &told)])
            }
            Seen::Marker { end, text } => {
                self.say(&id, &[("marker", text), ("at", &self.end(end))])
            }
            Seen::Word { speaker, service, run, .. } => {
                let speaker = match speaker {
                    Speaker::Customer => "event-sighting-word-customer",
                    Speaker::Electrician => "event-sighting-word-electrician",
                };
                let service = self.or_none(service.as_ref());
                let run = run.as_ref().map_or_else(String::new, |run| {
                    self.say("told-load-comes-and-goes", &[("run", run.as_str())]).text
                });
                self.say(speaker, &[("service", &service), ("run", &run)])
            }
            Seen::LoadStep { run, placement, load_off_amps, slots } => {
                let [rose, fell] = [SlotKey::Rose, SlotKey::Fell].map(|key| counted(slots, key));
                let off = load_off_amps.to_string();
                let places = [
                    ("run", run.as_str()),
                    ("placement", placement.as_str()),
                    ("off", &off),
                    ("rose", &rose),
                    ("fell", &fell),
                    ("slots", &slots.len().to_string()),
                ];
                self.say(&id, &places)
            }
            Seen::Amps { placement, deed, amps } => {
                let meter =
                    self.text(if deed.is_some() { "told-meter-out" } else { "told-meter-in" });
                let places = [
                    ("amps", amps.to_string()),
                    ("placement", placement.to_string()),
                    ("meter", meter),
                ];
                self.say(&id, &places.each_ref().map(|(name, text)| (*name, text.as_str())))
            }
            Seen::Conductor { end, metal, size } => {
                let metal = self.text(&format!("metal-{}", kebab(metal)));
                let size = size.as_deref().unwrap_or("?");
                self.say(&id, &[("metal", &metal), ("size", size), ("at", &self.end(end))])
            }
            Seen::SourcesOff { .. } => self.say(&id, &[]),
            Seen::Tag { pad, pattern, maybe_upside_down } => {
                let id = if *maybe_upside_down { "event-sighting-tag-either-way" } else { &id };
                let pad = self.or_none(pad.as_ref());
                self.say(id, &[("pattern", pattern), ("pad", &pad)])
            }
            Seen::Fix { pad, radius68_m, .. } => {
                let (pad, radius) = (self.or_none(pad.as_ref()), radius68_m.to_string());
                self.say(&id, &[("pad", &pad), ("radius", &radius)])
            }
            Seen::SetCount { pad, count } => {
                self.say(&id, &[("pad", pad.as_str()), ("count", &count.to_string())])
            }
        }
    }

    /// What was read on a picture.
    fn of_picture(self, id: &str, seen: &Seen) -> Sentence {
        let in_run = |run: &Option<_>| {
            if run.is_some() { format!("{id}-in-run") } else { id.to_owned() }
        };
        let name = |run: &Option<crate::quantity::RunId>| {
            run.as_ref().map_or_else(String::new, ToString::to_string)
        };
        match seen {
            Seen::MeterPhoto { taken_by, number, run, .. } => {
                let places = [
                    ("number", number.as_str()),
                    ("taken_by", taken_by.as_str()),
                    ("run", &name(run)),
                ];
                self.say(&in_run(run), &places)
            }
            // Its code is told to nobody: who reads it a second time is to have seen it again.
            Seen::Sticker { taken_by, run, .. } => {
                self.say(&in_run(run), &[("taken_by", taken_by.as_str()), ("run", &name(run))])
            }
            Seen::BillingRecord { taken_by, service, .. } => {
                let service = self.or_none(service.as_ref());
                self.say(id, &[("service", &service), ("taken_by", taken_by.as_str())])
            }
            _ => self.say(id, &[]),
        }
    }

    fn end(self, end: &End) -> String {
        let at = match end {
            End::Base { stay } => self.say("told-at-base", &[("stay", stay.as_str())]),
            End::Lug { pad, handle } => {
                let by = self.handle(handle);
                self.say("told-at-lug", &[("pad", pad.as_str()), ("by", &by)])
            }
        };
        at.text
    }

    pub(super) fn answers(self, b: &Answers) -> Sentence {
        let enclosure = &b.enclosure;
        let sound = !(enclosure.wet || enclosure.damage || enclosure.animals);
        let bolt = self.text(&format!("bolt-{}", kebab(&b.bolt)));
        let front = self.text(&format!("front-{}", kebab(&b.front)));
        let state = self.text(if sound { "told-sound" } else { "told-not-sound" });
        let places = [
            ("set", set_name(&b.pad, &b.position)),
            ("bolt", bolt),
            ("runs", b.runs_per_leg.to_string()),
            ("meters", b.meters_on_set.to_string()),
            ("front", front),
            ("volts", enclosure.case_volts.to_string()),
            ("state", state),
        ];
        let places = places.each_ref().map(|(name, text)| (*name, text.as_str()));
        self.say("event-answers", &places)
    }

    fn or_none<T: ToString>(self, thing: Option<&T>) -> String {
        thing.map_or_else(|| self.text("told-not-known"), ToString::to_string)
    }
}

fn counted(slots: &[SlotReading], key: SlotKey) -> String {
    slots.iter().filter(|slot| slot.key == key).count().to_string()
}
