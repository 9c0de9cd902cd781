//! The published network as a map sheet.
//!
//! Taken from the data: buses and their coordinates, lines with length, metal and size, reclosers,
//! air-break switches and fuses, transformers with rating, impedance and phase, customers and their
//! photovoltaics. The piece is an overhead network; it is read as if it ran underground.
//!
//! The data lacks, and a seed invents: that every transformer stands on a pad with a tag, that each
//! primary line ends there in an elbow and the transformer hangs behind a bayonet fuse, lug
//! positions, premises' labels, meter numbers and base ratings, ratings of switches. Invented
//! things have ids that begin with `inv-`, or stand in invented features.
//!
//! One fault of the data is mended: its centre-tapped units have XLT and XHT in each other's place
//! (2.4 and 1.6 against the rule 1.2 X, 1.2 X, 0.8 X), which makes the halves unequal. X is taken
//! from XHL, which is right.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use coldlug_tests::draw::Draw;
use serde_json::{Value, json};

use super::dss::{self, Element};
use super::shapes::{Place, line, point};

/// Letters on invented tags and meters: none that looks like another.
const LETTERS: [char; 10] = ['A', 'C', 'E', 'H', 'J', 'K', 'P', 'R', 'T', 'X'];
/// Invented streets.
const STREETS: [&str; 6] =
    ["Ember Row", "Fathom Lane", "Gull Steps", "Kiln Yard", "Moss Way", "Tarn End"];

/// The network as read, and what has been made of it so far.
struct Conversion {
    seed: u64,
    places: BTreeMap<String, Place>,
    lines: Vec<Element>,
    fuses: BTreeMap<String, f64>,
    transformers: Vec<Element>,
    /// What each pad holds, by the primary bus of its transformer.
    pads: BTreeMap<String, Vec<String>>,
    features: Vec<Value>,
}

/// Reads the network in `dir` and gives it as a map sheet; the same seed gives the same sheet.
pub(crate) fn map_sheet(dir: &Path, seed: u64) -> Value {
    let places = dss::coordinates(&dss::file(dir, "Buscoords.dss"));
    let (lines, fuses): (Vec<Element>, Vec<Element>) =
        dss::elements(&dss::file(dir, "Lines.dss")).into_iter().partition(|e| e.class == "line");
    let transformers = dss::elements(&dss::file(dir, "Transformers.dss"));
    let fuses = fuses
        .iter()
        .filter_map(|fuse| {
            let line = fuse.get("monitoredobj")?.split_once('.')?.1.to_owned();
            Some((line, fuse.number("ratedcurrent", 0)))
        })
        .collect();
    let pads = transformers.iter().map(|t| (t.bus("bus", 0), Vec::new())).collect();
    let mut conversion =
        Conversion { seed, places, lines, fuses, transformers, pads, features: Vec::new() };
    conversion.source(&dss::file(dir, "Master.dss"));
    conversion.primary();
    conversion.transformers();
    conversion.secondary();
    conversion.services(
        &dss::elements(&dss::file(dir, "Loads.dss")),
        &dss::elements(&dss::file(dir, "PVSystems.dss")),
    );
    conversion.pads();
    conversion.sheet()
}

impl Conversion {
    fn place(&self, bus: &str) -> Place {
        *self.places.get(bus).unwrap_or_else(|| panic!("bus {bus} has no coordinates"))
    }

    fn source(&mut self, master: &str) {
        let elements = dss::elements(master);
        let circuit = elements.iter().find(|e| e.class == "circuit").expect("a circuit");
        let bus = circuit.bus("bus1", 0);
        let volts = circuit.number("basekv", 0) * 1000.0;
        let at = self.place(&bus);
        self.features.push(point(
            "source",
            "substation",
            at,
            json!({"node": bus, "volts_line_to_line": volts}),
        ));
    }

    /// Lines and switching devices between primary buses.
    fn primary(&mut self) {
        let lines: Vec<Element> =
            self.lines.iter().filter(|l| !is_secondary(&l.bus("bus1", 0))).cloned().collect();
        for element in &lines {
            let (from, to) = (element.bus("bus1", 0), element.bus("bus2", 0));
            let code = element.get("linecode").unwrap_or_default();
            if let Some(device) = device_of(code) {
                self.device(element, device, &from, &to);
                continue;
            }
            let (metal, size) = conductor(code);
            let id = short(&element.name);
            let from_node = self.elbow(&from);
            let to_node = self.elbow(&to);
            let (a, b) = (self.place(&from), self.place(&to));
            self.features.push(line(
                "cable",
                &id,
                a,
                b,
                json!({"from": from_node, "to": to_node, "kv_class": 15, "metal": metal, "size": size,
                       "length_m": metres(element)}),
            ));
        }
    }

