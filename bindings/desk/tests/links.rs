//! Links: what the dispatcher sees of them, and when they are good for nothing any more.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "parts of tests stop a test that has lost its footing"
)]

mod people;

use std::{
    io::{Read, Write},
    net::TcpStream,
    sync::Arc,
    time::Duration,
};

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

#[test]
fn a_link_that_ends_while_a_form_arrives_does_nothing() {
    let scene = scene();
    let token = scene.next_link();
    let at = format!("/at/{token}");
    let csrf = Browser::at(&scene.dispatcher.root).get(&at).hidden("csrf");
    let record = || scene.dispatcher.get(&format!("/jobs/{}/record", scene.job)).body;
    let before = coldlug_core::log::verify(&record()).unwrap().log.len();

    let form = format!("csrf={csrf}&stop-reason=rain");
    let root = scene.dispatcher.root.strip_prefix("http://").unwrap();
    let mut stream = TcpStream::connect(root).unwrap();
    stream.set_read_timeout(Some(Duration::from_secs(20))).unwrap();
    let head = format!(
        "POST {at}/stop HTTP/1.1\r\nhost: desk\r\ncontent-length: {}\r\nconnection: close\r\n\
         content-type: application/x-www-form-urlencoded\r\nexpect: 100-continue\r\n\r\n",
        form.len()
    );
    stream.write_all(head.as_bytes()).unwrap();
    let mut go_on = [0; 25];
    stream.read_exact(&mut go_on).unwrap();
    assert_eq!(&go_on, b"HTTP/1.1 100 Continue\r\n\r\n", "it was let in");
    let path = format!("/jobs/{}/link/end", scene.job);
    assert_eq!(scene.dispatcher.post(&path, &[("clearance", "next")]).status, 303);
    stream.write_all(form.as_bytes()).unwrap();
    let mut answer = String::new();
    stream.read_to_string(&mut answer).unwrap();
    assert!(answer.starts_with("HTTP/1.1 404"), "{answer}");
    assert_eq!(coldlug_core::log::verify(&record()).unwrap().log.len(), before);
}

#[test]
fn the_electrician_reads_what_the_base_may_see_and_nothing_of_the_primary() {
    let scene = scene();
    let token = scene.next_link();
    let page = Browser::at(&scene.dispatcher.root).get(&format!("/at/{token}"));
    let text = page.text();
    assert!(text.contains("what it withstands is not known. Read its label."), "{text}");
    assert!(text.contains("At the meter base of") && text.contains("Leg to neutral:"), "{text}");
    assert!(!text.contains("Along the primary"), "{text}");
    let job = scene.dispatcher.get(&format!("/jobs/{}", scene.job));
    assert!(job.text().contains("Along the primary"), "{}", job.text());
}
