//! JSON as RFC 8259 has it, with one thing more: a member named twice is an error.
//!
//! Most readers keep the last of two equal names without a word, so two programs could read two
//! different sheets out of one file.

use std::fmt;

use serde::de::{Deserialize, Deserializer, Error, MapAccess, SeqAccess, Visitor};
use serde_json::{Map, Number, Value};

/// What the error of a repeated member starts with.
pub(super) const REPEATED: &str = "repeated member";

/// Reads a JSON text; the error has line and column.
pub(super) fn parse(bytes: &[u8]) -> Result<Value, serde_json::Error> {
    serde_json::from_slice::<Strict>(bytes).map(|strict| strict.0)
}

/// A JSON value in which no member is named twice.
#[derive(Debug, Clone, PartialEq)]
pub struct Strict(pub Value);

impl<'de> Deserialize<'de> for Strict {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(AnyValue).map(Strict)
    }
}

struct AnyValue;

impl<'de> Visitor<'de> for AnyValue {
    type Value = Value;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a JSON value")
    }

    fn visit_unit<E>(self) -> Result<Value, E> {
        Ok(Value::Null)
    }

    fn visit_bool<E>(self, value: bool) -> Result<Value, E> {
        Ok(Value::Bool(value))
    }

    fn visit_i64<E>(self, value: i64) -> Result<Value, E> {
        Ok(value.into())
    }

    fn visit_u64<E>(self, value: u64) -> Result<Value, E> {
        Ok(value.into())
    }

    fn visit_f64<E: Error>(self, value: f64) -> Result<Value, E> {
        Number::from_f64(value).map(Value::Number).ok_or_else(|| E::custom("not a finite number"))
    }

    fn visit_str<E>(self, value: &str) -> Result<Value, E> {
        Ok(value.into())
    }

    fn visit_string<E>(self, value: String) -> Result<Value, E> {
        Ok(value.into())
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Value, A::Error> {
        let mut items = Vec::new();
        while let Some(Strict(item)) = seq.next_element()? {
            items.push(item);
        }
        Ok(Value::Array(items))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Value, A::Error> {
        let mut members = Map::new();
        while let Some(name) = map.next_key::<String>()? {
            if members.contains_key(&name) {
                let shown: String = name.chars().take(40).collect();
                return Err(A::Error::custom(format!("{REPEATED} '{shown}'")));
            }
            let Strict(value) = map.next_value()?;
            members.insert(name, value);
        }
        Ok(Value::Object(members))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_repeated_member_is_named_with_its_line() {
        let error = parse(b"{\"a\": 1,\n \"b\": {\"c\": 1, \"c\": 2}}").unwrap_err();
        assert!(error.to_string().starts_with("repeated member 'c'"), "{error}");
        assert_eq!(error.line(), 2);
    }

    #[test]
    fn what_is_not_json_is_refused() {
        for text in ["", "{", "[1,]", "NaN", "1e999", "{\"a\":1} x", "\u{feff}{}", "'a'"] {
            assert!(parse(text.as_bytes()).is_err(), "{text}");
        }
        let deep = "[".repeat(100_000);
        assert!(parse(deep.as_bytes()).is_err(), "deep nesting ends in an error, not in a crash");
    }

    proptest! {
        #[test]
        fn agrees_with_the_plain_reader_where_no_member_repeats(
            numbers in proptest::collection::vec(any::<f64>().prop_filter("finite", |x| x.is_finite()), 0..6),
            text in ".{0,12}", flag in any::<bool>(),
        ) {
            let value = serde_json::json!({"n": numbers, "t": [text, null, flag], "o": {"k": -3}});
            let bytes = serde_json::to_vec(&value).unwrap();
            prop_assert_eq!(parse(&bytes).unwrap(), serde_json::from_slice::<Value>(&bytes).unwrap());
        }
    }
}
