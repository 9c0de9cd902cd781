//! Settings that are one of a short list of names.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Measurement category (IEC 61010-1), in rising order.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
pub enum Category {
    /// Socket circuits.
    #[serde(rename = "CAT II")]
    Two,
    /// Fixed wiring after the service.
    #[serde(rename = "CAT III")]
    Three,
    /// The origin: lateral, meter, outdoor conductors.
    #[serde(rename = "CAT IV")]
    Four,
}

/// Class of rubber insulating gloves (ASTM D120, 29 CFR 1910.137), in rising order.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
pub enum GloveClass {
    /// Class 00.
    #[serde(rename = "00")]
    DoubleZero,
    /// Class 0.
    #[serde(rename = "0")]
    Zero,
    /// Class 1.
    #[serde(rename = "1")]
    One,
    /// Class 2.
    #[serde(rename = "2")]
    Two,
    /// Class 3.
    #[serde(rename = "3")]
    Three,
    /// Class 4.
    #[serde(rename = "4")]
    Four,
}

impl Category {
    /// Every category, rising.
    pub const ALL: [Self; 3] = [Self::Two, Self::Three, Self::Four];

    /// As it is printed on an instrument.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Two => "CAT II",
            Self::Three => "CAT III",
            Self::Four => "CAT IV",
        }
    }
}

impl GloveClass {
    /// Every class, rising.
    pub const ALL: [Self; 6] =
        [Self::DoubleZero, Self::Zero, Self::One, Self::Two, Self::Three, Self::Four];

    /// As it is printed on the cuff.
    pub const fn name(self) -> &'static str {
        match self {
            Self::DoubleZero => "00",
            Self::Zero => "0",
            Self::One => "1",
            Self::Two => "2",
            Self::Three => "3",
            Self::Four => "4",
        }
    }
}
