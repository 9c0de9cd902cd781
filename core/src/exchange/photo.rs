//! Photos: which forms are taken, and which photos the entries of a job name.

use std::collections::BTreeSet;

use serde_json::Value;

use super::{error::ExchangeError, limits::MOST_PHOTO_BYTES};
use crate::{event::Sha256Hex, log::Log};

/// The forms of a photo: those that every browser draws.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PhotoForm {
    /// JPEG.
    Jpeg,
    /// PNG.
    Png,
}

impl PhotoForm {
    /// The form of a photo by its first bytes; refused: empty, too large, or neither.
    pub fn of(bytes: &[u8]) -> Result<Self, ExchangeError> {
        // Room for the line of the message that carries it.
        if bytes.len() > MOST_PHOTO_BYTES - 4096 {
            return Err(ExchangeError::TooLarge);
        }
        if bytes.starts_with(&[0xff, 0xd8, 0xff]) {
            Ok(Self::Jpeg)
        } else if bytes.starts_with(b"\x89PNG\r\n\x1a\n") {
            Ok(Self::Png)
        } else {
            Err(ExchangeError::NoPhoto)
        }
    }

    /// Its media type.
    pub const fn media_type(self) -> &'static str {
        match self {
            Self::Jpeg => "image/jpeg",
            Self::Png => "image/png",
        }
    }
}

/// The photos that entries of a job name: every member `photo` that holds a SHA-256, whatever the
/// kind of its event.
pub fn photos_named(log: &Log) -> BTreeSet<Sha256Hex> {
    let mut named = BTreeSet::new();
    for entry in log.in_order() {
        if let Ok(event) = serde_json::to_value(entry.event()) {
            collect(&event, &mut named);
        }
    }
    named
}

fn collect(value: &Value, named: &mut BTreeSet<Sha256Hex>) {
    match value {
        Value::Object(members) => {
            for (name, member) in members {
                match member.as_str().filter(|_| name == "photo").map(str::parse) {
                    Some(Ok(hash)) => {
                        named.insert(hash);
                    }
                    _ => collect(member, named),
                }
            }
        }
        Value::Array(members) => members.iter().for_each(|member| collect(member, named)),
        _ => {}
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_photo_is_known_by_its_first_bytes() {
        assert_eq!(PhotoForm::of(b"\xff\xd8\xff\xe0...."), Ok(PhotoForm::Jpeg));
        assert_eq!(PhotoForm::of(b"\x89PNG\r\n\x1a\n...."), Ok(PhotoForm::Png));
        assert_eq!(PhotoForm::of(b"<svg/>"), Err(ExchangeError::NoPhoto));
        assert_eq!(PhotoForm::of(b""), Err(ExchangeError::NoPhoto));
        assert_eq!(PhotoForm::of(&vec![0xff; MOST_PHOTO_BYTES]), Err(ExchangeError::TooLarge));
    }

    #[test]
    fn photos_are_found_wherever_an_event_names_them() {
        let hash = "ab".repeat(32);
        let event = serde_json::json!({"a": [{"photo": hash}], "photo": "not one", "b": hash});
        let mut named = BTreeSet::new();
        collect(&event, &mut named);
        assert_eq!(named.into_iter().map(|hash| hash.to_string()).collect::<Vec<_>>(), [hash]);
    }
}
