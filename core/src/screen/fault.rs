//! Fault current for the people at the pad, at the base and at the desk: what the gear may see and
//! withstands first, then what is worn, then the amps, then what they were computed from.

mod lateral;

use super::{
    Tone,
    passage::{Passage, PassageLine},
};
use crate::{
    fault_current::{
        COLD_CELSIUS, Circuit, Faults, HOT_CELSIUS, Holds, ServiceFaults, SourceStrength,
        TransformerPlate, Withstand, at_service,
    },
    form::{Beside, ClothingForm, WithstandForm},
    job::{Sheets, State},
    plant::{Metal, Plant, Set},
    quantity::{AssetId, Current, in_amps, in_kilovolt_amps, in_metres},
    sighting::SetAt,
    words::{Sentence, Words},
};

/// The fault current at a job's service, along the map as the field corrected it.
pub fn fault_of_job(state: &State, sheets: &Sheets<'_>, words: &Words) -> Vec<Passage> {
    let Some(service) = state.target() else { return Vec::new() };
    let identified = state.evidence.as_ref().and_then(|evidence| sheets.identified(evidence));
    let beside = Beside { rules: sheets.rules, words };
    let told = |plant: &Plant| fault_passages(plant, service, identified.as_ref(), beside);
    if state.map_corrections.is_empty() {
        return told(sheets.plant);
    }
    match state.corrected(sheets.plant) {
        Ok(plant) => told(&plant),
        Err(why) => {
            let none = words.say("fault-none", &[("reason", &why.to_string())]);
            let lines = vec![PassageLine::marked(none, Tone::Wait)];
            vec![Passage { title: words.plain("fault-title"), lines }]
        }
    }
}

/// The fault current at a service by the record, in words; `identified` is the set that the field
/// found it to hang on, where it did.
pub fn fault_passages(
    plant: &Plant,
    service: &AssetId,
    identified: Option<&SetAt>,
    beside: Beside<'_>,
) -> Vec<Passage> {
    let words = beside.words;
    let clothing = plant.services.get(service).map(|it| ClothingForm::new(it.system, beside));
    let worn = clothing.as_ref().map(|worn| {
        let tone = if worn.cal_per_cm2.is_some() { Tone::Rest } else { Tone::Wait };
        PassageLine::marked(worn.sentence.clone(), tone)
    });
    let by = clothing.map(|worn| worn.by);
    let faults = match at_service(plant, service) {
        Ok(faults) => faults,
        Err(why) => {
            let none = words.say("fault-none", &[("reason", &why.to_string())]);
            let by = by.map(PassageLine::plain);
            let lines =
                std::iter::once(PassageLine::marked(none, Tone::Wait)).chain(worn).chain(by);
            return vec![Passage { title: words.plain("fault-title"), lines: lines.collect() }];
        }
    };
    let told = Told { plant, faults: &faults, words };
    let lines = told.withstands().into_iter().chain(told.unseen(identified)).chain(worn).collect();
    let first = Passage { title: words.plain("fault-title"), lines };
    let amps = told.places();
    let along = lateral::lateral(&faults.lateral, words);
    std::iter::once(first).chain(amps).chain(along).chain(told.computed_from(by)).collect()
}

/// What of it the electrician at the base asks: does the gear stand it, what is worn, the amps there.
pub fn fault_at_base(state: &State, sheets: &Sheets<'_>, words: &Words) -> Vec<Passage> {
    let mut all = fault_of_job(state, sheets, words);
    all.retain(|passage| ["fault-title", "fault-title-base"].contains(&passage.title.id.as_str()));
    all
}

struct Told<'a> {
    plant: &'a Plant,
    faults: &'a ServiceFaults,
    words: &'a Words,
}

