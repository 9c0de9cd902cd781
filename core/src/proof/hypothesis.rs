//! What is most likely when something is live that should be dead.

use crate::{
    plant::{Conductor, Pair, VoltageSystem},
    reading::{Place, Side, Taken, VoltsReading, reasons},
};

reasons! {
    /// What a live reading in the zone most likely means.
    pub enum Hypothesis {
        WrongSet = "live-wrong-set":
            "Every leg of the line side lives: another set was opened than the one that feeds this.";
        FedThroughLoad = "live-fed-through-load":
            "Legs live to neutral: one may be open and fed through a load from the other.";
        LegNotOpen = "live-leg-not-open": "One leg still feeds this: a leg or a run is not lifted.";
        CustomerSource = "live-customer-source":
            "Only the customer's side lives: a generator, a battery or another meter feeds back.";
        OpenNeutral = "live-open-neutral":
            "The neutral stands away from ground: it is open or bad somewhere.";
        LiftedFed = "live-lifted-fed":
            "Lifted conductors live: they are fed from the other end, or are another set's.";
        OtherSource = "live-other-source": "Something else feeds this: find it before anything else.";
    }
}

/// The likeliest by what is live, never more than an opinion.
pub(super) fn most_likely(live: &[&Taken<VoltsReading>], system: VoltageSystem) -> Hypothesis {
    let at_line = |place: &Place| matches!(place, Place::MeterBase { side: Side::Line, .. });
    let lives = |conductor: Conductor| {
        live.iter().any(|taken| {
            let Pair(one, other) = taken.reading.between;
            let is_ground = |c: Conductor| c == Conductor::N || c == Conductor::G;
            at_line(&taken.reading.place)
                && ((one == conductor && is_ground(other))
                    || (other == conductor && is_ground(one)))
        })
    };
    let between_legs = live.iter().any(|taken| {
        let Pair(one, other) = taken.reading.between;
        at_line(&taken.reading.place) && one.is_leg() && other.is_leg()
    });
    let live_legs = system.legs().iter().filter(|&&leg| lives(leg)).count();
    let neutral_only = live.iter().all(|taken| {
        let Pair(one, other) = taken.reading.between;
        !one.is_leg() && !other.is_leg()
    });
    let any = |test: fn(&Place) -> bool| live.iter().any(|taken| test(&taken.reading.place));
    let lifted = |place: &Place| matches!(place, Place::LiftedLegs { .. });
    let load = |place: &Place| matches!(place, Place::MeterBase { side: Side::Load, .. });
    if live_legs == system.legs().len() && between_legs {
        Hypothesis::WrongSet
    } else if live_legs == system.legs().len() {
        Hypothesis::FedThroughLoad
    } else if live_legs > 0 || between_legs {
        Hypothesis::LegNotOpen
    } else if neutral_only {
        Hypothesis::OpenNeutral
    } else if any(lifted) {
        Hypothesis::LiftedFed
    } else if any(load) {
        Hypothesis::CustomerSource
    } else {
        Hypothesis::OtherSource
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        plant::Conductor::{G, L1, L2, N},
        reading::example::{base, reading, taken},
    };

    fn check(live: &[(Side, Conductor, Conductor)], wanted: Hypothesis) {
        let live: Vec<_> = live
            .iter()
            .enumerate()
            .map(|(i, &(side, one, other))| taken(i, 0, reading(base(side), one, other, "120")))
            .collect();
        let live: Vec<_> = live.iter().collect();
        assert_eq!(most_likely(&live, VoltageSystem::Split120_240), wanted);
    }

    #[test]
    fn what_lives_says_what_is_likely() {
        let (line, load) = (Side::Line, Side::Load);
        check(&[(line, L1, N), (line, L2, G), (line, L1, L2)], Hypothesis::WrongSet);
        check(&[(line, L1, N), (line, N, L2)], Hypothesis::FedThroughLoad);
        check(&[(line, L1, N)], Hypothesis::LegNotOpen);
        check(&[(load, L1, N), (load, L1, L2)], Hypothesis::CustomerSource);
        check(&[(line, N, G)], Hypothesis::OpenNeutral);
        check(&[(Side::AcrossJaws, L1, L1)], Hypothesis::OtherSource);
    }
}
