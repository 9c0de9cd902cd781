//! The rule book: each rule's id, where it comes from, and whether a declared deviation may pass it.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// One line of the rule book. The sentence a person reads stands in `words` under the same id.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RuleEntry {
    /// The rule.
    pub rule: Rule,
    /// Its stable id.
    pub id: &'static str,
    /// Where it comes from.
    pub source: &'static str,
    /// The name of its test.
    pub test: &'static str,
    /// Whether a declared deviation may pass it; the step is then marked done without proof.
    pub deviable: bool,
}

macro_rules! rules {
    ($($(#[$doc:meta])* $name:ident = $id:literal / $test:literal, $deviable:ident, $source:literal;)*) => {
        /// Every rule that can stop or shape a step.
        #[derive(
            Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
            JsonSchema,
        )]
        pub enum Rule {
            $($(#[$doc])* #[serde(rename = $id)] $name,)*
        }

        /// The rule book, in the order of the work.
        pub const fn rule_book() -> &'static [RuleEntry] {
            &[$(RuleEntry {
                rule: Rule::$name, id: $id, source: $source, test: $test,
                deviable: rules!(@$deviable),
            },)*]
        }

        impl Rule {
            /// The stable id.
            pub const fn id(self) -> &'static str {
                match self { $(Self::$name => $id,)* }
            }

            /// Whether a declared deviation (reason and second person) may pass it.
            pub const fn deviable(self) -> bool {
                match self { $(Self::$name => rules!(@$deviable),)* }
            }
        }
    };
    (@may) => { true };
    (@never) => { false };
}

