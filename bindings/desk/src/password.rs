//! Passwords: Argon2id.

use argon2::{Algorithm, Argon2, Params, Version};
use coldlug_store::desk::Password;

use crate::{
    chance::same,
    settings::{Strength, Surroundings},
    trouble::Trouble,
};

/// Fewest characters (NIST SP 800-63B-4: at least 15 where the password is the only factor).
pub(crate) const LEAST_CHARACTERS: usize = 15;
/// Most bytes that are looked at, so that nobody buys work with a long text.
pub(crate) const MOST_BYTES: usize = 1024;

/// What a new password leaves behind.
pub(crate) fn keep(
    password: &str,
    strength: Strength,
    surroundings: &dyn Surroundings,
) -> Result<Password, Trouble> {
    let mut salt = [0; 16];
    surroundings.random(&mut salt)?;
    let Strength { memory_kib, passes, .. } = strength;
    let hash = hash(password, &salt, memory_kib, passes)?;
    Ok(Password { salt, hash, memory_kib, passes })
}

/// Whether this is the password that left `kept` behind.
pub(crate) fn fits(password: &str, kept: &Password) -> Result<bool, Trouble> {
    let found = hash(password, &kept.salt, kept.memory_kib, kept.passes)?;
    Ok(same(&hex::encode(found), &hex::encode(kept.hash)))
}

fn hash(
    password: &str,
    salt: &[u8; 16],
    memory_kib: u32,
    passes: u32,
) -> Result<[u8; 32], Trouble> {
    let mut hash = [0; 32];
    let params = Params::new(memory_kib, passes, 1, Some(hash.len()));
    let params = params.map_err(|error| Trouble::bug(&error))?;
    Argon2::new(Algorithm::Argon2id, Version::V0x13, params)
        .hash_password_into(password.as_bytes(), salt, &mut hash)
        .map_err(|error| Trouble::bug(&error))?;
    Ok(hash)
}
