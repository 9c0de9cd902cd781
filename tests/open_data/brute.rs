//! The best set of openings, found by trying: while a way from zone to source is left, one of its
//! branches must be opened, so each is tried in turn, the cheapest beginnings first.
//!
//! Opening one more place never makes a set cheaper. So the first set met that separates is the
//! best there is: no set of any size is better. Nothing else is assumed.

use std::cmp::Reverse;
use std::collections::{BTreeSet, BinaryHeap};

use super::network::Network;

/// More beginnings than this are not tried: the test then fails rather than guess.
const MOST_TRIED: usize = 400_000;

/// A question to the network.
pub(crate) struct Question<'a> {
    /// The network.
    pub(crate) network: &'a Network,
    /// Where hands will be.
    pub(crate) zone: Vec<usize>,
    /// What the zone must be separated from.
    pub(crate) sources: Vec<usize>,
    /// What may be opened.
    pub(crate) may_open: BTreeSet<usize>,
}

impl Question<'_> {
    /// A way that is left from zone to source while `opened` stand open. Everything else counts as
    /// closed, loop points too: somebody may close them.
    pub(crate) fn way(&self, opened: &BTreeSet<usize>) -> Option<Vec<usize>> {
        self.network.way(&self.zone, &self.sources, opened)
    }

    /// The cheapest separating set by `price`, which must not fall when a set grows; `None` when
    /// there is no separating set.
    pub(crate) fn cheapest<P: Ord + Clone>(
        &self,
        price: impl Fn(&BTreeSet<usize>) -> P,
    ) -> Option<(P, BTreeSet<usize>)> {
        let none = BTreeSet::new();
        let mut seen = BTreeSet::from([none.clone()]);
        let mut waiting = BinaryHeap::from([Reverse((price(&none), none))]);
        while let Some(Reverse((cost, opened))) = waiting.pop() {
            let Some(way) = self.way(&opened) else { return Some((cost, opened)) };
            assert!(seen.len() < MOST_TRIED, "too many sets to try them all");
            for branch in way.into_iter().filter(|branch| self.may_open.contains(branch)) {
                let mut more = opened.clone();
                more.insert(branch);
                if seen.insert(more.clone()) {
                    waiting.push(Reverse((price(&more), more)));
                }
            }
        }
        None
    }
}

/// Services other than `target` that a feeder reaches before and not while `opened` stand open too.
/// A customer's own source is no supply.
pub(crate) fn customers_out(
    network: &Network,
    target: &str,
    opened: &BTreeSet<usize>,
) -> BTreeSet<String> {
    let loop_points: BTreeSet<usize> =
        (0..network.branches.len()).filter(|&b| network.branches[b].open).collect();
    let before = network.reach(&network.feeders, &loop_points);
    let after = network.reach(&network.feeders, &loop_points.union(opened).copied().collect());
    network
        .houses
        .iter()
        .filter(|(service, house)| {
            service.as_str() != target && before.contains(house) && !after.contains(house)
        })
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

    /// A ring of four switches fed at `a`; a service hangs at `c`.
    fn ring() -> Network {
        Network::of(&json!({"features": [
            {"properties": {"kind": "source", "id": "s", "node": "a"}},
            switch("ab", "a", "b"), switch("bc", "b", "c"), switch("cd", "c", "d"), switch("da", "d", "a"),
            {"properties": {"kind": "service", "id": "v", "node": "c"}},
        ]}))
    }

    fn ask(network: &Network, may_open: &[usize]) -> Option<(usize, BTreeSet<usize>)> {
        let question = Question {
            network,
            zone: vec![network.place("c")],
            sources: network.feeders.clone(),
            may_open: may_open.iter().copied().collect(),
        };
        question.cheapest(BTreeSet::len)
    }

    #[test]
    fn a_ring_is_cut_at_two_places() {
        let network = ring();
        let (count, cut) = ask(&network, &[0, 1, 2, 3]).expect("a ring can be cut");
        assert_eq!(count, 2);
        // One switch on each side of the zone.
        assert!(cut.contains(&0) != cut.contains(&1), "{cut:?}");
        assert_eq!(customers_out(&network, "other", &cut), BTreeSet::from(["v".to_owned()]));
        assert_eq!(customers_out(&network, "v", &cut), BTreeSet::new());
    }

    #[test]
    fn a_ring_that_opens_on_one_side_only_is_not_cut() {
        assert_eq!(ask(&ring(), &[0, 1]), None);
    }

    #[test]
    fn the_cheapest_and_not_the_smallest_set_wins() {
        let network = ring();
        let question = Question {
            network: &network,
            zone: vec![network.place("c"), network.place("b")],
            sources: network.feeders.clone(),
            may_open: (0..4).collect(),
        };
        let dear =
            |cut: &BTreeSet<usize>| cut.iter().map(|&b| if b == 2 { 9 } else { 1 }).sum::<u64>();
        assert_eq!(question.cheapest(dear), Some((2, BTreeSet::from([0, 3]))));
    }
}
