//! Isolation plans in words: for a page, and for a person at the terminal.

use schemars::JsonSchema;
use serde::Serialize;

use super::kebab;
use crate::{
    isolate::{Caution, Isolation, NotAllowed, Opening, Plan, Step},
    quantity::AssetId,
    words::{Sentence, Words},
};

/// What to open so that no source reaches the work zone, and who goes out.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PlanForm {
    /// The service that is to be made dead.
    pub service: AssetId,
    /// Whether there is a plan, in words.
    pub sentence: Sentence,
    /// Ways to do it, the best first, then those that are told and never to be chosen.
    pub ways: Vec<WayForm>,
    /// The best way, step by step.
    pub steps: Vec<StepForm>,
    /// And back, step by step.
    pub restoration: Vec<StepForm>,
    /// What to mind on the best way.
    pub cautions: Vec<Sentence>,
    /// Where there is no plan: the way from a source that nothing may open.
    pub way_left: Option<Sentence>,
    /// Where there is no plan: what may not be opened, and why.
    pub not_allowed: Vec<NotAllowedForm>,
    /// Where the search was cut short: that there may be more ways.
    pub not_complete: Option<Sentence>,
}

/// One way to do it, with its price.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WayForm {
    /// What is opened, and how.
    pub openings: Vec<Sentence>,
    /// False: told with its price, and never to be chosen, since no gap is to be seen.
    pub offered: bool,
    /// Services beyond the target that go out.
    pub customers_out: Vec<AssetId>,
    /// Exposure of its operations, weighed by the rule sheet.
    pub exposure: u32,
    /// How many operations.
    pub operations: u32,
}

/// One step.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StepForm {
    /// What is done.
    pub sentence: Sentence,
    /// The rules that stand before it, by id.
    pub gates: Vec<String>,
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
        let id = if best.is_some() { "plan-best" } else { "plan-infeasible" };
        let blocked = found.infeasible.as_ref().filter(|_| best.is_none());
        let not_allowed: &[NotAllowed] = if best.is_none() { &found.not_allowed } else { &[] };
        let ways = found.plans.iter().map(|plan| (plan, true));
        let never = found.not_offered.iter().map(|plan| (plan, false)).filter(|_| best.is_some());
        let steps = |pick: fn(&Plan) -> &Vec<Step>| {
            best.into_iter().flat_map(pick).map(|step| StepForm::new(step, words)).collect()
        };
        Self {
            service: found.service.clone(),
            sentence: words.say(id, &service),
            ways: ways.chain(never).map(|(plan, may)| WayForm::new(plan, may, words)).collect(),
            steps: steps(|plan| &plan.steps),
            restoration: steps(|plan| &plan.restoration),
            cautions: best
                .into_iter()
                .flat_map(|plan| &plan.cautions)
                .map(|caution| caution_sentence(caution, words))
                .collect(),
            way_left: blocked.map(|way| {
                let path: Vec<&str> = way.path.iter().map(AssetId::as_str).collect();
                let places = [("source", way.source.id.as_str()), ("path", &path.join(" - "))];
                words.say("plan-way-left", &places)
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
        lines.extend(self.ways.iter().map(|way| way.line(words)));
        for (title, steps) in [("plan-forward", &self.steps), ("plan-back", &self.restoration)] {
            if !steps.is_empty() {
                lines.push(words.plain(title));
            }
            lines.extend(steps.iter().map(|step| step.sentence.clone()));
        }
        lines.extend(self.cautions.iter().chain(&self.way_left).cloned());
        lines.extend(self.not_allowed.iter().map(|branch| branch.line(words)));
        lines.extend(self.not_complete.clone());
        lines
    }
}

impl WayForm {
    fn new(plan: &Plan, offered: bool, words: &Words) -> Self {
        Self {
            openings: plan
                .openings
                .iter()
                .map(|opening| opening_sentence(opening, words))
                .collect(),
            offered,
            customers_out: plan.customers_out.clone(),
            exposure: plan.exposure,
            operations: plan.operations,
        }
    }

    /// What is opened, all of it in one text; a way that is never to be chosen says so.
    pub fn openings_text(&self, words: &Words) -> String {
        let all: Vec<&str> = self.openings.iter().map(|opening| opening.text.as_str()).collect();
        let all = all.join("; ");
        if self.offered { all } else { words.say("plan-not-offered", &[("openings", &all)]).text }
    }

    fn line(&self, words: &Words) -> Sentence {
        let out: Vec<&str> = self.customers_out.iter().map(AssetId::as_str).collect();
        let places = [
            ("openings", self.openings_text(words)),
            ("count", out.len().to_string()),
            ("out", out.join(", ")),
            ("exposure", self.exposure.to_string()),
            ("operations", self.operations.to_string()),
        ];
        let id = if out.is_empty() { "plan-way" } else { "plan-way-out" };
        words.say(id, &places.each_ref().map(|(name, text)| (*name, text.as_str())))
    }
}

impl StepForm {
    fn new(step: &Step, words: &Words) -> Self {
        let gates = step.gates.iter().map(|rule| rule.id().to_owned()).collect();
        Self { sentence: step_sentence(step, words), gates }
    }
}

impl NotAllowedForm {
    fn new(branch: &NotAllowed, words: &Words) -> Self {
        let sentence = words.plain(&format!("not-allowed-{}", kebab(&branch.rule)));
        Self { branch: branch.branch.clone(), sentence }
    }

    fn line(&self, words: &Words) -> Sentence {
        let places = [("branch", self.branch.as_str()), ("why", &*self.sentence.text)];
        words.say("plan-not-allowed", &places)
    }
}

/// What is opened, and how.
pub fn opening_sentence(opening: &Opening, words: &Words) -> Sentence {
    let device = words.plain(&format!("device-{}", kebab(&opening.device)));
    let place = match (&opening.pad, &opening.position) {
        (Some(pad), Some(position)) => {
            words.say("plan-place", &[("pad", pad.as_str()), ("position", position)]).text
        }
        _ => opening.branch.to_string(),
    };
    let id = if opening.hold { "plan-hold" } else { "plan-open" };
    words.say(id, &[("device", &device.text), ("what", &place)])
}

fn step_sentence(step: &Step, words: &Words) -> Sentence {
    let act = words.plain(&format!("step-{}", kebab(&step.act)));
    let branch = step.branch.as_ref().map(ToString::to_string);
    let node = step.node.as_ref().map(ToString::to_string);
    let service = step.service.as_ref().map(ToString::to_string);
    let at = [step.leg.map(|leg| leg.to_string()), branch.or(node).or(service)];
    let at: Vec<String> = at.into_iter().flatten().collect();
    if at.is_empty() {
        return act;
    }
    words.say("plan-step-at", &[("act", &act.text), ("at", &at.join(" "))])
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
        found.infeasible = Some(crate::isolate::Infeasible { source, path: Vec::new() });
        let form = PlanForm::new(&found, &words);
        assert_eq!(form.sentence.id, "plan-infeasible");
        assert!(form.ways.is_empty() && form.steps.is_empty());
        assert!(form.way_left.is_some() && !form.not_allowed.is_empty());
    }
}
