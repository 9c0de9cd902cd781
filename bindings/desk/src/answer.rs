//! Answers over HTTP.

use axum::{
    body::Body,
    http::{HeaderValue, StatusCode, header},
    response::Response,
};

use crate::trouble::Trouble;

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

/// A part of the look, which does not change while the desk runs.
pub(crate) fn fixed(kind: &'static str, text: &'static str) -> Response {
    let mut response = bytes(200, kind, text);
    let keep = HeaderValue::from_static("max-age=300");
    response.headers_mut().insert(header::CACHE_CONTROL, keep);
    response
}
