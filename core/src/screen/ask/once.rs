//! What every act of a screen would find alike, and is found once a screen.

use std::cell::OnceCell;

use crate::{quantity::AssetId, reconcile::Judgement};

/// What is found once a screen, or once a draft.
#[derive(Debug, Default)]
pub(in crate::screen) struct Once<'a> {
    /// What the evidence amounts to, where that was drawn for the screen.
    pub(super) judged: Option<&'a Judgement>,
    /// The pads to choose from.
    pub(super) near_pads: OnceCell<Vec<AssetId>>,
    /// The switches to choose from, however they stand.
    pub(super) near_switches: OnceCell<Vec<AssetId>>,
}

impl<'a> Once<'a> {
    /// For a screen that was judged.
    pub(in crate::screen) fn judged(judged: Option<&'a Judgement>) -> Self {
        Self { judged, ..Self::default() }
    }
}
