//! The drawn effects of a job, numbered for the rule, and what would change if a test came out.

use std::collections::BTreeMap;

use super::ids::Ids;
use super::rule::{Gone, Ground, Hole, Id, Out, PremisesRow, Question, Rest, Row, SetRow, Weighed};
use crate::{
    quantity::{AssetId, RunId, StayId},
    sighting::{
        Candidate, Cause, Condition, Conditions, Drawn, Excludes, Limits, Premises, PremisesEffect,
        RestsOn, SetAt, SetEffect,
    },
};

/// Numbers in the order of first use.
#[derive(Debug, Clone)]
struct Numbers<T> {
    of: BTreeMap<T, Id>,
    all: Vec<T>,
}

impl<T: Ord + Clone> Numbers<T> {
    const fn none() -> Self {
        Self { of: BTreeMap::new(), all: Vec::new() }
    }

    fn number(&mut self, thing: &T) -> Id {
        if let Some(number) = self.of.get(thing) {
            return *number;
        }
        let number = Id::try_from(self.all.len()).unwrap_or(Id::MAX);
        self.of.insert(thing.clone(), number);
        self.all.push(thing.clone());
        number
    }

    fn get(&self, number: Id) -> Option<&T> {
        self.all.get(usize::try_from(number).ok()?)
    }
}

/// How far a case had come, to go back to.
#[derive(Debug, Clone)]
pub(crate) struct Mark {
    sets: usize,
    stays: Vec<usize>,
}

/// Effects that were numbered and taken out.
#[derive(Debug, Clone)]
pub(crate) struct Rows {
    premises: Vec<(usize, PremisesRow)>,
    sets: Vec<SetRow>,
}

/// Everything drawn, as the rule takes it.
#[derive(Debug, Clone)]
pub(crate) struct Case {
    causes: Numbers<Cause>,
    premises: Numbers<Premises>,
    candidates: Numbers<Candidate>,
    stays: Numbers<StayId>,
    runs: Numbers<RunId>,
    ground: Ground,
    sets: Vec<SetRow>,
    tolerated: usize,
}

impl Case {
    /// Numbers the effects of a job.
    pub(crate) fn new(
        target: &AssetId,
        drawn: &Drawn,
        limits: &Limits,
        conditions: Conditions,
    ) -> Self {
        let mut premises = Numbers::none();
        let target = premises.number(&Premises::Service(target.clone()));
        let mut case = Self {
            causes: Numbers::none(),
            premises,
            candidates: Numbers::none(),
            stays: Numbers::none(),
            runs: Numbers::none(),
            ground: Ground { target, stays: Vec::new(), conditions },
            sets: Vec::new(),
            tolerated: limits.tolerated_false_causes,
        };
        // In their order, so that the first hole found does not hang on the order of sightings.
        let of_premises = drawn.premises.iter().flat_map(|effect| &effect.causes);
        let of_sets = drawn.sets.iter().flat_map(|effect| {
            let reports = effect.rests_on.iter().flat_map(|rests| &rests.reports);
            effect.causes.iter().chain(reports)
        });
        let mut causes: Vec<&Cause> = of_premises.chain(of_sets).collect();
        causes.sort();
        for cause in causes {
            case.causes.number(cause);
        }
        for effect in &drawn.premises {
            case.add_premises(effect);
        }
        for effect in &drawn.sets {
            case.add_set(effect);
        }
        case
    }

    fn stay(&mut self, stay: &StayId) -> usize {
        let number = usize::try_from(self.stays.number(stay)).unwrap_or(usize::MAX);
        while self.ground.stays.len() < self.stays.all.len() {
            self.ground.stays.push(Vec::new());
        }
        number
    }

    /// One more effect on the first question.
    pub(crate) fn add_premises(&mut self, effect: &PremisesEffect) {
        let stay = self.stay(&effect.stay);
        let row = PremisesRow {
            row: Row {
                out: out(&effect.excludes, &mut self.premises),
                causes: effect.causes.iter().map(|cause| self.causes.number(cause)).collect(),
            },
            in_run: effect.in_run.as_ref().map(|run| self.runs.number(run)),
        };
        if let Some(rows) = self.ground.stays.get_mut(stay) {
            rows.push(row);
        }
    }

    /// One more effect on the second question.
    pub(crate) fn add_set(&mut self, effect: &SetEffect) {
        let rests = effect.rests_on.iter().map(|rests| self.rest(rests)).collect();
        let row = Row {
            out: out(&effect.excludes, &mut self.candidates),
            causes: effect.causes.iter().map(|cause| self.causes.number(cause)).collect(),
        };
        self.sets.push(SetRow { row, rests });
    }

