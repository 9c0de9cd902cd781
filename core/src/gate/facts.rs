//! The plain facts a step is judged by. Lists name what is missing or in the way: empty is fine.

use std::collections::BTreeSet;

use super::rule::Rule;

/// What holds of the job and the writer, whatever the step.
#[derive(Debug, Clone, PartialEq, Eq)]
#[allow(clippy::struct_excessive_bools, reason = "plain answers, each by its own name")]
pub struct Standing {
    /// The job was opened.
    pub opened: bool,
    /// Map sheet, rule sheet and edition are those of the job.
    pub pinned: bool,
    /// An event of an unknown kind or version is on record.
    pub read_only: bool,
    /// The event's name was not used before.
    pub id_is_new: bool,
    /// The writer is on the crew, in a role that does this.
    pub role_fits: bool,
    /// The job is stopped.
    pub stopped: bool,
    /// The job is closed.
    pub closed: bool,
    /// The briefing was held: the subjects or people that lack.
    pub unbriefed: Vec<String>,
    /// The entry was made late.
    pub late: bool,
    /// Things the event names that are not on record.
    pub not_there: Vec<String>,
    /// Marks it finds a set by although the pad's sets were marked anew since.
    pub marks_gone: Vec<String>,
    /// Rules that a declared deviation passes for this very event.
    pub deviations: BTreeSet<Rule>,
}

/// What keeps a circuit from being closed on people, whatever is closed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Closing {
    /// Clearances that are held.
    pub held: Vec<String>,
    /// Offers by link that nobody has ended.
    pub link_offers: Vec<String>,
    /// Refused acts that nobody has settled.
    pub conflicts: Vec<String>,
    /// The work was inspected and released since it was handed over, or never handed over.
    pub inspected: bool,
    /// Phones of the crew that have not given their word that all is clear, where one is needed.
    pub unheard: Vec<String>,
}

/// Pulling the meter.
#[derive(Debug, Clone, PartialEq, Eq)]
#[allow(clippy::struct_excessive_bools, reason = "plain answers, each by its own name")]
pub struct PullFacts {
    /// The writer's own stay is open.
    pub stay_open: bool,
    /// The number was read in this stay and is the target's.
    pub number_read: bool,
    /// Own sources are off or were looked for and not found.
    pub own_sources_off: bool,
    /// The main is open.
    pub main_open: bool,
    /// Damage or heat at the base.
    pub damage: bool,
    /// The meter hangs on current transformers.
    pub ct: bool,
    /// The lever bypass is closed.
    pub bypass_closed: bool,
    /// The service has more volts than a meter may be pulled at.
    pub above_pull_limit: bool,
}

/// Setting the meter back.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SetMeterFacts {
    /// What keeps anything from being closed.
    pub closing: Closing,
    /// The writer's own stay is open.
    pub stay_open: bool,
    /// The main is open.
    pub main_open: bool,
    /// Tags and locks that are still on the meter's base.
    pub tagged: Vec<String>,
    /// Live and healthy is proven, or nothing of ours was ever open.
    pub live_proven: bool,
}

/// Lifting a conductor.
#[derive(Debug, Clone, PartialEq, Eq)]
#[allow(clippy::struct_excessive_bools, reason = "plain answers, each by its own name")]
pub struct LiftFacts {
    /// It is a hot leg of the service's system.
    pub hot_leg: bool,
    /// Questions without an answer, or answers that call for another method.
    pub questions: Vec<String>,
    /// The cabinet is dead-front.
    pub dead_front: bool,
    /// What is wrong with the enclosure.
    pub enclosure: Vec<String>,
    /// This very set is identified.
    pub identified: bool,
    /// The target's meter is out, its number read in the hand.
    pub meter_out: bool,
    /// Legs still on their lugs whose last amps are of other than all their parallel runs.
    pub part: Vec<String>,
    /// Legs still on their lugs without amps within the window.
    pub stale: Vec<String>,
    /// Legs still on their lugs that are not under the no-load limit.
    pub loaded: Vec<String>,
    /// Legs that showed more than the no-load limit at some time with the target's meter out.
    pub with_meter_out: Vec<String>,
    /// Legs still on their lugs after whose amps the clamp was not shown a load again.
    pub unproven: Vec<String>,
    /// What speaks against no load on the leg while its lug was loosened.
    pub loosened: Vec<String>,
    /// The leg is on its lug.
    pub on_lug: bool,
    /// Parallel runs of it, and how many of them are lifted.
    pub runs: (u8, u8),
    /// Lifted legs that are not capped and restrained.
    pub loose: Vec<String>,
    /// Lifted legs whose check at the base has not confirmed them.
    pub unchecked: Vec<String>,
    /// Refused acts that nobody has settled.
    pub conflicts: Vec<String>,
}

