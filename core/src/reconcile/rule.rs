//! The rule itself, over effects and causes alone.

use std::collections::{BTreeMap, BTreeSet};

use crate::{
    quantity::{AssetId, StayId},
    sighting::{
        Candidate, Cause, Condition, Conditions, Drawn, Excludes, Premises, PremisesEffect,
        RestsOn, SetAt, SetEffect,
    },
};

/// Whether effects together exclude every candidate but `x`. Whether `x` itself is excluded is
/// asked elsewhere.
///
/// `elsewhere` and `unmapped` are excluded by an "all but" alone, never by elimination, so no list
/// of candidates is needed.
fn leaves_none_but<T: Ord>(x: &T, effects: &[&Excludes<T>]) -> bool {
    let only = effects.iter().find_map(|effect| match effect {
        Excludes::AllBut(kept) => Some(kept),
        Excludes::These(_) => None,
    });
    only.is_some_and(|only| only == x || effects.iter().any(|effect| effect.excludes(only)))
}

/// The causes that are tried as false, at most `k` of them at once.
fn subsets(causes: &[&Cause], k: usize) -> Vec<Vec<usize>> {
    let mut all = vec![Vec::new()];
    let mut from = 0;
    for _ in 0..k {
        let to = all.len();
        for i in from..to {
            let Some(base) = all.get(i).cloned() else { continue };
            let next = base.last().map_or(0, |&last| last + 1);
            for cause in next..causes.len() {
                let mut more = base.clone();
                more.push(cause);
                all.push(more);
            }
        }
        from = to;
    }
    all
}

/// What an effect is to the rule, on either question.
pub(crate) trait Weighed<T> {
    /// What it excludes.
    fn excludes(&self) -> &Excludes<T>;
    /// Whether it is left when `gone` are false.
    fn left(&self, gone: &Gone<'_>, ground: &Ground<'_>) -> bool;
}

/// Causes taken as false.
pub(crate) struct Gone<'a> {
    causes: Vec<&'a Cause>,
}

impl Gone<'_> {
    fn touch(&self, causes: &BTreeSet<Cause>) -> bool {
        self.causes.iter().any(|cause| causes.contains(cause))
    }
}

/// What set effects stand on: the target and the premises sightings of each stay that counts.
pub(crate) struct Ground<'a> {
    pub(crate) target: Premises,
    pub(crate) stays: BTreeMap<&'a StayId, Vec<&'a PremisesEffect>>,
    pub(crate) conditions: Conditions,
}

impl<'a> Ground<'a> {
    /// The premises sightings of every stay, whether or not it counts.
    pub(crate) fn of(target: &AssetId, drawn: &'a Drawn, conditions: Conditions) -> Self {
        let mut stays: BTreeMap<&StayId, Vec<&PremisesEffect>> = BTreeMap::new();
        for effect in &drawn.premises {
            stays.entry(&effect.stay).or_default().push(effect);
        }
        Self { target: Premises::Service(target.clone()), stays, conditions }
    }

    /// Whether the stay names the target when nothing is false.
    pub(crate) fn stay_stands_as_told(&self, stay: &StayId) -> bool {
        self.stay_stands(stay, &Gone { causes: Vec::new() })
    }

