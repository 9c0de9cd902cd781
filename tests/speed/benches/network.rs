//! Invented networks of any size: rings of ten pads with three services each, every ring open in its
//! middle and tied to the next by a loop point, all fed from one substation.

use coldlug_core::{
    plant::{
        Cable, Conductor, Device, Features, LonLat, Metal, Metering, Normally, Pad, Plant, Service,
        Set, Source, Switch, Transformer, VoltageSystem, Windings,
    },
    quantity::{AssetId, NodeId, amps, kilovolt_amps, metres, volts},
};

const PADS: usize = 10;
const SERVICES: usize = 3;
/// Nodes that a pad with its services has: in, out, bus, primary, secondary, and four a service.
const NODES: usize = 5 + 4 * SERVICES;
const AT: LonLat = LonLat { lon_deg: -30.2, lat_deg: 41.6 };

fn id(text: impl Into<String>) -> AssetId {
    AssetId::new(text.into()).expect("a short name")
}

fn node(text: impl Into<String>) -> NodeId {
    NodeId::new(text.into()).expect("a short name")
}

/// A network of about so many nodes, and a service in its middle.
pub(crate) fn of(nodes: usize) -> (Plant, AssetId) {
    let rings = (nodes / (NODES * PADS)).max(1);
    let mut all = Features::default();
    all.sources.insert(
        id("S"),
        Source {
            id: id("S"),
            at: AT,
            node: node("s"),
            line_to_line: volts(12_470.0),
            fault: None,
            x_over_r: None,
        },
    );
    for ring in 0..rings {
        add_ring(&mut all, ring, rings);
    }
    (Plant::of(all), id(format!("R{}P4V1", rings / 2)))
}

fn add_ring(all: &mut Features, ring: usize, rings: usize) {
    let head = format!("r{ring}");
    switch(
        all,
        &format!("R{ring}-head"),
        ["s", &head],
        Device::FeederSwitch,
        Normally::Closed,
        None,
    );
    for pad in 0..PADS {
        add_pad(all, ring, pad);
        let from = if pad == 0 { head.clone() } else { format!("r{ring}p{}:out", pad - 1) };
        cable(all, &format!("R{ring}C{pad}"), &from, &format!("r{ring}p{pad}:in"));
    }
    cable(all, &format!("R{ring}C{PADS}"), &format!("r{ring}p{}:out", PADS - 1), &head);
    if ring + 1 < rings {
        let ends = [&*format!("r{ring}p2:bus"), &*format!("r{}p7:bus", ring + 1)];
        let tie = format!("R{ring}-tie");
        switch(all, &tie, ends, Device::FeederSwitch, Normally::Open, None);
    }
}

fn add_pad(all: &mut Features, ring: usize, number: usize) {
    let (pad, at) = (format!("R{ring}P{number}"), format!("r{ring}p{number}"));
    let place = |part: &str| format!("{at}:{part}");
    let ends = |one: &str, other: &str| [place(one), place(other)];
    let mut contains = Vec::new();
    let middle = if number == PADS / 2 { Normally::Open } else { Normally::Closed };
    for (part, [from, to], device, normally) in [
        ("in", ends("in", "bus"), Device::Elbow, middle),
        ("out", ends("bus", "out"), Device::Elbow, Normally::Closed),
        ("fuse", ends("bus", "pri"), Device::CutOut, Normally::Closed),
    ] {
        let name = format!("{pad}-{part}");
        switch(all, &name, [&from, &to], device, normally, Some(&pad));
        contains.push(id(name));
    }
    let unit = id(format!("{pad}-tx"));
    all.transformers.insert(
        unit.clone(),
        Transformer {
            id: unit.clone(),
            primary: node(place("pri")),
            secondary: node(place("sec")),
            rating: kilovolt_amps(50.0),
            percent_z: 1.8,
            x_over_r: None,
            primary_voltage: volts(7200.0),
            system: VoltageSystem::Split120_240,
            phase: None,
            windings: Windings::default(),
            pad: id(&*pad),
            at: None,
        },
    );
    contains.push(unit);
    for position in 1..=SERVICES {
        contains.extend(add_service(all, &pad, &at, position));
    }
    let tags = vec![format!("T-{pad}")];
    all.pads
        .insert(id(&*pad), Pad { id: id(&*pad), at: AT, accuracy: metres(3.0), tags, contains });
}

/// A lug pair, its set and the service; gives what the pad holds of it.
fn add_service(all: &mut Features, pad: &str, at: &str, position: usize) -> [AssetId; 2] {
    let (lug, set) = (format!("{pad}-lug{position}"), format!("{pad}-set{position}"));
    let (side, service) = (format!("{at}:s{position}"), format!("{pad}V{position}"));
    let ends = [&*format!("{at}:sec"), &*side];
    switch(all, &lug, ends, Device::LugPair, Normally::Closed, Some(pad));
    if let Some(lug) = all.switches.get_mut(&id(&*lug)) {
        lug.position = Some(position.to_string());
        lug.legs = vec![Conductor::L1, Conductor::L2];
        lug.load_break = amps(0.0);
    }
    all.sets.insert(
        id(&*set),
        Set {
            id: id(&*set),
            from: node(&*side),
            to: node(&*service),
            pad: Some(id(pad)),
            position: Some(position.to_string()),
            metal: Metal::Al,
            size: "4/0".to_owned(),
            neutral_size: None,
            length: metres(30.0),
            runs: 1,
            course: Vec::new(),
        },
    );
    all.services.insert(
        id(&*service),
        Service {
            id: id(&*service),
            at: AT,
            node: node(&*service),
            premises: format!("{service} Sample Row"),
            meters: vec![format!("M-{service}")],
            base_rating: amps(200.0),
            system: VoltageSystem::Split120_240,
            metering: Some(Metering::SelfContained),
            peak: None,
            withstand: None,
            critical: None,
            sources: Vec::new(),
            unmetered_loads: 0,
        },
    );
    [id(lug), id(set)]
}

fn cable(all: &mut Features, name: &str, from: &str, to: &str) {
    all.cables.insert(
        id(name),
        Cable {
            id: id(name),
            from: node(from),
            to: node(to),
            class: volts(15_000.0),
            metal: Metal::Al,
            size: "1/0".to_owned(),
            neutral: None,
            length: metres(90.0),
            course: Vec::new(),
        },
    );
}

fn switch(
    all: &mut Features,
    name: &str,
    [from, to]: [&str; 2],
    device: Device,
    normally: Normally,
    pad: Option<&str>,
) {
    all.switches.insert(
        id(name),
        Switch {
            id: id(name),
            from: node(from),
            to: node(to),
            device,
            normally,
            rated: amps(600.0),
            load_break: amps(600.0),
            visible_break: true,
            lockable: true,
            pad: pad.map(id),
            position: None,
            legs: Vec::new(),
            voltage: (device != Device::LugPair).then(|| volts(7200.0)),
            at: None,
        },
    );
}
