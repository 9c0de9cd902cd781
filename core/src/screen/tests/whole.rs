//! A whole job, from briefing to closed, by nothing but what leads on.

use std::collections::BTreeSet;

use super::play::{Play, Said, Sheet};
use crate::{
    event::Body,
    gate::Stage,
    plant::Conductor,
    screen::{Act, Ask, AskKind, Screen, Shown},
    sighting::{Seen, Slot},
};

/// The world as it is: set 2 of P1 feeds the target, the outlets hang on L1 and L2 in turn.
impl Play<'_> {
    fn lifted(&self, leg: Conductor) -> bool {
        self.state.physical.legs.values().any(|legs| legs.contains_key(&leg))
    }

    /// Parallel runs of each leg of the target's set.
    fn runs(&self) -> u8 {
        self.sheets.plant.sets["P1-set2".try_into().as_ref().unwrap()].runs
    }

    fn volts(&self, field: &str) -> String {
        let Some((place, pair)) = field
            .strip_prefix("volts-")
            .and_then(|rest| rest.split_once("-L").or_else(|| rest.split_once("-N")))
        else {
            panic!("no volts at {field}");
        };
        let open = self.lifted(Conductor::L1) && self.lifted(Conductor::L2);
        let live = match place {
            "known" | "known-source" => return "120.4".into(),
            "bus" => return "121.1".into(),
            "line" => !open,
            _ => false,
        };
        match (live, pair) {
            (true, "1-N") => {
                if self.lifted(Conductor::L1) {
                    "0.3"
                } else {
                    "121.2"
                }
            }
            (true, "2-N") => {
                if self.lifted(Conductor::L2) {
                    "0.3"
                } else {
                    "121.0"
                }
            }
            (true, "1-L2") => "242.2",
            _ => "0.2",
        }
        .into()
    }

    /// The run that is open or was begun last, as the pad's clamp sees it: keys and amps.
    fn key(&self, slot: usize) -> (&'static str, &'static str, &'static str) {
        let secrets = &self.secrets["phone-b"];
        let run = self.open_run().expect("a run is open");
        let code = &secrets[&format!("run:{run}")];
        let mut on = false;
        for (n, letter) in code.chars().take_while(|letter| *letter != ':').enumerate() {
            let was = on;
            on ^= letter == 'c';
            if n == slot {
                let amps = |on| if on { "14.60" } else { "2.10" };
                let key = match (was, on) {
                    (false, true) => "rose",
                    (true, false) => "fell",
                    _ => "same",
                };
                return (key, amps(was), amps(on));
            }
        }
        panic!("no slot {slot}");
    }

    fn open_run(&self) -> Option<String> {
        let evidence = self.state.evidence.as_ref()?;
        let open = evidence.runs.values().find(|run| run.ended.is_none())?;
        Some(open.id.to_string())
    }

    fn size_slot(&self) -> usize {
        let evidence = self.state.evidence.as_ref().unwrap();
        let open = evidence.runs.values().find(|run| run.ended.is_none()).unwrap();
        usize::from(open.size_slot)
    }

    /// The leg of the outlet in use now.
    fn leg_in_use(&self) -> &'static str {
        let runs =
            self.state.evidence.as_ref().map_or(0, |evidence| {
                evidence.runs.values().filter(|run| run.ended.is_some()).count()
            });
        if runs.is_multiple_of(2) { "L1" } else { "L2" }
    }

    /// What a truthful person answers.
    fn truth(&self, act: Act, ask: &Ask) -> Vec<String> {
        let field = ask.field.as_str();
        let one = |text: &str| vec![text.to_owned()];
        if field.starts_with("volts-line") || field.starts_with("volts-load-L") {
            return vec![self.volts(field)];
        }
        if field.starts_with("volts-") && !field.starts_with("volts-with") {
            return vec![self.volts(field)];
        }
        if let Some(slot) = field.strip_prefix("slot-") {
            return one(self.key(slot.parse::<usize>().unwrap() - 1).0);
        }
        if field.starts_with("megohms-") {
            return one("120.0");
        }
        match (act, field) {
            (_, "subjects" | "present") => {
                let AskKind::Several { of } = &ask.kind else { panic!("{ask:?}") };
                of.iter().map(|choice| choice.value.clone()).collect()
            }
            (_, "meter-number" | "picture-number" | "number-in-hand") => one("MP12"),
            (_, "plate") => one("2 Ropewalk Steps"),
            (_, "plate-service" | "which-premises") => one("P1V2"),
            (_, "photo") => vec![format!("{:064x}", self.now_s)],
            (_, "positions") => one("1 2 3"),
            (_, "pad") => one("P1"),
            (Act::Clamp, "leg") => one(self.leg_in_use()),
            (_, "outlet") => vec![format!("outlet on {}", self.leg_in_use())],
            (_, "load-amps") => one("12.5"),
            (_, "load-amps-now") => {
                // As many as the question says decide.
                assert_eq!(ask.label.id, "ask-load-amps-from", "{}", ask.label.text);
                let named = ask.label.text.split(' ').find(|word| word.parse::<u16>().is_ok());
                one(named.unwrap_or_else(|| panic!("no amps in {}", ask.label.text)))
            }
            (_, "load-tolerance" | "known-tolerance") => one("5"),
            (_, "load-off-amps") => one("2.10"),
            (_, "before-amps") => one(self.key(self.size_slot()).1),
            (_, "after-amps") => one(self.key(self.size_slot()).2),
            (Act::Answer, "set") => one("P1:2"),
            (_, "runs-per-leg" | "runs-in-jaws" | "runs-lifted") => vec![self.runs().to_string()],
            (_, "meters-on-set") => one("1"),
            (_, "case-volts") => one("0.3"),
            (_, "meter-form") => one("2S"),
            (_, "wet" | "cabinet-damage" | "animals" | "damage-or-heat") => one("no"),
            (_, "known-source") => one("the truck's inverter"),
            (_, "to") => one("lw-c"),
            (_, "how-offered") => one("link"),
            (Act::PullMeter, "own-sources") => {
                let none = self.sheets.plant.services["P1V2".try_into().as_ref().unwrap()]
                    .sources
                    .is_empty();
                one(if none { "none-found" } else { "off" })
            }
            (Act::ProveInstrument, "shown" | "expected") => one("100"),
            (_, "known") => one("the box's resistor"),
            (_, "amps" | "loosened-amps") => one("0.05"),
            (_, "unloaded-leg") => one("L2"),
            (_, "volts-without-load") => one("121.0"),
            (_, "volts-with-load") => one("121.2"),
            (_, "findings" | "summary" | "reason") => one("meter base replaced"),
            _ => match &ask.kind {
                // Where it makes no difference, the first stands for what is so.
                AskKind::One { of } => vec![of.first().expect("a choice").value.clone()],
                AskKind::YesNo => one("yes"),
                kind => panic!("{act:?} asks {field}: {kind:?}"),
            },
        }
    }

    fn answers(&self, act: Act, shown: &Shown) -> Vec<(String, String)> {
        let offer = shown.acts.iter().find(|offer| offer.act == act).expect("offered");
        let mut answers = Vec::new();
        for ask in &offer.asks {
            if ask.required {
                answers.extend(self.truth(act, ask).into_iter().map(|v| (ask.field.clone(), v)));
            }
        }
        answers
    }

    /// What this person does next: the act that leads on, unless somebody else is waited for.
    fn leads(&self, who: &str, shown: &Shown) -> Option<Act> {
        let first = shown.acts.first()?.act;
        if let Screen::Switching { .. } = shown.screen {
            let run = self.open_run()?;
            let taken =
                self.state.pictures.iter().any(|picture| {
                    picture.run.as_ref().is_some_and(|inside| inside.as_str() == run)
                });
            let evidence = self.state.evidence.as_ref()?;
            let written = evidence.sightings.values().any(|sighting| {
                matches!(&sighting.seen, Seen::LoadStep { run: of, .. } if of.as_str() == run)
            });
            return match (taken, written) {
                (false, _) => Some(Act::TakePicture),
                (true, false) => None,
                (true, true) => Some(Act::EndRun),
            };
        }
        let read = |seen: &Seen| matches!(seen, Seen::MeterNumber { .. });
        let evidence = self.state.evidence.as_ref()?;
        if first == Act::ReadMeterNumber && evidence.sightings.values().any(|s| read(&s.seen)) {
            return None;
        }
        does(who).contains(&first).then_some(first)
    }

    pub(super) fn enters(
        &mut self,
        who: &str,
        name: &str,
        class: &str,
        range: &str,
        resolution: &str,
    ) {
        self.does(
            who,
            Act::EnterInstrument,
            &[
                ("instrument-name", name),
                ("instrument-class", class),
                ("category", "cat-iv"),
                ("category-volts", "600"),
                ("range", range),
                ("resolution", resolution),
                ("accuracy-percent", "1"),
                ("accuracy-counts", "3"),
                ("calibration-due", "2030-01-01"),
            ],
        );
    }

    /// Briefed, every instrument entered, the clamp shown right.
    pub(super) fn begins(&mut self) {
        let shown = self.shown("a");
        assert_eq!(shown.acts[0].act, Act::Brief);
        let answers = self.answers(Act::Brief, &shown);
        let answers: Vec<(&str, &str)> =
            answers.iter().map(|(field, value)| (field.as_str(), value.as_str())).collect();
        self.does("a", Act::Brief, &answers);
        self.enters("a", "clamp-1", "clamp", "400", "0.01");
        self.enters("a", "tester-1", "low-impedance-voltmeter", "600", "0.1");
        self.enters("a", "megger-1", "insulation-tester", "1000", "0.1");
        self.enters("b", "tester-2", "low-impedance-voltmeter", "600", "0.1");
        self.enters("c", "tester-3", "low-impedance-voltmeter", "600", "0.1");
        self.does(
            "a",
            Act::ProveInstrument,
            &[
                ("instrument", "clamp-1"),
                ("known", "the crew's heater"),
                ("known-tolerance", "5"),
                ("shown", "12.45"),
                ("expected", "12.5"),
            ],
        );
    }

    /// One round: each person does what leads on. Gives what was done.
    pub(super) fn round(&mut self) -> Vec<(&'static str, Act)> {
        let mut done = Vec::new();
        for who in ["a", "b", "c"] {
            let shown = self.shown(who);
            let Some(act) = self.leads(who, &shown) else { continue };
            let answers = self.answers(act, &shown);
            let answers: Vec<(&str, &str)> =
                answers.iter().map(|(field, value)| (field.as_str(), value.as_str())).collect();
            match self.tries(who, act, &answers) {
                Ok(()) => done.push((who, act)),
                Err(Said::Refused(refusal)) => {
                    panic!(
                        "{who} {act:?} {answers:?}: {} {refusal:?}",
                        self.words.plain(refusal.rule.id()).text
                    )
                }
                Err(Said::Unfit(unfit)) => panic!("{who} {act:?} {answers:?}: {unfit:?}"),
            }
        }
        done
    }

    /// Rounds until something is so.
    pub(super) fn until(&mut self, so: impl Fn(&Self) -> bool) -> Vec<(&'static str, Act)> {
        let mut all = Vec::new();
        while !so(self) {
            let done = self.round();
            assert!(!done.is_empty(), "nobody knows what to do: {}", self.what_they_see());
            all.extend(done);
            assert!(all.len() < 500, "it goes round and round: {:?}", &all[480..]);
        }
        all
    }

    pub(super) fn what_they_see(&self) -> String {
        let each = ["a", "b", "c"].map(|who| {
            let shown = self.shown(who);
            let acts: Vec<Act> = shown.acts.iter().map(|offer| offer.act).take(4).collect();
            format!("{who}: {} {acts:?}", shown.headline.text)
        });
        format!("{:?} {each:#?}", self.state.stage)
    }
}