    fn rest(&mut self, rests: &RestsOn) -> Rest {
        Rest {
            stay: self.stay(&rests.stay),
            reports: rests.reports.iter().map(|cause| self.causes.number(cause)).collect(),
            run: rests.run.as_ref().map(|run| self.runs.number(run)),
        }
    }

    /// How far it has come.
    pub(crate) fn mark(&self) -> Mark {
        Mark { sets: self.sets.len(), stays: self.ground.stays.iter().map(Vec::len).collect() }
    }

    /// Takes out what was added since, to be put in again. The numbers given since stay given.
    pub(crate) fn take_since(&mut self, mark: &Mark) -> Rows {
        let sets = self.sets.drain(mark.sets.min(self.sets.len())..).collect();
        let before = mark.stays.iter().copied().chain(std::iter::repeat(0));
        let mut premises = Vec::new();
        for (stay, (rows, len)) in self.ground.stays.iter_mut().zip(before).enumerate() {
            let newer = rows.drain(len.min(rows.len())..);
            premises.extend(newer.map(|row| (stay, row)));
        }
        Rows { premises, sets }
    }

    /// Goes back to where it had come then.
    pub(crate) fn go_back(&mut self, mark: &Mark) {
        self.sets.truncate(mark.sets);
        let before = mark.stays.iter().copied().chain(std::iter::repeat(0));
        for (rows, len) in self.ground.stays.iter_mut().zip(before) {
            rows.truncate(len);
        }
    }

    /// The same, asked with other conditions.
    pub(crate) fn under(mut self, conditions: Conditions) -> Self {
        self.ground.conditions = conditions;
        self
    }

    /// Puts in again what was taken out.
    pub(crate) fn put(&mut self, rows: &Rows) {
        self.sets.extend(rows.sets.iter().cloned());
        for (stay, row) in &rows.premises {
            if let Some(of_stay) = self.ground.stays.get_mut(*stay) {
                of_stay.push(row.clone());
            }
        }
    }

    /// The causes behind numbers.
    pub(crate) fn causes_of(&self, hole: &Hole) -> Vec<Cause> {
        hole.iter().filter_map(|cause| self.causes.get(*cause).cloned()).collect()
    }

    /// Every stay that some effect speaks of.
    pub(crate) fn stay_ids(&self) -> &[StayId] {
        &self.stays.all
    }

    /// Whether any sighting says where this stay was.
    pub(crate) fn has_premises(&self, stay: usize) -> bool {
        self.ground.stays.get(stay).is_some_and(|rows| !rows.is_empty())
    }

    /// Services that sightings of a stay name, and for each whether the rule says that it is there.
    pub(crate) fn premises_of(&self, stay: usize) -> Vec<(&AssetId, Result<(), Hole>)> {
        let question = self.premises_question(stay);
        let mut named: Vec<(&AssetId, Id)> = question
            .effects
            .iter()
            .filter_map(|effect| match effect.row.out {
                Out::AllBut(number) => match self.premises.get(number)? {
                    Premises::Service(service) => Some((service, number)),
                    Premises::Unmapped => None,
                },
                Out::These(_) => None,
            })
            .collect();
        named.sort();
        named.dedup();
        named.into_iter().map(|(service, x)| (service, question.identified(x, &[]))).collect()
    }

