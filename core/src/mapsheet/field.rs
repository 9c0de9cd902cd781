//! Reads the fields of one feature and notes everything that is wrong with them.

use std::cell::RefCell;
use std::collections::BTreeSet;
use std::ops::RangeInclusive;

use serde_json::{Map, Value};

use super::finding::{Finding, FindingId};
use crate::plant::{Bounds, ConductorSize, VoltageSystem};
use crate::quantity::{AssetId, NodeId};

/// Most characters of a name on the sheet; derived names such as `V014/source-1` must still fit.
pub(super) const LONGEST_ID: usize = 40;
/// Most characters of any other text.
const LONGEST_TEXT: usize = 120;

/// The fields of one feature.
pub(super) struct Fields<'a> {
    /// How findings call the feature.
    pub(super) label: String,
    members: &'a Map<String, Value>,
    pub(super) geometry: Option<&'a Value>,
    pub(super) bounds: Bounds,
    asked: RefCell<BTreeSet<&'static str>>,
    findings: RefCell<Vec<Finding>>,
}

impl<'a> Fields<'a> {
    pub(super) fn new(
        label: String,
        members: &'a Map<String, Value>,
        geometry: Option<&'a Value>,
        bounds: Bounds,
    ) -> Self {
        let asked = RefCell::new(BTreeSet::from(["kind", "id"]));
        Self { label, members, geometry, bounds, asked, findings: RefCell::default() }
    }

    pub(super) fn note(&self, id: FindingId, field: &str, says: impl Into<String>) {
        self.findings.borrow_mut().push(Finding::of(id, &self.label, field, says));
    }

    /// Every finding, with one for each field that nobody asked for.
    pub(super) fn finish(self) -> Vec<Finding> {
        let asked = self.asked.into_inner();
        let mut findings = self.findings.into_inner();
        for name in self.members.keys().filter(|n| !asked.contains(n.as_str())) {
            let meant =
                asked.iter().find(|a| !self.members.contains_key(**a) && nearly_same(a, name));
            findings.push(match meant {
                Some(meant) => Finding::of(
                    FindingId::MisspelledField,
                    &self.label,
                    name,
                    format!("no such field; was '{meant}' meant? Correct it or take it out"),
                ),
                None => Finding::of(
                    FindingId::UnknownField,
                    &self.label,
                    name,
                    "no such field: it is not read and not kept",
                )
                .into_warning(),
            });
        }
        findings
    }

