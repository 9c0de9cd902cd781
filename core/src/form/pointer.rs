//! Where a tag or a fix points to, in words.

use crate::{
    quantity::{AssetId, in_metres},
    sighting::{PadOdds, Pointer, TagFit},
    words::Words,
};

/// Where a tag or a fix points to, in words.
pub(super) fn pointer_sentence(pointer: &Pointer, words: &Words) -> String {
    match pointer {
        Pointer::Tags(fits) if fits.is_empty() => words.plain("pointer-no-tag").text,
        Pointer::Tags(fits) => {
            let list: Vec<String> = fits.iter().map(|fit| tag(fit, words)).collect();
            words.say("pointer-tags", &[("list", &list.join(", "))]).text
        }
        Pointer::Pads { near, noted: Some(noted) } => {
            let percent = format!("{:.1}", noted.by_chance * 100.0);
            let places = [("noted", noted.pad.as_str()), ("percent", &percent)];
            let likelier = near.iter().map(|odds| likelier(odds, noted, words));
            let each: Vec<String> =
                likelier.chain([words.say("pointer-by-chance", &places).text]).collect();
            each.join(" ")
        }
        Pointer::Pads { near, .. } if near.is_empty() => words.plain("pointer-no-pad").text,
        Pointer::Pads { near, noted: None } => {
            let list: Vec<String> = near.iter().map(|odds| pad(odds, words)).collect();
            words.say("pointer-pads", &[("list", &list.join(", "))]).text
        }
    }
}

fn tag(fit: &TagFit, words: &Words) -> String {
    let pads: Vec<&str> = fit.pads.iter().map(AssetId::as_str).collect();
    words.say("pointer-tag", &[("tag", &fit.tag), ("pads", &pads.join(", "))]).text
}

fn pad(odds: &PadOdds, words: &Words) -> String {
    let metres = format!("{:.0}", in_metres(odds.distance));
    let percent = format!("{:.0}", odds.share * 100.0);
    let places = [("pad", odds.pad.as_str()), ("metres", &metres), ("percent", &percent)];
    words.say("pointer-pad", &places).text
}

fn likelier(odds: &PadOdds, noted: &PadOdds, words: &Words) -> String {
    // Nobody weighs more than 999 to 1 against less than that.
    let to_one = (odds.share / noted.share).min(999.0);
    let (to_one, mistaken) = (format!("{to_one:.1}"), format!("{:.0}", odds.mistaken * 100.0));
    let places = [
        ("pad", odds.pad.as_str()),
        ("noted", noted.pad.as_str()),
        ("odds", &to_one),
        ("mistaken", &mistaken),
    ];
    words.say("pointer-likelier", &places).text
}
