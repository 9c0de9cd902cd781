//! What hangs together, and what a service is fed by: sources through anything, and transformers
//! through lug pairs and sets.
//!
//! Features hang together where they meet at a node, so nodes need no numbers: what is held is
//! sixteen bytes a feature.

use super::check::{Check, Order};
use super::end::{End, system_byte, system_of};
use super::finding::{Finding, FindingId};
use super::groups::Groups;
use super::pack::{Pack, Unpack};
use super::shelf::{Rows, Shelf};
use crate::plant::VoltageSystem;

/// A source with its node.
const SOURCE: u8 = 1;
/// A service with its node.
const SERVICE: u8 = 2;
/// A transformer with its secondary, in the plant.
const UNIT: u8 = 4;
/// A service with its node, in the plant.
const SERVED: u8 = 8;
/// A service that nothing feeds.
const UNFED: u8 = 16;
/// A service that is fed only through what is normally open.
const OUT: u8 = 32;
/// The first of a group with systems that do not go together.
const TROUBLED: u8 = 64;

/// What hangs together, while it is put together.
pub(super) struct Reach {
    ever: Groups,
    normally: Groups,
    secondary: Groups,
    marks: Marks,
    systems: Vec<u8>,
}

/// The first feature at a node in each sense of hanging together.
#[derive(Debug, Default)]
pub(super) struct Here {
    ever: Option<usize>,
    normally: Option<usize>,
    secondary: Option<usize>,
}

/// Some bits a feature, by its number.
struct Marks(Vec<u8>);

impl Marks {
    fn of(count: usize) -> Self {
        Self(vec![0; count])
    }

    fn has(&self, at: usize, mark: u8) -> bool {
        self.0.get(at).is_some_and(|marks| marks & mark != 0)
    }

    fn set(&mut self, at: usize, mark: u8) {
        if let Some(marks) = self.0.get_mut(at) {
            *marks |= mark;
        }
    }

    fn all(&self, mark: u8) -> impl Iterator<Item = usize> {
        let marked = self.0.iter().enumerate().filter(move |(_, marks)| **marks & mark != 0);
        marked.map(|(at, _)| at)
    }

    /// Whether any has it.
    fn any(&self, mark: u8) -> bool {
        self.all(mark).next().is_some()
    }

    /// Gives a mark to `place` of each that has the mark `of` and of which `test` holds.
    fn set_where(
        &mut self,
        of: u8,
        mark: u8,
        test: impl Fn(usize) -> bool,
        place: impl Fn(usize) -> usize,
    ) {
        for at in 0..self.0.len() {
            if self.has(at, of) && test(at) {
                self.set(place(at), mark);
            }
        }
    }
}

fn place(number: u32) -> usize {
    usize::try_from(number).unwrap_or(usize::MAX)
}

impl Reach {
    /// Of a sheet of so many features.
    pub(super) fn of(count: u32) -> Self {
        // Features are numbered from one.
        let count = place(count).saturating_add(1);
        Self {
            ever: Groups::apart(count),
            normally: Groups::apart(count),
            secondary: Groups::apart(count),
            marks: Marks::of(count),
            systems: vec![0; count],
        }
    }

    /// Joins an end to what else is at its node.
    pub(super) fn join(&mut self, here: &mut Here, end: &End) {
        fn join(groups: &mut Groups, here: &mut Option<usize>, at: usize) {
            match *here {
                Some(first) => groups.join(first, at),
                None => *here = Some(at),
            }
        }
        let at = place(end.number);
        let own = end.field() == "node" && (end.kind == "service" || end.kind == "source");
        if end.two() || own {
            join(&mut self.ever, &mut here.ever, at);
        }
        if end.two() && !end.open() || own {
            join(&mut self.normally, &mut here.normally, at);
        }
        if own {
            self.marks.set(at, if end.kind == "source" { SOURCE } else { SERVICE });
        }
        let mark = match (end.kind, end.field()) {
            _ if !end.known() => return,
            ("switch", "from" | "to") if end.lug() => 0,
            ("set", "from" | "to") => 0,
            ("transformer", "secondary") => UNIT,
            ("service", "node") => SERVED,
            _ => return,
        };
        join(&mut self.secondary, &mut here.secondary, at);
        self.marks.set(at, mark);
        if let (Some(here), Some(system)) = (self.systems.get_mut(at), end.system) {
            *here = system_byte(system);
        }
    }

    /// All ends are joined: tells where there is no source, and marks what more is to be told.
    pub(super) fn told<S: Shelf>(mut self, check: &Check<'_, S>) -> Result<Asked, S::Error> {
        if self.marks.any(SOURCE) {
            without(&mut self.marks, &self.normally, OUT);
            without(&mut self.marks, &self.ever, UNFED);
        } else {
            let says = "nothing feeds this sheet: add the source";
            let finding = Finding::of_sheet(FindingId::NoSource, Some("features"), says);
            check.found(Order::Fed, &Pack::default(), &finding)?;
        }
        drop((self.ever, self.normally));
        troubled(&mut self.marks, &self.secondary, &self.systems);
        let any = self.marks.any(OUT | UNFED | TROUBLED);
        Ok(Asked { any, secondary: self.secondary, marks: self.marks })
    }
}

