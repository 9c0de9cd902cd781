//! The order in which entries are folded: causal, then wall clock, then device id.

use std::collections::{BTreeMap, BTreeSet};

use super::{chain::Log, entry::Entry};
use crate::quantity::DeviceId;

/// All entries of a log in fold order.
///
/// An entry comes after the one before it in its chain and after the heads it had seen. Among those
/// that may come next, the earliest wall clock comes first, then the least device id. The order
/// depends on the entries alone, never on when they arrived here.
pub fn fold_order(log: &Log) -> Vec<&Entry> {
    // How many entries of each chain are placed; the next of a chain may come when its heads are.
    let mut placed: BTreeMap<&DeviceId, u64> = BTreeMap::new();
    let mut waiting: BTreeSet<&DeviceId> = log.chains.keys().collect();
    let mut order = Vec::with_capacity(log.len());
    loop {
        let next = waiting
            .iter()
            .filter_map(|&device| {
                let place = placed.get(device).copied().unwrap_or(0);
                let entry = log.chain(device).get(usize::try_from(place).ok()?)?;
                let free = entry.unsigned().heads.iter().all(|(other, head)| {
                    log.places
                        .get(head)
                        .is_none_or(|(_, seq)| placed.get(other).is_some_and(|have| have >= seq))
                });
                free.then_some(((entry.event().at.wall_ms, device), entry))
            })
            .min_by(|(a, _), (b, _)| a.cmp(b));
        let Some(((_, device), entry)) = next else { return order };
        *placed.entry(device).or_insert(0) += 1;
        if usize::try_from(entry.seq()).is_ok_and(|seq| seq == log.chain(device).len()) {
            waiting.remove(device);
        }
        order.push(entry);
    }
}
