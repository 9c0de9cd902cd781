//! CIM: an invented model of one pad and one service, whole and damaged.

use std::fmt::Write;

use coldlug_core::quantity::{AssetId, in_kilovolt_amps};
use proptest::prelude::*;

use super::{Folder, check, lines};

pub(super) const MAPPING: &str = r#"
[sheet]
name = "Invented model"
edition = "1"
bounds = [-30.3, 41.5, -30.0, 41.7]
invented = true

[[layer]]
of = "EnergySource"
kind = "source"
[layer.fields]
volts_line_to_line = { column = "EnergySource.nominalVoltage", unit = "V" }

[[layer]]
of = "Fuse"
kind = "switch"
geometry = "none"
[layer.fields]
device = { value = "cut-out", because = "invented: every fuse of the model hangs on a pole" }
rated_amps = { column = "Switch.ratedCurrent", unit = "A" }
load_break_amps = { value = 0, because = "invented" }
visible_break = { value = true, because = "invented" }
lockable = { value = true, because = "invented" }

[[layer]]
of = "Jumper"
kind = "switch"
geometry = "none"
[layer.fields]
device = { value = "lug-pair", because = "invented" }
rated_amps = { column = "Switch.ratedCurrent", unit = "A" }
load_break_amps = { value = 0, because = "invented" }
visible_break = { value = true, because = "invented" }
lockable = { value = false, because = "invented" }
pad = "Equipment.EquipmentContainer"
position = "IdentifiedObject.description"

[[layer]]
of = "ACLineSegment"
kind = "cable"
only = { "Conductor.use" = "primary" }
[layer.fields]
kv_class = { value = 15, because = "invented" }
metal = { value = "al", because = "invented" }
size = "PowerSystemResource.PSRType/IdentifiedObject.name"
length_m = { column = "Conductor.length", unit = "m" }

[[layer]]
of = "ACLineSegment"
kind = "set"
only = { "Conductor.use" = "secondary" }
geometry = "none"
[layer.fields]
metal = { value = "al", because = "invented" }
size = "PowerSystemResource.PSRType/IdentifiedObject.name"
length_m = { column = "Conductor.length", unit = "m" }
pad = "Equipment.EquipmentContainer"
position = "IdentifiedObject.description"

[[layer]]
of = "PowerTransformer"
kind = "transformer"
geometry = "none"
[layer.fields]
kva = { column = "end.1/PowerTransformerEnd.ratedS", unit = "VA" }
primary_volts = { column = "end.1/PowerTransformerEnd.ratedU", unit = "V" }
system = { value = "120/240-split-phase", because = "invented" }
pad = "Equipment.EquipmentContainer"

[[layer]]
of = "Substation"
kind = "pad"
[layer.fields]
id = "rdf:ID"
tags = "IdentifiedObject.name"
position_accuracy_m = { value = 3, because = "invented" }

[[layer]]
of = "UsagePoint"
kind = "service"
[layer.fields]
premises = "IdentifiedObject.name"
meters = "~EndDevice.UsagePoint/IdentifiedObject.name"
meter_base_amps = { column = "UsagePoint.ratedCurrent", unit = "A" }
system = { value = "120/240-split-phase", because = "invented" }
"#;

/// An object with what it says; a text that begins with `#` is a reference.
pub(super) fn object(into: &mut String, class: &str, id: &str, says: &[(&str, &str)]) {
    writeln!(into, "<cim:{class} rdf:ID=\"{id}\">").unwrap();
    for (name, text) in says {
        if text.starts_with('#') {
            writeln!(into, "  <cim:{name} rdf:resource=\"{text}\"/>").unwrap();
        } else {
            writeln!(into, "  <cim:{name}>{text}</cim:{name}>").unwrap();
        }
    }
    writeln!(into, "</cim:{class}>").unwrap();
}

/// A branch's terminals, with numbers.
pub(super) fn terminals(into: &mut String, id: &str, nodes: &[&str]) {
    for (number, node) in nodes.iter().enumerate() {
        let (own, number) = (format!("{id}-t{number}"), (number + 1).to_string());
        let (of, to) = (format!("#{id}"), format!("#{node}"));
        object(
            into,
            "Terminal",
            &own,
            &[
                ("Terminal.ConductingEquipment", &of),
                ("Terminal.ConnectivityNode", &to),
                ("ACDCTerminal.sequenceNumber", &number),
            ],
        );
    }
}

