//! Whether the nodes of a sheet hold together, read from the bare features.
//!
//! This looks at the file and not at the plant, so that a feature with one bad field does not make
//! its neighbours look loose, and all findings come in one go. One row is kept of each end of each
//! feature, and they are gone through node by node.

use serde_json::{Map, Value};

use super::check::{Check, Kept, Order, Thing, find};
use super::end::{End, Known, NODE_FIELDS};
use super::finding::{Finding, FindingId};
use super::lugs::AtNode;
use super::pack::{Pack, Unpack};
use super::reach::{self, Here, Reach};
use super::shelf::{Rows, Shelf};

/// Keeps the nodes that a feature names; `known` is what of it is part of the plant.
pub(super) fn take<S: Shelf>(
    kept: &Kept<S>,
    number: u32,
    label: &str,
    members: &Map<String, Value>,
    known: Option<Known<'_>>,
) -> Result<(), S::Error> {
    let text = |name| members.get(name).and_then(Value::as_str);
    let ends: Vec<(usize, &str)> = NODE_FIELDS
        .into_iter()
        .enumerate()
        .filter_map(|(field, name)| Some((field, text(name)?)))
        .collect();
    let kind = text("kind").unwrap_or_default();
    for (field, node) in &ends {
        let two = ends.len() == 2;
        let open = text("normally") == Some("open");
        let (key, row) = End::packed(node, *field, kind, number, label, two, open, known);
        kept.put(Rows::Nodes, &key, &row)?;
        let behind = node
            .split_once(':')
            .filter(|(_, part)| *part == "load" || *part == "house" || part.starts_with("source-"));
        if let Some((service, _)) = behind {
            let at = Pack::default().number(number).field(*field);
            let key = Pack::default().text(service).byte(1);
            let row = at.text(label).text(node);
            kept.put(Rows::Reserved, &key, &row)?;
        }
    }
    if kind == "service" && ends.is_empty() {
        kept.put(Rows::Reserved, &Pack::default().text(label).byte(0), &Pack::default())?;
    }
    if let [(_, one), (other_field, other)] = ends.as_slice()
        && one == other
    {
        let field = NODE_FIELDS.get(*other_field).copied().unwrap_or_default();
        let says = format!("both ends are node '{one}': correct one of them");
        let at = Pack::default().number(number).byte(0);
        let finding = Finding::of(FindingId::EndsMeet, label, field, says);
        find(kept, Order::Dangling, &at, &finding)?;
    }
    Ok(())
}

/// Lays down every finding about nodes, and about what is told node by node: lug pairs, systems.
pub(super) fn check<S: Shelf>(check: &Check<'_, S>, count: u32) -> Result<(), S::Error> {
    let mut reach = Reach::of(count);
    let mut node = Node::default();
    check.walk(Rows::Nodes, &mut |key, row| {
        let mut key = Unpack::of(key);
        key.past_text();
        if node.name != key.so_far() {
            node.left(check)?;
            node = Node { name: key.so_far().to_vec(), ..Node::default() };
        }
        node.end(check, End::of(key, row), &mut reach)
    })?;
    node.left(check)?;
    let reserved = any(check, Rows::Reserved)?;
    let reach = reach.told(check)?;
    // What is rare is worth another walk, and no rows of its own in every sheet.
    if reserved || reach.is_asked() {
        let mut name = Vec::new();
        check.walk(Rows::Nodes, &mut |key, row| {
            let mut key = Unpack::of(key);
            key.past_text();
            name.clear();
            name.extend_from_slice(key.so_far());
            let mut end = End::of(key, row);
            look_up(check, &mut end)?;
            if reserved && end.kind == "service" {
                let key = Pack::default().text(&end.label).byte(0);
                check.put(Rows::Reserved, &key, &Pack::default())?;
            }
            reach.end(check, &end, &Unpack::of(&name).text())
        })?;
    }
    check.done_with(Rows::Nodes)?;
    reach::systems(check)?;
    if reserved { self::reserved(check) } else { Ok(()) }
}

/// Looks up whether it is this feature of its kind and id that counts.
fn look_up<S: Shelf>(check: &Check<'_, S>, end: &mut End) -> Result<(), S::Error> {
    let known = end.known();
    if known && !check.counts(Thing { kind: end.kind, id: &end.id(), number: end.number })? {
        end.pass_over();
    }
    Ok(())
}

