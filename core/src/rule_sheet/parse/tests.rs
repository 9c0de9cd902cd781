//! Tests of parsing a rule sheet.

use proptest::prelude::*;

use super::*;
use crate::rule_sheet::Category;

const HEAD: &str = "format = 1\nedition = \"7\"\nutility = \"Invented Light\"\n";

fn sheet(body: &str) -> Result<RuleSheet, Refused> {
    RuleSheet::parse(&format!("{HEAD}{body}"))
}

fn check_refused(body: &str, key: &str, wanted: fn(&Reason) -> bool) {
    let refused = sheet(body).unwrap_err();
    assert_eq!(refused.findings.len(), 1, "{refused}");
    assert_eq!(refused.findings[0].key, key);
    assert!(wanted(&refused.findings[0].reason), "{refused}");
}

#[test]
fn the_default_holds_and_says_what_the_trade_review_says() {
    let rules = RuleSheet::default();
    assert_eq!(rules.dead_limit_volts.to_string(), "5");
    assert_eq!(rules.live_limit_volts.to_string(), "50");
    assert_eq!(rules.no_load_amps.to_string(), "1");
    assert_eq!(rules.tolerated_false_causes, 1);
    let windows = [rules.amps_fresh_s, rules.proof_window_s, rules.proof_to_offer_s];
    assert_eq!(windows, [300, 600, 900]);
    assert_eq!(rules.wall_clock_trust_s, 0);
    assert_eq!((rules.category_at_lugs, rules.category_at_lugs_volts), (Category::Four, 600));
    assert!(!rules.allow_paralleling);
}

#[test]
fn every_key_of_the_default_has_a_comment_above_it() {
    let mut commented = false;
    let mut seen = 0;
    for line in RuleSheet::default_text().lines() {
        let key = line.split_once(" = ").map(|(key, _)| key);
        match key {
            Some(key) if RuleSheet::KEYS.contains(&key) => {
                assert!(commented, "{key} has no comment");
                seen += 1;
            }
            _ if line.starts_with('#') && !line.starts_with("# ----") => commented = true,
            _ => commented = false,
        }
    }
    assert_eq!(seen, RuleSheet::KEYS.len());
}

#[test]
fn a_sheet_that_says_nothing_keeps_the_default_limits() {
    let own = sheet("").unwrap();
    let default = RuleSheet::default();
    assert_eq!(own.utility, "Invented Light");
    assert_eq!(
        RuleSheet { edition: default.edition.clone(), utility: default.utility.clone(), ..own },
        default
    );
}

#[test]
fn one_bad_key_gives_one_finding() {
    check_refused("dead_limit_volt = \"4\"", "dead_limit_volt", |r| *r == Reason::Unknown);
    check_refused("dead_limit_volts = 4.5", "dead_limit_volts", |r| {
        matches!(r, Reason::Kind { .. })
    });
    check_refused("dead_limit_volts = \"50\"", "dead_limit_volts", |r| {
        matches!(r, Reason::Range { .. })
    });
    check_refused("tolerated_false_causes = 0", "tolerated_false_causes", |r| {
        matches!(r, Reason::Range { .. })
    });
    check_refused("tolerated_false_causes = -1", "tolerated_false_causes", |r| {
        matches!(r, Reason::Range { .. })
    });
    check_refused("category_at_lugs = \"CAT V\"", "category_at_lugs", |r| {
        matches!(r, Reason::Kind { .. })
    });
    check_refused("allow_paralleling = \"no\"", "allow_paralleling", |r| {
        matches!(r, Reason::Kind { .. })
    });
    check_refused("test_exposure_clamp = 1\n", "test_exposure_clamp", |r| {
        matches!(r, Reason::Against { .. })
    });
    check_refused("[reasons]\nno_such_key = \"because it is so\"", "reasons.no_such_key", |r| {
        *r == Reason::Unknown
    });
}

#[test]
fn every_finding_is_listed() {
    let refused =
        RuleSheet::parse("amps_fresh_s = \"x\"\nnonsense = 1\nno_load_amps = \"9\"").unwrap_err();
    let keys: Vec<_> = refused.findings.iter().map(|f| f.key.as_str()).collect();
    assert_eq!(keys, ["format", "edition", "utility", "no_load_amps", "amps_fresh_s", "nonsense"]);
}

#[test]
fn a_laxer_value_needs_a_reason_and_a_stricter_one_does_not() {
    check_refused("amps_fresh_s = 400", "amps_fresh_s", |r| matches!(r, Reason::NoReason { .. }));
    check_refused("allow_paralleling = true", "allow_paralleling", |r| {
        matches!(r, Reason::NoReason { .. })
    });
    check_refused("gloves_at_secondary = \"00\"", "gloves_at_secondary", |r| {
        matches!(r, Reason::NoReason { .. })
    });
    let why = "amps_fresh_s = 400\n[reasons]\namps_fresh_s = \"two cabinets, one crew\"";
    assert_eq!(sheet(why).unwrap().amps_fresh_s, 400);
    assert_eq!(sheet("amps_fresh_s = 200").unwrap().amps_fresh_s, 200);
    check_refused("[reasons]\namps_fresh_s = \"   \"", "reasons.amps_fresh_s", |r| {
        *r == Reason::PoorReason
    });
}

#[test]
fn what_is_no_sheet_is_refused_as_a_whole() {
    let huge = "#".repeat(MOST_BYTES + 1);
    for (text, wanted) in [("format = = 1", "not TOML"), (huge.as_str(), "at most 65536")] {
        let refused = RuleSheet::parse(text).unwrap_err();
        assert_eq!(refused.findings.len(), 1);
        assert!(refused.to_string().contains(wanted), "{refused}");
    }
    let twice = format!("{HEAD}amps_fresh_s = 200\namps_fresh_s = 300");
    assert!(RuleSheet::parse(&twice).is_err(), "a key said twice");
}

#[test]
fn the_hash_follows_what_is_said_and_nothing_else() {
    let plain = sheet("amps_fresh_s = 200").unwrap();
    let spaced = sheet("\n# a remark\namps_fresh_s   = 200\n").unwrap();
    assert_eq!(plain.hash(), spaced.hash());
    assert_ne!(plain.hash(), sheet("amps_fresh_s = 201").unwrap().hash());
    assert_ne!(plain.hash(), RuleSheet::default().hash());
    assert_eq!(plain.hash().len(), 64);
}

proptest! {
    #[test]
    fn no_text_panics(text in "\\PC{0,200}") {
        let _ = RuleSheet::parse(&text);
        let _ = sheet(&text);
    }

    #[test]
    fn a_window_within_the_default_is_accepted_and_kept(s in 30_u32..=300) {
        prop_assert_eq!(sheet(&format!("amps_fresh_s = {s}")).unwrap().amps_fresh_s, s);
    }

    #[test]
    fn a_dead_limit_above_the_default_never_passes_silently(tenths in 51_u32..2000) {
        let body = format!("dead_limit_volts = \"{}.{}\"", tenths / 10, tenths % 10);
        prop_assert!(sheet(&body).is_err());
    }
}
