//! What is the same for everybody.

use std::sync::LazyLock;

use axum::response::Response;

use crate::{
    answer::{Answered, Fixed, bytes, fixed},
    asked::Asked,
    desk::Desk,
    entrance::error_page,
    pages::{SCRIPT, STYLE},
};

/// `GET /health`: whether the files can be read.
pub(crate) fn health(desk: &Desk, _: &Asked) -> Answered {
    desk.held().desk.dispatchers()?;
    Ok(bytes(200, "text/plain; charset=utf-8", "well\n"))
}

/// `GET /style.css`.
#[allow(clippy::unnecessary_wraps, reason = "as every route")]
pub(crate) fn style(_: &Desk, asked: &Asked) -> Answered {
    static SHEET: LazyLock<Fixed> = LazyLock::new(|| Fixed::of(STYLE));
    Ok(fixed(asked, "text/css; charset=utf-8", &SHEET))
}

/// `GET /page.js`.
#[allow(clippy::unnecessary_wraps, reason = "as every route")]
pub(crate) fn script(_: &Desk, asked: &Asked) -> Answered {
    static CODE: LazyLock<Fixed> = LazyLock::new(|| Fixed::of(SCRIPT));
    Ok(fixed(asked, "text/javascript; charset=utf-8", &CODE))
}

/// `GET /enrol`: where the QR code of an invitation leads somebody who reads it with a browser.
#[allow(clippy::unnecessary_wraps, reason = "as every route")]
pub(crate) fn enrol(desk: &Desk, _: &Asked) -> Answered {
    let answer: Response = error_page(desk, 200, desk.words.plain("desk-enrol-by-phone"));
    Ok(answer)
}
