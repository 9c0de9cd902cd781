//! Which conductors the work is on or near: what the isolation must separate from every source.

use std::{borrow::Cow, fmt, str::FromStr};

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

use crate::quantity::{IdError, NodeId};

/// The scope of the work.
///
/// Written as `base-line-side`, `base-both-sides`, `pad-secondary`, `pad-primary` or
/// `cable:FROM:TO` with two nodes of the map sheet; a node name that holds a colon is written with
/// `::` for it.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Scope {
    /// The line side of the target's meter base.
    BaseLineSide,
    /// Both sides of the target's meter base.
    BaseBothSides,
    /// Inside the secondary compartment of the target's pad.
    PadSecondary,
    /// Inside the primary compartment of the target's pad.
    PadPrimary,
    /// A cable between two nodes.
    Cable {
        /// One end.
        from: NodeId,
        /// The other end.
        to: NodeId,
    },
}

/// Why a text is not a scope.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ScopeError {
    /// None of the five forms.
    #[error(
        "'{text}' is not a scope: use base-line-side, base-both-sides, pad-secondary, \
         pad-primary or cable:FROM:TO"
    )]
    NotAScope {
        /// The text, cut to 40 characters.
        text: String,
    },
    /// An end of the cable cannot be a node name.
    #[error("the cable's end: {0}")]
    Node(#[from] IdError),
}

impl FromStr for Scope {
    type Err = ScopeError;

    fn from_str(text: &str) -> Result<Self, ScopeError> {
        match text {
            "base-line-side" => Ok(Self::BaseLineSide),
            "base-both-sides" => Ok(Self::BaseBothSides),
            "pad-secondary" => Ok(Self::PadSecondary),
            "pad-primary" => Ok(Self::PadPrimary),
            _ => cable(text).unwrap_or_else(|| {
                Err(ScopeError::NotAScope { text: text.chars().take(40).collect() })
            }),
        }
    }
}

/// `cable:FROM:TO`, split at the one colon that is not doubled; none where there is no such form.
fn cable(text: &str) -> Option<Result<Scope, ScopeError>> {
    let ends = text.strip_prefix("cable:")?;
    let mut parts = vec![String::new()];
    let mut left = ends.chars().peekable();
    while let Some(c) = left.next() {
        if c == ':' && left.next_if_eq(&':').is_none() {
            parts.push(String::new());
        } else if let Some(part) = parts.last_mut() {
            part.push(c);
        }
    }
    let [from, to] = <[String; 2]>::try_from(parts).ok()?;
    let node = |name| NodeId::new(name).map_err(ScopeError::from);
    Some(node(from).and_then(|from| Ok(Scope::Cable { from, to: node(to)? })))
}

impl fmt::Display for Scope {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::BaseLineSide => f.write_str("base-line-side"),
            Self::BaseBothSides => f.write_str("base-both-sides"),
            Self::PadSecondary => f.write_str("pad-secondary"),
            Self::PadPrimary => f.write_str("pad-primary"),
            Self::Cable { from, to } => {
                let doubled = |node: &NodeId| node.as_str().replace(':', "::");
                write!(f, "cable:{}:{}", doubled(from), doubled(to))
            }
        }
    }
}

impl Serialize for Scope {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Scope {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        String::deserialize(deserializer)?.parse().map_err(de::Error::custom)
    }
}

impl JsonSchema for Scope {
    fn schema_name() -> Cow<'static, str> {
        "Scope".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": "string",
            "pattern": "^(base-line-side|base-both-sides|pad-secondary|pad-primary|cable:.+:.+)$",
            "description": "Which conductors the work is on or near."
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn reads_the_five_forms_and_nothing_else() {
        for text in ["base-line-side", "base-both-sides", "pad-secondary", "pad-primary"] {
            assert_eq!(text.parse::<Scope>().unwrap().to_string(), text);
        }
        let cable: Scope = "cable:P07::out:P08::in".parse().unwrap();
        let Scope::Cable { from, to } = &cable else { panic!("{cable:?}") };
        assert_eq!((from.as_str(), to.as_str()), ("P07:out", "P08:in"));
        for text in ["", "base", "cable:", "cable:A", "cable:A:", "cable:A:B:C", "cable:A:b c"] {
            assert!(text.parse::<Scope>().is_err(), "{text}");
        }
    }

    proptest! {
        #[test]
        fn every_cable_survives(
            from in "[a-z0-9]{1,4}(:[a-z0-9]{1,4})?", to in "[a-z0-9]{1,4}(:[a-z0-9]{1,4})?"
        ) {
            let scope = Scope::Cable {
                from: NodeId::new(from).unwrap(), to: NodeId::new(to).unwrap()
            };
            prop_assert_eq!(scope.to_string().parse::<Scope>().unwrap(), scope);
        }
    }
}
