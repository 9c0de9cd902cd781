//! Screens, as core draws them: `screen` of core.

use coldlug_core::screen;

use crate::{
    ask::Offer,
    judgement::{Judgement, set_name},
    page::PageKey,
    sentence::{Sentence, all},
};

/// A screen as it is drawn.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
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
    /// Pages beside the screen, that ask nothing.
    pub pages: Vec<PageKey>,
}

/// How a headline stands out: a shape for each, and a colour only besides.
#[derive(Debug, Clone, Copy, PartialEq, Eq, uniffi::Enum)]
pub enum Tone {
    /// It stands.
    Go,
    /// It does not.
    Stop,
    /// Something is still to be done.
    Wait,
    /// Nothing is in doubt.
    Rest,
}

/// What a screen is about.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Enum)]
pub enum Screen {
    /// The jobs on this phone.
    JobList {
        /// One line a job.
        jobs: Vec<JobLine>,
    },
    /// Briefing.
    Briefing {
        /// Subjects that are still to be talked through.
        missing: Vec<String>,
    },
    /// For an electrician before the handover: whether they have said where they are.
    Where {
        /// The lineworker whose stay the word belongs to; none: nobody is there.
        beside: Option<String>,
        /// What they said last; none: nothing yet.
        word: Option<Sentence>,
    },
    /// For the doer of a coded switching run. Nobody else is shown it.
    Switching {
        /// The run.
        run: String,
        /// Where the load is plugged in.
        outlet: String,
        /// One a slot, in order.
        prompts: Vec<Prompt>,
    },
    /// For the person at the pad while a run is open.
    Keys {
        /// The run.
        run: String,
        /// How many slots there are.
        slots: u16,
        /// The slot, from one, at which amps are typed.
        size_slot: u16,
    },
    /// For the person a clearance is offered to or held by.
    Handover {
        /// The clearance.
        clearance: String,
        /// Whether hands may go in, in one line.
        hands: Sentence,
        /// Whether this person holds it.
        held: bool,
        /// What is open, lifted, shorted, grounded.
        opened: Vec<Sentence>,
        /// What was proven, by whom, when.
        proven: Vec<Sentence>,
        /// Their own test: every check and point, in order.
        points: Vec<PointLine>,
    },
    /// Claims and sightings, the verdict on top.
    Ledger {
        /// What the evidence amounts to.
        judgement: Judgement,
    },
    /// What to lift, and how far that is.
    Lift {
        /// The set, as people name it.
        set: String,
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
        map_corrections: u32,
    },
}

/// One job of the list.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct JobLine {
    /// The job; none: not opened yet.
    pub job: Option<String>,
    /// The most pressing line of its physical state.
    pub physical: Sentence,
    /// How far it has come.
    pub stage: Sentence,
}

/// A hot leg of a set.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct LegLine {
    /// The leg.
    pub leg: String,
    /// Where it is.
    pub state: Sentence,
}

/// Which proof a screen asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, uniffi::Enum)]
pub enum ProofName {
    /// The base is dead.
    Dead,
    /// The base is live and healthy.
    Live,
}

/// One point of a proof, or one check of the tester before or after it.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct PointLine {
    /// Where and between what, in words.
    pub label: Sentence,
    /// Between which conductors.
    pub between: String,
    /// What was read there for this proof, with its unit; none: not read yet.
    pub reads: Option<Sentence>,
    /// Whether it reads as the proof asks; none: not read yet.
    pub fits: Option<bool>,
    /// Whether it is the one to be read now.
    pub next: bool,
}

/// What the doer of a switching run does in one slot.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct Prompt {
    /// The slot, from one.
    pub slot: u16,
    /// What to do with the load.
    pub word: Sentence,
    /// What to say aloud.
    pub say: Sentence,
}

fn each<T, U: From<T>>(all: Vec<T>) -> Vec<U> {
    all.into_iter().map(Into::into).collect()
}

impl From<screen::Shown> for Shown {
    fn from(shown: screen::Shown) -> Self {
        let screen::Shown { physical, headline, tone, screen, acts } = shown;
        Self {
            physical: all(physical),
            headline: headline.into(),
            tone: tone.into(),
            screen: screen.into(),
            acts: each(acts),
            pages: Vec::new(),
        }
    }
}

impl From<screen::Tone> for Tone {
    fn from(tone: screen::Tone) -> Self {
        match tone {
            screen::Tone::Go => Self::Go,
            screen::Tone::Stop => Self::Stop,
            screen::Tone::Wait => Self::Wait,
            screen::Tone::Rest => Self::Rest,
        }
    }
}

impl From<screen::Screen> for Screen {
    fn from(screen: screen::Screen) -> Self {
        use screen::Screen as Core;
        match screen {
            Core::JobList { jobs } => Self::JobList { jobs: each(jobs) },
            Core::Briefing { missing } => Self::Briefing { missing },
            Core::Where { beside, said } => Self::Where {
                beside: beside.map(|person| person.to_string()),
                word: said.map(Into::into),
            },
            Core::Switching { run, outlet, prompts } => {
                Self::Switching { run: run.to_string(), outlet, prompts: each(prompts) }
            }
            Core::Keys { run, slots, size_slot } => {
                Self::Keys { run: run.to_string(), slots, size_slot }
            }
            Core::Handover { clearance, hands, held, open, proven, points } => Self::Handover {
                clearance: clearance.to_string(),
                hands: hands.into(),
                held,
                opened: all(open),
                proven: all(proven),
                points: each(points),
            },
            Core::Ledger { judgement } => Self::Ledger { judgement: (*judgement).into() },
            Core::Lift { set, legs } => Self::Lift { set: set_name(&set), legs: each(legs) },
            Core::Proof { of, points } => Self::Proof { of: of.into(), points: each(points) },
            Core::Clearance { holding } => Self::Clearance { holding: all(holding) },
            Core::Restore { legs } => Self::Restore { legs: each(legs) },
            Core::Stopped { event } => Self::Stopped { event },
            Core::Closed { map_corrections } => {
                Self::Closed { map_corrections: u32::try_from(map_corrections).unwrap_or(u32::MAX) }
            }
        }
    }
}

impl From<screen::JobLine> for JobLine {
    fn from(line: screen::JobLine) -> Self {
        let screen::JobLine { job, physical, stage } = line;
        let job = job.map(|job| job.to_string());
        Self { job, physical: physical.into(), stage: stage.into() }
    }
}

impl From<screen::LegLine> for LegLine {
    fn from(line: screen::LegLine) -> Self {
        Self { leg: line.leg, state: line.state.into() }
    }
}

impl From<screen::ProofName> for ProofName {
    fn from(of: screen::ProofName) -> Self {
        match of {
            screen::ProofName::Dead => Self::Dead,
            screen::ProofName::Live => Self::Live,
        }
    }
}

impl From<screen::PointLine> for PointLine {
    fn from(line: screen::PointLine) -> Self {
        // The label says the place.
        let screen::PointLine { place: _, between, label, reads, fits, next } = line;
        Self { label: label.into(), between, reads: reads.map(Into::into), fits, next }
    }
}

impl From<screen::Prompt> for Prompt {
    fn from(prompt: screen::Prompt) -> Self {
        let screen::Prompt { slot, word, say } = prompt;
        Self { slot, word: word.into(), say: say.into() }
    }
}
