//! What a dispatcher shows to a phone that is to be enrolled: as text it is what the QR code holds.

use std::{fmt, str::FromStr};

use super::error::ExchangeError;
use crate::{log::PublicKey, quantity::DeviceId};

/// Longest address of a desk, bytes.
const LONGEST_URL: usize = 300;
/// Longest code, bytes.
const LONGEST_CODE: usize = 40;
/// How many hex digits of the desk's key are compared: 64 bits, which nobody tries out.
const KEY_DIGITS: usize = 16;

/// Where to enrol, as which device, with which code, and how the desk's key begins.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Invitation {
    /// The desk's address, without a slash at its end.
    pub desk_url: String,
    /// The one-time code.
    pub code: String,
    /// The name the dispatcher gave the device.
    pub device: DeviceId,
    /// The first 16 hex digits of the desk's public key.
    pub key_digits: String,
}

impl Invitation {
    /// The invitation from its parts, as they are typed from a screen.
    pub fn new(
        desk_url: &str,
        code: &str,
        device: &str,
        key_digits: &str,
    ) -> Result<Self, ExchangeError> {
        let desk_url = desk_url.trim().trim_end_matches('/').to_owned();
        let host = desk_url.strip_prefix("https://").or_else(|| desk_url.strip_prefix("http://"));
        let plain = |text: &str| text.chars().all(|c| c.is_ascii_graphic() && !"#?".contains(c));
        let address = host.is_some_and(|host| !host.is_empty() && plain(host));
        let code: String = code.chars().filter(|c| !c.is_whitespace() && *c != '-').collect();
        let code = code.to_ascii_uppercase();
        let digits: String = key_digits.chars().filter(|c| !c.is_whitespace()).collect();
        let key_digits = digits.to_ascii_lowercase();
        let hex =
            key_digits.len() == KEY_DIGITS && key_digits.bytes().all(|b| b.is_ascii_hexdigit());
        let letters = !code.is_empty() && code.bytes().all(|b| b.is_ascii_alphanumeric());
        if !address || desk_url.len() > LONGEST_URL || !letters || code.len() > LONGEST_CODE || !hex
        {
            return Err(ExchangeError::Invitation);
        }
        let device = DeviceId::new(device.trim()).map_err(|_| ExchangeError::DeviceName)?;
        Ok(Self { desk_url, code, device, key_digits })
    }

    /// Whether this is the key that was shown beside the code.
    pub fn names(&self, desk_key: &PublicKey) -> bool {
        desk_key.to_string().starts_with(&self.key_digits)
    }

    /// How a key begins, as it is shown beside a code.
    pub fn digits_of(desk_key: &PublicKey) -> String {
        desk_key.to_string().chars().take(KEY_DIGITS).collect()
    }
}

impl fmt::Display for Invitation {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { desk_url, code, device, key_digits } = self;
        write!(f, "{desk_url}/enrol#{code}.{device}.{key_digits}")
    }
}

impl FromStr for Invitation {
    type Err = ExchangeError;

    fn from_str(text: &str) -> Result<Self, ExchangeError> {
        let whole = || {
            let (url, rest) = text.trim().split_once("/enrol#")?;
            // A device's name may hold dots, a code and digits may not.
            let (code, rest) = rest.split_once('.')?;
            let (device, digits) = rest.rsplit_once('.')?;
            Some((url, code, device, digits))
        };
        let (url, code, device, digits) = whole().ok_or(ExchangeError::Invitation)?;
        Self::new(url, code, device, digits)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "https://desk.example/enrol#K7WMHT3RXP.phone-pad.1.00112233aabbccdd";

    #[test]
    fn reads_what_it_writes() {
        let read: Invitation = TEXT.parse().unwrap();
        assert_eq!(read.device.as_str(), "phone-pad.1");
        assert_eq!(read.to_string(), TEXT);
        let typed = Invitation::new(
            " https://desk.example/ ",
            "k7wmh-t3rxp",
            "phone-pad.1",
            "0011 2233 AABB CCDD",
        );
        assert_eq!(typed, Ok(read));
    }

    #[test]
    fn refuses_what_is_no_invitation() {
        for text in [
            "",
            "https://desk.example/enrol",
            "https://desk.example/enrol#K7.phone",
            "ftp://desk.example/enrol#K7.phone.00112233aabbccdd",
            "https:///enrol#K7.phone.00112233aabbccdd",
            "https://de sk/enrol#K7.phone.00112233aabbccdd",
            "https://desk.example/enrol#.phone.00112233aabbccdd",
            "https://desk.example/enrol#K7.phone.00112233aabbccd",
            "https://desk.example/enrol#K7.phone.00112233aabbccdx",
        ] {
            assert_eq!(text.parse::<Invitation>(), Err(ExchangeError::Invitation), "{text}");
        }
        let device = "https://desk.example/enrol#K7.pho ne.00112233aabbccdd";
        assert_eq!(device.parse::<Invitation>(), Err(ExchangeError::DeviceName));
    }

    #[test]
    fn compares_the_key_with_what_was_shown() {
        let (mut key, read) = (PublicKey([0x11; 32]), TEXT.parse::<Invitation>().unwrap());
        assert!(!read.names(&key));
        key.0[..8].copy_from_slice(&[0x00, 0x11, 0x22, 0x33, 0xaa, 0xbb, 0xcc, 0xdd]);
        assert!(read.names(&key));
        assert_eq!(Invitation::digits_of(&key), read.key_digits);
    }
}
