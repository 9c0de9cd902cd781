use super::*;
use crate::{
    form::cause::tests::{causes, job},
    quantity::Instant,
    words::Words,
};

fn seen(who: &str) -> SeenBy {
    let at = Instant { wall_ms: 1_790_000_000_000, boot: "b".into(), mono_ms: 0 };
    SeenBy { sighting: "s-1".try_into().unwrap(), who: who.try_into().unwrap(), at }
}

fn set() -> SetAt {
    SetAt { pad: "P1".try_into().unwrap(), position: "2".into() }
}

fn whole(said: &Sentence, words: &Words) {
    assert!(words.has(&said.id), "no sentence for {}", said.id);
    assert!(!said.text.contains('{') && !said.spoken.contains('{'), "{said:?}");
}

#[test]
fn every_rule_of_evidence_is_said_with_who_saw_it_and_what_alone_makes_it_false() {
    let words = Words::english().unwrap();
    let (service, evidence): (AssetId, _) = ("V1".try_into().unwrap(), job());
    let told = Clauses { evidence: &evidence, words: &words };
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
                ReasonForm::of_premises(&of_stay, told)
            } else {
                ReasonForm::of_set(&of_set, &service, told)
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
fn a_doubt_names_what_would_have_to_be_false_or_says_that_nothing_single_explains_it() {
    let words = Words::english().unwrap();
    let evidence = job();
    let told = Clauses { evidence: &evidence, words: &words };
    let torn = doubt_of_set(&Doubt { set: set(), hole: Vec::new() }, told);
    assert_eq!(torn.id, "doubt-set-torn");
    let open = doubt_of_set(&Doubt { set: set(), hole: vec![Cause::MeterRecords] }, told);
    assert_eq!(
        open.text,
        "P1 position 2 is not sure yet. It may be another set if the map's meter numbers are mixed up."
    );
    let stay = "stay-1".try_into().unwrap();
    let of_stay = |named, hole: &[Cause]| doubt_of_stay(&stay, named, hole, told).id;
    assert_eq!(of_stay(true, &[Cause::Plates]), "doubt-stay");
    assert_eq!(of_stay(true, &[]), "doubt-stay-torn");
    assert_eq!(of_stay(false, &[]), "doubt-stay-unnamed");
}
