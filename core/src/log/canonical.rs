//! Canonical JSON (RFC 8785) and SHA-256 over it.

use serde::Serialize;
use sha2::{Digest, Sha256};

use super::error::LogError;
use crate::event::Sha256Hex;

/// The canonical bytes of a value: members sorted, no space, numbers as RFC 8785 writes them.
///
/// Everything that is hashed or signed here holds whole numbers alone, so no float reaches it.
pub fn canonical(value: &impl Serialize) -> Result<Vec<u8>, LogError> {
    serde_jcs::to_vec(value).map_err(|error| LogError::NotWritable { reason: error.to_string() })
}

/// SHA-256 of bytes.
pub fn sha256(bytes: &[u8]) -> Sha256Hex {
    Sha256Hex(Sha256::digest(bytes).into())
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::{Value, json};

    #[test]
    fn sorts_by_utf16_units_and_escapes_as_rfc_8785_does() {
        // The example of RFC 8785, section 3.2.3 (sorting), without its fractions.
        let value = json!({
            "\u{20ac}": "Euro Sign", "\r": "Carriage Return",
            "\u{fb33}": "Hebrew Letter Dalet With Dagesh", "1": "One",
            "\u{1f600}": "Emoji: Grinning Face", "\u{80}": "Control",
            "\u{f6}": "Latin Small Letter O With Diaeresis"
        });
        let text = String::from_utf8(canonical(&value).unwrap()).unwrap();
        assert_eq!(
            text,
            "{\"\\r\":\"Carriage Return\",\"1\":\"One\",\"\u{80}\":\"Control\",\
             \"\u{f6}\":\"Latin Small Letter O With Diaeresis\",\"\u{20ac}\":\"Euro Sign\",\
             \"\u{1f600}\":\"Emoji: Grinning Face\",\
             \"\u{fb33}\":\"Hebrew Letter Dalet With Dagesh\"}"
        );
        let text = canonical(&json!({"b": [1, -2, {"z": null, "a": true}], "a": "\u{1}\"\\/\n"}));
        assert_eq!(
            String::from_utf8(text.unwrap()).unwrap(),
            r#"{"a":"\u0001\"\\/\n","b":[1,-2,{"a":true,"z":null}]}"#
        );
    }

    #[test]
    fn keeps_the_largest_whole_numbers() {
        let largest = (1_i64 << 53) - 1;
        let text = canonical(&json!([largest, -largest])).unwrap();
        assert_eq!(text, b"[9007199254740991,-9007199254740991]");
    }

    #[test]
    fn hashes_as_the_standard_does() {
        // FIPS 180-4 example, one block.
        assert_eq!(
            sha256(b"abc").to_string(),
            "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
        );
    }

    proptest::proptest! {
        #[test]
        fn canonical_text_reads_back(words in proptest::collection::btree_map(".{0,8}", ".{0,12}", 0..8)) {
            let value = serde_json::to_value(&words).unwrap();
            let bytes = canonical(&value).unwrap();
            let back: Value = serde_json::from_slice(&bytes).unwrap();
            proptest::prop_assert_eq!(&back, &value);
            proptest::prop_assert_eq!(canonical(&back).unwrap(), bytes);
        }
    }
}
