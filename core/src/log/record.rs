//! The record of a job: JSON Lines that anyone can check with nothing else at hand.
//!
//! The first line is the [`Header`], then one entry a line in fold order, then a signed
//! [`Manifest`]. Every line is canonical JSON and ends in one line feed. The manifest's hash covers
//! every byte before it, and its signature every byte of its own.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};
use serde_json::Value;

use super::{
    admit::Admitted,
    canonical::{canonical, sha256},
    chain::Log,
    entry::Entry,
    error::{LogError, RecordError, RecordFault},
    key::{DeviceKey, PublicKey, Signature},
};
use crate::{
    event::{Body, Sha256Hex, strict_value},
    quantity::{DeviceId, JobId},
};

/// Largest record, bytes.
const MOST_BYTES: usize = 128 << 20;
/// Version of the form of a record.
const RECORD_FORM: u32 = 1;

/// The first line of a record.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Header {
    /// Version of the form of a record.
    pub record: u32,
    /// The job.
    pub job: JobId,
    /// The devices that may write, and their public keys.
    pub devices: BTreeMap<DeviceId, PublicKey>,
    /// Hash of the map sheet the job is pinned to; none while no event opened the job.
    pub map_sheet_sha256: Option<Sha256Hex>,
    /// Hash of the rule sheet the job is pinned to.
    pub rule_sheet_sha256: Option<Sha256Hex>,
    /// Edition of the rules the job is pinned to.
    pub rules_edition: Option<String>,
}

/// The last line of a record, without its signature.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Manifest {
    /// Version of the form of a record.
    pub manifest: u32,
    /// The job.
    pub job: JobId,
    /// How many entries each chain has.
    pub counts: BTreeMap<DeviceId, u64>,
    /// The last entry's hash of each chain.
    pub heads: BTreeMap<DeviceId, Sha256Hex>,
    /// Hash of every byte before this line.
    pub lines_sha256: Sha256Hex,
    /// The device that signed.
    pub signer: DeviceId,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct SignedManifest {
    manifest: u32,
    job: JobId,
    counts: BTreeMap<DeviceId, u64>,
    heads: BTreeMap<DeviceId, Sha256Hex>,
    lines_sha256: Sha256Hex,
    signer: DeviceId,
    signature: Signature,
}

/// A record that holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Verified {
    /// Its header. Whether the keys in it are the right devices' is for the reader to compare.
    pub header: Header,
    /// Its manifest.
    pub manifest: Manifest,
    /// Its entries, chain by chain.
    pub log: Log,
}

/// The JSON value of canonical bytes: one line of a record without its end.
pub(crate) fn value_of(bytes: &[u8]) -> Result<Value, LogError> {
    let text = str::from_utf8(bytes)
        .map_err(|_| LogError::NotAnEntry { reason: "not UTF-8 text".into() })?;
    let value =
        strict_value(text).map_err(|error| LogError::NotAnEntry { reason: error.to_string() })?;
    if canonical(&value)? == bytes { Ok(value) } else { Err(LogError::NotCanonical) }
}

fn header_of(log: &Log) -> Header {
    let opened = log.in_order().into_iter().find_map(|entry| match &entry.event().body {
        Body::JobOpened(opened) => Some(opened.clone()),
        _ => None,
    });
    Header {
        record: RECORD_FORM,
        job: log.job().clone(),
        devices: log.keys().clone(),
        map_sheet_sha256: opened.as_ref().map(|job| job.map_sheet_sha256),
        rule_sheet_sha256: opened.as_ref().map(|job| job.rule_sheet_sha256),
        rules_edition: opened.map(|job| job.rules_edition),
    }
}

fn manifest_of(log: &Log, lines: &[u8], signer: DeviceId) -> Manifest {
    let count = |chain: &Vec<Entry>| chain.last().map_or(0, Entry::seq);
    Manifest {
        manifest: RECORD_FORM,
        job: log.job().clone(),
        counts: log.chains.iter().map(|(d, chain)| (d.clone(), count(chain))).collect(),
        heads: log.heads(),
        lines_sha256: sha256(lines),
        signer,
    }
}

/// The record of a log, its manifest signed by an enrolled device. The same entries, keys and
/// signer give the same bytes.
pub fn write_record(log: &Log, signer: &DeviceId, key: &DeviceKey) -> Result<Vec<u8>, LogError> {
    if log.keys().get(signer) != Some(&key.public()) {
        return Err(LogError::NotEnrolled { device: signer.clone() });
    }
    let mut bytes = canonical(&header_of(log))?;
    bytes.push(b'\n');
    for entry in log.in_order() {
        bytes.extend(entry.to_bytes()?);
        bytes.push(b'\n');
    }
    let manifest = manifest_of(log, &bytes, signer.clone());
    let signature = key.sign(&canonical(&manifest)?);
    let Manifest { manifest, job, counts, heads, lines_sha256, signer } = manifest;
    let whole = SignedManifest { manifest, job, counts, heads, lines_sha256, signer, signature };
    bytes.extend(canonical(&whole)?);
    bytes.push(b'\n');
    Ok(bytes)
}

