//! The tree as rows: which rail each part is on, what runs past it, and its words.

use super::fact::{Facts, Status};
use super::label::{Label, Labels};
use super::shown::Shown;
use super::tree::{Part, Run, is_quiet, tree};
use crate::job::load_side;
use crate::plant::Device;
use crate::quantity::AssetId;
use crate::words::Words;

/// The rail the drawing begins on.
const FIRST: i32 = 18;
/// From a bar to the symbol on its branch.
pub(super) const TO_SYMBOL: i32 = 20;
/// From a bar to the end of a branch that leads no farther.
pub(super) const TO_END: i32 = 36;
/// From a bar to the rail of the last branch that leads on; the others lie beyond, one [`PITCH`] each.
const TO_RAIL: i32 = 48;
/// Between rails that run side by side.
const PITCH: i32 = 16;
/// No rail lies nearer to the right edge: its words would have no room.
const LEAST_ROOM: i32 = 152;
/// A way that leads nowhere in the zone and has more parts than this is told in one row.
const MOST_BESIDE: usize = 40;

/// The sign on a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Symbol {
    /// None: the conductor goes through.
    Plain,
    Node,
    Closed,
    Open,
    /// The bare or capped end lies on the side of the part that is walked to, or `back` from it.
    Lifted {
        capped: bool,
        back: bool,
    },
    Meter,
    MeterOut,
    Unit,
    Feeder,
    /// A customer's own source.
    Source,
    /// Where the drawing ends.
    End,
    Pads,
    To,
}

/// A conductor that runs past a row, upright.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Rail {
    pub(super) x: i32,
    pub(super) status: Status,
    /// Whether it goes on below the middle of the row.
    pub(super) on: bool,
}

/// How the conductor of a part runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Course {
    /// Down a rail.
    Down { above: Option<Status>, below: Option<Status> },
    /// From a bar to the right; `on` to a rail of its own, or to its end.
    Across { bar: i32, before: Status, after: Status, on: Option<i32>, ends: bool },
}

/// One row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Row {
    /// What it is of.
    pub(super) part: Part,
    pub(super) x: i32,
    pub(super) course: Course,
    /// Conductors that run past it.
    pub(super) beside: Vec<Rail>,
    pub(super) symbol: Symbol,
    /// An earth hangs on it.
    pub(super) earth: bool,
    pub(super) zone: bool,
    pub(super) pad: Option<AssetId>,
    /// What stands over it: the pad or the zone that begins here.
    pub(super) over: Vec<String>,
    pub(super) label: Label,
}

impl Row {
    /// The row in words.
    pub(super) fn line(&self) -> String {
        let number = self.label.number.map(|number| format!("({number})"));
        let own = [self.label.name.clone(), self.label.word.clone()];
        let all = self.over.iter().cloned().chain(number).chain(own);
        let first: Vec<String> = all.filter(|text| !text.is_empty()).collect();
        let all = std::iter::once(first.join(" ")).chain(self.label.notes.iter().cloned());
        all.collect::<Vec<String>>().join("; ")
    }
}

/// The rows, from the top.
pub(super) fn rows(facts: &Facts<'_>, shown: &Shown, words: &Words) -> Vec<Row> {
    let (run, beside) = tree(facts, shown);
    let labels = Labels { facts, shown, beside: &beside, words };
    let mut builder = Builder { facts, labels: &labels, rows: Vec::new() };
    builder.down(&run, FIRST, &[]);
    let mut rows = builder.rows;
    head(&mut rows, facts, words);
    rows
}

/// Says over the first row of each pad and of the zone what begins there.
fn head(rows: &mut [Row], facts: &Facts<'_>, words: &Words) {
    let mut before: (Option<AssetId>, bool) = (None, false);
    for row in rows {
        if let Some(pad) = row.pad.as_ref().filter(|pad| before.0.as_ref() != Some(pad)) {
            let tags = facts.asked.plant.pads.get(pad).map(|p| p.tags.join(", "));
            let tags = tags.filter(|tags| !tags.is_empty());
            row.over.push(match tags {
                Some(tags) => {
                    words.say("diagram-pad-tag", &[("pad", pad.as_str()), ("tag", &tags)]).text
                }
                None => words.say("diagram-pad", &[("pad", pad.as_str())]).text,
            });
        }
        if row.zone && !before.1 {
            row.over.push(words.plain("diagram-zone").text);
        }
        before = (row.pad.clone(), row.zone);
    }
}

/// The first part of a branch, and the rest of it.
struct Head {
    part: Part,
    rest: Run,
    leads_on: bool,
}

struct Builder<'a> {
    facts: &'a Facts<'a>,
    labels: &'a Labels<'a>,
    rows: Vec<Row>,
}

