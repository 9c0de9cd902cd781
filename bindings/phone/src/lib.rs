//! The core and its store as a phone uses them; Kotlin, Swift and Python are generated from this.
//!
//! A [`Phone`] is opened on a folder. It is enrolled once by what a dispatcher shows, syncs with the
//! desk through a [`Transport`] of the shell's, and between syncs needs nobody: screens are drawn,
//! acts are drafted, decided, signed and kept on the phone alone. An act is kept whole or not at
//! all, and what was acknowledged survives a kill.
//!
//! Nothing is decided here. This crate parses names, calls core, keeps what core gave, and says the
//! outcome. Files that carry a part of core are named after it. No lock is held while the shell is
//! called.

#![allow(
    clippy::needless_pass_by_value,
    reason = "what crosses a foreign interface is handed over, not lent"
)]

mod act;
mod ask;
mod carried;
mod diagram;
mod draft;
mod enrol;
mod error;
mod feed;
mod judgement;
mod label;
mod link;
mod moment;
mod own;
mod page;
mod phone;
mod photo;
mod ports;
mod receipt;
mod screen;
mod sentence;
mod sync;
mod trouble;

pub use ask::{
    Act, Answer, Ask, AskKind, Choice, Deed, Digits, Offer, act_name, act_named, most_digits,
};
pub use diagram::{Diagram, DiagramMark, Pen, Spot, Stroke};
pub use draft::Draft;
pub use enrol::{Invitation, read_invitation};
pub use error::PhoneError;
pub use feed::Watch;
pub use judgement::{
    Candidate, Claim, Idle, Judgement, Premises, SettlingTest, Standing, StillExcluded, VerdictName,
};
pub use label::Label;
pub use link::Link;
pub use own::Enrolment;
pub use page::{Page, PageKey, PageShown, Passage, PassageLine};
pub use phone::{Phone, STORE};
pub use ports::{Clock, Keys, Moment, Observer, PortError, Reply, Transport};
pub use receipt::{Receipt, Written};
pub use screen::{JobLine, LegLine, PointLine, Prompt, ProofName, Screen, Shown, Tone};
pub use sentence::Sentence;
pub use sync::{SyncProblem, SyncReport};

uniffi::setup_scaffolding!();
