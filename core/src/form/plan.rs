//! Isolation plans in words: for a page, and for a person at the terminal.

mod load;
mod out;
mod step;
mod way;

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;

use super::kebab;
use crate::{
    isolate::{
        Caution, Change, Infeasible, Isolation, NotAllowed, Plan, Proof, Step, WhyNot, Withdrawn,
    },
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
    /// Ways that failed when they were played step by step, and where.
    pub withdrawn: Vec<Sentence>,
    /// What may not be opened around the ways told, or around the zone where there is none: a line
    /// for each reason.
    pub rejected: Vec<Sentence>,
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
        let ways = ways(found, words);
        let all = best.into_iter().flat_map(|plan| plan.steps.iter().chain(&plan.restoration));
        let sources = step::sources(all);
        let steps = |pick: fn(&Plan) -> &Vec<Step>| {
            best.map_or_else(Vec::new, |plan| {
                step::steps(pick(plan), &plan.openings, &sources, words)
            })
        };
        Self {
            service: found.service.clone(),
            sentence: words.say(id, &service),
            certain: best.map(|_| certain(found.proof, words)),
            ways,
            withdrawn: withdrawn(found, words),
            rejected: rejected(found, words),
            out: best.map_or_else(Vec::new, |plan| out::goes_out(plan, words)),
            pick_ups: best.map_or_else(Vec::new, |plan| out::picked_up(plan, words)),
            loads: best.map_or_else(Vec::new, |plan| load::lines(&plan.openings, words)),
            steps: steps(|plan| &plan.steps),
            restoration: steps(|plan| &plan.restoration),
            worn_by: step::worn_by(&sources, words),
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
        lines.extend(self.withdrawn.iter().chain(&self.rejected).cloned());
        lines.extend(self.out.iter().chain(&self.pick_ups).chain(&self.loads).cloned());
        for (title, steps) in [("plan-forward", &self.steps), ("plan-back", &self.restoration)] {
            if !steps.is_empty() {
                lines.push(words.plain(title));
            }
            for step in steps {
                lines.push(step.sentence.clone());
                lines.extend(step.minds.iter().cloned());
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

/// Every way with its price, and why it is not the first.
fn ways(found: &Isolation, words: &Words) -> Vec<WayForm> {
    let Some(best) = found.plans.first() else { return Vec::new() };
    let way = |plan| WayForm::new(plan, words);
    let others = found.plans.iter().skip(1).map(|plan| way(plan).behind(best, words));
    let dearer = found.dearer.iter().map(|plan| way(plan).behind(best, words).dearer());
    let never = found.not_offered.iter().map(|plan| way(plan).never(words));
    std::iter::once(way(best)).chain(others).chain(dearer).chain(never).collect()
}

fn withdrawn(found: &Isolation, words: &Words) -> Vec<Sentence> {
    let one = |gone: &Withdrawn| {
        let breach = words.plain(&format!("breach-{}", kebab(&gone.breach)));
        let step = gone.step.to_string();
        let openings = few(&gone.branches, words);
        let places = [("openings", &*openings), ("step", &*step), ("breach", &*breach.text)];
        words.say("plan-withdrawn-way", &places)
    };
    found.withdrawn.iter().map(one).collect()
}

/// What may not be opened near by: branches with one reason in one line, in the order of the reasons,
/// but for those whose amps are the reason.
fn rejected(found: &Isolation, words: &Words) -> Vec<Sentence> {
    let near = found.not_allowed.iter().filter(|one| found.not_allowed_near.contains(&one.branch));
    let (by_amps, others): (Vec<_>, Vec<_>) = near.partition(|one| one.expected.is_some());
    let mut by_reason: BTreeMap<WhyNot, Vec<AssetId>> = BTreeMap::new();
    for one in others {
        by_reason.entry(one.rule).or_default().push(one.branch.clone());
    }
    let lines = by_reason.into_iter().map(|(rule, branches)| {
        let why = words.plain(&format!("not-allowed-{}", kebab(&rule)));
        let places = [("branch", &*few(&branches, words)), ("why", &*why.text)];
        words.say("plan-not-allowed", &places)
    });
    let by_amps = by_amps.into_iter().map(|one| NotAllowedForm::new(one, words).line(words));
    lines.chain(by_amps).collect()
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

/// More names than this are counted.
const MOST_NAMES: usize = 6;

/// The first few of some names, and how many more there are.
fn few(names: &[AssetId], words: &Words) -> String {
    let first = names.get(..MOST_NAMES.min(names.len())).unwrap_or_default();
    let text = joined(first, ", ");
    match names.len() - first.len() {
        0 => text,
        more => {
            let places = [("names", &*text), ("count", &*more.to_string())];
            words.say("plan-and-more", &places).text
        }
    }
}

fn caution_sentence(caution: &Caution, words: &Words) -> Sentence {
    let about = caution.about.as_ref().map_or("", |about| about.as_str());
    words.say(&format!("mind-{}", kebab(&caution.id)), &[("about", about)])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        isolate::{Breach, Request, isolate},
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

    /// What is worn and minded is said where it changes, each part with the number of its source.
    #[test]
    fn a_step_says_what_is_worn_by_which_source_and_minds_once() {
        let words = Words::english().unwrap();
        let form = PlanForm::new(&found("base-line-side"), &words);
        let wear = form.steps[1].wear.as_ref().unwrap();
        assert!(wear.text.contains("phase to ground. [1] Rubber gloves class 2"), "{wear:?}");
        assert!(!wear.spoken.contains('['), "{wear:?}");
        let by = form.worn_by.as_ref().unwrap();
        assert!(by.text.contains("[1] 29 CFR 1910.269 Table R-6"), "{by:?}");
        let minds = |of: &str| {
            let lifts = form.steps.iter().filter(|step| step.sentence.text.starts_with(of));
            lifts.map(|step| step.minds.len()).collect::<Vec<_>>()
        };
        assert_eq!(minds("Lift L"), [1, 0], "said at the first leg, not again at the second");
        assert_eq!(minds("Prove dead"), [2]);
        let dead = form.steps.iter().find(|step| step.sentence.text.starts_with("Prove dead"));
        let said = "Mind: The neutral stays landed and is never dead.";
        assert_eq!(dead.unwrap().minds[0].text, said);
    }

    /// Every other way says in what it is first worse, as plans are ranked; one that is never chosen
    /// says what stands against it, whatever it would cost.
    #[test]
    fn every_other_way_says_why_it_is_not_the_first() {
        let words = Words::english().unwrap();
        let mut found = found("base-line-side");
        let form = PlanForm::new(&found, &words);
        let (best, others) = form.ways.split_first().unwrap();
        assert_eq!(best.why_not_first, None);
        let why = |way: &WayForm| way.why_not_first.clone().unwrap().id;
        assert!(others.iter().any(|way| way.offered && why(way) == "why-more-out"), "{others:#?}");
        for way in others.iter().filter(|way| !way.offered) {
            assert_eq!(why(way), "why-no-gap");
            assert!(way.fuses > 0 && way.line(&words).id == "plan-way-never");
        }
        let mut dearer = found.plans[0].clone();
        let mut whys = Vec::new();
        for change in [
            |_: &mut Plan| (),
            |plan: &mut Plan| plan.operations += 2,
            |plan: &mut Plan| plan.exposure += 3,
            |plan: &mut Plan| plan.last_resorts += 1,
            |plan: &mut Plan| plan.still_out += 4,
        ] {
            change(&mut dearer);
            found.plans.truncate(1);
            found.plans.push(dearer.clone());
            let form = PlanForm::new(&found, &words);
            whys.push(form.ways[1].why_not_first.clone().unwrap().text);
        }
        assert_eq!(
            whys,
            [
                "it costs as much",
                "operations 2 more",
                "exposure 3 more",
                "fuses 1 more, the last resort",
                "leaves 4 more out"
            ]
        );
    }

    /// A line for each reason, and long lists are cut short.
    #[test]
    fn what_may_not_be_opened_near_by_is_told_by_its_reason() {
        let words = Words::english().unwrap();
        let mut found = found("base-line-side");
        found.not_allowed.clear();
        for number in 1..=9 {
            let branch = AssetId::new(format!("S{number}")).unwrap();
            found.not_allowed_near.push(branch.clone());
            let rule = if number == 3 { WhyNot::NoVisibleBreak } else { WhyNot::NotLoadBreak };
            found.not_allowed.push(NotAllowed { branch, rule, expected: None });
        }
        let far = AssetId::new("FAR").unwrap();
        let rule = WhyNot::NoVisibleBreak;
        found.not_allowed.push(NotAllowed { branch: far, rule, expected: None });
        let form = PlanForm::new(&found, &words);
        let lines: Vec<&str> = form.rejected.iter().map(|line| line.text.as_str()).collect();
        assert_eq!(
            lines,
            ["S1, S2, S4, S5, S6, S7 and 2 more: not made to break load", "S3: no gap to be seen"]
        );
    }

    #[test]
    fn a_way_that_failed_when_it_was_played_says_where() {
        let words = Words::english().unwrap();
        let mut found = found("base-line-side");
        let branches = vec![AssetId::new("P1-out").unwrap()];
        for breach in [Breach::CustomerLost, Breach::ZoneEnergised, Breach::SourcesTied] {
            let withdrawn = Withdrawn { branches: branches.clone(), step: 4, breach };
            found.withdrawn.push(withdrawn);
        }
        let form = PlanForm::new(&found, &words);
        assert_eq!(form.withdrawn[2].text, "never: P1-out. Step 4 ties two feeders.");
        assert!(form.withdrawn.iter().all(|line| !line.text.contains('{')), "{form:?}");
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
