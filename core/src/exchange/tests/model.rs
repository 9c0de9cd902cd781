//! Three phones and a desk over a network that loses, repeats, delays and reorders.
//!
//! The phones write at random and offer what the desk lacks by its last answer. Every message that
//! was ever sent may come again at any time; an answer may be lost or come late. In the end, with a
//! network that is quiet, all sides hold the same entries and make the same of them, and nothing
//! that the desk acknowledged is missing there.

use std::collections::{BTreeMap, BTreeSet};

use proptest::prelude::*;

use super::super::{
    ExchangeError, Head, JobNews, Message, Offer, OfferAnswer, Outcome, counts, entries_after,
    read_entries, receive, seal, write_entries,
};
use crate::{
    event::{Event, Sha256Hex, parse_events},
    job::Sheets,
    log::{self, DeviceKey, Log, sha256},
    mapsheet::fixture,
    quantity::{DeviceId, EventId, JobId},
    rule_sheet::RuleSheet,
};

const MOST_BYTES: usize = 1024 * 1024;
const MOST_LINES: usize = 2_000;
const PHONES: usize = 3;

fn job() -> JobId {
    JobId::new("J-1").unwrap()
}

fn device(number: usize) -> DeviceId {
    DeviceId::new(["phone-a", "phone-b", "phone-c", "desk"][number]).unwrap()
}

fn key(number: usize) -> DeviceKey {
    DeviceKey::from_seed(&[u8::try_from(number).unwrap() + 1; 32])
}

fn empty() -> Log {
    let mut log = Log::new(job());
    for number in 0..=PHONES {
        log.enrol(device(number), key(number).public()).unwrap();
    }
    log
}

/// A phone: its entries, what it knows of the desk's, its count of messages, what it waits for.
struct Phone {
    number: usize,
    log: Log,
    desk_has: BTreeMap<DeviceId, u64>,
    sent: u64,
    /// Messages whose answer has not come yet.
    waits: Vec<Vec<u8>>,
    /// What the desk has acknowledged to this phone.
    acknowledged: BTreeSet<Sha256Hex>,
}

/// The desk: its entries, and the highest number it took from each phone.
struct Desk {
    log: Log,
    highest: BTreeMap<DeviceId, u64>,
    /// How much of an answer's entries goes in one message.
    most: usize,
}

impl Phone {
    fn new(number: usize) -> Self {
        Self {
            number,
            log: empty(),
            desk_has: BTreeMap::new(),
            sent: 0,
            waits: Vec::new(),
            acknowledged: BTreeSet::new(),
        }
    }

    /// The next offer: what the desk lacks by its last answer, cut to `most` bytes.
    fn offers(&mut self, most: usize) -> Vec<u8> {
        let (entries, _) = entries_after(&self.log, &self.desk_has, most).unwrap();
        let rest = write_entries(entries).unwrap();
        self.sent += 1;
        let have = [(job(), counts(&self.log))].into();
        let head = Head {
            from: device(self.number),
            number: self.sent,
            answers: None,
            body: Offer { have },
        };
        let sealed = seal(&head, &rest, &key(self.number)).unwrap();
        self.waits.push(sealed.clone());
        sealed
    }

    /// Takes an answer, if it is one to something this phone waits for; true: more waits there.
    fn hears(&mut self, answer: &[u8]) -> bool {
        let message = Message::read(answer, MOST_BYTES).unwrap();
        let found = self.waits.iter().position(|sent| {
            message.open_answer::<OfferAnswer>(&key(PHONES).public(), sent).is_ok()
        });
        let Some(place) = found else { return false };
        let sent = self.waits.remove(place);
        let (head, rest) =
            message.open_answer::<OfferAnswer>(&key(PHONES).public(), &sent).unwrap();
        for receipt in &head.body.receipts {
            if matches!(receipt.outcome, Outcome::Kept | Outcome::Already) {
                self.acknowledged.insert(receipt.entry);
            }
        }
        // The desk only grows: a late answer takes nothing back.
        let news = head.body.jobs.get(&job()).unwrap();
        for (device, have) in &news.have {
            let known = self.desk_has.entry(device.clone()).or_default();
            *known = (*known).max(*have);
        }
        for entry in read_entries(rest, MOST_LINES).unwrap() {
            receive(&mut self.log, entry.unwrap(), |_| Ok::<(), String>(()));
        }
        head.body.more
    }
}

