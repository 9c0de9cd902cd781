//! The drawn effects of a job, numbered for the rule, and what would change if a test came out.

use std::cell::Cell;

use super::ids::Ids;
use super::numbers::Numbers;
use super::rule::{Gone, Ground, Hole, Id, Out, PremisesRow, Question, Rest, Row, SetRow, Weighed};
use crate::{
    quantity::{AssetId, RunId, StayId},
    sighting::{
        Candidate, Cause, Condition, Conditions, Drawn, Excludes, Limits, Premises, PremisesEffect,
        RestsOn, SetAt, SetEffect,
    },
};

/// How far a case had come, to go back to.
#[derive(Debug, Clone)]
pub(crate) struct Mark {
    sets: usize,
    stays: Vec<usize>,
}

/// What one test adds to a case.
#[derive(Debug, Clone)]
pub(crate) struct Rows {
    /// The stay it is made in.
    pub(crate) stay: usize,
    pub(crate) premises: [Option<PremisesRow>; 2],
    pub(crate) set: Option<SetRow>,
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
    /// Whether each stay counts, where that was asked since its rows changed last.
    counted: Vec<Cell<Option<bool>>>,
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
            counted: Vec::new(),
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

    /// The number of a stay.
    pub(crate) fn stay(&mut self, stay: &StayId) -> usize {
        let number = usize::try_from(self.stays.number(stay)).unwrap_or(usize::MAX);
        while self.ground.stays.len() < self.stays.all().len() {
            self.ground.stays.push(Vec::new());
            self.counted.push(Cell::new(None));
        }
        number
    }

    /// The number of a cause.
    pub(crate) fn cause(&mut self, cause: &Cause) -> Id {
        self.causes.number(cause)
    }

    /// The number of a run.
    pub(crate) fn run(&mut self, run: &RunId) -> Id {
        self.runs.number(run)
    }

    /// All premises but the target's.
    pub(crate) const fn all_but_target(&self) -> Out {
        Out::AllBut(self.ground.target)
    }

    /// All sets but this one.
    pub(crate) fn all_but_set(&mut self, set: &SetAt) -> Out {
        Out::AllBut(self.candidates.number(&Candidate::Set(set.clone())))
    }

    /// One more effect on the first question.
    fn add_premises(&mut self, effect: &PremisesEffect) {
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
        self.changed(stay);
    }

    /// One more effect on the second question.
    fn add_set(&mut self, effect: &SetEffect) {
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

    /// Goes back to where it had come then.
    pub(crate) fn go_back(&mut self, mark: &Mark) {
        self.sets.truncate(mark.sets);
        let before = mark.stays.iter().copied().chain(std::iter::repeat(0));
        for ((rows, counts), len) in self.ground.stays.iter_mut().zip(&self.counted).zip(before) {
            if rows.len() > len {
                rows.truncate(len);
                counts.set(None);
            }
        }
    }

    /// The same, asked with other conditions.
    pub(crate) fn under(mut self, conditions: Conditions) -> Self {
        self.ground.conditions = conditions;
        self.counted.iter().for_each(|counts| counts.set(None));
        self
    }

    /// Puts in what a test adds.
    pub(crate) fn put(&mut self, rows: &Rows) {
        self.sets.extend(rows.set.iter().cloned());
        if let Some(of_stay) = self.ground.stays.get_mut(rows.stay) {
            of_stay.extend(rows.premises.iter().flatten().cloned());
        }
        self.changed(rows.stay);
    }

    fn changed(&self, stay: usize) {
        if let Some(counts) = self.counted.get(stay) {
            counts.set(None);
        }
    }

    /// The causes behind numbers.
    pub(crate) fn causes_of(&self, hole: &Hole) -> Vec<Cause> {
        hole.iter().filter_map(|cause| self.causes.get(*cause).cloned()).collect()
    }

    /// Every stay that some effect speaks of.
    pub(crate) fn stay_ids(&self) -> &[StayId] {
        self.stays.all()
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
        let known = self.counted.get(stay);
        known.and_then(Cell::get).unwrap_or_else(|| {
            let counts = self.asked_whether_counts(stay);
            if let Some(known) = known {
                known.set(Some(counts));
            }
            counts
        })
    }

    fn asked_whether_counts(&self, stay: usize) -> bool {
        let conditions = self.ground.conditions;
        if !conditions.keep(Condition::StayIsIdentified) {
            return self.has_premises(stay);
        }
        if !conditions.keep(Condition::StayHoldsWithoutTheCause) {
            return self.ground.stay_stands(stay, &Gone::default());
        }
        let mut rows = self.ground.stays.get(stay).into_iter().flatten();
        rows.any(|premises| premises.row.out == self.all_but_target())
            && self.premises_question(stay).names(self.ground.target, &[])
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
        self.case.candidates.find(&Candidate::Set(set.clone()))
    }

    /// Whether the rule says that this set is the one.
    pub(crate) fn identified(&self, set: &SetAt) -> bool {
        // A set that no effect speaks of cannot be.
        self.number(set).is_some_and(|x| self.question.names(x, &self.against))
    }

    /// Whether the rule says that this set is the one; else the causes with which something else could
    /// still be, none of them where no single cause explains what speaks against it. Nothing is said
    /// of a set that no effect speaks of.
    pub(crate) fn asked(&self, set: &SetAt) -> Option<Result<(), Vec<Cause>>> {
        let x = self.number(set)?;
        let hole = self.question.hole(x, &self.against);
        Some(hole.map_or(Ok(()), |hole| Err(self.case.causes_of(&hole))))
    }

    /// Whether some effect keeps this set alone.
    pub(crate) fn is_kept(&self, set: &SetAt) -> bool {
        let kept = self.number(set).map(Out::AllBut);
        kept.is_some_and(|kept| self.question.effects.iter().any(|effect| effect.row.out == kept))
    }

    /// For every effect that is asked: its place, and each single cause with which it says nothing.
    pub(crate) fn lost_by(&self) -> impl Iterator<Item = (usize, Vec<Cause>)> + '_ {
        let ground = self.question.ground;
        let gone = |cause: Id| Gone::default().and(cause);
        let tried: Ids = self.question.causes.iter().copied().collect();
        // What a stay falls with is the same for every effect on it.
        let falls_with: Vec<Ids> = (0..ground.stays.len())
            .map(|stay| tried.iter().filter(|one| !ground.stay_stands(stay, &gone(*one))).collect())
            .collect();
        self.places.iter().zip(&self.question.effects).map(move |(place, effect)| {
            let mut may = effect.row.causes.clone();
            for rest in effect.rests.iter() {
                may.extend(&rest.reports);
                falls_with.get(rest.stay).into_iter().for_each(|causes| may.extend(causes));
            }
            let lost = may
                .iter()
                .filter(|one| tried.contains(*one) && !Weighed::left(*effect, &gone(*one), ground));
            (*place, self.case.causes_of(&lost.collect()))
        })
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
