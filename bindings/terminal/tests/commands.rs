//! The program as it is run: answers, exit codes, and no panic on whatever is typed.
#![allow(
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "a test program: an expectation that fails is a test that fails"
)]

use serde_json::json;
use std::{
    io::{BufRead, BufReader},
    process::{Command, Output, Stdio},
};

fn coldlug(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_coldlug")).args(args).output().expect("coldlug starts")
}

fn code(args: &[&str]) -> i32 {
    coldlug(args).status.code().expect("coldlug ends by itself")
}

#[test]
fn rules_and_schemas_are_printed() {
    let book = held_to("rules", &["rules"]);
    assert!(book["rules"].as_array().expect("rules").len() > 40);
    let forms = coldlug(&["schema", "--json"]);
    let names: Vec<String> = serde_json::from_slice(&forms.stdout).expect("JSON");
    for name in &names {
        let schema = coldlug(&["schema", name]);
        assert!(schema.status.success(), "{name}");
        let schema: serde_json::Value = serde_json::from_slice(&schema.stdout).expect("JSON");
        assert!(schema.get("$schema").is_some(), "{name}");
    }
}

#[test]
fn bad_usage_is_2_and_names_what_to_do() {
    assert_eq!(code(&["no-such-command"]), 2);
    let unknown = coldlug(&["schema", "no-such-form"]);
    assert_eq!(unknown.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&unknown.stderr).contains("rules"));
}

#[test]
fn help_tells_the_exit_codes() {
    let help = coldlug(&["--help"]);
    assert!(String::from_utf8_lossy(&help.stdout).contains("Exit codes"));
}

#[test]
fn a_simulation_is_held_to_its_schema_and_refuses_what_it_does_not_know() {
    let form = held_to("simulation", &["simulate", "--jobs", "40", "--tolerance", "1,2"]);
    assert_eq!(form["policies"].as_array().expect("policies").len(), 5);
    assert_eq!(form["tolerances"].as_array().expect("tolerances").len(), 2);
    let unknown = coldlug(&["simulate", "--jobs", "1", "--faults", "hail"]);
    assert_eq!(unknown.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&unknown.stderr).contains("clamp-stuck-at-zero"));
}

/// The invented town as a map sheet in a file.
fn town(dir: &std::path::Path) -> String {
    let world = coldlug_field::town::hillside(1);
    let sheet = coldlug_field::record::Record::true_of(&world).map_sheet(&world);
    let path = dir.join("town.geojson");
    std::fs::write(&path, sheet.to_string()).expect("written");
    path.display().to_string()
}

/// The answer of a command with `--json`, held to the schema the program prints for it.
fn held_to(form: &str, args: &[&str]) -> serde_json::Value {
    let args: Vec<&str> = args.iter().copied().chain(["--json"]).collect();
    let answer = json(&coldlug(&args));
    let schema = json(&coldlug(&["schema", form]));
    let faults: Vec<String> = jsonschema::validator_for(&schema)
        .expect("a JSON Schema")
        .iter_errors(&answer)
        .map(|fault| format!("{}: {fault}", fault.instance_path()))
        .collect();
    assert!(faults.is_empty(), "{form}: {faults:#?}");
    answer
}

fn json(out: &Output) -> serde_json::Value {
    serde_json::from_slice(&out.stdout)
        .unwrap_or_else(|e| panic!("{e}: {}", String::from_utf8_lossy(&out.stderr)))
}

#[test]
fn a_whole_sheet_is_accepted_and_a_broken_one_refused_with_its_place() {
    let dir = tempfile::tempdir().expect("a folder");
    let map = town(dir.path());
    assert_eq!(code(&["check", &map]), 0);
    let answer = held_to("check", &["check", &map]);
    assert_eq!(answer["sheet"]["services"].as_u64().map(|n| n > 349), Some(true));

    let text = std::fs::read_to_string(&map).expect("text");
    let broken = dir.path().join("broken.geojson");
    std::fs::write(&broken, text.replacen("\"volts_line_to_line\"", "\"volts\"", 1))
        .expect("written");
    let broken = broken.display().to_string();
    assert_eq!(code(&["check", &broken]), 1);
    let findings = held_to("check", &["check", &broken])["findings"].clone();
    assert!(findings.to_string().contains("volts_line_to_line"), "{findings}");
    assert_eq!(code(&["check", "/nowhere/at-all"]), 4);
}

