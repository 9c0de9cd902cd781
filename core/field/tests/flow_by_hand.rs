//! The secondary flow against closed forms worked by hand.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test stops where it finds something wrong, its own steps too"
)]

use coldlug_field::conductor::{Conductor, Leg, Metal, Size, ohms_per_metre, reactance_per_metre};
use coldlug_field::entry::Entry;
use coldlug_field::flow::{Pair, Place, Side, rms};
use coldlug_field::habit::Habit;
use coldlug_field::load::{Across, Appliance, Profile};
use coldlug_field::network::Network;
use coldlug_field::switching::{Switching, TestLoad};
use coldlug_field::tester::{HIGH_IMPEDANCE_OHMS, LOW_IMPEDANCE_OHMS};
use coldlug_field::world::{
    CableSet, CustomerSource, End, FieldError, LonLat, Pad, Section, Service, Sky, SourceKind,
    Start, World,
};
use num_complex::Complex64;
use std::collections::BTreeMap;

const HERE: LonLat = LonLat { lon: -30.2, lat: 41.6 };
/// No path through earth worth the name.
const INSULATED: f64 = 1e9;
const LENGTH_M: f64 = 30.0;

fn always(across: Across, amps: f64) -> Appliance {
    Appliance {
        name: "heater",
        across,
        amps,
        power_factor: 1.0,
        window_s: 100.0,
        run_s: 100.0,
        chance: 1.0,
        key: 1,
    }
}

fn service(id: &str, appliances: Vec<Appliance>) -> Service {
    Service {
        id: id.to_owned(),
        plate: id.to_owned(),
        meter: Some(format!("4{id}")),
        at: HERE,
        habit: Habit::LivedIn,
        profile: Profile { appliances, ..Profile::default() },
        unmetered_amps: 0.0,
        sources: Vec::new(),
        critical: None,
        ground_ohms: INSULATED,
        entry: Entry::Open,
    }
}

/// One 50 kVA pad of 2 % and X/R 1.5, one 30 m set of 4/0 aluminium for each service.
fn world(services: Vec<Service>) -> World {
    let mut sets = BTreeMap::new();
    for (k, service) in services.iter().enumerate() {
        let id = format!("S{}", k + 1);
        let set = CableSet {
            id: id.clone(),
            from: Start::Pad { pad: "P".to_owned(), position: u8::try_from(k + 1).unwrap() },
            to: End::Service(service.id.clone()),
            sections: vec![Section { metal: Metal::Al, size: Size::Awg4o0, length_m: LENGTH_M }],
            mark_at_start: None,
            mark_at_end: None,
            trench_picofarads: 600.0,
            runs: 1,
            neutral_broken: false,
        };
        sets.insert(id, set);
    }
    let pad = Pad {
        id: "P".to_owned(),
        at: HERE,
        tags: vec!["HK4172".to_owned()],
        tag_characters_lost: 0,
        sky: Sky::Open,
        kva: 50.0,
        percent_z: 2.0,
        x_over_r: 1.5,
        supply_volts: 120.0,
        phase: "A",
        ground_ohms: INSULATED,
        sets: sets.keys().cloned().collect(),
        poor_neutral: false,
    };
    World {
        seed: 0,
        name: "Bench".to_owned(),
        pads: BTreeMap::from([("P".to_owned(), pad)]),
        sets,
        junctions: BTreeMap::new(),
        services: services.into_iter().map(|s| (s.id.clone(), s)).collect(),
        network: Network::default(),
        stickers: BTreeMap::new(),
    }
}

fn transformer_ohms() -> (f64, f64) {
    let base = 240.0 * 240.0 / 50_000.0 * 0.02;
    let r = base / (1.0f64 + 1.5 * 1.5).sqrt();
    (r, 1.5 * r)
}

fn cable_ohms() -> Complex64 {
    let r = ohms_per_metre(Metal::Al, Size::Awg4o0) * LENGTH_M;
    Complex64::new(r, reactance_per_metre(Size::Awg4o0) * LENGTH_M)
}

fn check_close(what: &str, is: f64, should_be: f64, within: f64) {
    assert!((is - should_be).abs() <= within, "{what}: {is}, by hand {should_be}");
}

