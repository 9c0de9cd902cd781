//! Isolation plans in words: for a page, and for a person at the terminal.

mod load;
mod out;
mod step;
mod way;

use schemars::JsonSchema;
use serde::Serialize;

use super::kebab;
use crate::{
    isolate::{Caution, Change, Infeasible, Isolation, NotAllowed, Plan, Proof, Step},
    quantity::AssetId,
    words::{Sentence, Words},
};
pub use step::StepForm;
pub use way::{WayForm, opening_sentence};

/// What to open so that no source reaches the work zone, and who goes out.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PlanForm {
    /// The service that is to be made dead.
    pub service: AssetId,
    /// Whether there is a plan, in words.
    pub sentence: Sentence,
    /// What is certain of the best way.
    pub certain: Option<Sentence>,
    /// Ways to do it, the best first, then those that are worse in everything, then those that are
    /// told and never to be chosen.
    pub ways: Vec<WayForm>,
    /// Who goes out on the best way, those whom it would endanger first.
    pub out: Vec<Sentence>,
    /// Who is picked up meanwhile from the other side, and what is not closed and why.
    pub pick_ups: Vec<Sentence>,
    /// What each opening of the best way is expected to break, and where that comes from.
    pub loads: Vec<Sentence>,
    /// The best way, step by step.
    pub steps: Vec<StepForm>,
    /// And back, step by step.
    pub restoration: Vec<StepForm>,
    /// Where its distances, gloves and clothing are from.
    pub worn_by: Option<Sentence>,
    /// What to mind on the best way.
    pub cautions: Vec<Sentence>,
    /// Where there is no plan: the way from a source that nothing may open.
    pub way_left: Option<Sentence>,
    /// Where there is no plan: the smallest changes that would make one possible.
    pub changes: Vec<Sentence>,
    /// Where there is no plan: what may not be opened, and why.
    pub not_allowed: Vec<NotAllowedForm>,
    /// Where the search was cut short: that there may be more ways.
    pub not_complete: Option<Sentence>,
}

/// Something that may not be opened.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct NotAllowedForm {
    /// Which.
    pub branch: AssetId,
    /// Why.
    pub sentence: Sentence,
}

impl PlanForm {
    /// What was found, in words.
    pub fn new(found: &Isolation, words: &Words) -> Self {
        let service = [("service", found.service.as_str())];
        let best = found.plans.first();
        let id = match best {
            Some(_) => "plan-best",
            None if found.infeasible.is_none() && !found.withdrawn.is_empty() => "plan-withdrawn",
            None => "plan-infeasible",
        };
        let blocked = found.infeasible.as_ref().filter(|_| best.is_none());
        let not_allowed: &[NotAllowed] = if best.is_none() { &found.not_allowed } else { &[] };
        let ways = found.plans.iter().map(|plan| WayForm::new(plan, words));
        let dearer = found.dearer.iter().map(|plan| WayForm::new(plan, words).dearer());
        let never = found.not_offered.iter().filter(|_| best.is_some());
        let never = never.map(|plan| WayForm::new(plan, words).never());
        let steps = |pick: fn(&Plan) -> &Vec<Step>| {
            best.map_or_else(Vec::new, |plan| step::steps(pick(plan), &plan.openings, words))
        };
        Self {
            service: found.service.clone(),
            sentence: words.say(id, &service),
            certain: best.map(|_| certain(found.proof, words)),
            ways: ways.chain(dearer).chain(never).collect(),
            out: best.map_or_else(Vec::new, |plan| out::goes_out(plan, words)),
            pick_ups: best.map_or_else(Vec::new, |plan| out::picked_up(plan, words)),
            loads: best.map_or_else(Vec::new, |plan| load::lines(&plan.openings, words)),
            steps: steps(|plan| &plan.steps),
            restoration: steps(|plan| &plan.restoration),
            worn_by: best
                .and_then(|plan| step::worn_by(plan.steps.iter().chain(&plan.restoration), words)),
            cautions: best
                .into_iter()
                .flat_map(|plan| &plan.cautions)
                .map(|caution| caution_sentence(caution, words))
                .collect(),
            way_left: blocked.map(|way| way_left(way, words)),
            changes: blocked.map_or_else(Vec::new, |way| {
                way.changes.iter().map(|change| change_sentence(change, words)).collect()
            }),
            not_allowed: not_allowed
                .iter()
                .map(|branch| NotAllowedForm::new(branch, words))
                .collect(),
            not_complete: (best.is_some() && !found.complete)
                .then(|| words.plain("plan-not-complete")),
        }
    }

