//! Sentences from a Fluent resource.

use std::{collections::BTreeSet, fmt};

use fluent_bundle::{FluentArgs, FluentResource, concurrent::FluentBundle};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use unic_langid::LanguageIdentifier;

/// English, the only language so far, by what it is about.
const ENGLISH: &str = concat!(
    include_str!("en.ftl"),
    "\n",
    include_str!("en/evidence.ftl"),
    "\n",
    include_str!("en/readings.ftl"),
    "\n",
    include_str!("en/plan.ftl"),
    "\n",
    include_str!("en/diagram.ftl"),
    "\n",
    include_str!("en/screens.ftl"),
    "\n",
    include_str!("en/asks.ftl"),
    "\n",
    include_str!("en/timeline.ftl"),
    "\n",
    include_str!("en/demo.ftl"),
    "\n",
    include_str!("en/phone.ftl"),
    "\n",
    include_str!("en/desk.ftl"),
    "\n",
    include_str!("en/desk_service.ftl"),
    "\n",
    include_str!("en/labels.ftl"),
    "\n",
    include_str!("en/clear.ftl"),
    "\n",
    include_str!("en/pointers.ftl"),
    "\n",
    include_str!("en/explain.ftl"),
    "\n",
    include_str!("en/simulate.ftl"),
    "\n",
    include_str!("en/import.ftl"),
    "\n",
    include_str!("en/fault.ftl"),
    "\n",
    include_str!("en/reasons.ftl"),
);

/// A finished sentence, with the id it was made from.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Sentence {
    /// The message id; a rule's sentence has the rule's id.
    pub id: String,
    /// As it is written.
    pub text: String,
    /// As it is read out.
    pub spoken: String,
}

impl fmt::Display for Sentence {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

/// Why a language cannot be loaded. All of it is found when the program starts.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum WordsError {
    /// A text that is not Fluent.
    #[error("the sentences of '{language}' cannot be read: {reason}")]
    Unreadable {
        /// The language.
        language: String,
        /// The first thing that is wrong.
        reason: String,
    },
    /// One id twice.
    #[error("the sentence '{id}' of '{language}' is there twice")]
    Doubled {
        /// The language.
        language: String,
        /// The id.
        id: String,
    },
}

/// The sentences of one language.
pub struct Words {
    bundle: FluentBundle<FluentResource>,
    ids: BTreeSet<String>,
}

impl fmt::Debug for Words {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Words").field("sentences", &self.ids.len()).finish_non_exhaustive()
    }
}

impl Words {
    /// The embedded English sentences.
    pub fn english() -> Result<Self, WordsError> {
        Self::from_text("en", ENGLISH)
    }

    /// Sentences from a Fluent text in a language named by its BCP 47 tag.
    pub fn from_text(language: &str, text: &str) -> Result<Self, WordsError> {
        let unreadable = |reason: String| WordsError::Unreadable {
            language: language.chars().take(20).collect(),
            reason,
        };
        let tag: LanguageIdentifier =
            language.parse().map_err(|_| unreadable("not a language tag".to_owned()))?;
        let resource = FluentResource::try_new(text.to_owned()).map_err(|(_, errors)| {
            unreadable(errors.first().map_or_else(String::new, ToString::to_string))
        })?;
        let mut ids = BTreeSet::new();
        for id in message_ids(text) {
            if !ids.insert(id.to_owned()) {
                let (language, id) = (language.to_owned(), id.to_owned());
                return Err(WordsError::Doubled { language, id });
            }
        }
        let mut bundle = FluentBundle::new_concurrent(vec![tag]);
        // Isolation marks are for mixed scripts on a screen; here they would get into terminals,
        // speech and compared texts.
        bundle.set_use_isolating(false);
        bundle.add_resource(resource).map_err(|errors| {
            unreadable(errors.first().map_or_else(String::new, ToString::to_string))
        })?;
        Ok(Self { bundle, ids })
    }

    /// The sentence `id` without anything filled in.
    pub fn plain(&self, id: &str) -> Sentence {
        self.say(id, &[])
    }

    /// The sentence `id` with its places filled.
    ///
    /// An id without a sentence gives the id itself as text, so that nothing is ever silent; that
    /// no id used in the code lacks a sentence is held by tests.
    pub fn say(&self, id: &str, places: &[(&str, &str)]) -> Sentence {
        let mut args = FluentArgs::with_capacity(places.len());
        for (name, value) in places {
            args.set(*name, *value);
        }
        let message = self.bundle.get_message(id);
        let mut errors = Vec::new();
        let text = message.as_ref().and_then(fluent_bundle::FluentMessage::value).map_or_else(
            || id.to_owned(),
            |pattern| self.bundle.format_pattern(pattern, Some(&args), &mut errors).into_owned(),
        );
        let spoken = message.as_ref().and_then(|m| m.get_attribute("spoken")).map_or_else(
            || text.clone(),
            |a| self.bundle.format_pattern(a.value(), Some(&args), &mut errors).into_owned(),
        );
        Sentence { id: id.to_owned(), text, spoken }
    }

    /// What a refusal names as lacking, as people read it: each is a name, or the id of a sentence that
    /// says what to do.
    pub fn lacked(&self, which: &[String]) -> Vec<String> {
        which.iter().map(|which| self.plain(which).text).collect()
    }

    /// Whether there is a sentence `id`.
    pub fn has(&self, id: &str) -> bool {
        self.ids.contains(id)
    }

    /// All ids, in order.
    pub fn ids(&self) -> impl Iterator<Item = &str> {
        self.ids.iter().map(String::as_str)
    }
}

/// The ids of the messages of a text: what stands at the left edge before ` =`.
fn message_ids(text: &str) -> impl Iterator<Item = &str> {
    text.lines()
        .filter(|line| line.starts_with(|c: char| c.is_ascii_alphabetic()))
        .filter_map(|line| line.split_once(" =").map(|(id, _)| id))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn english_loads() {
        let words = Words::english().unwrap();
        assert!(words.has("verdict-identified"));
        assert!(words.ids().count() > 40);
    }

    #[test]
    fn places_are_filled_without_isolation_marks() {
        let words =
            Words::from_text("en", "a = Lift { $leg }.\n    .spoken = Lift leg { $leg }.\n")
                .unwrap();
        let said = words.say("a", &[("leg", "L1")]);
        assert_eq!(said.text, "Lift L1.");
        assert_eq!(said.spoken, "Lift leg L1.");
    }

    #[test]
    fn an_unknown_id_is_shown_and_never_silent() {
        let words = Words::english().unwrap();
        assert_eq!(words.plain("no-such-thing").text, "no-such-thing");
    }

    #[test]
    fn a_broken_text_is_refused_with_its_reason() {
        assert!(matches!(Words::from_text("en", "a = {"), Err(WordsError::Unreadable { .. })));
        assert!(matches!(Words::from_text("??", "a = b"), Err(WordsError::Unreadable { .. })));
        assert_eq!(
            Words::from_text("en", "a = b\na = c\n").unwrap_err(),
            WordsError::Doubled { language: "en".into(), id: "a".into() }
        );
    }

    #[test]
    fn sentences_are_short_enough_for_a_gloved_hand() {
        let words = Words::english().unwrap();
        for id in words.ids() {
            let text = words.plain(id).text;
            assert!(text.chars().count() <= 220, "{id} is too long: {text}");
        }
    }
}