    fn device(&mut self, element: &Element, device: &str, from: &str, to: &str) {
        // Ratings of fuses are the data's; what a device may break, and whether its gap can be
        // seen, is invented after the kind of device.
        let rated = self.fuses.get(&element.name).copied().unwrap_or(600.0);
        let visible = device != "breaker";
        let at = self.place(from);
        self.features.push(point(
            "switch",
            &short(&element.name),
            at,
            json!({"from": from, "to": to, "device": device, "normally": "closed",
                   "rated_amps": rated, "load_break_amps": rated, "visible_break": visible,
                   "lockable": true, "volts_nominal": 7200}),
        ));
    }

    /// Where a primary line ends at a bus: behind an invented elbow where a transformer stands.
    fn elbow(&mut self, bus: &str) -> String {
        let at = self.place(bus);
        let Some(contains) = self.pads.get_mut(bus) else { return bus.to_owned() };
        let id = format!("inv-elbow-{}-{}", tail(bus), contains.len() + 1);
        let node = format!("{bus}:{}", contains.len() + 1);
        contains.push(id.clone());
        let pad = pad_id(bus);
        self.features.push(point(
            "switch",
            &id,
            at,
            json!({"from": node, "to": bus, "device": "elbow", "normally": "closed",
                   "rated_amps": 200, "load_break_amps": 200, "visible_break": true,
                   "lockable": true, "pad": pad, "volts_nominal": 7200}),
        ));
        node
    }

    fn transformers(&mut self) {
        for unit in self.transformers.clone() {
            let (bus, secondary) = (unit.bus("bus", 0), unit.bus("bus", 1));
            let three_phase = unit.get("phases") == Some("3");
            let (pad, at) = (pad_id(&bus), self.place(&bus));
            let fuse = format!("inv-fuse-{}", tail(&bus));
            let primary = format!("{bus}:pri");
            let id = format!("tr-{}", tail(&bus));
            self.pads.get_mut(&bus).expect("has a pad").extend([fuse.clone(), id.clone()]);
            self.features.push(point(
                "switch",
                &fuse,
                at,
                json!({"from": bus, "to": primary, "device": "bayonet-fuse", "normally": "closed",
                       "rated_amps": 50, "load_break_amps": 50, "visible_break": false,
                       "lockable": false, "pad": pad, "volts_nominal": 7200}),
            ));
            let (r, x) = impedance(&unit, three_phase);
            let mut more = json!({"primary": primary, "secondary": secondary,
                "kva": unit.number("kva", 0), "percent_z": r.hypot(x), "x_over_r": x / r,
                "primary_volts": 7200, "pad": pad,
                "system": if three_phase { "480y/277" } else { "120/240-split-phase" }});
            if let ([phase], false) = (unit_phases(&unit).as_slice(), three_phase) {
                more["phase"] = json!(phase);
            }
            self.features.push(point("transformer", &id, at, more));
        }
    }

    /// Sets from each transformer outwards; a bus between is a pedestal.
    fn secondary(&mut self) {
        let lines: Vec<Element> =
            self.lines.iter().filter(|l| is_secondary(&l.bus("bus1", 0))).cloned().collect();
        for unit in self.transformers.clone() {
            let (pad_bus, secondary) = (unit.bus("bus", 0), unit.bus("bus", 1));
            let legs = if unit.get("phases") == Some("3") {
                json!(["L1", "L2", "L3"])
            } else {
                json!(["L1", "L2"])
            };
            let mut done: BTreeSet<&str> = BTreeSet::new();
            let mut at_bus = vec![secondary.clone()];
            let mut position = 0;
            while let Some(bus) = at_bus.pop() {
                for element in &lines {
                    let ends = (element.bus("bus1", 0), element.bus("bus2", 0));
                    let far = if ends.0 == bus {
                        ends.1
                    } else if ends.1 == bus {
                        ends.0
                    } else {
                        continue;
                    };
                    if !done.insert(&element.name) {
                        continue;
                    }
                    let lug = (bus == secondary).then(|| {
                        position += 1;
                        self.lug(&pad_bus, &secondary, position, &legs)
                    });
                    self.set(element, (&bus, &far), &pad_bus, lug.map(|node| (node, position)));
                    if is_junction(&far) {
                        let at = self.place(&far);
                        let more = json!({"node": far});
                        self.features.push(point(
                            "pedestal",
                            &format!("ped-{}", tail(&far)),
                            at,
                            more,
                        ));
                    }
                    at_bus.push(far);
                }
            }
        }
    }