#[test]
fn a_120_volt_load_draws_what_its_loop_lets_through() {
    let world = world(vec![service("V1", vec![always(Across::LegToNeutral(Leg::L1), 12.5)])]);
    let flow = world.flow("P", 0.0, &Switching::default()).unwrap();
    // Half winding on the 120 V base: a quarter of the 240 V base ohms, 1.5 R and 1.2 X.
    let (r, x) = transformer_ohms();
    let loop_ohms =
        Complex64::new(1.5 * r / 4.0, 1.2 * x / 4.0) + cable_ohms() * 2.0 + 120.0 / 12.5;
    let amps = 120.0 / rms(loop_ohms);
    check_close("leg 1", flow.sets["S1"].amps.leg(Leg::L1), amps, 1e-3);
    check_close("neutral", rms(flow.sets["S1"].amps.neutral), amps, 1e-3);
    check_close("leg 2", flow.sets["S1"].amps.leg(Leg::L2), 0.0, 1e-3);
    check_close("base", flow.services["V1"].line.v1n(), amps * 9.6, 1e-2);
}

#[test]
fn the_transformer_drops_by_its_half_winding_factors() {
    let world = world(vec![service("V1", vec![always(Across::LegToNeutral(Leg::L1), 60.0)])]);
    let flow = world.flow("P", 0.0, &Switching::default()).unwrap();
    let amps = flow.transformer.leg1;
    let (r, x) = transformer_ohms();
    // R and X are ohms at 240 V, so a quarter of them at 120 V: leg to neutral 1.5 R and 1.2 X;
    // the primary's part of that, 0.5 R and 0.8 X, is felt by the other half with its own sign.
    let own = (120.0 - (flow.bus.l1 - flow.bus.n)) / amps;
    let other = (-120.0 - (flow.bus.l2 - flow.bus.n)) / amps;
    check_close("own r", own.re, 1.5 * r / 4.0, 1e-6);
    check_close("own x", own.im, 1.2 * x / 4.0, 1e-6);
    check_close("other r", other.re, -0.5 * r / 4.0, 1e-6);
    check_close("other x", other.im, -0.8 * x / 4.0, 1e-6);
}

#[test]
fn a_floating_leg_hangs_between_the_others_by_its_capacitances() {
    let mut world = world(vec![service("V1", Vec::new())]);
    world.sets.get_mut("S1").unwrap().trench_picofarads = 0.0;
    let mut switching = Switching::default();
    switching.lift("S1", Conductor::L1);
    switching.set_meter_out("V1", true);
    let line = world.flow("P", 0.0, &switching).unwrap().services["V1"].line;
    // 60 pF/m to the other leg, 120 pF/m to the neutral: a third of 120 V.
    check_close("ghost", line.v1n(), 40.0, 0.1);
    // A tester collapses the ghost where it is connected, not across the open jaws.
    let volts = |side, ohms| {
        let place = Place::Base { service: "V1".to_owned(), side };
        world.volts(&place, Pair::LegNeutral(Leg::L1), ohms, 0.0, &switching).unwrap()
    };
    assert!(volts(Side::Line, LOW_IMPEDANCE_OHMS) < 1.0);
    assert!(volts(Side::Line, HIGH_IMPEDANCE_OHMS) > 30.0);
    assert!(volts(Side::Load, HIGH_IMPEDANCE_OHMS) < 1.0);
    let free_end = Place::SetStart { set: "S1".to_owned() };
    let at_pad =
        |ohms| world.volts(&free_end, Pair::LegNeutral(Leg::L1), ohms, 0.0, &switching).unwrap();
    assert!(at_pad(LOW_IMPEDANCE_OHMS) < 1.0);
    assert!(at_pad(HIGH_IMPEDANCE_OHMS) > 30.0);
}

#[test]
fn a_set_lifted_on_all_three_conductors_of_a_dead_pad_has_a_state() {
    let world = world(vec![service("V1", Vec::new())]);
    let mut switching = Switching::default();
    switching.set_pad_dead("P", true);
    for conductor in Conductor::ALL {
        switching.lift("S1", conductor);
    }
    let flow = world.flow("P", 0.0, &switching).unwrap();
    check_close("still", flow.services["V1"].line.v12(), 0.0, 1e-9);
    let mut stub = world.clone();
    stub.sets.get_mut("S1").unwrap().to = End::Dead;
    assert!(stub.flow("P", 0.0, &switching).is_ok());
}

#[test]
fn jaws_are_at_a_base_only() {
    let world = world(vec![service("V1", Vec::new())]);
    let bus = Place::Bus { pad: "P".to_owned() };
    let jaws = Pair::Jaws(Leg::L1);
    let refused = world.volts(&bus, jaws, LOW_IMPEDANCE_OHMS, 0.0, &Switching::default());
    assert_eq!(refused, Err(FieldError::NoSuchPair));
}