#[test]
fn fault_current_by_numbers_and_by_the_record() {
    let numbers = "fault-current --kva 25 --percent-z 1.6 --metal al --size 4/0 --feet 100 --json";
    let amps = json(&coldlug(&numbers.split(' ').collect::<Vec<_>>()));
    // The same circuit in OpenDSS: 6510.41, 10018.25, 4633.47, 4221.28.
    let near = |key: &str, want: f64| {
        assert!((amps[key].as_f64().expect("a number") - want).abs() < 0.5, "{key}: {amps}");
    };
    near("pad_line_to_line_amps", 6510.41);
    near("pad_line_to_neutral_amps", 10018.25);
    near("meter_line_to_line_amps", 4633.47);
    near("meter_line_to_neutral_amps", 4221.28);
    let dir = tempfile::tempdir().expect("a folder");
    let map = town(dir.path());
    let by_map = held_to("fault-current", &["fault-current", "--map", &map, "--service", "V014"]);
    assert!(by_map["meter_line_to_line_amps"].as_f64().expect("a number") > 500.0, "{by_map}");
    assert_eq!(by_map["conductor_celsius"].as_f64(), Some(25.0));
    let smallest = &by_map["smallest"]["meter_line_to_line_amps"];
    assert!(smallest.as_f64() < by_map["meter_line_to_line_amps"].as_f64(), "{by_map}");
    assert_eq!(by_map["clothing"]["cal_per_cm2"].as_str(), Some("8"));
    let wye = "fault-current --kva 300 --percent-z 4 --system 480y/277 --withstand-amps 5000";
    let wye = held_to("fault-current", &wye.split(' ').collect::<Vec<_>>());
    assert_eq!(wye["withstand"][0]["over"], true, "{wye}");
    assert_eq!(wye["clothing"]["cal_per_cm2"], serde_json::Value::Null);
    // 300 kVA at 480 V is 360.8 A; 4 % lets 25 times that flow.
    let three = wye["pad_three_phase_amps"].as_f64().expect("a number");
    assert!((three - 25.0 * 300e3 / (480.0 * 3.0_f64.sqrt())).abs() < 0.1, "{wye}");
    assert_eq!(code(&["fault-current", "--map", &map, "--service", "V999"]), 2);
    assert_eq!(code(&["fault-current", "--kva", "nan", "--percent-z", "1.6"]), 2);
}

/// Square millimetres are a size with their unit; a bare number is an AWG size or none.
#[test]
fn fault_current_by_square_millimetres() {
    let asked = |size| {
        let base = "fault-current --kva 25 --percent-z 1.6 --metal al --feet 100 --json --size";
        coldlug(&base.split(' ').chain([size]).collect::<Vec<_>>())
    };
    let amps = |size| json(&asked(size))["meter_line_to_line_amps"].as_f64().expect("a number");
    // 4/0 is 107.2 mm2: it lies between its neighbours.
    assert!(amps("95 mm2") < amps("4/0") && amps("4/0") < amps("120 mm2"));
    let refused = asked("95");
    assert_eq!(refused.status.code(), Some(2));
    let said = String::from_utf8_lossy(&refused.stderr).into_owned();
    assert!(said.contains("if it is metric: '95 mm2'"), "{said}");
}

/// A record of the documented examples, one device, one signature an entry.
fn record() -> Vec<u8> {
    use coldlug_core::{
        event::{examples, parse_events},
        log::{DeviceKey, Log, write_record},
        quantity::{DeviceId, JobId},
    };
    let device = DeviceId::new("phone-a").expect("a name");
    let key = DeviceKey::from_seed(&[7; 32]);
    let mut log = Log::new(JobId::new("J-0417").expect("a name"));
    log.enrol(device.clone(), key.public()).expect("enrolled");
    for mut event in parse_events(examples().as_bytes()).expect("events") {
        event.device = device.clone();
        log.append(event, &key).expect("taken");
    }
    write_record(&log, &device, &key).expect("a record")
}

