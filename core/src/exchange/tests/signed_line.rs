//! A message stands as it was signed, or not at all.

use super::super::{ExchangeError, Head, Message, Offer, OfferAnswer, SheetAsked, SheetKind, seal};
use crate::{
    log::{DeviceKey, sha256},
    quantity::{DeviceId, JobId},
};

const MOST: usize = 64 * 1024;

fn key(of: u8) -> DeviceKey {
    DeviceKey::from_seed(&[of; 32])
}

fn asked(number: u64) -> Head<SheetAsked> {
    let body = SheetAsked { job: JobId::new("J-1").unwrap(), sheet: SheetKind::MapSheet };
    Head { from: DeviceId::new("phone-a").unwrap(), number, answers: None, body }
}

fn sealed() -> Vec<u8> {
    seal(&asked(7), b"entries\n", &key(1)).unwrap()
}

/// What a receiver makes of bytes.
fn opened(bytes: &[u8]) -> Result<Head<SheetAsked>, ExchangeError> {
    let (head, rest) = Message::read(bytes, MOST)?.open::<SheetAsked>(&key(1).public())?;
    assert_eq!(rest, b"entries\n");
    Ok(head)
}

#[test]
fn opens_as_it_was_sealed() {
    assert_eq!(opened(&sealed()), Ok(asked(7)));
}

#[test]
fn every_flipped_bit_is_seen() {
    let sealed = sealed();
    for place in 0..sealed.len() {
        for bit in 0..8 {
            let mut damaged = sealed.clone();
            damaged[place] ^= 1 << bit;
            let found = opened(&damaged);
            assert!(found.is_err(), "bit {bit} of byte {place}: {found:?}");
        }
    }
}

#[test]
fn whatever_is_cut_doubled_or_added_is_seen() {
    let sealed = sealed();
    for end in 0..sealed.len() {
        assert!(opened(&sealed[..end]).is_err(), "cut at {end}");
        assert!(opened(&sealed[end + 1..]).is_err(), "begun at {}", end + 1);
    }
    let twice = [sealed.clone(), sealed.clone()].concat();
    assert_eq!(opened(&twice), Err(ExchangeError::Signature));
    let more = [sealed.clone(), b"entries\n".to_vec()].concat();
    assert_eq!(opened(&more), Err(ExchangeError::Signature));
    let line_twice = [sealed.split_inclusive(|&b| b == b'\n').next().unwrap(), &sealed].concat();
    assert_eq!(opened(&line_twice), Err(ExchangeError::Signature));
}

#[test]
fn another_key_another_kind_and_too_much_are_refused() {
    let sealed = sealed();
    let message = Message::read(&sealed, MOST).unwrap();
    assert_eq!(message.open::<SheetAsked>(&key(2).public()).unwrap_err(), ExchangeError::Signature);
    assert_eq!(message.open::<Offer>(&key(1).public()).unwrap_err(), ExchangeError::OtherKind);
    assert_eq!(Message::read(&sealed, sealed.len() - 1).unwrap_err(), ExchangeError::TooLarge);
    assert!(Message::read(&sealed, sealed.len()).is_ok());
    let endless = vec![b'a'; 300 * 1024];
    assert_eq!(Message::read(&endless, usize::MAX).unwrap_err(), ExchangeError::Unreadable);
    let long_line = [endless, b"\n".to_vec()].concat();
    assert_eq!(Message::read(&long_line, usize::MAX).unwrap_err(), ExchangeError::TooLarge);
}

/// A line that says the same in other bytes is not the line that was signed.
#[test]
fn only_the_canonical_line_is_a_message() {
    let sealed = String::from_utf8(sealed()).unwrap();
    for (was, now) in [
        ("{\"answers\"", "{ \"answers\""),
        ("\"number\":7", "\"number\":7.0"),
        ("\"number\":7", "\"number\":07"),
        ("\"number\":7", "\"number\":8"),
        ("\"answers\":null,", ""),
        ("\"answers\":null", "\"answers\":null,\"also\":1"),
        ("\"message\":1", "\"message\":2"),
        ("\"message\":1", "\"message\":1,\"message\":1"),
        ("phone-a", "phone-b"),
        ("map-sheet", "rule-sheet"),
    ] {
        assert!(sealed.contains(was), "{was} is not in {sealed}");
        assert!(opened(sealed.replacen(was, now, 1).as_bytes()).is_err(), "{was} as {now}");
    }
}

#[test]
fn an_answer_belongs_to_one_message() {
    let sent = sealed();
    let body = OfferAnswer { receipts: Vec::new(), jobs: [].into(), more: false };
    let answer = |answers| {
        let from = DeviceId::new("desk").unwrap();
        seal(&Head { from, number: 7, answers, body: body.clone() }, b"", &key(9)).unwrap()
    };
    let open = |bytes: &[u8], sent: &[u8]| {
        let message = Message::read(bytes, MOST).unwrap();
        message.open_answer::<OfferAnswer>(&key(9).public(), sent).map(|(head, _)| head.body)
    };
    let right = answer(Some(sha256(&sent)));
    assert_eq!(open(&right, &sent), Ok(body.clone()));
    // The answer to the same question asked again is another one: it has another number.
    let again = seal(&asked(8), b"entries\n", &key(1)).unwrap();
    assert_eq!(open(&right, &again), Err(ExchangeError::OtherAnswer));
    assert_eq!(open(&answer(None), &sent), Err(ExchangeError::OtherAnswer));
}

proptest::proptest! {
    /// Whatever bytes come, reading them gives an answer.
    #[test]
    fn any_bytes_are_read_or_refused(bytes in proptest::collection::vec(proptest::prelude::any::<u8>(), 0..400)) {
        proptest::prop_assert!(Message::read(&bytes, MOST).is_err());
    }

    #[test]
    fn any_body_and_rest_come_across(
        number in 0_u64..(1 << 53),
        rest in proptest::collection::vec(proptest::prelude::any::<u8>(), 0..300),
    ) {
        let sealed = seal(&asked(number), &rest, &key(1)).unwrap();
        let message = Message::read(&sealed, MOST).unwrap();
        let (head, came) = message.open::<SheetAsked>(&key(1).public()).unwrap();
        proptest::prop_assert_eq!(head, asked(number));
        proptest::prop_assert_eq!(came, rest.as_slice());
    }
}
