//! A number as it was typed: exact, and never through a float on its way into hashed bytes.

use std::{borrow::Cow, fmt, str::FromStr};

use rust_decimal::prelude::ToPrimitive;
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

/// A decimal number kept digit for digit as typed ("12.50" stays "12.50").
///
/// Written as a JSON string. The unit is in the name of the field that holds it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Decimal(rust_decimal::Decimal);

/// Powers of ten, each exact as a float.
const POWERS: [f64; 10] = [1.0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9];

/// Digits below this one are exact as a float, with room to spare.
const LONGEST_SHORT: i64 = 1 << 45;

/// Why a text is not a number as the crew types one.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum DecimalError {
    /// Something else than an optional minus, digits, and one point between digits.
    #[error("'{text}' is not a number: type digits with at most one point, like 12.5")]
    NotANumber {
        /// The text that was given, cut to 40 characters.
        text: String,
    },
    /// More than 18 digits.
    #[error("'{text}' has too many digits: at most 18")]
    TooLong {
        /// The text that was given, cut to 40 characters.
        text: String,
    },
}

impl Decimal {
    /// Most digits a typed number may have: no reading has more, and it keeps the arithmetic exact.
    pub const MOST_DIGITS: usize = 18;

    /// The nearest float, for arithmetic inside the core.
    pub fn to_f64(self) -> f64 {
        self.short_to_f64().unwrap_or_else(|| {
            // Digit by digit: the library's own way is a bit off where there are many.
            self.0.to_string().parse().unwrap_or_else(|_| self.0.as_f64())
        })
    }

    /// The same for a number as short as a display shows it: digits and power of ten are then exact
    /// floats, and the one division rounds to the nearest. None: a longer one, or a minus nought.
    fn short_to_f64(self) -> Option<f64> {
        let digits = i64::try_from(self.0.mantissa()).ok()?;
        let short = digits != 0 || !self.0.is_sign_negative();
        let power = usize::try_from(self.0.scale()).ok().and_then(|at| POWERS.get(at))?;
        #[allow(clippy::cast_precision_loss, reason = "so few digits are exact")]
        (short && digits.abs() < LONGEST_SHORT).then(|| digits as f64 / power)
    }

    /// The number in whole thousandths, rounded half to even; no less than nought, and the largest
    /// there is where it does not fit.
    pub fn thousandths(self) -> u32 {
        let thousandths = (self.0.max(0.into()) * rust_decimal::Decimal::ONE_THOUSAND).round();
        thousandths.to_u32().unwrap_or(u32::MAX)
    }

    /// A float rounded to `places` digits after the point; none where it is not finite or too large.
    ///
    /// For made-up fields and displays: a person's reading is parsed, never built this way.
    pub fn from_f64(value: f64, places: u32) -> Option<Self> {
        Self::short_from_f64(value, places)
            .or_else(|| format!("{value:.*}", places as usize).parse().ok())
    }

    /// The same for a number as short as a display shows it. None: a longer one, nought, which may be
    /// a minus nought, or one so near the middle of two steps that the product may fall on the other
    /// side of it.
    fn short_from_f64(value: f64, places: u32) -> Option<Self> {
        let steps = value * usize::try_from(places).ok().and_then(|at| POWERS.get(at))?;
        let whole = steps.round();
        #[allow(clippy::cast_precision_loss, reason = "a power of two")]
        let short = whole.abs() < LONGEST_SHORT as f64 && whole.abs() > 0.5;
        #[allow(clippy::cast_possible_truncation, reason = "whole, and short")]
        (short && (steps - whole).abs() < 0.49)
            .then(|| Self(rust_decimal::Decimal::new(whole as i64, places)))
    }

    /// A number of `digits` with its point moved `places` to the left: 15 and 1 give 1.5.
    ///
    /// For numbers that stand in tables here. A point moved further than the digits a number may
    /// have is no point of anybody's.
    pub const fn scaled(digits: u32, places: u32) -> Self {
        Self(rust_decimal::Decimal::from_parts(digits, 0, 0, false, places))
    }

    /// True where a display with this smallest step can show the number, digit for digit: no digit
    /// behind the step's last one, and a whole number of steps.
    pub fn fits_steps_of(self, step: Self) -> bool {
        let whole = self.0.checked_rem(step.0).is_some_and(|rest| rest.is_zero());
        whole && self.0.scale() <= step.0.scale()
    }

    /// True below zero.
    pub fn is_negative(self) -> bool {
        self.0.is_sign_negative() && !self.0.is_zero()
    }
}

impl FromStr for Decimal {
    type Err = DecimalError;