/// What each person does when it leads on. `a` stands at the pad, `b` at the premises.
fn does(who: &str) -> &'static [Act] {
    match who {
        "a" => &[
            Act::ReadPicture,
            Act::MarkSets,
            Act::Clamp,
            Act::WriteKeys,
            Act::TakeVerdict,
            Act::Answer,
            Act::ReadAmps,
            Act::Lift,
            Act::Secure,
            Act::ReadBus,
            Act::CheckLeg,
            Act::ReadLifted,
            Act::Short,
            Act::ProveByOpening,
            Act::Inspect,
            Act::RemoveShort,
            Act::ProveInstrument,
            Act::ReadInsulation,
            Act::VerifyNeutral,
            Act::Land,
            Act::TestNeutral,
            Act::Close,
        ],
        "b" => &[
            Act::BeginStay,
            Act::ReadMeterNumber,
            Act::ReadPlate,
            Act::TakePicture,
            Act::BeginRun,
            Act::OpenMain,
            Act::SourcesOff,
            Act::PullMeter,
            Act::ReadBase,
            Act::ReadPoint,
            Act::ProveDead,
            Act::Offer,
            Act::Inspect,
            Act::ReadSupply,
            Act::ProveLive,
            Act::SetMeter,
            Act::CloseMain,
            Act::SourcesOn,
            Act::EndStay,
        ],
        _ => &[Act::ReadPoint, Act::Accept, Act::WorkDone, Act::Release],
    }
}