rules! {
    /// A job is opened once, and everything else comes after.
    JobKnownScope = "job-known-scope" / "job_known_scope", never,
        "OSHA 1910.269(m)(3)(i): the exact section is named first; design of the record";
    /// The map sheet, rule sheet and edition are those the job was opened with.
    RulesPinned = "rules-pinned" / "rules_pinned", never,
        "Design of the record: a verdict can be re-run only with what it was drawn from";
    /// An event of a kind or version that is not known makes the job read-only.
    UnknownKindReadOnly = "unknown-kind-read-only" / "unknown_kind_read_only", never,
        "Design of the record: what cannot be read cannot be ruled out";
    /// What an event names is on record before it.
    NamedThingsThere = "named-things-there" / "named_things_there", never,
        "Design of the record";
    /// A set is found by the marks that are on it, not by marks of an earlier go.
    NewestMarksAlone = "newest-marks-alone" / "newest_marks_alone", never,
        "Design: marks put on anew are a new cause; the old letters may hang on other sets";
    /// A closed job stays closed.
    ClosedStaysClosed = "closed-stays-closed" / "closed_stays_closed", never,
        "Design of the record: a new job for new work";
    /// An event's name is used once.
    OneEventOneId = "one-event-one-id" / "one_event_one_id", never,
        "Design of the record";
    /// Only people on the job's crew write on it, each in their own role.
    CrewOnly = "crew-only" / "crew_only", never,
        "OSHA 1910.269(l)(1): qualified workers only";
    /// The voltage system is one that has rules here.
    SystemListed = "system-listed" / "system_listed", never,
        "Trade review: an unlisted voltage system is a stop";
    /// The tailboard briefing was held before the cabinet is opened.
    BriefedBeforeCabinet = "briefed-before-cabinet" / "briefed_before_cabinet", may,
        "OSHA 1910.269(c): five subjects, before each job";
    /// An instrument is entered before anything is read with it.
    KnownInstrument = "known-instrument" / "known_instrument", never,
        "IEC 61010-1 category and stated limit of error must be known";
    /// A sighting of a stay is made while the stay lasts.
    StayOpenForSightings = "stay-open-for-sightings" / "stay_open_for_sightings", never,
        "Identification rule: a stay begins and ends on record";
    /// A stay is withdrawn whole, never single sightings of it.
    StayWithdrawnWhole = "stay-withdrawn-whole" / "stay_withdrawn_whole", never,
        "Identification rule: all that one person reports in one stay is one cause";
    /// A switching run lies inside one stay of its doer.
    RunInsideStay = "run-inside-stay" / "run_inside_stay", never,
        "Identification rule: where a run was done is its doer's report";
    /// The opened code is the one that was sealed before slot one.
    CodeOpenedMatchesSeal = "code-opened-matches-seal" / "code_opened_matches_seal", never,
        "Identification rule: the code is drawn and written down before slot one";
    /// What the pad read of a run is written down before anybody there may know the code.
    KeysBeforeCodeOpens = "keys-before-code-opens" / "keys_before_code_opens", never,
        "Design: nobody at the pad may know the code before the keys are written";
    /// The number on the meter is read before it is pulled.
    MeterNumberReadBeforePull =
        "meter-number-read-before-pull" / "meter_number_read_before_pull", never,
        "Trade review: pulling the meter is a gated step";
    /// The customer's own sources are off before the meter is pulled.
    OwnSourcesOffBeforePull = "own-sources-off-before-pull" / "own_sources_off_before_pull", may,
        "OSHA 1910.269(w)(7), NEC 702.5: backfeed from the customer";
    /// The main is open before the meter is pulled.
    MainOpenBeforePull = "main-open-before-pull" / "main_open_before_pull", may,
        "OSHA 1910.269(l)(12): break load only with what is made for it";
    /// No damage and no heat at the base before the meter is pulled.
    NoDamageBeforePull = "no-damage-before-pull" / "no_damage_before_pull", never,
        "Trade review: a damaged base is another method";
    /// A self-contained meter above 300 V is not pulled.
    SelfContainedBelow300VoltsBeforePull =
        "self-contained-below-300-volts-before-pull" / "self_contained_below_300_volts_before_pull",
        never, "Trade review; NESC 410-1: 20 cal/cm2 and more at self-contained meters above 250 V";
    /// A closed lever bypass is opened before the meter is pulled: else the pull interrupts nothing.
    BypassOpenBeforePull = "bypass-open-before-pull" / "bypass_open_before_pull", never,
        "Trade review: closed lever bypass";
    /// A meter on current transformers stays: it takes another path, and a CT secondary is never
    /// opened.
    CtMeterStays = "ct-meter-stays" / "ct_meter_stays", never,
        "Trade review: CT metering takes its test switch";
    /// The main is open while the meter is set back.
    MainOpenBeforeSet = "main-open-before-set" / "main_open_before_set", may,
        "OSHA 1910.269(l)(12): close on load only what is made for it";
    /// Bolts, runs and meters of the set are asked before a leg is lifted.
    QuestionsBeforeLift = "questions-before-lift" / "questions_before_lift", never,
        "Trade review: shared bolts, parallel runs and several meters are facts asked for";
    /// Only a dead-front cabinet is worked this way.
    DeadFrontOnly = "dead-front-only" / "dead_front_only", never,
        "OSHA 1910.269 Table R-6: exposed primary has an approach distance";
    /// The enclosure is sound: no case voltage, dry, undamaged, no animals.
    EnclosureSoundBeforeLift = "enclosure-sound-before-lift" / "enclosure_sound_before_lift", never,
        "OSHA 1910.269(l)(11); IEC 61243-3: two-pole testers are not for rain";
    /// The right set is identified before it is opened.
    IdentifiedBeforeOpening = "identified-before-opening" / "identified_before_opening", never,
        "OSHA 1910.269(t)(5): the cable to be worked is identified by electrical means";
    /// The meter is out before a leg is lifted.
    MeterOutBeforeLift = "meter-out-before-lift" / "meter_out_before_lift", never,
        "OSHA 1910.269(l)(12): break load only with what is made for it";
    /// Only what was lifted is capped, restrained, tagged, shorted or landed.
    LiftedFirst = "lifted-first" / "lifted_first", never,
        "Physical state: a landed leg has no free end";
    /// Amps on every leg were read within the window before a leg is lifted.
    AmpsFreshBeforeLift = "amps-fresh-before-lift" / "amps_fresh_before_lift", never,
        "Common practice, no source: 5 minutes";
    /// The amps of a leg are those of all its parallel runs together.
    AllRunsInJaws = "all-runs-in-jaws" / "all_runs_in_jaws", never,
        "Circuit law: parallel runs share a leg's current, and a broken one carries none of it";
    /// Every leg of the set is under the no-load limit before one is lifted.
    NoLoadBeforeLift = "no-load-before-lift" / "no_load_before_lift", never,
        "Trade review: 1 A a leg, limit of error included";
    /// No leg of the set carried load at any time with the target's meter out.
    NoLoadWithMeterOut = "no-load-with-meter-out" / "no_load_with_meter_out", never,
        "Trials of whole jobs: who shares the set by no map may rest just when it is read";
    /// The clamp showed a load again after the amps of every leg.
    ClampProvenAfterAmps = "clamp-proven-after-amps" / "clamp_proven_after_amps", never,
        "Trials of whole jobs: a clamp that fails after its check reads zero; as NFPA 70E 120.6(7) asks of testers";
    /// The clamp stays on the leg while its lug is loosened, and shows no load.
    NoLoadWhileLoosened = "no-load-while-loosened" / "no_load_while_loosened", never,
        "Trials of whole jobs: who shares the set by no map may switch on after the amps were read";
    /// The neutral stays landed.
    NeutralStaysLanded = "neutral-stays-landed" / "neutral_stays_landed", never,
        "WAC 296-45-225: the neutral of a live circuit is never opened except for test";
    /// One leg at a time.
    OneLegAtATime = "one-leg-at-a-time" / "one_leg_at_a_time", never,
        "Trade review: a wrong set shows after one leg";
    /// All parallel runs of a leg are lifted together.
    AllRunsLifted = "all-runs-lifted" / "all_runs_lifted", never,
        "Trade review: parallel runs are all lifted, then each free end tested";
    /// A lifted end is capped and restrained before the next is lifted.
    CapAndRestrainBeforeNext =
        "cap-and-restrain-before-next" / "cap_and_restrain_before_next", never,
        "OSHA 1910.269(l)(6)(iii): loose ends are kept from other live parts";
    /// The base showed that exactly the first leg died before the second is lifted.
    LegCheckBeforeSecondLeg = "leg-check-before-second-leg" / "leg_check_before_second_leg", never,
        "Trade review: a wrong set shows after one leg";
    /// A lug pair is no switch: its legs are lifted and landed, by the rules of legs.
    LugPairIsLifted = "lug-pair-is-lifted" / "lug_pair_is_lifted", never,
        "OSHA 1910.269(l)(12): lugs are not made to break load; trade review: one leg at a time";
    /// A switch is opened and closed where the rule sheet and its rating allow.
    SwitchOrder = "switch-order" / "switch_order", may,
        "OSHA 1910.269(l)(12): open and close under load only what is made for it";
    /// What a switch has to break is shown to be no more than it may: by the record at its very most, or
    /// by amps read since anything was opened or closed, limit of error included. One that may break no
    /// load is shown to carry none, by amps read there.
    LoadBreakCoversAmps = "load-break-covers-amps" / "load_break_covers_amps", never,
        "OSHA 1910.269(l)(12): open under load only what is made for it; how fresh: common practice, no \
         source";
    /// Tank pressure is relieved before a fuse is drawn, twice, and before one is put back, once; each time
    /// anew, and freshly.
    PressureRelievedBeforeFuse =
        "pressure-relieved-before-fuse" / "pressure_relieved_before_fuse", never,
        "WAC 296-45-225: vent first; how often and how fresh: common practice, no source";
    /// A loop point is closed only after the volts across it were measured, as everything stands: one
    /// side surely dead, or the same phase where the rule sheet lets two live sides be tied.
    LoopPointMeasured = "loop-point-measured" / "loop_point_measured", never,
        "Trade review: never tie two sources unseen";
    /// Nothing is grounded, shorted or handled as dead before it tested dead; a ground goes only where
    /// that was tested, and where no feeder reaches.
    TestedBeforeGround = "tested-before-ground" / "tested_before_ground", never,
        "OSHA 1910.269(n)(5): test and find no nominal voltage before any ground";
    /// Dead is tested only after the customer's sources have been off for the wait.
    WaitAfterSourcesOff = "wait-after-sources-off" / "wait_after_sources_off", may,
        "Trade review: 60 s, then test; batteries may form a grid";
    /// The tester was shown live on a known source before and after.
    TesterProvenAroundProof = "tester-proven-around-proof" / "tester_proven_around_proof", never,
        "NFPA 70E 120.6(7): prove the tester before and after each test";
    /// A proof says what its readings say.
    ProofHolds = "proof-holds" / "proof_holds", never,
        "NFPA 70E 120.6(7): every pair, each to ground, at each point of work";
    /// Lifted ends tested dead before they are shorted to neutral.
    LiftedTestedBeforeShort = "lifted-tested-before-short" / "lifted_tested_before_short", never,
        "OSHA 1910.269(n)(5): test before any ground";
    /// Dead is proven before the work is handed over.
    DeadProvenBeforeHandover = "dead-proven-before-handover" / "dead_proven_before_handover", never,
        "OSHA 1910.269(m)(3)(vi), NFPA 70E 120.6";
    /// The proof of dead is fresh when the clearance is offered.
    ProofFreshBeforeHandover = "proof-fresh-before-handover" / "proof_fresh_before_handover", never,
        "Common practice, no source: 15 minutes";
    /// The opening proved the identity before the work is handed over.
    ProofByOpeningBeforeHandover =
        "proof-by-opening-before-handover" / "proof_by_opening_before_handover", never,
        "Trade review: live before, only our opening between, dead after, bus still live";
    /// Where more than a lifted set is isolated, a ground is on the zone before the work is handed over.
    GroundedBeforeHandover = "grounded-before-handover" / "grounded_before_handover", never,
        "OSHA 1910.269(n)(2): dead means de-energised and grounded";
    /// The lifted ends were tested where customer sources are not excluded, and shorted.
    LiftedSafeBeforeHandover = "lifted-safe-before-handover" / "lifted_safe_before_handover", never,
        "OSHA 1910.269(n)(2): no contact with another source possible";
    /// Every phone that may close something knows all that is open before the work is offered.
    OpeningHeardBeforeOffer = "opening-heard-before-offer" / "opening_heard_before_offer", never,
        "Design of the record: who does not know what is open cannot know who is at work";
    /// A phone that has given its word that all is clear offers nothing until more is opened.
    NoOfferAfterClear = "no-offer-after-clear" / "no_offer_after_clear", never,
        "Design of the record: others close on that word";
    /// A clearance is what was offered: known, to that holder, not yet ended.
    ClearanceAsOffered = "clearance-as-offered" / "clearance_as_offered", never,
        "OSHA 1910.269(m)(3)(xi)";
    /// The holder tests, or witnesses the proof, before accepting.
    HolderTestsBeforeAccept = "holder-tests-before-accept" / "holder_tests_before_accept", never,
        "NFPA 70E 120.6: each employer verifies; OSHA 1910.269(a)(3)";
    /// Only its holder releases a clearance.
    HolderReleases = "holder-releases" / "holder_releases", never,
        "OSHA 1910.269(m)(3)(xi): the same person who asked releases";
    /// Abandonment takes two people, reasons, attempts, and a base seen clear and closed.
    AbandonmentComplete = "abandonment-complete" / "abandonment_complete", never,
        "29 CFR 1910.147(e)(3) in spirit: absent holder's procedure";
    /// No closing step while a clearance is held.
    NoClearanceHeldBeforeClosing =
        "no-clearance-held-before-closing" / "no_clearance_held_before_closing", never,
        "OSHA 1910.269(m)(3)(xiii): clearances released before re-energizing";
    /// No closing step while an offer by link is open.
    NoLinkOfferBeforeClosing =
        "no-link-offer-before-closing" / "no_link_offer_before_closing", never,
        "Design of the record: an offline phone cannot know who has just accepted";
    /// Once all was open, nothing closes before every other phone of the crew has said clear.
    ClearSaidBeforeClosing = "clear-said-before-closing" / "clear_said_before_closing", may,
        "OSHA 1910.269(m)(3)(xiii): all crews clear before re-energizing; an offline phone hears late";
    /// An act on record that the rules refused is settled by a person before anything closes.
    ConflictSettledFirst = "conflict-settled-first" / "conflict_settled_first", never,
        "Design of the record: conflicting acts are for a person to settle";
    /// The work is inspected and released before restoring.
    InspectedBeforeRestore = "inspected-before-restore" / "inspected_before_restore", never,
        "NEC 110.7, 230.95 in spirit; utility service rules";
    /// Shorts and grounds are off before a leg is landed or a switch closed.
    ShortRemovedBeforeLanding =
        "short-removed-before-landing" / "short_removed_before_landing", never,
        "OSHA 1910.269(m)(3)(xiii): grounds removed before re-energizing";
    /// Insulation of the lifted legs was compared before landing.
    InsulationComparedBeforeLanding =
        "insulation-compared-before-landing" / "insulation_compared_before_landing", may,
        "Trade review: compare legs and trend; old cable reads far below new";
    /// The neutral is verified before a hot leg is landed.
    NeutralBeforeHot = "neutral-before-hot" / "neutral_before_hot", never,
        "WAC 296-45-225: neutrals landed and grounded before energizing";
    /// Meter out and main open while legs are landed.
    MeterOutBeforeLanding = "meter-out-before-landing" / "meter_out_before_landing", never,
        "OSHA 1910.269(l)(12): close on load only what is made for it";
    /// Tag and lock are off before what they hold is closed, landed or set.
    TagsOffBeforeClosing = "tags-off-before-closing" / "tags_off_before_closing", never,
        "OSHA 1910.269(m)(3)(xii) and (xiii): tags come off before what they hold is energized";
    /// Live and healthy is proven before the meter, the main or a source puts load on the set.
    LiveProvenBeforeLoad = "live-proven-before-load" / "live_proven_before_load", never,
        "Trade review: test before closing the main";
    /// Live and healthy is proven before the job is closed.
    LiveProvenBeforeClose = "live-proven-before-close" / "live_proven_before_close", never,
        "ANSI C84.1 service band; neutral quality at restoration";
    /// Nothing of ours is left open, lifted, shorted, grounded, locked or tagged at the close.
    NothingLeftOpenBeforeClose =
        "nothing-left-open-before-close" / "nothing_left_open_before_close", may,
        "OSHA 1910.269(m)(3)(x) and (xiii)";
    /// A stopped job goes on only by what leads back.
    StoppedUntilLedBack = "stopped-until-led-back" / "stopped_until_led_back", never,
        "OSHA 1910.269(c)(4): another briefing when something changed";
    /// A deviation never yields a proof, an identification or a clearance.
    NoProofByDeviation = "no-proof-by-deviation" / "no_proof_by_deviation", never,
        "OSHA 1910.269(m): any step missing, work it as live";
    /// A deviation names a reason and a second person of the crew.
    DeviationBySecondPerson = "deviation-by-second-person" / "deviation_by_second_person", never,
        "Design of the record";
    /// An entry made late is never fresh.
    LateIsNeverFresh = "late-is-never-fresh" / "late_is_never_fresh", never,
        "Design of the record: no clock vouches for it";
    /// A correction names an event that is there, and its author may correct it.
    CorrectionNamesEvent = "correction-names-event" / "correction_names_event", never,
        "Design of the record";
}

impl std::fmt::Display for Rule {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.id())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn ids_are_unique_and_name_their_tests() {
        let ids: BTreeSet<_> = rule_book().iter().map(|entry| entry.id).collect();
        assert_eq!(ids.len(), rule_book().len());
        for entry in rule_book() {
            assert_eq!(entry.test, entry.id.replace('-', "_"));
            assert_eq!(serde_json::to_string(&entry.rule).unwrap(), format!("\"{}\"", entry.id));
            assert!(!entry.source.is_empty());
        }
    }
}
