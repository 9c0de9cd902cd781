//! The pages of the desk: what stands on each, and the templates that draw them.
//!
//! A page is plain data, filled in by the desk, with `render`. What a person may do comes as the
//! core's offers and asks, so that an act needs no page of its own: its form is drawn from its
//! asks, and the names of its fields are theirs. Every sentence comes from the words.
//!
//! Forms carry the field [`CSRF`]; an act's form carries [`ACT`] too, the act's name.

mod act;
mod board;
mod devices;
mod dispatchers;
mod electrician;
mod entry;
mod error;
mod frame;
mod job;
mod link;
mod map_sheets;
mod new_job;
mod render;
mod shown;
mod sticker;
#[cfg(test)]
mod tests;

pub use act::{ACT, CSRF, Tried};
pub use board::{Board, BoardLine};
pub use devices::{CodeShown, DeviceLine, Devices};
pub use dispatchers::{DispatcherCode, DispatcherLine, Dispatchers};
pub use electrician::ElectricianPage;
pub use entry::{SignIn, Start};
pub use error::ErrorPage;
pub use frame::{Frame, When};
pub use job::{ClearanceLine, CrewScreen, JobPage, NextLink, PhotoLine, TimelineRow};
pub use link::{LinkPage, NEXT_CLEARANCE};
pub use map_sheets::{MapSheetLine, MapSheets};
pub use new_job::{CrewChoice, NewJob, ServiceLine, SheetChoice};
pub use render::Unrendered;
pub use sticker::StickerPage;

/// The style sheet, for `GET /style.css`.
pub const STYLE: &str = concat!(
    include_str!("../../static/colours.css"),
    include_str!("../../static/page.css"),
    include_str!("../../static/parts.css"),
    // Core's own, `coldlug_core::diagram::STYLE`: a test holds that it is.
    include_str!("../../../../core/src/diagram/style.css"),
);

/// The script, for `GET /page.js`. Every page works without it.
pub const SCRIPT: &str = include_str!("../../static/page.js");

/// What the pages may do in a browser, for the header `Content-Security-Policy`: their own style,
/// their own script, pictures of their own, and a look at themselves for news.
pub const POLICY: &str = "default-src 'none'; style-src 'self'; script-src 'self'; \
     connect-src 'self'; img-src 'self' data:; form-action 'self'; frame-ancestors 'none'; \
     base-uri 'none'";
