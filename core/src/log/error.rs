//! Why an entry or a record is not taken.

use crate::{
    event::Sha256Hex,
    quantity::{DeviceId, JobId},
};

/// Why an entry is not taken into a log.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum LogError {
    /// A value could not be written as canonical JSON.
    #[error("it cannot be written as canonical JSON: {reason}")]
    NotWritable {
        /// Why.
        reason: String,
    },
    /// Not an entry.
    #[error("not an entry: {reason}")]
    NotAnEntry {
        /// Why.
        reason: String,
    },
    /// The bytes are not the canonical form of what they say.
    #[error("not in canonical form (RFC 8785)")]
    NotCanonical,
    /// It belongs to another job.
    #[error("it belongs to job {found}, this log to job {job}")]
    OtherJob {
        /// The log's job.
        job: JobId,
        /// The entry's job.
        found: JobId,
    },
    /// Its device has no key here.
    #[error("device {device} is not enrolled on this job: enrol it first")]
    NotEnrolled {
        /// The device.
        device: DeviceId,
    },
    /// A device is enrolled twice with two keys.
    #[error("device {device} is enrolled with another key already")]
    OtherKey {
        /// The device.
        device: DeviceId,
    },
    /// The event inside was written on another device.
    #[error("entry {seq} of {device} holds an event of device {found}")]
    OtherDevice {
        /// The chain's device.
        device: DeviceId,
        /// The place in the chain.
        seq: u64,
        /// The event's device.
        found: DeviceId,
    },
    /// The signature is not its device's.
    #[error("entry {seq} of {device}: the signature does not hold")]
    Signature {
        /// The chain's device.
        device: DeviceId,
        /// The place in the chain.
        seq: u64,
    },
    /// Entries between are missing.
    #[error("entry {seq} of {device} comes after entry {have}: send the ones between first")]
    Gap {
        /// The chain's device.
        device: DeviceId,
        /// The place in the chain.
        seq: u64,
        /// The last place that is here.
        have: u64,
    },
    /// Another entry stands at this place: one device wrote two chains.
    #[error("another entry {seq} of {device} stands here already: its chain is forked")]
    Fork {
        /// The chain's device.
        device: DeviceId,
        /// The place in the chain.
        seq: u64,
    },
    /// It does not name the entry before it.
    #[error("entry {seq} of {device} does not name the one before it: its chain is broken")]
    Chain {
        /// The chain's device.
        device: DeviceId,
        /// The place in the chain.
        seq: u64,
    },
    /// It had seen an entry of another chain that is not here.
    #[error("entry {seq} of {device} had seen entry {head} of {other}: send that first")]
    HeadMissing {
        /// The chain's device.
        device: DeviceId,
        /// The place in the chain.
        seq: u64,
        /// The other chain.
        other: DeviceId,
        /// The hash it names.
        head: Sha256Hex,
    },
    /// It had seen less of another chain than the entry before it.
    #[error("entry {seq} of {device} has seen less of {other} than the one before it")]
    HeadBack {
        /// The chain's device.
        device: DeviceId,
        /// The place in the chain.
        seq: u64,
        /// The other chain.
        other: DeviceId,
    },
    /// It names its own chain among the others.
    #[error("entry {seq} of {device} names its own chain among the others")]
    OwnHead {
        /// The chain's device.
        device: DeviceId,
        /// The place in the chain.
        seq: u64,
    },
}

/// Why a record is refused. Nothing of it is used.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("line {line}: {reason}")]
pub struct RecordError {
    /// Which line, counted from one.
    pub line: usize,
    /// What is wrong with it.
    pub reason: RecordFault,
}

/// What is wrong with a record.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum RecordFault {
    /// Larger than a record may be.
    #[error("the record has {bytes} bytes: at most {most}")]
    TooLarge {
        /// How large it is.
        bytes: usize,
        /// How large it may be.
        most: usize,
    },
    /// The first line is not a header.
    #[error("not the header of a record: {reason}")]
    Header {
        /// Why.
        reason: String,
    },
    /// There is no manifest at the end: the record is cut.
    #[error("the record does not end in its signed manifest: it was cut")]
    NoManifest,
    /// The manifest does not hold.
    #[error("the manifest does not hold: {reason}")]
    Manifest {
        /// Why.
        reason: String,
    },
    /// Something stands after the manifest.
    #[error("something stands after the manifest")]
    AfterManifest,
    /// An entry does not hold.
    #[error(transparent)]
    Entry(#[from] LogError),
    /// The entries are not in fold order.
    #[error("the entries are not in their order: causal, then time, then device")]
    Order,
}
