//! Who comes is asked before a large body is read, and only so many are read at once.

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

use coldlug_desk::{Running, Strength};
use people::{Browser, Made, start, start_with};

/// As much as a map sheet may have, nearly.
const LARGE: usize = 20 << 20;

/// The head of a post with a large body, which does not follow.
fn head(desk: &Running, path: &str, headers: &str) -> TcpStream {
    let mut stream = TcpStream::connect(desk.address()).unwrap();
    let head = format!(
        "POST {path} HTTP/1.1\r\nhost: desk\r\ncontent-type: multipart/form-data; boundary=cut\r\n\
         content-length: {LARGE}\r\n{headers}\r\n"
    );
    stream.write_all(head.as_bytes()).unwrap();
    stream
}

/// The number of the answer that comes in this time.
fn answer(stream: &mut TcpStream, within: Duration) -> Option<String> {
    stream.set_read_timeout(Some(within)).unwrap();
    let mut line = [0; 12];
    stream.read_exact(&mut line).ok()?;
    let line = String::from_utf8(line.to_vec()).unwrap();
    Some(line.strip_prefix("HTTP/1.1 ").unwrap().to_owned())
}

const SOON: Duration = Duration::from_secs(20);
const EXPECTING: &str = "expect: 100-continue\r\n";

#[test]
fn a_strangers_large_body_is_refused_without_being_read() {
    let folder = tempfile::tempdir().unwrap();
    let desk = start(folder.path(), &Arc::new(Made::default()));
    Browser::first(&desk);
    let nobody = "0".repeat(32);
    let [stop, cookie] =
        [format!("/at/{nobody}/stop"), format!("cookie: coldlug-desk={nobody}\r\n")];
    let elsewhere = format!("{cookie}sec-fetch-site: cross-site\r\n");
    for (path, headers, number) in [
        ("/map-sheets", "", "403"),
        ("/map-sheets", EXPECTING, "403"),
        ("/map-sheets", &cookie, "403"),
        ("/map-sheets", &elsewhere, "403"),
        ("/jobs/J-0001/act", "", "403"),
        (&stop, "", "404"),
    ] {
        let mut stream = head(&desk, path, headers);
        // Not a byte of the body was sent: whoever waits for it gives no answer yet.
        assert_eq!(answer(&mut stream, SOON).as_deref(), Some(number), "{path} {headers}");
    }
}

#[test]
fn only_so_many_large_bodies_are_read_at_once() {
    let folder = tempfile::tempdir().unwrap();
    let desk = start(folder.path(), &Arc::new(Made::default()));
    let dispatcher = Browser::first(&desk);
    let cookie = dispatcher.cookie.as_deref().unwrap();
    let headers = format!("cookie: {cookie}\r\n{EXPECTING}");
    let mut reading: Vec<TcpStream> = Vec::new();
    for _ in 0..4 {
        let mut stream = head(&desk, "/map-sheets", &headers);
        // That it may go on is said when its body is about to be read.
        assert_eq!(answer(&mut stream, SOON).as_deref(), Some("100"));
        reading.push(stream);
    }
    let mut waiting = head(&desk, "/map-sheets", &headers);
    assert_eq!(answer(&mut waiting, Duration::from_millis(500)), None);
    // What is small goes by, and so does what is a device's.
    let small = dispatcher.upload("/map-sheets", &[("name", "x")], ("sheet", b"{}"));
    assert_eq!(small.status, 400);
    let mut device = head(&desk, "/exchange/photo", EXPECTING);
    assert_eq!(answer(&mut device, SOON).as_deref(), Some("413"), "more than a photo may have");
    drop(reading.pop());
    assert_eq!(answer(&mut waiting, SOON).as_deref(), Some("100"));
}

#[test]
fn what_cannot_be_read_counts_as_a_try() {
    let folder = tempfile::tempdir().unwrap();
    let strength = Strength { tries: 1, ..Strength::PLAY };
    let desk = start_with(folder.path(), &Arc::new(Made::default()), strength);
    let browser = Browser::at(&format!("http://{}", desk.address()));
    let statuses: Vec<u16> =
        (0..=600).map(|_| browser.send("/sign-in", "multipart/form-data", b"x").status).collect();
    assert_eq!(statuses.first(), Some(&400));
    assert_eq!(statuses.last(), Some(&429));
    assert_eq!(browser.get("/health").status, 429);
}
