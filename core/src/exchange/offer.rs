//! Entries across: which the other side lacks, and what becomes of those that come.

use std::collections::BTreeMap;

use super::{
    body::{Outcome, Receipt},
    error::ExchangeError,
};
use crate::{
    event::Sha256Hex,
    log::{Admitted, Entry, Log, LogError, sha256},
    quantity::DeviceId,
};

/// How many entries of each chain are in a log.
pub fn counts(log: &Log) -> BTreeMap<DeviceId, u64> {
    let last = |device: &DeviceId| log.chain(device).last().map_or(0, Entry::seq);
    log.keys().keys().map(|device| (device.clone(), last(device))).filter(|(_, n)| *n > 0).collect()
}

/// The entries of a log that somebody who has `have` lacks, in an order in which they can be taken,
/// of together at most `most` bytes; true: that is not all of them.
///
/// At least one entry is given where any is lacking, whatever its size.
pub fn entries_after<'a>(
    log: &'a Log,
    have: &BTreeMap<DeviceId, u64>,
    most: usize,
) -> Result<(Vec<&'a Entry>, bool), LogError> {
    let mut given = Vec::new();
    let mut bytes = 0_usize;
    for entry in log.in_order() {
        if entry.seq() <= have.get(entry.device()).copied().unwrap_or(0) {
            continue;
        }
        bytes = bytes.saturating_add(entry.to_bytes()?.len() + 1);
        if bytes > most && !given.is_empty() {
            return Ok((given, true));
        }
        given.push(entry);
    }
    Ok((given, false))
}

/// Entries as they follow the line of a message: one a line.
pub fn write_entries<'a>(
    entries: impl IntoIterator<Item = &'a Entry>,
) -> Result<Vec<u8>, LogError> {
    let mut bytes = Vec::new();
    for entry in entries {
        bytes.extend(entry.to_bytes()?);
        bytes.push(b'\n');
    }
    Ok(bytes)
}

/// The lines that follow a message, each an entry or the hash of its bytes and why it is none.
///
/// Bytes after the last line's end are refused: what was cut is not half taken.
#[allow(clippy::type_complexity, reason = "a list of what came, line by line")]
pub fn read_entries(
    rest: &[u8],
    most: usize,
) -> Result<Vec<Result<Entry, (Sha256Hex, LogError)>>, ExchangeError> {
    if rest.is_empty() {
        return Ok(Vec::new());
    }
    let lines = rest.strip_suffix(b"\n").ok_or(ExchangeError::Unreadable)?;
    let lines: Vec<&[u8]> = lines.split(|&b| b == b'\n').collect();
    if lines.len() > most {
        return Err(ExchangeError::TooLarge);
    }
    let read = |line| Entry::from_bytes(line).map_err(|error| (sha256(line), error));
    Ok(lines.into_iter().map(read).collect())
}

/// Takes one entry into a log, and keeps it: the receipt.
///
/// `keep` writes it down before it is acknowledged; what cannot be kept is not taken.
pub fn receive<E: std::fmt::Display>(
    log: &mut Log,
    entry: Entry,
    keep: impl FnOnce(&Entry) -> Result<(), E>,
) -> Receipt {
    let hash = entry.hash();
    let refused = |reason: String| Outcome::Refused { reason };
    let outcome = match log.would_admit(&entry) {
        Ok(Admitted::Already) => Outcome::Already,
        Ok(Admitted::New) => match keep(&entry) {
            Ok(()) => match log.admit(entry) {
                Ok(_) => Outcome::Kept,
                Err(error) => refused(error.to_string()),
            },
            Err(error) => refused(error.to_string()),
        },
        Err(error) => refused(error.to_string()),
    };
    Receipt { entry: hash, outcome }
}