fn place(into: &mut String, id: &str, places: &[[&str; 2]]) {
    let location = format!("{id}-at");
    object(into, "Location", &location, &[("Location.CoordinateSystem", "#crs")]);
    // The last place first: the order of the file does not count.
    for (number, [x, y]) in places.iter().enumerate().rev() {
        object(
            into,
            "PositionPoint",
            &format!("{id}-p{number}"),
            &[
                ("PositionPoint.Location", &format!("#{location}")),
                ("PositionPoint.sequenceNumber", &(number + 1).to_string()),
                ("PositionPoint.xPosition", x),
                ("PositionPoint.yPosition", y),
            ],
        );
    }
}

pub(super) fn root(body: &str) -> String {
    format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<!-- invented -->\n\
         <rdf:RDF xmlns:rdf=\"http://www.w3.org/1999/02/22-rdf-syntax-ns#\" \
         xmlns:cim=\"http://iec.ch/TC57/CIM100#\">\n{body}</rdf:RDF>\n"
    )
}

/// The model: what is joined, and where it stands.
pub(super) fn model() -> (String, String) {
    let mut joined = String::new();
    let m = &mut joined;
    for node in ["n-src", "n-tap", "n-pri", "n-sec", "n-s1", "n-v1"] {
        object(m, "ConnectivityNode", node, &[]);
    }
    let source =
        [("EnergySource.nominalVoltage", "12470"), ("PowerSystemResource.Location", "#S-at")];
    object(m, "EnergySource", "S", &source);
    terminals(m, "S", &["n-src"]);
    let fuse = [("Switch.normalOpen", "false"), ("Switch.ratedCurrent", "100")];
    object(m, "Fuse", "F", &fuse);
    terminals(m, "F", &["n-src", "n-tap"]);
    object(m, "PSRType", "k1", &[("IdentifiedObject.name", "1/0")]);
    object(m, "PSRType", "k2", &[("IdentifiedObject.name", "4/0")]);
    object(
        m,
        "ACLineSegment",
        "C",
        &[
            ("Conductor.use", "primary"),
            ("Conductor.length", "120.5"),
            ("PowerSystemResource.PSRType", "#k1"),
            ("PowerSystemResource.Location", "#C-at"),
        ],
    );
    terminals(m, "C", &["n-tap", "n-pri"]);
    object(
        m,
        "Substation",
        "P1",
        &[("IdentifiedObject.name", "T-1 &amp; &#50;"), ("PowerSystemResource.Location", "#P1-at")],
    );
    object(m, "PowerTransformer", "X", &[("Equipment.EquipmentContainer", "#P1")]);
    // 50 kVA at 7200 V with 1.8 percent: 18.66 ohms, of which X/R 1.5; the second end says none.
    let z = 0.018 * 7200.0 * 7200.0 / 50_000.0;
    let r = z / 3.25_f64.sqrt();
    for (end, volts, r, x, terminal) in [
        ("1", "7200", r.to_string(), (1.5 * r).to_string(), "#X-t0"),
        ("2", "240", "0".to_owned(), "0".to_owned(), "#X-t1"),
    ] {
        object(
            m,
            "PowerTransformerEnd",
            &format!("X-e{end}"),
            &[
                ("PowerTransformerEnd.PowerTransformer", "#X"),
                ("TransformerEnd.Terminal", terminal),
                ("TransformerEnd.endNumber", end),
                ("PowerTransformerEnd.ratedS", "50000"),
                ("PowerTransformerEnd.ratedU", volts),
                ("PowerTransformerEnd.r", &r),
                ("PowerTransformerEnd.x", &x),
            ],
        );
    }
    terminals(m, "X", &["n-pri", "n-sec"]);
    let in_pad = [("Equipment.EquipmentContainer", "#P1"), ("IdentifiedObject.description", "1")];
    object(
        m,
        "Jumper",
        "L1",
        &[&in_pad[..], &[("Switch.normalOpen", "false"), ("Switch.ratedCurrent", "400")]].concat(),
    );
    terminals(m, "L1", &["n-sec", "n-s1"]);
    let set = [
        ("Conductor.use", "secondary"),
        ("Conductor.length", "30.48"),
        ("PowerSystemResource.PSRType", "#k2"),
    ];
    object(m, "ACLineSegment", "W", &[&in_pad[..], &set[..]].concat());
    terminals(m, "W", &["n-s1", "n-v1"]);
    object(m, "EnergyConsumer", "E", &[]);
    terminals(m, "E", &["n-v1"]);
    object(
        m,
        "UsagePoint",
        "V1",
        &[
            ("IdentifiedObject.name", "1 Quay Steps"),
            ("UsagePoint.ratedCurrent", "200"),
            ("UsagePoint.Equipments", "#E"),
            ("UsagePoint.UsagePointLocation", "#V1-at"),
        ],
    );
    object(
        m,
        "Meter",
        "M1",
        &[("IdentifiedObject.name", "40171"), ("EndDevice.UsagePoint", "#V1")],
    );
    (joined, places())
}

