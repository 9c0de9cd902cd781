//! Acts at the premises: stays, looks at them, pictures, words on where somebody is.

use std::collections::BTreeSet;

use super::form::{Form, NAME, Pick, WORDS};
use crate::{
    event::{Body, PictureTaken, SightingMade, StayBegun, StayEnded, StayWithdrawn},
    job::Picture,
    plant::Metal,
    quantity::StayId,
    sighting::{End, Seen, Speaker},
};

type Bodies = Option<Vec<Body>>;

pub(super) fn begin_stay(form: &mut Form<'_>) -> Bodies {
    let who = form.who;
    let open = form.evidence()?.stays.values().any(|stay| stay.person == *who && stay.is_open());
    if open {
        return form.lacking("unfit-stay-open");
    }
    Some(vec![Body::StayBegun(StayBegun { stay: form.fresh("stay", 0)? })])
}

pub(super) fn end_stay(form: &mut Form<'_>) -> Bodies {
    let stay = form.own_stay()?;
    Some(vec![Body::StayEnded(StayEnded { stay })])
}

pub(super) fn withdraw_stay(form: &mut Form<'_>) -> Bodies {
    let (who, words) = (form.who, form.words);
    let own = form.evidence()?.stays.values().rev();
    let picks: Vec<Pick<StayId>> = own
        .filter(|stay| stay.person == *who && !stay.withdrawn)
        .map(|stay| Pick {
            value: stay.id.to_string(),
            label: words.say("choice-stay", &[("since", &stay.begun.to_text())]),
            means: stay.id.clone(),
        })
        .collect();
    let stay = form.one("ask-stay", picks, "unfit-no-stay");
    let reason = form.text("ask-reason", WORDS);
    Some(vec![Body::StayWithdrawn(StayWithdrawn { stay: stay?, reason: reason? })])
}

/// A sighting that the statement at `place` of the draft makes.
pub(super) fn sighting(form: &mut Form<'_>, place: u64, seen: Seen) -> Option<Body> {
    Some(Body::Sighting(SightingMade { sighting: form.fresh("s", place)?, seen }))
}

pub(super) fn read_meter_number(form: &mut Form<'_>) -> Bodies {
    let stay = form.own_stay()?;
    let number = form.text("ask-meter-number", NAME);
    Some(vec![sighting(form, 0, Seen::MeterNumber { stay, number: number? })?])
}

pub(super) fn read_plate(form: &mut Form<'_>) -> Bodies {
    let stay = form.own_stay()?;
    let plate = form.text("ask-plate", WORDS);
    let picks = form.premises();
    let service = form.one("ask-plate-service", picks, "unfit-not-now");
    Some(vec![sighting(form, 0, Seen::AddressPlate { stay, plate: plate?, service: service? })?])
}

pub(super) fn take_picture(form: &mut Form<'_>) -> Bodies {
    let stay = form.own_stay()?;
    let photo = form.photo("ask-photo");
    let run = form.open_run_in(&stay);
    Some(vec![Body::Picture(PictureTaken { photo: photo?, stay, run })])
}

/// Pictures that others took and this person has not read in this way yet, the newest first. One
/// that was kept twice is offered as it was kept first: it shows nothing later than that.
pub(super) fn unread(form: &Form<'_>, way: impl Fn(&Seen) -> bool) -> Vec<Pick<Picture>> {
    let state = form.state;
    let read = |photo: &str| {
        state.evidence.iter().flat_map(|evidence| evidence.sightings.values()).any(|sighting| {
            sighting.who == *form.who
                && way(&sighting.seen)
                && sighting.seen.of_picture().is_some_and(|of| of.photo == photo)
        })
    };
    let mut kept = BTreeSet::new();
    let once = state.pictures.iter().filter(|picture| kept.insert(&picture.photo));
    let waiting = once.filter(|picture| picture.by != *form.who && !read(&picture.photo));
    let picks = waiting.map(|picture| {
        let places = [("by", picture.by.as_str()), ("at", &picture.at.to_text())];
        Pick {
            value: picture.photo.clone(),
            label: form.words.say("choice-picture", &places),
            means: picture.clone(),
        }
    });
    let mut newest_first: Vec<_> = picks.collect();
    newest_first.reverse();
    newest_first
}

pub(super) fn read_picture(form: &mut Form<'_>) -> Bodies {
    let picks = unread(form, |seen| matches!(seen, Seen::MeterPhoto { .. }));
    let picture = form.one("ask-picture", picks, "unfit-no-picture");
    let number = form.text("ask-picture-number", NAME);
    let picture = picture?;
    let seen = Seen::MeterPhoto {
        stay: picture.stay,
        run: picture.run,
        taken_by: picture.by,
        taken_at: picture.at,
        photo: picture.photo,
        number: number?,
    };
    Some(vec![sighting(form, 0, seen)?])
}

/// Somebody's word: which service this is, and whether they see the known load come and go now.
fn word(form: &mut Form<'_>, stay: StayId, speaker: Speaker, from_link: bool) -> Bodies {
    let picks = form.premises();
    let service = form.one("ask-which-premises", picks, "unfit-not-now");
    let run = match form.open_run_in(&stay) {
        Some(run) => form.yes_no("ask-load-seen").map(|seen| seen.then_some(run)),
        None => Some(None),
    };
    let seen = Seen::Word { stay, run: run?, speaker, service: service?, from_link };
    Some(vec![sighting(form, 0, seen)?])
}

pub(super) fn customers_word(form: &mut Form<'_>) -> Bodies {
    let stay = form.own_stay()?;
    word(form, stay, Speaker::Customer, false)
}

pub(super) fn say_where(form: &mut Form<'_>) -> Bodies {
    let stay = form.crews_stay()?;
    // On their own phone by the link, the desk writes for them.
    let from_link = form.state.is_desk(form.device.device);
    word(form, stay, Speaker::Electrician, from_link)
}

/// Metal and size of a cable.
pub(super) fn conductor(form: &mut Form<'_>) -> Option<(Metal, Option<String>)> {
    let metals =
        vec![form.pick("al", "metal-al", Metal::Al), form.pick("cu", "metal-cu", Metal::Cu)];
    let metal = form.one("ask-metal", metals, "unfit-not-now");
    let size = form.text_if("ask-size", NAME);
    Some((metal?, size.map(|size| (!size.is_empty()).then_some(size))?))
}

pub(super) fn look_at_base(form: &mut Form<'_>) -> Bodies {
    let stay = form.own_stay()?;
    let (metal, size) = conductor(form)?;
    Some(vec![sighting(form, 0, Seen::Conductor { end: End::Base { stay }, metal, size })?])
}
