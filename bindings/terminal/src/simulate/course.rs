//! Which falsehoods each job of a run has: by its number alone, so that any sitting and any number
//! of threads play the same jobs.

use super::spec::Falsehood;
use crate::trouble::Trouble;

/// The falsehoods of a run's jobs, in turn.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Course {
    named: String,
    items: Vec<Vec<Falsehood>>,
}

/// What one job of a course has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Place {
    /// Which item of the course.
    pub(crate) item: usize,
    /// Whether the map besides names the wrong set or pad.
    pub(crate) wrong_map: bool,
}

impl Course {
    /// As it is typed: `none`, `single`, `pairs`, or ids with commas between them, each alone or
    /// several joined by `+`.
    pub(crate) fn read(typed: &str) -> Result<Self, Trouble> {
        let all = Falsehood::all();
        let items = match typed {
            "none" => vec![Vec::new()],
            "single" => all.iter().map(|&one| vec![one]).collect(),
            "pairs" => pairs(&all),
            list => list.split(',').map(together).collect::<Result<_, _>>()?,
        };
        Ok(Self { named: typed.to_owned(), items })
    }

    /// As it was typed.
    pub(crate) fn named(&self) -> &str {
        &self.named
    }

    /// How many items it has.
    pub(crate) fn len(&self) -> usize {
        self.items.len()
    }

    /// What the job of this number has: each item in turn, and on every second round of single
    /// falsehoods a map that is wrong besides.
    pub(crate) fn place(&self, job: u64) -> Place {
        let items = self.items.len().max(1) as u64;
        let item = usize::try_from(job % items).unwrap_or(0);
        let wrong_map = self.falsehoods(item).len() == 1 && (job / items) % 2 == 1;
        Place { item, wrong_map }
    }

    /// The falsehoods of an item.
    pub(crate) fn falsehoods(&self, item: usize) -> &[Falsehood] {
        self.items.get(item).map_or(&[], Vec::as_slice)
    }

    /// An item's name: its ids joined by `+`, or `none`.
    pub(crate) fn name(&self, item: usize) -> String {
        let ids: Vec<&str> = self.falsehoods(item).iter().map(|one| one.id()).collect();
        if ids.is_empty() { "none".to_owned() } else { ids.join("+") }
    }

    /// Every item's name, in order.
    pub(crate) fn names(&self) -> Vec<String> {
        (0..self.len()).map(|item| self.name(item)).collect()
    }

    /// Whether an item makes two sightings of the premises false: the stated limit of one
    /// tolerated false cause.
    pub(crate) fn is_beyond_the_rule(&self, item: usize) -> bool {
        self.falsehoods(item).iter().filter(|one| one.is_of_premises()).count() >= 2
    }
}

/// All unordered pairs.
fn pairs(all: &[Falsehood]) -> Vec<Vec<Falsehood>> {
    all.iter()
        .enumerate()
        .flat_map(|(at, &one)| all.iter().skip(at + 1).map(move |&other| vec![one, other]))
        .collect()
}

fn together(ids: &str) -> Result<Vec<Falsehood>, Trouble> {
    ids.split('+').map(one).collect()
}

fn one(id: &str) -> Result<Falsehood, Trouble> {
    Falsehood::by_id(id).ok_or_else(|| {
        let known: Vec<&str> = Falsehood::all().into_iter().map(Falsehood::id).collect();
        Trouble::refused(
            format!("the fault '{id}'"),
            "there is no such fault",
            format!("none, single, pairs, or some of: {}", known.join(", ")),
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeMap;

    fn course(typed: &str) -> Course {
        Course::read(typed).unwrap()
    }

    #[test]
    fn every_single_fault_gets_its_share_and_half_of_it_on_a_wrong_map() {
        let single = course("single");
        let rounds = 6;
        let mut seen: BTreeMap<(usize, bool), u64> = BTreeMap::new();
        for job in 0..rounds * single.len() as u64 {
            let place = single.place(job);
            *seen.entry((place.item, place.wrong_map)).or_default() += 1;
        }
        assert_eq!(seen.len(), 2 * single.len());
        assert!(seen.values().all(|&jobs| jobs == rounds / 2));
    }

    #[test]
    fn pairs_are_unordered_and_of_two_kinds() {
        let pairs = course("pairs");
        let kinds = Falsehood::all().len();
        assert_eq!(pairs.len(), kinds * (kinds - 1) / 2);
        assert!(pairs.items.iter().all(|pair| matches!(pair[..], [one, other] if one < other)));
        assert!((0..10_000).all(|job| !pairs.place(job).wrong_map));
    }

    #[test]
    fn a_list_may_join_faults() {
        let list = course("clamp-stuck-at-zero,meters-exchanged+plates-exchanged");
        assert_eq!(list.names(), ["clamp-stuck-at-zero", "meters-exchanged+plates-exchanged"]);
        assert!(!list.is_beyond_the_rule(0));
        assert!(list.is_beyond_the_rule(1));
        assert_eq!(course("none").names(), ["none"]);
    }

    #[test]
    fn an_unknown_fault_is_refused_with_all_that_are_known() {
        let Err(Trouble::Refused { what, todo, .. }) = Course::read("clamp-stuck-at-zero,hail")
        else {
            panic!("not refused");
        };
        assert!(what.contains("hail"));
        assert!(Falsehood::all().iter().all(|known| todo.contains(known.id())));
    }
}