#[test]
fn a_240_volt_load_draws_what_its_loop_lets_through() {
    let world = world(vec![service("V1", vec![always(Across::LegToLeg, 20.0)])]);
    let flow = world.flow("P", 0.0, &Switching::default()).unwrap();
    let (r, x) = transformer_ohms();
    let loop_ohms = Complex64::new(r, x) + cable_ohms() * 2.0 + 12.0;
    let amps = 240.0 / rms(loop_ohms);
    check_close("leg 1", flow.sets["S1"].amps.leg(Leg::L1), amps, 1e-3);
    check_close("leg 2", flow.sets["S1"].amps.leg(Leg::L2), amps, 1e-3);
    check_close("neutral", rms(flow.sets["S1"].amps.neutral), 0.0, 1e-3);
    check_close("whole cable", flow.sets["S1"].amps.around(&Conductor::ALL), 0.0, 1e-6);
}

#[test]
fn without_a_neutral_six_and_four_amps_share_240_volts_as_96_and_144() {
    let world = world(vec![service(
        "V1",
        vec![
            always(Across::LegToNeutral(Leg::L1), 6.0),
            always(Across::LegToNeutral(Leg::L2), 4.0),
        ],
    )]);
    let mut switching = Switching::default();
    switching.lift("S1", Conductor::N);
    let base = world.flow("P", 0.0, &switching).unwrap().services["V1"];
    let scale = base.line.v12() / 240.0;
    check_close("leg 1", base.line.v1n() / scale, 96.0, 0.01);
    check_close("leg 2", base.line.v2n() / scale, 144.0, 0.01);
}

#[test]
fn a_broken_neutral_is_a_neutral_that_nobody_lifted() {
    let loads = vec![
        always(Across::LegToNeutral(Leg::L1), 6.0),
        always(Across::LegToNeutral(Leg::L2), 4.0),
    ];
    let mut world = world(vec![service("V1", loads)]);
    let mut switching = Switching::default();
    switching.lift("S1", Conductor::N);
    let lifted = world.flow("P", 0.0, &switching).unwrap();
    world.sets.get_mut("S1").unwrap().neutral_broken = true;
    let broken = world.flow("P", 0.0, &Switching::default()).unwrap();
    assert_eq!(broken, lifted);
    assert!(rms(broken.sets["S1"].amps.neutral) <= 0.0);
}

#[test]
fn two_runs_halve_the_ohms_of_a_set() {
    let drop_of = |runs: u8| {
        let mut world =
            world(vec![service("V1", vec![always(Across::LegToNeutral(Leg::L1), 30.0)])]);
        world.sets.get_mut("S1").unwrap().runs = runs;
        let flow = world.flow("P", 0.0, &Switching::default()).unwrap();
        let amps = flow.sets["S1"].amps.leg1;
        (flow.bus.l1 - flow.services["V1"].line.l1) / amps
    };
    let (one, two) = (drop_of(1), drop_of(2));
    check_close("one run", rms(one), rms(cable_ohms()), 1e-9);
    check_close("two runs", rms(two), rms(cable_ohms()) / 2.0, 1e-9);
}

#[test]
fn one_lifted_leg_is_fed_through_a_240_volt_load() {
    let world = world(vec![service("V1", vec![always(Across::LegToLeg, 15.0)])]);
    let mut switching = Switching::default();
    switching.lift("S1", Conductor::L1);
    let flow = world.flow("P", 0.0, &switching).unwrap();
    let line = flow.services["V1"].line;
    check_close("v1n", line.v1n(), 120.0, 1.0);
    check_close("v2n", line.v2n(), 120.0, 1.0);
    check_close("v12", line.v12(), 0.0, 1.0);
    // The free end in the pad is as live.
    check_close("free end", flow.sets["S1"].start.v1n(), 120.0, 1.0);
    assert!(flow.sets["S1"].amps.leg(Leg::L1) <= 0.0);
    // With the main open the leg floats, and a low-impedance tester shows it dead.
    switching.set_main_open("V1", true);
    let place = Place::Base { service: "V1".to_owned(), side: Side::Line };
    let pair = Pair::LegNeutral(Leg::L1);
    let low = world.volts(&place, pair, LOW_IMPEDANCE_OHMS, 0.0, &switching).unwrap();
    assert!(low < 2.0, "{low}");
    let ghost = world.volts(&place, pair, HIGH_IMPEDANCE_OHMS, 0.0, &switching).unwrap();
    assert!(ghost > 10.0, "{ghost}");
}

