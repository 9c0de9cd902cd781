//! The form of an act, drawn from what it asks.

use coldlug_core::{
    screen::{Act, Answer, Ask, AskKind, Digits, Offer, Unfit},
    words::Sentence,
};

/// The field of every form that holds the session's or the link's token.
pub const CSRF: &str = "csrf";

/// The field of a dispatcher's form that names the act.
pub const ACT: &str = "act";

/// An act that was tried and not done: its form comes back as it was filled in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tried {
    /// The act.
    pub act: Act,
    /// What was answered.
    pub answers: Vec<Answer>,
    /// The answer that does not fit.
    pub unfit: Option<Unfit>,
    /// The rule that refused it.
    pub refused: Option<Sentence>,
}

/// An act's form.
#[derive(Debug, Clone, Copy)]
pub(super) struct Form<'a> {
    /// What is offered.
    pub(super) offer: &'a Offer,
    /// Where the form goes.
    pub(super) to: &'a str,
    /// The token.
    pub(super) csrf: &'a str,
    /// What was tried before, when it was this act.
    pub(super) tried: Option<&'a Tried>,
    /// Whether it leads on: it stands open, with the big button.
    pub(super) leads: bool,
}

impl<'a> Form<'a> {
    /// Whether it is drawn open.
    pub(super) fn open(&self) -> bool {
        self.tried.is_some() || (self.leads && !self.asks().is_empty())
    }

    /// The act's name.
    pub(super) fn name(&self) -> &'static str {
        self.offer.act.name()
    }

    /// What it asks.
    pub(super) fn asks(&self) -> &'a [Ask] {
        &self.offer.asks
    }

    /// Whether it carries a picture.
    pub(super) fn has_photo(&self) -> bool {
        self.asks().iter().any(|ask| ask.kind == AskKind::Photo)
    }

    /// What was typed into a field before.
    pub(super) fn typed(&self, field: &str) -> &'a str {
        let answers = self.tried.map_or(&[][..], |tried| tried.answers.as_slice());
        answers.iter().find(|given| given.field == field).map_or("", |given| given.value.as_str())
    }

    /// Whether a choice was made before.
    pub(super) fn chose(&self, field: &str, value: &str) -> bool {
        let answers = self.tried.map_or(&[][..], |tried| tried.answers.as_slice());
        answers.iter().any(|given| given.field == field && given.value == value)
    }

    /// Why the answer to a field does not fit.
    pub(super) fn unfit(&self, field: &str) -> Option<&'a Sentence> {
        let unfit = self.tried?.unfit.as_ref()?;
        (unfit.field == field).then_some(&unfit.reason)
    }
}

/// The keys a browser shows. A pad of numbers has no minus on every phone.
pub(super) fn keys_of(ask: &Ask) -> &'static str {
    match ask.kind {
        AskKind::Number { digits: Digits::Whole, .. } => "numeric",
        AskKind::Number { digits: Digits::Decimal, .. } => "decimal",
        AskKind::Number { digits: Digits::Signed, .. }
        | AskKind::Text
        | AskKind::One { .. }
        | AskKind::Several { .. }
        | AskKind::YesNo
        | AskKind::Photo => "text",
    }
}

/// The forms of the acts that a person may do, the one that leads on first.
pub(super) fn forms<'a>(
    offers: &'a [Offer],
    to: impl Fn(&Offer) -> &'a str,
    csrf: &'a str,
    tried: Option<&'a Tried>,
) -> Vec<Form<'a>> {
    let permitted = offers.iter().filter(|offer| offer.permitted);
    permitted
        .enumerate()
        .map(|(place, offer)| Form {
            offer,
            to: to(offer),
            csrf,
            tried: tried.filter(|tried| tried.act == offer.act),
            // Stopping leads nowhere: it is always there, and never the big button.
            leads: place == 0 && offer.act != Act::Stop,
        })
        .collect()
}
