//! A desk on loopback, a person with a browser, and a phone, all made up.

#![allow(dead_code, reason = "each test takes what it needs")]

use std::{
    io,
    path::Path,
    sync::{
        Arc,
        atomic::{AtomicI64, AtomicU64, Ordering},
    },
};

use coldlug_core::{
    event::{Event, Sha256Hex, strict_value},
    exchange::{Body, Enrol, Enrolled, Head, Message, Offer, OfferAnswer, Problem, seal},
    log::{DeviceKey, Log, PublicKey, sha256, write_record},
    quantity::{DeviceId, Instant, JobId},
};
use coldlug_desk::{Desk, Running, Settings, Strength, Surroundings};
use serde::de::DeserializeOwned;

/// A password that is long enough.
pub(crate) const PASSWORD: &str = "seven dry herons wade";

/// A clock that is set by hand, and chance that counts.
#[derive(Debug, Default)]
pub(crate) struct Made {
    passed_ms: AtomicI64,
    drawn: AtomicU64,
}

impl Made {
    pub(crate) fn pass_ms(&self, ms: i64) {
        self.passed_ms.fetch_add(ms, Ordering::SeqCst);
    }
}

impl Surroundings for Made {
    fn now(&self) -> Instant {
        let ms = self.passed_ms.load(Ordering::SeqCst);
        Instant { wall_ms: 1_790_000_000_000 + ms, boot: "desk-boot".into(), mono_ms: ms }
    }

    fn random(&self, bytes: &mut [u8]) -> io::Result<()> {
        for part in bytes.chunks_mut(32) {
            let drawn = self.drawn.fetch_add(1, Ordering::SeqCst);
            part.copy_from_slice(&sha256(format!("chance {drawn}").as_bytes()).0[..part.len()]);
        }
        Ok(())
    }
}

pub(crate) fn start_with(data: &Path, made: &Arc<Made>, strength: Strength) -> Running {
    let surroundings: Arc<dyn Surroundings> = Arc::clone(made) as _;
    let bind = "127.0.0.1:0".parse().unwrap();
    Desk::start(Settings { data: data.to_owned(), bind, public_url: None, surroundings, strength })
        .unwrap()
}

pub(crate) fn start(data: &Path, made: &Arc<Made>) -> Running {
    start_with(data, made, Strength::PLAY)
}

/// What came back.
#[derive(Debug)]
pub(crate) struct Came {
    pub(crate) status: u16,
    pub(crate) body: Vec<u8>,
    pub(crate) location: String,
    pub(crate) headers: ureq::http::HeaderMap,
}

impl Came {
    pub(crate) fn text(&self) -> String {
        String::from_utf8_lossy(&self.body).into_owned()
    }

    /// What stands in a form's hidden field.
    pub(crate) fn hidden(&self, name: &str) -> String {
        let text = self.text();
        let after = text.split_once(&format!("name=\"{name}\" value=\"")).unwrap_or_default().1;
        after.split('"').next().unwrap_or_default().to_owned()
    }

    pub(crate) fn problem(&self) -> String {
        serde_json::from_slice::<Problem>(&self.body).unwrap_or_else(|_| panic!("{self:?}")).refused
    }
}

/// A browser: an address, a cookie, the token of its forms.
#[derive(Debug, Clone)]
pub(crate) struct Browser {
    pub(crate) root: String,
    pub(crate) cookie: Option<String>,
    pub(crate) csrf: String,
}

impl Browser {
    pub(crate) fn at(root: &str) -> Self {
        Self { root: root.to_owned(), cookie: None, csrf: String::new() }
    }

    pub(crate) fn get(&self, path: &str) -> Came {
        let mut request = ureq::get(format!("{}{path}", self.root))
            .config()
            .max_redirects(0)
            .http_status_as_error(false)
            .build();
        if let Some(cookie) = &self.cookie {
            request = request.header("cookie", cookie);
        }
        came(request.call().unwrap())
    }

    pub(crate) fn send(&self, path: &str, kind: &str, body: &[u8]) -> Came {
        self.send_with(path, kind, body, &[])
    }

    pub(crate) fn send_with(
        &self,
        path: &str,
        kind: &str,
        body: &[u8],
        headers: &[(&str, &str)],
    ) -> Came {
        let mut request = ureq::post(format!("{}{path}", self.root))
            .config()
            .max_redirects(0)
            .http_status_as_error(false)
            .build()
            .content_type(kind);
        if let Some(cookie) = &self.cookie {
            request = request.header("cookie", cookie);
        }
        for (name, value) in headers {
            request = request.header(*name, *value);
        }
        came(request.send(body).unwrap())
    }

