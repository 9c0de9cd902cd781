//! What a person can do, and which role may.

use schemars::JsonSchema;
use serde::Serialize;

use crate::gate::Role;

macro_rules! acts {
    ($($(#[$doc:meta])* $name:ident = $id:literal, $($role:ident)|+;)*) => {
        /// Everything that can be done on a screen.
        #[derive(
            Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, JsonSchema,
        )]
        #[serde(rename_all = "kebab-case")]
        pub enum Act {
            $($(#[$doc])* $name,)*
        }

        impl Act {
            /// Every act, in the order of the work.
            pub const ALL: &[Self] = &[$(Self::$name,)*];

            /// The id of its label in the words.
            pub const fn id(self) -> &'static str {
                match self { $(Self::$name => $id,)* }
            }
        }

        /// Whether a role may do an act. The gate still judges the act itself.
        pub const fn may(role: Role, act: Act) -> bool {
            match act { $(Act::$name => matches!(role, $(Role::$role)|+),)* }
        }
    };
}

acts! {
    /// Holds the tailboard briefing.
    Brief = "act-brief", Lineworker;
    /// Does the settling test on top of the list.
    Settle = "act-settle", Lineworker;
    /// Answers the questions on the set.
    Answer = "act-answer", Lineworker;
    /// Opens the main and pulls the meter.
    PullMeter = "act-pull-meter", Lineworker;
    /// Reads amps on every leg.
    ReadAmps = "act-read-amps", Lineworker;
    /// Lifts the next leg.
    Lift = "act-lift", Lineworker;
    /// Caps, restrains and tags a lifted end.
    Secure = "act-secure", Lineworker;
    /// Checks at the base which leg died.
    CheckLeg = "act-check-leg", Lineworker;
    /// Proves the base dead.
    ProveDead = "act-prove-dead", Lineworker;
    /// Proves the identity by opening.
    ProveByOpening = "act-prove-by-opening", Lineworker;
    /// Tests the lifted ends and shorts them to neutral.
    Short = "act-short", Lineworker;
    /// Offers a clearance.
    Offer = "act-offer", Lineworker;
    /// Tests and takes a clearance.
    Accept = "act-accept", Electrician | Lineworker;
    /// Does not take a clearance.
    Refuse = "act-refuse", Electrician | Lineworker;
    /// Releases a clearance.
    Release = "act-release", Electrician | Lineworker;
    /// Inspects the work.
    Inspect = "act-inspect", Lineworker;
    /// Takes the short off.
    RemoveShort = "act-remove-short", Lineworker;
    /// Compares the insulation of the legs.
    ReadInsulation = "act-read-insulation", Lineworker;
    /// Verifies the neutral.
    VerifyNeutral = "act-verify-neutral", Lineworker;
    /// Lands the next leg.
    Land = "act-land", Lineworker;
    /// Proves the supply live and healthy.
    ProveLive = "act-prove-live", Lineworker;
    /// Sets the meter and closes the main.
    SetMeter = "act-set-meter", Lineworker;
    /// Writes a correction of the map.
    CorrectMap = "act-correct-map", Lineworker | Dispatcher;
    /// Says what leads a stopped job back.
    Resume = "act-resume", Lineworker;
    /// Closes the job.
    Close = "act-close", Lineworker;
    /// Stops at once and makes safe. Never refused.
    Stop = "act-stop", Lineworker | Electrician | Dispatcher | Engineer;
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::Words;

    #[test]
    fn every_act_has_a_label_and_anyone_may_stop() {
        let words = Words::english().unwrap();
        for act in Act::ALL {
            assert!(words.has(act.id()), "{}", act.id());
        }
        for role in [Role::Lineworker, Role::Electrician, Role::Dispatcher, Role::Engineer] {
            assert!(may(role, Act::Stop));
        }
        assert!(!may(Role::Dispatcher, Act::Lift));
        assert!(!may(Role::Electrician, Act::Land));
    }
}
