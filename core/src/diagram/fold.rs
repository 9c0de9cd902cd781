//! Folding: pads that only pass supply on become one row with their number.

use super::fact::{Facts, Status};
use super::shown::Shown;
use super::tree::{Beside, Part, Run, is_quiet};
use crate::quantity::AssetId;

/// The tree with its long quiet stretches folded.
pub(super) fn folded(facts: &Facts<'_>, shown: &Shown, beside: &Beside, run: Run) -> Run {
    Fold { facts, shown, beside }.run(run, None)
}

struct Fold<'a> {
    facts: &'a Facts<'a>,
    shown: &'a Shown,
    beside: &'a Beside,
}

impl Fold<'_> {
    /// Folds a run that begins at a part.
    fn run(&self, run: Run, begins_at: Option<&Part>) -> Run {
        let mut parts = run.parts;
        // What branches stays what it is.
        let bar = if run.then.is_empty() { None } else { parts.pop() };
        let is_cable = |part: &&Part| match part {
            Part::Edge { edge, .. } => {
                self.facts.web.branch(*edge).is_some_and(|b| b.device().is_none())
            }
            _ => false,
        };
        let lead = parts.iter().find(is_cable).or(parts.first()).cloned();
        let mut out = Vec::new();
        let mut stretch: Vec<Part> = Vec::new();
        let mut of: Option<Status> = None;
        for part in parts {
            let status = self.plain(&part);
            if status.is_none() || status != of {
                self.close(&mut stretch, &mut out, begins_at, Some(&part));
            }
            of = status;
            if status.is_some() { stretch.push(part) } else { out.push(part) }
        }
        self.close(&mut stretch, &mut out, begins_at, bar.as_ref());
        // From one bar to the next there is at least a lead.
        if out.is_empty() && begins_at.is_some() {
            out.extend(lead);
        }
        let then = run.then.into_iter().map(|child| self.run(child, bar.as_ref())).collect();
        out.extend(bar);
        Run { parts: out, then }
    }

    /// How a part stands that may be folded away; none for one that may not.
    fn plain(&self, part: &Part) -> Option<Status> {
        if !is_quiet(self.facts, part) {
            return None;
        }
        match part {
            Part::Edge { edge, from, to } => {
                // A switch that is in no pad, as a cut-out on its pole, is always told.
                let branch = self.facts.web.branch(*edge)?;
                let told = branch.device().is_some() && self.facts.pad_of(branch).is_none();
                let (one, other) = (self.facts.status(*from), self.facts.status(*to));
                (!told && one == other).then_some(one)
            }
            Part::Node(node) => Some(self.facts.status(*node)),
            Part::To(_) | Part::Pads { .. } | Part::Beyond { .. } => None,
        }
    }

    fn pad(&self, part: &Part) -> Option<&AssetId> {
        self.any_pad(part).filter(|pad| !self.facts.pads.contains(*pad))
    }

    fn any_pad(&self, part: &Part) -> Option<&AssetId> {
        match part {
            Part::Edge { edge, .. } => {
                self.facts.web.branch(*edge).and_then(|b| self.facts.pad_of(b))
            }
            Part::Node(node) | Part::To(node) => self.facts.pad_of_node(*node),
            _ => None,
        }
    }

    /// Ends a stretch: what lies from its first pad to its last becomes one part. The pads of what
    /// stands before and after it are told there.
    fn close(
        &self,
        stretch: &mut Vec<Part>,
        out: &mut Vec<Part>,
        begins_at: Option<&Part>,
        next: Option<&Part>,
    ) {
        let taken = std::mem::take(stretch);
        let told: Vec<AssetId> = [out.last().or(begins_at), next]
            .into_iter()
            .flatten()
            .filter_map(|part| self.any_pad(part).cloned())
            .collect();
        let first = taken.iter().position(|part| self.pad(part).is_some());
        let last = taken.iter().rposition(|part| self.pad(part).is_some());
        let (Some(first), Some(last)) = (first, last) else {
            out.extend(taken);
            return;
        };
        let mut pads: Vec<AssetId> = Vec::new();
        let (mut own, mut ways, mut status) = (0, 0, Status::Dead);
        let mut after = Vec::new();
        for (place, part) in taken.into_iter().enumerate() {
            if place < first {
                out.push(part);
                continue;
            }
            if place > last {
                after.push(part);
                continue;
            }
            status = status.min(self.plain(&part).unwrap_or(Status::Live));
            if let Part::Node(node) = &part {
                own += self.shown.own.get(node).copied().unwrap_or(0);
                ways += self.beside.get(node).copied().unwrap_or(0);
            }
            let pad = self.pad(&part);
            if let Some(pad) = pad.filter(|pad| !pads.contains(pad) && !told.contains(pad)) {
                pads.push(pad.clone());
            }
        }
        if pads.is_empty() && own + ways > 0 {
            pads.extend(told.into_iter().next());
        }
        if !pads.is_empty() {
            out.push(Part::Pads { pads, status, own, ways });
        }
        out.extend(after);
    }
}