    pub(crate) fn post(&self, path: &str, fields: &[(&str, &str)]) -> Came {
        let mut body = format!("csrf={}", self.csrf);
        for (name, value) in fields {
            body.push('&');
            body.push_str(&escaped(name));
            body.push('=');
            body.push_str(&escaped(value));
        }
        self.send(path, "application/x-www-form-urlencoded", body.as_bytes())
    }

    /// A form with parts and one file.
    pub(crate) fn upload(&self, path: &str, fields: &[(&str, &str)], file: (&str, &[u8])) -> Came {
        let mut body = Vec::new();
        let csrf = [("csrf", self.csrf.as_str())];
        for (name, value) in csrf.iter().chain(fields) {
            let head = format!("--cut\r\ncontent-disposition: form-data; name=\"{name}\"\r\n\r\n");
            body.extend(head.as_bytes());
            body.extend(value.as_bytes());
            body.extend(b"\r\n");
        }
        let head = format!(
            "--cut\r\ncontent-disposition: form-data; name=\"{}\"; filename=\"f\"\r\n\
             content-type: application/octet-stream\r\n\r\n",
            file.0
        );
        body.extend(head.as_bytes());
        body.extend(file.1);
        body.extend(b"\r\n--cut--\r\n");
        self.send(path, "multipart/form-data; boundary=cut", &body)
    }

    /// Keeps the cookie that came, and finds the token of the forms.
    pub(crate) fn come_in(&mut self, came: &Came) {
        assert_eq!(came.status, 303, "{}", came.text());
        let set = came.headers["set-cookie"].to_str().unwrap();
        self.cookie = Some(set.split(';').next().unwrap().to_owned());
        self.csrf = self.get("/devices").hidden("csrf");
        assert!(!self.csrf.is_empty());
    }

    /// The first dispatcher.
    pub(crate) fn first(desk: &Running) -> Self {
        let mut browser = Self::at(&format!("http://{}", desk.address()));
        let code = desk.first_code().unwrap();
        let fields = [("code", code), ("name", "dispatcher-1"), ("password", PASSWORD)];
        let came = browser.post("/start", &fields);
        browser.come_in(&came);
        browser
    }

    /// Makes a code for a device.
    pub(crate) fn code_for(&self, device: &str, person: &str) -> String {
        let page = self.post("/devices", &[("device", device), ("person", person)]);
        assert_eq!(page.status, 200, "{}", page.text());
        let text = page.text();
        let after = text.split_once("/enrol#").unwrap_or_else(|| panic!("no code in {text}")).1;
        after.split('.').next().unwrap().to_owned()
    }

    /// Brings a map sheet; its name in forms.
    pub(crate) fn bring(&self, sheet: &[u8]) -> String {
        let came = self.upload("/map-sheets", &[("name", "Hill")], ("sheet", sheet));
        assert_eq!(came.status, 303, "{}", came.text());
        coldlug_core::mapsheet::read(sheet).unwrap().hash
    }

    /// Prepares a job.
    pub(crate) fn prepare(&self, sheet: &str, service: &str, crew: &[&str]) -> JobId {
        let mut fields = vec![
            ("sheet", sheet),
            ("service", service),
            ("scope", "base-both-sides"),
            ("work", "replace the meter base"),
            ("electrician", "electrician-1"),
        ];
        fields.extend(crew.iter().map(|device| ("crew", *device)));
        let came = self.post("/jobs", &fields);
        assert_eq!(came.status, 303, "{}", came.text());
        JobId::new(came.location.strip_prefix("/jobs/").unwrap()).unwrap()
    }
}

fn came(mut response: ureq::http::Response<ureq::Body>) -> Came {
    let location = response.headers().get("location").map_or("", |v| v.to_str().unwrap());
    Came {
        status: response.status().as_u16(),
        location: location.to_owned(),
        headers: response.headers().clone(),
        body: response.body_mut().with_config().limit(1 << 30).read_to_vec().unwrap(),
    }
}

fn escaped(text: &str) -> String {
    text.bytes()
        .map(|byte| match byte {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' => char::from(byte).to_string(),
            _ => format!("%{byte:02X}"),
        })
        .collect()
}

/// A phone: a key, a count, and what the desk said last.
#[derive(Debug)]
pub(crate) struct Phone {
    pub(crate) browser: Browser,
    pub(crate) device: DeviceId,
    pub(crate) key: DeviceKey,
    pub(crate) desk_key: PublicKey,
    pub(crate) number: u64,
    pub(crate) logs: std::collections::BTreeMap<JobId, Log>,
}

impl Phone {
    /// A phone that is not enrolled.
    pub(crate) fn new(root: &str, device: &str) -> Self {
        Self {
            browser: Browser::at(root),
            device: DeviceId::new(device).unwrap(),
            key: DeviceKey::from_seed(&sha256(device.as_bytes()).0),
            desk_key: PublicKey([0; 32]),
            number: 0,
            logs: std::collections::BTreeMap::new(),
        }
    }

