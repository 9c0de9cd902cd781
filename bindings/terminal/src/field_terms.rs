//! Core's conductors and metals in the words of the made-up field, which knows nothing of core. The
//! field has two legs and a neutral; what it has no word for gives none.

use coldlug_core::plant::{Conductor, Metal, Pair};
use coldlug_field::{conductor as field, flow};

/// A hot leg.
pub(crate) const fn leg(leg: Conductor) -> Option<field::Leg> {
    match leg {
        Conductor::L1 => Some(field::Leg::L1),
        Conductor::L2 => Some(field::Leg::L2),
        _ => None,
    }
}

/// A conductor of a set.
pub(crate) fn conductor(conductor: Conductor) -> Option<field::Conductor> {
    match conductor {
        Conductor::N => Some(field::Conductor::N),
        hot => leg(hot).map(Into::into),
    }
}

/// Between what a voltage is measured.
pub(crate) fn pair(pair: Pair) -> Option<flow::Pair> {
    use Conductor::{G, L1, L2, N};
    match pair {
        Pair(L1, L2) => Some(flow::Pair::LegLeg),
        Pair(hot @ (L1 | L2), N) => leg(hot).map(flow::Pair::LegNeutral),
        Pair(hot @ (L1 | L2), G) => leg(hot).map(flow::Pair::LegGround),
        Pair(N, G) => Some(flow::Pair::NeutralGround),
        Pair(a @ (L1 | L2), b) if a == b => leg(a).map(flow::Pair::Jaws),
        Pair(..) => None,
    }
}

/// A metal, as core names it.
pub(crate) const fn metal(metal: field::Metal) -> Metal {
    match metal {
        field::Metal::Al => Metal::Al,
        field::Metal::Cu => Metal::Cu,
    }
}
