//! The page of reasons: the verdict, what is still in doubt, what would settle it, and then for each
//! set and each stay what was seen and what alone could make it false.

use super::{PageShown, Tone, passage::Passage, physical_lines, tone};
use crate::{
    form::{CandidateForm, IdleForm, JudgementForm, PremisesForm, ReasonForm, name},
    job::{Sheets, State},
    reconcile::judge,
    sighting::{Evidence, Idle},
    words::{Sentence, Words},
};

/// Settling tests that are told: the others wait until this one is done.
const TESTS: usize = 1;

/// The page; before the job is opened it has nothing to say.
pub(super) fn reasons(state: &State, sheets: &Sheets<'_>, words: &Words) -> PageShown {
    let physical = physical_lines(state, words);
    let Some(evidence) = state.evidence.as_ref() else {
        let headline = words.plain("page-reasons");
        let (tone, diagram, acts, passages) = (Tone::Rest, None, Vec::new(), Vec::new());
        return PageShown { physical, headline, tone, diagram, acts, passages };
    };
    let judged = judge(sheets.plant, sheets.rules, evidence);
    let form = JudgementForm::new(evidence, None, &judged, words);
    let passages = passages(&form, evidence, words);
    let tone = tone::of_verdict(form.verdict);
    let (headline, diagram, acts) = (form.sentence, None, Vec::new());
    PageShown { physical, headline, tone, diagram, acts, passages }
}

fn passages(form: &JudgementForm, evidence: &Evidence, words: &Words) -> Vec<Passage> {
    let tests = form.settling_tests.iter().take(TESTS).map(|test| test.sentence.clone());
    let first = [
        Passage::of(words.plain("reasons-title-why"), form.doubts.clone()),
        Passage::of(words.plain("label-settle"), tests.collect()),
    ];
    let sets = form.candidates.iter().map(|row| of_set(form, row, words));
    let stays = form.premises.iter().filter_map(|stay| of_stay(stay, words));
    let idle = Passage::of(words.plain("reasons-title-idle"), idle(form, evidence, words));
    first.into_iter().flatten().chain(sets).chain(stays).chain(idle).collect()
}

fn of_set(form: &JudgementForm, row: &CandidateForm, words: &Words) -> Passage {
    let set = row.set.as_ref().map_or_else(|| words.plain("candidate-elsewhere").text, name);
    let stands = match (&row.set, row.possible) {
        (Some(set), _) if form.set.as_ref() == Some(set) => "reasons-the-one",
        (_, true) => "candidate-open",
        (_, false) => "candidate-excluded",
    };
    let title = titled("reasons-title-set", "set", &set, &words.plain(stands).text, words);
    let nothing = || vec![words.plain("reason-none")];
    let lines = if row.reasons.is_empty() { nothing() } else { lines(&row.reasons) };
    Passage::plain(title, lines)
}

fn of_stay(stay: &PremisesForm, words: &Words) -> Option<Passage> {
    let stands = match &stay.identified {
        Some(service) => words.say("reasons-stay-at", &[("service", service.as_str())]),
        None => words.plain("reasons-stay-open"),
    };
    let title = titled("reasons-title-stay", "stay", stay.stay.as_str(), &stands.text, words);
    Passage::of(title, lines(&stay.reasons))
}

fn titled(id: &str, what: &str, of: &str, stands: &str, words: &Words) -> Sentence {
    words.say(id, &[(what, of), ("stands", stands)])
}

fn lines(reasons: &[ReasonForm]) -> Vec<Sentence> {
    reasons.iter().flat_map(|reason| reason.lines.iter().cloned()).collect()
}

/// By whom and when, and why it decides nothing; not what was read, which a second reader is to see
/// anew.
fn idle(form: &JudgementForm, evidence: &Evidence, words: &Words) -> Vec<Sentence> {
    let line = |row: &IdleForm| {
        let seen = evidence.sightings.get(&row.sighting)?;
        let by = [("who", seen.who.as_str()), ("at", &seen.at.to_clock())];
        let by = words.say("reason-seen-by", &by).text;
        Some(words.say("reasons-idle", &[("seen", &by), ("why", &row.sentence)]))
    };
    let decides = |row: &&IdleForm| row.reason != Idle::OrdersTheSearch.id();
    form.idle.iter().filter(decides).filter_map(line).collect()
}
