//! What is written beside each part: its name, and in heavier letters how it stands.

use super::fact::{Behind, Facts, Status};
use super::flow::Span;
use super::mark::Face;
use super::row::Symbol;
use super::shown::Shown;
use super::tree::{Beside, Part, is_quiet};
use crate::job::load_side;
use crate::plant::{Branch, BranchKind, CustomerSourceKind, Device};
use crate::quantity::AssetId;
use crate::words::Words;

/// A part in words.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Label {
    /// Its number among the openings.
    pub(super) number: Option<usize>,
    /// What it is.
    pub(super) name: String,
    /// How it stands.
    pub(super) word: String,
    /// What else is to be known, each on a line of its own.
    pub(super) notes: Vec<String>,
}

impl Label {
    /// Name and state, as they are set.
    pub(super) fn spans(&self) -> [Span; 2] {
        [(Face::Plain, self.name.clone()), (Face::Heavy, self.word.clone())]
    }
}

/// Finds the words.
pub(super) struct Labels<'a> {
    pub(super) facts: &'a Facts<'a>,
    pub(super) shown: &'a Shown,
    pub(super) beside: &'a Beside,
    pub(super) words: &'a Words,
}

impl Labels<'_> {
    /// The words and the symbol of a part.
    pub(super) fn of(&self, part: &Part) -> (Label, Symbol) {
        match part {
            Part::Edge { edge, from, to } => match self.facts.web.branch(*edge) {
                Some(branch) => self.edge(branch, *from, *to),
                None => (Label::default(), Symbol::Plain),
            },
            Part::Node(node) => self.node(*node),
            Part::To(node) => {
                let to = self.name(*node);
                let name = self.say("diagram-to", &[("node", &to)]);
                let word = self.status(self.facts.status(*node));
                (Label { name, word, ..Label::default() }, Symbol::To)
            }
            Part::Pads { pads, status, own, ways } => {
                let end = |pad: Option<&AssetId>| pad.map(ToString::to_string).unwrap_or_default();
                let (first, last) = (end(pads.first()), end(pads.last()));
                let name = match pads.len() {
                    1 => self.say("diagram-pad", &[("pad", &first)]),
                    count => {
                        let count = count.to_string();
                        let ends = [("count", count.as_str()), ("first", &first), ("last", &last)];
                        self.say("diagram-pads", &ends)
                    }
                };
                let word = self.status(*status);
                let notes = self.beside(*own, *ways);
                (Label { name, word, notes, ..Label::default() }, Symbol::Pads)
            }
            Part::Beyond { parts, numbers, feeders, status } => {
                let name = self.say("diagram-beyond", &[("count", &parts.to_string())]);
                let feeders = feeders.iter().map(|id| self.feeder(id));
                let among: Vec<String> =
                    numbers.iter().map(ToString::to_string).chain(feeders).collect();
                let among = among.join(", ");
                let note =
                    (!among.is_empty()).then(|| self.say("diagram-among", &[("what", &among)]));
                let notes = note.into_iter().collect();
                let word = self.status(*status);
                (Label { name, word, notes, ..Label::default() }, Symbol::Pads)
            }
        }
    }

    fn feeder(&self, id: &AssetId) -> String {
        self.say("diagram-feeder", &[("id", id.as_str())])
    }

    fn edge(&self, branch: &Branch, from: usize, to: usize) -> (Label, Symbol) {
        let between = self.facts.between(from, to);
        let conductor = |id: &str, symbol| {
            let name = self.say(id, &[("id", branch.id.as_str())]);
            (Label { name, word: self.status(between), ..Label::default() }, symbol)
        };
        match branch.kind {
            BranchKind::Cable => conductor("diagram-cable", Symbol::Plain),
            BranchKind::Set => {
                let (mut label, symbol) = conductor("diagram-set", Symbol::Plain);
                label.notes = self.feeds(to);
                (label, symbol)
            }
            BranchKind::Transformer => conductor("diagram-transformer", Symbol::Unit),
            BranchKind::Unmetered => conductor("diagram-no-meter", Symbol::Plain),
            BranchKind::Opens(device, _) => {
                let number = self.facts.number_of(branch);
                let (id, shut, open) = device_ids(device);
                let (mut word, symbol) = self.stands(branch, to, shut, open);
                if device == Device::LugPair && symbol == Symbol::Closed {
                    // What hangs on it has no row of its own but where it is the target's.
                    word = self
                        .say("diagram-and", &[("one", &word), ("other", &self.status(between))]);
                }
                let lug = self.facts.switch(branch).filter(|_| device == Device::LugPair);
                let name = match lug.and_then(|lug| lug.position.as_ref()) {
                    Some(position) => self.say("diagram-lugs-at", &[("position", position)]),
                    None => self.say(id, &[("id", of_whom(branch))]),
                };
                let mut notes = Vec::new();
                if between == Status::Dead && device != Device::LugPair {
                    notes.push(self.plain("diagram-dead"));
                }
                if device == Device::LugPair {
                    let beyond = self.status(self.facts.status(to));
                    if symbol != Symbol::Closed {
                        notes.push(self.say("diagram-past-it", &[("status", &beyond)]));
                    }
                    notes.extend(self.feeds(to));
                }
                (Label { number, name, word, notes }, symbol)
            }
        }
    }

    /// Word and symbol of what opens.
    fn stands(&self, branch: &Branch, to: usize, shut: &str, open: &str) -> (String, Symbol) {
        let stands = self.facts.asked.stands;
        let is_open = branch.is_open(&stands.states);
        if let Some(lifted) = stands.lifted.get(&branch.id) {
            if !is_open {
                let (legs, of) = (lifted.legs.to_string(), lifted.of.to_string());
                let word = self.say("diagram-some-lifted", &[("legs", &legs), ("of", &of)]);
                return (word, Symbol::Closed);
            }
            let id = if lifted.capped { "diagram-lifted-capped" } else { "diagram-lifted" };
            let plant = self.facts.asked.plant;
            let lug = self.facts.switch(branch);
            let end = lug.and_then(|lug| self.facts.web.number(&load_side(plant, lug)));
            let back = end.is_some_and(|end| end != to);
            return (self.plain(id), Symbol::Lifted { capped: lifted.capped, back });
        }
        match (branch.device(), is_open) {
            (Some(Device::Meter), true) => (self.plain(open), Symbol::MeterOut),
            (Some(Device::Meter), false) => (self.plain(shut), Symbol::Meter),
            (_, true) => (self.plain(open), Symbol::Open),
            (_, false) => (self.plain(shut), Symbol::Closed),
        }
    }

    fn node(&self, node: usize) -> (Label, Symbol) {
        let facts = self.facts;
        let word = self.status(facts.status(node));
        let mut notes = Vec::new();
        let (name, symbol) = if let Some(feeder) = facts.feeders.get(&node) {
            (self.feeder(&feeder.id), Symbol::Feeder)
        } else if let Some(service) =
            facts.services.get(&node).filter(|s| facts.opened_up.contains(&s.id))
        {
            notes.push(service.premises.clone());
            (self.say("diagram-base", &[("id", service.id.as_str())]), Symbol::Node)
        } else if let Some((service, what)) = facts.behind.get(&node) {
            let id = [("id", service.id.as_str())];
            match what {
                Behind::Load => (self.say("diagram-load-side", &id), Symbol::Node),
                Behind::House => {
                    if facts.is_possible_source(&service.id) {
                        notes.push(self.plain("diagram-feeds-back"));
                    }
                    (self.say("diagram-house", &id), Symbol::End)
                }
                Behind::Own(kind) => (self.say(own_id(*kind), &id), Symbol::Source),
            }
        } else {
            let symbol = if self.quiet_pad(node).is_some() { Symbol::Pads } else { Symbol::Node };
            (self.name(node), symbol)
        };
        let stands = facts.asked.stands;
        if let Some(id) = facts.web.name(node) {
            if stands.grounded.contains(id) {
                notes.push(self.plain("diagram-grounded"));
            }
            if stands.shorted.contains(id) {
                notes.push(self.plain("diagram-shorted"));
            }
        }
        let count = |of: &std::collections::BTreeMap<usize, usize>| of.get(&node).copied();
        let (own, ways) = (count(&self.shown.own), count(self.beside));
        notes.extend(self.beside(own.unwrap_or(0), ways.unwrap_or(0)));
        (Label { name, word, notes, ..Label::default() }, symbol)
    }

    /// The pad a node is in that only passes supply on.
    fn quiet_pad(&self, node: usize) -> Option<&AssetId> {
        let pad = self.facts.pad_of_node(node);
        pad.filter(|_| is_quiet(self.facts, &Part::Node(node)))
    }

    /// How people call a node: by the feeder, pedestal or pad there, or by its own name.
    fn name(&self, node: usize) -> String {
        let facts = self.facts;
        if let Some(feeder) = facts.feeders.get(&node) {
            return self.feeder(&feeder.id);
        }
        if let Some(pedestal) = facts.pedestals.get(&node) {
            return self.say("diagram-pedestal", &[("id", pedestal.id.as_str())]);
        }
        if let Some(pad) = self.quiet_pad(node) {
            return self.say("diagram-pad", &[("pad", pad.as_str())]);
        }
        facts.web.name(node).map(ToString::to_string).unwrap_or_default()
    }

    /// What the sets that begin at a node feed, where it is not drawn.
    fn feeds(&self, node: usize) -> Vec<String> {
        let facts = self.facts;
        let plant = facts.asked.plant;
        let mut notes = Vec::new();
        let mut services: Vec<&AssetId> = Vec::new();
        let all: Vec<_> =
            facts.sets_from(node).iter().flat_map(|s| plant.services_of_set(&s.id)).collect();
        for service in all.iter().filter(|s| !facts.opened_up.contains(*s)) {
            if !services.contains(&service) {
                services.push(service);
            }
        }
        if services.is_empty() {
            return notes;
        }
        let named: Vec<&str> = services.iter().map(|s| s.as_str()).collect();
        notes.push(self.say("diagram-feeds", &[("services", &named.join(", "))]));
        let mut own: Vec<&str> = Vec::new();
        for source in services.iter().filter_map(|s| plant.services.get(s)).flat_map(|s| &s.sources)
        {
            let id = own_kind(source.kind);
            if !own.contains(&id) {
                own.push(id);
            }
        }
        if !own.is_empty() {
            let kinds: Vec<String> = own.into_iter().map(|id| self.plain(id)).collect();
            notes.push(self.say("diagram-own-there", &[("kinds", &kinds.join(", "))]));
        }
        notes
    }

    fn beside(&self, own: usize, ways: usize) -> Vec<String> {
        let counted = [(own, "diagram-own-beside"), (ways, "diagram-ways-beside")];
        let counted = counted.into_iter().filter(|&(count, _)| count > 0);
        counted.map(|(count, id)| self.say(id, &[("count", &count.to_string())])).collect()
    }

    fn status(&self, status: Status) -> String {
        self.plain(status.word())
    }

    fn plain(&self, id: &str) -> String {
        self.words.plain(id).text
    }

    fn say(&self, id: &str, places: &[(&str, &str)]) -> String {
        self.words.say(id, places).text
    }
}

