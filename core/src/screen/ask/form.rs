//! A form: run without answers it gathers what is asked, run with answers it reads them.
//!
//! Every act is written once, as a function over a form. So what is asked and what is read cannot
//! part. A value is none while asking, and none where an answer does not fit: an act asks for
//! everything first and puts its statements together last.

use std::{
    borrow::Cow,
    collections::{BTreeMap, BTreeSet},
    str::FromStr,
};

use super::{Answer, Ask, AskKind, Choice, Device, Digits, Draft, Once, Unfit};
use crate::{
    event::{Body, Sha256Hex, Statement},
    job::{Sheets, State},
    quantity::{Decimal, PersonId},
    reconcile::{Judgement, judge},
    words::{Sentence, Words},
};

/// Most answers of one act: ten slots, every subject of a briefing, and room.
const MOST_ANSWERS: usize = 200;
/// Longest answer, bytes.
const LONGEST_ANSWER: usize = 2000;
/// Longest name or tag, characters.
pub(super) const NAME: usize = 60;
/// Longest words on one thing, characters.
pub(super) const WORDS: usize = 300;

/// Something to choose, and what choosing it means.
#[derive(Debug, Clone)]
pub(super) struct Pick<T> {
    pub(super) value: String,
    pub(super) label: Sentence,
    pub(super) means: T,
}

/// What is asked or read, and what it is asked about.
pub(super) struct Form<'a> {
    pub(super) state: &'a State,
    pub(super) sheets: &'a Sheets<'a>,
    pub(super) who: &'a PersonId,
    pub(super) device: &'a Device<'a>,
    pub(super) words: &'a Words,
    /// None: nothing is read, what is asked is gathered.
    answers: Option<&'a [Answer]>,
    pub(super) once: &'a Once<'a>,
    asks: Vec<Ask>,
    unfit: Option<Unfit>,
    secrets: BTreeMap<String, String>,
}

impl<'a> Form<'a> {
    /// A form that gathers what is asked.
    pub(super) fn asking(
        state: &'a State,
        sheets: &'a Sheets<'a>,
        who: &'a PersonId,
        device: &'a Device<'a>,
        words: &'a Words,
        once: &'a Once<'a>,
    ) -> Self {
        Self {
            state,
            sheets,
            who,
            device,
            words,
            answers: None,
            once,
            asks: Vec::new(),
            unfit: None,
            secrets: BTreeMap::new(),
        }
    }

    /// The form, to read answers.
    pub(super) fn drafting(self, answers: &'a [Answer]) -> Result<Self, Unfit> {
        let whole = |id: &str| Unfit { field: String::new(), reason: self.words.plain(id) };
        if answers.len() > MOST_ANSWERS {
            return Err(whole("unfit-too-many"));
        }
        if let Some(long) = answers.iter().find(|answer| answer.value.len() > LONGEST_ANSWER) {
            let field = long.field.chars().take(NAME).collect();
            return Err(Unfit { field, reason: self.words.plain("unfit-far-too-long") });
        }
        Ok(Self { answers: Some(answers), ..self })
    }

    /// What was asked; none: the act has no place now.
    pub(super) fn into_asks(self) -> Option<Vec<Ask>> {
        self.unfit.is_none().then_some(self.asks)
    }