/// Where it stands.
fn places() -> String {
    let mut places = String::new();
    let p = &mut places;
    object(
        p,
        "CoordinateSystem",
        "crs",
        &[("CoordinateSystem.crsUrn", "urn:ogc:def:crs:EPSG::4326")],
    );
    place(p, "S", &[["-30.2", "41.6"]]);
    place(p, "C", &[["-30.2", "41.6"], ["-30.195", "41.601"], ["-30.19", "41.6"]]);
    place(p, "P1", &[["-30.19", "41.6"]]);
    place(p, "V1", &[["-30.189", "41.6"]]);
    places
}

#[test]
fn a_model_of_two_files_makes_a_sheet() {
    let (joined, places) = model();
    let folder = Folder::new()
        .with("m.toml", MAPPING)
        .with("eq.xml", &root(&joined))
        .with("gl.xml", &root(&places));
    let imported = folder.import(&["eq.xml", "gl.xml"], Some("m.toml"));
    let said = lines(&imported);
    let plant = imported.sheet.unwrap_or_else(|| panic!("{said:#?}"));
    let id = |text: &str| AssetId::new(text).unwrap();
    let unit = &plant.transformers[&id("X")];
    assert!((unit.percent_z - 1.8).abs() < 1e-12, "{}", unit.percent_z);
    assert!((unit.x_over_r.unwrap() - 1.5).abs() < 1e-12);
    assert!((in_kilovolt_amps(unit.rating) - 50.0).abs() < 1e-12);
    let course = &plant.cables[&id("C")].course;
    assert_eq!(course.iter().map(|at| at.lon_deg).collect::<Vec<_>>(), [-30.2, -30.195, -30.19]);
    assert_eq!(plant.pads[&id("P1")].tags, ["T-1 & 2"]);
    assert_eq!(plant.services[&id("V1")].meters, ["40171"]);
    assert!(
        said.iter().any(|line| line.starts_with("import-layer-unmapped eq.xml + gl.xml Meter"))
    );
    assert!(said.iter().any(|line| line == "import-rows-left eq.xml + gl.xml ACLineSegment"));
}

/// A terminal's topological node counts where it has no connectivity node, and nowhere else.
#[test]
fn a_model_of_buses_and_branches_is_joined_by_its_topological_nodes() {
    let (joined, places) = model();
    let import = |joined: &str| {
        let text = root(&format!("{joined}{places}"));
        let folder = Folder::new().with("m.toml", MAPPING).with("a.xml", &text);
        let imported = folder.import(&["a.xml"], Some("m.toml"));
        let said = lines(&imported);
        imported.sheet.unwrap_or_else(|| panic!("{said:#?}"))
    };
    let plain = import(&joined);
    let connected = "<cim:Terminal.ConnectivityNode";
    let of_buses = joined.replace(connected, "<cim:Terminal.TopologicalNode");
    assert_ne!(of_buses, joined);
    assert_eq!(import(&of_buses), plain);
    let beside = "<cim:Terminal.TopologicalNode rdf:resource=\"#n-src\"/>";
    let both = joined.replace(connected, &format!("{beside}{connected}"));
    assert_eq!(import(&both), plain);
}

