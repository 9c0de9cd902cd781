//! Whether the nodes of a sheet hold together, read from the bare features.
//!
//! This looks at the file and not at the plant, so that a feature with one bad field does not make
//! its neighbours look loose, and all findings come in one go.

use std::collections::{BTreeMap, BTreeSet, VecDeque};

use serde_json::{Map, Value};

use super::finding::{Finding, FindingId};

/// The nodes a feature names.
#[derive(Debug)]
pub(super) struct Ends {
    label: String,
    kind: String,
    nodes: Vec<(&'static str, String)>,
    normally_open: bool,
}

const NODE_FIELDS: [&str; 5] = ["from", "to", "primary", "secondary", "node"];

impl Ends {
    pub(super) fn of(label: &str, members: &Map<String, Value>) -> Self {
        let text = |name| members.get(name).and_then(Value::as_str);
        let nodes = NODE_FIELDS.into_iter().filter_map(|f| text(f).map(|n| (f, n.to_owned())));
        Self {
            label: label.to_owned(),
            kind: text("kind").unwrap_or_default().to_owned(),
            nodes: nodes.collect(),
            normally_open: text("normally") == Some("open"),
        }
    }

    fn is(&self, kind: &str) -> bool {
        self.kind == kind
    }

    fn node(&self) -> Option<&str> {
        self.nodes.iter().find(|(field, _)| *field == "node").map(|(_, node)| node.as_str())
    }
}

/// Every finding about nodes.
pub(super) fn check(all: &[Ends], tell: &mut dyn FnMut(Finding)) {
    dangling(all, tell);
    reserved(all, tell);
    sets(all, tell);
    shared_service_nodes(all, tell);
    fed(all, tell);
}

fn dangling(all: &[Ends], tell: &mut dyn FnMut(Finding)) {
    let mut touched: BTreeMap<&str, usize> = BTreeMap::new();
    for (_, node) in all.iter().flat_map(|e| &e.nodes) {
        *touched.entry(node).or_default() += 1;
    }
    for ends in all {
        if let [(_, one), (field, other)] = ends.nodes.as_slice()
            && one == other
        {
            let says = format!("both ends are node '{other}': correct one of them");
            tell(Finding::of(FindingId::EndsMeet, &ends.label, field, says));
        }
        for (field, node) in &ends.nodes {
            if touched.get(node.as_str()) != Some(&1) {
                continue;
            }
            // A spare lug, a parked elbow, a unit without services yet.
            if ends.is("switch") || *field == "secondary" {
                let says = format!("nothing else is at node '{node}': a spare, or a wrong name");
                let finding = Finding::of(FindingId::DanglingNode, &ends.label, field, says);
                tell(finding.into_warning());
            } else {
                let says = format!("nothing else is at node '{node}': correct the name");
                tell(Finding::of(FindingId::DanglingNode, &ends.label, field, says));
            }
        }
    }
}

fn reserved(all: &[Ends], tell: &mut dyn FnMut(Finding)) {
    let services: BTreeSet<&str> =
        all.iter().filter(|e| e.is("service")).map(|e| e.label.as_str()).collect();
    let derived = |node: &str| {
        node.split_once(':').is_some_and(|(service, part)| {
            services.contains(service)
                && (part == "load" || part == "house" || part.starts_with("source-"))
        })
    };
    for ends in all {
        for (field, node) in ends.nodes.iter().filter(|(_, node)| derived(node)) {
            let says = format!("'{node}' is kept for what is behind that meter: name it otherwise");
            tell(Finding::of(FindingId::ReservedNode, &ends.label, field, says));
        }
    }
}

fn sets(all: &[Ends], tell: &mut dyn FnMut(Finding)) {
    let nodes_of = |kind: &str| -> BTreeSet<&str> {
        all.iter().filter(|e| e.is(kind)).flat_map(|e| &e.nodes).map(|(_, n)| n.as_str()).collect()
    };
    let (switches, pedestals, services) =
        (nodes_of("switch"), nodes_of("pedestal"), nodes_of("service"));
    for set in all.iter().filter(|e| e.is("set")) {
        for (field, node) in &set.nodes {
            let node = node.as_str();
            let (id, good, says) = match *field {
                "from" => (
                    FindingId::SetStart,
                    switches.contains(node) || pedestals.contains(node),
                    "a set starts at the load side of a lug pair or at a pedestal",
                ),
                "to" => (
                    FindingId::SetEnd,
                    services.contains(node) || pedestals.contains(node),
                    "a set ends at a service or at a pedestal",
                ),
                _ => continue,
            };
            if !good {
                let says = format!("{says}: '{node}' is neither");
                tell(Finding::of(id, &set.label, field, says));
            }
        }
    }
}

fn shared_service_nodes(all: &[Ends], tell: &mut dyn FnMut(Finding)) {
    let mut first: BTreeMap<&str, &str> = BTreeMap::new();
    for service in all.iter().filter(|e| e.is("service")) {
        let Some(node) = service.node() else { continue };
        if let Some(other) = first.insert(node, &service.label) {
            let says = format!("service '{other}' is at node '{node}' too: each needs its own");
            let finding =
                Finding::of(FindingId::DuplicateServiceNode, &service.label, "node", says);
            tell(finding);
        }
    }
}

fn fed(all: &[Ends], tell: &mut dyn FnMut(Finding)) {
    let starts: BTreeSet<&str> =
        all.iter().filter(|e| e.is("source")).filter_map(Ends::node).collect();
    if starts.is_empty() {
        let says = "nothing feeds this sheet: add the source";
        tell(Finding::of_sheet(FindingId::NoSource, Some("features"), says));
        return;
    }
    let ever = reach(all, &starts, true);
    let normally = reach(all, &starts, false);
    for service in all.iter().filter(|e| e.is("service")) {
        let Some(node) = service.node() else { continue };
        if !ever.contains(node) {
            let says = format!("nothing feeds node '{node}': add its set, or correct the name");
            tell(Finding::of(FindingId::ServiceNotFed, &service.label, "node", says));
        } else if !normally.contains(node) {
            let says = format!("node '{node}' is fed only through a switch that is normally open");
            let finding = Finding::of(FindingId::ServiceNormallyOut, &service.label, "node", says);
            tell(finding.into_warning());
        }
    }
}

fn reach<'a>(all: &'a [Ends], starts: &BTreeSet<&'a str>, through_open: bool) -> BTreeSet<&'a str> {
    let mut next: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for ends in all.iter().filter(|e| through_open || !e.normally_open) {
        if let [(_, one), (_, other)] = ends.nodes.as_slice() {
            next.entry(one).or_default().push(other);
            next.entry(other).or_default().push(one);
        }
    }
    let mut seen = starts.clone();
    let mut waiting: VecDeque<&str> = starts.iter().copied().collect();
    while let Some(node) = waiting.pop_front() {
        for &far in next.get(node).into_iter().flatten() {
            if seen.insert(far) {
                waiting.push_back(far);
            }
        }
    }
    seen
}
