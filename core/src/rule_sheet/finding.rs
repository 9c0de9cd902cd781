//! What is wrong with a rule sheet, key by key.

/// Why one key of a rule sheet is refused.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Reason {
    /// The text is longer than any rule sheet needs to be.
    #[error("the sheet has {bytes} bytes: at most {most}")]
    TooLarge {
        /// Its length.
        bytes: usize,
        /// The most that is read.
        most: usize,
    },
    /// Not TOML: what the reader said, with its line.
    #[error("this is not TOML: {said}")]
    NotToml {
        /// The reader's words.
        said: String,
    },
    /// No such key.
    #[error("there is no such key: check its spelling")]
    Unknown,
    /// A key that every sheet must have.
    #[error("is missing")]
    Missing,
    /// Another kind of value.
    #[error("must be {wanted}")]
    Kind {
        /// What it must be.
        wanted: String,
    },
    /// Outside what any sheet may say.
    #[error("is {found}: must lie between {least} and {most}")]
    Range {
        /// What the sheet says.
        found: String,
        /// The least it may say.
        least: String,
        /// The most it may say.
        most: String,
    },
    /// Less cautious than the default, without a reason on record.
    #[error("is {found}, less cautious than the default {default}: say why under [reasons]")]
    NoReason {
        /// What the sheet says.
        found: String,
        /// What the default says.
        default: String,
    },
    /// A reason that is empty or longer than 500 characters.
    #[error("the reason must be a sentence of 10 to 500 characters")]
    PoorReason,
    /// Two keys that cannot both hold.
    #[error("does not go with {other}: {why}")]
    Against {
        /// The other key.
        other: &'static str,
        /// Why.
        why: &'static str,
    },
}

/// One thing wrong with a rule sheet.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{key}: {reason}")]
pub struct Finding {
    /// Which key; `(sheet)` for the sheet as a whole.
    pub key: String,
    /// What is wrong with it.
    pub reason: Reason,
}

/// Everything wrong with a rule sheet: it is refused whole, with all its findings.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("the rule sheet is refused, {} findings: {}", findings.len(), list(findings))]
pub struct Refused {
    /// In the order of the keys.
    pub findings: Vec<Finding>,
}

fn list(findings: &[Finding]) -> String {
    findings.iter().map(ToString::to_string).collect::<Vec<_>>().join("; ")
}
