//! JSON as an event may use it: no member twice, whole numbers only, nothing oversized.

use std::fmt;

use serde::de::{self, DeserializeSeed, Deserializer, MapAccess, SeqAccess, Visitor};
use serde_json::{Map, Number, Value};

/// Longest text in an event, bytes.
const LONGEST_TEXT: usize = 4096;
/// Most members of one list or object.
const MOST_MEMBERS: usize = 1000;
/// Deepest nesting.
const DEEPEST: usize = 16;
/// Largest whole number that every JSON reader keeps exactly (RFC 8785, IEEE 754 doubles).
const LARGEST: u64 = (1 << 53) - 1;

/// Why a text is not JSON as an event may use it.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum StrictError {
    /// The text ends in the middle.
    #[error("cut short")]
    CutShort,
    /// Not JSON, or JSON with something an event may not hold.
    #[error("column {column}: {reason}")]
    NotAllowed {
        /// Where, counted from one.
        column: usize,
        /// What is wrong.
        reason: String,
    },
}

/// The value of one JSON text. Refused: a member given twice, a fraction or exponent, a whole
/// number beyond 2^53 - 1, a text of more than 4096 bytes, a list of more than 1000 members,
/// nesting deeper than 16.
pub fn strict_value(text: &str) -> Result<Value, StrictError> {
    let mut reader = serde_json::Deserializer::from_str(text);
    let value = Strict { depth: 0 }.deserialize(&mut reader);
    value.and_then(|value| reader.end().map(|()| value)).map_err(|error| {
        if error.is_eof() {
            StrictError::CutShort
        } else {
            let shown = error.to_string();
            // serde_json ends its sentence with the place, which stands in `column` already.
            let reason = shown.rsplit_once(" at line ").map_or(shown.as_str(), |(r, _)| r).into();
            StrictError::NotAllowed { column: error.column(), reason }
        }
    })
}

#[derive(Clone, Copy)]
struct Strict {
    depth: usize,
}

impl Strict {
    fn deeper<E: de::Error>(self) -> Result<Self, E> {
        if self.depth == DEEPEST {
            return Err(E::custom("nested too deep: at most 16"));
        }
        Ok(Self { depth: self.depth + 1 })
    }
}

fn text<E: de::Error>(text: &str) -> Result<&str, E> {
    if text.len() > LONGEST_TEXT {
        return Err(E::custom("a text is too long: at most 4096 bytes"));
    }
    Ok(text)
}

impl<'de> DeserializeSeed<'de> for Strict {
    type Value = Value;

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<Value, D::Error> {
        deserializer.deserialize_any(self)
    }
}

impl<'de> Visitor<'de> for Strict {
    type Value = Value;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a JSON value")
    }

    fn visit_unit<E: de::Error>(self) -> Result<Value, E> {
        Ok(Value::Null)
    }

    fn visit_bool<E: de::Error>(self, value: bool) -> Result<Value, E> {
        Ok(Value::Bool(value))
    }

    fn visit_u64<E: de::Error>(self, value: u64) -> Result<Value, E> {
        if value > LARGEST {
            return Err(E::custom("a number is too large: at most 2^53 - 1"));
        }
        Ok(Value::Number(Number::from(value)))
    }

    fn visit_i64<E: de::Error>(self, value: i64) -> Result<Value, E> {
        if value.unsigned_abs() > LARGEST {
            return Err(E::custom("a number is too large: at most 2^53 - 1"));
        }
        Ok(Value::Number(Number::from(value)))
    }

    fn visit_f64<E: de::Error>(self, _: f64) -> Result<Value, E> {
        Err(E::custom("a number with a fraction: write quantities as text, like \"12.5\""))
    }

    fn visit_str<E: de::Error>(self, value: &str) -> Result<Value, E> {
        Ok(Value::String(text(value)?.to_owned()))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Value, A::Error> {
        let inner = self.deeper()?;
        let mut list = Vec::new();
        while let Some(item) = seq.next_element_seed(inner)? {
            if list.len() == MOST_MEMBERS {
                return Err(de::Error::custom("a list is too long: at most 1000"));
            }
            list.push(item);
        }
        Ok(Value::Array(list))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Value, A::Error> {
        let inner = self.deeper()?;
        let mut object = Map::new();
        while let Some(key) = map.next_key::<String>()? {
            text::<A::Error>(&key)?;
            if object.contains_key(&key) {
                return Err(de::Error::custom(format!("'{key}' stands twice")));
            }
            if object.len() == MOST_MEMBERS {
                return Err(de::Error::custom("an object has too many members: at most 1000"));
            }
            let value = map.next_value_seed(inner)?;
            object.insert(key, value);
        }
        Ok(Value::Object(object))
    }
}