impl Told<'_> {
    /// What may see more than it withstands before what may not be known to, and that before the rest.
    fn withstands(&self) -> Vec<PassageLine> {
        let line = |held: &Withstand| {
            let tone = match held.holds() {
                Holds::Over => Tone::Stop,
                Holds::Within => Tone::Go,
                Holds::Undecided | Holds::NotKnown => Tone::Wait,
            };
            PassageLine::marked(WithstandForm::new(held, self.words).sentence, tone)
        };
        let mut all: Vec<PassageLine> = self.faults.withstand.iter().map(line).collect();
        all.sort_by_key(|line| match line.tone {
            Some(Tone::Stop) => 0,
            Some(Tone::Wait) => 1,
            _ => 2,
        });
        all
    }

    /// That the way the amps were computed along is the map's word alone, while it is.
    fn unseen(&self, identified: Option<&SetAt>) -> Option<PassageLine> {
        let service = &self.faults.service;
        let feed = self.plant.feed_of(service).ok()?;
        let seen = identified.is_some_and(|set| {
            (feed.pad.as_ref(), feed.position.as_ref()) == (Some(&set.pad), Some(&set.position))
        });
        let unseen = || self.words.say("fault-way-unseen", &[("service", service.as_str())]);
        (!seen).then(|| PassageLine::marked(unseen(), Tone::Wait))
    }

    /// The amps at both ends of the cable.
    fn places(&self) -> Vec<Passage> {
        let ServiceFaults { largest, smallest, transformer, service, .. } = self.faults;
        let pad = self.words.say("fault-title-pad", &[("transformer", transformer.as_str())]);
        let base = self.words.say("fault-title-base", &[("service", service.as_str())]);
        let meter = largest.meter.zip(smallest.meter);
        let both = [Some((pad, (largest.pad, smallest.pad))), meter.map(|amps| (base, amps))];
        both.into_iter()
            .flatten()
            .filter_map(|(title, (most, least))| Passage::of(title, self.amps(&most, &least)))
            .collect()
    }

    fn amps(&self, most: &Faults, least: &Faults) -> Vec<Sentence> {
        let line = |id, most: Option<Current>, least: Option<Current>| {
            let (most, least) = (whole(most?), whole(least?));
            let places = [("most", most.as_str()), ("least", least.as_str())];
            let amps = if most == least { "fault-amps" } else { "fault-amps-between" };
            let amps = self.words.say(amps, &places);
            let said = self.words.say(id, &[("amps", &amps.text)]);
            let spoken = self.words.say(id, &[("amps", &amps.spoken)]).spoken;
            Some(Sentence { spoken, ..said })
        };
        let all = [
            line("fault-says-three-phase", most.three_phase, least.three_phase),
            line("fault-says-leg-to-leg", Some(most.line_to_line), Some(least.line_to_line)),
            line(
                "fault-says-leg-to-neutral",
                Some(most.line_to_neutral),
                Some(least.line_to_neutral),
            ),
        ];
        all.into_iter().flatten().collect()
    }

    /// What is on record and what was taken for want of it.
    fn computed_from(&self, clothing_by: Option<Sentence>) -> Option<Passage> {
        let (words, faults) = (self.words, self.faults);
        let (source, units) = of_circuit(&faults.circuit);
        let mut said = Vec::new();
        if let Some((SourceStrength { fault, x_over_r }, id)) = source.zip(faults.source.as_ref()) {
            let (amps, ratio) = (whole(fault), hundredths(x_over_r));
            let places = [("source", id.as_str()), ("amps", &amps), ("ratio", &ratio)];
            said.push(words.say("fault-from-source", &places));
        }
        let names = std::iter::once(&faults.transformer).chain(&faults.beside);
        let names: Vec<&str> = names.map(AssetId::as_str).collect();
        // A bank is computed as one unit.
        let bank = names.join(", ");
        let names = if units.len() == names.len() { names } else { vec![bank.as_str()] };
        for (name, unit) in names.into_iter().zip(units) {
            let (kva, percent) =
                (hundredths(in_kilovolt_amps(unit.rating)), hundredths(unit.percent_z));
            let ratio = hundredths(unit.x_over_r);
            let places =
                [("transformer", name), ("kva", &kva), ("percent", &percent), ("ratio", &ratio)];
            said.push(words.say("fault-from-unit", &places));
        }
        let sets = faults.sets.iter().filter_map(|id| self.plant.sets.get(id));
        said.extend(sets.map(|set| from_set(set, words)));
        let [cold, hot] = [COLD_CELSIUS, HOT_CELSIUS].map(hundredths);
        said.push(words.say("fault-from-bolted", &[("cold", &cold), ("hot", &hot)]));
        said.extend(faults.assumed.iter().map(|taken| words.plain(taken.id())));
        said.extend(clothing_by);
        Passage::of(words.plain("fault-title-from"), said)
    }
}

fn from_set(set: &Set, words: &Words) -> Sentence {
    let metal = words.plain(match set.metal {
        Metal::Al => "metal-al",
        Metal::Cu => "metal-cu",
    });
    let (metres, runs) = (format!("{:.0}", in_metres(set.length)), set.runs.to_string());
    let id = if set.runs > 1 { "fault-from-set-runs" } else { "fault-from-set" };
    let places = [
        ("set", set.id.as_str()),
        ("metres", &metres),
        ("runs", &runs),
        ("size", &set.size),
        ("metal", &metal.text),
    ];
    words.say(id, &places)
}

/// The supply's strength, where it is known, and the plate of each unit on the bus.
fn of_circuit(circuit: &Circuit) -> (Option<SourceStrength>, Vec<TransformerPlate>) {
    match circuit {
        Circuit::SplitPhase(one) => {
            let supply = one.shared.as_ref().or(one.primary.as_ref());
            let plates = std::iter::once(one).chain(&one.beside).map(|unit| unit.unit);
            (supply.and_then(|supply| supply.source), plates.collect())
        }
        Circuit::Wye(three) => {
            let supply = three.shared.as_ref().or(three.primary.as_ref());
            let plates = std::iter::once(three).chain(&three.beside).map(|unit| unit.unit);
            (supply.and_then(|supply| supply.source), plates.collect())
        }
    }
}

fn whole(amps: Current) -> String {
    format!("{:.0}", in_amps(amps))
}

