//! The ledger's screen.

use super::{Screen, build::Scene};
use crate::{form::JudgementForm, words::Sentence};

/// Verdict as headline, ledger below; none while the job is not opened.
pub(super) fn ledger(scene: &Scene<'_>) -> Option<(Sentence, Screen)> {
    let (evidence, judged) = (scene.state.evidence.as_ref()?, scene.judged?);
    let until = scene.state.applied.last().map(|applied| &applied.event.id);
    let form = JudgementForm::new(evidence, until, judged, scene.words);
    Some((form.sentence.clone(), Screen::Ledger { judgement: Box::new(form) }))
}