    /// Which fields were asked for so far.
    #[cfg(test)]
    pub(super) fn asked(&self) -> BTreeSet<&'static str> {
        self.asked.borrow().clone()
    }

    fn optional(&self, name: &'static str) -> Option<&'a Value> {
        self.asked.borrow_mut().insert(name);
        self.members.get(name).filter(|v| !v.is_null())
    }

    fn required(&self, name: &'static str) -> Option<&'a Value> {
        let value = self.optional(name);
        if value.is_none() {
            self.note(FindingId::MissingField, name, "is missing: add it");
        }
        value
    }

    fn as_text(&self, name: &str, value: &Value) -> Option<String> {
        let Value::String(text) = value else {
            self.note(FindingId::WrongType, name, "must be text in quotes");
            return None;
        };
        let fits = !text.trim().is_empty() && text.chars().count() <= LONGEST_TEXT;
        if !fits || text.chars().any(char::is_control) {
            let says =
                format!("must be 1 to {LONGEST_TEXT} characters, none of them control codes");
            self.note(FindingId::WrongType, name, says);
            return None;
        }
        Some(text.clone())
    }

    pub(super) fn text(&self, name: &'static str) -> Option<String> {
        self.required(name).and_then(|v| self.as_text(name, v))
    }

    pub(super) fn maybe_text(&self, name: &'static str) -> Option<String> {
        self.optional(name).and_then(|v| self.as_text(name, v))
    }

    /// A list of texts; empty where the field is absent and `required` is false.
    pub(super) fn texts(&self, name: &'static str, required: bool) -> Vec<String> {
        let value = if required { self.required(name) } else { self.optional(name) };
        match value {
            None => Vec::new(),
            Some(Value::Array(items)) => {
                items.iter().filter_map(|v| self.as_text(name, v)).collect()
            }
            Some(_) => {
                self.note(FindingId::WrongType, name, "must be a list of texts");
                Vec::new()
            }
        }
    }

    fn as_id(&self, name: &str, text: &str) -> Option<AssetId> {
        match checked_id(text) {
            Ok(id) => Some(id),
            Err(says) => {
                self.note(FindingId::BadName, name, says);
                None
            }
        }
    }

    pub(super) fn id(&self, name: &'static str) -> Option<AssetId> {
        self.text(name).and_then(|t| self.as_id(name, &t))
    }

    pub(super) fn maybe_id(&self, name: &'static str) -> Option<AssetId> {
        self.maybe_text(name).and_then(|t| self.as_id(name, &t))
    }

    pub(super) fn ids(&self, name: &'static str) -> Vec<AssetId> {
        self.texts(name, true).into_iter().filter_map(|t| self.as_id(name, &t)).collect()
    }

    pub(super) fn node(&self, name: &'static str) -> Option<NodeId> {
        let text = self.text(name)?;
        let allowed = |c: char| c.is_ascii_alphanumeric() || "._:-".contains(c);
        match NodeId::new(text.clone()) {
            Ok(node) if text.chars().all(allowed) => Some(node),
            _ => {
                let says = "must be 1 to 60 letters, digits or . _ : -";
                self.note(FindingId::BadName, name, says);
                None
            }
        }
    }

    fn as_number(&self, name: &str, value: &Value, range: &RangeInclusive<f64>) -> Option<f64> {
        let Some(number) = value.as_f64().filter(|n| n.is_finite()) else {
            self.note(FindingId::WrongType, name, "must be a number without quotes");
            return None;
        };
        if !range.contains(&number) {
            let says = format!("{number} cannot be: {} to {}", range.start(), range.end());
            self.note(FindingId::OutOfRange, name, says);
            return None;
        }
        // A minus zero would be lost on the way out.
        Some(number + 0.0)
    }

    pub(super) fn number(&self, name: &'static str, range: RangeInclusive<f64>) -> Option<f64> {
        self.required(name).and_then(|v| self.as_number(name, v, &range))
    }

    pub(super) fn maybe_number(
        &self,
        name: &'static str,
        range: RangeInclusive<f64>,
    ) -> Option<f64> {
        self.optional(name).and_then(|v| self.as_number(name, v, &range))
    }

    /// A whole number; `absent` where the field is not there.
    pub(super) fn count(&self, name: &'static str, least: u16, most: u16, absent: u16) -> u16 {
        let Some(value) = self.optional(name) else { return absent };
        let count = value.as_u64().and_then(|n| u16::try_from(n).ok());
        count.filter(|n| (least..=most).contains(n)).unwrap_or_else(|| {
            let says = format!("must be a whole number from {least} to {most}");
            self.note(FindingId::OutOfRange, name, says);
            absent
        })
    }

    pub(super) fn flag(&self, name: &'static str) -> Option<bool> {
        let value = self.required(name)?;
        if value.as_bool().is_none() {
            self.note(FindingId::WrongType, name, "must be true or false");
        }
        value.as_bool()
    }

    fn as_choice<T: Copy>(&self, name: &str, text: &str, choices: &[(&str, T)]) -> Option<T> {
        let chosen = choices.iter().find(|(word, _)| *word == text).map(|&(_, what)| what);
        if chosen.is_none() {
            let words: Vec<&str> = choices.iter().map(|&(word, _)| word).collect();
            let says = format!("'{}' is not one of {}", shown(text), words.join(", "));
            self.note(FindingId::UnknownChoice, name, says);
        }
        chosen
    }

    pub(super) fn choice<T: Copy>(&self, name: &'static str, choices: &[(&str, T)]) -> Option<T> {
        self.text(name).and_then(|t| self.as_choice(name, &t, choices))
    }

    pub(super) fn maybe_choice<T: Copy>(
        &self,
        name: &'static str,
        choices: &[(&str, T)],
    ) -> Option<T> {
        self.maybe_text(name).and_then(|t| self.as_choice(name, &t, choices))
    }

    pub(super) fn choices<T: Copy>(&self, name: &'static str, choices: &[(&str, T)]) -> Vec<T> {
        let texts = self.texts(name, false);
        texts.iter().filter_map(|t| self.as_choice(name, t, choices)).collect()
    }

    pub(super) fn system(&self) -> Option<VoltageSystem> {
        let text = self.text("system")?;
        let system = VoltageSystem::from_name(&text);
        if system.is_none() {
            let names: Vec<&str> = VoltageSystem::ALL.iter().map(|s| s.name()).collect();
            let says = format!(
                "'{}' has no rules here, which is a stop; known: {}",
                shown(&text),
                names.join(", ")
            );
            self.note(FindingId::UnknownSystem, "system", says);
        }
        system
    }

    fn as_size(&self, name: &str, text: String) -> Option<String> {
        if ConductorSize::named(&text).is_some() {
            return Some(text);
        }
        let names: Vec<&str> = ConductorSize::all().iter().map(|s| s.name).collect();
        let meant = ConductorSize::meant(&text);
        let meant = meant.map_or_else(String::new, |m| format!("; if it is metric: '{}'", m.name));
        let says = format!(
            "'{}' is not made; known sizes (AWG, kcmil, mm2): {}{meant}",
            shown(&text),
            names.join(", ")
        );
        self.note(FindingId::ImpossibleSize, name, says);
        None
    }

    pub(super) fn size(&self, name: &'static str) -> Option<String> {
        self.text(name).and_then(|t| self.as_size(name, t))
    }

    pub(super) fn maybe_size(&self, name: &'static str) -> Option<String> {
        self.maybe_text(name).and_then(|t| self.as_size(name, t))
    }

    /// The members of each object of a list; empty where the field is absent.
    pub(super) fn objects(&self, name: &'static str) -> Vec<&'a Map<String, Value>> {
        match self.optional(name) {
            None => Vec::new(),
            Some(Value::Array(items)) if items.iter().all(Value::is_object) => {
                items.iter().filter_map(Value::as_object).collect()
            }
            Some(_) => {
                self.note(FindingId::WrongType, name, "must be a list of objects");
                Vec::new()
            }
        }
    }

    /// Fields of an object inside this feature, called `label` in findings.
    pub(super) fn inner(&self, label: &str, members: &'a Map<String, Value>) -> Self {
        Self::new(format!("{} {label}", self.label), members, None, self.bounds)
    }

    /// Adds findings made elsewhere.
    pub(super) fn take(&self, findings: Vec<Finding>) {
        self.findings.borrow_mut().extend(findings);
    }
}

/// A name for a feature, or what is wrong with it.
pub(super) fn checked_id(text: &str) -> Result<AssetId, String> {
    let allowed = |c: char| c.is_ascii_alphanumeric() || "._-".contains(c);
    let fits = text.chars().count() <= LONGEST_ID && text.chars().all(allowed);
    match AssetId::new(text) {
        Ok(id) if fits => Ok(id),
        _ => {
            Err(format!("'{}' is no name: 1 to {LONGEST_ID} letters, digits or . _ -", shown(text)))
        }
    }
}

/// Hostile text cut short.
pub(super) fn shown(text: &str) -> String {
    text.chars().filter(|c| !c.is_control()).take(40).collect()
}

/// True for names at most two edits apart (and, for short ones, one).
fn nearly_same(one: &str, other: &str) -> bool {
    let (one, other): (Vec<char>, Vec<char>) =
        (one.to_lowercase().chars().collect(), other.to_lowercase().chars().collect());
    if other.len() > one.len() + 2 {
        return false;
    }
    let mut row: Vec<usize> = (0..=other.len()).collect();
    for (i, a) in one.iter().enumerate() {
        let mut next = vec![i + 1];
        for (j, b) in other.iter().enumerate() {
            let above = row.get(j + 1).copied().unwrap_or(usize::MAX - 1);
            let left = next.last().copied().unwrap_or(usize::MAX - 1);
            let corner = row.get(j).copied().unwrap_or(usize::MAX - 1);
            next.push((above + 1).min(left + 1).min(corner + usize::from(a != b)));
        }
        row = next;
    }
    let allowed = if one.len() <= 5 { 1 } else { 2 };
    row.last().is_some_and(|&edits| edits <= allowed)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_of_the_pen_is_seen() {
        for (one, other, same) in [
            ("customer_sources", "customer_souces", true),
            ("customer_sources", "Customer_Sources", true),
            ("critical", "critcal", true),
            ("tags", "tag", true),
            ("pad", "fid", false),
            ("runs", "notes", false),
        ] {
            assert_eq!(nearly_same(one, other), same, "{one} {other}");
        }
    }
}
