//! The desk's pages as a browser meets them: get a page, fill in its forms, send them.
//!
//! Nothing here knows what a page is for. Who plays the dispatcher or the electrician reads the
//! page's forms and answers the fields they name.

mod form;
mod visitor;

pub(crate) use form::Form;
pub(crate) use visitor::{Page, Visitor, WebError};
