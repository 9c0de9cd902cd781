//! A tag that was read against the tags of the neighbourhood.

use std::collections::BTreeSet;

use super::near::Near;
use crate::{
    quantity::AssetId,
    rule_sheet::RuleSheet,
    sighting::{TagRead, TagVerdict},
};

/// The pads whose tag it can be, and the one whose tag it is where no other comes near.
pub(super) fn read<'a>(
    near: &Near<'a>,
    rules: &RuleSheet,
    pattern: &str,
    maybe_upside_down: bool,
) -> (BTreeSet<&'a AssetId>, Option<&'a AssetId>) {
    let read = TagRead::new(pattern, maybe_upside_down, rules);
    let (mut fits, mut clear) = (BTreeSet::new(), None);
    for pad in near.pads.values() {
        let others: BTreeSet<String> = near
            .pads
            .values()
            .filter(|other| other.id != pad.id)
            .flat_map(|other| other.tags.iter().cloned())
            .collect();
        for tag in &pad.tags {
            match read.verdict(tag, &pad.tags, &others) {
                TagVerdict::Differs | TagVerdict::AnotherOfThePad => continue,
                TagVerdict::CouldBe { .. } => {}
                TagVerdict::Matches => clear = Some(&pad.id),
            }
            fits.insert(&pad.id);
        }
    }
    (fits, clear)
}
