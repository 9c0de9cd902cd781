//! The screens of a coded load step: the doer's prompts, the pad's keys.

use super::{
    Prompt, Screen,
    ask::run::{kept, secret_name},
    build::Scene,
};
use crate::sighting::{Limits, Run, Seen, Slot, Stay};

/// The open run that this person does and can go on with: not while the job stands still, not
/// after its stay, and only where its code is on this device.
pub(super) fn own_run<'a>(scene: &Scene<'a>) -> Option<&'a Run> {
    if scene.state.stopped.is_some() {
        return None;
    }
    let evidence = scene.state.evidence.as_ref()?;
    let goes_on = |run: &Run| {
        let stay = evidence.stays.get(&run.stay);
        stay.is_some_and(Stay::is_open) && code_here(scene, run).is_some()
    };
    let mut runs = evidence.runs.values().rev();
    runs.find(|run| run.doer == *scene.who && run.ended.is_none() && goes_on(run))
}

/// The code of a run, where it is kept on this device.
fn code_here(scene: &Scene<'_>, run: &Run) -> Option<Vec<Slot>> {
    let secret = scene.device.secrets.get(&secret_name(&run.id))?;
    kept(secret).map(|(code, _)| code)
}

/// The open run of somebody else that this person has not written keys of yet.
pub(super) fn run_to_read<'a>(scene: &Scene<'a>) -> Option<&'a Run> {
    let evidence = scene.state.evidence.as_ref()?;
    let written = |run: &Run| {
        evidence.sightings.values().any(|sighting| {
            sighting.who == *scene.who
                && matches!(&sighting.seen, Seen::LoadStep { run: of, .. } if *of == run.id)
        })
    };
    evidence
        .runs
        .values()
        .rev()
        .find(|run| run.doer != *scene.who && run.ended.is_none() && !written(run))
}

/// What the doer switches, slot by slot.
pub(super) fn prompts(scene: &Scene<'_>, run: &Run) -> Screen {
    let code = code_here(scene, run).unwrap_or_default();
    let mut on = false;
    let mut prompts = Vec::new();
    for (slot, does) in (1_u16..).zip(&code) {
        let id = match (does, on) {
            (Slot::Change, false) => "prompt-switch-on",
            (Slot::Change, true) => "prompt-switch-off",
            (Slot::Hold, true) => "prompt-leave-on",
            (Slot::Hold, false) => "prompt-leave-off",
        };
        on ^= *does == Slot::Change;
        let say = scene.words.say("prompt-say", &[("slot", &slot.to_string())]);
        prompts.push(Prompt { slot, word: scene.words.plain(id), say });
    }
    Screen::Switching { run: run.id.clone(), outlet: run.outlet.clone(), prompts }
}

/// What the pad is told of a run: how many slots, and at which amps are typed. Never the code.
pub(super) fn keys(scene: &Scene<'_>, run: &Run) -> Screen {
    let slots = Limits::from(scene.sheets.rules).slots;
    Screen::Keys {
        run: run.id.clone(),
        slots: u16::try_from(slots).unwrap_or(u16::MAX),
        size_slot: run.size_slot.saturating_add(1),
    }
}
