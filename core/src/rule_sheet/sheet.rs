//! The limits themselves: one line a key, with its range and the way that is less cautious.

use std::collections::BTreeMap;

use serde::Serialize;
use toml::{Table, Value};

use super::{
    Category, Finding, GloveClass, Reason,
    setting::{Laxer, Setting},
};
use crate::quantity::Decimal;

macro_rules! limits {
    ($($(#[$doc:meta])* $key:ident: $kind:ty = $bounds:tt, $laxer:ident;)*) => {
        /// The utility's limits. A field is named as its key, with its unit; the typed forms are
        /// methods beside it. Sources of the defaults stand in the default sheet.
        #[derive(Debug, Clone, PartialEq, Eq, Serialize)]
        pub struct RuleSheet {
            /// Form of the sheet: 1.
            pub format: u32,
            /// Edition, as the utility names it.
            pub edition: String,
            /// Whose sheet it is.
            pub utility: String,
            $($(#[$doc])* pub $key: $kind,)*
            /// Why a value is less cautious than the default, by key.
            pub reasons: BTreeMap<String, String>,
        }

        impl RuleSheet {
            /// Every key that holds a limit, in the order of the default sheet.
            pub const KEYS: &[&str] = &[$(stringify!($key)),*];

            /// Takes the limits out of a table; what is left out comes from `default`, and where
            /// there is none, is missing.
            pub(super) fn take(
                table: &mut Table,
                head: Head,
                default: Option<&Self>,
                findings: &mut Vec<Finding>,
            ) -> Option<Self> {
                let mut limits = Limits { table, reasons: &head.reasons, findings };
                $(let $key = limits.take::<$kind>(
                    stringify!($key), $bounds, Laxer::$laxer, default.map(|sheet| sheet.$key),
                );)*
                Some(Self {
                    format: head.format?,
                    edition: head.edition?,
                    utility: head.utility?,
                    $($key: $key?,)*
                    reasons: head.reasons,
                })
            }
        }
    };
}

/// What stands before the limits.
pub(super) struct Head {
    pub(super) format: Option<u32>,
    pub(super) edition: Option<String>,
    pub(super) utility: Option<String>,
    pub(super) reasons: BTreeMap<String, String>,
}

struct Limits<'a> {
    table: &'a mut Table,
    reasons: &'a BTreeMap<String, String>,
    findings: &'a mut Vec<Finding>,
}

impl Limits<'_> {
    fn take<T: Setting>(
        &mut self,
        key: &str,
        bounds: T::Bounds,
        way: Laxer,
        default: Option<T>,
    ) -> Option<T> {
        let said: Option<Value> = self.table.remove(key);
        let read = match (&said, default) {
            (Some(value), _) => T::read(value, bounds),
            (None, Some(default)) => Ok(default),
            (None, None) => Err(Reason::Missing),
        };
        let checked = read.and_then(|value| match default {
            Some(default) if value.laxer_than(default, way) && !self.reasons.contains_key(key) => {
                Err(Reason::NoReason { found: value.shown(), default: default.shown() })
            }
            _ => Ok(value),
        });
        checked.map_err(|reason| self.findings.push(Finding { key: key.to_owned(), reason })).ok()
    }
}

limits! {
    /// Dead: |reading| + limit of error at or below this, volts.
    dead_limit_volts: Decimal = ("1", "12"), More;
    /// Live: |reading| - limit of error at or above this, volts.
    live_limit_volts: Decimal = ("10", "50"), More;
    /// No load: |reading| + limit of error at or below this, amps.
    no_load_amps: Decimal = ("0.1", "5"), More;
    /// Added to a clamp's limit of error for position in the jaws, percent of reading.
    clamp_position_percent: Decimal = ("0", "10"), Less;
    /// How many causes may be false at once: 1 or 2.
    tolerated_false_causes: u32 = (1, 2), Neither;
    /// Slots of a coded load step, at least.
    step_least_slots: u32 = (10, 40), Less;
    /// Changes in a code, at least.
    step_least_changes: u32 = (3, 20), Less;
    /// Holds in a code, at least.
    step_least_holds: u32 = (3, 20), Less;
    /// Least share of the known load that a change must show.
    step_least_share: Decimal = ("0.5", "0.95"), Less;
    /// Most share of the known load that a change may show.
    step_most_share: Decimal = ("1.05", "1.5"), More;
    /// How long a sighting counts towards an identification, seconds.
    sighting_fresh_s: u32 = (3600, 86_400), More;
    /// Least share of the tone set's scale by which the tone must stand out on one set, percent.
    tone_least_lead_percent: u32 = (20, 80), Less;
    /// Whether the billing records do not come from the map's source.
    billing_records_apart: bool = (), More;
    /// How far a known load may be from its stated amps, percent.
    step_load_tolerance_percent: Decimal = ("1", "20"), More;
    /// From the amps of a leg to the loosening of its lug, seconds.
    amps_fresh_s: u32 = (30, 900), More;
    /// From the first tester check of a proof of dead to the last, seconds.
    proof_window_s: u32 = (60, 1800), More;
    /// From the end of a proof of dead to the offer of a clearance, seconds.
    proof_to_offer_s: u32 = (60, 3600), More;
    /// How long an instrument counts as shown to work, seconds.
    instrument_proven_s: u32 = (600, 86_400), More;
    /// How long a wall clock may be trusted across restarts and devices, seconds.
    wall_clock_trust_s: u32 = (0, 300), More;
    /// From customer sources off to the first test, seconds.
    wait_after_sources_off_s: u32 = (5, 3600), Less;
    /// Least measurement category at secondary lugs and meter base.
    category_at_lugs: Category = (), Less;
    /// Voltage to ground that category must hold for, volts.
    category_at_lugs_volts: u32 = (300, 1000), Less;
    /// Whether voltage may be tested in a wet cabinet.
    allow_wet_cabinet: bool = (), More;
    /// Gloves at an open secondary or meter base, at least.
    gloves_at_secondary: GloveClass = (), Less;
    /// Gloves in any open pad, at least.
    gloves_in_open_pad: GloveClass = (), Less;
    /// Arc rating of clothing at 50 to 250 V, cal/cm2.
    arc_clothing_cal_per_cm2: Decimal = ("4", "40"), Less;
    /// Altitude of the work, metres.
    altitude_m: u32 = (0, 6000), Neither;
    /// Share of the voltage system's service band that is accepted.
    live_band_share: Decimal = ("0.2", "1"), Neither;
    /// Difference of the two legs that is noted, volts.
    leg_difference_note_volts: Decimal = ("1", "20"), More;
    /// Difference of the two legs that stops, volts.
    leg_difference_stop_volts: Decimal = ("2", "20"), More;
    /// Measured neutral impedance over computed, at most.
    neutral_impedance_factor: Decimal = ("1", "5"), More;
    /// Neutral impedance that is accepted whatever was computed, ohms.
    neutral_floor_ohms: Decimal = ("0.01", "0.2"), More;
    /// Least load for measuring the neutral, amps.
    neutral_test_least_amps: Decimal = ("2", "60"), Less;
    /// Neutral to bonded ground with supply on, at most, volts.
    neutral_to_ground_most_volts: Decimal = ("0.5", "10"), More;
    /// Insulation of lifted conductors before closing in, at least, megohms.
    insulation_least_megohms: Decimal = ("0.1", "1000"), Less;
    /// Best leg's insulation over the worst's, at most.
    insulation_most_ratio: Decimal = ("1", "1000"), More;
    /// Weight of an operation by an outside handle.
    exposure_by_handle: u32 = (1, 1000), Neither;
    /// Weight of an operation by live-line stick.
    exposure_by_stick: u32 = (1, 1000), Neither;
    /// Weight of an operation by gloved hand.
    exposure_by_gloved_hand: u32 = (1, 1000), Neither;
    /// Factor up to 300 V to ground.
    exposure_to_300_volts: u32 = (1, 1000), Neither;
    /// Factor above 300 and up to 1000 V.
    exposure_to_1000_volts: u32 = (1, 1000), Neither;
    /// Factor above 1000 V.
    exposure_above_1000_volts: u32 = (1, 1000), Neither;
    /// How far the volts across a loop point may be from none, or from one live side, percent of nominal.
    loop_volts_percent: Decimal = ("1", "20"), More;
    /// Whether two sources may be tied.
    allow_paralleling: bool = (), More;
    /// Whether a lug may be opened inside the compartment that is the work zone.
    allow_lug_opening_in_own_compartment: bool = (), More;
    /// Whether an opening without a visible break may be the only one towards a source.
    allow_opening_without_visible_break: bool = (), More;
    /// Highest voltage between legs at which a self-contained meter is pulled, volts.
    meter_pull_most_volts: u32 = (130, 300), More;
    /// Exposure of a look.
    test_exposure_look: u32 = (1, 1000), Neither;
    /// Exposure of a clamp test.
    test_exposure_clamp: u32 = (1, 1000), Neither;
    /// Exposure of work on a meter.
    test_exposure_meter_work: u32 = (1, 1000), Neither;
    /// Exposure of an opening.
    test_exposure_opening: u32 = (1, 1000), Neither;
    /// Cost of one tag character read as a look-alike (any other difference costs 1).
    tag_look_alike_cost: Decimal = ("0.05", "1"), Neither;
    /// Cost of one unreadable tag character.
    tag_unreadable_cost: Decimal = ("0", "1"), Neither;
    /// Most summed cost at which a read is some tag at all.
    tag_most_cost: Decimal = ("0", "3"), More;
    /// How much more the next tag must cost.
    tag_least_lead: Decimal = ("0.1", "3"), Less;
    /// Least share of a tag's characters that must be readable for it to match.
    tag_least_read_share: Decimal = ("0", "1"), Less;
    /// How far other pads count as within reach, metres.
    tag_reach_m: u32 = (30, 2000), Less;
    /// Chi-square (two degrees of freedom) beyond which a fix contradicts a pad.
    position_chi_square: Decimal = ("5.99", "20"), Neither;
    /// 68 % radius of a fix, whatever smaller one was reported, metres.
    fix_least_radius_m: Decimal = ("1", "50"), Less;
    /// How many times farther off a fix may be than it reports.
    fix_canopy_factor: Decimal = ("1", "10"), Less;
    /// Correlation of the errors of two fixes taken together.
    fix_correlation: Decimal = ("0", "1"), Less;
    /// Time between two fixes from which their errors are no longer the same, seconds.
    fix_together_s: u32 = (60, 86_400), Less;
    /// Attempts to reach a holder before a clearance may be called abandoned.
    abandon_least_attempts: u32 = (1, 20), Less;
}