/// Opening a switch.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OpenSwitchFacts {
    /// Why the switch may not be opened so.
    pub forbidden: Vec<String>,
    /// It is a lug pair, whose legs are lifted.
    pub lug_pair: bool,
    /// Why it is not shown to break no more than it may; empty: it is.
    pub amps: Vec<String>,
    /// The tank was vented twice, freshly, since the fuse was handled; or it is no fuse in a tank.
    pub pressure_relieved: bool,
    /// The target's set is identified.
    pub identified: bool,
    /// Refused acts that nobody has settled.
    pub conflicts: Vec<String>,
}

/// Closing a switch.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SwitchClosedFacts {
    /// What keeps anything from being closed.
    pub closing: Closing,
    /// Why the switch may not be closed so.
    pub forbidden: Vec<String>,
    /// Tags and locks that are still on it.
    pub tagged: Vec<String>,
    /// It is a lug pair, whose legs are landed.
    pub lug_pair: bool,
    /// Why it may not be closed by what stands on its two sides; empty: they were measured and may be
    /// joined, or it is no loop point and ties nothing.
    pub loop_lacks: Vec<String>,
    /// The tank was vented, freshly, since the fuse was handled; or it is no fuse in a tank.
    pub pressure_relieved: bool,
    /// Shorts and grounds that are on.
    pub grounds: Vec<String>,
}

/// Shorting the lifted legs to neutral.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ShortFacts {
    /// Every hot leg of the set is lifted.
    pub lifted: bool,
    /// The lifted legs are proven dead, freshly.
    pub tested: bool,
}

/// Putting a ground on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct GroundFacts {
    /// The place, and why no ground may be put there; empty: it is proven dead, freshly, and no feeder
    /// reaches it.
    pub lacks: Vec<String>,
}

/// Landing a conductor.
#[derive(Debug, Clone, PartialEq, Eq)]
#[allow(clippy::struct_excessive_bools, reason = "plain answers, each by its own name")]
pub struct LandFacts {
    /// What keeps anything from being closed.
    pub closing: Closing,
    /// It was lifted.
    pub lifted: bool,
    /// Shorts and grounds that are on.
    pub grounds: Vec<String>,
    /// Tags and locks that are still on its lugs.
    pub tagged: Vec<String>,
    /// Insulation of every lifted leg was read with both ends free.
    pub insulation: bool,
    /// The neutral was verified since the lift.
    pub neutral: bool,
    /// The meter is out or the main is open.
    pub unloaded: bool,
}

/// A proof.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ProofFacts {
    /// The wait after the customer's sources went off is over.
    pub waited: bool,
    /// The tester was shown live before and after.
    pub tester_proven: bool,
    /// Everything else the proof lacks, by id.
    pub lacks: Vec<String>,
}

/// Offering a clearance.
#[derive(Debug, Clone, PartialEq, Eq)]
#[allow(clippy::struct_excessive_bools, reason = "plain answers, each by its own name")]
pub struct OfferFacts {
    /// What is amiss with the offer itself: its name, its holder, its hash.
    pub amiss: Vec<String>,
    /// The proof named is a proof of dead that stands.
    pub dead_proven: bool,
    /// It is within its window.
    pub fresh: bool,
    /// The opening proved the identity.
    pub opening_proven: bool,
    /// Lifted legs that are not capped, restrained, tagged, or not shorted where that is asked.
    pub unsafe_ends: Vec<String>,
    /// Openings that stand and were done without proof.
    pub without_proof: Vec<String>,
    /// A ground is on the zone, or only a lifted set is isolated.
    pub grounded: bool,
    /// Refused acts that nobody has settled.
    pub conflicts: Vec<String>,
    /// The writer's phone has given its word that all is clear since something was opened last.
    pub said_clear: bool,
    /// Phones that might close something and may not know yet what is open.
    pub unaware: Vec<String>,
}

/// Accepting a clearance.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AcceptFacts {
    /// Why it is not the writer's to accept.
    pub amiss: Vec<String>,
    /// The proof of dead it rests on still stands.
    pub dead_stands: bool,
    /// What the holder's own test lacks.
    pub test_lacks: Vec<String>,
}

/// Releasing or refusing a clearance.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ReleaseFacts {
    /// Why there is nothing here to end so.
    pub amiss: Vec<String>,
    /// The writer is its holder.
    pub by_holder: bool,
}

/// Ending a clearance without its holder.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AbandonFacts {
    /// Why there is nothing here to end so.
    pub amiss: Vec<String>,
    /// What the procedure lacks.
    pub lacks: Vec<String>,
}

/// Passing a clearance on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TransferFacts {
    /// Why there is nothing here to pass on, or nobody to pass it to.
    pub amiss: Vec<String>,
    /// The writer is its holder.
    pub by_holder: bool,
    /// The proof of dead still stands.
    pub dead_stands: bool,
    /// What the new holder's own test lacks.
    pub test_lacks: Vec<String>,
}