/// Checks a record whole: every line canonical, every entry signed and chained, all in fold order,
/// and the signed manifest at the end. Any flipped, cut, doubled or moved byte fails.
pub fn verify(bytes: &[u8]) -> Result<Verified, RecordError> {
    let at = |line| move |reason| RecordError { line, reason };
    if bytes.len() > MOST_BYTES {
        return Err(at(1)(RecordFault::TooLarge { bytes: bytes.len(), most: MOST_BYTES }));
    }
    let whole = bytes.strip_suffix(b"\n");
    let lines: Vec<&[u8]> = whole.unwrap_or(bytes).split(|&b| b == b'\n').collect();
    let Some((last, rest)) = lines.split_last() else { return Err(at(1)(RecordFault::NoManifest)) };
    let Some((first, entries)) = rest.split_first() else {
        header(last).map_err(at(1))?;
        return Err(at(1)(RecordFault::NoManifest));
    };
    let header = header(first).map_err(at(1))?;
    let mut log = Log::new(header.job.clone());
    for (device, key) in &header.devices {
        log.enrol(device.clone(), *key).map_err(|error| at(1)(error.into()))?;
    }
    let mut order = Vec::new();
    for (index, line) in entries.iter().enumerate() {
        let at = at(index + 2);
        let entry = Entry::from_bytes(line).map_err(|error| at(not_manifest(line, error)))?;
        order.push(entry.hash());
        match log.admit(entry).map_err(|error| at(error.into()))? {
            Admitted::New => {}
            Admitted::Already => return Err(at(RecordFault::Order)),
        }
    }
    let misplaced =
        log.in_order().iter().zip(&order).position(|(entry, hash)| entry.hash() != *hash);
    if let Some(index) = misplaced {
        return Err(at(index + 2)(RecordFault::Order));
    }
    let end = lines.len();
    if whole.is_none() {
        return Err(at(end)(RecordFault::NoManifest));
    }
    if header != header_of(&log) {
        let reason = "it does not say what the entries say".into();
        return Err(at(1)(RecordFault::Header { reason }));
    }
    let before = bytes.get(..bytes.len() - last.len() - 1).unwrap_or_default();
    let manifest = manifest(last, &log, before).map_err(at(end))?;
    Ok(Verified { header, manifest, log })
}

/// A manifest in the middle says that something was put after it.
fn not_manifest(line: &[u8], error: LogError) -> RecordFault {
    let is_manifest = value_of(line).is_ok_and(|value| value.get("manifest").is_some());
    if is_manifest { RecordFault::AfterManifest } else { RecordFault::Entry(error) }
}

fn header(line: &[u8]) -> Result<Header, RecordFault> {
    let refused = |reason: String| RecordFault::Header { reason };
    let value = value_of(line).map_err(|error| refused(error.to_string()))?;
    let header: Header =
        serde_json::from_value(value).map_err(|error| refused(error.to_string()))?;
    if header.record != RECORD_FORM {
        return Err(refused(format!("form {} is not known", header.record)));
    }
    if canonical(&header)? != line {
        return Err(LogError::NotCanonical.into());
    }
    Ok(header)
}

