//! The desk: HTTP service and pages for dispatcher and electrician.
//!
//! [`Desk::start`] opens a data folder and serves until it is stopped. What may be done is decided in
//! the core: the desk asks its entrances who comes (`entrance`), hands answers to the core's acts,
//! signs what the core lets through with its own key, keeps it, and draws what the core shows.

mod answer;
mod asked;
mod carried;
mod chance;
mod desk;
mod draw;
mod entrance;
mod exchange;
mod held;
mod intake;
mod link;
pub mod pages;
mod password;
mod prepare;
mod rates;
mod routes;
mod serve;
mod settings;
mod sticker;
mod trouble;
mod web;
mod write;

pub use desk::Desk;
pub use routes::{Access, RouteLine, routes};
pub use serve::Running;
pub use settings::{Settings, Strength, Surroundings};
pub use trouble::StartError;
