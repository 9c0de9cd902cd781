//! Acts, what they ask, and answers: `screen::act` and `screen::ask` of core.

use coldlug_core::{quantity::Decimal, screen};

use crate::sentence::Sentence;

macro_rules! mirror {
    ($($(#[$doc:meta])* $name:ident,)*) => {
        /// Everything that can be done on a screen.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, uniffi::Enum)]
        pub enum Act {
            $($(#[$doc])* $name,)*
        }

        impl From<screen::Act> for Act {
            fn from(act: screen::Act) -> Self {
                match act { $(screen::Act::$name => Self::$name,)* }
            }
        }

        impl From<Act> for screen::Act {
            fn from(act: Act) -> Self {
                match act { $(Act::$name => Self::$name,)* }
            }
        }
    };
}

coldlug_core::every_act!(mirror);

/// The name of an act in scripts and addresses: `prove-dead` say.
#[uniffi::export]
pub fn act_name(act: Act) -> String {
    screen::Act::from(act).name().to_owned()
}

/// The act of that name; none: there is no such act.
#[uniffi::export]
pub fn act_named(name: String) -> Option<Act> {
    screen::Act::named(&name).map(Into::into)
}

/// Most digits a typed number may have. A pad takes no more, so that none is typed for nothing.
#[uniffi::export]
pub fn most_digits() -> u8 {
    u8::try_from(Decimal::MOST_DIGITS).unwrap_or(u8::MAX)
}

/// Something that can be done.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct Offer {
    /// What.
    pub act: Act,
    /// What kind of deed it is.
    pub deed: Deed,
    /// What stands on the button.
    pub label: Sentence,
    /// Whether this person's role may do it.
    pub permitted: bool,
    /// What it asks, in order; empty: nothing but the deed itself.
    pub asks: Vec<Ask>,
}

/// What an act takes: for a shape beside its words.
#[derive(Debug, Clone, Copy, PartialEq, Eq, uniffi::Enum)]
pub enum Deed {
    /// Looking.
    Look,
    /// Measuring.
    Measure,
    /// Laying hands on something.
    Hand,
    /// Saying that something is so.
    Word,
    /// Stopping. It has to be at hand on every screen of a job.
    Stop,
}

/// One thing an act asks for.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct Ask {
    /// Its name in the answers.
    pub field: String,
    /// What stands above it.
    pub label: Sentence,
    /// How it is answered.
    pub kind: AskKind,
    /// Whether the act can be done without it.
    pub required: bool,
}

/// How something is answered.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Enum)]
pub enum AskKind {
    /// A decimal number, typed as the display shows it.
    Number {
        /// The unit beside it; empty: none.
        unit: String,
        /// Which keys it needs.
        digits: Digits,
    },
    /// Words, a tag, a number that is a name.
    Text,
    /// One of these.
    One {
        /// In their order.
        of: Vec<Choice>,
    },
    /// Any of these, each answered apart.
    Several {
        /// In their order.
        of: Vec<Choice>,
    },
    /// `yes` or `no`. Never filled in beforehand.
    YesNo,
    /// A picture taken now: the answer is the hash that keeping it gave.
    Photo,
}

/// Which keys a number needs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, uniffi::Enum)]
pub enum Digits {
    /// Digits alone.
    Whole,
    /// A decimal point too.
    Decimal,
    /// A decimal point and a minus.
    Signed,
}

/// One choice.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct Choice {
    /// Its name in the answers.
    pub value: String,
    /// What stands on it.
    pub label: Sentence,
}

/// One answer. A field that is answered with several has one a value.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct Answer {
    /// The field.
    pub field: String,
    /// As it was typed or chosen.
    pub value: String,
}

impl From<screen::Offer> for Offer {
    fn from(offer: screen::Offer) -> Self {
        let screen::Offer { act, label, permitted, asks } = offer;
        let asks = asks.into_iter().map(Into::into).collect();
        let deed = screen::Deed::of(act).into();
        Self { act: act.into(), deed, label: label.into(), permitted, asks }
    }
}

impl From<screen::Deed> for Deed {
    fn from(deed: screen::Deed) -> Self {
        match deed {
            screen::Deed::Look => Self::Look,
            screen::Deed::Measure => Self::Measure,
            screen::Deed::Hand => Self::Hand,
            screen::Deed::Word => Self::Word,
            screen::Deed::Stop => Self::Stop,
        }
    }
}

impl From<screen::Ask> for Ask {
    fn from(ask: screen::Ask) -> Self {
        let screen::Ask { field, label, kind, required } = ask;
        Self { field, label: label.into(), kind: kind.into(), required }
    }
}

impl From<screen::AskKind> for AskKind {
    fn from(kind: screen::AskKind) -> Self {
        let choices = |of: Vec<screen::Choice>| of.into_iter().map(Into::into).collect();
        match kind {
            screen::AskKind::Number { unit, digits } => {
                Self::Number { unit, digits: digits.into() }
            }
            screen::AskKind::Text => Self::Text,
            screen::AskKind::One { of } => Self::One { of: choices(of) },
            screen::AskKind::Several { of } => Self::Several { of: choices(of) },
            screen::AskKind::YesNo => Self::YesNo,
            screen::AskKind::Photo => Self::Photo,
        }
    }
}

impl From<screen::Digits> for Digits {
    fn from(digits: screen::Digits) -> Self {
        match digits {
            screen::Digits::Whole => Self::Whole,
            screen::Digits::Decimal => Self::Decimal,
            screen::Digits::Signed => Self::Signed,
        }
    }
}

impl From<screen::Choice> for Choice {
    fn from(choice: screen::Choice) -> Self {
        Self { value: choice.value, label: choice.label.into() }
    }
}

impl From<Answer> for screen::Answer {
    fn from(answer: Answer) -> Self {
        Self { field: answer.field, value: answer.value }
    }
}
