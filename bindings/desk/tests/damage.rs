//! What the desk keeps of one job is damaged: it says so, and every other job goes on.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "parts of tests stop a test that has lost its footing"
)]

mod people;

use std::sync::Arc;

use coldlug_core::{
    exchange::{Outcome, Receipt},
    quantity::JobId,
};
use people::{Browser, Made, Phone, sheet, start};

/// The phone writes down that it stopped.
fn stop(phone: &mut Phone, job: &JobId) -> Receipt {
    let hash = phone.write(job, "stopped", r#"{"reason":"rain","made_safe":[]}"#);
    let receipts = phone.offer().receipts;
    receipts.into_iter().find(|receipt| receipt.entry == hash).unwrap()
}

#[test]
fn one_damaged_job_holds_up_no_other() {
    let folder = tempfile::tempdir().unwrap();
    let made = Arc::new(Made::default());
    let desk = start(folder.path(), &made);
    let mut dispatcher = Browser::first(&desk);
    let mut phone = Phone::enrolled(&dispatcher, "phone-pad", "lineworker-1");
    let (map, service) = sheet();
    let map = dispatcher.bring(&map);
    let [damaged, whole] = [(); 2].map(|()| dispatcher.prepare(&map, &service, &["phone-pad"]));
    phone.offer();
    desk.stop();
    let raw = rusqlite::Connection::open(folder.path().join("jobs.sqlite")).unwrap();
    let rows = raw
        .execute("UPDATE entries SET bytes = x'7b7d' WHERE job = ?1", [damaged.as_str()])
        .unwrap();
    assert_eq!(rows, 1);
    raw.close().unwrap();

    let desk = start(folder.path(), &made);
    dispatcher.root = format!("http://{}", desk.address());
    phone.browser.root = dispatcher.root.clone();
    let board = dispatcher.get("/");
    assert_eq!(board.status, 200, "{}", board.text());
    let link = |job: &JobId| format!("href=\"/jobs/{job}\"");
    assert!(board.text().contains(&link(&whole)) && board.text().contains(&link(&damaged)));
    assert!(board.text().contains("desk keeps of these jobs is damaged"), "{}", board.text());
    assert_eq!(dispatcher.get(&format!("/jobs/{whole}")).status, 200);
    let page = dispatcher.get(&format!("/jobs/{damaged}"));
    assert_eq!(page.status, 503);
    assert!(page.text().contains("desk keeps of this job is damaged"), "{}", page.text());
    assert_eq!(dispatcher.get("/corrections.geojson").status, 200);

    let answer = phone.offer();
    assert!(answer.jobs.contains_key(&whole) && !answer.jobs.contains_key(&damaged));
    assert_eq!(stop(&mut phone, &whole).outcome, Outcome::Kept);
    assert!(matches!(stop(&mut phone, &damaged).outcome, Outcome::Refused { .. }));
    // A new job is prepared beside it, and its name stays taken.
    let third = dispatcher.prepare(&map, &service, &["phone-pad"]);
    assert_eq!(third.as_str(), "J-0003");
}
