//! The simulated crew: hands and eyes for what the software asks, one file a role.
//!
//! The crew is never cleverer than the software. It does what the screen offers first, types what
//! the instruments show, and stops where a step is refused.

pub(crate) mod advice;
pub(crate) mod electrician;
pub(crate) mod house;
pub(crate) mod pad;
pub(crate) mod step;
