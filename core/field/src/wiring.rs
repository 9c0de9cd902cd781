//! Wiring a pad into the primary: node names, elbows, fuse, cables.
//!
//! Nodes of pad `P07`: `P07:in`, `P07:bus`, `P07:out`, `P07:tap` (a spur's elbow), `P07:pri` (behind
//! the fuse), `P07:sec` (the secondary bus), `P07:s1` (behind lug position 1).

use crate::fix::metres_between;
use crate::network::{Cable, Device, Network, Switch};
use crate::world::LonLat;

/// What a pad's second elbow does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Out {
    /// There is none: the end of a spur.
    Absent,
    /// Feeds on.
    Closed,
    /// Parked: the ring's normally open point.
    Parked,
}

/// Adds a pad's elbows and fuse.
pub(crate) fn pad(network: &mut Network, id: &str, at: LonLat, out: Out) {
    let mut add = |suffix: &str, device, from: &str, to: &str, closed| {
        network.switches.push(Switch {
            id: format!("{id}-{suffix}"),
            device,
            from: format!("{id}:{from}"),
            to: format!("{id}:{to}"),
            normally_closed: closed,
            pad: Some(id.to_owned()),
            at,
            single_phase: true,
        });
    };
    add("in", Device::Elbow, "in", "bus", true);
    if out != Out::Absent {
        add("out", Device::Elbow, "bus", "out", out == Out::Closed);
    }
    add("fuse", Device::BayonetFuse, "bus", "pri", true);
}

/// Adds the elbow of a spur that leaves from a pad.
pub(crate) fn tap(network: &mut Network, id: &str, at: LonLat) {
    network.switches.push(Switch {
        id: format!("{id}-tap"),
        device: Device::Elbow,
        from: format!("{id}:bus"),
        to: format!("{id}:tap"),
        normally_closed: true,
        pad: Some(id.to_owned()),
        at,
        single_phase: true,
    });
}

/// Adds a cable between two nodes at two places.
pub(crate) fn cable(
    network: &mut Network,
    from: &(String, LonLat),
    to: (&str, LonLat),
    size: &'static str,
) {
    let length_m = metres_between(from.1, to.1) * 1.1 + 4.0;
    network.cables.push(Cable {
        id: format!("K{:03}", network.cables.len().saturating_add(1)),
        from: from.0.clone(),
        to: to.0.to_owned(),
        length_m: libm::round(length_m * 10.0) / 10.0,
        size,
        line: vec![from.1, to.1],
    });
}
