//! Devices: which are enrolled, and the one-time code of the next.

use askama::Template;
use coldlug_core::words::{Sentence, Words};

use super::{Frame, Unrendered, When, render::draw};

/// `GET, POST /devices`: fields `device`, `person`. Revoking is `POST /devices/{device}/revoke`.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Devices {
    /// Around the page.
    pub frame: Frame,
    /// Every device that was ever enrolled.
    pub devices: Vec<DeviceLine>,
    /// The code that was just made; it is shown once.
    pub code: Option<CodeShown>,
    /// The device's name that was typed.
    pub device: String,
    /// The person that was typed.
    pub person: String,
    /// Why no code was made.
    pub problem: Option<Sentence>,
}

/// One device.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DeviceLine {
    /// Its name.
    pub device: String,
    /// Who carries it.
    pub person: String,
    /// The first digits of its public key.
    pub key_digits: String,
    /// When it was enrolled.
    pub since: When,
    /// When it was last heard of; none: never since.
    pub heard: Option<When>,
    /// Whether it was revoked.
    pub revoked: bool,
}

/// A one-time code, as it is shown once.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CodeShown {
    /// The code.
    pub code: String,
    /// For which device.
    pub device: String,
    /// Carried by whom.
    pub person: String,
    /// The first digits of the desk's public key, to be compared on the phone.
    pub desk_key_digits: String,
    /// The address in the picture.
    pub url: String,
    /// The picture: an SVG element made by the desk, put in as it is.
    pub qr_svg: String,
    /// Until when it is good.
    pub until: When,
}

#[derive(Template)]
#[template(path = "devices.html")]
struct Drawn<'a> {
    page: &'a Devices,
    frame: &'a Frame,
    words: &'a Words,
}

impl Devices {
    /// The page.
    pub fn render(&self, words: &Words) -> Result<String, Unrendered> {
        draw(&Drawn { page: self, frame: &self.frame, words })
    }
}