#[test]
fn a_generator_behind_a_lifted_set_keeps_it_live() {
    let mut with_generator = service("V1", vec![always(Across::LegToNeutral(Leg::L1), 5.0)]);
    let generator = CustomerSource::at_rest(SourceKind::Generator, 6.0, false);
    with_generator.sources.push(generator);
    let mut world = world(vec![with_generator, service("V2", vec![always(Across::LegToLeg, 4.0)])]);
    let mut switching = Switching::default();
    switching.lift("S1", Conductor::L1);
    switching.lift("S1", Conductor::L2);
    let volts = |world: &World, switching: &Switching| {
        world.flow("P", 0.0, switching).unwrap().services["V1"].line
    };
    assert!(volts(&world, &switching).v12() < 60.0);
    switching.set_source("V1", 0, true);
    assert!(volts(&world, &switching).v12() > 200.0);
    // Shorted to neutral at the pad, the lifted ends are near zero whatever the generator does.
    switching.set_shorted("S1", true);
    let flow = world.flow("P", 0.0, &switching).unwrap();
    assert!(flow.sets["S1"].start.v1n() < 1.0, "{}", flow.sets["S1"].start.v1n());
    assert!(flow.sets["S1"].amps.leg(Leg::L1) > 20.0);
    switching.set_shorted("S1", false);
    // Its meter out, or a transfer switch: nothing comes back.
    switching.set_meter_out("V1", true);
    assert!(volts(&world, &switching).v12() < 60.0);
    switching.set_meter_out("V1", false);
    world.services.get_mut("V1").unwrap().sources[0].transfer_switch = true;
    assert!(volts(&world, &switching).v12() < 60.0);
    // Transferred, the house draws nothing from its set.
    let flow = world.flow("P", 0.0, &Switching::default()).unwrap();
    check_close("not transferred", flow.sets["S1"].amps.leg(Leg::L1), 5.0, 0.1);
    let mut running = Switching::default();
    running.set_source("V1", 0, true);
    let flow = world.flow("P", 0.0, &running).unwrap();
    check_close("transferred", flow.sets["S1"].amps.leg(Leg::L1), 0.0, 1e-3);
}

#[test]
fn behind_an_open_base_the_customers_generator_is_on_the_load_side() {
    let mut with_generator = service("V1", vec![always(Across::LegToNeutral(Leg::L1), 5.0)]);
    let generator = CustomerSource::at_rest(SourceKind::Generator, 6.0, false);
    with_generator.sources.push(generator);
    let world = world(vec![with_generator]);
    let mut switching = Switching::default();
    switching.set_meter_out("V1", true);
    switching.set_source("V1", 0, true);
    switching.lift("S1", Conductor::L1);
    switching.lift("S1", Conductor::L2);
    let base = world.flow("P", 0.0, &switching).unwrap().services["V1"];
    assert!(base.load.v1n() > 105.0 && base.load.v2n() > 105.0 && base.load.v12() > 220.0);
    assert!(base.across_jaws(Leg::L1) > 60.0 && base.across_jaws(Leg::L2) > 60.0);
    // With the main open, not even there.
    switching.set_main_open("V1", true);
    let base = world.flow("P", 0.0, &switching).unwrap().services["V1"];
    assert!(base.load.v1n() < 1.0 && base.load.v2n() < 1.0);
}

#[test]
fn a_generator_feeds_a_dead_pad_and_its_primary() {
    let mut with_generator = service("V1", Vec::new());
    let generator = CustomerSource::at_rest(SourceKind::Generator, 8.0, false);
    with_generator.sources.push(generator);
    let world = world(vec![with_generator, service("V2", vec![always(Across::LegToLeg, 4.0)])]);
    let mut switching = Switching::default();
    switching.set_pad_dead("P", true);
    let dead = world.flow("P", 0.0, &switching).unwrap();
    check_close("primary", dead.primary_volts, 0.0, 1e-6);
    check_close("neighbour", dead.services["V2"].line.v12(), 0.0, 1e-6);
    switching.set_source("V1", 0, true);
    let back = world.flow("P", 0.0, &switching).unwrap();
    assert!(back.primary_volts > 6_000.0, "{}", back.primary_volts);
    assert!(back.services["V2"].line.v12() > 200.0);
}

