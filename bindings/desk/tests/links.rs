//! Links: what the dispatcher sees of them, and when they are good for nothing any more.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "parts of tests stop a test that has lost its footing"
)]

mod people;

use std::sync::Arc;

use coldlug_core::quantity::JobId;
use people::{Browser, Made, Phone, sheet, start};

struct Scene {
    _folder: tempfile::TempDir,
    _desk: coldlug_desk::Running,
    dispatcher: Browser,
    job: JobId,
}

fn scene() -> Scene {
    let folder = tempfile::tempdir().unwrap();
    let made = Arc::new(Made::default());
    let desk = start(folder.path(), &made);
    let dispatcher = Browser::first(&desk);
    Phone::enrolled(&dispatcher, "phone-pad", "lineworker-1");
    let (map, service) = sheet();
    let job = dispatcher.prepare(&dispatcher.bring(&map), &service, &["phone-pad"]);
    Scene { _folder: folder, _desk: desk, dispatcher, job }
}

impl Scene {
    /// The token of a link for the next clearance that is offered.
    fn next_link(&self) -> String {
        let fields = [("person", "electrician-1"), ("clearance", "")];
        let page = self.dispatcher.post(&format!("/jobs/{}/link", self.job), &fields);
        assert_eq!(page.status, 200, "{}", page.text());
        page.text().split_once("/at/").unwrap().1[..32].to_owned()
    }
}

#[test]
fn a_link_for_the_next_clearance_stands_on_the_job_page_and_ends_there() {
    let scene = scene();
    let page = || scene.dispatcher.get(&format!("/jobs/{}", scene.job));
    assert_eq!(page().hidden("clearance"), "", "there is none yet");
    let token = scene.next_link();
    let electrician = Browser::at(&scene.dispatcher.root);
    assert_eq!(electrician.get(&format!("/at/{token}")).status, 200);
    let shown = page();
    assert!(shown.text().contains("for the next clearance offered"), "{}", shown.text());
    let clearance = shown.hidden("clearance");
    let path = format!("/jobs/{}/link/end", scene.job);
    let ended = scene.dispatcher.post(&path, &[("clearance", &clearance)]);
    assert_eq!(ended.status, 303, "{}", ended.text());
    assert_eq!(electrician.get(&format!("/at/{token}")).status, 404);
    assert_eq!(page().hidden("clearance"), "", "nothing is left to end");
}