/// A number of the record as it was written: units there and back must not print 49.99999999999999.
fn hundredths(value: f64) -> String {
    (libm::round(value * 100.0) / 100.0).to_string()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{mapsheet::fixture, rule_sheet::RuleSheet};

    /// Amps a little above those at P2V1 by the nameplate.
    const CLOSE: f64 = 6_150.0;

    fn told(change: impl Fn(&mut serde_json::Value), identified: Option<&SetAt>) -> Vec<Passage> {
        let mut features = fixture::features();
        features.iter_mut().for_each(change);
        let plant = fixture::plant_of(&features);
        let words = Words::english().unwrap();
        let beside = Beside { rules: &RuleSheet::default(), words: &words };
        let service = AssetId::new("P2V1").unwrap();
        let passages = fault_passages(&plant, &service, identified, beside);
        for line in passages.iter().flat_map(|passage| &passage.lines) {
            assert!(words.has(&line.said.id), "no sentence for {}", line.said.id);
        }
        passages
    }

    fn texts(passages: &[Passage]) -> Vec<String> {
        let lines = passages.iter().flat_map(|passage| &passage.lines);
        lines.map(|line| format!("{:?} {}", line.tone, line.said)).collect()
    }

    /// Changes a property of a feature.
    fn set(of: &str, key: &str, value: &serde_json::Value) -> impl Fn(&mut serde_json::Value) {
        let (of, key, value) = (of.to_owned(), key.to_owned(), value.clone());
        move |feature| {
            if feature["properties"]["id"] == *of {
                feature["properties"][&key] = value.clone();
            }
        }
    }

    /// Everything on another voltage system.
    fn of_system(name: &str) -> impl Fn(&mut serde_json::Value) {
        move |feature| {
            let of = &mut feature["properties"];
            if of["kind"] == "service" || of["kind"] == "transformer" {
                of["system"] = serde_json::json!(name);
            }
        }
    }

    #[test]
    fn gear_and_its_rating_come_first_then_clothing_then_amps_then_what_was_taken() {
        let found = told(|_| (), None);
        let ids: Vec<&str> = found.iter().map(|passage| passage.title.id.as_str()).collect();
        let wanted = [
            "fault-title",
            "fault-title-pad",
            "fault-title-base",
            "fault-title-lateral",
            "fault-title-from",
        ];
        assert_eq!(ids, wanted, "{:#?}", texts(&found));
        assert_eq!(found[3].lines.len(), 2, "C1 to P1, C2 to P2");
        let first: Vec<&str> = found[0].lines.iter().map(|line| line.said.id.as_str()).collect();
        assert_eq!(first, ["fault-withstand-unknown", "fault-way-unseen", "fault-clothing"]);
        assert_eq!(found[1].lines.len(), 2, "leg to leg, leg to neutral");
    }

    #[test]
    fn what_may_see_more_than_it_withstands_says_stop() {
        let weak = told(set("P2V1", "withstand_amps", &serde_json::json!(500)), None);
        assert_eq!(weak[0].lines[0].tone, Some(Tone::Stop), "{:#?}", texts(&weak));
        let strong = told(set("P2V1", "withstand_amps", &serde_json::json!(100_000)), None);
        assert_eq!(strong[0].lines[0].tone, Some(Tone::Go), "{:#?}", texts(&strong));
        // More than the plate gives and less than its tolerance leaves room for.
        let close = told(set("P2V1", "withstand_amps", &serde_json::json!(CLOSE)), None);
        let first = &close[0].lines[0];
        let undecided = ("fault-undecided", Some(Tone::Wait));
        assert_eq!((first.said.id.as_str(), first.tone), undecided, "{:#?}", texts(&close));
    }

    #[test]
    fn the_way_is_the_maps_word_until_the_field_found_the_same_set() {
        let at = |pad: &str, position: &str| SetAt {
            pad: AssetId::new(pad).unwrap(),
            position: position.to_owned(),
        };
        let unseen = |found: &[Passage]| {
            found[0].lines.iter().any(|line| line.said.id == "fault-way-unseen")
        };
        assert!(!unseen(&told(|_| (), Some(&at("P2", "1")))));
        assert!(unseen(&told(|_| (), Some(&at("P2", "2")))));
    }

    #[test]
    fn three_legs_have_a_line_of_their_own_and_clothing_by_study() {
        let found = told(of_system("208y/120"), None);
        let ids: Vec<&str> = found[2].lines.iter().map(|line| line.said.id.as_str()).collect();
        let wanted =
            ["fault-says-three-phase", "fault-says-leg-to-leg", "fault-says-leg-to-neutral"];
        assert_eq!(ids, wanted, "{:#?}", texts(&found));
        let worn = found[0].lines.last().unwrap();
        assert_eq!((worn.said.id.as_str(), worn.tone), ("fault-clothing-study", Some(Tone::Wait)));
    }

    #[test]
    fn without_a_number_the_clothing_is_still_told() {
        let found = told(of_system("230/400"), None);
        let ids: Vec<&str> = found[0].lines.iter().map(|line| line.said.id.as_str()).collect();
        assert_eq!(
            ids,
            ["fault-none", "fault-clothing-study", "fault-clothing-study-by"],
            "{:#?}",
            texts(&found)
        );
        assert_eq!(found.len(), 1);
    }
}
