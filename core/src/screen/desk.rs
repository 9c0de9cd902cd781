//! The dispatcher's and the engineer's screens: the job as it stands, and what the desk can do.

use super::{
    Act,
    about::about,
    build::{Drawn, Scene},
};

/// What a role may not do is left out by who asks.
pub(super) fn drawn(scene: &Scene<'_>) -> Drawn {
    let acts = vec![
        Act::SettleConflict,
        Act::ReadPicture,
        Act::CompareBilling,
        Act::EndLink,
        Act::CorrectMap,
        Act::Abandon,
        Act::Interrupt,
        Act::WrongDrop,
        Act::TakeBack,
    ];
    Drawn { acts, ..about(scene) }
}
