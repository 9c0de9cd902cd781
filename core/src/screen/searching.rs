//! What settles a doubt, as acts of who is at the premises and of who is at the pad.

use super::{Act, build::Scene, crew::at_house};
use crate::{reading::InstrumentClass, reconcile::Test};

/// The settling tests as acts of this person.
pub(super) fn searching(scene: &Scene<'_>) -> Vec<Act> {
    let Some(judged) = scene.judged else { return Vec::new() };
    if judged.identified().is_some() {
        return vec![Act::TakeVerdict];
    }
    let house = at_house(scene);
    let mut acts = Vec::new();
    if !house {
        acts.push(Act::ReadPicture);
    }
    for test in &judged.settling {
        let act = match (&test.test, house) {
            (Test::BeginStay, _) | (Test::ChangePlaces, false) => Act::BeginStay,
            (Test::ReadMeterNumber, true) => Act::ReadMeterNumber,
            (Test::ReadPlate, true) => Act::ReadPlate,
            (Test::PictureOfMeter | Test::PhotographSticker | Test::CompareWithBilling, true) => {
                Act::TakePicture
            }
            (Test::PhotographSticker, false) => Act::ReadSticker,
            (Test::ChangePlaces | Test::BeginStayAnew, true) => Act::EndStay,
            (Test::CallDesk, _) => Act::Stop,
            (Test::BareSteps { .. }, false) => Act::BareStep,
            (Test::Tone { .. }, true) => Act::ToneOn,
            (Test::Tone { .. }, false) => Act::CompareTone,
            (Test::ReadMarkers { .. }, true) => Act::MarkerAtBase,
            (Test::ReadMarkers { .. }, false) => Act::MarkerAtSet,
            (Test::AskCustomer, true) => Act::CustomersWord,
            (Test::SearchPad { .. }, false) => Act::MarkSets,
            (Test::LoadStep { .. }, true) => Act::BeginRun,
            (Test::LoadStep { .. }, false) => clamping(scene),
            _ => continue,
        };
        acts.push(act);
    }
    acts
}

/// A clamp has to be entered and shown right before it is placed. One that the phone keeps needs no
/// typing.
fn clamping(scene: &Scene<'_>) -> Act {
    let Some(evidence) = &scene.state.evidence else { return Act::EnterInstrument };
    let kept = || {
        let mut own = scene.device.instruments.iter();
        own.any(|one| one.class == InstrumentClass::Clamp)
    };
    let mut clamps = evidence
        .instruments
        .values()
        .filter(|instrument| instrument.class == InstrumentClass::Clamp)
        .peekable();
    if clamps.peek().is_none() {
        return if kept() { Act::OwnInstrument } else { Act::EnterInstrument };
    }
    if clamps.any(|clamp| evidence.proven.contains_key(&clamp.id)) {
        Act::Clamp
    } else {
        Act::ProveInstrument
    }
}
