//! What each screen shows and lets a person do, as closed enums of plain data.
//!
//! Every screen begins with the present physical state: what is open, lifted, capped, shorted, out,
//! by whom, since when. Then what the screen is about; then the acts, the one that leads on first.
//! Sentences come finished. A new screen or act does not compile until it is drawn everywhere.

mod about;
mod act;
mod ask;
mod build;
mod crew;
mod deed;
mod desk;
mod electrician;
mod fault;
mod handover;
mod holding;
mod label;
mod ledger;
mod page;
mod passage;
mod physical;
mod points;
mod searching;
mod switching;
#[cfg(test)]
mod tests;
mod timeline;
mod told;
mod tone;
mod why;
mod word;

use schemars::JsonSchema;
use serde::Serialize;

use crate::{
    form::JudgementForm,
    quantity::{ClearanceId, JobId, PersonId, RunId},
    sighting::SetAt,
    words::Sentence,
};

pub use act::{Act, may};
pub use ask::{Answer, Ask, AskKind, Choice, Device, Digits, Draft, Unfit, draft, event_name};
pub use build::{job_list, screen};
pub use deed::Deed;
pub use fault::{fault_at_base, fault_of_job, fault_passages};
pub use holding::holding;
pub use label::Label;
pub use page::{Page, PageKey, PageShown, page, pages};
pub use passage::{Passage, PassageLine};
pub use physical::physical_lines;
pub use timeline::{TimelineLine, timeline};
pub use told::event_sentence;
pub use tone::Tone;

/// A screen as it is drawn.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Shown {
    /// The physical state, the most pressing line first.
    pub physical: Vec<Sentence>,
    /// What the screen says on top.
    pub headline: Sentence,
    /// How that stands out.
    pub tone: Tone,
    /// What it is about.
    pub screen: Screen,
    /// What can be done; the first leads on and is the one big button.
    pub acts: Vec<Offer>,
}

/// Something that can be done, and whether this person may.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Offer {
    /// What.
    pub act: Act,
    /// What stands on the button.
    pub label: Sentence,
    /// Whether this person's role may do it. The gate still judges the act itself.
    pub permitted: bool,
    /// What it asks, in order; empty: nothing but the deed itself.
    pub asks: Vec<Ask>,
}

/// What a screen is about.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(tag = "screen", rename_all = "kebab-case", deny_unknown_fields)]
pub enum Screen {
    /// The jobs on this phone.
    JobList {
        /// One line a job.
        jobs: Vec<JobLine>,
    },
    /// Briefing: what was talked through.
    Briefing {
        /// Subjects that are still to be talked through.
        missing: Vec<String>,
    },
    /// For an electrician before the handover: whether they have said where they are.
    Where {
        /// The lineworker at the premises whose stay the word belongs to; null: nobody is there.
        beside: Option<PersonId>,
        /// What they said last; null: nothing yet.
        said: Option<Sentence>,
    },
    /// For the doer of a coded switching run: what to do in each slot. Nobody else is shown it.
    Switching {
        /// The run.
        run: RunId,
        /// Where the load is plugged in.
        outlet: String,
        /// One a slot, in order.
        prompts: Vec<Prompt>,
    },
    /// For the person at the pad while a run is open: keys are pressed as the voice calls the slots.
    Keys {
        /// The run.
        run: RunId,
        /// How many slots there are.
        slots: u16,
        /// The slot, counted from one, at which amps are typed.
        size_slot: u16,
    },
    /// For the person a clearance is offered to or held by.
    Handover {
        /// The clearance.
        clearance: ClearanceId,
        /// Whether hands may go in, in one line.
        hands: Sentence,
        /// Whether this person holds it.
        held: bool,
        /// What is open, lifted, shorted, grounded.
        open: Vec<Sentence>,
        /// What was proven, by whom, when.
        proven: Vec<Sentence>,
        /// Their own test: every check and point, in order.
        points: Vec<PointLine>,
    },
    /// Claims and sightings, the verdict on top, the settling test as the big button.
    Ledger {
        /// What the evidence amounts to.
        judgement: Box<JudgementForm>,
    },
    /// What to lift, and how far that is.
    Lift {
        /// The set.
        set: SetAt,
        /// Each hot leg and where it is.
        legs: Vec<LegLine>,
    },
    /// Readings of a proof, point by point.
    Proof {
        /// Which proof.
        of: ProofName,
        /// Every point to be read, in order.
        points: Vec<PointLine>,
    },
    /// Who holds what.
    Clearance {
        /// Clearances that keep everything open.
        holding: Vec<Sentence>,
    },
    /// What is to be taken off, checked and landed.
    Restore {
        /// Each hot leg and where it is.
        legs: Vec<LegLine>,
    },
    /// Stopped: why, and what leads back.
    Stopped {
        /// The event that stopped it.
        event: String,
    },
    /// Closed.
    Closed {
        /// Corrections of the map record that the job leaves.
        map_corrections: usize,
    },
}

/// One job of the list.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct JobLine {
    /// The job; null: not opened yet.
    pub job: Option<JobId>,
    /// The most pressing line of its physical state.
    pub physical: Sentence,
    /// How far it has come.
    pub stage: Sentence,
}

/// A hot leg of a set.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LegLine {
    /// The leg.
    pub leg: String,
    /// Where it is.
    pub state: Sentence,
}

/// Which proof a screen asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum ProofName {
    /// The base is dead.
    Dead,
    /// The base is live and healthy.
    Live,
}

/// One point of a proof, or one check of the tester before or after it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PointLine {
    /// Where.
    pub place: crate::reading::Place,
    /// Between which conductors.
    pub between: String,
    /// Both, in words.
    pub label: Sentence,
    /// What was read there for this proof, with its unit; null: not read yet.
    pub reads: Option<Sentence>,
    /// Whether it reads as the proof asks; null: not read yet.
    pub fits: Option<bool>,
    /// Whether it is the one to be read now.
    pub next: bool,
}

/// What the doer of a switching run does in one slot.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Prompt {
    /// The slot, counted from one.
    pub slot: u16,
    /// What to do with the load, in a word or two.
    pub word: Sentence,
    /// What to say aloud, so that the pad reads before and after. It gives nothing of the code away.
    pub say: Sentence,
}