fn manifest(line: &[u8], log: &Log, before: &[u8]) -> Result<Manifest, RecordFault> {
    let refused = |reason: &str| RecordFault::Manifest { reason: reason.into() };
    let value = value_of(line).map_err(|error| refused(&error.to_string()))?;
    if value.get("manifest").is_none() {
        return Err(RecordFault::NoManifest);
    }
    let signed: SignedManifest =
        serde_json::from_value(value).map_err(|error| refused(&error.to_string()))?;
    if canonical(&signed)? != line {
        return Err(LogError::NotCanonical.into());
    }
    let SignedManifest { manifest, job, counts, heads, lines_sha256, signer, signature } = signed;
    let said = Manifest { manifest, job, counts, heads, lines_sha256, signer };
    let wanted = manifest_of(log, before, said.signer.clone());
    if said.lines_sha256 != wanted.lines_sha256 {
        return Err(refused("the bytes before it are not the ones it was signed over"));
    }
    if said != wanted {
        return Err(refused("counts or heads are not those of the entries"));
    }
    let key = log.keys().get(&said.signer).ok_or_else(|| refused("its signer is not enrolled"))?;
    if !key.signed(&canonical(&said)?, &signature) {
        return Err(refused("its signature does not hold"));
    }
    Ok(said)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::log::sample::{job_of_two, key};
    use proptest::prelude::*;

    fn record_of(turns: &[usize]) -> Vec<u8> {
        let signer = DeviceId::new("phone-a").unwrap();
        write_record(&job_of_two(turns), &signer, &key("phone-a")).unwrap()
    }

    fn record() -> Vec<u8> {
        record_of(&[0, 1, 0, 0, 1, 1, 0])
    }

    #[test]
    fn a_record_holds_and_says_what_it_is_of() {
        let verified = verify(&record()).unwrap();
        assert_eq!(verified.log.len(), 7);
        assert_eq!(verified.manifest.counts.values().sum::<u64>(), 7);
        assert!(verified.header.map_sheet_sha256.is_some());
        let signer = DeviceId::new("phone-a").unwrap();
        let again = write_record(&verified.log, &signer, &key("phone-a")).unwrap();
        assert_eq!(again, record());
    }

    #[test]
    fn every_flipped_byte_fails() {
        let good = record_of(&[0, 1]);
        for place in 0..good.len() {
            let mut bad = good.clone();
            bad[place] ^= 1 << (place % 8);
            assert!(verify(&bad).is_err(), "byte {place}");
        }
    }

    #[test]
    fn every_cut_fails() {
        let good = record_of(&[0, 1]);
        for end in 0..good.len() {
            assert!(verify(&good[..end]).is_err(), "cut at {end}");
        }
        for start in 1..good.len() {
            assert!(verify(&good[start..]).is_err(), "cut before {start}");
        }
    }

    #[test]
    fn every_doubled_byte_and_line_fails() {
        let good = record_of(&[0, 1]);
        for place in 0..good.len() {
            let mut bad = good.clone();
            bad.insert(place, good[place]);
            assert!(verify(&bad).is_err(), "byte {place}");
        }
        let lines: Vec<&[u8]> = good.split_inclusive(|&b| b == b'\n').collect();
        for line in 0..lines.len() {
            let mut bad = lines.clone();
            bad.insert(line, lines[line]);
            assert!(verify(&bad.concat()).is_err(), "line {line} twice");
            let mut bad = lines.clone();
            bad.remove(line);
            assert!(verify(&bad.concat()).is_err(), "line {line} gone");
            for other in 0..line {
                let mut bad = lines.clone();
                bad.swap(line, other);
                assert!(verify(&bad.concat()).is_err(), "lines {other} and {line} swapped");
            }
        }
    }

    #[test]
    fn a_record_without_its_manifest_says_so() {
        let good = record();
        let end = good[..good.len() - 1].iter().rposition(|&b| b == b'\n').unwrap() + 1;
        // The last entry now stands where the manifest should.
        let error = verify(&good[..end]).unwrap_err();
        assert_eq!(error, RecordError { line: 8, reason: RecordFault::NoManifest });
        let header = good.iter().position(|&b| b == b'\n').unwrap() + 1;
        let error = verify(&good[..header]).unwrap_err();
        assert_eq!(error, RecordError { line: 1, reason: RecordFault::NoManifest });
        let twice = [good.clone(), good].concat();
        assert_eq!(verify(&twice).unwrap_err().reason, RecordFault::AfterManifest);
    }

    #[test]
    fn space_order_and_case_are_part_of_the_bytes() {
        let good = String::from_utf8(record()).unwrap();
        let body = good.find("\"body\":").unwrap();
        let mut spaced = good.clone();
        spaced.insert(body, ' ');
        let error = verify(spaced.as_bytes()).unwrap_err();
        assert_eq!(error.reason, RecordFault::Entry(LogError::NotCanonical));
        let crlf = good.replace('\n', "\r\n");
        assert!(verify(crlf.as_bytes()).is_err());
        let upper = good.replacen("\"prev\":\"", "\"prev\":\"A", 1);
        assert!(verify(upper.as_bytes()).is_err());
    }

    #[test]
    fn a_manifest_signed_by_a_stranger_fails() {
        let log = job_of_two(&[0, 1]);
        let signer = DeviceId::new("phone-a").unwrap();
        assert!(matches!(
            write_record(&log, &signer, &key("stranger")),
            Err(LogError::NotEnrolled { .. })
        ));
        let mut forged = Log::new(log.job().clone());
        for device in log.keys().keys() {
            forged.enrol(device.clone(), key("stranger").public()).unwrap();
        }
        let header = canonical(&header_of(&forged)).unwrap();
        let good = write_record(&log, &signer, &key("phone-a")).unwrap();
        let rest = good.iter().position(|&b| b == b'\n').unwrap();
        let bad = [&header[..], &good[rest..]].concat();
        assert!(matches!(
            verify(&bad).unwrap_err().reason,
            RecordFault::Entry(LogError::Signature { .. })
        ));
    }

    proptest! {
        #[test]
        fn no_bytes_make_it_panic(bytes in proptest::collection::vec(0_u8.., 0..300)) {
            prop_assert!(verify(&bytes).is_err());
        }

        #[test]
        fn any_writing_of_two_phones_holds(turns in proptest::collection::vec(0_usize..2, 1..12)) {
            let signer = DeviceId::new("phone-b").unwrap();
            let log = job_of_two(&turns);
            let bytes = write_record(&log, &signer, &key("phone-b")).unwrap();
            prop_assert_eq!(verify(&bytes).unwrap().log, log);
        }

        #[test]
        fn damage_of_any_size_fails(
            from in 0_usize..4000, gone in 0_usize..200, put in proptest::collection::vec(0_u8.., 0..40)
        ) {
            let good = record();
            let from = from % good.len();
            let to = (from + gone).min(good.len());
            let bad = [&good[..from], &put[..], &good[to..]].concat();
            prop_assume!(bad != good);
            prop_assert!(verify(&bad).is_err());
        }
    }
}