    /// An invented lug pair; gives its load side.
    fn lug(&mut self, pad_bus: &str, secondary: &str, position: u32, legs: &Value) -> String {
        let id = format!("inv-lug-{}-{position}", tail(pad_bus));
        let node = format!("{secondary}:s{position}");
        let at = self.place(pad_bus);
        self.pads.get_mut(pad_bus).expect("has a pad").push(id.clone());
        self.features.push(point(
            "switch",
            &id,
            at,
            json!({"from": secondary, "to": node, "device": "lug-pair", "normally": "closed",
                   "rated_amps": 400, "load_break_amps": 0, "visible_break": true, "lockable": false,
                   "pad": pad_id(pad_bus), "position": position.to_string(), "legs": legs}),
        ));
        node
    }

    fn set(
        &mut self,
        element: &Element,
        ends: (&str, &str),
        pad_bus: &str,
        lug: Option<(String, u32)>,
    ) {
        let (metal, size) = conductor(element.get("linecode").unwrap_or_default());
        let (a, b) = (self.place(ends.0), self.place(ends.1));
        let id = format!("set-{}", short(&element.name));
        let mut more = json!({"from": ends.0, "to": ends.1, "metal": metal, "size": size,
                              "length_m": metres(element)});
        if let Some((node, position)) = lug {
            more["from"] = json!(node);
            more["pad"] = json!(pad_id(pad_bus));
            more["position"] = json!(position.to_string());
            self.pads.get_mut(pad_bus).expect("has a pad").push(id.clone());
        }
        self.features.push(line("set", &id, a, b, more));
    }

    /// One service a customer bus; a bus with several customers has several meters.
    fn services(&mut self, loads: &[Element], pvs: &[Element]) {
        let mut customers: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
        let mut three_phase = BTreeSet::new();
        for load in loads {
            let bus = load.bus("bus1", 0);
            let name = load.name.trim_start_matches("load_");
            let name = name.split('_').next().unwrap_or(name).to_owned();
            customers.entry(bus.clone()).or_default().insert(name);
            if load.get("phases") == Some("3") {
                three_phase.insert(bus);
            }
        }
        for (bus, names) in customers {
            let mut draw = Draw::of(self.seed, &bus);
            let premises = format!("{} {} (invented)", 1 + draw.below(98), draw.one(&STREETS));
            let meters: Vec<String> = names.iter().map(|_| self.meter(&mut draw)).collect();
            let big = three_phase.contains(&bus);
            let sources: Vec<Value> = pvs
                .iter()
                .filter(|pv| pv.bus("bus1", 0) == bus)
                .map(|pv| json!({"type": "pv", "kw": pv.number("pmpp", 0), "transfer_switch": false}))
                .collect();
            let at = self.place(&bus);
            self.features.push(point(
                "service",
                &format!("svc-{}", tail(&bus)),
                at,
                json!({"node": bus, "premises": premises, "meters": meters,
                       "meter_base_amps": if big { 400 } else { 200 },
                       "system": if big { "480y/277" } else { "120/240-split-phase" },
                       "metering": if big { "ct" } else { "self-contained" },
                       "customer_sources": sources}),
            ));
        }
    }

    #[allow(clippy::unused_self, reason = "reads as one invention of the conversion")]
    fn meter(&self, draw: &mut Draw) -> String {
        let digits: String =
            (0..6).map(|_| char::from(b'0' + u8::try_from(draw.below(10)).unwrap())).collect();
        format!("{}{}{digits}", draw.one(&LETTERS), draw.one(&LETTERS))
    }

