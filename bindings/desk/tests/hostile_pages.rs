//! Forms, files, passwords and codes that are malformed, oversized, forged or guessed.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "parts of tests stop a test that has lost its footing"
)]

mod people;

use std::sync::Arc;

use coldlug_desk::{Running, Strength};
use people::{Browser, Made, PASSWORD, Phone, sheet, start, start_with};

fn begun() -> (tempfile::TempDir, Arc<Made>, Running, Browser) {
    let folder = tempfile::tempdir().unwrap();
    let made = Arc::new(Made::default());
    let desk = start(folder.path(), &made);
    let dispatcher = Browser::first(&desk);
    (folder, made, desk, dispatcher)
}

#[test]
fn the_first_code_makes_one_dispatcher_and_no_second() {
    let folder = tempfile::tempdir().unwrap();
    let made = Arc::new(Made::default());
    let desk = start(folder.path(), &made);
    let stranger = Browser::at(&format!("http://{}", desk.address()));
    assert_eq!(stranger.get("/").location, "/start");
    let code = desk.first_code().unwrap().to_owned();
    let start_by = |browser: &Browser, code: &str, name: &str, password: &str| {
        browser.post("/start", &[("code", code), ("name", name), ("password", password)]).status
    };
    assert_eq!(start_by(&stranger, "ACDEFGHJKM", "d-1", PASSWORD), 400);
    assert_eq!(start_by(&stranger, &code, "d-1", "short"), 400);
    assert_eq!(start_by(&stranger, &code, "d 1<script>", PASSWORD), 400);
    assert_eq!(start_by(&stranger, &code, "d-1", &"long".repeat(1000)), 400);
    assert_eq!(start_by(&stranger, &code, "d-1", PASSWORD), 303);
    assert_eq!(start_by(&stranger, &code, "d-2", PASSWORD), 400, "used");
    assert_eq!(stranger.get("/").location, "/sign-in");
    desk.stop();
    let desk = start(folder.path(), &made);
    assert_eq!(desk.first_code(), None);
    // Another start before anybody came: the code before is void.
    let fresh = tempfile::tempdir().unwrap();
    let one = start(fresh.path(), &made);
    let old = one.first_code().unwrap().to_owned();
    one.stop();
    let two = start(fresh.path(), &made);
    let stranger = Browser::at(&format!("http://{}", two.address()));
    assert_eq!(start_by(&stranger, &old, "d-1", PASSWORD), 400);
    made.pass_ms(20 * 60 * 1000 + 1);
    assert_eq!(start_by(&stranger, two.first_code().unwrap(), "d-1", PASSWORD), 400, "late");
}

#[test]
fn a_wrong_password_and_an_unknown_name_look_the_same() {
    let (_folder, made, _desk, dispatcher) = begun();
    let sign_in = |name: &str, password: &str| {
        let came = dispatcher.post("/sign-in", &[("name", name), ("password", password)]);
        (came.status, came.text().replace(name, "NAME"))
    };
    let wrong = sign_in("dispatcher-1", "seven wet herons wade");
    assert_eq!(wrong.0, 400);
    assert_eq!(sign_in("nobody-here", PASSWORD), wrong);
    assert_eq!(sign_in("dispatcher-1", PASSWORD).0, 303);
    let mut two = dispatcher.clone();
    let came = two.post("/sign-in", &[("name", "dispatcher-1"), ("password", PASSWORD)]);
    let set = came.headers["set-cookie"].to_str().unwrap().to_owned();
    assert!(set.contains("HttpOnly") && set.contains("SameSite=Strict"), "{set}");
    two.come_in(&came);
    assert_eq!(two.post("/sign-out", &[]).status, 303);
    assert_eq!(two.get("/").location, "/sign-in", "the cookie is worth nothing any more");
    assert_eq!(dispatcher.get("/").status, 200, "another session goes on");
    made.pass_ms(2 * 60 * 60 * 1000 + 1);
    assert_eq!(dispatcher.get("/").location, "/sign-in", "not used for two hours");
}

#[test]
fn guessing_is_slowed_down() {
    let folder = tempfile::tempdir().unwrap();
    let made = Arc::new(Made::default());
    let strength = Strength { tries: 1, ..Strength::PLAY };
    let desk = start_with(folder.path(), &made, strength);
    let browser = Browser::at(&format!("http://{}", desk.address()));
    let guess = |path: &str| {
        let fields = [("name", "dispatcher-1"), ("password", PASSWORD), ("code", "ACDEFGHJKM")];
        browser.post(path, &fields).status
    };
    let answers: Vec<u16> = (0..40).map(|_| guess("/sign-in")).collect();
    assert_eq!((answers[0], answers[39]), (400, 429));
    assert_eq!(guess("/start"), 429);
    let mut phone = Phone::new(&browser.root, "phone-x");
    assert_eq!(phone.enrol("ACDEFGHJKM").unwrap_err(), "too-many-tries");
    assert_eq!(browser.get(&format!("/at/{}", "0".repeat(32))).status, 429);
    assert_eq!(browser.get("/health").status, 200);
    made.pass_ms(60_000);
    assert_eq!(guess("/sign-in"), 400);
}

