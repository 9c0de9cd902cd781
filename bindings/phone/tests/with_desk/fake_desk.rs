//! A desk in memory: it answers messages as the real one does, and can be told to misbehave.

use std::{
    collections::{BTreeMap, BTreeSet},
    convert::Infallible,
    sync::{Mutex, MutexGuard},
};

use coldlug_core::{
    event::{Event, Sha256Hex},
    exchange::{
        self, Body, Enrol, Enrolled, ExchangeError, Head, JobNews, LinkAsked, LinkMade,
        MOST_GIVEN_BYTES, MOST_OFFER_BYTES, MOST_OFFER_LINES, MOST_PHOTO_BYTES, Message, Offer,
        OfferAnswer, Outcome, PhotoAsked, PhotoGiven, PhotoHere, PhotoKept, Receipt, SheetAsked,
        SheetHere, SheetKind, counts, entries_after, photos_named, read_entries, receive, seal,
        write_entries,
    },
    job::CarriedSheets,
    log::{DeviceKey, Log, PublicKey, sha256},
    quantity::{DeviceId, JobId, PersonId},
    rule_sheet::RuleSheet,
};
use coldlug_phone::Invitation;
use serde_json::{Value, json};

use super::sheet::map_sheet;

/// The code that enrols.
pub(crate) const CODE: &str = "K7WMHT3RXP";
/// Its address.
pub(crate) const URL: &str = "http://desk.invalid";

/// A job at the desk.
pub(crate) struct DeskJob {
    pub(crate) log: Log,
    pub(crate) map: Vec<u8>,
    pub(crate) rules: Vec<u8>,
}

/// Everything the desk has.
pub(crate) struct Inside {
    pub(crate) key: DeviceKey,
    pub(crate) devices: BTreeMap<DeviceId, (PublicKey, u64)>,
    pub(crate) jobs: BTreeMap<JobId, DeskJob>,
    pub(crate) photos: BTreeMap<Sha256Hex, Vec<u8>>,
    /// Most bytes of entries in one answer.
    pub(crate) most: usize,
    written: i64,
}

/// The desk.
pub(crate) struct FakeDesk(Mutex<Inside>);

/// The desk's name.
pub(crate) fn desk() -> DeviceId {
    DeviceId::new("desk").unwrap()
}

/// The job.
pub(crate) fn job() -> JobId {
    JobId::new("J-1").unwrap()
}

impl FakeDesk {
    pub(crate) fn new() -> Self {
        Self(Mutex::new(Inside {
            key: DeviceKey::from_seed(&[9; 32]),
            devices: BTreeMap::new(),
            jobs: BTreeMap::new(),
            photos: BTreeMap::new(),
            most: MOST_GIVEN_BYTES,
            written: 0,
        }))
    }

