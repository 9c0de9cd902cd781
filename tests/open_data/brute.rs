//! Every way to separate a zone from its sources, tried one by one.
//!
//! While a way from zone to source is left, one of its branches must be opened: each is tried in
//! turn. So every separating set up to a size is met, and the best of them is the best there is.

use std::collections::BTreeSet;

use super::network::Network;

/// All separating sets with at most `most` openings, none of whose openings is met twice; sets that
/// hold a smaller one may be among them.
pub(crate) fn separating_sets(
    network: &Network,
    zone: &[usize],
    sources: &[usize],
    may_open: &BTreeSet<usize>,
    most: usize,
) -> BTreeSet<BTreeSet<usize>> {
    let mut found = BTreeSet::new();
    let mut seen = BTreeSet::new();
    let mut waiting = vec![BTreeSet::new()];
    while let Some(opened) = waiting.pop() {
        if !seen.insert(opened.clone()) {
            continue;
        }
        let Some(way) = network.way(zone, sources, &opened) else {
            found.insert(opened);
            continue;
        };
        if opened.len() < most {
            for branch in way.into_iter().filter(|branch| may_open.contains(branch)) {
                let mut more = opened.clone();
                more.insert(branch);
                waiting.push(more);
            }
        }
    }
    found
}

/// Services other than `target` that no feeder reaches while `opened` stand open. A customer's own
/// source is no supply.
pub(crate) fn customers_out(
    network: &Network,
    target: &str,
    opened: &BTreeSet<usize>,
) -> BTreeSet<String> {
    let supplied = network.reach(&network.feeders, opened);
    network
        .services
        .iter()
        .filter(|(service, node)| service.as_str() != target && !supplied.contains(node))
        .map(|(service, _)| service.clone())
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::{Value, json};

    fn switch(id: &str, from: &str, to: &str) -> Value {
        json!({"properties": {"kind": "switch", "id": id, "from": from, "to": to,
               "device": "elbow", "normally": "closed"}})
    }

    /// A ring of four switches fed at `a`, a service without a meter hanging at `c`.
    fn ring() -> Network {
        Network::of(&json!({"features": [
            {"properties": {"kind": "source", "id": "s", "node": "a"}},
            switch("ab", "a", "b"), switch("bc", "b", "c"), switch("cd", "c", "d"), switch("da", "d", "a"),
            {"properties": {"kind": "service", "id": "v", "node": "c"}},
        ]}))
    }

    #[test]
    fn a_ring_is_cut_at_two_places() {
        let network = ring();
        let may_open: BTreeSet<usize> = (0..4).collect();
        let cuts = separating_sets(&network, &[network.place("c")], &network.feeders, &may_open, 3);
        let smallest: Vec<&BTreeSet<usize>> = cuts.iter().filter(|cut| cut.len() == 2).collect();
        // One switch on each side: two times two ways.
        assert_eq!(smallest.len(), 4, "{cuts:?}");
        assert!(cuts.iter().all(|cut| cut.len() >= 2));
        assert_eq!(customers_out(&network, "other", smallest[0]), BTreeSet::from(["v".to_owned()]));
        assert_eq!(customers_out(&network, "v", smallest[0]), BTreeSet::new());
    }

    #[test]
    fn without_enough_openings_there_is_none() {
        let network = ring();
        let zone = [network.place("c")];
        let one_side: BTreeSet<usize> = [0, 1].into();
        assert!(separating_sets(&network, &zone, &network.feeders, &one_side, 4).is_empty());
    }
}