impl Desk {
    /// What the desk answers; a refused message changes nothing.
    fn answers(&mut self, sent: &[u8]) -> Result<Vec<u8>, ExchangeError> {
        let message = Message::read(sent, MOST_BYTES)?;
        let phone = (0..PHONES).find(|&number| device(number) == *message.from());
        let phone = phone.ok_or(ExchangeError::UnknownDevice)?;
        let (head, rest) = message.open::<Offer>(&key(phone).public())?;
        if self.highest.get(&head.from).is_some_and(|highest| head.number <= *highest) {
            return Err(ExchangeError::Replayed);
        }
        let entries = read_entries(rest, MOST_LINES)?;
        self.highest.insert(head.from.clone(), head.number);
        let receipts = entries
            .into_iter()
            .map(|entry| receive(&mut self.log, entry.unwrap(), |_| Ok::<(), String>(())))
            .collect();
        let mut phone_has = head.body.have.get(&job()).cloned().unwrap_or_default();
        // What it just sent, it has.
        for (device, have) in counts(&self.log) {
            if device == head.from {
                phone_has.insert(device, have);
            }
        }
        let (back, more) = entries_after(&self.log, &phone_has, self.most).unwrap();
        let rest = write_entries(back).unwrap();
        let zero = Sha256Hex([0; 32]);
        let news = JobNews {
            devices: self.log.keys().clone(),
            have: counts(&self.log),
            map_sheet: zero,
            rule_sheet: zero,
            photos_wanted: Vec::new(),
        };
        let body = OfferAnswer { receipts, jobs: [(job(), news)].into(), more };
        let answers = Some(sha256(sent));
        let answer = Head { from: device(PHONES), number: head.number, answers, body };
        seal(&answer, &rest, &key(PHONES))
    }
}

/// What happens next.
#[derive(Debug, Clone)]
enum Happens {
    /// Somebody writes; the desk is the last.
    Writes(usize, i64),
    /// A phone sends an offer of at most so many bytes; it does not arrive by itself.
    Sends(usize, usize),
    /// A message that was ever sent arrives, again perhaps, and its answer is on its way.
    Arrives(usize),
    /// An answer that was ever given arrives, again perhaps.
    Answered(usize),
}

fn any_happening() -> impl Strategy<Value = Happens> {
    prop_oneof![
        4 => (0..=PHONES, 0_i64..9).prop_map(|(who, wall)| Happens::Writes(who, wall)),
        3 => (0..PHONES, 1_usize..4000).prop_map(|(who, most)| Happens::Sends(who, most)),
        4 => (0_usize..64).prop_map(Happens::Arrives),
        3 => (0_usize..64).prop_map(Happens::Answered),
    ]
}

/// All sides, and everything that was ever on the network.
struct World {
    phones: Vec<Phone>,
    desk: Desk,
    messages: Vec<Vec<u8>>,
    answers: Vec<(usize, Vec<u8>)>,
    taken: BTreeSet<Sha256Hex>,
    examples: Vec<Event>,
    written: usize,
}

impl World {
    fn new(most: usize) -> Self {
        Self {
            phones: (0..PHONES).map(Phone::new).collect(),
            desk: Desk { log: empty(), highest: BTreeMap::new(), most },
            messages: Vec::new(),
            answers: Vec::new(),
            taken: BTreeSet::new(),
            examples: parse_events(crate::event::examples().as_bytes()).unwrap(),
            written: 0,
        }
    }

    fn happens(&mut self, next: &Happens) {
        match *next {
            Happens::Writes(who, wall) => self.writes(who, wall),
            Happens::Sends(who, most) => {
                let sent = self.phones[who].offers(most);
                self.messages.push(sent);
            }
            Happens::Arrives(pick) => {
                if let Some(place) = pick.checked_rem(self.messages.len()) {
                    self.arrives(place);
                }
            }
            Happens::Answered(pick) => {
                if let Some(place) = pick.checked_rem(self.answers.len()) {
                    let (who, answer) = self.answers[place].clone();
                    self.phones[who].hears(&answer);
                }
            }
        }
    }

    fn writes(&mut self, who: usize, wall: i64) {
        let n = self.written;
        self.written += 1;
        let mut event = self.examples[n % self.examples.len()].clone();
        event.id = EventId::new(format!("x-{n}")).unwrap();
        event.device = device(who);
        event.at.wall_ms = 1_790_000_000_000 + wall * 1000;
        let log = self.phones.get_mut(who).map_or(&mut self.desk.log, |phone| &mut phone.log);
        log.append(event, &key(who)).unwrap();
    }

