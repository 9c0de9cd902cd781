//! The rule itself, over numbered effects and causes: no name is compared here.

use std::rc::Rc;

use super::ids::{Ids, bit};
use crate::sighting::{Condition, Conditions};

/// The number of a cause, a candidate, a stay or a run.
pub(crate) type Id = u32;

/// What an effect excludes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Out {
    /// Every candidate but this one, `elsewhere` and `unmapped` included.
    AllBut(Id),
    /// These; never `elsewhere` or `unmapped`.
    These(Ids),
}

impl Out {
    /// Whether a candidate is excluded.
    pub(crate) fn excludes(&self, candidate: Id) -> bool {
        match self {
            Self::AllBut(kept) => *kept != candidate,
            Self::These(out) => out.contains(candidate),
        }
    }
}

/// An effect on either question.
#[derive(Debug, Clone)]
pub(crate) struct Row {
    pub(crate) out: Out,
    pub(crate) causes: Ids,
}

/// An effect on the first question, within its stay.
#[derive(Debug, Clone)]
pub(crate) struct PremisesRow {
    pub(crate) row: Row,
    /// The run it was taken inside.
    pub(crate) in_run: Option<Id>,
}

/// Where something was done that an effect on the second question rests on.
#[derive(Debug, Clone)]
pub(crate) struct Rest {
    /// The stay, by its place among the stays.
    pub(crate) stay: usize,
    /// The reports that say that it was done there.
    pub(crate) reports: Ids,
    pub(crate) run: Option<Id>,
}

/// An effect on the second question.
#[derive(Debug, Clone)]
pub(crate) struct SetRow {
    pub(crate) row: Row,
    pub(crate) rests: Rc<[Rest]>,
}

/// Causes taken as false: at most two tolerated ones and one explanation.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Gone {
    causes: [Id; 3],
    count: usize,
    /// Their bits.
    low: u128,
}

impl Gone {
    /// This one as well. More than three are never taken as false at once.
    pub(crate) fn and(mut self, cause: Id) -> Self {
        if let Some(place) = self.causes.get_mut(self.count) {
            *place = cause;
            self.count += 1;
            self.low |= bit(cause);
        }
        self
    }

    pub(crate) fn all(&self) -> impl Iterator<Item = Id> + '_ {
        self.causes.iter().take(self.count).copied()
    }

    fn touches(&self, causes: &Ids) -> bool {
        causes.meets(self.low, self.all())
    }
}

/// The target and the premises effects of each stay: what effects on the second question stand on.
#[derive(Debug, Clone)]
pub(crate) struct Ground {
    pub(crate) target: Id,
    pub(crate) stays: Vec<Vec<PremisesRow>>,
    pub(crate) conditions: Conditions,
}

impl Ground {
    /// With `gone` false, the stay's premises effects still exclude all premises but the target.
    pub(crate) fn stay_stands(&self, stay: usize, gone: &Gone) -> bool {
        let rows = self.stays.get(stay).into_iter().flatten();
        let left = rows.map(|premises| &premises.row).filter(|row| !gone.touches(&row.causes));
        leaves_none_but(self.target, left)
    }

    /// Somebody else's premises effect inside the run, left and sufficient by itself. Those of
    /// whoever reports the run fall with that report.
    fn witnessed(&self, rest: &Rest, gone: &Gone) -> bool {
        rest.run.is_some()
            && self.stays.get(rest.stay).into_iter().flatten().any(|premises| {
                premises.in_run == rest.run
                    && premises.row.out == Out::AllBut(self.target)
                    && !gone.touches(&premises.row.causes)
            })
    }

    fn rest_stands(&self, rest: &Rest, gone: &Gone) -> bool {
        let asked = self.conditions.keep(Condition::StayIsIdentified)
            && self.conditions.keep(Condition::StayHoldsWithoutTheCause);
        (!asked || self.stay_stands(rest.stay, gone))
            && (!gone.touches(&rest.reports)
                || self.witnessed(rest, gone)
                || !self.conditions.keep(Condition::RunHasOutsideWitness))
    }
}

/// What an effect is to the rule, on either question.
pub(crate) trait Weighed {
    fn row(&self) -> &Row;
    /// Whether it is left when `gone` are false.
    fn left(&self, gone: &Gone, ground: &Ground) -> bool;
}

impl Weighed for PremisesRow {
    fn row(&self) -> &Row {
        &self.row
    }

    fn left(&self, gone: &Gone, _: &Ground) -> bool {
        !gone.touches(&self.row.causes)
    }
}

impl Weighed for SetRow {
    fn row(&self) -> &Row {
        &self.row
    }

    fn left(&self, gone: &Gone, ground: &Ground) -> bool {
        !gone.touches(&self.row.causes)
            && self.rests.iter().all(|rest| ground.rest_stands(rest, gone))
    }
}

/// Whether effects together exclude every candidate but `x`. Whether `x` itself is excluded is
/// asked elsewhere.
///
/// `elsewhere` and `unmapped` are excluded by an "all but" alone, never by elimination, so no list
/// of candidates is needed.
fn leaves_none_but<'r>(x: Id, left: impl Iterator<Item = &'r Row> + Clone) -> bool {
    let only = left.clone().find_map(|row| match &row.out {
        Out::AllBut(kept) => Some(*kept),
        Out::These(_) => None,
    });
    only.is_some_and(|only| only == x || left.into_iter().any(|row| row.out.excludes(only)))
}

/// One question put to the rule.
pub(crate) struct Question<'a, E> {
    pub(crate) effects: Vec<&'a E>,
    pub(crate) ground: &'a Ground,
    /// Every cause that is tried as false.
    pub(crate) causes: Vec<Id>,
    pub(crate) tolerated: usize,
    /// How many candidates were seen: by elimination, what `elsewhere` would be if it were not
    /// always a candidate.
    pub(crate) seen: usize,
}