    /// The bytes of a message, with the next number.
    pub(crate) fn sealed<B: Body>(&mut self, body: B, rest: &[u8]) -> Vec<u8> {
        self.number += 1;
        let (from, number) = (self.device.clone(), self.number);
        seal(&Head { from, number, answers: None, body }, rest, &self.key).unwrap()
    }

    pub(crate) fn post(&self, what: &str, message: &[u8]) -> Came {
        self.browser.send(&format!("/exchange/{what}"), "application/octet-stream", message)
    }

    /// Sends a message and opens its answer, or gives the id of why not.
    pub(crate) fn say<B: Body, A: Body + DeserializeOwned>(
        &mut self,
        what: &str,
        body: B,
        rest: &[u8],
    ) -> Result<(A, Vec<u8>), String> {
        let sent = self.sealed(body, rest);
        let came = self.post(what, &sent);
        if came.status != 200 {
            return Err(came.problem());
        }
        let message = Message::read(&came.body, usize::MAX).unwrap();
        let (head, rest) = message.open_answer::<A>(&self.desk_key, &sent).unwrap();
        Ok((head.body, rest.to_vec()))
    }

    /// Enrols by a code.
    pub(crate) fn enrol(&mut self, code: &str) -> Result<Enrolled, String> {
        self.number = 0;
        let body = Enrol { code: code.to_owned(), public_key: self.key.public() };
        let sent = self.sealed(body, &[]);
        let came = self.post("enrol", &sent);
        if came.status != 200 {
            return Err(came.problem());
        }
        let message = Message::read(&came.body, usize::MAX).unwrap();
        let enrolled = message.unchecked::<Enrolled>().unwrap();
        let (head, _) = message.open_answer::<Enrolled>(&enrolled.desk_key, &sent).unwrap();
        self.desk_key = enrolled.desk_key;
        Ok(head.body)
    }

    /// A phone enrolled at a desk.
    pub(crate) fn enrolled(dispatcher: &Browser, device: &str, person: &str) -> Self {
        let mut phone = Self::new(&dispatcher.root, device);
        phone.enrol(&dispatcher.code_for(device, person)).unwrap();
        phone
    }

    /// Writes an event on the phone; its entry's hash.
    pub(crate) fn write(&mut self, job: &JobId, kind: &str, body: &str) -> Sha256Hex {
        let log = self.logs.get_mut(job).unwrap();
        let (device, place) = (&self.device, log.chain(&self.device).len() + 1);
        let text = format!(
            r#"{{"id":"{device}-{place}","kind":"{kind}","version":1,
            "at":{{"wall_ms":1790000000000,"boot":"p","mono_ms":0}},
            "device":"{device}","person":"lineworker-1","body":{body}}}"#
        );
        let event = Event::from_value(strict_value(&text).unwrap()).unwrap();
        log.append(event, &self.key).unwrap().hash()
    }

    /// Offers everything that is here and takes what comes.
    pub(crate) fn offer(&mut self) -> OfferAnswer {
        let have =
            self.logs.iter().map(|(job, log)| (job.clone(), coldlug_core::exchange::counts(log)));
        let offer = Offer { have: have.collect() };
        let entries: Vec<_> =
            self.logs.values().flat_map(|log| log.chain(&self.device).iter().cloned()).collect();
        let rest = coldlug_core::exchange::write_entries(&entries).unwrap();
        let (answer, rest) = self.say::<_, OfferAnswer>("offer", offer, &rest).unwrap();
        for (job, news) in &answer.jobs {
            let log = self.logs.entry(job.clone()).or_insert_with(|| Log::new(job.clone()));
            for (device, key) in &news.devices {
                log.enrol(device.clone(), *key).unwrap();
            }
        }
        for entry in coldlug_core::exchange::read_entries(&rest, usize::MAX).unwrap() {
            let entry = entry.unwrap();
            self.logs.get_mut(&entry.unsigned().job).unwrap().admit(entry).unwrap();
        }
        answer
    }

    /// A record of a job as this phone has it.
    pub(crate) fn record(&self, job: &JobId) -> Vec<u8> {
        write_record(&self.logs[job], &self.device, &self.key).unwrap()
    }
}

/// A made-up map sheet and a service on it.
pub(crate) fn sheet() -> (Vec<u8>, String) {
    let world = coldlug_field::small::small(3);
    let record = coldlug_field::record::Record::true_of(&world);
    let bytes = serde_json::to_vec(&record.map_sheet(&world)).unwrap();
    let plant = coldlug_core::mapsheet::read(&bytes).unwrap().plant;
    let service = plant.services.keys().next().unwrap().to_string();
    (bytes, service)
}

pub(crate) fn hash(text: &str) -> Sha256Hex {
    sha256(text.as_bytes())
}
