//! The made-up utility as a model in CIM: invented, with names as the standard has them (UUIDs), so
//! that no two things that belong together have names near each other.

use std::{
    fs::File,
    io::{BufWriter, Write},
    path::Path,
};

use super::town;

/// How the model becomes a sheet.
pub(crate) const MAPPING: &str = r#"
[sheet]
name = "Made-up utility"
edition = "1"
bounds = [-31, 41, -29, 43]
invented = true

[[layer]]
of = "EnergySource"
kind = "source"
[layer.fields]
volts_line_to_line = { column = "EnergySource.nominalVoltage", unit = "kV" }

[[layer]]
of = "ACLineSegment"
kind = "cable"
only = { "Conductor.use" = "primary" }
[layer.fields]
length_m = { column = "Conductor.length", unit = "ft" }
kv_class = { value = 15, because = "made up" }
metal = { value = "al", because = "made up" }
size = "PowerSystemResource.PSRType/IdentifiedObject.name"

[[layer]]
of = "ACLineSegment"
kind = "set"
only = { "Conductor.use" = "secondary" }
geometry = "none"
[layer.fields]
length_m = { column = "Conductor.length", unit = "ft" }
pad = "Equipment.EquipmentContainer"
position = "IdentifiedObject.description"
metal = { value = "al", because = "made up" }
size = "PowerSystemResource.PSRType/IdentifiedObject.name"

[[layer]]
of = "Fuse"
kind = "switch"
geometry = "none"
[layer.fields]
pad = "Equipment.EquipmentContainer"
device = { value = "bayonet-fuse", because = "made up" }
rated_amps = { value = 25, because = "made up" }
load_break_amps = { value = 25, because = "made up" }
visible_break = { value = false, because = "made up" }
lockable = { value = false, because = "made up" }

[[layer]]
of = "Jumper"
kind = "switch"
geometry = "none"
[layer.fields]
pad = "Equipment.EquipmentContainer"
position = "IdentifiedObject.description"
device = { value = "lug-pair", because = "made up" }
rated_amps = { value = 400, because = "made up" }
load_break_amps = { value = 0, because = "made up" }
visible_break = { value = true, because = "made up" }
lockable = { value = false, because = "made up" }

[[layer]]
of = "PowerTransformer"
kind = "transformer"
geometry = "none"
[layer.fields]
pad = "Equipment.EquipmentContainer"
kva = { column = "end.1/PowerTransformerEnd.ratedS", unit = "VA" }
primary_volts = { column = "end.1/PowerTransformerEnd.ratedU", unit = "V" }
system = { value = "120/240-split-phase", because = "made up" }

[[layer]]
of = "Substation"
kind = "pad"
[layer.fields]
id = "rdf:ID"
tags = "IdentifiedObject.name"
position_accuracy_m = { value = 3, because = "made up" }

[[layer]]
of = "UsagePoint"
kind = "service"
[layer.fields]
premises = "IdentifiedObject.name"
meters = "~EndDevice.UsagePoint/IdentifiedObject.name"
meter_base_amps = { value = 200, because = "made up" }
system = { value = "120/240-split-phase", because = "made up" }
"#;

/// The name of a thing: a made-up UUID, always the same for the same words.
fn named(words: &[&str]) -> String {
    // FNV-1a's way of going through bytes, over 128 bits.
    let mut hash: u128 = 0x6c62_272e_07bb_0142_62b8_2175_6295_c58d;
    for byte in words.iter().flat_map(|word| word.bytes().chain([0])) {
        hash = (hash ^ u128::from(byte)).wrapping_mul(0x0100_0000_0000_0000_0000_013b);
    }
    let hex = format!("{hash:032x}");
    let part = |from: usize, to: usize| hex.get(from..to).expect("32 digits");
    format!("_{}-{}-{}-{}-{}", part(0, 8), part(8, 12), part(12, 16), part(16, 20), part(20, 32))
}

/// The file, as it is written.
struct Model(BufWriter<File>);

impl Model {
    fn text(&mut self, text: &str) {
        self.0.write_all(text.as_bytes()).expect("written");
    }

