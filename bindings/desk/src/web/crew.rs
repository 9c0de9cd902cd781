//! Devices and dispatchers: who there is, and one-time codes for the next.

use coldlug_core::{exchange::Invitation, quantity::DeviceId};
use coldlug_store::desk::{Code, CodeFor};

use super::{
    again, drawn, frame,
    start::{person, plain},
    when,
};
use crate::{
    answer::{Answered, see},
    asked::Asked,
    chance::{code, code_hash},
    desk::{CODE_MS, Desk},
    entrance::Signed,
    link::qr,
    pages::{CodeShown, DeviceLine, Devices, DispatcherCode, DispatcherLine, Dispatchers},
    trouble::Trouble,
};

/// `GET /devices`.
pub(crate) fn devices(desk: &Desk, _: &Asked, signed: &Signed) -> Answered {
    devices_page(desk, signed, 200, Devices::default())
}

/// `POST /devices`.
pub(crate) fn device_code(desk: &Desk, asked: &Asked, signed: &Signed) -> Answered {
    let typed = Devices {
        device: asked.field("device").to_owned(),
        person: asked.field("person").to_owned(),
        ..Devices::default()
    };
    match invite(desk, &typed.device, &typed.person) {
        Ok(code) => {
            devices_page(desk, signed, 200, Devices { code: Some(code), ..Devices::default() })
        }
        Err(trouble) => again(trouble, |trouble| {
            let problem = Some(trouble.sentence(&desk.words));
            devices_page(desk, signed, trouble.status(), Devices { problem, ..typed })
        }),
    }
}

fn invite(desk: &Desk, device: &str, carried_by: &str) -> Result<CodeShown, Trouble> {
    let not_free = || Trouble::Said("device-name-not-free");
    let device = match DeviceId::new(device) {
        Ok(name) if plain(device) && name != desk.device => name,
        _ => return Err(not_free()),
    };
    let person = person(carried_by)?;
    let mut held = desk.held();
    if held.desk.device(&device)?.is_some() {
        return Err(not_free());
    }
    if held.desk.dispatchers()?.iter().any(|(dispatcher, _)| *dispatcher == person) {
        return Err(Trouble::Said("desk-crew-twice"));
    }
    let code = code(&*desk.settings.surroundings)?;
    let now_ms = desk.now().wall_ms;
    let kept = Code {
        hash: code_hash(&code),
        good_for: CodeFor::Device { device: device.clone(), person: person.clone() },
        until_ms: now_ms.saturating_add(CODE_MS),
    };
    held.desk.put_code(&kept, now_ms)?;
    let digits = Invitation::digits_of(&desk.public_key());
    let invitation = Invitation::new(&desk.public_url, &code, device.as_str(), &digits);
    let url = invitation.map_err(|error| Trouble::bug(&error))?.to_string();
    Ok(CodeShown {
        code,
        device: device.to_string(),
        person: person.to_string(),
        desk_key_digits: digits,
        qr_svg: qr(&url)?,
        url,
        until: when(kept.until_ms),
    })
}

fn devices_page(desk: &Desk, signed: &Signed, status: u16, typed: Devices) -> Answered {
    let known = desk.held().desk.devices()?;
    let line = |device: coldlug_store::desk::DeviceEnrolled| DeviceLine {
        key_digits: Invitation::digits_of(&device.public_key),
        device: device.device.to_string(),
        person: device.person.to_string(),
        since: when(device.since_ms),
        heard: Some(when(device.heard_ms)),
        revoked: device.revoked_ms.is_some(),
    };
    let devices = known.into_iter().map(line).collect();
    let page = Devices { frame: frame(desk, signed), devices, ..typed };
    drawn(status, page.render(&desk.words))
}

/// `POST /devices/{device}/revoke`.
pub(crate) fn revoke(desk: &Desk, asked: &Asked, _: &Signed) -> Answered {
    let device = DeviceId::new(asked.part("device")).map_err(|_| Trouble::NotHere)?;
    let now_ms = desk.now().wall_ms;
    let mut held = desk.held();
    if held.desk.device(&device)?.is_none() {
        return Err(Trouble::NotHere);
    }
    held.desk.revoke(&device, now_ms)?;
    Ok(see("/devices"))
}

/// `GET /dispatchers`.
pub(crate) fn dispatchers(desk: &Desk, _: &Asked, signed: &Signed) -> Answered {
    dispatchers_page(desk, signed, 200, Dispatchers::default())
}

/// `POST /dispatchers`.
pub(crate) fn dispatcher_code(desk: &Desk, asked: &Asked, signed: &Signed) -> Answered {
    let name = asked.field("name").to_owned();
    match invite_dispatcher(desk, &name) {
        Ok(code) => {
            let made = Dispatchers { code: Some(code), ..Dispatchers::default() };
            dispatchers_page(desk, signed, 200, made)
        }
        Err(trouble) => again(trouble, |trouble| {
            let problem = Some(trouble.sentence(&desk.words));
            let typed = Dispatchers { name, problem, ..Dispatchers::default() };
            dispatchers_page(desk, signed, trouble.status(), typed)
        }),
    }
}

fn invite_dispatcher(desk: &Desk, name: &str) -> Result<DispatcherCode, Trouble> {
    let person = person(name)?;
    let mut held = desk.held();
    let carries = held.desk.devices()?.iter().any(|device| device.person == person);
    if carries || held.desk.password(&person)?.is_some() {
        return Err(Trouble::Said("desk-crew-twice"));
    }
    let code = code(&*desk.settings.surroundings)?;
    let now_ms = desk.now().wall_ms;
    let kept = Code {
        hash: code_hash(&code),
        good_for: CodeFor::Dispatcher { person: Some(person) },
        until_ms: now_ms.saturating_add(CODE_MS),
    };
    held.desk.put_code(&kept, now_ms)?;
    Ok(DispatcherCode { code, name: name.to_owned(), until: when(kept.until_ms) })
}

fn dispatchers_page(desk: &Desk, signed: &Signed, status: u16, typed: Dispatchers) -> Answered {
    let known = desk.held().desk.dispatchers()?;
    let line = |(name, since): (coldlug_core::quantity::PersonId, i64)| DispatcherLine {
        name: name.to_string(),
        since: when(since),
    };
    let people = known.into_iter().map(line).collect();
    let page = Dispatchers { frame: frame(desk, signed), people, ..typed };
    drawn(status, page.render(&desk.words))
}
