//! Drawings of the invented row of two pads, to be looked at before they are committed.
//! `COLDLUG_GOLDEN=write cargo test -p coldlug-tests --test golden` writes them anew.

use std::path::PathBuf;

use coldlug_core::{
    diagram::{Asked, Dress, Lifted, Room, Stands, diagram},
    isolate::{Request, isolate},
    mapsheet,
    plant::{Plant, SwitchState},
    quantity::{AssetId, Instant, NodeId},
    rule_sheet::RuleSheet,
    words::Words,
};
use coldlug_tests::places;

fn id(text: &str) -> AssetId {
    AssetId::new(text).expect("a name")
}

fn node(text: &str) -> NodeId {
    NodeId::new(text).expect("a name")
}

fn sheet() -> Plant {
    let path = places::root().join("bindings/phone/examples/ready_folder/map_sheet.geojson");
    mapsheet::read(&std::fs::read(path).expect("the sheet")).expect("a sound sheet").plant
}

/// One leg off; all off; proven dead and shorted: as a job at the second set goes.
fn courses() -> [(&'static str, &'static str, Stands); 5] {
    let open = |all: &[&str]| all.iter().map(|one| (id(one), SwitchState::Open)).collect();
    let lug = |legs| [(id("P1-lug2"), Lifted { legs, of: 2, capped: true })].into();
    let one_leg =
        Stands { states: open(&["P1V2/meter", "P1V2/main"]), lifted: lug(1), ..Stands::default() };
    let opened = Stands {
        states: open(&["P1V2/meter", "P1V2/main", "P1-lug2"]),
        lifted: lug(2),
        ..Stands::default()
    };
    let at = Instant { wall_ms: 1_795_506_060_000, boot: "boot".into(), mono_ms: 0 };
    let dead = ["P1V2", "P1V2:load", "P1:s2"].map(|name| (node(name), at.clone()));
    let proven = Stands { proven: dead.into(), shorted: [node("P1:s2")].into(), ..opened.clone() };
    let grounded = Stands {
        states: open(&["CO1", "P1-fuse"]),
        grounded: [node("P1:pri")].into(),
        ..Stands::default()
    };
    [
        ("record", "base-line-side", Stands::default()),
        ("one-leg-off", "base-line-side", one_leg),
        ("opened", "base-both-sides", opened),
        ("proven-dead", "base-both-sides", proven),
        ("grounded", "pad-primary", grounded),
    ]
}

#[test]
fn drawings_are_as_they_were_looked_at() {
    let plant = sheet();
    let words = Words::english().expect("sentences");
    let folder: PathBuf = places::root().join("tests/golden/diagrams");
    let write = std::env::var("COLDLUG_GOLDEN").is_ok_and(|value| value == "write");
    for (name, scope, stands) in courses() {
        let request = Request::new(id("P1V2"), scope.parse().expect("a scope"));
        let found = isolate(&plant, &request, &RuleSheet::default()).expect("a question");
        for (room, of) in [(Room::Page, ""), (Room::Pocket, "-pocket")] {
            let (plan, stands) = (found.plans.first(), &stands);
            let asked = Asked { plant: &plant, found: &found, plan, stands, room };
            let svg = diagram(&asked, &words).expect("a drawing").svg(Dress::Alone) + "\n";
            let path = folder.join(format!("{name}{of}.svg"));
            if write {
                std::fs::create_dir_all(&folder).expect("a folder");
                std::fs::write(&path, &svg).expect("written");
            }
            let looked_at = std::fs::read_to_string(&path)
                .unwrap_or_else(|why| panic!("{}: {why}", path.display()));
            let same = svg == looked_at;
            assert!(same, "{name}{of} is drawn otherwise now: look at it, then write it anew");
        }
    }
}
