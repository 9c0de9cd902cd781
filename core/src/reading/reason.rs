//! Stable ids of what is held against a reading, each the id of its sentence.

/// A closed list of reasons without data: the id is the name in JSON and the id of the sentence.
macro_rules! reasons {
    (
        $(#[$doc:meta])*
        pub enum $name:ident { $($variant:ident = $id:literal: $means:literal;)* }
    ) => {
        $(#[$doc])*
        #[derive(
            Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash,
            serde::Serialize, serde::Deserialize, schemars::JsonSchema,
        )]
        pub enum $name {
            $(#[doc = $means] #[serde(rename = $id)] $variant,)*
        }

        impl $name {
            /// All of them, in order.
            pub const ALL: &[Self] = &[$(Self::$variant),*];

            /// Its stable id, which is the id of its sentence.
            pub const fn id(self) -> &'static str {
                match self {
                    $(Self::$variant => $id,)*
                }
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str(self.id())
            }
        }
    };
}
pub(crate) use reasons;

reasons! {
    /// Why a reading is not taken at all for anything but `live` or `loaded`.
    pub enum Refusal {
        UnknownInstrument = "reading-unknown-instrument":
            "The instrument was never entered, or its entry makes no sense.";
        WrongInstrument = "reading-wrong-instrument":
            "This kind of instrument does not read this.";
        OutsideRange = "reading-outside-range": "Beyond the top of the instrument's range.";
        Negative = "reading-negative": "Below zero, which no AC instrument shows.";
        CategoryTooLow = "reading-category-too-low":
            "The instrument's category or its voltage is below what the place asks for.";
        WholeCable = "reading-whole-cable":
            "The clamp was round the whole cable, where currents cancel.";
        NotAPair = "reading-not-a-pair": "Both leads on one conductor.";
    }
}

reasons! {
    /// Why a reading is doubted: it may stand as a warning, and proves nothing until it is retaken.
    pub enum Doubt {
        CalibrationOverdue = "reading-calibration-overdue": "The calibration has run out.";
        NotProven = "reading-instrument-not-proven":
            "The instrument was not shown to work on a known source the same day.";
        Stale = "reading-stale": "Too old, or no clock can say how old.";
        HighImpedance = "reading-high-impedance":
            "A high-impedance meter shows neither dead nor ghost for certain.";
        UnitSlip = "reading-unit-slip": "As many amps as the place has volts.";
        FinerThanDisplay = "reading-finer-than-display":
            "A number that the instrument's display cannot show: another unit or another instrument.";
        ZeroUnproven = "reading-zero-unproven":
            "A zero from a clamp that has read no load within the window.";
    }
}