#[test]
fn a_record_is_whole_or_its_line_is_named() {
    let dir = tempfile::tempdir().expect("a folder");
    let path = dir.path().join("record.jsonl");
    let file = path.display().to_string();
    std::fs::write(&path, record()).expect("written");
    assert_eq!(code(&["verify", &file]), 0);
    assert_eq!(held_to("record", &["verify", &file])["whole"], true);
    let mut bytes = record();
    let at = bytes.iter().position(|&b| b == b'\n').expect("a line") + 40;
    bytes[at] ^= 1;
    std::fs::write(&path, bytes).expect("written");
    assert_eq!(code(&["verify", &file]), 1);
    assert_eq!(held_to("record", &["verify", &file])["fault"]["line"], 2);
}

#[test]
fn a_plan_lifts_two_legs_and_nobody_else_goes_out() {
    let dir = tempfile::tempdir().expect("a folder");
    let map = town(dir.path());
    let plan = |scope: &str| {
        held_to("plan", &["plan", "--map", &map, "--service", "V093", "--scope", scope])
    };
    let best = &plan("base-line-side")["plans"][0];
    assert_eq!(best["customers_out"].as_array().map(Vec::len), Some(0), "{best}");
    assert_eq!(best["operations"], 3, "{best}");
    assert!(plan("pad-primary")["plans"].as_array().is_some_and(|plans| !plans.is_empty()));
    for (service, scope) in [("V999", "base-line-side"), ("V093", "attic"), ("V 1", "pad-primary")]
    {
        assert_eq!(code(&["plan", "--map", &map, "--service", service, "--scope", scope]), 2);
    }
}

