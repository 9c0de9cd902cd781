//! What a person can do, and which role may.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::gate::Role;

macro_rules! acts {
    ($d:tt $($(#[$doc:meta])* $name:ident = $id:literal, $($role:ident)|+;)*) => {
        /// Everything that can be done on a screen.
        #[derive(
            Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
            JsonSchema,
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

        /// Hands the names of all acts, each with its docs, to another macro: for what mirrors them
        /// across a foreign interface and must not lag behind.
        #[macro_export]
        macro_rules! every_act {
            ($d with:ident) => { $d with! { $($(#[$doc])* $name,)* } };
        }
    };
}

acts! { $
    /// Holds the tailboard briefing.
    Brief = "act-brief", Lineworker;
    /// Takes an instrument that this phone keeps over jobs into the job, with all that is known of it.
    OwnInstrument = "act-own-instrument", Lineworker;
    /// Enters an instrument from its nameplate.
    EnterInstrument = "act-enter-instrument", Lineworker | Electrician;
    /// Holds an instrument to something known.
    ProveInstrument = "act-prove-instrument", Lineworker | Electrician;
    /// Is at the premises from now on.
    BeginStay = "act-begin-stay", Lineworker | Electrician;
    /// Leaves the premises.
    EndStay = "act-end-stay", Lineworker | Electrician;
    /// Takes a stay back whole.
    WithdrawStay = "act-withdraw-stay", Lineworker | Electrician;
    /// Reads the number on the meter.
    ReadMeterNumber = "act-read-meter-number", Lineworker;
    /// Reads the address plate.
    ReadPlate = "act-read-plate", Lineworker;
    /// Takes a picture of the meter.
    TakePicture = "act-take-picture", Lineworker;
    /// Reads the number on a picture that somebody else took.
    ReadPicture = "act-read-picture", Lineworker | Dispatcher;
    /// Reads the code on a picture of the job's sticker that somebody else took.
    ReadSticker = "act-read-sticker", Lineworker;
    /// Holds the number on a picture against the billing record.
    CompareBilling = "act-compare-billing", Dispatcher;
    /// Says that something cannot be had at the premises.
    NotToBeHad = "act-not-to-be-had", Lineworker;
    /// Writes down the customer's word on where they are.
    CustomersWord = "act-customers-word", Lineworker;
    /// Says which service they are at.
    SayWhere = "act-say-where", Electrician;
    /// Looks at the cable in the meter base.
    LookAtBase = "act-look-at-base", Lineworker;
    /// Reads the tag of a pad.
    ReadTag = "act-read-tag", Lineworker;
    /// Takes a position fix at a pad.
    TakeFix = "act-take-fix", Lineworker;
    /// Counts and marks the sets of a pad.
    MarkSets = "act-mark-sets", Lineworker;
    /// Looks at the cable of a set at its lugs.
    LookAtSet = "act-look-at-set", Lineworker;
    /// Clamps one leg of a set.
    Clamp = "act-clamp", Lineworker;
    /// Reads one leg while the known load is switched once by word of mouth.
    BareStep = "act-bare-step", Lineworker;
    /// Puts a tone on at the premises.
    ToneOn = "act-tone-on", Lineworker;
    /// Compares the tone on every set of a pad.
    CompareTone = "act-compare-tone", Lineworker;
    /// Reads the cable marker in the meter base.
    MarkerAtBase = "act-marker-at-base", Lineworker;
    /// Reads the cable marker on a set.
    MarkerAtSet = "act-marker-at-set", Lineworker;
    /// Begins a coded switching run.
    BeginRun = "act-begin-run", Lineworker | Electrician;
    /// Writes down what the clamp showed, slot by slot.
    WriteKeys = "act-write-keys", Lineworker;
    /// Ends a coded switching run and opens its code.
    EndRun = "act-end-run", Lineworker | Electrician;
    /// Takes the verdict on record: the set is identified.
    TakeVerdict = "act-take-verdict", Lineworker;
    /// Answers the questions on the set.
    Answer = "act-answer", Lineworker;
    /// Reads the phase rotation.
    ReadRotation = "act-read-rotation", Lineworker;
    /// Opens the customer's main.
    OpenMain = "act-open-main", Lineworker | Electrician;
    /// Switches the customer's own sources off.
    SourcesOff = "act-sources-off", Lineworker | Electrician;
    /// Pulls the meter.
    PullMeter = "act-pull-meter", Lineworker;
    /// Reads a leg of the meter base before the opening, and after a leg was lifted.
    ReadBase = "act-read-base", Lineworker;
    /// Reads a leg of the pad's bus.
    ReadBus = "act-read-bus", Lineworker;
    /// Reads amps on one leg.
    ReadAmps = "act-read-amps", Lineworker;
    /// Lifts the next leg.
    Lift = "act-lift", Lineworker;
    /// Caps, restrains and tags a lifted end.
    Secure = "act-secure", Lineworker;
    /// Says that exactly the lifted leg died at the base.
    CheckLeg = "act-check-leg", Lineworker;
    /// Reads the next point of a proof of dead, the tester's checks before and after included.
    ReadPoint = "act-read-point", Lineworker | Electrician;
    /// Says that the work zone is proven dead.
    ProveDead = "act-prove-dead", Lineworker;
    /// Says that the opening proved the identity.
    ProveByOpening = "act-prove-by-opening", Lineworker;
    /// Reads the next point of the lifted ends.
    ReadLifted = "act-read-lifted", Lineworker;
    /// Shorts the lifted ends, proven dead, to neutral.
    Short = "act-short", Lineworker;
    /// Reads what flows through a switch that is to be opened.
    ReadLoad = "act-read-load", Lineworker;
    /// Opens a switch.
    OpenSwitch = "act-open-switch", Lineworker;
    /// Locks and tags something in its state.
    LockAndTag = "act-lock-and-tag", Lineworker;
    /// Relieves the pressure of a tank.
    RelievePressure = "act-relieve-pressure", Lineworker;
    /// Puts a ground on.
    PutGround = "act-put-ground", Lineworker;
    /// Offers a clearance.
    Offer = "act-offer", Lineworker;
    /// Takes a clearance on their own test.
    Accept = "act-accept", Electrician | Lineworker;
    /// Takes a clearance, having stood by while dead was proven.
    AcceptWitnessed = "act-accept-witnessed", Electrician | Lineworker;
    /// Does not take a clearance, or takes an own offer back.
    Refuse = "act-refuse", Electrician | Lineworker;
    /// Says that the work in the base is done.
    WorkDone = "act-work-done", Electrician | Lineworker;
    /// Passes a clearance on to another holder.
    Transfer = "act-transfer", Electrician | Lineworker;
    /// Releases a clearance.
    Release = "act-release", Electrician | Lineworker;
    /// Ends a clearance without its holder, by the procedure for that.
    Abandon = "act-abandon", Lineworker | Dispatcher;
    /// Ends an offer by link.
    EndLink = "act-end-link", Dispatcher;
    /// Inspects the work.
    Inspect = "act-inspect", Lineworker;
    /// Takes a ground off.
    TakeGround = "act-take-ground", Lineworker;
    /// Takes a lock and a tag off.
    TakeLock = "act-take-lock", Lineworker;
    /// Takes the short off.
    RemoveShort = "act-remove-short", Lineworker;
    /// Compares the insulation of the legs.
    ReadInsulation = "act-read-insulation", Lineworker;
    /// Verifies the neutral.
    VerifyNeutral = "act-verify-neutral", Lineworker;
    /// Lands the next leg.
    Land = "act-land", Lineworker;
    /// Measures across a loop point.
    MeasureLoop = "act-measure-loop", Lineworker;
    /// Closes a switch.
    CloseSwitch = "act-close-switch", Lineworker;
    /// Reads the next pair of the restored supply.
    ReadSupply = "act-read-supply", Lineworker;
    /// Tests the neutral under a known load.
    TestNeutral = "act-test-neutral", Lineworker;
    /// Says that the supply is live and healthy.
    ProveLive = "act-prove-live", Lineworker;
    /// Sets the meter back.
    SetMeter = "act-set-meter", Lineworker;
    /// Closes the customer's main.
    CloseMain = "act-close-main", Lineworker;
    /// Lets the customer's own sources run again.
    SourcesOn = "act-sources-on", Lineworker;
    /// Writes a correction of the map.
    CorrectMap = "act-correct-map", Lineworker | Dispatcher;
    /// Takes back the last thing this person wrote.
    TakeBack = "act-take-back", Lineworker | Electrician | Dispatcher;
    /// Declares that the next entry passes a rule without proof.
    Deviate = "act-deviate", Lineworker;
    /// Makes the proof of dead stale: a break, a shift change, a doubt.
    Interrupt = "act-interrupt", Lineworker | Electrician | Dispatcher;
    /// Says that somebody else lost supply by our hand.
    WrongDrop = "act-wrong-drop", Lineworker | Electrician | Dispatcher;
    /// Says whether a refused act stands in the field.
    SettleConflict = "act-settle-conflict", Lineworker | Dispatcher;
    /// Says what leads a stopped job back.
    Resume = "act-resume", Lineworker;
    /// Closes the job.
    Close = "act-close", Lineworker;
    /// Stops at once and makes safe. Never refused.
    Stop = "act-stop", Lineworker | Electrician | Dispatcher | Engineer;
}

impl Act {
    /// Its name in JSON, in addresses and scripts: `prove-dead` say.
    pub fn name(self) -> &'static str {
        self.id().strip_prefix("act-").unwrap_or(self.id())
    }

    /// The act of that name; none: there is no such act.
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|act| act.name() == name)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::Words;

    #[test]
    fn every_act_has_a_label_and_anyone_may_stop() {
        let words = Words::english().unwrap();
        for &act in Act::ALL {
            assert!(words.has(act.id()), "{}", act.id());
            assert_eq!(Act::named(act.name()), Some(act));
            assert_eq!(serde_json::to_value(act).unwrap(), act.name());
        }
        for role in [Role::Lineworker, Role::Electrician, Role::Dispatcher, Role::Engineer] {
            assert!(may(role, Act::Stop));
        }
        assert!(!may(Role::Dispatcher, Act::Lift));
        assert!(!may(Role::Electrician, Act::Land));
    }
}
