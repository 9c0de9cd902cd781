//! What people saw and measured, and what alone could make each of it false.
//!
//! A sighting either *excludes* candidates or only *orders the search*. Every sighting carries its
//! [`Cause`]s: it is true when all of them are. [`draw()`] turns the evidence of a job into effects
//! by the table of the rule; the files below hold one kind of evidence each.
//!
//! | sighting | causes | excludes |
//! |---|---|---|
//! | meter number read | this person's report of this stay; meter records | other premises, or this one |
//! | address plate | this person's report of this stay; plate | the same |
//! | meter's picture, read by the other worker | other reader's report; meter records | the same |
//! | word of the customer | their report | the same |
//! | word of the electrician, or the job's sticker on the base, photographed and read by the other worker | the electrician | the same |
//! | picture's number held against the billing record by the desk | that reader; billing records, or meter records unless they are apart | the same |
//! | coded load step seen | placement; mark or lug position; run | all other sets |
//! | coded load step flat on both legs | the same; clamp | that set |
//! | loaded while the target's meter is out | clamp; placement; handle; deed; shared set; meter records | that set |
//! | metal or size differs at the two ends | both looks; handle; splice; the report of the base | that set |
//! | tone heard on one set alone | tone set and its bleed at that pad; deed; handles; who heard it | all other sets |
//! | the same marker at both ends | marker scheme; both looks; handle; the report of the base; who read the lug | all other sets |
//! | bare step, amps with the meter in | - | nothing: orders the search |
//! | tag | look; plate worn, changed or replaced; the record's tags | nothing: orders the search, and contradicts claims |
//! | fix | the sky there, one cause for all fixes of a phone; the pad it was noted at | the same |
//! | count of sets | look: one set hidden behind another, one bolt for two; marks | the same |

//! A set can be named by what keeps it alone and by nothing else, so whoever writes down at the pad
//! what keeps a set alone, without a code to hold them to, is a cause of it. What merely excludes a set
//! never leaves one, whoever made it up.

mod cause;
mod clamp;
mod code;
mod condition;
mod draw;
mod effect;
mod evidence;
mod fix;
mod limits;
mod load_step;
mod marker;
mod pointer;
mod premises;
mod seen;
mod sets;
mod stay;
mod tag;
mod tone;

pub use cause::Cause;
pub use code::{DrawnCode, draw_code};
pub use condition::{Condition, Conditions};
pub use draw::{Drawn, draw};
pub use effect::{Candidate, Excludes, Ground, Idle, Premises, PremisesEffect, RestsOn, SetEffect};
pub use evidence::{
    Deed, DeedKind, Evidence, Handle, Leg, MarkedSet, Marks, OpenedCode, Placement, Run, SetAt,
    Slot, Stay,
};
pub use fix::{Fixed, SIGMAS_IN_RADIUS68, chi_square_2_tail};
pub use limits::Limits;
pub(crate) use load_step::{Bare, read_bare};
pub use load_step::{seal, strong_enough};
pub use pointer::{PadOdds, Pointer, normal_tail, pads_near, pointers};
pub use premises::seal_sticker;
pub use seen::{
    BeforeAfter, End, Lack, OfPicture, Seen, Sighting, SlotKey, SlotReading, Speaker, ToneLevel,
};
pub use sets::resolve;
pub use tag::{LOOK_ALIKES, LookAlikes, TagFit, TagRead, TagVerdict, tags_in_reach};