#[test]
fn a_whole_job_goes_by_screens_alone() {
    let sheet = Sheet::new();
    let mut play = Play::new(&sheet);
    play.begins();
    play.until(|play| play.state.evidence.as_ref().unwrap().stays.len() == 1);
    // The electrician says where they are, on their own phone.
    let shown = play.shown("c");
    assert!(matches!(shown.screen, Screen::Where { beside: Some(_), said: None }), "{shown:?}");
    assert_eq!(shown.acts[0].act, Act::SayWhere);
    play.does("c", Act::SayWhere, &[("which-premises", "P1V2")]);
    let done = play.until(|play| play.state.stage == Stage::Closed);
    let acts: BTreeSet<Act> = done.iter().map(|(_, act)| *act).collect();
    for act in [Act::BeginRun, Act::WriteKeys, Act::CheckLeg, Act::Accept, Act::Release] {
        assert!(acts.contains(&act), "{act:?}");
    }
    assert!(play.state.refused.is_empty() && play.state.without_proof.is_empty());
    assert!(play.state.open_conflicts().is_empty());
}

#[test]
fn all_runs_of_a_leg_are_asked_for_where_it_has_several() {
    let one = Sheet::new();
    let two = Sheet::with_two_runs();
    for (sheet, asked) in [(&one, false), (&two, true)] {
        let mut play = Play::new(sheet);
        play.begins();
        play.until(|play| play.shown("a").acts.iter().any(|offer| offer.act == Act::Clamp));
        let clamp = play.shown("a").acts.into_iter().find(|offer| offer.act == Act::Clamp).unwrap();
        assert_eq!(clamp.asks.iter().any(|ask| ask.field == "runs-in-jaws"), asked);
        play.until(|play| play.state.stage == Stage::Closed);
        assert!(play.state.refused.is_empty() && play.state.without_proof.is_empty());
    }
}