/// Ending an offer by link.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LinkEndFacts {
    /// Why there is no link here to end, or not by this writer.
    pub amiss: Vec<String>,
}

/// Ending a switching run.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RunEndFacts {
    /// The run is open and the writer is its doer, in the same stay.
    pub own_open_run: bool,
    /// Code and salt are the sealed ones, and the size slot is a change.
    pub seal_holds: bool,
}

/// Writing down what the pad read of a switching run.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeysFacts {
    /// Runs whose code the writer may know: opened before the writer's eyes, or the writer's own.
    pub code_known: Vec<String>,
}

/// Correcting an earlier event.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CorrectFacts {
    /// Runs whose keys it would write anew although the writer may know their code.
    pub code_known: Vec<String>,
    /// It is a sighting of premises, which goes only with its stay.
    pub of_stay: bool,
    /// Why the correction does not hold.
    pub faults: Vec<String>,
}

/// Declaring a deviation.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DeviationFacts {
    /// The rule may be passed so.
    pub deviable: bool,
    /// What the declaration lacks.
    pub lacks: Vec<String>,
}

/// Going on after a stop.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ResumeFacts {
    /// What leads back lacks.
    pub lacks: Vec<String>,
}

/// Closing the job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CloseFacts {
    /// What keeps anything from being closed.
    pub closing: Closing,
    /// Live and healthy is proven since the last operation, or nothing of ours was ever open.
    pub live_proven: bool,
    /// What of ours is still open, lifted, shorted, grounded, locked or tagged.
    pub left: Vec<String>,
}

/// A step with the facts it is judged by.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Step {
    /// The job is opened; the flag: the service is on the map sheet with a listed system.
    OpenJob {
        /// Whether it is.
        listed: bool,
    },
    /// Something that needs no more than standing: it is written down, stopped job or not.
    Note,
    /// Field work that needs no more than standing, and waits while the job is stopped.
    Work,
    /// Work in an open cabinet.
    Cabinet {
        /// Instruments that were not entered.
        unknown_instruments: Vec<String>,
    },
    /// A reading or proof of an instrument.
    Read {
        /// Instruments that were not entered.
        unknown_instruments: Vec<String>,
    },
    /// A sighting, stay's end or anything else of a stay.
    OfStay {
        /// The stay lasts, and is the right person's.
        open: bool,
    },
    /// A switching run begins.
    BeginRun {
        /// It lies inside the doer's open stay.
        inside: bool,
    },
    /// A switching run ends.
    EndRun(RunEndFacts),
    /// What the pad read of a switching run.
    Keys(KeysFacts),
    /// The meter is pulled.
    PullMeter(PullFacts),
    /// The meter is set back.
    SetMeter(SetMeterFacts),
    /// A conductor is lifted.
    Lift(LiftFacts),
    /// A lifted end is capped, restrained or tagged.
    Secure {
        /// It is lifted.
        lifted: bool,
    },
    /// The lifted legs are shorted to neutral.
    Short(ShortFacts),
    /// A ground is put on.
    Ground(GroundFacts),
    /// A short, ground, lock or tag is taken off.
    TakeOff(Closing),
    /// A switch is opened.
    OpenSwitch(OpenSwitchFacts),
    /// A switch is closed.
    CloseSwitch(SwitchClosedFacts),
    /// A conductor is landed.
    Land(LandFacts),
    /// The customer's main is closed or own sources may run again.
    LoadOn {
        /// What keeps anything from being closed.
        closing: Closing,
        /// Tags and locks that are still on it.
        tagged: Vec<String>,
        /// Live and healthy is proven, or nothing of ours was ever open.
        live_proven: bool,
    },
    /// The work is inspected.
    Inspect {
        /// Clearances that are held.
        held: Vec<String>,
    },
    /// Something is proven.
    Prove(ProofFacts),
    /// A clearance is offered.
    Offer(OfferFacts),
    /// A clearance is accepted.
    Accept(AcceptFacts),
    /// A clearance is refused or released.
    Release(ReleaseFacts),
    /// A clearance is ended without its holder.
    Abandon(AbandonFacts),
    /// A clearance is passed on.
    Transfer(TransferFacts),
    /// An offer by link is ended.
    EndLink(LinkEndFacts),
    /// An earlier event is corrected.
    Correct(CorrectFacts),
    /// A deviation is declared.
    Deviate(DeviationFacts),
    /// Anyone stops, or makes safe. Never gated beyond what makes an event an event.
    MakeSafe,
    /// A stopped job goes on.
    Resume(ResumeFacts),
    /// The job is closed.
    Close(CloseFacts),
}