#[test]
fn what_is_wrong_with_a_model_is_named_by_its_object() {
    let (joined, places) = model();
    let whole = format!("{joined}{places}");
    let import = |text: &str| {
        let folder = Folder::new().with("m.toml", MAPPING).with("eq.xml", &root(text));
        folder.import(&["eq.xml"], Some("m.toml"))
    };
    let changed = |from: &str, to: &str| {
        let text = whole.replacen(from, to, 1);
        assert_ne!(text, whole, "{from} is not there");
        import(&text)
    };
    let dangling = changed("rdf:resource=\"#n-v1\"", "rdf:resource=\"#n-v2\"");
    check(&dangling, "import-reference-missing eq.xml Terminal W-t1 Terminal.ConnectivityNode");
    let twice = changed("rdf:ID=\"W\"", "rdf:ID=\"C\"");
    check(&twice, "import-name-twice eq.xml ACLineSegment C");
    let bare = changed("<cim:PowerTransformerEnd.r>", "<cim:PowerTransformerEnd.g>").findings;
    assert!(bare.errors > 0, "half an element is not closed");
    let no_impedance = whole.replace("PowerTransformerEnd.r>", "PowerTransformerEnd.g>");
    check(&import(&no_impedance), "missing-field eq.xml PowerTransformer X percent_z percent_z");
    let word = changed("<cim:Conductor.length>30.48", "<cim:Conductor.length>far");
    check(&word, "import-cell-wrong eq.xml ACLineSegment W Conductor.length");
    let nowhere = changed("#V1-at", "#V2-at");
    check(&nowhere, "import-reference-missing eq.xml UsagePoint V1 UsagePoint.UsagePointLocation");
    let unnumbered =
        changed("<cim:PositionPoint.sequenceNumber>3<", "<cim:PositionPoint.sequenceNumber>x<");
    check(&unnumbered, "import-geometry-broken eq.xml ACLineSegment C");
    let undefined = changed("cim:CoordinateSystem.crsUrn>", "cim:CoordinateSystem.crsUrns>");
    assert!(undefined.findings.errors > 0);
}

/// Nothing of a file is fetched or expanded, and nothing deeper than the standard has it is taken.
#[test]
fn what_is_no_cim_is_refused() {
    let import = |text: &str| {
        let folder = Folder::new().with("m.toml", MAPPING).with("a.xml", text);
        folder.import(&["a.xml"], Some("m.toml"))
    };
    let bomb = "<?xml version=\"1.0\"?><!DOCTYPE a [<!ENTITY b \"ha\">\
        <!ENTITY c \"&b;&b;&b;&b;\">]><a>&c;</a>";
    check(&import(bomb), "import-file-broken a.xml");
    let good = root("<cim:Fuse rdf:ID=\"F\"><cim:a.b>c</cim:a.b></cim:Fuse>");
    for (from, to) in [
        ("c</cim:a.b>", "&lol;</cim:a.b>"),
        ("c</cim:a.b>", "<cim:c.d>e</cim:c.d></cim:a.b>"),
        ("rdf:ID=\"F\"", "ID=\"F\""),
        ("</rdf:RDF>", ""),
        ("</rdf:RDF>", "</rdf:RDF><rdf:RDF></rdf:RDF>"),
        ("rdf:RDF", "rdf:List"),
        ("22-rdf-syntax-ns#", "23-rdf-syntax-ns#"),
        ("c</cim:a.b>", "c</cim:a.c>"),
    ] {
        let text = good.replace(from, to);
        assert_ne!(text, good);
        let found = lines(&import(&text));
        assert!(found.iter().any(|line| line == "import-file-broken a.xml"), "{to}: {found:?}");
    }
    let found = lines(&import(&good));
    assert!(found.iter().all(|line| !line.contains("broken")), "{found:?}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn a_damaged_model_never_panics(at in any::<usize>(), with in any::<u8>(), cut in any::<(bool, usize)>()) {
        let (joined, places) = model();
        let mut bytes = root(&format!("{joined}{places}")).into_bytes();
        let at = at % bytes.len();
        bytes[at] = with;
        if cut.0 {
            bytes.truncate(cut.1 % bytes.len());
        }
        let folder = Folder::new().with("m.toml", MAPPING);
        std::fs::write(folder.path("a.xml"), &bytes).unwrap();
        let _ = folder.import(&["a.xml"], Some("m.toml"));
    }
}
