//! Every route, as data: the service is built from this table, and the tests read it.

use coldlug_core::exchange::{MOST_OFFER_BYTES, MOST_OTHER_BYTES, MOST_PHOTO_BYTES};
use coldlug_core::mapsheet;

use crate::{
    answer::Answered,
    asked::Asked,
    desk::Desk,
    entrance::{Bearer, Signed},
    exchange::{self, Sealed},
    web,
};

/// Whom a route lets in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Access {
    /// Anyone.
    Anyone,
    /// A dispatcher who is signed in.
    Dispatcher,
    /// Whoever bears the token of a link.
    Link,
    /// An enrolled device, by the signature of its message; enrolling: by the code in it.
    Device,
}

/// A route as others see it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RouteLine {
    /// `GET` or `POST`.
    pub method: &'static str,
    /// Its path, with names in braces.
    pub path: &'static str,
    /// Whom it lets in.
    pub access: Access,
}

/// What is done on a route. None of these can be reached but through its entrance.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Doing {
    Anyone(fn(&Desk, &Asked) -> Answered),
    Dispatcher(fn(&Desk, &Asked, &Signed) -> Answered),
    Link(fn(&Desk, &Asked, &Bearer) -> Answered),
    Device(fn(&Desk, &Asked) -> Sealed),
}

/// A route.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Route {
    pub(crate) method: &'static str,
    pub(crate) path: &'static str,
    /// Most bytes of what is sent.
    pub(crate) most: usize,
    pub(crate) doing: Doing,
}

const fn get(path: &'static str, doing: Doing) -> Route {
    Route { method: "GET", path, most: 0, doing }
}

const fn post(path: &'static str, most: usize, doing: Doing) -> Route {
    Route { method: "POST", path, most, doing }
}

/// Most bytes of a form without files.
const FORM: usize = MOST_OTHER_BYTES;
/// Most bytes of a form that brings a sheet.
const SHEET: usize = mapsheet::MOST_BYTES + FORM;

/// Every route there is.
pub(crate) const ROUTES: &[Route] = {
    use Doing::{Anyone, Device, Dispatcher, Link};
    &[
        get("/health", Anyone(web::health)),
        get("/style.css", Anyone(web::style)),
        get("/page.js", Anyone(web::script)),
        get("/enrol", Anyone(web::enrol)),
        get("/start", Anyone(web::start_page)),
        post("/start", FORM, Anyone(web::start)),
        get("/sign-in", Anyone(web::sign_in_page)),
        post("/sign-in", FORM, Anyone(web::sign_in)),
        post("/sign-out", FORM, Dispatcher(web::sign_out)),
        get("/", Dispatcher(web::board)),
        get("/jobs/new", Dispatcher(web::new_job)),
        post("/jobs", FORM, Dispatcher(web::prepare_job)),
        get("/jobs/{job}", Dispatcher(web::job)),
        get("/jobs/{job}/record", Dispatcher(web::record)),
        get("/jobs/{job}/sticker", Dispatcher(web::sticker)),
        get("/jobs/{job}/corrections.geojson", Dispatcher(web::corrections)),
        get("/corrections.geojson", Dispatcher(web::every_correction)),
        get("/jobs/{job}/photos/{hash}", Dispatcher(web::photo)),
        post("/jobs/{job}/act", MOST_PHOTO_BYTES, Dispatcher(web::act)),
        post("/jobs/{job}/link", FORM, Dispatcher(web::link)),
        post("/jobs/{job}/link/end", FORM, Dispatcher(web::end_link)),
        get("/map-sheets", Dispatcher(web::map_sheets)),
        post("/map-sheets", SHEET, Dispatcher(web::bring_sheet)),
        get("/devices", Dispatcher(web::devices)),
        post("/devices", FORM, Dispatcher(web::device_code)),
        post("/devices/{device}/revoke", FORM, Dispatcher(web::revoke)),
        get("/dispatchers", Dispatcher(web::dispatchers)),
        post("/dispatchers", FORM, Dispatcher(web::dispatcher_code)),
        get("/at/{token}", Link(web::at)),
        post("/at/{token}/{act}", MOST_PHOTO_BYTES, Link(web::act_at)),
        post("/exchange/enrol", MOST_OTHER_BYTES, Device(exchange::enrol)),
        post("/exchange/offer", MOST_OFFER_BYTES, Device(exchange::offer)),
        post("/exchange/sheet", MOST_OTHER_BYTES, Device(exchange::sheet)),
        post("/exchange/photo", MOST_PHOTO_BYTES, Device(exchange::photo)),
        post("/exchange/photo-of", MOST_OTHER_BYTES, Device(exchange::photo_of)),
        post("/exchange/link", MOST_OTHER_BYTES, Device(exchange::make_link)),
    ]
};

impl Route {
    /// Whom it lets in.
    pub(crate) const fn access(&self) -> Access {
        match self.doing {
            Doing::Anyone(_) => Access::Anyone,
            Doing::Dispatcher(_) => Access::Dispatcher,
            Doing::Link(_) => Access::Link,
            Doing::Device(_) => Access::Device,
        }
    }
}

/// Every route and whom it lets in.
pub fn routes() -> impl Iterator<Item = RouteLine> {
    ROUTES.iter().map(|route| RouteLine {
        method: route.method,
        path: route.path,
        access: route.access(),
    })
}
