//! CIM: every class of switch, and where a customer is.

use coldlug_core::plant::{Normally, Plant};
use coldlug_core::quantity::AssetId;
use coldlug_store::import::Imported;

use super::cim::{MAPPING, model, object, root, terminals};
use super::{Folder, check, lines};

fn import(mapping: &str, text: &str) -> Imported<Plant> {
    let folder = Folder::new().with("m.toml", mapping).with("a.xml", &root(text));
    folder.import(&["a.xml"], Some("m.toml"))
}

fn whole() -> String {
    let (joined, places) = model();
    format!("{joined}{places}")
}

fn taken(mapping: &str, text: &str) -> Plant {
    let imported = import(mapping, text);
    let said = lines(&imported);
    imported.sheet.unwrap_or_else(|| panic!("{said:#?}"))
}

fn id(text: &str) -> AssetId {
    AssetId::new(text).unwrap()
}

/// The class of a switch says nothing that the mapping would not: the sheets are the same.
#[test]
fn every_class_of_switch_is_read_alike() {
    let plain = taken(MAPPING, &whole());
    for class in [
        "Switch",
        "Breaker",
        "Cut",
        "DisconnectingCircuitBreaker",
        "Disconnector",
        "GroundDisconnector",
        "LoadBreakSwitch",
        "ProtectedSwitch",
        "Recloser",
        "Sectionaliser",
    ] {
        let mapping = MAPPING.replace("of = \"Fuse\"", &format!("of = \"{class}\""));
        let text = whole().replace("cim:Fuse", &format!("cim:{class}"));
        assert_eq!(taken(&mapping, &text), plain, "{class}");
    }
}

#[test]
fn what_is_normally_open_is_read_as_xml_writes_a_flag() {
    let fuse = "<cim:Switch.normalOpen>false";
    for (flag, state) in [
        ("true", Normally::Open),
        ("1", Normally::Open),
        ("false", Normally::Closed),
        ("0", Normally::Closed),
    ] {
        let text = whole().replacen(fuse, &format!("<cim:Switch.normalOpen>{flag}"), 1);
        assert_eq!(taken(MAPPING, &text).switches[&id("F")].normally, state, "{flag}");
    }
    let text = whole().replacen(fuse, "<cim:Switch.normalOpen>maybe", 1);
    check(&import(MAPPING, &text), "import-code-unknown a.xml Fuse F Switch.normalOpen");
    let text = whole().replacen("Switch.normalOpen>", "Switch.open>", 2);
    let found = lines(&import(MAPPING, &text));
    assert!(found.iter().any(|line| line.starts_with("missing-field a.xml Fuse F")), "{found:#?}");
}

/// The state of one phase alone is nothing a sheet can say: a switch with a phase closed is not open.
#[test]
fn phases_that_stand_apart_are_refused() {
    let with = |open: &str, of: &str| {
        let mut text = whole();
        let says = [("SwitchPhase.Switch", of), ("SwitchPhase.normalOpen", open)];
        object(&mut text, "SwitchPhase", "F-A", &says);
        import(MAPPING, &text)
    };
    assert!(with("false", "#F").sheet.is_some());
    assert!(with("0", "#F").sheet.is_some());
    check(&with("true", "#F"), "import-phases-apart a.xml SwitchPhase F-A SwitchPhase.normalOpen");
    let missing = "import-reference-missing a.xml SwitchPhase F-A SwitchPhase.Switch";
    check(&with("false", "#G"), missing);
}

/// Whole, the line would lead past an open cut, and a tap on it would be joined to nothing.
#[test]
fn a_line_that_is_cut_or_tapped_in_its_middle_is_refused() {
    for (class, names) in [("Cut", "Cut.ACLineSegment"), ("Clamp", "Clamp.ACLineSegment")] {
        let mut text = whole();
        object(&mut text, class, "K", &[(names, "#C"), ("Switch.normalOpen", "true")]);
        check(&import(MAPPING, &text), &format!("import-line-in-parts a.xml {class} K {names}"));
    }
}

