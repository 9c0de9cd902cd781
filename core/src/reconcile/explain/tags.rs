//! A tag that was read against the tags of the neighbourhood.

use std::collections::BTreeSet;

use super::near::Near;
use crate::{
    quantity::AssetId,
    reconcile::tag::{self, TagVerdict},
    rule_sheet::RuleSheet,
};

/// The pads whose tag it can be, and the one whose tag it is where no other comes near.
pub(super) fn read<'a>(
    near: &Near<'a>,
    rules: &RuleSheet,
    pattern: &str,
    maybe_upside_down: bool,
) -> (BTreeSet<&'a AssetId>, Option<&'a AssetId>) {
    let (mut fits, mut clear) = (BTreeSet::new(), None);
    for pad in near.pads.values() {
        let others: BTreeSet<String> = near
            .pads
            .values()
            .filter(|other| other.id != pad.id)
            .flat_map(|other| other.tags.iter().cloned())
            .collect();
        for tag in &pad.tags {
            match tag::read(pattern, maybe_upside_down, tag, &others, rules) {
                TagVerdict::Differs => continue,
                TagVerdict::CouldBe { .. } => {}
                TagVerdict::Matches => clear = Some(&pad.id),
            }
            fits.insert(&pad.id);
        }
    }
    (fits, clear)
}
