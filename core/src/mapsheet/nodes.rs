//! Whether the nodes of a sheet hold together, read from the bare features.
//!
//! This looks at the file and not at the plant, so that a feature with one bad field does not make
//! its neighbours look loose, and all findings come in one go. Names are kept once and numbered: a
//! sheet may have a million of them.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::{Map, Value};
use smol_str::SmolStr;

use super::finding::{Finding, FindingId};
use super::groups::Groups;
use super::kinds::KINDS;

/// The nodes that the features of a sheet name.
#[derive(Debug, Default)]
pub(super) struct Nodes {
    numbers: BTreeMap<SmolStr, u32>,
    names: Vec<SmolStr>,
    features: Vec<Ends>,
    /// The ends of all features, one feature after the other.
    ends: Vec<End>,
}

/// A feature, and which of the ends are its own.
#[derive(Debug)]
struct Ends {
    label: SmolStr,
    kind: &'static str,
    normally_open: bool,
    from: usize,
    to: usize,
}

/// The field that names a node, and the node.
#[derive(Debug, Clone, Copy)]
struct End {
    field: &'static str,
    node: u32,
}

const NODE_FIELDS: [&str; 5] = ["from", "to", "primary", "secondary", "node"];

impl End {
    fn at(self) -> usize {
        usize::try_from(self.node).unwrap_or(usize::MAX)
    }
}

impl Nodes {
    /// Takes the nodes that a feature names.
    pub(super) fn take(&mut self, label: &str, members: &Map<String, Value>) {
        let text = |name| members.get(name).and_then(Value::as_str);
        let from = self.ends.len();
        for field in NODE_FIELDS {
            if let Some(name) = text(field) {
                let node = self.number(name);
                self.ends.push(End { field, node });
            }
        }
        let kind = KINDS.into_iter().find(|kind| text("kind") == Some(*kind));
        self.features.push(Ends {
            label: label.into(),
            kind: kind.unwrap_or_default(),
            normally_open: text("normally") == Some("open"),
            from,
            to: self.ends.len(),
        });
    }

    fn number(&mut self, name: &str) -> u32 {
        if let Some(known) = self.numbers.get(name) {
            return *known;
        }
        let name = SmolStr::new(name);
        let number = u32::try_from(self.names.len()).unwrap_or(u32::MAX);
        self.names.push(name.clone());
        self.numbers.insert(name, number);
        number
    }

    fn name(&self, end: End) -> &str {
        self.names.get(end.at()).map_or("", SmolStr::as_str)
    }

    fn ends(&self, of: &Ends) -> &[End] {
        self.ends.get(of.from..of.to).unwrap_or_default()
    }

    /// Features of a kind, with their ends.
    fn of_kind(&self, kind: &str) -> impl Iterator<Item = (&Ends, &[End])> {
        self.all().filter(move |(feature, _)| feature.kind == kind)
    }

    fn all(&self) -> impl Iterator<Item = (&Ends, &[End])> {
        self.features.iter().map(|feature| (feature, self.ends(feature)))
    }

    /// One answer a node.
    fn each<T: Clone>(&self, answer: T) -> PerNode<T> {
        PerNode(vec![answer; self.names.len()])
    }

    /// Tells every finding about nodes.
    pub(super) fn check(&self, tell: &mut dyn FnMut(Finding)) {
        self.dangling(tell);
        self.reserved(tell);
        self.sets(tell);
        self.shared_service_nodes(tell);
        self.fed(tell);
    }

    fn dangling(&self, tell: &mut dyn FnMut(Finding)) {
        let mut touched = self.each(0_u32);
        for end in &self.ends {
            touched.change(*end, |count| *count += 1);
        }
        for (feature, ends) in self.all() {
            if let [one, other] = ends
                && one.node == other.node
            {
                let says = format!("both ends are node '{}': correct one of them", self.name(*one));
                tell(Finding::of(FindingId::EndsMeet, &feature.label, other.field, says));
            }
            for end in ends.iter().filter(|end| touched.of(**end) == 1) {
                let node = self.name(*end);
                // A spare lug, a parked elbow, a unit without services yet.
                if feature.kind == "switch" || end.field == "secondary" {
                    let says =
                        format!("nothing else is at node '{node}': a spare, or a wrong name");
                    let id = FindingId::DanglingNode;
                    tell(Finding::of(id, &feature.label, end.field, says).into_warning());
                } else {
                    let says = format!("nothing else is at node '{node}': correct the name");
                    tell(Finding::of(FindingId::DanglingNode, &feature.label, end.field, says));
                }
            }
        }
    }

