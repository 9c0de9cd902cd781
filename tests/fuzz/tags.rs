//! Tags as they are read.

use std::collections::BTreeSet;

use coldlug_core::{
    rule_sheet::RuleSheet,
    sighting::{TagRead, TagVerdict},
};

use super::INPUTS;

/// Any two texts: the read never costs more than the rule sheet allows, costs nothing where it is
/// the tag letter for letter, and is never said to match where a stranger fits as well.
#[test]
fn any_text_is_weighed_as_a_tag() {
    let rules = RuleSheet::default();
    let most = rules.tag_most_cost.thousandths();
    bolero::check!()
        .with_iterations(INPUTS)
        .with_type::<(String, String, Vec<String>, bool)>()
        .for_each(|(pattern, tag, strangers, turned)| {
            let read = TagRead::new(pattern, *turned, &rules);
            assert!(read.cost(tag).is_none_or(|cost| cost <= most));
            let letters = tag.chars().filter(|c| c.is_alphanumeric()).count();
            let exact = TagRead::new(tag, false, &rules);
            if letters > 0 && !tag.contains('?') {
                assert_eq!(exact.cost(tag), Some(0), "{tag:?}");
            }
            let others: BTreeSet<String> = strangers.iter().cloned().collect();
            let twin = others
                .iter()
                .any(|other| read.cost(other) <= read.cost(tag) && read.cost(other).is_some());
            let verdict = read.verdict(tag, &[], &others);
            assert!(!(twin && verdict == TagVerdict::Matches), "{pattern:?} {tag:?} {others:?}");
        });
}

/// Worn tags: letters of the alphabet that tags have, some unreadable.
#[test]
fn worn_tags_are_weighed() {
    const LETTERS: &[u8] = b"ABDEGHIMNOQSTUVWXZ0123456789-?? ";
    let rules = RuleSheet::default();
    let text = |drawn: &[u8]| -> String {
        let letter = |b: &u8| LETTERS.get(usize::from(*b) % LETTERS.len()).copied().unwrap_or(b'?');
        drawn.iter().take(24).map(letter).map(char::from).collect()
    };
    bolero::check!().with_iterations(INPUTS).with_type::<(Vec<u8>, Vec<u8>, bool)>().for_each(
        |(pattern, tag, turned)| {
            let (pattern, tag) = (text(pattern), text(tag).replace('?', "7"));
            let read = TagRead::new(&pattern, *turned, &rules);
            let upright = TagRead::new(&pattern, false, &rules);
            // A tag that may be upside down fits whatever it fits upright, as cheaply.
            if let Some(cost) = upright.cost(&tag) {
                assert!(read.cost(&tag).is_some_and(|either| either <= cost));
            }
        },
    );
}
