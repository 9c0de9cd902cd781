//! Entries across: those that come are kept and acknowledged one by one, those that lack are given.

use std::collections::{BTreeMap, BTreeSet};

use coldlug_core::{
    event::Sha256Hex,
    exchange::{
        ExchangeError, JobNews, MOST_GIVEN_BYTES, MOST_OFFER_BYTES, MOST_OFFER_LINES, Offer,
        OfferAnswer, Outcome, Receipt, counts, entries_after, read_entries, receive, write_entries,
    },
    log::{Entry, LogError},
};
use coldlug_store::{StoreError, desk::DeviceEnrolled};

use super::{Done, Sealed, answer, trouble};
use crate::{asked::Asked, carried::Carried, desk::Desk, held::Held};

/// `POST /exchange/offer`.
pub(crate) fn offer(desk: &Desk, asked: &Asked) -> Sealed {
    answer(desk, &asked.body, MOST_OFFER_BYTES, take_and_give)
}

fn take_and_give(
    held: &mut Held,
    who: &DeviceEnrolled,
    offer: &Offer,
    rest: &[u8],
) -> Done<OfferAnswer> {
    let lines = read_entries(rest, MOST_OFFER_LINES)?;
    let mut receipts = Vec::with_capacity(lines.len());
    let mut grown = BTreeSet::new();
    for line in lines {
        receipts.push(match line {
            Ok(entry) => {
                let job = entry.unsigned().job.clone();
                let receipt = take(held, who, entry)?;
                if receipt.outcome == Outcome::Kept {
                    grown.insert(job);
                }
                receipt
            }
            Err((hash, error)) => refused(hash, error.to_string()),
        });
    }
    for job in &grown {
        if let Some(carried) = held.job(job).map_err(|error| trouble(&error))? {
            carried.fold();
        }
    }
    give(held, who, offer, receipts)
}

fn refused(entry: Sha256Hex, reason: String) -> Receipt {
    Receipt { entry, outcome: Outcome::Refused { reason } }
}

fn take(held: &mut Held, who: &DeviceEnrolled, entry: Entry) -> Result<Receipt, ExchangeError> {
    let job = entry.unsigned().job.clone();
    let hash = entry.hash();
    match held.job_of(&job, &who.device, &who.public_key) {
        Ok(Some(_)) => {}
        Ok(None) => return Ok(refused(hash, ExchangeError::NoSuchJob.id().into())),
        // Entries of other jobs that came with it are taken; this one stays where it is.
        Err(StoreError::Corrupt { .. }) => {
            return Ok(refused(hash, ExchangeError::DeskInTrouble.id().into()));
        }
        Err(error) => return Err(trouble(&error)),
    }
    let Held { jobs, carried, .. } = held;
    let Some(carried) = carried.get_mut(&job) else {
        return Ok(refused(hash, ExchangeError::NoSuchJob.id().into()));
    };
    Ok(receive(&mut carried.log, entry, |entry| jobs.append(entry).map(drop)))
}

fn give(
    held: &mut Held,
    who: &DeviceEnrolled,
    offer: &Offer,
    receipts: Vec<Receipt>,
) -> Done<OfferAnswer> {
    let mut given = Vec::new();
    let mut news = BTreeMap::new();
    let mut more = false;
    let nothing = BTreeMap::new();
    for job in held.every_job().map_err(|error| trouble(&error))? {
        let Held { carried, photos, .. } = held;
        let Some(carried) = carried.get(&job) else { continue };
        if !carried.is_of(&who.device, &who.public_key) {
            continue;
        }
        let wanted = carried.photos.iter().filter(|photo| !photos.has(photo)).copied().collect();
        news.insert(job.clone(), news_of(carried, wanted));
        let have = offer.have.get(&job).unwrap_or(&nothing);
        more |= add(&mut given, carried, have).map_err(|error| unwritable(&error))?;
    }
    Ok((OfferAnswer { receipts, jobs: news, more }, given))
}

fn news_of(carried: &Carried, photos_wanted: Vec<Sha256Hex>) -> JobNews {
    JobNews {
        devices: carried.log.keys().clone(),
        have: counts(&carried.log),
        map_sheet: carried.map_sheet,
        rule_sheet: carried.rule_sheet,
        photos_wanted,
    }
}

/// Adds the entries of a job that lack, as far as there is room; true: some are left.
fn add(
    given: &mut Vec<u8>,
    carried: &Carried,
    have: &BTreeMap<coldlug_core::quantity::DeviceId, u64>,
) -> Result<bool, LogError> {
    let room = MOST_GIVEN_BYTES.saturating_sub(given.len());
    let (entries, left) = entries_after(&carried.log, have, room)?;
    let bytes = write_entries(entries)?;
    // One entry is given whatever its size; where others stand before it, it waits.
    if !given.is_empty() && bytes.len() > room {
        return Ok(true);
    }
    given.extend(bytes);
    Ok(left)
}

fn unwritable(error: &LogError) -> ExchangeError {
    tracing::error!(%error, "exchange");
    ExchangeError::DeskInTrouble
}
