//! The town: a terraced hillside above a harbour, invented throughout.
//!
//! One 12.47/7.2 kV feeder from a station in the west; a switching cabinet; two rings of pads,
//! each with a parked elbow in its middle; three spurs. Row 0 is the quay, each further row a
//! terrace higher. Twelve pads have three sets of which two are alike; the others six to eight.

mod choose;
mod houses;

pub use choose::{Boathouse, Target, boathouse, target};

use crate::build::{Builder, ORIGIN};
use crate::fix::moved;
use crate::names;
use crate::network::{Cabinet, Device, Supply, Switch};
use crate::wiring::{self, Out};
use crate::world::{LonLat, World};

/// Metres between pads along a terrace.
const STEP_M: f64 = 38.0;
/// Metres between terraces.
const RISE_M: f64 = 54.0;

/// One pad of the plan.
struct Plot {
    row: u32,
    column: u32,
    out: Out,
    phase: &'static str,
}

/// A chain of pads: from what node it is fed, and to what node it closes, if it is a ring.
struct Chain {
    from: Feed,
    to: Option<&'static str>,
    plots: Vec<Plot>,
}

enum Feed {
    Cabinet(&'static str),
    /// The elbow for a spur of the pad with this number.
    Tap(usize),
}

fn ring(rows: (u32, u32), columns: u32, phase: &'static str) -> Vec<Plot> {
    let east = (0..columns).map(|column| (rows.0, column));
    let west = (0..columns).rev().map(|column| (rows.1, column));
    let middle = columns.saturating_sub(1);
    east.chain(west)
        .zip(0u32..)
        .map(|((row, column), k)| Plot {
            row,
            column,
            out: if k == middle { Out::Parked } else { Out::Closed },
            phase,
        })
        .collect()
}

fn spur(row: u32, from: u32, to: u32, phase: &'static str) -> Vec<Plot> {
    (from..=to)
        .map(|column| Plot {
            row,
            column,
            out: if column == to { Out::Absent } else { Out::Closed },
            phase,
        })
        .collect()
}

/// Pads 1 to 24 (quay and first terrace), 25 to 46, and the spurs 47 to 64.
fn plan() -> Vec<Chain> {
    vec![
        Chain { from: Feed::Cabinet("a1"), to: Some("a2"), plots: ring((0, 1), 12, "A") },
        Chain { from: Feed::Cabinet("b1"), to: Some("b2"), plots: ring((2, 3), 11, "B") },
        Chain { from: Feed::Tap(11), to: None, plots: spur(0, 12, 16, "A") },
        Chain { from: Feed::Tap(40), to: None, plots: spur(4, 2, 7, "B") },
        Chain { from: Feed::Tap(35), to: None, plots: spur(2, 11, 17, "B") },
    ]
}

/// Makes the town of this seed. `world.network` is its primary.
pub fn hillside(seed: u64) -> World {
    let mut builder = Builder::new(seed, "town");
    let streets: Vec<String> = (0u32..5)
        .map(|row| {
            if row == 0 {
                let name = names::place(&mut builder.draw);
                return format!("{name} Quay");
            }
            builder.unused(names::street)
        })
        .collect();
    head(&mut builder);
    let mut number = 0u32;
    for chain in plan() {
        let mut upstream = match chain.from {
            Feed::Cabinet(port) => (format!("C1:{port}"), cabinet_at()),
            Feed::Tap(pad) => {
                let id = format!("P{pad:02}");
                let at = builder.world.pads.get(&id).map_or(ORIGIN, |p| p.at);
                wiring::tap(&mut builder.world.network, &id, at);
                (format!("{id}:tap"), at)
            }
        };
        let mut ids = Vec::new();
        for plot in &chain.plots {
            number += 1;
            let id = format!("P{number:02}");
            let at = place_of(&mut builder, plot);
            let kva = if houses::three_sets(number) { 37.5 } else { 75.0 };
            builder.pad(&id, at, kva, plot.phase);
            wiring::pad(&mut builder.world.network, &id, at, plot.out);
            wiring::cable(&mut builder.world.network, &upstream, (&format!("{id}:in"), at), "1/0");
            upstream = (format!("{id}:out"), at);
            let street = streets.get(plot.row as usize).map_or("", String::as_str);
            houses::fill(&mut builder, &id, number, (at, street));
            ids.push(id);
        }
        if let Some(port) = chain.to {
            let node = format!("C1:{port}");
            wiring::cable(&mut builder.world.network, &upstream, (&node, cabinet_at()), "1/0");
            builder.world.network.rings.push(ids);
        }
    }
    choose::prepare(&mut builder.world);
    builder.world
}

fn cabinet_at() -> LonLat {
    moved(ORIGIN, -60.0, 1.5 * RISE_M)
}

fn place_of(builder: &mut Builder, plot: &Plot) -> LonLat {
    // Terraces follow the slope: each is bent a little and shifted against the next.
    let east = f64::from(plot.column) * STEP_M + f64::from(plot.row) * 11.0;
    let bend = 14.0 * libm::sin(f64::from(plot.column) * 0.35 + f64::from(plot.row));
    let at = moved(ORIGIN, east, f64::from(plot.row) * RISE_M + bend);
    builder.near(at, 4.0, 3.0)
}

/// The station, its breaker, the cabinet and its switches.
fn head(builder: &mut Builder) {
    let station = moved(ORIGIN, -420.0, 3.0 * RISE_M);
    let tag = builder.unused(names::tag);
    let network = &mut builder.world.network;
    network.supplies.push(Supply {
        id: "SUB".to_owned(),
        at: station,
        node: "SUB:bus".to_owned(),
        volts_line_to_line: 12_470.0,
        fault_amps: 7_400.0,
        x_over_r: 7.0,
    });
    let mut add = |id: &str, device, from: &str, to: &str, pad: Option<&str>, at| {
        network.switches.push(Switch {
            id: id.to_owned(),
            device,
            from: from.to_owned(),
            to: to.to_owned(),
            normally_closed: true,
            pad: pad.map(str::to_owned),
            at,
            single_phase: pad.is_some() && !to.ends_with("bus"),
        });
    };
    add("SUB-breaker", Device::Breaker, "SUB:bus", "SUB:out", None, station);
    add("C1-in", Device::FeederSwitch, "C1:in", "C1:bus", Some("C1"), cabinet_at());
    for port in ["a1", "a2", "b1", "b2"] {
        let (id, to) = (format!("C1-{port}"), format!("C1:{port}"));
        add(&id, Device::FeederSwitch, "C1:bus", &to, Some("C1"), cabinet_at());
    }
    network.cabinets.push(Cabinet { id: "C1".to_owned(), at: cabinet_at(), tags: vec![tag] });
    let from = ("SUB:out".to_owned(), station);
    wiring::cable(network, &from, ("C1:in", cabinet_at()), "500");
}
