//! Whose word is still to come before anything closes.

use super::{Act, build::Scene};
use crate::{
    job::State,
    quantity::{DeviceId, PersonId},
    words::Sentence,
};

/// The phone a person's word is given on: the one in hand, or their own where the desk looks on.
pub(super) fn phone<'a>(state: &'a State, who: &PersonId, in_hand: &'a DeviceId) -> &'a DeviceId {
    if state.is_crews_phone(in_hand) {
        return in_hand;
    }
    let crew = state.header.iter().flat_map(|header| &header.crew);
    let mut own = crew.filter(|member| member.person == *who);
    own.find_map(|member| member.device.as_ref()).unwrap_or(in_hand)
}

fn phone_of<'a>(scene: &'a Scene<'_>) -> &'a DeviceId {
    phone(scene.state, scene.who, scene.device.device)
}

/// Whether a word has its place now: all was open, everything that was handed over is back, and
/// this phone has not said so yet, or not since the last work.
pub(super) fn has_place(state: &State, phone: &DeviceId) -> bool {
    let due = state.was_all_open() && !state.word_stands(phone);
    let since_work = state.ever_handed_over && !state.inspected;
    state.clearances.blocks_closing().is_empty() && (due || since_work)
}

/// Inspecting leads on where others wait for this phone's word.
pub(super) fn first(scene: &Scene<'_>) -> Option<Act> {
    has_place(scene.state, phone_of(scene)).then_some(Act::Inspect)
}

/// Whether this phone has said clear: what leads on is restoring.
pub(super) fn given(scene: &Scene<'_>) -> bool {
    scene.state.said_clear(phone_of(scene))
}

/// Whether some phone has said clear: somebody wants to restore.
pub(super) fn given_by_anybody(scene: &Scene<'_>) -> bool {
    let mut crew = scene.state.header.iter().flat_map(|header| &header.crew);
    crew.any(|member| member.device.as_ref().is_some_and(|own| scene.state.word_stands(own)))
}

/// Who is to be heard before this phone closes anything, in a headline.
pub(super) fn waited_for(scene: &Scene<'_>) -> Option<Sentence> {
    let waits: Vec<String> = scene
        .state
        .waits_for_word_of(phone_of(scene))
        .into_iter()
        .filter_map(|member| Some(format!("{} ({})", member.device.as_ref()?, member.person)))
        .collect();
    let who = waits.join(", ");
    (!waits.is_empty()).then(|| scene.words.say("headline-wait-for-word", &[("who", &who)]))
}

/// Acts that close something, or take off what protects.
pub(super) const fn closes(act: Act) -> bool {
    matches!(
        act,
        Act::RemoveShort
            | Act::TakeGround
            | Act::TakeLock
            | Act::CloseSwitch
            | Act::Land
            | Act::SetMeter
            | Act::CloseMain
            | Act::SourcesOn
            | Act::Close
    )
}
