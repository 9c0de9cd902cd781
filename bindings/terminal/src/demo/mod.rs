//! Two jobs on a made-up field, played by a simulated crew that follows the software's advice.

mod clock;
mod site;
