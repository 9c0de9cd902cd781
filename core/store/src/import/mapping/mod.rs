//! The mapping file, TOML: which layer gives which kind of feature, and which column which field.
//!
//! ```toml
//! [sheet]                              # the header of the sheet that comes of it
//! name = "Harbour, invented"
//! edition = "2026-03"
//! bounds = [-30.3, 41.5, -30.0, 41.7]  # west, south, east, north; what lies outside is a finding
//!
//! [[places]]                           # where nodes are, for layers that draw nothing themselves
//! of = "nodes"
//! node = "NAME"
//! lon = "X"
//! lat = "Y"
//! system = "EPSG:32626"
//!
//! [[layer]]
//! of = "elbows"                        # a table, a class, or a file without its ending
//! kind = "switch"
//! only = { STATUS = ["in service"] }   # other rows are left out, and counted
//! geometry = "none"                    # "own" (the default), "none", "node", "ends", or lon and lat
//!
//! [layer.fields]
//! id = "ASSET"                                             # a column
//! from = { column = "NODE_A", before = "n-" }
//! to = { columns = ["PAD", "WAY"], between = ":" }
//! device = { column = "TYPE", codes = { EB = "elbow" } }   # a code that is not listed is a finding
//! normally = { column = "OPEN", codes = { 0 = "closed", 1 = "open" } }
//! rated_amps = { column = "AMPS", unit = "A" }             # a number names its unit
//! load_break_amps = { value = 200, because = "all elbows bought are made to break 200 A" }
//! visible_break = { value = true, because = "a parked elbow can be seen" }
//! lockable = { value = true, because = "parking stands can be locked" }
//! volts_nominal = { column = "KV", unit = "kV" }
//! ```
//!
//! A conductor's size is written as the trade writes it: `"4/0"` and `"2"` are AWG, `"350"` thousands
//! of circular mils, and square millimetres carry their unit: `"50 mm2"`. A source that holds the bare
//! number has its unit put after it, so that no 2 mm2 becomes a 2 AWG:
//!
//! ```toml
//! size = { column = "MM2", after = " mm2" }
//! ```
//!
//! A service's own sources are a list, each with columns of its own:
//!
//! ```toml
//! customer_sources = [
//!   { type = "TYPE", kw = { column = "KW", unit = "kW" }, transfer_switch = "TRANSFER" },
//! ]
//! ```
//!
//! A row has such a source where any of its columns holds anything but a flag that says no. What the
//! source then needs and the row leaves empty is an error that names row and column: a generator of
//! unknown size is never left out.
//!
//! Nothing is filled in that neither the source nor the mapping says. What the mapping says for all
//! rows says why, and is reported with the number of rows it filled.

mod block;
mod filling;
mod read;

pub(super) use block::{Block, Drawing, Places};
pub(super) use filling::{Column, Filling, form_word};
pub(super) use read::Mapping;
