//! What is drawn by chance: codes, cookies, tokens.

use coldlug_core::{event::Sha256Hex, log::sha256};

use crate::{settings::Surroundings, trouble::Trouble};

/// Letters and digits that are not taken for one another: no 0 O, 1 I L, 2 Z, 5 S, 8 B.
const ALPHABET: &[u8] = b"ACDEFGHJKMNPQRTUVWXY34679";
/// Characters of a one-time code: 46 bits, good for minutes and a few tries a minute.
const CODE_LENGTH: usize = 10;

/// The letters of a hash, as many as asked for: the same hash, the same letters.
pub(crate) fn letters_of(hash: &Sha256Hex, count: usize) -> String {
    let fair = 256 / ALPHABET.len() * ALPHABET.len();
    let fair = hash.0.iter().map(|&byte| usize::from(byte)).filter(|&byte| byte < fair);
    let letters = fair.filter_map(|byte| ALPHABET.get(byte % ALPHABET.len()));
    letters.map(|&letter| char::from(letter)).take(count).collect()
}

/// A one-time code.
pub(crate) fn code(surroundings: &dyn Surroundings) -> Result<String, Trouble> {
    let mut code = String::new();
    // Bytes from the last, incomplete go through the alphabet would make its first letters likelier.
    let fair = 256 / ALPHABET.len() * ALPHABET.len();
    while code.len() < CODE_LENGTH {
        let mut bytes = [0; 32];
        surroundings.random(&mut bytes)?;
        let letters = bytes.iter().map(|&byte| usize::from(byte)).filter(|&byte| byte < fair);
        code.extend(
            letters
                .filter_map(|byte| ALPHABET.get(byte % ALPHABET.len()))
                .map(|&letter| char::from(letter))
                .take(CODE_LENGTH - code.len()),
        );
    }
    Ok(code)
}

/// The hash of a code as it was typed: spaces, dashes and small letters do not matter.
pub(crate) fn code_hash(typed: &str) -> Sha256Hex {
    let plain: String = typed
        .chars()
        .filter(|c| !c.is_whitespace() && *c != '-')
        .take(64)
        .map(|c| c.to_ascii_uppercase())
        .collect();
    sha256(plain.as_bytes())
}

/// A token of `N` random bytes: hex, so that it stands in addresses and cookies as it is.
pub(crate) fn token<const N: usize>(surroundings: &dyn Surroundings) -> Result<String, Trouble> {
    let mut bytes = [0; N];
    surroundings.random(&mut bytes)?;
    Ok(hex::encode(bytes))
}

/// The token that every form of a session or a link carries. It follows from the cookie or the link's
/// token, which no other site can read.
pub(crate) fn form_token(secret: &str) -> String {
    sha256(format!("form {secret}").as_bytes()).to_string().chars().take(32).collect()
}

/// Whether two texts are the same, in a time that does not tell where they differ.
pub(crate) fn same(one: &str, other: &str) -> bool {
    let (one, other) = (sha256(one.as_bytes()).0, sha256(other.as_bytes()).0);
    one.iter().zip(other).fold(0, |differs, (a, b)| differs | (a ^ b)) == 0
}

#[cfg(test)]
mod tests {
    use super::*;
    use coldlug_core::quantity::Instant;
    use std::{
        io,
        sync::atomic::{AtomicU8, Ordering},
    };

    #[derive(Debug, Default)]
    struct Counting(AtomicU8);

    impl Surroundings for Counting {
        fn now(&self) -> Instant {
            Instant { wall_ms: 0, boot: "b".into(), mono_ms: 0 }
        }

        fn random(&self, bytes: &mut [u8]) -> io::Result<()> {
            for byte in bytes {
                *byte = self.0.fetch_add(1, Ordering::Relaxed).wrapping_mul(67);
            }
            Ok(())
        }
    }

    #[test]
    fn a_code_has_ten_letters_that_look_like_no_other() {
        let chance = Counting::default();
        let codes: Vec<String> = (0..50).map(|_| code(&chance).unwrap()).collect();
        for code in &codes {
            assert_eq!(code.len(), CODE_LENGTH, "{code}");
            assert!(code.bytes().all(|letter| ALPHABET.contains(&letter)), "{code}");
        }
        for letter in "0O1IL2Z5S8B".bytes() {
            assert!(!ALPHABET.contains(&letter));
        }
    }

    #[test]
    fn a_code_is_known_however_it_is_typed() {
        assert_eq!(code_hash("acdef-ghjkm"), code_hash(" ACDEF GHJKM "));
        assert_ne!(code_hash("ACDEFGHJKM"), code_hash("ACDEFGHJKN"));
    }

    #[test]
    fn same_is_same() {
        assert!(same("abc", "abc"));
        assert!(!same("abc", "abd"));
        assert!(!same("abc", ""));
    }
}
