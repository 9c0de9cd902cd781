//! Answers over HTTP.

use std::io::Write;

use axum::{
    body::Body,
    http::{HeaderValue, StatusCode, header},
    response::Response,
};
use flate2::{Compression, write::GzEncoder};

use crate::{asked::Asked, trouble::Trouble};

/// What a route gives.
pub(crate) type Answered = Result<Response, Trouble>;

/// Bytes of a kind.
pub(crate) fn bytes(status: u16, kind: &'static str, bytes: impl Into<Body>) -> Response {
    let mut response = Response::new(bytes.into());
    *response.status_mut() = StatusCode::from_u16(status).unwrap_or(StatusCode::OK);
    let headers = response.headers_mut();
    headers.insert(header::CONTENT_TYPE, HeaderValue::from_static(kind));
    headers.insert(header::CACHE_CONTROL, HeaderValue::from_static("no-store"));
    response
}

/// A page.
pub(crate) fn page(status: u16, html: String) -> Response {
    bytes(status, "text/html; charset=utf-8", html)
}

/// Look there.
pub(crate) fn see(place: &str) -> Response {
    let mut response = bytes(303, "text/plain; charset=utf-8", String::new());
    // A place is made by the desk from checked names; one that is no header leads home.
    let place = HeaderValue::from_str(place).unwrap_or(HeaderValue::from_static("/"));
    response.headers_mut().insert(header::LOCATION, place);
    response
}

/// A file that the browser keeps under a name.
pub(crate) fn file(kind: &'static str, name: &str, content: Vec<u8>) -> Response {
    let mut response = bytes(200, kind, content);
    if let Ok(value) = HeaderValue::from_str(&format!("attachment; filename=\"{name}\"")) {
        response.headers_mut().insert(header::CONTENT_DISPOSITION, value);
    }
    response
}

/// A text that does not change while the desk runs, made small once.
pub(crate) struct Fixed {
    text: &'static str,
    /// As gzip; none where that failed.
    small: Option<Vec<u8>>,
}

impl Fixed {
    /// Of a text.
    pub(crate) fn of(text: &'static str) -> Self {
        Self { text, small: gzipped(text) }
    }
}

/// A part of the look, which does not change while the desk runs. It holds nothing that is secret,
/// so it may be made small on the way; pages are not, since they hold tokens beside what people typed.
pub(crate) fn fixed(asked: &Asked, kind: &'static str, fixed: &Fixed) -> Response {
    let small = fixed.small.as_ref().filter(|_| asked.takes_gzip);
    let squeezed = small.is_some();
    let mut response =
        bytes(200, kind, small.map_or(fixed.text.as_bytes(), Vec::as_slice).to_vec());
    let headers = response.headers_mut();
    headers.insert(header::CACHE_CONTROL, HeaderValue::from_static("max-age=300"));
    headers.insert(header::VARY, HeaderValue::from_static("accept-encoding"));
    if squeezed {
        headers.insert(header::CONTENT_ENCODING, HeaderValue::from_static("gzip"));
    }
    response
}

fn gzipped(text: &str) -> Option<Vec<u8>> {
    let mut to = GzEncoder::new(Vec::new(), Compression::best());
    to.write_all(text.as_bytes()).ok()?;
    to.finish().ok()
}

#[cfg(test)]
mod tests {
    use std::io::Read;

    use super::*;

    #[test]
    fn who_takes_gzip_gets_the_same_bytes_smaller() {
        let text = "a { color: red }\n".repeat(100);
        let small = gzipped(&text).unwrap();
        assert!(small.len() * 4 < text.len());
        let mut back = String::new();
        flate2::read::GzDecoder::new(small.as_slice()).read_to_string(&mut back).unwrap();
        assert_eq!(back, text);
        for takes_gzip in [true, false] {
            let asked = Asked { takes_gzip, ..Asked::default() };
            let answer = fixed(&asked, "text/css", &Fixed::of("a {}"));
            assert_eq!(answer.headers().contains_key(header::CONTENT_ENCODING), takes_gzip);
            assert_eq!(answer.headers()[header::VARY], "accept-encoding");
        }
    }
}
