use super::*;
use crate::quantity::Instant;

fn seen(who: &str) -> SeenBy {
    let at = Instant { wall_ms: 1_790_000_000_000, boot: "b".into(), mono_ms: 0 };
    SeenBy { sighting: "s-1".try_into().unwrap(), who: who.try_into().unwrap(), at }
}

fn set() -> SetAt {
    SetAt { pad: "P1".try_into().unwrap(), position: "2".into() }
}

/// One of each kind.
fn causes() -> Vec<Cause> {
    let (pad, position): (AssetId, _) = ("P1".try_into().unwrap(), "2".to_owned());
    let person: PersonId = "ana".try_into().unwrap();
    vec![
        Cause::Report { person: person.clone(), stay: "stay-1".try_into().unwrap() },
        Cause::PadReport { person },
        Cause::MeterRecords,
        Cause::Plates,
        Cause::Electrician,
        Cause::BillingRecords,
        Cause::Tone { pad: pad.clone() },
        Cause::MarkerScheme,
        Cause::Placement { placement: "pl-1".try_into().unwrap() },
        Cause::Marks { marks: "m-1".try_into().unwrap() },
        Cause::LugPositions { pad: pad.clone() },
        Cause::Run { run: "run-1".try_into().unwrap() },
        Cause::Instrument { instrument: "clamp-1".try_into().unwrap() },
        Cause::Deed { deed: "deed-1".try_into().unwrap() },
        Cause::SharedSet { pad: pad.clone(), position: position.clone() },
        Cause::UnmappedSplice { pad, position },
        Cause::Look { sighting: "s-1".try_into().unwrap() },
    ]
}

fn whole(said: &Sentence, words: &Words) {
    assert!(words.has(&said.id), "no sentence for {}", said.id);
    assert!(!said.text.contains('{') && !said.spoken.contains('{'), "{said:?}");
}

#[test]
fn every_rule_of_evidence_is_said_with_who_saw_it_and_what_alone_makes_it_false() {
    let words = Words::english().unwrap();
    let service: AssetId = "V1".try_into().unwrap();
    for ground in Ground::ALL {
        for names_it in [true, false] {
            let of_set = SetReason {
                set: set(),
                ground,
                speaks_for: names_it,
                counts: false,
                waits_for: ["stay-1".try_into().unwrap()].into(),
                seen: vec![seen("ana"), seen("bo")],
                false_if: causes(),
            };
            let of_stay = PremisesReason {
                stay: "stay-1".try_into().unwrap(),
                ground,
                service: service.clone(),
                names_it,
                seen: seen("bo"),
                false_if: causes(),
            };
            // In the order in which they are listed, those of premises come first.
            let reason = if ground < Ground::LoadStepSeen {
                ReasonForm::of_premises(&of_stay, &words)
            } else {
                ReasonForm::of_set(&of_set, &service, &words)
            };
            reason.lines.iter().chain([&reason.sentence]).for_each(|said| whole(said, &words));
            assert!(reason.lines.iter().any(|line| line.text.contains("bo at 14:13 UTC")));
            assert!(reason.lines.iter().any(|line| line.text.starts_with("Wrong only if")));
        }
    }
}

#[test]
fn what_speaks_against_a_place_is_not_said_to_name_it() {
    let words = Words::english().unwrap();
    let told = [
        Ground::AddressPlate,
        Ground::CustomerWord,
        Ground::ElectricianWord,
        Ground::BillingRecord,
        Ground::MeterNumberDiffers,
        Ground::MeterPhotoDiffers,
    ]
    .map(|ground| premises_id(ground, false));
    for id in told {
        let said = words.say(id, &[("service", "V1")]);
        whole(&said, &words);
        assert!([" not ", " another ", "not V1"].iter().any(|no| said.text.contains(no)), "{said}");
    }
}

#[test]
fn every_cause_goes_on_after_if() {
    let words = Words::english().unwrap();
    let clauses: Vec<String> = causes().iter().map(|cause| cause_clause(cause, &words)).collect();
    for clause in &clauses {
        assert!(!clause.contains('{') && !clause.starts_with("cause-"), "{clause}");
        assert!(!clause.ends_with('.'), "{clause}");
    }
    let two = joined("reason-and", &causes()[2..4], &words);
    assert_eq!(two, format!("{} and {}", clauses[2], clauses[3]));
}

#[test]
fn two_placements_and_two_runs_are_said_in_one_clause_each() {
    let words = Words::english().unwrap();
    let placement = |id: &str| Cause::Placement { placement: id.try_into().unwrap() };
    let run = |id: &str| Cause::Run { run: id.try_into().unwrap() };
    let causes = [Cause::Plates, placement("p-1"), placement("p-2"), run("r-1"), run("r-2")];
    assert_eq!(
        joined("reason-or", &causes, &words),
        "the address plates are mixed up, or if the clamp was elsewhere at p-1 or p-2, or if the \
         load was not switched as told in r-1 or r-2"
    );
    let both = joined("reason-and", &causes[1..3], &words);
    assert_eq!(both, "the clamp was elsewhere at p-1 and p-2");
}

#[test]
fn a_doubt_names_what_would_have_to_be_false_or_says_that_nothing_single_explains_it() {
    let words = Words::english().unwrap();
    let torn = doubt_of_set(&Doubt { set: set(), hole: Vec::new() }, &words);
    assert_eq!(torn.id, "doubt-set-torn");
    let open = doubt_of_set(&Doubt { set: set(), hole: vec![Cause::MeterRecords] }, &words);
    assert_eq!(
        open.text,
        "P1 position 2 is not sure yet. It may be another set if the map's meter numbers are mixed up."
    );
    let stay = "stay-1".try_into().unwrap();
    let of_stay = |named, hole: &[Cause]| doubt_of_stay(&stay, named, hole, &words).id;
    assert_eq!(of_stay(true, &[Cause::Plates]), "doubt-stay");
    assert_eq!(of_stay(true, &[]), "doubt-stay-torn");
    assert_eq!(of_stay(false, &[]), "doubt-stay-unnamed");
}
