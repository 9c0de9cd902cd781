//! A rule sheet from its text, and its hash.

use std::{collections::BTreeMap, sync::LazyLock};

use sha2::{Digest, Sha256};
use toml::{Table, Value};

use super::{Finding, Reason, Refused, RuleSheet, sheet::Head};

/// Most bytes a rule sheet may have.
pub const MOST_BYTES: usize = 65_536;

/// The form of sheet this core reads.
const FORMAT: u32 = 1;

/// Most characters of a name, and fewest and most of a reason.
const NAME: usize = 100;
const REASON: std::ops::RangeInclusive<usize> = 10..=500;

const DEFAULT_TEXT: &str = include_str!("default.toml");

static DEFAULT: LazyLock<RuleSheet> = LazyLock::new(|| {
    #[allow(
        clippy::expect_used,
        reason = "the embedded sheet is part of the program, and a test reads it"
    )]
    read(DEFAULT_TEXT, None).expect("the embedded rule sheet holds together")
});

impl Default for RuleSheet {
    fn default() -> Self {
        DEFAULT.clone()
    }
}

impl RuleSheet {
    /// The text of the default sheet, with a source beside every number.
    pub const fn default_text() -> &'static str {
        DEFAULT_TEXT
    }

    /// A utility's sheet from TOML; keys it leaves out keep the default.
    pub fn parse(text: &str) -> Result<Self, Refused> {
        read(text, Some(&DEFAULT))
    }

    /// The sheet in canonical form (RFC 8785 JSON): what its hash is taken of.
    ///
    /// All numbers with units are decimal texts, so no float is in it.
    pub fn canonical(&self) -> String {
        serde_jcs::to_string(self).unwrap_or_default()
    }

    /// SHA-256 of the canonical form, in hexadecimal.
    pub fn hash(&self) -> String {
        hex::encode(Sha256::digest(self.canonical().as_bytes()))
    }
}

fn read(text: &str, default: Option<&RuleSheet>) -> Result<RuleSheet, Refused> {
    let whole = |reason| Refused { findings: vec![Finding { key: "(sheet)".to_owned(), reason }] };
    if text.len() > MOST_BYTES {
        return Err(whole(Reason::TooLarge { bytes: text.len(), most: MOST_BYTES }));
    }
    let mut table: Table = text
        .parse()
        .map_err(|e: toml::de::Error| whole(Reason::NotToml { said: e.to_string() }))?;
    let mut findings = Vec::new();
    let head = head(&mut table, default, &mut findings);
    let sheet = RuleSheet::take(&mut table, head, default, &mut findings);
    for key in table.keys() {
        findings.push(Finding { key: key.chars().take(NAME).collect(), reason: Reason::Unknown });
    }
    if let Some(sheet) = &sheet {
        against(sheet, &mut findings);
    }
    match sheet {
        Some(sheet) if findings.is_empty() => Ok(sheet),
        _ => Err(Refused { findings }),
    }
}

fn head(table: &mut Table, default: Option<&RuleSheet>, findings: &mut Vec<Finding>) -> Head {
    let mut find = |key: &str, reason| findings.push(Finding { key: key.to_owned(), reason });
    let format = match table.remove("format") {
        Some(Value::Integer(1)) => Some(FORMAT),
        Some(_) => {
            find("format", Reason::Kind { wanted: "1".to_owned() });
            None
        }
        None => {
            find("format", Reason::Missing);
            None
        }
    };
    let mut name = |key: &str| match table.remove(key) {
        Some(Value::String(text)) if (1..=NAME).contains(&text.chars().count()) => Some(text),
        Some(_) => {
            find(key, Reason::Kind { wanted: "a text of 1 to 100 characters".to_owned() });
            None
        }
        None => {
            find(key, Reason::Missing);
            None
        }
    };
    let (edition, utility) = (name("edition"), name("utility"));
    let reasons = match table.remove("reasons") {
        Some(Value::Table(reasons)) => reasons_of(reasons, default.is_some(), findings),
        Some(_) => {
            find("reasons", Reason::Kind { wanted: "a table of key = \"reason\"".to_owned() });
            BTreeMap::new()
        }
        None => BTreeMap::new(),
    };
    Head { format, edition, utility, reasons }
}

fn reasons_of(table: Table, wanted: bool, findings: &mut Vec<Finding>) -> BTreeMap<String, String> {
    let mut reasons = BTreeMap::new();
    for (key, value) in table {
        let place = || format!("reasons.{}", key.chars().take(NAME).collect::<String>());
        match value {
            _ if !wanted || !RuleSheet::KEYS.contains(&key.as_str()) => {
                findings.push(Finding { key: place(), reason: Reason::Unknown });
            }
            Value::String(text) if REASON.contains(&text.trim().chars().count()) => {
                reasons.insert(key, text);
            }
            _ => findings.push(Finding { key: place(), reason: Reason::PoorReason }),
        }
    }
    reasons
}

/// Keys that are each in range and yet cannot all hold.
fn against(sheet: &RuleSheet, findings: &mut Vec<Finding>) {
    let mut find = |broken: bool, key: &str, other, why| {
        if broken {
            let reason = Reason::Against { other, why };
            findings.push(Finding { key: key.to_owned(), reason });
        }
    };
    find(
        sheet.dead_limit_volts >= sheet.live_limit_volts,
        "dead_limit_volts",
        "live_limit_volts",
        "dead must end below where live begins",
    );
    find(
        sheet.step_least_changes.saturating_add(sheet.step_least_holds) > sheet.step_least_slots,
        "step_least_slots",
        "step_least_changes and step_least_holds",
        "the slots must hold both",
    );
    find(
        sheet.leg_difference_note_volts > sheet.leg_difference_stop_volts,
        "leg_difference_note_volts",
        "leg_difference_stop_volts",
        "what is noted must not lie above what stops",
    );
    find(
        sheet.tag_look_alike_cost < sheet.tag_unreadable_cost,
        "tag_look_alike_cost",
        "tag_unreadable_cost",
        "a character that differs must cost at least what one that cannot be read costs",
    );
    let rising = [
        ("test_exposure_look", sheet.test_exposure_look),
        ("test_exposure_clamp", sheet.test_exposure_clamp),
        ("test_exposure_meter_work", sheet.test_exposure_meter_work),
        ("test_exposure_opening", sheet.test_exposure_opening),
    ];
    for pair in rising.windows(2) {
        if let [(_, lower), (key, higher)] = pair {
            find(
                lower >= higher,
                key,
                "the test exposure before it",
                "look, clamp, meter work and opening must rise in this order",
            );
        }
    }
    find(
        sheet.gloves_in_open_pad < sheet.gloves_at_secondary,
        "gloves_in_open_pad",
        "gloves_at_secondary",
        "an open pad holds primary too",
    );
}

#[cfg(test)]
mod tests;