    fn arrives(&mut self, place: usize) {
        let sent = self.messages[place].clone();
        let before = self.desk.log.clone();
        match self.desk.answers(&sent) {
            Ok(answer) => {
                assert!(self.taken.insert(sha256(&sent)), "a message was taken twice");
                let message = Message::read(&sent, MOST_BYTES).unwrap();
                let who = (0..PHONES).find(|&n| device(n) == *message.from()).unwrap();
                self.answers.push((who, answer));
            }
            Err(refused) => {
                assert_eq!(refused, ExchangeError::Replayed);
                assert_eq!(self.desk.log, before, "a refused message changed something");
            }
        }
    }

    /// What the desk has acknowledged is there.
    fn nothing_acknowledged_is_missing(&self) {
        let here: BTreeSet<Sha256Hex> =
            self.desk.log.in_order().iter().map(|entry| entry.hash()).collect();
        for phone in &self.phones {
            assert!(phone.acknowledged.is_subset(&here), "an acknowledged entry is gone");
        }
    }

    /// A quiet network: everything arrives, once and in order, until nothing is left to say. How
    /// many rounds that took is bounded by what there was to bring across.
    fn becomes_quiet(&mut self, most: usize) {
        let rounds = 4 * (self.written + 2);
        for _ in 0..rounds {
            let mut more = false;
            for who in 0..PHONES {
                let sent = self.phones[who].offers(most);
                let answer = self.desk.answers(&sent).unwrap();
                more |= self.phones[who].hears(&answer);
            }
            let whole = self.desk.log.in_order();
            if !more && self.phones.iter().all(|phone| phone.log.in_order() == whole) {
                return;
            }
        }
        panic!("still something to say after {rounds} rounds");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 32, ..ProptestConfig::default() })]

    #[test]
    fn all_sides_come_to_the_same(
        course in proptest::collection::vec(any_happening(), 1..50),
        most in 1_usize..6000, answers_most in 1_usize..6000,
    ) {
        let mut world = World::new(answers_most);
        for next in &course {
            world.happens(next);
            world.nothing_acknowledged_is_missing();
        }
        world.becomes_quiet(most);
        world.nothing_acknowledged_is_missing();
        prop_assert_eq!(world.desk.log.len(), world.written);
        let plant = fixture::plant_of(&fixture::features());
        let rules = RuleSheet::default();
        let sheets = Sheets::new(&plant, &rules);
        let state = format!("{:?}", log::fold(&world.desk.log, &sheets));
        for phone in &world.phones {
            prop_assert_eq!(phone.log.in_order(), world.desk.log.in_order());
            prop_assert_eq!(&format!("{:?}", log::fold(&phone.log, &sheets)), &state);
            // Every entry of its own was acknowledged or has come back by the desk's own count.
            let own = world.desk.log.chain(&device(phone.number)).len();
            prop_assert_eq!(own, phone.log.chain(&device(phone.number)).len());
        }
    }
}

#[test]
fn a_number_is_taken_once_and_none_below_it() {
    let mut world = World::new(MOST_BYTES);
    for _ in 0..3 {
        world.writes(0, 0);
        let sent = world.phones[0].offers(MOST_BYTES);
        world.messages.push(sent);
    }
    let say = |world: &mut World, place: usize| {
        let sent = world.messages[place].clone();
        world.desk.answers(&sent).map(|_| world.desk.log.len())
    };
    assert_eq!(say(&mut world, 1), Ok(2));
    assert_eq!(say(&mut world, 1), Err(ExchangeError::Replayed));
    assert_eq!(say(&mut world, 0), Err(ExchangeError::Replayed));
    assert_eq!(say(&mut world, 2), Ok(3));
}

/// Entries whose forerunners are missing get a receipt that says so, and come again.
#[test]
fn an_entry_before_its_turn_is_told_so() {
    let mut world = World::new(MOST_BYTES);
    world.writes(0, 0);
    world.writes(0, 0);
    let phone = &mut world.phones[0];
    phone.desk_has = [(device(0), 1)].into();
    let sent = phone.offers(MOST_BYTES);
    let answer = world.desk.answers(&sent).unwrap();
    let message = Message::read(&answer, MOST_BYTES).unwrap();
    let (head, _) = message.open_answer::<OfferAnswer>(&key(PHONES).public(), &sent).unwrap();
    assert!(matches!(&head.body.receipts[0].outcome, Outcome::Refused { .. }));
    assert!(world.desk.log.is_empty());
    // The phone takes the desk's count over what it believed, and all is well again.
    let phone = &mut world.phones[0];
    phone.desk_has = head.body.jobs[&job()].have.clone();
    world.becomes_quiet(MOST_BYTES);
    assert_eq!(world.desk.log.len(), 2);
}
