//! Rule sheets and map sheets.

use coldlug_core::{
    mapsheet::{self, canonical_bytes},
    rule_sheet::RuleSheet,
};
use coldlug_field::{neighbourhood::neighbourhood, record::Record};
use serde_json::Value;

use super::{
    INPUTS,
    damage::{Drawn, damaged},
    reach::Reach,
};

/// A small made-up map sheet.
pub(crate) fn small_map() -> Vec<u8> {
    let world = neighbourhood(1);
    serde_json::to_vec(&Record::true_of(&world).map_sheet(&world)).expect("a map sheet")
}

/// A rule sheet that is read is as cautious as the default where it protects, or says why not; its
/// canonical form is what everybody hashes.
#[test]
fn rule_sheets() {
    let good = include_str!("../../core/src/rule_sheet/default.toml");
    let default = RuleSheet::parse(good).expect("a good rule sheet");
    let reach = Reach::default();
    bolero::check!().with_iterations(INPUTS).with_type::<Vec<Drawn>>().for_each(|damages| {
        reach.tries();
        let bytes = damaged(good.as_bytes(), damages);
        let Ok(sheet) = RuleSheet::parse(&String::from_utf8_lossy(&bytes)) else { return };
        reach.takes();
        let why = |key: &str| sheet.reasons.contains_key(key);
        assert!(sheet.dead_limit_volts <= default.dead_limit_volts || why("dead_limit_volts"));
        assert!(sheet.no_load_amps <= default.no_load_amps || why("no_load_amps"));
        assert!(sheet.amps_fresh_s <= default.amps_fresh_s || why("amps_fresh_s"));
        assert!(sheet.tolerated_false_causes >= 1);
        let canonical: Value = serde_json::from_str(&sheet.canonical()).expect("canonical JSON");
        assert_eq!(canonical["dead_limit_volts"], sheet.dead_limit_volts.to_string());
    });
    reach.says("rule sheets");
}

/// A map sheet is refused whole with what was found, or read: then its canonical bytes read to the
/// same sheet.
#[test]
fn map_sheets() {
    let good = small_map();
    mapsheet::read(&good).expect("a good map sheet");
    let reach = Reach::default();
    bolero::check!().with_iterations(INPUTS).with_type::<Vec<Drawn>>().for_each(|damages| {
        reach.tries();
        match mapsheet::read(&damaged(&good, damages)) {
            Err(refused) => assert!(!refused.findings.is_empty()),
            Ok(sheet) => {
                reach.takes();
                let again = mapsheet::read(&canonical_bytes(&sheet.plant).expect("bytes"));
                assert_eq!(again.expect("its own canonical form").hash, sheet.hash);
            }
        }
    });
    reach.says("map sheets");
}
