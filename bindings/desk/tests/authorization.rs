//! Who may do what: every route against every kind of visitor. A route without a row fails.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "parts of tests stop a test that has lost its footing"
)]

mod people;

use std::{collections::BTreeMap, sync::Arc};

use coldlug_core::exchange::{
    Enrol, LinkAsked, Offer, PhotoAsked, PhotoGiven, PhotoKept, SheetAsked, SheetKind,
};
use coldlug_core::log::sha256;
use coldlug_core::quantity::{ClearanceId, JobId, PersonId};
use coldlug_desk::routes;
use people::{Browser, Came, Made, PASSWORD, Phone, sheet, start};

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Visitor {
    /// Nobody known.
    Nobody,
    /// An enrolled phone, signing what it sends.
    Phone,
    /// A dispatcher who is signed in, sending our own forms.
    Dispatcher,
    /// The same, lured to send a form that is not ours.
    Lured,
    /// Whose session is over.
    TooLate,
    /// Whoever bears a link.
    Link,
    /// Whoever bears a link that is over.
    OldLink,
    /// Whoever bears a link that the dispatcher ended.
    EndedLink,
}

use Visitor::{Dispatcher, EndedLink, Link, Lured, Nobody, OldLink, TooLate};

const ALL: [Visitor; 8] =
    [Nobody, Visitor::Phone, Dispatcher, Lured, TooLate, Link, OldLink, EndedLink];
const BY_HAND: &[Visitor] = &[Dispatcher];
const BY_LOOK: &[Visitor] = &[Dispatcher, Lured];

/// Each route, and whom it lets in.
const ROWS: &[(&str, &str, &[Visitor])] = &[
    ("GET", "/health", &ALL),
    ("GET", "/style.css", &ALL),
    ("GET", "/page.js", &ALL),
    ("GET", "/enrol", &ALL),
    ("GET", "/start", &ALL),
    ("POST", "/start", &ALL),
    ("GET", "/sign-in", &ALL),
    ("POST", "/sign-in", &ALL),
    ("GET", "/", BY_LOOK),
    ("GET", "/jobs/new", BY_LOOK),
    ("POST", "/jobs", BY_HAND),
    ("GET", "/jobs/{job}", BY_LOOK),
    ("GET", "/jobs/{job}/record", BY_LOOK),
    ("GET", "/jobs/{job}/sticker", BY_LOOK),
    ("GET", "/jobs/{job}/corrections.geojson", BY_LOOK),
    ("GET", "/corrections.geojson", BY_LOOK),
    ("GET", "/jobs/{job}/photos/{hash}", BY_LOOK),
    ("POST", "/jobs/{job}/act", BY_HAND),
    ("POST", "/jobs/{job}/link", BY_HAND),
    ("POST", "/jobs/{job}/link/end", BY_HAND),
    ("GET", "/map-sheets", BY_LOOK),
    ("POST", "/map-sheets", BY_HAND),
    ("GET", "/devices", BY_LOOK),
    ("POST", "/devices", BY_HAND),
    ("POST", "/devices/{device}/revoke", BY_HAND),
    ("GET", "/dispatchers", BY_LOOK),
    ("POST", "/dispatchers", BY_HAND),
    ("GET", "/at/{token}", &[Link]),
    ("POST", "/at/{token}/{act}", &[Link]),
    ("POST", "/exchange/enrol", &[Visitor::Phone]),
    ("POST", "/exchange/offer", &[Visitor::Phone]),
    ("POST", "/exchange/sheet", &[Visitor::Phone]),
    ("POST", "/exchange/photo", &[Visitor::Phone]),
    ("POST", "/exchange/photo-of", &[Visitor::Phone]),
    ("POST", "/exchange/link", &[Visitor::Phone]),
    // Last: it ends the dispatcher's session.
    ("POST", "/sign-out", BY_HAND),
];

/// A picture on record, and here.
const PHOTO: &[u8] = b"\xff\xd8\xff\xe0 a made-up photo";

struct Scene {
    dispatcher: Browser,
    too_late: Browser,
    phone: Phone,
    job: JobId,
    links: BTreeMap<&'static str, String>,
    desk: Browser,
}