#[test]
fn photovoltaics_push_back_and_stop_without_the_grid() {
    let mut sunny = service("V1", Vec::new());
    let pv = CustomerSource::at_rest(SourceKind::Pv, 4.8, false);
    sunny.sources.push(pv);
    let world = world(vec![sunny]);
    let mut switching = Switching::default();
    let amps =
        |switching: &Switching| world.flow("P", 0.0, switching).unwrap().sets["S1"].amps.leg1.re;
    // 4.8 kW at 240 V and 55 % sun: 11 A, flowing towards the pad.
    check_close("pv", amps(&switching), -11.0, 0.01);
    switching.set_source("V1", 0, false);
    check_close("off", amps(&switching), 0.0, 0.01);
    switching.set_source("V1", 0, true);
    switching.set_pad_dead("P", true);
    check_close("islanded", amps(&switching), 0.0, 1e-6);
    switching.set_pad_dead("P", false);
    switching.set_meter_out("V1", true);
    let base = world.flow("P", 0.0, &switching).unwrap().services["V1"];
    check_close("meter out", base.load.v12(), 0.0, 1e-6);
}

#[test]
fn a_pulled_meter_leaves_only_what_is_tapped_ahead_of_it() {
    let mut tapped = service("V1", vec![always(Across::LegToNeutral(Leg::L2), 9.0)]);
    tapped.unmetered_amps = 0.8;
    let world = world(vec![tapped]);
    let mut switching = Switching::default();
    switching.set_meter_out("V1", true);
    let flow = world.flow("P", 0.0, &switching).unwrap();
    check_close("leg 1", flow.sets["S1"].amps.leg(Leg::L1), 0.8, 0.01);
    check_close("leg 2", flow.sets["S1"].amps.leg(Leg::L2), 0.0, 1e-3);
    // Across the jaws of leg 2 stands the line voltage, through the customer's load.
    check_close("jaws", flow.services["V1"].across_jaws(Leg::L2), 120.0, 0.5);
    check_close("load side", flow.services["V1"].load.v2n(), 0.0, 0.1);
}

#[test]
fn a_load_on_the_line_jaws_draws_through_the_set_with_the_meter_out() {
    let world = world(vec![service("V1", vec![always(Across::LegToLeg, 15.0)])]);
    let mut switching = Switching::default();
    switching.set_meter_out("V1", true);
    switching.hang_on_line(TestLoad::of_amps("V1", Leg::L2, 12.5));
    let flow = world.flow("P", 0.0, &switching).unwrap();
    let (r, x) = transformer_ohms();
    let loop_ohms =
        Complex64::new(1.5 * r / 4.0, 1.2 * x / 4.0) + cable_ohms() * 2.0 + 120.0 / 12.5;
    check_close("leg 2", flow.sets["S1"].amps.leg(Leg::L2), 120.0 / rms(loop_ohms), 1e-3);
    check_close("leg 1", flow.sets["S1"].amps.leg(Leg::L1), 0.0, 1e-3);
    switching.take_off_line("V1");
    let bare = world.flow("P", 0.0, &switching).unwrap();
    check_close("without it", bare.sets["S1"].amps.leg(Leg::L2), 0.0, 1e-3);
}

#[test]
fn a_known_load_is_seen_on_its_leg_and_set_alone() {
    let world = world(vec![
        service("V1", vec![always(Across::LegToNeutral(Leg::L1), 7.0)]),
        service("V2", vec![always(Across::LegToNeutral(Leg::L1), 11.0)]),
    ]);
    let mut switching = Switching::default();
    switching.plug_in(TestLoad::of_amps("V1", Leg::L2, 12.5));
    let on = world.flow("P", 0.0, &switching).unwrap();
    switching.switch_test_load("V1", false);
    let off = world.flow("P", 0.0, &switching).unwrap();
    let step = |set: &str, leg| on.sets[set].amps.leg(leg) - off.sets[set].amps.leg(leg);
    check_close("its leg", step("S1", Leg::L2), 12.5, 0.3);
    check_close("other leg", step("S1", Leg::L1), 0.0, 0.1);
    check_close("other set", step("S2", Leg::L1), 0.0, 0.1);
    check_close("other set", step("S2", Leg::L2), 0.0, 0.1);
}

#[test]
fn part_of_the_neutral_current_returns_through_earth() {
    let mut grounded = service("V1", vec![always(Across::LegToNeutral(Leg::L1), 20.0)]);
    grounded.ground_ohms = 5.0;
    let mut world = world(vec![grounded]);
    world.pads.get_mut("P").unwrap().ground_ohms = 1.0;
    let flow = world.flow("P", 0.0, &Switching::default()).unwrap();
    let amps = &flow.sets["S1"].amps;
    // Neutral of 30 m beside 6 ohm of earth: by the current divider.
    let through_earth = rms(cable_ohms()) / (6.0 + cable_ohms().re) * amps.leg(Leg::L1);
    check_close("earth", amps.around(&Conductor::ALL), through_earth, 1e-3);
    assert!(through_earth > 0.02);
}