    fn premises(&self, stay: &StayId) -> impl Iterator<Item = &'a PremisesEffect> + Clone {
        self.stays.get(stay).into_iter().flatten().copied()
    }

    /// With `gone` false, the stay's premises sightings still exclude all premises but the target.
    fn stay_stands(&self, stay: &StayId, gone: &Gone<'_>) -> bool {
        let left: Vec<&Excludes<Premises>> = self
            .premises(stay)
            .filter(|effect| !gone.touch(&effect.causes))
            .map(|effect| &effect.excludes)
            .collect();
        leaves_none_but(&self.target, &left)
    }

    /// Somebody else's premises sighting inside the run, left and sufficient by itself.
    fn witnessed(&self, rests: &RestsOn, gone: &Gone<'_>) -> bool {
        rests.run.is_some()
            && self.premises(&rests.stay).any(|effect| {
                // Sightings of whoever reports the run fall with that report, so this is another's.
                effect.in_run == rests.run
                    && !gone.touch(&effect.causes)
                    && effect.excludes == Excludes::AllBut(self.target.clone())
            })
    }

    fn rest_stands(&self, rests: &RestsOn, gone: &Gone<'_>) -> bool {
        let asked = self.conditions.keep(Condition::StayIsIdentified)
            && self.conditions.keep(Condition::StayHoldsWithoutTheCause);
        (!asked || self.stay_stands(&rests.stay, gone))
            && (!gone.touch(&rests.reports)
                || self.witnessed(rests, gone)
                || !self.conditions.keep(Condition::RunHasOutsideWitness))
    }
}

impl Weighed<Premises> for &PremisesEffect {
    fn excludes(&self) -> &Excludes<Premises> {
        &self.excludes
    }

    fn left(&self, gone: &Gone<'_>, _: &Ground<'_>) -> bool {
        !gone.touch(&self.causes)
    }
}

impl Weighed<Candidate> for &SetEffect {
    fn excludes(&self) -> &Excludes<Candidate> {
        &self.excludes
    }

    fn left(&self, gone: &Gone<'_>, ground: &Ground<'_>) -> bool {
        !gone.touch(&self.causes)
            && self.rests_on.iter().all(|rests| ground.rest_stands(rests, gone))
    }
}

/// One question put to the rule.
pub(crate) struct Question<'a, E> {
    pub(crate) effects: Vec<E>,
    pub(crate) ground: &'a Ground<'a>,
    /// Every cause that is tried as false.
    pub(crate) causes: Vec<&'a Cause>,
    pub(crate) tolerated: usize,
    /// By elimination: what `elsewhere` would be if it were not always a candidate.
    pub(crate) seen: usize,
}

/// Why a candidate is not identified: with these causes false, something else is still possible.
pub(crate) type Hole<'a> = Vec<&'a Cause>;