/// Marks the services that do not hang together with any of the sources.
fn without(marks: &mut Marks, groups: &Groups, mark: u8) {
    let mut fed = Marks::of(marks.0.len());
    for source in marks.all(SOURCE) {
        fed.set(groups.first(source), 1);
    }
    marks.set_where(SERVICE, mark, |at| !fed.has(groups.first(at), 1), |at| at);
}

/// Marks the groups in which a service is of a system that a transformer there does not give.
fn troubled(marks: &mut Marks, groups: &Groups, systems: &[u8]) {
    let bit = |system: u8| 1_u16.checked_shl(u32::from(system)).unwrap_or_default();
    let system = |at: usize| systems.get(at).copied().unwrap_or_default();
    let mut given = vec![0_u16; systems.len()];
    for unit in marks.all(UNIT) {
        if let Some(given) = given.get_mut(groups.first(unit)) {
            *given |= bit(system(unit));
        }
    }
    let wrong = |at: usize| {
        let given = given.get(groups.first(at)).copied().unwrap_or_default();
        VoltageSystem::ALL.into_iter().any(|one| {
            given & bit(system_byte(one)) != 0
                && system_of(system(at)).is_some_and(|service| !gives(one, service))
        })
    };
    marks.set_where(SERVED, TROUBLED, wrong, |at| groups.first(at));
}

/// What is to be told once every end has come by, and needs names for it.
pub(super) struct Asked {
    any: bool,
    secondary: Groups,
    marks: Marks,
}

impl Asked {
    /// Whether there is anything.
    pub(super) fn is_asked(&self) -> bool {
        self.any
    }

    /// Tells what is to be told of an end at this node.
    pub(super) fn end<S: Shelf>(
        &self,
        check: &Check<'_, S>,
        end: &End,
        node: &str,
    ) -> Result<(), S::Error> {
        let at = place(end.number);
        if end.kind == "service" && end.field() == "node" {
            let of = |id, says| Finding::of(id, &end.label, "node", says);
            let finding = if self.marks.has(at, UNFED) {
                let says = format!("nothing feeds node '{node}': add its set, or correct the name");
                Some(of(FindingId::ServiceNotFed, says))
            } else if self.marks.has(at, OUT) {
                let says =
                    format!("node '{node}' is fed only through a switch that is normally open");
                Some(of(FindingId::ServiceNormallyOut, says).into_warning())
            } else {
                None
            };
            if let Some(finding) = finding {
                check.found(Order::Fed, &Pack::default().number(end.number), &finding)?;
            }
        }
        let first = self.secondary.first(at);
        let serves = match (end.kind, end.field()) {
            ("transformer", "secondary") => 0,
            ("service", "node") => 1,
            _ => return Ok(()),
        };
        let Some(system) = end.system.filter(|_| end.known() && self.marks.has(first, TROUBLED))
        else {
            return Ok(());
        };
        let group = u32::try_from(first).unwrap_or(u32::MAX);
        let key = Pack::default().number(group).byte(serves).text(&end.id());
        check.put(Rows::Systems, &key, &Pack::default().byte(system_byte(system)))
    }
}

/// Tells which services are of another system than what feeds them.
pub(super) fn systems<S: Shelf>(check: &Check<'_, S>) -> Result<(), S::Error> {
    let mut group = 0;
    let mut units: Vec<(String, VoltageSystem)> = Vec::new();
    check.walk(Rows::Systems, &mut |key, row| {
        let mut key = Unpack::of(key);
        if group != key.number() {
            group = Unpack::of(key.so_far()).number();
            units.clear();
        }
        let (serves, id) = (key.byte() == 1, key.text());
        let Some(system) = system_of(Unpack::of(row).byte()) else { return Ok(()) };
        if !serves {
            // One of each system stands for all.
            if units.iter().all(|(_, other)| *other != system) {
                units.push((id, system));
            }
            return Ok(());
        }
        for ((unit, gives_it), place) in units.iter().zip(0_u32..) {
            if !gives(*gives_it, system) {
                let says =
                    format!("the service is {system}, its transformer '{unit}' gives {gives_it}");
                let finding = Finding::of(FindingId::SystemDisagrees, &id, "system", says);
                let at = Pack::default().byte(0).text(&id).number(place);
                check.found(Order::Systems, &at, &finding)?;
            }
        }
        Ok(())
    })?;
    check.done_with(Rows::Systems)
}

/// Whether a transformer bank of one system can feed a service of the other.
fn gives(bank: VoltageSystem, service: VoltageSystem) -> bool {
    bank == service
        || matches!(
            (bank, service),
            (VoltageSystem::Delta120_240, VoltageSystem::Split120_240)
                | (VoltageSystem::Wye208, VoltageSystem::Network208)
        )
}
