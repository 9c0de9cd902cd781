//! How one value of a rule sheet is read and compared with the default.

use toml::Value;

use super::{Category, GloveClass, Reason};
use crate::quantity::Decimal;

/// Which way a value must move to become less cautious.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Laxer {
    /// A larger value is less cautious.
    More,
    /// A smaller value is less cautious.
    Less,
    /// Neither direction is: the range alone guards it.
    Neither,
}

/// A kind of value.
pub(super) trait Setting: Copy + PartialOrd {
    /// What bounds it.
    type Bounds: Copy;

    /// The value from TOML, within bounds.
    fn read(value: &Value, bounds: Self::Bounds) -> Result<Self, Reason>;

    /// As a person reads it.
    fn shown(self) -> String;

    /// Whether it is less cautious than `default`.
    fn laxer_than(self, default: Self, way: Laxer) -> bool {
        match way {
            Laxer::More => self > default,
            Laxer::Less => self < default,
            Laxer::Neither => false,
        }
    }
}

fn kind(wanted: &str) -> Reason {
    Reason::Kind { wanted: wanted.to_owned() }
}

impl Setting for Decimal {
    type Bounds = (&'static str, &'static str);

    fn read(value: &Value, (least, most): Self::Bounds) -> Result<Self, Reason> {
        let wanted = "a number in quotes, like \"0.6\"";
        let number = match value {
            Value::String(text) => text.parse::<Self>().map_err(|_| kind(wanted))?,
            Value::Integer(whole) => whole.to_string().parse().map_err(|_| kind(wanted))?,
            _ => return Err(kind(wanted)),
        };
        let (low, high) = (least.parse::<Self>(), most.parse::<Self>());
        match (low, high) {
            (Ok(low), Ok(high)) if low <= number && number <= high => Ok(number),
            _ => Err(Reason::Range {
                found: number.to_string(),
                least: least.to_owned(),
                most: most.to_owned(),
            }),
        }
    }

    fn shown(self) -> String {
        self.to_string()
    }
}

impl Setting for u32 {
    type Bounds = (Self, Self);

    fn read(value: &Value, (least, most): Self::Bounds) -> Result<Self, Reason> {
        let whole = value.as_integer().ok_or_else(|| kind("a whole number without quotes"))?;
        match Self::try_from(whole) {
            Ok(number) if (least..=most).contains(&number) => Ok(number),
            _ => Err(Reason::Range {
                found: whole.to_string(),
                least: least.to_string(),
                most: most.to_string(),
            }),
        }
    }

    fn shown(self) -> String {
        self.to_string()
    }
}

impl Setting for bool {
    type Bounds = ();

    fn read(value: &Value, (): ()) -> Result<Self, Reason> {
        value.as_bool().ok_or_else(|| kind("true or false"))
    }

    fn shown(self) -> String {
        self.to_string()
    }
}

fn one_of<T: Copy>(value: &Value, all: &[T], name: fn(T) -> &'static str) -> Result<T, Reason> {
    let found = value.as_str().and_then(|text| all.iter().find(|&&one| name(one) == text));
    found.copied().ok_or_else(|| {
        let names: Vec<_> = all.iter().map(|&one| format!("\"{}\"", name(one))).collect();
        kind(&format!("one of {}", names.join(", ")))
    })
}

impl Setting for Category {
    type Bounds = ();

    fn read(value: &Value, (): ()) -> Result<Self, Reason> {
        one_of(value, &Self::ALL, Self::name)
    }

    fn shown(self) -> String {
        self.name().to_owned()
    }
}

impl Setting for GloveClass {
    type Bounds = ();

    fn read(value: &Value, (): ()) -> Result<Self, Reason> {
        one_of(value, &Self::ALL, Self::name)
    }

    fn shown(self) -> String {
        self.name().to_owned()
    }
}
