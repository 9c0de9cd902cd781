//! Why there is no plan: the way that cannot be opened, and the smallest changes that would open it.

use std::collections::BTreeSet;

use super::boundary::{fewest, separated_by};
use super::load::Loads;
use super::opening::{Openable, Openings};
use super::plan::{Change, Infeasible, WhyNot};
use super::question::Question;
use super::zone::RequestError;
use super::{sources_of, zone};
use crate::quantity::AssetId;
use crate::rule_sheet::RuleSheet;

/// A way from a source to the zone on which nothing may be opened, and what would change that; none
/// where there is no such way.
pub(super) fn infeasible(
    question: &Question<'_>,
    rules: &RuleSheet,
    loads: &Loads<'_>,
) -> Result<Option<Infeasible>, RequestError> {
    let fixed: BTreeSet<&AssetId> = question
        .branches
        .iter()
        .zip(&question.openable)
        .filter(|(_, o)| o.as_ref().is_none_or(|o| o.why_not.is_some()))
        .map(|(b, _)| &b.id)
        .collect();
    let way = question.sources.iter().find_map(|source| {
        let network = question.network;
        let path = network.way([&source.node], question.zone, |b| fixed.contains(&b.id))?;
        Some((source.clone(), path))
    });
    let Some((source, path)) = way else { return Ok(None) };
    let mut changes = by_rule_sheet(question, rules, loads)?;
    changes.extend(by_less_load(question)?);
    changes.extend(by_more_switches(question)?);
    Ok(Some(Infeasible { source, path, changes }))
}

/// The keys of the rule sheet that would each do alone.
fn by_rule_sheet(
    question: &Question<'_>,
    rules: &RuleSheet,
    loads: &Loads<'_>,
) -> Result<Vec<Change>, RequestError> {
    let (plant, request, network) = (question.plant, question.request, question.network);
    let unseen = RuleSheet { allow_opening_without_visible_break: true, ..rules.clone() };
    let lugs = RuleSheet { allow_lug_opening_in_own_compartment: true, ..rules.clone() };
    let mut changes = Vec::new();
    for (key, sheet) in [
        ("allow_opening_without_visible_break", unseen),
        ("allow_lug_opening_in_own_compartment", lugs),
    ] {
        if &sheet == rules {
            continue;
        }
        let zone = zone::zone(plant, request, &sheet)?;
        let openings = Openings::new(plant, request, &sheet, &zone, loads)?;
        let (sources, _) = sources_of(plant, request)?;
        let question = Question::new(plant, request, network, &zone, sources, &openings);
        let problem = question.problem(|o| o.why_not.is_none())?;
        if let Some(cut) = fewest(&problem) {
            changes
                .push(Change::RuleSheet { key: key.to_owned(), branches: named(&question, &cut) });
        }
    }
    Ok(changes)
}

/// The switches that only their load stands against.
fn by_less_load(question: &Question<'_>) -> Result<Option<Change>, RequestError> {
    let loaded = |o: &Openable<'_>| {
        use WhyNot::{LikelyOverLoadBreak, NotLoadBreak, OverLoadBreak};
        matches!(o.why_not, Some(NotLoadBreak | OverLoadBreak | LikelyOverLoadBreak))
    };
    let problem = question.problem(|o| o.why_not.is_none() || loaded(o))?;
    Ok(fewest(&problem).map(|cut| {
        let of_load = cut.into_iter().filter(|&e| question.opened(e).is_some_and(loaded));
        Change::LessLoad { branches: named(question, &of_load.collect::<Vec<_>>()) }
    }))
}

/// The fewest places where something that opens would have to be put in.
fn by_more_switches(question: &Question<'_>) -> Result<Option<Change>, RequestError> {
    /// A new switch is dearer than any number of openings.
    const NEW: i128 = 1 << 32;
    let problem = question.problem(|o| o.why_not.is_none())?;
    let may_open = |edge: usize| problem.edges.get(edge).is_some_and(|e| e.price.is_some());
    let cut = separated_by(&problem, |edge| if may_open(edge) { 1 } else { NEW });
    Ok(cut.map(|cut| {
        let new: Vec<usize> = cut.into_iter().filter(|&edge| !may_open(edge)).collect();
        Change::MoreSwitches { branches: named(question, &new) }
    }))
}

fn named(question: &Question<'_>, edges: &[usize]) -> Vec<AssetId> {
    edges.iter().filter_map(|&edge| question.branches.get(edge)).map(|b| b.id.clone()).collect()
}