/// Amps that were read go before what the record lets expect.
#[test]
fn a_plan_holds_amps_that_were_read_against_ratings() {
    let dir = tempfile::tempdir().expect("a folder");
    let map = town(dir.path());
    let ask = ["plan", "--map", &map, "--service", "V093", "--scope", "pad-primary"];
    let best = &held_to("plan", &ask)["plans"][0];
    let elbow = best["openings"].as_array().expect("openings").iter().find(|o| o["hold"] == false);
    let elbow = elbow.expect("something is opened");
    assert_eq!(elbow["expected"]["basis"], "nameplate", "{elbow}");
    let name = elbow["branch"].as_str().expect("a name");
    let read = |amps: &str| held_to("plan", &[&ask[..], &["--amps", amps]].concat());
    let low = &read(&format!("{name}=3.5"))["plans"][0]["openings"];
    assert!(low.to_string().contains(r#""most_amps":4"#), "{low}");
    let over = &read(&format!("{name}=9999"))["not_allowed"];
    let rule = over.as_array().and_then(|all| all.iter().find(|n| n["branch"] == name));
    assert_eq!(rule.map(|n| &n["rule"]), Some(&"over-load-break".into()));
    for bad in ["nowhere=3", "P14", "P14=-1", "P14=few"] {
        assert_eq!(code(&[&ask[..], &["--amps", bad]].concat()), 2, "{bad}");
    }
}

/// A job's events up to amps read at a switch, all three phases alike, with a clamp on a stick.
fn read_in_a_job(map: &str, service: &str, switch: &str, amps: &str) -> String {
    let plant = coldlug_core::mapsheet::read(&std::fs::read(map).expect("a map")).expect("whole");
    let rules = coldlug_core::rule_sheet::RuleSheet::default();
    let sheets = coldlug_core::job::Sheets::new(&plant.plant, &rules);
    let hash = |text: &str| text.parse::<coldlug_core::event::Sha256Hex>().expect("a hash");
    let member = json!({ "person": "lw-a", "role": "lineworker", "device": "phone-a" });
    let clamp = json!({ "id": "stick-1", "class": "clamp", "category": "CAT IV", "range": "600",
        "category_volts": "35000", "resolution": "0.1", "calibration_due_ms": 1_900_000_000_000_i64,
        "accuracy": { "percent": "1", "counts": 3 } });
    let shown = json!({ "unit": "amps", "shown_amps": "12.4", "expected_amps": "12.5" });
    let mut bodies = vec![
        (
            "job-opened",
            json!({ "job": "J-1", "service": service, "scope": "pad-primary",
            "work": "elbow", "map_sheet_sha256": hash(sheets.map_hash()), "crew": [member],
            "rule_sheet_sha256": hash(sheets.rules_hash()),
            "rules_edition": coldlug_core::gate::EDITION }),
        ),
        ("instrument", json!({ "instrument": clamp })),
        (
            "instrument-proven",
            json!({ "instrument": "stick-1", "known": "a heater",
            "known_tolerance_percent": "5", "shown": shown }),
        ),
    ];
    for phase in ["L1", "L2", "L3"] {
        let reading = json!({ "conductor": phase, "amps": amps, "instrument": "stick-1" });
        bodies.push(("amps", json!({ "branch": switch, "reading": reading })));
    }
    let line = |(n, (kind, body)): (i64, (&str, serde_json::Value))| {
        let at = json!({ "wall_ms": 1_790_000_000_000_i64 + n, "boot": "b1", "mono_ms": n });
        json!({ "id": format!("e{n}"), "kind": kind, "version": 1, "at": at,
            "device": "phone-a", "person": "lw-a", "body": body })
        .to_string()
    };
    (1..).zip(bodies).map(line).collect::<Vec<_>>().join("\n") + "\n"
}

#[test]
fn amps_read_in_a_job_reach_its_plan() {
    let dir = tempfile::tempdir().expect("a folder");
    let map = town(dir.path());
    let ask = ["plan", "--map", &map, "--service", "V093", "--scope", "pad-primary"];
    let best = &held_to("plan", &ask)["plans"][0];
    let elbow = best["openings"].as_array().expect("openings").iter().find(|o| o["hold"] == false);
    let name = elbow.expect("something is opened")["branch"].as_str().expect("a name").to_owned();
    let events = dir.path().join("job.jsonl");
    std::fs::write(&events, read_in_a_job(&map, "V093", &name, "3.4")).expect("written");
    let path = events.display().to_string();
    let plan = held_to("plan", &[&ask[..], &["--events", &path]].concat());
    let opening = plan["plans"][0]["openings"]
        .as_array()
        .and_then(|all| all.iter().find(|opening| opening["branch"] == name.as_str()));
    let expected = &opening.expect("still the best")["expected"];
    assert_eq!(expected["basis"], "read", "{expected}");
    assert_eq!((&expected["most_amps"], &expected["read_at"]), (&4.into(), &"14:13 UTC".into()));
    let said = coldlug(&[&ask[..], &["--events", &path]].concat());
    let said = String::from_utf8_lossy(&said.stdout).into_owned();
    assert!(said.contains("at most 4 A, read at 14:13 UTC"), "{said}");
}

#[test]
fn a_plan_is_drawn_into_a_file() {
    let dir = tempfile::tempdir().expect("a folder");
    let map = town(dir.path());
    let file = dir.path().join("plan.svg");
    let drawing = file.display().to_string();
    let ask = ["plan", "--map", &map, "--service", "V093", "--scope", "base-line-side"];
    held_to("plan", &[&ask[..], &["--diagram", &drawing]].concat());
    let svg = std::fs::read_to_string(&file).expect("a drawing");
    assert!(svg.starts_with("<svg") && svg.contains("V093"), "{svg}");
    let nowhere = dir.path().join("none/plan.svg").display().to_string();
    assert_ne!(code(&[&ask[..], &["--diagram", &nowhere]].concat()), 0);
}

#[test]
fn judge_refuses_events_that_are_pinned_to_another_map() {
    let dir = tempfile::tempdir().expect("a folder");
    let map = town(dir.path());
    let events = dir.path().join("events.jsonl");
    std::fs::write(&events, coldlug_core::event::examples()).expect("written");
    let events = events.display().to_string();
    let answer = coldlug(&["judge", "--map", &map, "--events", &events]);
    assert_eq!(answer.status.code(), Some(2));
    let says = String::from_utf8_lossy(&answer.stderr).into_owned();
    assert!(says.contains("map sheet and rule sheet"), "{says}");
}

#[test]
fn the_demo_leaves_what_the_other_commands_read() {
    let dir = tempfile::tempdir().expect("a folder");
    let out = dir.path().display().to_string();
    let demo = coldlug(&["demo", "--once", "--seed", "3", "--out", &out]);
    let said = String::from_utf8_lossy(&demo.stdout).into_owned();
    assert!(demo.status.success(), "{}", String::from_utf8_lossy(&demo.stderr));
    assert!(!said.contains('{'), "a place of a sentence was not filled: {said}");
    assert_eq!(said.matches("REFUSED").count(), 3, "{said}");
    let file = |name: &str| dir.path().join(name).display().to_string();
    let (map, events) = (file("map-sheet.geojson"), file("job-2-events.jsonl"));
    let judge = ["judge", "--map", &map, "--events", &events];
    let judged = held_to("judgement", &judge);
    assert_eq!(judged["verdict"], "identified", "{judged:#}");
    let until = |id: &str| held_to("judgement", &[&judge[..], &["--until", id]].concat());
    let text = std::fs::read_to_string(&events).expect("events");
    let shown = text.lines().find(|line| line.contains("\"verdict\":\"contradicted\""));
    let shown: serde_json::Value = serde_json::from_str(shown.expect("shown")).expect("JSON");
    let then = until(shown["id"].as_str().expect("an id"));
    assert_eq!(then["verdict"], "contradicted", "{then:#}");
    let service = judged["service"].as_str().expect("a service");
    let set = &judged["set"];
    let ask = ["plan", "--map", &map, "--events", &events, "--service", service];
    let plan = held_to("plan", &[&ask[..], &["--scope", "base-both-sides"]].concat());
    let lifts = plan["plans"][0]["openings"]
        .as_array()
        .expect("openings")
        .iter()
        .any(|opening| opening["pad"] == set["pad"] && opening["position"] == set["position"]);
    assert!(lifts, "the corrected map leads to another set: {plan:#}");
    for job in ["job-1-record.jsonl", "job-2-record.jsonl"] {
        assert_eq!(held_to("record", &["verify", &file(job)])["whole"], true);
    }
    assert_eq!(code(&["demo", "--once", "--seed", "4", "--out", &out]), 2, "another run's folder");
    assert_eq!(judged, held_to("judgement", &judge), "a refused run touched the folder");
}

#[test]
fn a_folder_whose_desk_was_handed_over_is_not_played_in_again() {
    for hold in [&["--hold"][..], &[]] {
        let dir = tempfile::tempdir().expect("a folder");
        let out = dir.path().display().to_string();
        let demo = ["demo", "--seed", "3", "--out", &out];
        let mut left = Command::new(env!("CARGO_BIN_EXE_coldlug"))
            .args(demo)
            .args(hold)
            .stdout(Stdio::piped())
            .spawn()
            .expect("coldlug starts");
        let told = BufReader::new(left.stdout.take().expect("piped")).lines();
        let desk = told.map_while(Result::ok).find(|line| line.contains("http://127"));
        left.kill().expect("killed");
        left.wait().expect("ended");
        assert!(desk.is_some(), "{hold:?}: the demo is left running");
        let again = coldlug(&[&demo[..], &["--once"]].concat());
        assert_eq!(again.status.code(), Some(2), "{hold:?}");
        let says = String::from_utf8_lossy(&again.stderr).into_owned();
        let words: Vec<&str> =
            says.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty()).collect();
        assert!(words.join(" ").contains("holds another run of the demo"), "{says}");
    }
}

#[test]
fn files_of_others_become_a_sheet_or_nothing_is_written() {
    let dir = tempfile::tempdir().expect("a folder");
    let (map, to) = (town(dir.path()), dir.path().join("to.geojson").display().to_string());
    let answer = held_to("import", &["import", "--from", &map, "--to", &to]);
    assert_eq!(answer["accepted"], true);
    let checked = held_to("check", &["check", &to]);
    assert_eq!(checked["sheet"], answer["sheet"], "what was written is what was read");

    let write = |name: &str, text: &str| {
        let path = dir.path().join(name);
        std::fs::write(&path, text).expect("written");
        path.display().to_string()
    };
    let posts = write("posts.csv", "name,x,y\nQ1,-30.2,41.6\nQ2,here,41.6\n");
    let mapping = write(
        "map.toml",
        "[sheet]\nname = \"Invented\"\nedition = \"1\"\nbounds = [-31, 41, -30, 42]\n[[layer]]\n\
         of = \"posts\"\nkind = \"pedestal\"\nlon = \"x\"\nlat = \"y\"\nsystem = \"EPSG:4326\"\n\
         fields = { id = \"name\", node = \"name\" }\n",
    );
    let refused = dir.path().join("refused.geojson");
    let refused_to = refused.display().to_string();
    let args = ["import", "--from", &posts, "--mapping", &mapping, "--to", &refused_to];
    let out = coldlug(&args);
    assert_eq!(out.status.code(), Some(1));
    let said = String::from_utf8_lossy(&out.stdout);
    assert!(said.contains("posts.csv, posts, line 3, x"), "{said}");
    assert!(said.contains("'here' cannot be taken as number"), "{said}");
    assert!(said.contains("Refused whole"), "{said}");
    assert_eq!(held_to("import", &args)["accepted"], false);
    let all = dir.path().join("all.jsonl").display().to_string();
    assert_eq!(code(&[&args[..], &["--findings", &all]].concat()), 1);
    let lines = std::fs::read_to_string(&all).expect("every finding, one a line");
    assert!(lines.lines().any(|line| line.contains("\"import-cell-wrong\"")), "{lines}");
    assert!(!refused.exists());
    // Nor is anything left where the sheet was laid out.
    let room = tempfile::tempdir().expect("a folder");
    let left = Command::new(env!("CARGO_BIN_EXE_coldlug"))
        .args(args)
        .env("SQLITE_TMPDIR", room.path())
        .output();
    assert_eq!(left.expect("it runs").status.code(), Some(1));
    let all = |path: &std::path::Path| std::fs::read_dir(path).expect("a folder").count();
    assert_eq!(
        (all(room.path()), all(dir.path())),
        (0, 5),
        "sheet, copy, table, mapping, findings"
    );
    assert_eq!(code(&["import", "--from", "/nowhere/at-all", "--to", &to]), 4);
    assert_eq!(code(&["import", "--to", &to]), 2);
}

/// A sheet beyond what a phone takes is still checked: it is read feature by feature.
#[test]
fn a_sheet_of_more_features_than_a_phone_takes_is_checked_all_the_same() {
    let dir = tempfile::tempdir().expect("a folder");
    let text = std::fs::read_to_string(town(dir.path())).expect("text");
    let mut sheet: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    let features = sheet["features"].as_array_mut().expect("features");
    let place = features.iter().find(|f| f["properties"]["kind"] == "pad").expect("a pad").clone();
    for number in 0..coldlug_core::mapsheet::MOST_FEATURES {
        let mut pad = place.clone();
        pad["properties"]["id"] = format!("MORE{number}").into();
        pad["properties"]["tags"] = serde_json::json!([]);
        pad["properties"]["contains"] = serde_json::json!([]);
        features.push(pad);
    }
    let path = dir.path().join("large.geojson");
    std::fs::write(&path, sheet.to_string()).expect("written");
    let large = path.display().to_string();
    let answer = json(&coldlug(&["check", &large, "--json"]));
    let pads = answer["sheet"]["pads"].as_u64().expect("accepted");
    assert!(pads > coldlug_core::mapsheet::MOST_FEATURES as u64);
    std::fs::write(&path, text.replacen("\"features\":[", "\"features\":[{},", 1))
        .expect("written");
    assert_eq!(code(&["check", &large]), 1, "and a small one that is wrong is refused");
}