    /// What the evidence amounts to, drawn once where a screen is drawn of it as well.
    pub(super) fn judgement(&mut self) -> Option<Cow<'a, Judgement>> {
        if let Some(judged) = self.once.judged {
            return Some(Cow::Borrowed(judged));
        }
        let evidence = self.evidence()?;
        Some(Cow::Owned(judge(self.sheets.plant, self.sheets.rules, evidence)))
    }

    /// The draft, or the first answer that does not fit.
    pub(super) fn into_draft(self, bodies: Option<Vec<Body>>) -> Result<Draft, Unfit> {
        let asked: BTreeSet<&str> = self.asks.iter().map(|ask| ask.field.as_str()).collect();
        let strange = |answer: &&Answer| !asked.contains(answer.field.as_str());
        if let Some(answer) = self.answers.unwrap_or_default().iter().find(strange) {
            let field = answer.field.chars().take(NAME).collect();
            return Err(Unfit { field, reason: self.words.plain("unfit-not-asked") });
        }
        if let Some(unfit) = self.unfit {
            return Err(unfit);
        }
        let bodies = bodies.filter(|bodies| !bodies.is_empty()).ok_or_else(|| Unfit {
            field: String::new(),
            reason: self.words.plain("unfit-not-now"),
        })?;
        let statements = bodies.into_iter().map(|body| Statement(Box::new(body))).collect();
        Ok(Draft { statements, secrets: self.secrets })
    }

    /// The act has no place now. Said once: the first reason stands.
    pub(super) fn lacking<T>(&mut self, id: &str) -> Option<T> {
        let reason = self.words.plain(id);
        self.say_unfit(String::new(), reason);
        None
    }

    /// An answer that does not fit.
    pub(super) fn unfit<T>(&mut self, label_id: &str, id: &str) -> Option<T> {
        let label = self.words.plain(label_id);
        let reason = self.words.say(id, &[("what", &label.text)]);
        self.say_unfit(field_of(label_id), reason);
        None
    }

    fn say_unfit(&mut self, field: String, reason: Sentence) {
        self.unfit.get_or_insert(Unfit { field, reason });
    }

    /// Keeps something on this device alone.
    pub(super) fn keep(&mut self, name: String, text: String) {
        self.secrets.insert(name, text);
    }

    /// A new name for what the statement at `place` of this draft brings.
    pub(super) fn fresh<T: TryFrom<String>>(&mut self, what: &str, place: u64) -> Option<T> {
        let next = self.device.written.saturating_add(1).saturating_add(place);
        let name = format!("{what}-{}-{next}", self.device.device);
        T::try_from(name).ok().or_else(|| self.lacking("unfit-device-name"))
    }

    /// A decimal number that has to be there.
    pub(super) fn number(&mut self, id: &str, unit: &str) -> Option<Decimal> {
        let label = self.words.plain(id);
        self.number_at(&field_of(id), &label, unit)
    }

    /// A decimal number under a field and label of its own.
    pub(super) fn number_at(
        &mut self,
        field: &str,
        label: &Sentence,
        unit: &str,
    ) -> Option<Decimal> {
        let kind = quantity(unit);
        let typed = self.required(field, label, kind)?;
        self.parsed(field, label, &typed, "unfit-number")
    }

    /// A whole number from nought up.
    pub(super) fn count<T: FromStr>(&mut self, id: &str) -> Option<T> {
        let (field, label) = (field_of(id), self.words.plain(id));
        let kind = AskKind::Number { unit: String::new(), digits: Digits::Whole };
        let typed = self.required(&field, &label, kind)?;
        self.parsed(&field, &label, &typed, "unfit-whole-number")
    }

    /// A decimal number that may be left out, and what it is then.
    pub(super) fn number_or(
        &mut self,
        id: &str,
        unit: &str,
        otherwise: Option<Decimal>,
    ) -> Option<Decimal> {
        self.parsed_or(id, quantity(unit), "unfit-number", otherwise)
    }

    /// A whole number from nought up that may be left out, and what it is then.
    pub(super) fn count_or<T: FromStr>(&mut self, id: &str, otherwise: Option<T>) -> Option<T> {
        let kind = AskKind::Number { unit: String::new(), digits: Digits::Whole };
        self.parsed_or(id, kind, "unfit-whole-number", otherwise)
    }

    fn parsed_or<T: FromStr>(
        &mut self,
        id: &str,
        kind: AskKind,
        unfit: &str,
        otherwise: Option<T>,
    ) -> Option<T> {
        let (field, label) = (field_of(id), self.words.plain(id));
        let typed = self.optional(&field, &label, kind)?;
        if typed.is_empty() {
            return otherwise;
        }
        self.parsed(&field, &label, &typed, unfit)
    }

    fn parsed<T: FromStr>(
        &mut self,
        field: &str,
        label: &Sentence,
        typed: &str,
        id: &str,
    ) -> Option<T> {
        typed.parse().ok().or_else(|| {
            let reason = self.words.say(id, &[("what", &label.text)]);
            self.say_unfit(field.to_owned(), reason);
            None
        })
    }

    /// Words that have to be there.
    pub(super) fn text(&mut self, id: &str, longest: usize) -> Option<String> {
        let (field, label) = (field_of(id), self.words.plain(id));
        let typed = self.required(&field, &label, AskKind::Text)?;
        self.short_enough(field, &label, typed, longest)
    }

    /// Words that may be left out; empty then.
    pub(super) fn text_if(&mut self, id: &str, longest: usize) -> Option<String> {
        let (field, label) = (field_of(id), self.words.plain(id));
        let typed = self.optional(&field, &label, AskKind::Text)?;
        self.short_enough(field, &label, typed, longest)
    }

    fn short_enough(
        &mut self,
        field: String,
        label: &Sentence,
        typed: String,
        longest: usize,
    ) -> Option<String> {
        if typed.chars().count() <= longest {
            return Some(typed);
        }
        let places = [("what", label.text.as_str()), ("most", &longest.to_string())];
        let reason = self.words.say("unfit-too-long", &places);
        self.say_unfit(field, reason);
        None
    }

    /// One of these. `none` is said where there is nothing to choose from.
    pub(super) fn one<T>(&mut self, id: &str, picks: Vec<Pick<T>>, none: &str) -> Option<T> {
        let label = self.words.plain(id);
        self.one_at(&field_of(id), &label, picks, none)
    }

    /// One of these; the only one is not asked for.
    pub(super) fn one_of_several<T>(
        &mut self,
        id: &str,
        mut picks: Vec<Pick<T>>,
        none: &str,
    ) -> Option<T> {
        if picks.len() == 1 {
            return picks.pop().map(|pick| pick.means);
        }
        self.one(id, picks, none)
    }

    /// One of these under a field and label of its own.
    pub(super) fn one_at<T>(
        &mut self,
        field: &str,
        label: &Sentence,
        picks: Vec<Pick<T>>,
        none: &str,
    ) -> Option<T> {
        if picks.is_empty() {
            return self.lacking(none);
        }
        let kind = AskKind::One { of: choices(&picks) };
        let typed = self.required(field, label, kind)?;
        let chosen = picks.into_iter().find(|pick| pick.value == typed);
        chosen.map(|pick| pick.means).or_else(|| {
            let reason = self.words.say("unfit-not-a-choice", &[("what", &label.text)]);
            self.say_unfit(field.to_owned(), reason);
            None
        })
    }

    /// Any of these, in their order; at least one.
    pub(super) fn several<T>(&mut self, id: &str, picks: Vec<Pick<T>>) -> Option<Vec<T>> {
        let (field, label) = (field_of(id), self.words.plain(id));
        let kind = AskKind::Several { of: choices(&picks) };
        self.asks.push(Ask { field: field.clone(), label: label.clone(), kind, required: true });
        let answers = self.answers?.iter().filter(|answer| answer.field == field);
        let chosen: BTreeSet<&str> = answers.map(|answer| answer.value.trim()).collect();
        let strange = chosen.iter().any(|value| picks.iter().all(|pick| pick.value != *value));
        if strange {
            return self.unfit(id, "unfit-not-a-choice");
        }
        if chosen.is_empty() {
            return self.unfit(id, "unfit-missing");
        }
        let of = picks.into_iter().filter(|pick| chosen.contains(pick.value.as_str()));
        Some(of.map(|pick| pick.means).collect())
    }

    /// Yes or no.
    pub(super) fn yes_no(&mut self, id: &str) -> Option<bool> {
        let (field, label) = (field_of(id), self.words.plain(id));
        match self.required(&field, &label, AskKind::YesNo)?.as_str() {
            "yes" => Some(true),
            "no" => Some(false),
            _ => self.unfit(id, "unfit-not-a-choice"),
        }
    }

    /// Something that has to be so for the act: yes, or the act is not done.
    pub(super) fn affirmed(&mut self, id: &str) -> Option<()> {
        match self.yes_no(id) {
            Some(true) => Some(()),
            Some(false) => self.unfit(id, "unfit-not-affirmed"),
            None => None,
        }
    }

    /// A picture that was taken now.
    pub(super) fn photo(&mut self, id: &str) -> Option<Sha256Hex> {
        let (field, label) = (field_of(id), self.words.plain(id));
        let typed = self.required(&field, &label, AskKind::Photo)?;
        self.parsed(&field, &label, &typed, "unfit-photo")
    }

    /// The one answer to a field that has to be answered.
    fn required(&mut self, field: &str, label: &Sentence, kind: AskKind) -> Option<String> {
        let typed = self.answered(field, label, kind, true)?;
        if typed.is_empty() {
            let reason = self.words.say("unfit-missing", &[("what", &label.text)]);
            self.say_unfit(field.to_owned(), reason);
            return None;
        }
        Some(typed)
    }

    fn optional(&mut self, field: &str, label: &Sentence, kind: AskKind) -> Option<String> {
        self.answered(field, label, kind, false)
    }

    /// What was typed into a field, trimmed; empty: nothing.
    fn answered(
        &mut self,
        field: &str,
        label: &Sentence,
        kind: AskKind,
        required: bool,
    ) -> Option<String> {
        let ask = Ask { field: field.to_owned(), label: label.clone(), kind, required };
        self.asks.push(ask);
        let mut typed = self.answers?.iter().filter(|answer| answer.field == field);
        let one = typed.next().map(|answer| answer.value.as_str()).unwrap_or_default();
        if typed.next().is_some() {
            let reason = self.words.say("unfit-twice", &[("what", &label.text)]);
            self.say_unfit(field.to_owned(), reason);
            return None;
        }
        let spaced = one.split_whitespace().collect::<Vec<_>>().join(" ");
        if spaced.chars().any(char::is_control) {
            let reason = self.words.say("unfit-character", &[("what", &label.text)]);
            self.say_unfit(field.to_owned(), reason);
            return None;
        }
        Some(spaced)
    }
}

/// The field that a label stands above.
fn field_of(label_id: &str) -> String {
    label_id.strip_prefix("ask-").unwrap_or(label_id).to_owned()
}

fn choices<T>(picks: &[Pick<T>]) -> Vec<Choice> {
    let choice = |pick: &Pick<T>| Choice { value: pick.value.clone(), label: pick.label.clone() };
    picks.iter().map(choice).collect()
}

/// A choice that is its own name: a pad, a leg, a person.
pub(super) fn named<T: ToString>(means: T) -> Pick<T> {
    let value = means.to_string();
    let label = Sentence { id: "name".into(), text: value.clone(), spoken: value.clone() };
    Pick { value, label, means }
}

/// A quantity, typed with the keys that it needs.
fn quantity(unit: &str) -> AskKind {
    AskKind::Number { unit: unit.to_owned(), digits: Digits::of(unit) }
}