/// What a branch that opens is called by: meter, main and source by their service.
fn of_whom(branch: &Branch) -> &str {
    let id = branch.id.as_str();
    if !Facts::is_derived(branch) {
        return id;
    }
    id.rsplit_once('/').map_or(id, |(service, _)| service)
}

/// The sentences of a device: its name, and how it is called shut and open.
const fn device_ids(device: Device) -> (&'static str, &'static str, &'static str) {
    let (closed, open) = ("diagram-closed", "diagram-open");
    match device {
        Device::CutOut => ("diagram-cut-out", closed, open),
        Device::Elbow => ("diagram-elbow", closed, open),
        Device::BayonetFuse => ("diagram-fuse", closed, open),
        Device::Breaker => ("diagram-breaker", closed, open),
        Device::FeederSwitch => ("diagram-switch", closed, open),
        Device::LugPair => ("diagram-lugs", "diagram-landed", open),
        Device::Meter => ("diagram-meter", "diagram-meter-in", "diagram-meter-out"),
        Device::Main => ("diagram-main", closed, open),
        Device::SourceDisconnect => ("diagram-source-switch", closed, open),
    }
}

const fn own_id(kind: CustomerSourceKind) -> &'static str {
    match kind {
        CustomerSourceKind::Generator => "diagram-own-generator",
        CustomerSourceKind::Pv => "diagram-own-pv",
        CustomerSourceKind::Battery => "diagram-own-battery",
    }
}

const fn own_kind(kind: CustomerSourceKind) -> &'static str {
    match kind {
        CustomerSourceKind::Generator => "diagram-generator",
        CustomerSourceKind::Pv => "diagram-pv",
        CustomerSourceKind::Battery => "diagram-battery",
    }
}
