//! Fault current along the primary, for who parks elbows and sets fuses there.

use super::whole;
use crate::{
    fault_current::LateralPoint,
    quantity::{AssetId, in_metres},
    screen::Passage,
    words::{Sentence, Words},
};

/// Most places that are told: those nearest to the transformer, where the crew works.
const MOST: usize = 8;

/// What flows at the end of each cable on the way; none where the way has no cable.
pub(super) fn lateral(points: &[LateralPoint], words: &Words) -> Option<Passage> {
    let before = points.len().saturating_sub(MOST);
    let mut said = Vec::new();
    if before > 0 {
        said.push(words.say("fault-lateral-before", &[("count", &before.to_string())]));
    }
    said.extend(points.iter().skip(before).map(|point| line(point, words)));
    Passage::of(words.plain("fault-title-lateral"), said)
}

fn line(point: &LateralPoint, words: &Words) -> Sentence {
    let metres = format!("{:.0}", in_metres(point.distance));
    let (cable, pad) = (point.cable.as_str(), point.pad.as_ref().map(AssetId::as_str));
    let places = [("cable", cable), ("metres", &metres), ("pad", pad.unwrap_or_default())];
    let id = if pad.is_some() { "fault-lateral-place-pad" } else { "fault-lateral-place" };
    let place = words.say(id, &places).text;
    let (most, least) = (whole(point.largest.line_to_ground), whole(point.smallest.line_to_ground));
    let three = point.largest.three_phase.map(whole);
    let id = if three.is_some() { "fault-lateral-says-three" } else { "fault-lateral-says" };
    let of = |amps: &str| {
        let three = three.as_deref().unwrap_or_default();
        words.say(id, &[("place", &place), ("amps", amps), ("three", three)])
    };
    let between = if most == least { "fault-amps" } else { "fault-amps-between" };
    let amps = words.say(between, &[("most", &most), ("least", &least)]);
    Sentence { spoken: of(&amps.spoken).spoken, ..of(&amps.text) }
}