    /// An object with what it says; a text that begins with `#` is a reference.
    fn object(&mut self, class: &str, id: &str, says: &[(&str, &str)]) {
        self.text(&format!("<cim:{class} rdf:ID=\"{id}\">\n"));
        for (name, text) in says {
            self.text(&if text.starts_with('#') {
                format!("  <cim:{name} rdf:resource=\"{text}\"/>\n")
            } else {
                format!("  <cim:{name}>{text}</cim:{name}>\n")
            });
        }
        self.text(&format!("</cim:{class}>\n"));
    }

    /// What conducts: its terminals at these nodes, and their names.
    fn terminals(&mut self, id: &str, nodes: &[&str]) -> Vec<String> {
        let mut made = Vec::new();
        for (node, number) in nodes.iter().zip(1..) {
            let (own, number) = (named(&[id, "terminal", node]), number.to_string());
            let (of, to) = (format!("#{id}"), format!("#{}", named(&["node", node])));
            let says = [
                ("Terminal.ConductingEquipment", of.as_str()),
                ("Terminal.ConnectivityNode", &to),
                ("ACDCTerminal.sequenceNumber", &number),
            ];
            self.object("Terminal", &own, &says);
            made.push(own);
        }
        made
    }

    fn node(&mut self, node: &str) {
        self.object("ConnectivityNode", &named(&["node", node]), &[]);
    }

    /// Where something stands; gives the name of the place as a reference.
    fn place(&mut self, id: &str, places: &[[&str; 2]]) -> String {
        let location = named(&[id, "location"]);
        let crs = format!("#{}", named(&["crs"]));
        self.object("Location", &location, &[("Location.CoordinateSystem", &crs)]);
        for ([x, y], number) in places.iter().zip(1..) {
            let (of, number) = (format!("#{location}"), number.to_string());
            let says = [
                ("PositionPoint.Location", of.as_str()),
                ("PositionPoint.sequenceNumber", &number),
                ("PositionPoint.xPosition", x),
                ("PositionPoint.yPosition", y),
            ];
            self.object("PositionPoint", &named(&[&location, &number]), &says);
        }
        format!("#{location}")
    }

    fn transformer(&mut self, [id, a, b, kva, z, pad]: [&str; 6]) {
        let own = named(&[id]);
        let pad = format!("#{}", named(&[pad]));
        self.object("PowerTransformer", &own, &[("Equipment.EquipmentContainer", &pad)]);
        let terminals = self.terminals(&own, &[a, b]);
        let (kva, z): (f64, f64) = (kva.parse().expect("kVA"), z.parse().expect("percent"));
        let rated = (1000.0 * kva).to_string();
        let ohms = z / 100.0 * 7200.0 * 7200.0 / (1000.0 * kva);
        // X/R of 1.5, as made up as the rest.
        let resistance = ohms / 3.25_f64.sqrt();
        let of = format!("#{own}");
        for (((number, volts), own_r), terminal) in
            [("1", "7200"), ("2", "240")].into_iter().zip([resistance, 0.0]).zip(terminals)
        {
            let (own_x, own_r) = ((1.5 * own_r).to_string(), own_r.to_string());
            let to = format!("#{terminal}");
            let says = [
                ("PowerTransformerEnd.PowerTransformer", of.as_str()),
                ("TransformerEnd.Terminal", &to),
                ("TransformerEnd.endNumber", number),
                ("PowerTransformerEnd.ratedS", &rated),
                ("PowerTransformerEnd.ratedU", volts),
                ("PowerTransformerEnd.r", &own_r),
                ("PowerTransformerEnd.x", &own_x),
            ];
            self.object("PowerTransformerEnd", &named(&[&own, "end", number]), &says);
        }
    }

    fn service(&mut self, [id, node, premises, meter, x, y]: [&str; 6]) {
        self.node(node);
        let (own, load) = (named(&[id]), named(&[id, "load"]));
        self.object("EnergyConsumer", &load, &[]);
        self.terminals(&load, &[node]);
        let at = self.place(&own, &[[x, y]]);
        let load = format!("#{load}");
        let says = [
            ("IdentifiedObject.name", premises),
            ("UsagePoint.Equipments", &load),
            ("UsagePoint.UsagePointLocation", &at),
        ];
        self.object("UsagePoint", &own, &says);
        let of = format!("#{own}");
        let says = [("IdentifiedObject.name", meter), ("EndDevice.UsagePoint", &of)];
        self.object("Meter", &named(&[id, "meter"]), &says);
    }

