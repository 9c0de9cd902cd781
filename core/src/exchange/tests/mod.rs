//! Messages and entries across, under damage and in any order.

mod model;
mod signed_line;
