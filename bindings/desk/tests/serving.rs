//! A desk at work: start, enrol, prepare, sync; and again after it was stopped.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "parts of tests stop a test that has lost its footing"
)]

mod people;

use std::sync::Arc;

use coldlug_core::{
    exchange::{SheetAsked, SheetHere, SheetKind},
    log::sha256,
};
use people::{Browser, Made, Phone, sheet, start};

#[test]
fn a_job_is_prepared_and_reaches_a_phone() {
    let folder = tempfile::tempdir().unwrap();
    let made = Arc::new(Made::default());
    let desk = start(folder.path(), &made);
    let dispatcher = Browser::first(&desk);
    let mut phone = Phone::enrolled(&dispatcher, "phone-pad", "lineworker-1");
    let (map, service) = sheet();
    let job = dispatcher.prepare(&dispatcher.bring(&map), &service, &["phone-pad"]);
    assert_eq!(job.as_str(), "J-0001");
    let answer = phone.offer();
    let news = &answer.jobs[&job];
    assert_eq!(phone.logs[&job].len(), 1);
    for (kind, hash) in
        [(SheetKind::MapSheet, news.map_sheet), (SheetKind::RuleSheet, news.rule_sheet)]
    {
        let asked = SheetAsked { job: job.clone(), sheet: kind };
        let (_, bytes) = phone.say::<_, SheetHere>("sheet", asked, &[]).unwrap();
        assert_eq!(sha256(&bytes), hash);
    }
    let page = dispatcher.get(&format!("/jobs/{job}"));
    assert_eq!(page.status, 200, "{}", page.text());
    assert!(page.text().contains(&service));
    let record = dispatcher.get(&format!("/jobs/{job}/record"));
    coldlug_core::log::verify(&record.body).unwrap();
    for path in ["/", "/map-sheets", "/devices", "/dispatchers", "/jobs/new", "/health"] {
        assert_eq!(dispatcher.get(path).status, 200, "{path}");
    }

    // Stopped and started again, it knows everybody.
    desk.stop();
    let desk = start(folder.path(), &made);
    assert_eq!(desk.first_code(), None);
    let root = format!("http://{}", desk.address());
    let back = Browser { root: root.clone(), ..dispatcher };
    assert_eq!(back.get(&format!("/jobs/{job}")).status, 200);
    phone.browser.root = root;
    assert_eq!(phone.offer().jobs[&job].have, news.have);
}
