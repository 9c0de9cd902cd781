//! The limits as quantities, for the modules that judge with them.

use super::RuleSheet;
use crate::quantity::{Current, Decimal, Length, Time, Voltage, amps, metres, seconds, volts};

fn share(percent: Decimal) -> f64 {
    percent.to_f64() / 100.0
}

fn after(s: u32) -> Time {
    seconds(f64::from(s))
}

impl RuleSheet {
    /// Dead at or below, limit of error included.
    pub fn dead_limit(&self) -> Voltage {
        volts(self.dead_limit_volts.to_f64())
    }

    /// Live at or above, limit of error taken off.
    pub fn live_limit(&self) -> Voltage {
        volts(self.live_limit_volts.to_f64())
    }

    /// No load at or below, limit of error included.
    pub fn no_load(&self) -> Current {
        amps(self.no_load_amps.to_f64())
    }

    /// Share of a reading added to a clamp's limit of error for position.
    pub fn clamp_position_share(&self) -> f64 {
        share(self.clamp_position_percent)
    }

    /// Share of its stated amps by which a known load may be off.
    pub fn step_load_tolerance_share(&self) -> f64 {
        share(self.step_load_tolerance_percent)
    }

    /// Window from amps to the loosening of a lug.
    pub fn amps_fresh(&self) -> Time {
        after(self.amps_fresh_s)
    }

    /// Window of one proof of dead.
    pub fn proof_window(&self) -> Time {
        after(self.proof_window_s)
    }

    /// Window from a proof of dead to the offer of a clearance.
    pub fn proof_to_offer(&self) -> Time {
        after(self.proof_to_offer_s)
    }

    /// How long an instrument counts as shown to work.
    pub fn instrument_proven(&self) -> Time {
        after(self.instrument_proven_s)
    }

    /// How long a wall clock may be trusted across restarts and devices.
    pub fn wall_clock_trust(&self) -> Time {
        after(self.wall_clock_trust_s)
    }

    /// Wait from customer sources off to the first test.
    pub fn wait_after_sources_off(&self) -> Time {
        after(self.wait_after_sources_off_s)
    }

    /// Difference of the legs that is noted.
    pub fn leg_difference_note(&self) -> Voltage {
        volts(self.leg_difference_note_volts.to_f64())
    }

    /// Difference of the legs that stops.
    pub fn leg_difference_stop(&self) -> Voltage {
        volts(self.leg_difference_stop_volts.to_f64())
    }

    /// Least load for measuring the neutral.
    pub fn neutral_test_least(&self) -> Current {
        amps(self.neutral_test_least_amps.to_f64())
    }

    /// Neutral to bonded ground with supply on, at most.
    pub fn neutral_to_ground_most(&self) -> Voltage {
        volts(self.neutral_to_ground_most_volts.to_f64())
    }

    /// Highest voltage between legs at which a self-contained meter is pulled.
    pub fn meter_pull_most(&self) -> Voltage {
        volts(f64::from(self.meter_pull_most_volts))
    }

    /// Altitude of the work.
    pub fn altitude(&self) -> Length {
        metres(f64::from(self.altitude_m))
    }

    /// How far other pads count as within reach.
    pub fn tag_reach(&self) -> Length {
        metres(f64::from(self.tag_reach_m))
    }

    /// How far the volts across a loop point may be from none, or from those of one live side, as a share
    /// of the nominal voltage to neutral.
    pub fn loop_volts_share(&self) -> f64 {
        share(self.loop_volts_percent)
    }

    /// Weight factor of an operation at a voltage to ground.
    pub fn exposure_at(&self, to_ground: Voltage) -> u32 {
        if to_ground <= volts(300.0) {
            self.exposure_to_300_volts
        } else if to_ground <= volts(1000.0) {
            self.exposure_to_1000_volts
        } else {
            self.exposure_above_1000_volts
        }
    }
}