#[test]
fn own_sources_are_waited_for_and_the_lifted_ends_shorted() {
    let sheet = Sheet::with_generator();
    let mut play = Play::new(&sheet);
    play.begins();
    let done = play.until(|play| play.state.stage == Stage::Closed);
    for act in [Act::SourcesOff, Act::Short, Act::RemoveShort, Act::SourcesOn] {
        assert!(done.iter().any(|(_, did)| *did == act), "{act:?}");
    }
    assert!(play.state.refused.is_empty() && play.state.without_proof.is_empty());
}

#[test]
fn the_code_is_on_the_doers_screen_alone() {
    let sheet = Sheet::new();
    let mut play = Play::new(&sheet);
    play.begins();
    play.until(|play| play.open_run().is_some());
    let Screen::Switching { prompts, .. } = play.shown("b").screen else { panic!() };
    assert_eq!(prompts.len(), 10);
    let code = play.secrets["phone-b"].values().next().unwrap().clone();
    let changes = code.chars().take(10).filter(|letter| *letter == 'c').count();
    let switched = prompts.iter().filter(|prompt| prompt.word.id.starts_with("prompt-switch"));
    assert_eq!(switched.count(), changes);
    // What is said aloud is the same in every slot but for its number.
    let said: BTreeSet<String> = prompts
        .iter()
        .map(|prompt| prompt.say.spoken.replace(&prompt.slot.to_string(), "#"))
        .collect();
    assert_eq!(said.len(), 1);
    for who in ["a", "c", "d"] {
        let shown = play.shown(who);
        assert!(!matches!(shown.screen, Screen::Switching { .. }), "{who}");
        let text = serde_json::to_string(&shown).unwrap();
        assert!(!text.contains("prompt-switch") && !text.contains(&code[11..]), "{who}");
    }
    assert!(matches!(play.shown("a").screen, Screen::Keys { slots: 10, .. }));
}

#[test]
fn a_run_is_ended_on_the_device_that_drew_its_code() {
    let sheet = Sheet::new();
    let mut play = Play::new(&sheet);
    play.begins();
    play.until(|play| play.open_run().is_some());
    let code = play.secrets.remove("phone-b");
    let unfit = play.drafts("b", Act::EndRun, &[]).unwrap_err();
    assert_eq!(unfit.reason.id, "unfit-code-elsewhere");
    play.secrets.insert("phone-b".into(), code.unwrap());
    let draft = play.drafts("b", Act::EndRun, &[]).unwrap();
    let Body::SwitchingRunEnded(ended) = &*draft.statements[0].0 else { panic!() };
    assert_eq!(ended.code.len(), 10);
    assert!(ended.code.contains(&Slot::Change));
}

#[test]
fn a_number_for_one_point_is_never_written_for_another() {
    let sheet = Sheet::new();
    let mut play = Play::new(&sheet);
    play.begins();
    play.until(|play| {
        play.shown("b").acts.first().is_some_and(|offer| {
            offer.act == Act::ReadPoint
                && offer.asks.iter().any(|ask| ask.field.starts_with("volts-line"))
        })
    });
    let asked = play.shown("b").acts[0].asks[0].field.clone();
    play.does("b", Act::ReadPoint, &[(&asked, "0.2")]);
    // The same form sent twice, or drawn before the first number came in.
    let Err(Said::Unfit(unfit)) = play.tries("b", Act::ReadPoint, &[(&asked, "0.2")]) else {
        panic!("written twice")
    };
    assert_eq!((unfit.field, unfit.reason.id), (asked, "unfit-not-asked".to_owned()));
}