    pub(crate) fn inside(&self) -> MutexGuard<'_, Inside> {
        self.0.lock().unwrap()
    }

    /// What the dispatcher shows to a phone.
    pub(crate) fn invites(&self, device: &str) -> Invitation {
        Invitation {
            desk_url: URL.into(),
            code: CODE.into(),
            device: device.into(),
            key_digits: exchange::Invitation::digits_of(&self.inside().key.public()),
        }
    }

    /// Opens the job for the phones that are enrolled.
    pub(crate) fn opens_job(&self) {
        self.opens(&job());
    }

    /// Opens a job of this name for them.
    pub(crate) fn opens(&self, job: &JobId) {
        let mut inside = self.inside();
        let (map, rules) = (map_sheet("Made-up"), RuleSheet::default_text().as_bytes().to_vec());
        let carried = CarriedSheets::read(&map, &rules).unwrap();
        let (map_hash, rules_hash) =
            (carried.lend().map_hash().to_owned(), carried.lend().rules_hash().to_owned());
        let mut log = Log::new(job.clone());
        log.enrol(desk(), inside.key.public()).unwrap();
        for (device, (key, _)) in &inside.devices {
            log.enrol(device.clone(), *key).unwrap();
        }
        inside.jobs.insert(job.clone(), DeskJob { log, map, rules });
        drop(inside);
        self.writes_on(
            job,
            "job-opened",
            &json!({ "job": job.as_str(), "service": "P1V2", "scope": "base-line-side",
            "work": "replace the meter base", "map_sheet_sha256": map_hash,
            "rule_sheet_sha256": rules_hash, "rules_edition": coldlug_core::gate::EDITION,
            "crew": [
                { "person": "lw-a", "role": "lineworker", "device": "phone-a" },
                { "person": "lw-b", "role": "lineworker", "device": "phone-b" },
                { "person": "el-c", "role": "electrician" },
                { "person": "di-d", "role": "dispatcher", "device": "desk" }] }),
        );
    }

    /// The dispatcher writes something at the desk.
    pub(crate) fn writes(&self, kind: &str, body: &Value) {
        self.writes_on(&job(), kind, body);
    }

    fn writes_on(&self, job: &JobId, kind: &str, body: &Value) {
        let mut inside = self.inside();
        inside.written += 1;
        let written = inside.written;
        let event = Event::from_value(json!({
            "id": format!("desk-{written}"), "kind": kind, "version": 1, "device": "desk",
            "person": "di-d", "body": body,
            "at": { "wall_ms": 1_790_000_000_000_i64 + written, "boot": "desk/1",
                "mono_ms": written } }))
        .unwrap();
        let key = DeviceKey::from_seed(&[9; 32]);
        inside.jobs.get_mut(job).unwrap().log.append(event, &key).unwrap();
    }

    /// The answer to one message.
    pub(crate) fn answers(&self, url: &str, body: &[u8]) -> Result<Vec<u8>, ExchangeError> {
        let mut inside = self.inside();
        match url.strip_prefix(&format!("{URL}/exchange/")).unwrap() {
            "enrol" => inside.enrol(body),
            "offer" => inside.offer(body),
            "sheet" => inside.sheet(body),
            "photo" => inside.photo(body),
            "photo-of" => inside.photo_of(body),
            "link" => inside.link(body),
            other => panic!("no such place: {other}"),
        }
    }
}

impl Inside {
    fn enrol(&mut self, bytes: &[u8]) -> Result<Vec<u8>, ExchangeError> {
        let message = Message::read(bytes, 64 * 1024)?;
        let claimed: Enrol = message.unchecked()?;
        let (head, _) = message.open::<Enrol>(&claimed.public_key)?;
        if head.body.code != CODE || head.number != 1 {
            return Err(ExchangeError::Code);
        }
        let device = head.from.clone();
        match self.devices.get(&device) {
            Some((key, _)) if *key != claimed.public_key => return Err(ExchangeError::DeviceName),
            Some(_) => {}
            None => {
                self.devices.insert(device.clone(), (claimed.public_key, 1));
            }
        }
        let person = PersonId::new(device.as_str().replace("phone-", "lw-")).unwrap();
        let desk_key = self.key.public();
        self.seal(bytes, head.number, Enrolled { desk_key, person }, &[])
    }

    fn seal<B: Body>(
        &self,
        asked: &[u8],
        number: u64,
        body: B,
        rest: &[u8],
    ) -> Result<Vec<u8>, ExchangeError> {
        let head = Head { from: desk(), number, answers: Some(sha256(asked)), body };
        seal(&head, rest, &self.key)
    }

    fn open<B: Body + serde::de::DeserializeOwned>(
        &mut self,
        bytes: &[u8],
        most: usize,
    ) -> Result<(Head<B>, Vec<u8>), ExchangeError> {
        let message = Message::read(bytes, most)?;
        let Some((key, last)) = self.devices.get_mut(message.from()) else {
            return Err(ExchangeError::UnknownDevice);
        };
        let (head, rest) = message.open::<B>(key)?;
        if head.number <= *last {
            return Err(ExchangeError::Replayed);
        }
        *last = head.number;
        Ok((head, rest.to_vec()))
    }