impl<'a, E> Question<'a, E> {
    /// The rule for candidate `x`; a hole where it fails.
    pub(crate) fn identified<T>(
        &self,
        x: &T,
        other_question_against: &[&'a PremisesEffect],
    ) -> Result<(), Hole<'a>>
    where
        T: Ord,
        E: Weighed<T>,
    {
        let conditions = self.ground.conditions;
        let tolerated =
            if conditions.keep(Condition::EveryCauseTried) { self.tolerated } else { 0 };
        let subsets = subsets(&self.causes, tolerated);
        let weighty = self.weighty();
        self.holds_against(x, &weighty, &subsets, None)?;
        let against: Vec<&E> =
            self.effects.iter().filter(|effect| effect.excludes().excludes(x)).collect();
        if (against.is_empty() && other_question_against.is_empty())
            || !conditions.keep(Condition::AgainstNeedsOneExplanation)
        {
            return Ok(());
        }
        let mut explained = false;
        for &cause in &self.causes {
            let gone = Gone { causes: vec![cause] };
            let explains = against.iter().all(|effect| !effect.left(&gone, self.ground))
                && other_question_against.iter().all(|effect| gone.touch(&effect.causes));
            if explains {
                explained = true;
                if conditions.keep(Condition::ExplanationIsRemovedToo) {
                    self.holds_against(x, &weighty, &subsets, Some(cause))?;
                }
            }
        }
        if explained { Ok(()) } else { Err(Vec::new()) }
    }

    /// The effects that can decide: every "all but", and what excludes the one such an effect
    /// keeps. The others can never leave a single candidate, whatever is false.
    fn weighty<T>(&self) -> Vec<&E>
    where
        T: Ord,
        E: Weighed<T>,
    {
        let kept: Vec<&T> = self
            .effects
            .iter()
            .filter_map(|effect| match effect.excludes() {
                Excludes::AllBut(kept) => Some(kept),
                Excludes::These(_) => None,
            })
            .collect();
        let all = !self.ground.conditions.keep(Condition::ElsewhereStaysACandidate);
        self.effects
            .iter()
            .filter(|effect| {
                all || matches!(effect.excludes(), Excludes::AllBut(_))
                    || kept.iter().any(|one| effect.excludes().excludes(one))
            })
            .collect()
    }

    fn holds_against<T>(
        &self,
        x: &T,
        weighty: &[&E],
        subsets: &[Vec<usize>],
        with: Option<&'a Cause>,
    ) -> Result<(), Hole<'a>>
    where
        T: Ord,
        E: Weighed<T>,
    {
        for subset in subsets {
            let causes: Vec<&Cause> =
                subset.iter().filter_map(|&i| self.causes.get(i).copied()).chain(with).collect();
            let gone = Gone { causes };
            if !self.none_but(x, weighty, &gone) {
                return Err(gone.causes);
            }
        }
        Ok(())
    }

    fn none_but<T>(&self, x: &T, weighty: &[&E], gone: &Gone<'_>) -> bool
    where
        T: Ord,
        E: Weighed<T>,
    {
        let left: Vec<&E> =
            weighty.iter().copied().filter(|effect| effect.left(gone, self.ground)).collect();
        let excludes: Vec<&Excludes<T>> = left.iter().map(|effect| effect.excludes()).collect();
        leaves_none_but(x, &excludes)
            || (!self.ground.conditions.keep(Condition::ElsewhereStaysACandidate)
                && by_elimination(x, &left, self.seen))
    }

    /// The effects that are left with `gone` false, for showing.
    pub(crate) fn left<T>(&self, gone: &[&'a Cause]) -> impl Iterator<Item = &E>
    where
        E: Weighed<T>,
        T: 'a,
    {
        let gone = Gone { causes: gone.to_vec() };
        self.effects.iter().filter(move |effect| effect.left(&gone, self.ground))
    }
}

/// The fallacy that the rule avoids: all other seen candidates are out, so it must be this one.
fn by_elimination<T: Ord, E: Weighed<T>>(x: &T, left: &[&E], seen: usize) -> bool {
    let mut out = BTreeSet::new();
    for effect in left {
        if let Excludes::These(these) = effect.excludes() {
            out.extend(these.iter());
        }
    }
    seen > 1 && !out.contains(x) && out.len() + 1 == seen
}

/// Every cause of the second question: of its effects, of the stays they rest on, and the report of
/// everyone who did what they rest on.
pub(crate) fn causes_of_sets<'a>(
    sets: &[&'a SetEffect],
    premises: &[&'a PremisesEffect],
    reports: &'a BTreeSet<Cause>,
    conditions: Conditions,
) -> Vec<&'a Cause> {
    let mut causes: BTreeSet<&Cause> = sets.iter().flat_map(|effect| &effect.causes).collect();
    if conditions.keep(Condition::CausesOfTheStayTried) {
        causes.extend(premises.iter().flat_map(|effect| &effect.causes));
        if conditions.keep(Condition::ReportIsOneCause) {
            causes.extend(reports);
        }
    }
    causes.into_iter().collect()
}

/// The reports of everyone who did something that set effects rest on.
pub(crate) fn reports(sets: &[&SetEffect]) -> BTreeSet<Cause> {
    sets.iter()
        .flat_map(|effect| &effect.rests_on)
        .flat_map(|rests| rests.reports.iter().cloned())
        .collect()
}

/// The sets that some effect is about.
pub(crate) fn sets_in_hand<'a>(sets: &[&'a SetEffect]) -> BTreeSet<&'a SetAt> {
    sets.iter().map(|effect| &effect.set).collect()
}
