//! What the joins say, against a reading of the whole record for each question.

use proptest::prelude::*;

use super::*;
use crate::plant::{Cable, Metal, Pedestal, Plant, Service, Switch, VoltageSystem};
use crate::plant::{LonLat, Normally, Transformer, Windings};
use crate::quantity::{amps, kilovolt_amps, metres, volts};

const AT: LonLat = LonLat { lon_deg: -30.2, lat_deg: 41.6 };

fn id(text: String) -> AssetId {
    AssetId::new(text).unwrap()
}

fn node(n: u8) -> NodeId {
    NodeId::new(format!("n{n}")).unwrap()
}

fn pad(n: u8) -> AssetId {
    id(format!("P{n}"))
}

/// Anything joined anyhow: sets, switches, cables, transformers and services over a few nodes and pads,
/// pedestals at some.
fn joined(
    sets: &[(u8, u8, Option<u8>, Option<u8>)],
    switches: &[(u8, u8, bool, Option<u8>)],
    units: &[(u8, u8, u8)],
    cables: &[(u8, u8)],
    services: &[u8],
    pedestals: &[u8],
) -> Plant {
    let mut all = Features::default();
    for (k, &(from, to, of, position)) in sets.iter().enumerate() {
        let id = id(format!("s{k}"));
        let set = Set {
            id: id.clone(),
            from: node(from),
            to: node(to),
            pad: of.map(pad),
            position: position.map(|at| at.to_string()),
            metal: Metal::Al,
            size: "4/0".into(),
            neutral_size: None,
            length: metres(30.0),
            runs: 1,
            course: Vec::new(),
        };
        all.sets.insert(id, set);
    }
    for (k, &(from, to, lug, of)) in switches.iter().enumerate() {
        let id = id(format!("w{k}"));
        let switch = Switch {
            id: id.clone(),
            from: node(from),
            to: node(to),
            device: if lug { Device::LugPair } else { Device::Elbow },
            normally: Normally::Closed,
            rated: amps(200.0),
            load_break: amps(0.0),
            visible_break: true,
            lockable: true,
            pad: of.map(pad),
            position: None,
            legs: Vec::new(),
            voltage: None,
            at: None,
        };
        all.switches.insert(id, switch);
    }
    for (k, &(primary, secondary, of)) in units.iter().enumerate() {
        let id = id(format!("t{k}"));
        let unit = Transformer {
            id: id.clone(),
            primary: node(primary),
            secondary: node(secondary),
            rating: kilovolt_amps(25.0),
            percent_z: 1.6,
            x_over_r: None,
            windings: Windings::default(),
            primary_voltage: volts(7200.0),
            system: VoltageSystem::Split120_240,
            phase: None,
            pad: pad(of),
            at: None,
        };
        all.transformers.insert(id, unit);
    }
    for (k, &(from, to)) in cables.iter().enumerate() {
        let id = id(format!("c{k}"));
        let cable = Cable {
            id: id.clone(),
            from: node(from),
            to: node(to),
            class: volts(15_000.0),
            metal: Metal::Al,
            size: "1/0".into(),
            neutral: None,
            length: metres(100.0),
            course: Vec::new(),
        };
        all.cables.insert(id, cable);
    }
    for (k, &n) in services.iter().enumerate() {
        let id = id(format!("v{k}"));
        let service = Service {
            id: id.clone(),
            at: AT,
            node: node(n),
            premises: String::new(),
            meters: Vec::new(),
            base_rating: amps(200.0),
            system: VoltageSystem::Split120_240,
            metering: None,
            withstand: None,
            peak: None,
            critical: None,
            sources: Vec::new(),
            unmetered_loads: 0,
        };
        all.services.insert(id, service);
    }
    for &n in pedestals {
        let id = id(format!("d{n}"));
        all.pedestals.insert(id.clone(), Pedestal { id, at: AT, node: node(n) });
    }
    Plant::of(all)
}

/// Every service that a set leads to, by walking from node to node through all sets.
fn led_to(plant: &Plant, set: &AssetId) -> BTreeSet<AssetId> {
    let mut reached: BTreeSet<&NodeId> = plant.sets.get(set).map(|s| &s.to).into_iter().collect();
    loop {
        let on = plant.sets.values().filter(|s| reached.contains(&s.from)).map(|s| &s.to);
        let more: BTreeSet<&NodeId> = on.chain(reached.iter().copied()).collect();
        if more == reached {
            break;
        }
        reached = more;
    }
    let here = plant.services.values().filter(|service| reached.contains(&service.node));
    here.map(|service| service.id.clone()).collect()
}

/// Whether something in a pad is joined to a node on the primary side.
fn stands_at(plant: &Plant, pad: &AssetId, node: &NodeId) -> bool {
    let by_switch = |s: &Switch| s.pad.as_ref() == Some(pad) && (s.from == *node || s.to == *node);
    let by_unit = |t: &Transformer| t.pad == *pad && t.primary == *node;
    plant.switches.values().any(by_switch) || plant.transformers.values().any(by_unit)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn the_joins_say_what_the_record_says(
        sets in proptest::collection::vec(
            (0_u8..9, 0_u8..9, proptest::option::of(0_u8..4), proptest::option::of(8_u8..12)), 0..9),
        switches in proptest::collection::vec(
            (0_u8..9, 0_u8..9, any::<bool>(), proptest::option::of(0_u8..4)), 0..7),
        units in proptest::collection::vec((0_u8..9, 0_u8..9, 0_u8..4), 0..4),
        cables in proptest::collection::vec((0_u8..9, 0_u8..9), 0..5),
        services in proptest::collection::vec(0_u8..9, 0..5),
        pedestals in proptest::collection::vec(0_u8..9, 0..4),
    ) {
        let plant = joined(&sets, &switches, &units, &cables, &services, &pedestals);
        for n in 0..4 {
            let here = pad(n);
            let mut of_pad: Vec<&Set> =
                plant.sets.values().filter(|s| s.pad.as_ref() == Some(&here)).collect();
            of_pad.sort_by_key(|set| by_position(set));
            prop_assert_eq!(plant.sets_of_pad(&here), of_pad);
            let next: BTreeSet<AssetId> = (0..4)
                .map(pad)
                .filter(|other| *other != here)
                .filter(|other| {
                    plant.cables.values().any(|cable| {
                        [(&cable.from, &cable.to), (&cable.to, &cable.from)].iter().any(
                            |(near, far)| {
                                stands_at(&plant, &here, near) && stands_at(&plant, other, far)
                            },
                        )
                    })
                })
                .collect();
            prop_assert_eq!(plant.next_pads(&here), next);
        }
        for set in plant.sets.keys() {
            prop_assert_eq!(plant.services_of_set(set), led_to(&plant, set));
        }
        for service in plant.services.values() {
            for feed in plant.feeds_of(&service.id) {
                let first = &plant.sets[&feed.sets[0]];
                let touches = |s: &&Switch| s.from == first.from || s.to == first.from;
                let lugs = plant.switches.values().filter(|s| s.device == Device::LugPair);
                let lug = lugs.into_iter().find(touches);
                prop_assert_eq!(feed.lug.as_ref(), lug.map(|lug| &lug.id));
                let bus = lug.map(|l| if l.to == first.from { &l.from } else { &l.to });
                let unit = plant
                    .transformers
                    .values()
                    .find(|t| Some(&t.secondary) == bus || t.secondary == first.from);
                prop_assert_eq!(feed.transformer.as_ref(), unit.map(|unit| &unit.id));
                let last = feed.sets.last().map(|set| &plant.sets[set].to);
                prop_assert_eq!(last, Some(&service.node));
            }
        }
    }
}