impl Builder<'_> {
    /// Rows of a run, down a rail.
    fn down(&mut self, run: &Run, x: i32, past: &[Rail]) {
        let parts = self.worthy(run);
        let last = parts.len().saturating_sub(1);
        for (place, part) in parts.into_iter().enumerate() {
            let [before, after] = self.ends(part);
            let above = (!self.rows.is_empty()).then_some(before);
            let below = (place < last || !run.then.is_empty()).then_some(after);
            self.put(part, x, Course::Down { above, below }, past.to_vec());
        }
        self.branch(run, x, past);
    }

    /// What a bar branches into: one row for each branch, then what lies beyond each, the first on
    /// the rail farthest right. In a pad of the target's all of it stands together; elsewhere the way
    /// to the zone, or the last one, goes straight on below the others.
    fn branch(&mut self, run: &Run, bar: i32, past: &[Rail]) {
        let Some(Part::Node(node)) = run.parts.last() else { return };
        let status = self.facts.status(*node);
        let mut children: Vec<&Run> = run.then.iter().collect();
        let whole = self.facts.pad_of_node(*node).is_some_and(|pad| self.facts.pads.contains(pad));
        let last = children.len().saturating_sub(1);
        let main = children.iter().position(|child| self.is_of_zone(child)).unwrap_or(last);
        let straight = (!whole && main < children.len()).then(|| children.remove(main));
        let mut begun: Vec<Rail> = Vec::new();
        let mut waiting: Vec<(Rail, Run)> = Vec::new();
        let heads = self.heads(&children, bar);
        let mut left = i32::try_from(heads.iter().filter(|h| h.leads_on).count()).unwrap_or(0);
        let count = heads.len();
        for (place, Head { part, rest, leads_on }) in heads.into_iter().enumerate() {
            let [before, after] = self.ends(&part);
            let rail = leads_on.then(|| bar + TO_RAIL + PITCH * (left - 1));
            let ends = !matches!(part, Part::Pads { .. } | Part::Beyond { .. } | Part::To(_));
            let course = Course::Across { bar, before, after, on: rail, ends };
            let mut rails = past.to_vec();
            rails.extend(&begun);
            let on = straight.is_some() || place + 1 < count;
            rails.push(Rail { x: bar, status, on });
            self.put(&part, bar + TO_SYMBOL, course, rails);
            if let Some(x) = rail {
                left -= 1;
                begun.push(Rail { x, status: after, on: true });
                waiting.push((Rail { x, status: after, on: true }, rest));
            }
        }
        let own = straight.map(|_| Rail { x: bar, status, on: true });
        // Each lies left of the one before, whose rows it runs past.
        while !waiting.is_empty() {
            let (rail, rest) = waiting.remove(0);
            let mut rails = past.to_vec();
            rails.extend(own);
            rails.extend(waiting.iter().map(|(later, _)| *later));
            self.down(&rest, rail.x, &rails);
        }
        if let Some(straight) = straight {
            self.down(straight, bar, past);
        }
    }

    /// The branches with a row each at a bar. Those there is no rail for are told in that one row:
    /// the last ones, and the way to the zone last of all.
    fn heads(&self, children: &[&Run], bar: i32) -> Vec<Head> {
        let head = |run: Run| {
            let mut parts = run.parts.into_iter();
            let part = parts.next()?;
            let rest = Run { parts: parts.collect(), then: run.then };
            let leads_on = !rest.then.is_empty() || !self.worthy(&rest).is_empty();
            Some(Head { part, rest, leads_on })
        };
        let mut heads: Vec<Head> =
            children.iter().filter_map(|child| head(self.fitting(child))).collect();
        let last = self.facts.asked.room.width() - LEAST_ROOM;
        let rails = ((last - bar - TO_RAIL) / PITCH + 1).max(0);
        let rails = usize::try_from(rails).unwrap_or(0);
        while heads.iter().filter(|head| head.leads_on).count() > rails {
            let of_zone = |place: &usize| children.get(*place).is_some_and(|c| self.is_of_zone(c));
            let leading: Vec<usize> = (0..heads.len())
                .filter(|&place| heads.get(place).is_some_and(|head| head.leads_on))
                .collect();
            let gives_way = leading.iter().rev().find(|place| !of_zone(place)).or(leading.last());
            let Some((head, child)) =
                gives_way.and_then(|&place| heads.get_mut(place).zip(children.get(place)))
            else {
                break;
            };
            head.leads_on = false;
            head.part = self.beyond(child);
        }
        heads
    }

    fn is_of_zone(&self, run: &Run) -> bool {
        let of_zone = |part: &&Part| match part {
            Part::Node(node) => self.facts.zone.has(*node),
            _ => false,
        };
        run.all().iter().any(of_zone)
    }

    /// A branch as it is, or in one row where it is long and leads nowhere in the zone.
    fn fitting(&self, child: &Run) -> Run {
        let long = child.all().iter().filter(|part| !matches!(part, Part::Node(_))).count();
        if long <= MOST_BESIDE || self.is_of_zone(child) {
            return child.clone();
        }
        Run { parts: vec![self.beyond(child)], then: Vec::new() }
    }

    /// A branch in one row.
    fn beyond(&self, run: &Run) -> Part {
        let all = run.all();
        let mut numbers: Vec<usize> = all.iter().filter_map(|part| self.number(part)).collect();
        numbers.sort_unstable();
        let status = all.iter().flat_map(|part| self.ends(part)).min().unwrap_or(Status::Live);
        let parts = all.iter().filter(|part| matches!(part, Part::Edge { .. })).count();
        let feeders = all.iter().filter_map(|part| match part {
            Part::Node(node) => self.facts.feeders.get(node).map(|feeder| feeder.id.clone()),
            _ => None,
        });
        Part::Beyond { parts, numbers, feeders: feeders.collect(), status }
    }

    fn number(&self, part: &Part) -> Option<usize> {
        let Part::Edge { edge, .. } = part else { return None };
        self.facts.web.branch(*edge).and_then(|branch| self.facts.number_of(branch))
    }

    /// The parts that have a row: a node only where there is something to say of it.
    fn worthy<'r>(&self, run: &'r Run) -> Vec<&'r Part> {
        let last = run.parts.len().saturating_sub(1);
        let told = |(place, part): &(usize, &'r Part)| match part {
            Part::Node(node) => {
                (*place == last && !run.then.is_empty())
                    || self.is_told(*node)
                    || (self.facts.zone.has(*node) && !self.is_behind_lug(*node))
            }
            _ => true,
        };
        run.parts.iter().enumerate().filter(told).map(|(_, part)| part).collect()
    }

    /// Whether a node of the zone is the load side of a lug pair, whose row says what is to be said.
    fn is_behind_lug(&self, node: usize) -> bool {
        let facts = self.facts;
        facts.web.at(node).iter().any(|&edge| {
            let lug = facts.web.branch(edge).filter(|b| b.device() == Some(Device::LugPair));
            let lug = lug.and_then(|branch| facts.switch(branch));
            lug.is_some_and(|lug| facts.web.name(node) == Some(&load_side(facts.asked.plant, lug)))
        })
    }

    fn is_told(&self, node: usize) -> bool {
        let facts = self.facts;
        facts.feeders.contains_key(&node)
            || facts.is_marked(node)
            || facts.services.get(&node).is_some_and(|s| facts.opened_up.contains(&s.id))
            || facts.behind.contains_key(&node)
            || self.labels.shown.own.contains_key(&node)
            || self.labels.beside.contains_key(&node)
    }

    /// How the conductor stands before and after a part.
    fn ends(&self, part: &Part) -> [Status; 2] {
        let facts = self.facts;
        match part {
            Part::Edge { edge, from, to } => {
                let opens = facts.web.branch(*edge).is_some_and(|b| b.device().is_some());
                if opens {
                    [facts.status(*from), facts.status(*to)]
                } else {
                    [facts.between(*from, *to); 2]
                }
            }
            Part::Node(node) | Part::To(node) => [facts.status(*node); 2],
            Part::Pads { status, .. } | Part::Beyond { status, .. } => [*status; 2],
        }
    }

    fn put(&mut self, part: &Part, x: i32, course: Course, beside: Vec<Rail>) {
        let facts = self.facts;
        let (label, symbol) = self.labels.of(part);
        let stands = facts.asked.stands;
        let (zone, pad, earth) = match part {
            Part::Edge { edge, from, to } => {
                let pad = facts.web.branch(*edge).and_then(|branch| facts.pad_of(branch));
                (facts.zone.has(*from) && facts.zone.has(*to), pad, false)
            }
            Part::Node(node) => {
                let id = facts.web.name(*node);
                let earth = id
                    .is_some_and(|id| stands.grounded.contains(id) || stands.shorted.contains(id));
                // A pad that has no say is named, and not framed.
                let pad = facts.pad_of_node(*node).filter(|pad| {
                    facts.pads.contains(*pad) || !is_quiet(facts, &Part::Node(*node))
                });
                (facts.zone.has(*node), pad, earth)
            }
            Part::To(_) | Part::Pads { .. } | Part::Beyond { .. } => (false, None, false),
        };
        let over = Vec::new();
        let pad = pad.cloned();
        self.rows.push(Row {
            part: part.clone(),
            x,
            course,
            beside,
            symbol,
            earth,
            zone,
            pad,
            over,
            label,
        });
    }
}
