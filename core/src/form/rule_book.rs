//! The rule book as people and programs read it.

use schemars::JsonSchema;
use serde::Serialize;

use crate::{
    gate::{RuleEntry, rule_book},
    words::Words,
};

/// Every rule that can stop or shape a step.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RuleBookForm {
    /// The rules, in the order of the work.
    pub rules: Vec<RuleForm>,
}

/// One rule.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RuleForm {
    /// Its stable id.
    pub id: String,
    /// What it says.
    pub sentence: String,
    /// Where it comes from.
    pub source: String,
    /// The name of its test.
    pub test: String,
    /// Whether a declared deviation may pass it; the step is then marked done without proof.
    pub deviation_allowed: bool,
}

impl RuleBookForm {
    /// The rule book in some language.
    pub fn new(words: &Words) -> Self {
        Self { rules: rule_book().iter().map(|entry| RuleForm::new(entry, words)).collect() }
    }
}

impl RuleForm {
    fn new(entry: &RuleEntry, words: &Words) -> Self {
        Self {
            id: entry.id.to_owned(),
            sentence: words.plain(entry.id).text,
            source: entry.source.to_owned(),
            test: entry.test.to_owned(),
            deviation_allowed: entry.deviable,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_rule_has_a_sentence() {
        let words = Words::english().unwrap();
        for rule in RuleBookForm::new(&words).rules {
            assert!(words.has(&rule.id), "no sentence for {}", rule.id);
        }
    }
}
