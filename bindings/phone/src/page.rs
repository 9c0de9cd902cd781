//! Pages that are read, and the one-line diagram on one of them: `screen::page` of core.

use coldlug_core::{quantity::PersonId, screen};

use crate::{
    ask::Offer,
    carried::Whole,
    diagram::Diagram,
    error::PhoneError,
    phone::{Phone, job_id},
    screen::Tone,
    sentence::{Sentence, all},
};

/// A page of a job that is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, uniffi::Enum)]
pub enum Page {
    /// What to open, drawn, and step by step.
    Plan,
    /// What flows in a fault, and what follows from it.
    FaultCurrent,
    /// Why each set is out or in, sighting by sighting.
    Reasons,
}

/// What opens a page.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct PageKey {
    /// Which.
    pub page: Page,
    /// What stands on the key.
    pub label: Sentence,
    /// How it stands out, by the shape before it; none: as every key does.
    pub tone: Option<Tone>,
}

/// A page as it is drawn.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct PageShown {
    /// The physical state, the most pressing line first.
    pub physical: Vec<Sentence>,
    /// What the page says on top.
    pub headline: Sentence,
    /// How that stands out.
    pub tone: Tone,
    /// The plan as a drawing; none: there is none to draw.
    pub diagram: Option<Diagram>,
    /// What it leads to: what has to be read before the plan can go on.
    pub acts: Vec<Offer>,
    /// Everything else.
    pub passages: Vec<Passage>,
}

/// Lines under a heading, what counts most first.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct Passage {
    /// The heading.
    pub title: Sentence,
    /// The lines.
    pub lines: Vec<PassageLine>,
}

/// One line of a passage.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct PassageLine {
    /// What it says.
    pub said: Sentence,
    /// How it stands out, by the shape before it; none: it is one of many.
    pub tone: Option<Tone>,
}

#[uniffi::export]
impl Phone {
    /// A page of a job, for one person.
    pub fn page(&self, job: String, person: String, page: Page) -> Result<PageShown, PhoneError> {
        let outcome = self.now().and_then(|now| {
            let who = PersonId::new(person)?;
            // Nothing is drawn by chance for a page.
            self.lock().at(&job_id(job)?, &now, &[0; 32], |whole, device| {
                let Whole { state, sheets, .. } = whole;
                let page = page.into();
                Ok(screen::page(page, state, sheets, &who, device, &self.words).into())
            })
        });
        self.said(outcome)
    }
}

impl From<Page> for screen::Page {
    fn from(page: Page) -> Self {
        match page {
            Page::Plan => Self::Plan,
            Page::FaultCurrent => Self::FaultCurrent,
            Page::Reasons => Self::Reasons,
        }
    }
}

impl From<screen::Page> for Page {
    fn from(page: screen::Page) -> Self {
        match page {
            screen::Page::Plan => Self::Plan,
            screen::Page::FaultCurrent => Self::FaultCurrent,
            screen::Page::Reasons => Self::Reasons,
        }
    }
}

impl From<screen::PageKey> for PageKey {
    fn from(key: screen::PageKey) -> Self {
        let screen::PageKey { page, label, tone } = key;
        Self { page: page.into(), label: label.into(), tone: tone.map(Into::into) }
    }
}

impl From<screen::PageShown> for PageShown {
    fn from(shown: screen::PageShown) -> Self {
        let screen::PageShown { physical, headline, tone, diagram, acts, passages } = shown;
        Self {
            physical: all(physical),
            headline: headline.into(),
            tone: tone.into(),
            diagram: diagram.map(Into::into),
            acts: acts.into_iter().map(Into::into).collect(),
            passages: passages.into_iter().map(Into::into).collect(),
        }
    }
}

impl From<screen::Passage> for Passage {
    fn from(passage: screen::Passage) -> Self {
        let screen::Passage { title, lines } = passage;
        Self { title: title.into(), lines: lines.into_iter().map(Into::into).collect() }
    }
}

impl From<screen::PassageLine> for PassageLine {
    fn from(line: screen::PassageLine) -> Self {
        Self { said: line.said.into(), tone: line.tone.map(Into::into) }
    }
}