    fn set(&mut self, [id, bus, a, b, feet, pad, way]: [&str; 7]) {
        self.node(a);
        let (lug, own) = (named(&["lug", id]), named(&[id]));
        let (pad, size) = (format!("#{}", named(&[pad])), format!("#{}", named(&["4/0"])));
        let inside =
            [("Equipment.EquipmentContainer", pad.as_str()), ("IdentifiedObject.description", way)];
        let closed = [("Switch.normalOpen", "false")];
        self.object("Jumper", &lug, &[&inside[..], &closed[..]].concat());
        self.terminals(&lug, &[bus, a]);
        let is = [
            ("Conductor.use", "secondary"),
            ("Conductor.length", feet),
            ("PowerSystemResource.PSRType", &size),
        ];
        self.object("ACLineSegment", &own, &[&inside[..], &is[..]].concat());
        self.terminals(&own, &[a, b]);
    }

    fn run(&mut self, [id, a, b, feet, ax, ay, bx, by]: [&str; 8]) {
        let own = named(&[id]);
        let at = self.place(&own, &[[ax, ay], [bx, by]]);
        let size = format!("#{}", named(&["1/0"]));
        let says = [
            ("Conductor.use", "primary"),
            ("Conductor.length", feet),
            ("PowerSystemResource.PSRType", &size),
            ("PowerSystemResource.Location", &at),
        ];
        self.object("ACLineSegment", &own, &says);
        self.terminals(&own, &[a, b]);
    }

    /// A row of the made-up utility.
    fn row(&mut self, table: usize, values: &[String]) {
        let texts: Vec<&str> = values.iter().map(String::as_str).collect();
        match (table, texts.as_slice()) {
            (0, &[id, node, kv, x, y]) => {
                let own = named(&[id]);
                let at = self.place(&own, &[[x, y]]);
                let says = [
                    ("EnergySource.nominalVoltage", kv),
                    ("PowerSystemResource.Location", at.as_str()),
                ];
                self.object("EnergySource", &own, &says);
                self.terminals(&own, &[node]);
            }
            (1, &[id, a, b, feet, ax, ay, bx, by]) => self.run([id, a, b, feet, ax, ay, bx, by]),
            (2, &[id, a, b, pad]) => {
                self.node(b);
                let (own, pad) = (named(&[id]), format!("#{}", named(&[pad])));
                let says = [
                    ("Equipment.EquipmentContainer", pad.as_str()),
                    ("Switch.normalOpen", "false"),
                ];
                self.object("Fuse", &own, &says);
                self.terminals(&own, &[a, b]);
            }
            (3, &[id, a, b, kva, z, pad]) => {
                self.node(b);
                self.transformer([id, a, b, kva, z, pad]);
            }
            (4, &[id, tag, x, y]) => {
                let own = named(&[id]);
                let at = self.place(&own, &[[x, y]]);
                let says =
                    [("IdentifiedObject.name", tag), ("PowerSystemResource.Location", at.as_str())];
                self.object("Substation", &own, &says);
            }
            (5, &[id, node, premises, meter, x, y]) => {
                self.service([id, node, premises, meter, x, y]);
            }
            (6, &[id, bus, a, b, feet, pad, way]) => self.set([id, bus, a, b, feet, pad, way]),
            (7, &[node, ..]) => self.node(node),
            _ => {}
        }
    }
}

/// The utility as one file; gives the number of nodes.
pub(crate) fn write(path: &Path, nodes: u32) -> u32 {
    let mut model = Model(BufWriter::with_capacity(1 << 16, File::create(path).expect("a file")));
    model.text(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<!-- made up: no real place, no real thing -->\n\
         <rdf:RDF xmlns:rdf=\"http://www.w3.org/1999/02/22-rdf-syntax-ns#\" \
         xmlns:cim=\"http://iec.ch/TC57/CIM100#\">\n",
    );
    let system = [("CoordinateSystem.crsUrn", "urn:ogc:def:crs:EPSG::32626")];
    model.object("CoordinateSystem", &named(&["crs"]), &system);
    for size in ["1/0", "4/0"] {
        model.object("PSRType", &named(&[size]), &[("IdentifiedObject.name", size)]);
    }
    let made = town::rows(nodes, &mut |table, values| model.row(table, values));
    model.text("</rdf:RDF>\n");
    model.0.flush().expect("written");
    made
}
