//! The network of a map sheet as this test reads it, with nothing of core's in it: nodes, branches,
//! and what reaches what.
//!
//! Behind every meter base lies what no sheet draws: the meter (`svc/meter`, to `svc:load`), the
//! main (`svc/main`, to `svc:house`) and a disconnect for each known source (`svc/source-1`, to
//! `svc:source-1`).

use std::collections::{BTreeMap, BTreeSet, VecDeque};

use serde_json::Value;

use super::shapes::{id, text};

/// One branch between two nodes.
#[derive(Debug, Clone)]
pub(crate) struct Branch {
    /// Its name on the sheet, or a derived one: `svc-x/meter`.
    pub(crate) id: String,
    /// Its ends, as places in [`Network::nodes`].
    pub(crate) ends: [usize; 2],
    /// What opens it; `None` for cables, sets and transformers.
    pub(crate) device: Option<String>,
    /// Stands open normally: a loop point.
    pub(crate) open: bool,
    /// The feature's own properties: the service's for what is behind a meter base.
    pub(crate) properties: Value,
}

/// All nodes and all branches.
#[derive(Debug, Default)]
pub(crate) struct Network {
    places: BTreeMap<String, usize>,
    /// Names of the nodes.
    pub(crate) nodes: Vec<String>,
    /// Branches, in the order of the sheet.
    pub(crate) branches: Vec<Branch>,
    at: Vec<Vec<usize>>,
    /// Nodes that feeders supply.
    pub(crate) feeders: Vec<usize>,
    /// Nodes of known customers' sources, with the service.
    pub(crate) customer_sources: Vec<(String, usize)>,
    /// Where every customer's house is connected; a source nobody told of may hang there too.
    pub(crate) houses: BTreeMap<String, usize>,
}

impl Network {
    /// Reads a map sheet.
    pub(crate) fn of(sheet: &Value) -> Self {
        let mut network = Self::default();
        for feature in sheet["features"].as_array().expect("features") {
            let (id, node) = (id(feature), |key: &str| text(feature, key).to_owned());
            match text(feature, "kind") {
                "source" => {
                    let at = network.node(&node("node"));
                    network.feeders.push(at);
                }
                "switch" => {
                    network.join(id, &node("from"), &node("to"), Some(&node("device")), feature);
                }
                "cable" | "set" => network.join(id, &node("from"), &node("to"), None, feature),
                "transformer" => {
                    network.join(id, &node("primary"), &node("secondary"), None, feature);
                }
                "service" => network.service(id, feature),
                _ => {}
            }
        }
        network
    }

    /// What every service has without its being drawn: a meter, a main, disconnects of its sources.
    fn service(&mut self, id: &str, feature: &Value) {
        let line = text(feature, "node").to_owned();
        let (load, house) = (format!("{id}:load"), format!("{id}:house"));
        let meters = feature["properties"]["meters"].as_array().map_or(0, Vec::len);
        let meter = (meters > 0).then_some("meter");
        self.join(&format!("{id}/meter"), &line, &load, meter, feature);
        self.join(&format!("{id}/main"), &load, &house, Some("main"), feature);
        let sources = feature["properties"]["customer_sources"].as_array().map_or(0, Vec::len);
        for number in 1..=sources {
            let end = format!("{id}:source-{number}");
            let branch = format!("{id}/source-{number}");
            self.join(&branch, &load, &end, Some("source-disconnect"), feature);
            let at = self.node(&end);
            self.customer_sources.push((id.to_owned(), at));
        }
        let at = self.node(&house);
        self.houses.insert(id.to_owned(), at);
    }

    fn join(&mut self, id: &str, from: &str, to: &str, device: Option<&str>, feature: &Value) {
        let ends = [self.node(from), self.node(to)];
        for end in ends {
            self.at[end].push(self.branches.len());
        }
        self.branches.push(Branch {
            id: id.to_owned(),
            ends,
            device: device.map(str::to_owned),
            open: text(feature, "normally") == "open",
            properties: feature["properties"].clone(),
        });
    }

    /// The place of a node, new if need be.
    pub(crate) fn node(&mut self, name: &str) -> usize {
        if let Some(&at) = self.places.get(name) {
            return at;
        }
        let at = self.nodes.len();
        self.places.insert(name.to_owned(), at);
        self.nodes.push(name.to_owned());
        self.at.push(Vec::new());
        at
    }

    /// The place of a node that is there.
    pub(crate) fn place(&self, name: &str) -> usize {
        *self.places.get(name).unwrap_or_else(|| panic!("no node {name}"))
    }

    /// For every node reached from `starts` while `opened` stand open: the branch it was reached by.
    fn walk(&self, starts: &[usize], opened: &BTreeSet<usize>) -> BTreeMap<usize, Option<usize>> {
        let mut by: BTreeMap<usize, Option<usize>> = starts.iter().map(|&s| (s, None)).collect();
        let mut waiting: VecDeque<usize> = starts.iter().copied().collect();
        while let Some(node) = waiting.pop_front() {
            for &branch in &self.at[node] {
                let far = self.far(branch, node);
                if !opened.contains(&branch) && !by.contains_key(&far) {
                    by.insert(far, Some(branch));
                    waiting.push_back(far);
                }
            }
        }
        by
    }

    fn far(&self, branch: usize, node: usize) -> usize {
        let [a, b] = self.branches[branch].ends;
        if a == node { b } else { a }
    }

    /// Every node reached from `starts` while `opened` stand open.
    pub(crate) fn reach(&self, starts: &[usize], opened: &BTreeSet<usize>) -> BTreeSet<usize> {
        self.walk(starts, opened).into_keys().collect()
    }

    /// The branches of a way from one of `starts` to one of `goals` while `opened` stand open.
    pub(crate) fn way(
        &self,
        starts: &[usize],
        goals: &[usize],
        opened: &BTreeSet<usize>,
    ) -> Option<Vec<usize>> {
        let by = self.walk(starts, opened);
        let mut node = *goals.iter().find(|goal| by.contains_key(goal))?;
        let mut way = Vec::new();
        while let Some(branch) = by[&node] {
            way.push(branch);
            node = self.far(branch, node);
        }
        Some(way)
    }
}