    fn pads(&mut self) {
        let mut used = BTreeSet::new();
        for (bus, contains) in self.pads.clone() {
            let mut draw = Draw::of(self.seed, &format!("tag {bus}"));
            let tag = loop {
                let tag = format!("{}{}", draw.one(&LETTERS), 1000 + draw.below(9000));
                if used.insert(tag.clone()) {
                    break tag;
                }
            };
            let at = self.place(&bus);
            self.features.push(point(
                "pad",
                &pad_id(&bus),
                at,
                json!({"tags": [tag], "position_accuracy_m": 5, "contains": contains}),
            ));
        }
    }

    fn sheet(self) -> Value {
        let lons: Vec<f64> = self.places.values().map(|p| p.0).collect();
        let lats: Vec<f64> = self.places.values().map(|p| p.1).collect();
        let least = |list: &[f64]| list.iter().copied().fold(f64::INFINITY, f64::min) - 0.001;
        let most = |list: &[f64]| list.iter().copied().fold(f64::NEG_INFINITY, f64::max) + 0.001;
        json!({
            "type": "FeatureCollection",
            "coldlug_map_sheet": {
                "format": 1,
                "name": "SMART-DS piece (NREL, CC BY); pads, tags, lugs, meters and labels invented",
                "edition": format!("seed-{}", self.seed),
                "bounds": [least(&lons), least(&lats), most(&lons), most(&lats)],
                "invented": true
            },
            "features": self.features,
        })
    }
}

/// Low-voltage buses: of a transformer (`...lv`), of a customer (`p1ulv...`), or between (`p1udm...`).
fn is_secondary(bus: &str) -> bool {
    bus.ends_with("lv") || bus.starts_with("p1ulv") || is_junction(bus)
}

fn is_junction(bus: &str) -> bool {
    bus.starts_with("p1udm")
}

/// What opens a line, told by its line code; `None` for a plain line.
fn device_of(code: &str) -> Option<&'static str> {
    let known = [("fuse", "cut-out"), ("goab", "feeder-switch"), ("recloser", "breaker")];
    known.iter().find(|(start, _)| code.starts_with(start)).map(|(_, device)| *device)
}

/// Metal and size from a line code such as `3P_UG_AL_350kcmil_3_2` or `1P_OH_AL_ACSR_#2_Sparrow_1`.
fn conductor(code: &str) -> (&'static str, String) {
    let mut words = code.split('_').skip(2);
    let metal = if words.next() == Some("AL") { "al" } else { "cu" };
    let size = words.find(|word| *word != "ACSR").unwrap_or_default();
    (metal, size.trim_start_matches('#').trim_end_matches("kcmil").to_owned())
}

/// Percent R and X of the whole unit, the 240 V winding taken whole for a centre-tapped one.
fn impedance(unit: &Element, three_phase: bool) -> (f64, f64) {
    if three_phase {
        return (unit.number("%r", 0) + unit.number("%r", 1), unit.number("xhl", 0));
    }
    // Half windings of r % each on the full rating at half the voltage: in series, on the base of
    // the full voltage, (r + r) / 4.
    let halves = (unit.number("%r", 1) + unit.number("%r", 2)) / 4.0;
    (unit.number("%r", 0) + halves, unit.number("xhl", 0) / 1.2)
}

fn unit_phases(unit: &Element) -> Vec<&'static str> {
    let name = |phase: &String| match phase.as_str() {
        "1" => Some("A"),
        "2" => Some("B"),
        "3" => Some("C"),
        _ => None,
    };
    unit.phases("bus").iter().filter_map(name).collect()
}

fn metres(element: &Element) -> f64 {
    assert_eq!(element.get("units"), Some("km"), "{}", element.name);
    (element.number("length", 0) * 1e6).round() / 1e3
}

/// `l(r:a-b)` is `a-b`; `fuse(r:a-b)p1u_7` is `fuse-p1u_7`.
fn short(name: &str) -> String {
    let (kind, rest) = name.split_once("(r:").unwrap_or(("", name));
    let (ends, after) = rest.split_once(')').unwrap_or((rest, ""));
    if after.is_empty() { ends.replace("p1u", "") } else { format!("{kind}-{after}") }
}

fn tail(bus: &str) -> &str {
    bus.trim_start_matches("p1u")
}

fn pad_id(bus: &str) -> String {
    format!("pad-{}", tail(bus))
}
