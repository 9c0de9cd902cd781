//! The desk: HTTP service and pages for dispatcher and electrician.

pub mod pages;
