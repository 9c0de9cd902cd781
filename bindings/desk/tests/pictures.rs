//! Pictures that come with a form are kept with the act, or not at all.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "parts of tests stop a test that has lost its footing"
)]

mod people;

use std::sync::Arc;

use people::{Browser, Made, Phone, sheet, start};

#[test]
fn a_refused_form_leaves_no_photo() {
    let folder = tempfile::tempdir().unwrap();
    let made = Arc::new(Made::default());
    let desk = start(folder.path(), &made);
    let dispatcher = Browser::first(&desk);
    Phone::enrolled(&dispatcher, "phone-pad", "lineworker-1");
    let (map, service) = sheet();
    let job = dispatcher.prepare(&dispatcher.bring(&map), &service, &["phone-pad"]);
    let link = dispatcher.post(&format!("/jobs/{job}/link"), &[("person", "electrician-1")]);
    let token = link.text().split_once("/at/").unwrap().1[..32].to_owned();
    let at = format!("/at/{token}");
    let electrician = Browser { cookie: None, ..dispatcher.clone() };
    let electrician = Browser { csrf: electrician.get(&at).hidden("csrf"), ..electrician };
    let kept = || std::fs::read_dir(folder.path().join("photos")).unwrap().count();

    let photo = [b"\xff\xd8\xff\xe0".as_slice(), &[7; 5000]].concat();
    let by_act = |act: &str| {
        let path = format!("/jobs/{job}/act");
        dispatcher.upload(&path, &[("act", act)], ("photo", &photo)).status
    };
    // An act that is none, one that is not a dispatcher's, and one whose answers do not fit.
    assert!([by_act("no-act"), by_act("picture"), by_act("stop")].iter().all(|s| *s >= 400));
    for act in ["stop", "picture", "lift"] {
        let came = electrician.upload(&format!("{at}/{act}"), &[], ("photo", &photo));
        assert!(came.status >= 400, "{act}: {}", came.text());
    }
    // Nor does an act that asks for no picture.
    let stop = [("stop-reason", "rain")];
    let came = electrician.upload(&format!("{at}/stop"), &stop, ("photo", &photo));
    assert_eq!(came.status, 400, "{}", came.text());
    assert_eq!(kept(), 0);
}
