//! Writes the made-up field's own answers on small worlds as JSON, for the reference checks to
//! solve the same circuits with another engine. The file is `field-cases.json` in the scratch folder.
//!
//! Each case is a pad at one instant: every element with its ohms, what is lifted, pulled or
//! plugged in, and what the field says the volts and amps are.

use std::process::ExitCode;

use coldlug_field::conductor::{Conductor, Leg, ohms_per_metre, reactance_per_metre};
use coldlug_field::flow::rms;
use coldlug_field::load::NOMINAL_LEG_VOLTS;
use coldlug_field::small;
use coldlug_field::switching::{Switching, TestLoad};
use coldlug_field::world::{End, FieldError, Pad, Start, World};
use coldlug_tests::places;
use num_complex::Complex64;
use serde_json::{Value, json};

/// How many worlds.
const WORLDS: u64 = 25;

fn main() -> ExitCode {
    match all().map_err(|why| why.to_string()).and_then(|cases| write(&Value::Array(cases))) {
        Ok(()) => ExitCode::SUCCESS,
        Err(why) => {
            eprintln!("{why}");
            ExitCode::FAILURE
        }
    }
}

fn write(cases: &Value) -> Result<(), String> {
    let dir = places::scratch();
    let path = dir.join("field-cases.json");
    std::fs::create_dir_all(&dir)
        .and_then(|()| std::fs::write(&path, cases.to_string()))
        .map_err(|why| format!("{}: {why}", path.display()))
}

fn all() -> Result<Vec<Value>, FieldError> {
    let mut cases = Vec::new();
    for seed in 1..=WORLDS {
        let world = small::small(seed);
        for pad in world.pads.values() {
            for (name, switching) in switchings(&world, pad) {
                #[allow(clippy::cast_precision_loss, reason = "small whole numbers")]
                let t_s = 137.0 * seed as f64;
                let name = format!("world {seed}, {}, {name}", pad.id);
                cases.push(case(&world, pad, &switching, t_s, &name)?);
            }
        }
    }
    Ok(cases)
}

/// As found; with a meter out; with a main open and a known load elsewhere; with one leg lifted.
/// Photovoltaics are off throughout: the field takes them for sources of current, which is a
/// matter of its own.
fn switchings(world: &World, pad: &Pad) -> Vec<(&'static str, Switching)> {
    let mut found = Switching::default();
    for service in world.services.values() {
        for index in 0..service.sources.len() {
            found.set_source(&service.id, index, false);
        }
    }
    let mut all = vec![("as found", found.clone())];
    let direct = pad.sets.iter().find_map(|id| match &world.sets.get(id)?.to {
        End::Service(service) => Some((id, service)),
        _ => None,
    });
    if let Some((set, service)) = direct {
        let mut out = found.clone();
        out.set_meter_out(service, true);
        all.push(("a meter out", out));
        let mut known = found.clone();
        known.plug_in(TestLoad::of_amps(service, Leg::L1, 12.5));
        all.push(("a known load on", known));
        let mut lifted = found;
        // The load between the legs feeds the lifted one: live, and looking odd.
        lifted.plug_in(TestLoad::of_amps(service, Leg::L2, 12.5));
        lifted.lift(set, Conductor::L1);
        all.push(("a leg lifted", lifted));
    }
    all
}

fn case(
    world: &World,
    pad: &Pad,
    switching: &Switching,
    t_s: f64,
    name: &str,
) -> Result<Value, FieldError> {
    let flow = world.flow(&pad.id, t_s, switching)?;
    let mut sets = Vec::new();
    for (id, state) in &flow.sets {
        let set = world.set(id)?;
        let ohms = |per_metre: fn(&coldlug_field::world::Section) -> f64| -> f64 {
            set.sections.iter().map(per_metre).sum()
        };
        let is_lifted = |conductor| switching.is_lifted(id, conductor);
        sets.push(json!({
            "id": id,
            "from": match &set.from { Start::Pad { .. } => "bus", Start::Junction(id) => id },
            "to": match &set.to { End::Service(id) | End::Junction(id) => id, End::Dead => "" },
            "r_ohms": ohms(|s| ohms_per_metre(s.metal, s.size) * s.length_m),
            "x_ohms": ohms(|s| reactance_per_metre(s.size) * s.length_m),
            "lifted": Conductor::ALL.map(is_lifted),
            "amps": Conductor::ALL.map(|c| rms(state.amps.in_conductor(c))),
        }));
    }
    let mut services = Vec::new();
    for (id, base) in &flow.services {
        let service = world.service(id)?;
        let connected = !switching.meters_out.contains(id) && !switching.mains_open.contains(id);
        let demand = service.profile.demand(t_s);
        let pair = |amps: Complex64, volts: f64| json!([amps.re / volts, amps.im / volts]);
        let test: Vec<Value> = switching
            .test_loads
            .iter()
            .filter(|load| load.on && &load.service == id)
            .map(|load| json!({"leg": if load.leg == Leg::L1 { 1 } else { 2 }, "ohms": load.ohms}))
            .collect();
        services.push(json!({
            "id": id,
            "ground_ohms": service.ground_ohms,
            "unmetered_siemens": service.unmetered_amps / NOMINAL_LEG_VOLTS,
            "connected": connected,
            "siemens_l1": pair(demand.l1, NOMINAL_LEG_VOLTS),
            "siemens_l2": pair(demand.l2, NOMINAL_LEG_VOLTS),
            "siemens_l12": pair(demand.l12, 2.0 * NOMINAL_LEG_VOLTS),
            "test_loads": test,
            "volts": [base.line.v1n(), base.line.v2n(), base.line.v12(), base.line.n_ground()],
        }));
    }
    Ok(json!({
        "name": name,
        "kva": pad.kva, "percent_z": pad.percent_z, "x_over_r": pad.x_over_r,
        "primary_volts": flow.primary_volts, "ground_ohms": pad.ground_ohms,
        "bus_volts": [flow.bus.v1n(), flow.bus.v2n(), flow.bus.v12(), flow.bus.n_ground()],
        "sets": sets, "services": services,
    }))
}