    fn from_str(text: &str) -> Result<Self, DecimalError> {
        let shown = || text.chars().take(40).collect::<String>();
        let digits = text.strip_prefix('-').unwrap_or(text);
        let (whole, part) = match digits.split_once('.') {
            Some((whole, part)) => (whole, Some(part)),
            None => (digits, None),
        };
        let all_digits = |s: &str| !s.is_empty() && s.bytes().all(|b| b.is_ascii_digit());
        let canonical = whole == "0" || !whole.starts_with('0');
        if !all_digits(whole) || !canonical || !part.is_none_or(all_digits) {
            return Err(DecimalError::NotANumber { text: shown() });
        }
        if whole.len() + part.map_or(0, str::len) > Self::MOST_DIGITS {
            return Err(DecimalError::TooLong { text: shown() });
        }
        rust_decimal::Decimal::from_str_exact(text)
            .map(Self)
            .map_err(|_| DecimalError::NotANumber { text: shown() })
    }
}

impl fmt::Display for Decimal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

impl Serialize for Decimal {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(&self.0)
    }
}

impl<'de> Deserialize<'de> for Decimal {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        text.parse().map_err(de::Error::custom)
    }
}

impl JsonSchema for Decimal {
    fn schema_name() -> Cow<'static, str> {
        "Decimal".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": "string",
            "pattern": r"^-?(0|[1-9][0-9]*)(\.[0-9]+)?$",
            "maxLength": 20,
            "description": "A decimal number as typed; the unit is in the field's name."
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn keeps_what_was_typed() {
        for text in ["0", "12.50", "-0.7", "240", "0.000"] {
            let kept: Decimal = text.parse().unwrap();
            assert_eq!(kept.to_string(), text);
            assert_eq!(serde_json::to_string(&kept).unwrap(), format!("\"{text}\""));
        }
    }

    #[test]
    fn refuses_what_is_not_a_number() {
        for text in ["", "-", ".5", "5.", "1e3", "+1", "007", "1,5", "NaN", "1_0", "12.5 A"] {
            assert!(text.parse::<Decimal>().is_err(), "{text}");
        }
        assert!("1234567890123456789".parse::<Decimal>().is_err());
        assert!(
            serde_json::from_str::<Decimal>("12.5").is_err(),
            "a JSON number is not typed text"
        );
    }

    #[test]
    fn a_display_shows_whole_steps() {
        let fits = |number: &str, step: &str| {
            let parsed = |text: &str| text.parse::<Decimal>().unwrap();
            parsed(number).fits_steps_of(parsed(step))
        };
        assert!(
            fits("120.3", "0.1") && fits("120", "0.1") && fits("0.0", "0.1") && fits("2.5", "0.5")
        );
        assert!(!fits("0.12", "0.1") && !fits("0.120", "0.1") && !fits("2.3", "0.5"));
        assert!(!fits("0.3", "1") && !fits("1", "0"));
    }

    #[test]
    fn a_point_moved_is_as_typed() {
        for (digits, places, text) in
            [(15, 1, "1.5"), (0, 0, "0"), (2000, 0, "2000"), (5, 2, "0.05")]
        {
            let typed: Decimal = text.parse().unwrap();
            assert_eq!(Decimal::scaled(digits, places), typed);
            assert_eq!(Decimal::scaled(digits, places).to_string(), text);
        }
    }

    proptest! {
        #[test]
        fn a_short_float_is_rounded_as_a_long_one(
            value in prop_oneof![-400.0..400.0_f64, -1e7..1e7_f64, any::<f64>()],
            places in 0_u32..9,
            middle in any::<bool>(),
        ) {
            // Halves of a step and what lies beside them are where the two could part.
            let step = 10_f64.powi(-i32::try_from(places).unwrap());
            let value = if middle { (value / step).floor() * step + step / 2.0 } else { value };
            let written: Option<Decimal> = format!("{value:.*}", places as usize).parse().ok();
            let made = Decimal::from_f64(value, places);
            prop_assert_eq!(made.map(|it| it.to_string()), written.map(|it| it.to_string()));
        }

        #[test]
        fn every_typed_number_survives(whole in 0_u64..1_000_000_000, part in "[0-9]{1,6}") {
            let text = format!("{whole}.{part}");
            prop_assert_eq!(text.parse::<Decimal>().unwrap().to_string(), text);
        }

        #[test]
        fn a_number_is_the_float_nearest_to_it(text in "-?(0|[1-9][0-9]{0,8})([.][0-9]{1,9})?") {
            let number: Decimal = text.parse().unwrap();
            let read: f64 = text.parse().unwrap();
            // Minus nought and nought are one number.
            prop_assert!((number.to_f64() - read).abs() <= 0.0, "{text}");
        }
    }
}
