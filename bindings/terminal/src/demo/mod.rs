//! Two jobs on a made-up field, played by a simulated crew that follows the software's advice.

mod again;
mod clock;
mod crew;
mod desk;
mod dispatcher;
mod halt;
mod names;
mod people;
mod phone;
mod picture;
mod play;
mod row;
mod run;
mod scene;
mod script;
pub(crate) mod site;
mod story;
pub(crate) mod tools;
mod web;
mod wire;

pub(crate) use again::hand_over;
pub(crate) use desk::on_loopback;
pub(crate) use dispatcher::{NAME, PASSWORD};
pub(crate) use row::table;
pub(crate) use run::{Played, both, held};
pub(crate) use story::{BOATHOUSE, METER_BASE, ground};