    /// All of it as lines to read: what, the ways, the steps there and back, what to mind.
    pub fn lines(&self, words: &Words) -> Vec<Sentence> {
        let mut lines = vec![self.sentence.clone()];
        lines.extend(self.certain.clone());
        lines.extend(self.ways.iter().map(|way| way.line(words)));
        lines.extend(self.out.iter().chain(&self.pick_ups).chain(&self.loads).cloned());
        for (title, steps) in [("plan-forward", &self.steps), ("plan-back", &self.restoration)] {
            if !steps.is_empty() {
                lines.push(words.plain(title));
            }
            for step in steps {
                lines.push(step.sentence.clone());
                lines.extend(step.wear.clone().filter(|_| step.wear_changes));
            }
        }
        lines.extend(
            self.worn_by
                .iter()
                .chain(&self.cautions)
                .chain(&self.way_left)
                .chain(&self.changes)
                .cloned(),
        );
        lines.extend(self.not_allowed.iter().map(|branch| branch.line(words)));
        lines.extend(self.not_complete.clone());
        lines
    }
}

impl NotAllowedForm {
    fn new(branch: &NotAllowed, words: &Words) -> Self {
        let id = format!("not-allowed-{}", kebab(&branch.rule));
        let sentence = load::not_allowed(&id, branch, words);
        Self { branch: branch.branch.clone(), sentence }
    }

    fn line(&self, words: &Words) -> Sentence {
        let places = [("branch", self.branch.as_str()), ("why", &*self.sentence.text)];
        words.say("plan-not-allowed", &places)
    }
}

fn certain(proof: Proof, words: &Words) -> Sentence {
    match proof {
        Proof::Optimal => words.plain("plan-optimal"),
        Proof::BestWithinBound { cuts_looked_at, customers_out_at_least } => words.say(
            "plan-best-within-bound",
            &[
                ("looked", &cuts_looked_at.to_string()),
                ("least", &customers_out_at_least.to_string()),
            ],
        ),
    }
}

fn way_left(way: &Infeasible, words: &Words) -> Sentence {
    let path = joined(&way.path, " - ");
    words.say("plan-way-left", &[("source", way.source.id.as_str()), ("path", &path)])
}

fn change_sentence(change: &Change, words: &Words) -> Sentence {
    match change {
        Change::RuleSheet { key, branches } => words
            .say("plan-change-rule-sheet", &[("key", key), ("branches", &joined(branches, ", "))]),
        Change::LessLoad { branches } => {
            words.say("plan-change-less-load", &[("branches", &joined(branches, ", "))])
        }
        Change::MoreSwitches { branches } => words.say(
            "plan-change-more-switches",
            &[("count", &branches.len().to_string()), ("branches", &joined(branches, ", "))],
        ),
    }
}

fn joined(names: &[AssetId], between: &str) -> String {
    names.iter().map(AssetId::as_str).collect::<Vec<_>>().join(between)
}

fn caution_sentence(caution: &Caution, words: &Words) -> Sentence {
    let about = caution.about.as_ref().map_or("", |about| about.as_str());
    words.say(&format!("mind-{}", kebab(&caution.id)), &[("about", about)])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        isolate::{Request, isolate},
        mapsheet::fixture,
        rule_sheet::RuleSheet,
    };

    fn found(scope: &str) -> Isolation {
        let plant = fixture::plant_of(&fixture::features());
        let service = AssetId::new("P1V2").unwrap();
        let request = Request::new(service, scope.parse().unwrap());
        isolate(&plant, &request, &RuleSheet::default()).unwrap()
    }

    #[test]
    fn every_line_of_a_plan_has_words() {
        let words = Words::english().unwrap();
        for scope in ["base-line-side", "base-both-sides", "pad-secondary", "pad-primary"] {
            let form = PlanForm::new(&found(scope), &words);
            for line in form.lines(&words) {
                assert!(words.has(&line.id), "no sentence for {}", line.id);
                assert!(!line.text.contains('{'), "{line}");
            }
        }
    }

    #[test]
    fn the_best_way_comes_first_with_its_steps() {
        let words = Words::english().unwrap();
        let form = PlanForm::new(&found("base-line-side"), &words);
        assert_eq!(form.sentence.id, "plan-best");
        assert!(form.ways[0].offered && form.ways[0].customers_out.is_empty());
        assert!(form.ways.iter().any(|way| !way.offered), "the fuse is told and never chosen");
        assert!(form.steps.iter().any(|step| !step.gates.is_empty()));
        assert!(!form.restoration.is_empty());
        assert_eq!(form.way_left, None);
    }

    #[test]
    fn without_a_plan_the_way_that_is_left_is_named() {
        let words = Words::english().unwrap();
        let mut found = found("base-line-side");
        let source = found.sources[0].clone();
        found.plans.clear();
        let changes = vec![Change::MoreSwitches { branches: Vec::new() }];
        found.infeasible = Some(Infeasible { source, path: Vec::new(), changes });
        found.dearer.clear();
        let form = PlanForm::new(&found, &words);
        assert_eq!(form.sentence.id, "plan-infeasible");
        assert_eq!(form.changes.len(), 1);
        assert!(form.ways.is_empty() && form.steps.is_empty());
        assert!(form.way_left.is_some() && !form.not_allowed.is_empty());
    }
}