fn link_of(dispatcher: &Browser, job: &JobId, clearance: &str) -> String {
    let fields = [("person", "electrician-1"), ("clearance", clearance)];
    let page = dispatcher.post(&format!("/jobs/{job}/link"), &fields);
    assert_eq!(page.status, 200, "{}", page.text());
    let text = page.text();
    text.split_once("/at/").unwrap().1[..32].to_owned()
}

fn scene(desk: &coldlug_desk::Running, made: &Made) -> Scene {
    let mut dispatcher = Browser::first(desk);
    let mut phone = Phone::enrolled(&dispatcher, "phone-pad", "lineworker-1");
    let spare = Phone::enrolled(&dispatcher, "phone-spare", "lineworker-2");
    drop(spare);
    let (map, service) = sheet();
    let job = dispatcher.prepare(&dispatcher.bring(&map), &service, &["phone-pad"]);
    let photo = sha256(PHOTO);
    phone.offer();
    phone.write(&job, "picture", &format!(r#"{{"photo":"{photo}","stay":"st-1"}}"#));
    phone.offer();
    let given = PhotoGiven { job: job.clone(), photo };
    phone.say::<_, PhotoKept>("photo", given, PHOTO).unwrap();
    let old = link_of(&dispatcher, &job, "c-old");
    let too_late = dispatcher.clone();
    made.pass_ms(13 * 60 * 60 * 1000);
    let fields = [("name", "dispatcher-1"), ("password", PASSWORD)];
    let came = dispatcher.post("/sign-in", &fields);
    dispatcher.come_in(&came);
    let ended = link_of(&dispatcher, &job, "c-ended");
    let end = dispatcher.post(&format!("/jobs/{job}/link/end"), &[("clearance", "c-ended")]);
    assert_eq!(end.status, 303);
    let good = link_of(&dispatcher, &job, "");
    let links = BTreeMap::from([("good", good), ("old", old), ("ended", ended)]);
    let desk = Browser::at(&dispatcher.root);
    Scene { dispatcher, too_late, phone, job, links, desk }
}

impl Scene {
    fn browser(&self, visitor: Visitor) -> Browser {
        let by_token = |token: &str| {
            let page = self.desk.get(&format!("/at/{token}"));
            // Somebody who has a link and nothing else tries its token everywhere.
            let cookie = Some(format!("coldlug-desk={token}"));
            Browser { cookie, csrf: page.hidden("csrf"), ..self.desk.clone() }
        };
        match visitor {
            Dispatcher => self.dispatcher.clone(),
            Lured => Browser { csrf: "0".repeat(32), ..self.dispatcher.clone() },
            TooLate => self.too_late.clone(),
            Link => by_token(&self.links["good"]),
            OldLink => by_token(&self.links["old"]),
            EndedLink => by_token(&self.links["ended"]),
            Nobody | Visitor::Phone => self.desk.clone(),
        }
    }

    fn path(&self, path: &str, visitor: Visitor) -> String {
        let token = match visitor {
            OldLink => &self.links["old"],
            EndedLink => &self.links["ended"],
            Link => &self.links["good"],
            _ => "0123456789abcdef0123456789abcdef",
        };
        path.replace("{job}", self.job.as_str())
            .replace("{hash}", &sha256(PHOTO).to_string())
            .replace("{device}", "phone-spare")
            .replace("{token}", token)
            .replace("{act}", "stop")
    }

    fn message(&mut self, what: &str) -> Vec<u8> {
        let (job, photo) = (self.job.clone(), sha256(PHOTO));
        let phone = &mut self.phone;
        match what {
            "enrol" => {
                let code = self.dispatcher.code_for("phone-new", "lineworker-3");
                let mut new = Phone::new(&self.desk.root, "phone-new");
                let public_key = new.key.public();
                new.sealed(Enrol { code, public_key }, &[])
            }
            "offer" => phone.sealed(Offer { have: BTreeMap::new() }, &[]),
            "sheet" => phone.sealed(SheetAsked { job, sheet: SheetKind::RuleSheet }, &[]),
            "photo" => phone.sealed(PhotoGiven { job, photo }, PHOTO),
            "photo-of" => phone.sealed(PhotoAsked { job, photo }, &[]),
            "link" => phone.sealed(
                LinkAsked {
                    job,
                    clearance: ClearanceId::new("c-1").unwrap(),
                    person: PersonId::new("electrician-1").unwrap(),
                },
                &[],
            ),
            _ => panic!("no message for {what}"),
        }
    }

    fn visit(&mut self, method: &str, path: &str, visitor: Visitor) -> Came {
        if let Some(what) = path.strip_prefix("/exchange/") {
            let body = match visitor {
                Visitor::Phone => self.message(what),
                _ => b"a stranger's bytes\n".to_vec(),
            };
            return self.browser(visitor).send(path, "application/octet-stream", &body);
        }
        let (browser, path) = (self.browser(visitor), self.path(path, visitor));
        if method == "GET" { browser.get(&path) } else { browser.post(&path, &[]) }
    }
}

/// Whether the entrance let somebody in. What is then said of an empty form is another matter.
fn let_in(came: &Came, path: &str) -> bool {
    if path.starts_with("/exchange/") {
        return came.status == 200;
    }
    let sent_away = came.status == 303 && ["/sign-in", "/start"].contains(&came.location.as_str());
    // Signing out leads there too, and takes the cookie.
    let signed_out = path == "/sign-out" && came.headers.contains_key("set-cookie");
    (!sent_away || signed_out) && ![401, 403, 404].contains(&came.status)
}

#[test]
fn every_route_lets_in_whom_it_should_and_nobody_else() {
    let listed: Vec<_> = routes().map(|route| (route.method, route.path)).collect();
    for route in &listed {
        assert!(ROWS.iter().any(|row| (row.0, row.1) == *route), "{route:?} has no row");
    }
    assert_eq!(listed.len(), ROWS.len(), "a row without a route");

    let folder = tempfile::tempdir().unwrap();
    let made = Arc::new(Made::default());
    let desk = start(folder.path(), &made);
    let mut scene = scene(&desk, &made);
    for (method, path, lets_in) in ROWS {
        for visitor in ALL {
            let came = scene.visit(method, path, visitor);
            let right = let_in(&came, path) == lets_in.contains(&visitor);
            assert!(right, "{method} {path} by {visitor:?}: {} {}", came.status, came.text());
        }
    }
}

#[test]
fn a_link_that_is_over_and_one_that_never_was_look_the_same() {
    let folder = tempfile::tempdir().unwrap();
    let made = Arc::new(Made::default());
    let desk = start(folder.path(), &made);
    let scene = scene(&desk, &made);
    let never = "0123456789abcdef0123456789abcdef";
    let look = |token: &str| {
        let (seen, done) = (
            scene.desk.get(&format!("/at/{token}")),
            scene.desk.post(&format!("/at/{token}/stop"), &[("stop-reason", "rain")]),
        );
        (seen.status, seen.body, done.status, done.body)
    };
    let want = look(never);
    assert_eq!((want.0, want.2), (404, 404));
    for token in [&scene.links["old"], &scene.links["ended"], "", "..", "%2e%2e%2fdesk.sqlite"] {
        let (seen, _, done, _) = look(token);
        assert_eq!((seen, done), (404, 404), "{token}");
    }
    assert_eq!(look(&scene.links["old"]), want);
    assert_eq!(look(&scene.links["ended"]), want);
}

#[test]
fn by_link_an_electrician_acts_and_the_desk_signs() {
    let folder = tempfile::tempdir().unwrap();
    let made = Arc::new(Made::default());
    let desk = start(folder.path(), &made);
    let mut scene = scene(&desk, &made);
    let electrician = scene.browser(Link);
    let token = scene.links["good"].clone();
    let stop = |csrf: &str| {
        let browser = Browser { csrf: csrf.to_owned(), cookie: None, ..electrician.clone() };
        browser.post(&format!("/at/{token}/stop"), &[("stop-reason", "somebody is in the base")])
    };
    assert_eq!(stop("").status, 403);
    assert_eq!(stop(&scene.dispatcher.csrf).status, 403);
    let done = stop(&electrician.csrf);
    assert_eq!(done.status, 303, "{}", done.text());
    scene.phone.offer();
    let log = &scene.phone.logs[&scene.job];
    let last = log.in_order().last().unwrap().event().clone();
    assert_eq!(last.device.as_str(), "desk");
    assert_eq!(last.person.as_str(), "electrician-1");
    assert_eq!(last.id.as_str(), "desk-2");
    // Lineworkers' acts are not for an electrician, whatever is typed into the address.
    let page = electrician.post(&format!("/at/{token}/lift"), &[]);
    assert_eq!(page.status, 400, "{}", page.text());
}
