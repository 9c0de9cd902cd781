//! The ledger's screen.

use super::Screen;
use crate::{
    form::JudgementForm,
    job::{Sheets, State},
    reconcile::judge,
    words::{Sentence, Words},
};

/// Verdict as headline, ledger below; none while the job is not opened.
pub(super) fn ledger(
    state: &State,
    sheets: &Sheets<'_>,
    words: &Words,
) -> Option<(Sentence, Screen)> {
    let evidence = state.evidence.as_ref()?;
    let judged = judge(sheets.plant, sheets.rules, evidence);
    let until = state.applied.last().map(|applied| &applied.event.id);
    let form = JudgementForm::new(&evidence.target, until, &judged, words);
    Some((form.sentence.clone(), Screen::Ledger { judgement: Box::new(form) }))
}
