//! Keys of devices and what they sign (Ed25519, RFC 8032, checked strictly).

use std::{borrow::Cow, fmt, str::FromStr};

use ed25519_dalek::{Signer, SigningKey, VerifyingKey};
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

/// The private key of a device. It never leaves the device and never prints.
pub struct DeviceKey(SigningKey);

impl DeviceKey {
    /// The key from its 32 seed bytes; where they come from is the device's affair.
    pub fn from_seed(seed: &[u8; 32]) -> Self {
        Self(SigningKey::from_bytes(seed))
    }

    /// The public half.
    pub fn public(&self) -> PublicKey {
        PublicKey(self.0.verifying_key().to_bytes())
    }

    /// A signature over bytes. The same bytes give the same signature.
    pub fn sign(&self, bytes: &[u8]) -> Signature {
        Signature(self.0.sign(bytes).to_bytes())
    }
}

impl fmt::Debug for DeviceKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "DeviceKey(of {})", self.public())
    }
}

/// The public key of a device: 64 lower-case hex digits.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PublicKey(pub [u8; 32]);

impl PublicKey {
    /// Whether this key signed these bytes. Weak keys and malleable signatures never did.
    pub fn signed(&self, bytes: &[u8], signature: &Signature) -> bool {
        let signature = ed25519_dalek::Signature::from_bytes(&signature.0);
        VerifyingKey::from_bytes(&self.0)
            .is_ok_and(|key| key.verify_strict(bytes, &signature).is_ok())
    }
}

/// A signature: 128 lower-case hex digits.
#[derive(Clone, Copy, PartialEq, Eq)]
pub struct Signature(pub [u8; 64]);

macro_rules! hex_text {
    ($name:ident, $digits:literal, $pattern:literal) => {
        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(&hex::encode(self.0))
            }
        }

        impl FromStr for $name {
            type Err = String;

            fn from_str(text: &str) -> Result<Self, String> {
                let mut bytes = [0; $digits / 2];
                let upper = text.bytes().any(|b| b.is_ascii_uppercase());
                if upper || hex::decode_to_slice(text, &mut bytes).is_err() {
                    return Err(concat!($digits, " lower-case hex digits are needed").into());
                }
                Ok(Self(bytes))
            }
        }

        impl Serialize for $name {
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.collect_str(self)
            }
        }

        impl<'de> Deserialize<'de> for $name {
            fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                String::deserialize(deserializer)?.parse().map_err(de::Error::custom)
            }
        }

        impl JsonSchema for $name {
            fn schema_name() -> Cow<'static, str> {
                stringify!($name).into()
            }

            fn json_schema(_: &mut SchemaGenerator) -> Schema {
                json_schema!({ "type": "string", "pattern": $pattern })
            }
        }
    };
}

hex_text!(PublicKey, 64, "^[0-9a-f]{64}$");
hex_text!(Signature, 128, "^[0-9a-f]{128}$");

impl fmt::Debug for PublicKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "PublicKey({self})")
    }
}

impl fmt::Debug for Signature {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Signature({self})")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn signs_as_rfc_8032_does() {
        // RFC 8032, section 7.1, test 2.
        let seed: PublicKey =
            "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb".parse().unwrap();
        let key = DeviceKey::from_seed(&seed.0);
        assert_eq!(
            key.public().to_string(),
            "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c"
        );
        let signature = key.sign(&[0x72]);
        assert_eq!(
            signature.to_string(),
            "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da\
             085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00"
        );
        assert!(key.public().signed(&[0x72], &signature));
        assert!(!key.public().signed(&[0x73], &signature));
    }

    #[test]
    fn the_weak_key_that_signs_everything_signs_nothing_here() {
        let mut identity = [0; 32];
        identity[0] = 1;
        let mut signature = [0; 64];
        signature[0] = 1;
        assert!(!PublicKey(identity).signed(b"anything", &Signature(signature)));
    }

    #[test]
    fn a_private_key_never_prints() {
        let key = DeviceKey::from_seed(&[7; 32]);
        assert!(!format!("{key:?}").contains(&hex::encode([7; 32])));
    }
}
