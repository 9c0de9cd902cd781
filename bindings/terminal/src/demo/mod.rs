//! Two jobs on a made-up field, played by a simulated crew that follows the software's advice.

mod clock;
mod crew;
mod halt;
mod names;
mod people;
mod phone;
mod play;
mod row;
mod run;
mod scene;
mod site;
mod story;
mod tools;

pub(crate) use row::table;
pub(crate) use run::{Played, both};
pub(crate) use story::{BOATHOUSE, METER_BASE, ground};