    fn offer(&mut self, bytes: &[u8]) -> Result<Vec<u8>, ExchangeError> {
        let (head, rest) = self.open::<Offer>(bytes, MOST_OFFER_BYTES)?;
        let mut receipts = Vec::new();
        for entry in read_entries(&rest, MOST_OFFER_LINES)? {
            receipts.push(match entry {
                Ok(entry) => match self.jobs.get_mut(&entry.unsigned().job) {
                    Some(job) => receive(&mut job.log, entry, |_| Ok::<(), Infallible>(())),
                    None => Receipt {
                        entry: entry.hash(),
                        outcome: Outcome::Refused { reason: "no such job".into() },
                    },
                },
                Err((entry, error)) => {
                    Receipt { entry, outcome: Outcome::Refused { reason: error.to_string() } }
                }
            });
        }
        let none = BTreeMap::new();
        let (mut given, mut more, mut jobs) = (Vec::new(), false, BTreeMap::new());
        for (name, job) in &self.jobs {
            let have = head.body.have.get(name).unwrap_or(&none);
            let (entries, left) = entries_after(&job.log, have, self.most).unwrap();
            given.extend(write_entries(entries).unwrap());
            more |= left;
            let named: BTreeSet<Sha256Hex> = photos_named(&job.log);
            let wanted = named.into_iter().filter(|photo| !self.photos.contains_key(photo));
            jobs.insert(
                name.clone(),
                JobNews {
                    devices: job.log.keys().clone(),
                    have: counts(&job.log),
                    map_sheet: sha256(&job.map),
                    rule_sheet: sha256(&job.rules),
                    photos_wanted: wanted.collect(),
                },
            );
        }
        self.seal(bytes, head.number, OfferAnswer { receipts, jobs, more }, &given)
    }

    fn sheet(&mut self, bytes: &[u8]) -> Result<Vec<u8>, ExchangeError> {
        let (head, _) = self.open::<SheetAsked>(bytes, 64 * 1024)?;
        let SheetAsked { job, sheet } = head.body;
        let there = self.jobs.get(&job).ok_or(ExchangeError::NoSuchJob)?;
        let rest = match sheet {
            SheetKind::MapSheet => &there.map,
            SheetKind::RuleSheet => &there.rules,
        };
        self.seal(bytes, head.number, SheetHere { job, sheet }, rest)
    }

    fn photo(&mut self, bytes: &[u8]) -> Result<Vec<u8>, ExchangeError> {
        let (head, rest) = self.open::<PhotoGiven>(bytes, MOST_PHOTO_BYTES)?;
        let photo = head.body.photo;
        if sha256(&rest) != photo {
            return Err(ExchangeError::OtherBytes);
        }
        self.photos.insert(photo, rest);
        self.seal(bytes, head.number, PhotoKept { photo }, &[])
    }

    fn photo_of(&mut self, bytes: &[u8]) -> Result<Vec<u8>, ExchangeError> {
        let (head, _) = self.open::<PhotoAsked>(bytes, 64 * 1024)?;
        let photo = head.body.photo;
        let rest = self.photos.get(&photo).ok_or(ExchangeError::NotHere)?;
        self.seal(bytes, head.number, PhotoHere { photo }, rest)
    }

    fn link(&mut self, bytes: &[u8]) -> Result<Vec<u8>, ExchangeError> {
        let (head, _) = self.open::<LinkAsked>(bytes, 64 * 1024)?;
        if head.body.person.as_str() != "el-c" {
            return Err(ExchangeError::Link);
        }
        let made = LinkMade { url: format!("{URL}/at/token"), until_ms: 1_790_000_000_000 };
        self.seal(bytes, head.number, made, b"<svg/>")
    }
}