    fn premises_question(&self, stay: usize) -> Question<'_, PremisesRow> {
        let effects: Vec<&PremisesRow> =
            self.ground.stays.get(stay).into_iter().flatten().collect();
        let causes = in_order(effects.iter().map(|effect| &effect.row.causes));
        Question { effects, ground: &self.ground, causes, tolerated: self.tolerated, seen: 0 }
    }

    /// Whether a stay counts: its premises are the target's.
    fn counts(&self, stay: usize) -> bool {
        let conditions = self.ground.conditions;
        if !conditions.keep(Condition::StayIsIdentified) {
            return self.has_premises(stay);
        }
        if !conditions.keep(Condition::StayHoldsWithoutTheCause) {
            return self.ground.stay_stands(stay, &Gone::default());
        }
        let question = self.premises_question(stay);
        let named = question.effects.iter().any(|e| e.row.out == Out::AllBut(self.ground.target));
        named && question.identified(self.ground.target, &[]).is_ok()
    }

    /// The second question, on the stays that count.
    pub(crate) fn about_sets(&self, seen: usize) -> AboutSets<'_> {
        let counted: Vec<bool> =
            (0..self.ground.stays.len()).map(|stay| self.counts(stay)).collect();
        let on_ground = |set: &SetRow| {
            let counts = |rest: &Rest| counted.get(rest.stay).copied().unwrap_or(false);
            set.rests.iter().all(counts)
                || !self.ground.conditions.keep(Condition::StayIsIdentified)
        };
        let (places, effects): (Vec<usize>, Vec<&SetRow>) =
            self.sets.iter().enumerate().filter(|(_, set)| on_ground(set)).unzip();
        let premises: Vec<&PremisesRow> = self
            .ground
            .stays
            .iter()
            .zip(&counted)
            .filter(|(_, counts)| **counts)
            .flat_map(|(rows, _)| rows)
            .collect();
        let own = effects.iter().map(|effect| &effect.row.causes);
        let keep = |condition| self.ground.conditions.keep(condition);
        let (of_stays, of_reports) = (
            keep(Condition::CausesOfTheStayTried),
            keep(Condition::CausesOfTheStayTried) && keep(Condition::ReportIsOneCause),
        );
        let theirs = premises.iter().map(|row| &row.row.causes).filter(|_| of_stays);
        let reports = effects.iter().flat_map(|effect| effect.rests.iter());
        let reports = reports.map(|rest| &rest.reports).filter(|_| of_reports);
        let causes = in_order(own.chain(theirs).chain(reports));
        let target = self.ground.target;
        AboutSets {
            case: self,
            places,
            against: premises.into_iter().filter(|row| row.row.out.excludes(target)).collect(),
            question: Question {
                effects,
                ground: &self.ground,
                causes,
                tolerated: self.tolerated,
                seen,
            },
        }
    }
}

/// The second question, with what it stands on.
pub(crate) struct AboutSets<'a> {
    case: &'a Case,
    /// Which of the drawn set effects are asked.
    places: Vec<usize>,
    against: Vec<&'a PremisesRow>,
    question: Question<'a, SetRow>,
}

impl AboutSets<'_> {
    fn number(&self, set: &SetAt) -> Option<Id> {
        self.case.candidates.of.get(&Candidate::Set(set.clone())).copied()
    }

    /// Whether the rule says that this set is the one.
    pub(crate) fn identified(&self, set: &SetAt) -> bool {
        // A set that no effect speaks of cannot be.
        self.number(set).is_some_and(|x| self.question.identified(x, &self.against).is_ok())
    }

    /// Whether some effect excludes this set.
    pub(crate) fn is_excluded(&self, set: &SetAt) -> bool {
        let effects = || self.question.effects.iter();
        match self.number(set) {
            Some(x) => effects().any(|effect| effect.row.out.excludes(x)),
            None => effects().any(|effect| matches!(effect.row.out, Out::AllBut(_))),
        }
    }

    /// Whether one false cause would be enough for this set to be still possible.
    pub(crate) fn one_explains_against(&self, set: &SetAt) -> bool {
        // A set that no effect speaks of is excluded by what keeps another alone.
        let x = self.number(set).unwrap_or(Id::MAX);
        self.question.one_explains(x)
    }

    /// The drawn set effects that are asked, by their places.
    pub(crate) fn places(&self) -> &[usize] {
        &self.places
    }

    /// For no cause and for each: the places of the effects that are left and keep this set alone.
    pub(crate) fn still(&self, set: &SetAt) -> Vec<(Option<Cause>, Vec<usize>)> {
        let Some(x) = self.number(set) else { return Vec::new() };
        let one = |without: Option<Id>| {
            let gone = without.into_iter().fold(Gone::default(), Gone::and);
            let left = self.places.iter().zip(&self.question.effects).filter(|(_, effect)| {
                effect.row.out == Out::AllBut(x)
                    && Weighed::left(**effect, &gone, self.question.ground)
            });
            let cause = without.and_then(|cause| self.case.causes.get(cause).cloned());
            (cause, left.map(|(place, _)| *place).collect())
        };
        std::iter::once(None)
            .chain(self.question.causes.iter().map(|cause| Some(*cause)))
            .map(one)
            .collect()
    }
}

fn in_order<'a>(causes: impl Iterator<Item = &'a Ids>) -> Vec<Id> {
    let mut all = Ids::default();
    for causes in causes {
        all.extend(causes);
    }
    all.iter().collect()
}

fn out<T: Ord + Clone>(excludes: &Excludes<T>, numbers: &mut Numbers<T>) -> Out {
    match excludes {
        Excludes::AllBut(kept) => Out::AllBut(numbers.number(kept)),
        Excludes::These(these) => Out::These(these.iter().map(|one| numbers.number(one)).collect()),
    }
}