/// Why a candidate is not identified: with these causes false, something else is still possible.
pub(crate) type Hole = Vec<Id>;

impl<E: Weighed> Question<'_, E> {
    /// The rule for candidate `x`; a hole where it fails. `other_against`: effects on the other
    /// question that speak against it.
    pub(crate) fn identified(&self, x: Id, other_against: &[&PremisesRow]) -> Result<(), Hole> {
        self.holds(x, self.explanations(x, other_against))
    }

    /// The same, with the explanations of what speaks against `x` at hand.
    fn holds(&self, x: Id, explanations: Option<Vec<Id>>) -> Result<(), Hole> {
        let weighty = self.weighty();
        self.holds_against(x, &weighty, Gone::default())?;
        let Some(explanations) = explanations else { return Ok(()) };
        if explanations.is_empty() {
            return Err(Vec::new());
        }
        if self.ground.conditions.keep(Condition::ExplanationIsRemovedToo) {
            for cause in explanations {
                self.holds_against(x, &weighty, Gone::default().and(cause))?;
            }
        }
        Ok(())
    }

    /// What keeps the rule from naming `x`: none where it names it. What speaks against it and has no
    /// explanation is soon told, and asked first; the hole is empty then.
    pub(crate) fn hole(&self, x: Id, other_against: &[&PremisesRow]) -> Option<Hole> {
        let explanations = self.explanations(x, other_against);
        if explanations.as_ref().is_some_and(Vec::is_empty) {
            return Some(Vec::new());
        }
        self.holds(x, explanations).err()
    }

    /// Whether the rule names `x`.
    pub(crate) fn names(&self, x: Id, other_against: &[&PremisesRow]) -> bool {
        self.hole(x, other_against).is_none()
    }

    /// Every single cause that explains all that speaks against `x`; none: nothing speaks against it,
    /// or nobody asks.
    fn explanations(&self, x: Id, other_against: &[&PremisesRow]) -> Option<Vec<Id>> {
        let against: Vec<&&E> =
            self.effects.iter().filter(|effect| effect.row().out.excludes(x)).collect();
        if (against.is_empty() && other_against.is_empty())
            || !self.ground.conditions.keep(Condition::AgainstNeedsOneExplanation)
        {
            return None;
        }
        let explains = |cause: &Id| {
            let gone = Gone::default().and(*cause);
            against.iter().all(|effect| !effect.left(&gone, self.ground))
                && other_against.iter().all(|effect| gone.touches(&effect.row.causes))
        };
        Some(self.causes.iter().copied().filter(explains).collect())
    }

    /// Whether some single cause explains all that speaks against `x`.
    pub(crate) fn one_explains(&self, x: Id) -> bool {
        let against = || self.effects.iter().filter(|effect| effect.row().out.excludes(x));
        self.causes.iter().any(|&cause| {
            let gone = Gone::default().and(cause);
            against().all(|effect| !effect.left(&gone, self.ground))
        })
    }

    /// The effects that can decide: every "all but", and what excludes the one such an effect
    /// keeps. The others can never leave a single candidate, whatever is false.
    fn weighty(&self) -> Vec<&E> {
        let kept: Vec<Id> = self
            .effects
            .iter()
            .filter_map(|effect| match effect.row().out {
                Out::AllBut(kept) => Some(kept),
                Out::These(_) => None,
            })
            .collect();
        let all = !self.ground.conditions.keep(Condition::ElsewhereStaysACandidate);
        let weighs = |row: &Row| {
            all || matches!(row.out, Out::AllBut(_))
                || kept.iter().any(|one| row.out.excludes(*one))
        };
        self.effects.iter().copied().filter(|effect| weighs(effect.row())).collect()
    }

    /// Tries every choice of at most the tolerated number of causes, smaller choices first, with
    /// `with` false besides.
    fn holds_against(&self, x: Id, weighty: &[&E], with: Gone) -> Result<(), Hole> {
        let tolerated = if self.ground.conditions.keep(Condition::EveryCauseTried) {
            self.tolerated
        } else {
            0
        };
        (0..=tolerated).try_for_each(|size| self.try_choices(x, weighty, (size, 0), with))
    }

    fn try_choices(
        &self,
        x: Id,
        weighty: &[&E],
        (size, from): (usize, usize),
        gone: Gone,
    ) -> Result<(), Hole> {
        if size == 0 {
            return if self.none_but(x, weighty, &gone) {
                Ok(())
            } else {
                Err(gone.all().collect())
            };
        }
        self.causes.iter().enumerate().skip(from).try_for_each(|(i, &cause)| {
            self.try_choices(x, weighty, (size - 1, i + 1), gone.and(cause))
        })
    }

    fn none_but(&self, x: Id, weighty: &[&E], gone: &Gone) -> bool {
        let left = || {
            let left = weighty.iter().filter(|effect| effect.left(gone, self.ground));
            left.map(|effect| effect.row())
        };
        // What is left is asked twice at most, and costs less than a list of it.
        leaves_none_but(x, left())
            || (!self.ground.conditions.keep(Condition::ElsewhereStaysACandidate)
                && by_elimination(x, left(), self.seen))
    }
}

/// The fallacy that the rule avoids: all other seen candidates are out, so it must be this one.
fn by_elimination<'r>(x: Id, left: impl Iterator<Item = &'r Row>, seen: usize) -> bool {
    let mut out: Vec<Id> = Vec::new();
    for row in left {
        if let Out::These(these) = &row.out {
            out.extend(these.iter());
        }
    }
    out.sort_unstable();
    out.dedup();
    seen > 1 && !out.contains(&x) && out.len() + 1 == seen
}