    fn reserved(&self, tell: &mut dyn FnMut(Finding)) {
        let services: BTreeSet<&str> =
            self.of_kind("service").map(|(feature, _)| feature.label.as_str()).collect();
        let derived = |node: &str| {
            node.split_once(':').is_some_and(|(service, part)| {
                (part == "load" || part == "house" || part.starts_with("source-"))
                    && services.contains(service)
            })
        };
        for (feature, ends) in self.all() {
            for (end, node) in ends.iter().map(|end| (end, self.name(*end))) {
                if derived(node) {
                    let says = format!(
                        "'{node}' is kept for what is behind that meter: name it otherwise"
                    );
                    tell(Finding::of(FindingId::ReservedNode, &feature.label, end.field, says));
                }
            }
        }
    }

    fn sets(&self, tell: &mut dyn FnMut(Finding)) {
        let touched = |kinds: [&str; 2]| {
            let mut touched = self.each(false);
            for (_, ends) in self.all().filter(|(feature, _)| kinds.contains(&feature.kind)) {
                for end in ends {
                    touched.change(*end, |touched| *touched = true);
                }
            }
            touched
        };
        let (starts, stops) = (touched(["switch", "pedestal"]), touched(["service", "pedestal"]));
        for (feature, ends) in self.of_kind("set") {
            for end in ends {
                let (id, good, says) = match end.field {
                    "from" => (
                        FindingId::SetStart,
                        starts.of(*end),
                        "a set starts at the load side of a lug pair or at a pedestal",
                    ),
                    "to" => (
                        FindingId::SetEnd,
                        stops.of(*end),
                        "a set ends at a service or at a pedestal",
                    ),
                    _ => continue,
                };
                if !good {
                    let says = format!("{says}: '{}' is neither", self.name(*end));
                    tell(Finding::of(id, &feature.label, end.field, says));
                }
            }
        }
    }

    fn shared_service_nodes(&self, tell: &mut dyn FnMut(Finding)) {
        let mut first: PerNode<Option<&str>> = self.each(None);
        for (feature, ends) in self.of_kind("service") {
            let Some(end) = node(ends) else { continue };
            if let Some(other) = first.of(end) {
                let says = format!(
                    "service '{other}' is at node '{}' too: each needs its own",
                    self.name(end)
                );
                tell(Finding::of(FindingId::DuplicateServiceNode, &feature.label, "node", says));
            }
            first.change(end, |first| *first = Some(&feature.label));
        }
    }

    fn fed(&self, tell: &mut dyn FnMut(Finding)) {
        let sources: Vec<End> = self.of_kind("source").filter_map(|(_, ends)| node(ends)).collect();
        if sources.is_empty() {
            let says = "nothing feeds this sheet: add the source";
            tell(Finding::of_sheet(FindingId::NoSource, Some("features"), says));
            return;
        }
        let ever = self.reach(&sources, true);
        let normally = self.reach(&sources, false);
        for (feature, ends) in self.of_kind("service") {
            let Some(end) = node(ends) else { continue };
            let node = self.name(end);
            if !ever(end) {
                let says = format!("nothing feeds node '{node}': add its set, or correct the name");
                tell(Finding::of(FindingId::ServiceNotFed, &feature.label, "node", says));
            } else if !normally(end) {
                let says =
                    format!("node '{node}' is fed only through a switch that is normally open");
                let id = FindingId::ServiceNormallyOut;
                tell(Finding::of(id, &feature.label, "node", says).into_warning());
            }
        }
    }

    /// Whether a node hangs together with any of the sources.
    fn reach(&self, sources: &[End], through_open: bool) -> impl Fn(End) -> bool + use<> {
        let mut groups = Groups::apart(self.names.len());
        for (_, ends) in self.all().filter(|(feature, _)| through_open || !feature.normally_open) {
            if let [one, other] = ends {
                groups.join(one.at(), other.at());
            }
        }
        let fed: BTreeSet<usize> = sources.iter().map(|end| groups.first(end.at())).collect();
        move |end| fed.contains(&groups.first(end.at()))
    }
}

/// The end that is a thing's one node.
fn node(ends: &[End]) -> Option<End> {
    ends.iter().find(|end| end.field == "node").copied()
}

/// One answer a node.
struct PerNode<T>(Vec<T>);

impl<T: Copy + Default> PerNode<T> {
    fn of(&self, end: End) -> T {
        self.0.get(end.at()).copied().unwrap_or_default()
    }

    fn change(&mut self, end: End, change: impl FnOnce(&mut T)) {
        if let Some(answer) = self.0.get_mut(end.at()) {
            change(answer);
        }
    }
}