/// Whether there is any such row.
fn any<S: Shelf>(check: &Check<'_, S>, rows: Rows) -> Result<bool, S::Error> {
    let mut any = false;
    check.walk(rows, &mut |_, _| {
        any = true;
        Ok(())
    })?;
    Ok(any)
}

fn reserved<S: Shelf>(check: &Check<'_, S>) -> Result<(), S::Error> {
    let mut service = Vec::new();
    check.walk(Rows::Reserved, &mut |key, row| {
        let mut key = Unpack::of(key);
        key.past_text();
        let name = key.so_far();
        if key.byte() == 0 {
            service = name.to_vec();
            return Ok(());
        }
        if service != name {
            return Ok(());
        }
        let mut row = Unpack::of(row);
        let (number, field) = (row.number(), row.field());
        let at = Pack::default().number(number).field(field);
        let (label, node) = (row.text(), row.text());
        let says = format!("'{node}' is kept for what is behind that meter: name it otherwise");
        let field = NODE_FIELDS.get(field).copied().unwrap_or_default();
        let finding = Finding::of(FindingId::ReservedNode, &label, field, says);
        check.found(Order::Reserved, &at, &finding)
    })?;
    check.done_with(Rows::Reserved)
}

/// One node, as its ends come by.
#[derive(Debug, Default)]
struct Node {
    /// Its name as the keys have it.
    name: Vec<u8>,
    /// The only end so far.
    only: Option<End>,
    many: bool,
    /// Whether a switch or pedestal is here, where a set may start.
    starts: bool,
    /// Whether a service or pedestal is here, where a set may end.
    stops: bool,
    /// The last service here.
    service: Option<String>,
    here: Here,
    at: AtNode,
}

impl Node {
    fn name(&self) -> String {
        Unpack::of(&self.name).text()
    }

    fn end<S: Shelf>(
        &mut self,
        check: &Check<'_, S>,
        mut end: End,
        reach: &mut Reach,
    ) -> Result<(), S::Error> {
        look_up(check, &mut end)?;
        reach.join(&mut self.here, &end);
        if end.kind == "service" && end.field() == "node" {
            self.shared(check, &end)?;
        }
        self.starts |= end.kind == "switch" || end.kind == "pedestal";
        self.stops |= end.kind == "service" || end.kind == "pedestal";
        if end.kind == "set" {
            self.set(check, &end)?;
        }
        if end.known() {
            self.at.end(check, &end)?;
        }
        if self.many || self.only.is_some() {
            (self.only, self.many) = (None, true);
        } else {
            self.only = Some(end);
        }
        Ok(())
    }

    fn shared<S: Shelf>(&mut self, check: &Check<'_, S>, end: &End) -> Result<(), S::Error> {
        let Some(other) = self.service.replace(end.label.clone()) else { return Ok(()) };
        let node = self.name();
        let says = format!("service '{other}' is at node '{node}' too: each needs its own");
        let finding = Finding::of(FindingId::DuplicateServiceNode, &end.label, "node", says);
        check.found(Order::SharedNodes, &Pack::default().number(end.number), &finding)
    }

    fn set<S: Shelf>(&self, check: &Check<'_, S>, end: &End) -> Result<(), S::Error> {
        let (id, good, says) = match end.field() {
            "from" => (
                FindingId::SetStart,
                self.starts,
                "a set starts at the load side of a lug pair or at a pedestal",
            ),
            "to" => (FindingId::SetEnd, self.stops, "a set ends at a service or at a pedestal"),
            _ => return Ok(()),
        };
        if good {
            return Ok(());
        }
        let says = format!("{says}: '{}' is neither", self.name());
        let finding = Finding::of(id, &end.label, end.field(), says);
        check.found(Order::SetEnds, &end.place(), &finding)
    }

    /// Every end here has come by.
    fn left<S: Shelf>(&self, check: &Check<'_, S>) -> Result<(), S::Error> {
        let Some(end) = &self.only else { return Ok(()) };
        let node = self.name();
        let at = Pack::default().number(end.number).byte(1).field(end.field);
        let of = |says| Finding::of(FindingId::DanglingNode, &end.label, end.field(), says);
        // A spare lug, a parked elbow, a unit without services yet.
        let finding = if end.kind == "switch" || end.field() == "secondary" {
            of(format!("nothing else is at node '{node}': a spare, or a wrong name")).into_warning()
        } else {
            of(format!("nothing else is at node '{node}': correct the name"))
        };
        check.found(Order::Dangling, &at, &finding)
    }
}