/// The usage point may name its equipment, or the equipment its usage point.
#[test]
fn a_usage_point_is_where_its_equipment_is() {
    let plain = taken(MAPPING, &whole());
    let named = "  <cim:UsagePoint.Equipments rdf:resource=\"#E\"/>\n";
    assert!(whole().contains(named));
    let mut back = whole().replace(named, "");
    back.push_str(
        "<cim:EnergyConsumer rdf:about=\"#E\"><cim:Equipment.UsagePoints rdf:resource=\"#V1\"/>\
         </cim:EnergyConsumer>\n",
    );
    assert_eq!(taken(MAPPING, &back), plain);
    // Panels at the same node are one place, at another they are two.
    let second = |node: &str| {
        let mut text = whole().replace(named, &format!("{named}{}", named.replace("#E", "#PV")));
        object(&mut text, "PowerElectronicsConnection", "PV", &[]);
        terminals(&mut text, "PV", &[node]);
        import(MAPPING, &text)
    };
    assert_eq!(second("n-v1").sheet, Some(plain));
    check(&second("n-s1"), "import-cell-wrong a.xml UsagePoint V1 node.equipment");
    // Of a transformer or a line nothing says which end is the customer's.
    for at in ["#X", "#W"] {
        let text = whole().replace(named, &named.replace("#E", at));
        let found = lines(&import(MAPPING, &text));
        let missing = "missing-field a.xml UsagePoint V1";
        assert!(found.iter().any(|line| line.starts_with(missing)), "{at}: {found:#?}");
    }
}

/// A model without usage points: what consumes is the service.
#[test]
fn what_consumes_is_a_service_whatever_its_class() {
    for class in ["EnergyConsumer", "ConformLoad", "NonConformLoad", "StationSupply"] {
        let mapping = MAPPING.replace("of = \"UsagePoint\"", &format!("of = \"{class}\""));
        let meters = "\"~UsagePoint.Equipments/~EndDevice.UsagePoint/";
        let mapping = mapping.replace("\"~EndDevice.UsagePoint/", meters);
        let mapping = mapping.replace(
            "{ column = \"UsagePoint.ratedCurrent\", unit = \"A\" }",
            "{ value = 200, because = \"invented\" }",
        );
        let text = whole().replace(
            "<cim:EnergyConsumer rdf:ID=\"E\">\n</cim:EnergyConsumer>",
            &format!(
                "<cim:{class} rdf:ID=\"E\"><cim:IdentifiedObject.name>1 Quay Steps\
                 </cim:IdentifiedObject.name><cim:PowerSystemResource.Location \
                 rdf:resource=\"#V1-at\"/></cim:{class}>"
            ),
        );
        assert!(text.contains(&format!("<cim:{class} rdf:ID=\"E\">")), "{class}");
        let plant = taken(&mapping, &text);
        let service = &plant.services[&id("E")];
        assert_eq!(service.node.to_string(), "n-v1", "{class}");
        assert_eq!(service.meters, ["40171"], "{class}");
    }
}

/// A model that holds bare square millimetres has their unit put after them by the mapping; left out,
/// no other size is taken for them.
#[test]
fn square_millimetres_come_in_with_their_unit() {
    let column = "\"PowerSystemResource.PSRType/IdentifiedObject.name\"";
    let metric = MAPPING.replace(column, &format!("{{ column = {column}, after = \" mm2\" }}"));
    let text = whole().replace(">1/0<", ">50<").replace(">4/0<", ">150<");
    let plant = taken(&metric, &text);
    assert_eq!(plant.cables[&id("C")].size, "50 mm2");
    assert_eq!(plant.sets[&id("W")].size, "150 mm2");
    let bare = lines(&import(MAPPING, &text));
    let refused =
        |of: &str| bare.iter().any(|line| line.starts_with("impossible-size") && line.contains(of));
    assert!(refused(" C ") && refused(" W "), "{bare:#?}");
}