#[test]
fn forms_that_are_not_ours_change_nothing() {
    let (_folder, _made, _desk, dispatcher) = begun();
    let form = "application/x-www-form-urlencoded";
    let fields = "device=phone-x&person=lineworker-1";
    let with = |csrf: &str| format!("csrf={csrf}&{fields}");
    assert_eq!(dispatcher.send("/devices", form, fields.as_bytes()).status, 403);
    assert_eq!(dispatcher.send("/devices", form, with("x").as_bytes()).status, 403);
    let json = format!("{{\"csrf\":\"{}\"}}", dispatcher.csrf);
    assert_eq!(dispatcher.send("/devices", "application/json", json.as_bytes()).status, 403);
    let elsewhere = dispatcher.send_with(
        "/devices",
        form,
        with(&dispatcher.csrf).as_bytes(),
        &[("sec-fetch-site", "cross-site")],
    );
    assert_eq!(elsewhere.status, 403);
    let own = dispatcher.send("/devices", form, with(&dispatcher.csrf).as_bytes());
    assert_eq!(own.status, 200);
    for bad in ["%ff%fe=1&csrf=", "a=%zz", "&&&===", "csrf=%00"] {
        let status = dispatcher.send("/devices", form, bad.as_bytes()).status;
        assert!([400, 403].contains(&status), "{bad}: {status}");
    }
    let large = format!("{}&note={}", with(&dispatcher.csrf), "a".repeat(70_000));
    assert_eq!(dispatcher.send("/devices", form, large.as_bytes()).status, 413);
    let many = format!("{}{}", with(&dispatcher.csrf), "&a=1".repeat(3000));
    assert_eq!(dispatcher.send("/devices", form, many.as_bytes()).status, 413);
    let cut = "multipart/form-data; boundary=cut";
    assert_eq!(dispatcher.send("/devices", cut, b"--cut\r\nnot a part").status, 400);
    assert_eq!(dispatcher.send("/devices", "multipart/form-data", b"x").status, 400);
}

#[test]
fn a_job_is_prepared_whole_or_not_at_all() {
    let (_folder, _made, _desk, dispatcher) = begun();
    let (map, service) = sheet();
    let hash = dispatcher.bring(&map);
    Phone::enrolled(&dispatcher, "phone-pad", "lineworker-1");
    let good = [
        ("sheet", hash.as_str()),
        ("service", &service),
        ("scope", "base-both-sides"),
        ("crew", "phone-pad"),
    ];
    let with = |name: &str, value: &str| {
        let mut fields: Vec<(&str, &str)> =
            good.iter().copied().filter(|(field, _)| *field != name).collect();
        fields.push((name, value));
        dispatcher.post("/jobs", &fields).status
    };
    for (name, value) in [
        ("sheet", ""),
        ("sheet", "../../etc/passwd"),
        ("sheet", &"0".repeat(64)),
        ("service", "nobody"),
        ("service", ""),
        ("scope", "everything"),
        ("crew", "phone-nobody"),
        ("crew", ""),
        ("rules", &"0".repeat(64)),
        ("job", "../J-1"),
        ("job", &"J".repeat(200)),
        ("electrician", "lineworker-1"),
        ("electrician", "dispatcher-1"),
        ("electrician", "<b>"),
        ("work", &"w".repeat(401)),
    ] {
        assert_eq!(with(name, value), 400, "{name}={value}");
    }
    assert_eq!(dispatcher.get("/jobs/J-0001").status, 404, "nothing is half there");
    assert_eq!(with("job", "Hill-7"), 303);
    assert_eq!(with("job", "Hill-7"), 400, "a name is used once");
    assert_eq!(with("job", ""), 303);
    assert_eq!(dispatcher.get("/jobs/J-0001").status, 200);
}

#[test]
fn a_sheet_that_does_not_hold_is_refused_whole() {
    let (_folder, _made, _desk, dispatcher) = begun();
    let (map, service) = sheet();
    let cut = &map[..map.len() / 2];
    for bad in [cut, b"", b"{}", b"\xff\xfe", b"<html>"] {
        let came = dispatcher.upload("/map-sheets", &[("name", "x")], ("sheet", bad));
        assert_eq!(came.status, 400);
    }
    let named = dispatcher.upload("/map-sheets", &[("name", &"n".repeat(200))], ("sheet", &map));
    assert_eq!(named.status, 400);
    let rules = coldlug_core::rule_sheet::RuleSheet::default_text();
    let broken = format!("{rules}\nno_such_limit = 1\n");
    let came = dispatcher.upload("/map-sheets", &[("name", "x")], ("sheet", broken.as_bytes()));
    assert_eq!(came.status, 400);
    let came = dispatcher.upload("/map-sheets", &[("name", "Ours")], ("sheet", rules.as_bytes()));
    assert_eq!(came.location, "/jobs/new");
    let hash = coldlug_core::mapsheet::read(&map).unwrap().hash;
    assert!(!dispatcher.get("/map-sheets").text().contains(&hash), "nothing was taken");
    dispatcher.bring(&map);
    let listed = dispatcher.get(&format!("/jobs/new?q={service}")).text();
    assert!(listed.contains(&hash) && listed.contains("Ours"), "{listed}");
}

#[test]
fn every_answer_carries_its_guards() {
    let (_folder, _made, _desk, dispatcher) = begun();
    for path in ["/", "/sign-in", "/style.css", "/nowhere", "/health"] {
        let came = dispatcher.get(path);
        let policy = came.headers["content-security-policy"].to_str().unwrap();
        assert!(policy.starts_with("default-src 'none'") && !policy.contains("unsafe"), "{path}");
        assert_eq!(came.headers["x-content-type-options"], "nosniff", "{path}");
        assert_eq!(came.headers["referrer-policy"], "no-referrer", "{path}");
        assert!(came.headers.contains_key("cache-control"), "{path}");
        assert!(!came.text().contains(" style=") && !came.text().contains("<script>"), "{path}");
    }
    assert_eq!(dispatcher.get("/").headers["cache-control"], "no-store");
    assert_eq!(dispatcher.get("/jobs/..%2f..%2fdesk.sqlite").status, 404);
}
