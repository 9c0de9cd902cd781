//! A job is prepared by form.

use std::sync::Arc;

use coldlug_core::{
    event::Sha256Hex,
    gate::Scope,
    plant::{Plant, Service},
    quantity::{AssetId, DeviceId, JobId, PersonId},
    rule_sheet::RuleSheet,
    screen::Choice,
};
use coldlug_store::{
    BlobKind,
    desk::{DeviceEnrolled, SheetListed, SheetOf},
};

use super::{again, drawn, frame, start::person};
use crate::{
    answer::{Answered, see},
    asked::Asked,
    desk::Desk,
    entrance::Signed,
    held::Held,
    pages::{CrewChoice, NewJob, ServiceLine, SheetChoice},
    prepare::{Request, prepare},
    trouble::Trouble,
};

/// How many services are shown of those that were found.
const SHOWN: usize = 20;
/// Most people on a crew.
const MOST_PEOPLE: usize = 40;
/// Longest words for the work, bytes.
const LONGEST_WORK: usize = 400;
/// The scopes to choose from; a cable is not prepared by form.
const SCOPES: [Scope; 4] =
    [Scope::BaseBothSides, Scope::BaseLineSide, Scope::PadSecondary, Scope::PadPrimary];

/// `GET /jobs/new`.
pub(crate) fn new_job(desk: &Desk, asked: &Asked, signed: &Signed) -> Answered {
    let typed = NewJob {
        sheet: asked.queried("sheet").to_owned(),
        asked: asked.queried("q").to_owned(),
        ..NewJob::default()
    };
    page(desk, &mut desk.held(), signed, 200, typed)
}

/// `POST /jobs`.
pub(crate) fn prepare_job(desk: &Desk, asked: &Asked, signed: &Signed) -> Answered {
    let mut held = desk.held();
    match prepared(desk, &mut held, asked, &signed.person) {
        Ok(job) => Ok(see(&format!("/jobs/{job}"))),
        Err(trouble) => again(trouble, |trouble| {
            let text = |name| asked.field(name).to_owned();
            let typed = NewJob {
                sheet: text("sheet"),
                asked: text("q"),
                service: text("service"),
                scope: text("scope"),
                electricians: asked.fields("electrician").map(str::to_owned).collect(),
                rule_sheet: text("rules"),
                work: text("work"),
                job: text("job"),
                problem: Some(trouble.sentence(&desk.words)),
                crew: asked
                    .fields("crew")
                    .map(|device| CrewChoice {
                        device: device.to_owned(),
                        person: String::new(),
                        chosen: true,
                    })
                    .collect(),
                ..NewJob::default()
            };
            page(desk, &mut held, signed, trouble.status(), typed)
        }),
    }
}

fn prepared(desk: &Desk, held: &mut Held, asked: &Asked, by: &PersonId) -> Result<JobId, Trouble> {
    let no_sheet = Trouble::Said("desk-choose-sheet");
    let hash: Option<Sha256Hex> = asked.field("sheet").parse().ok();
    let plant = match hash {
        Some(hash) => listed_plant(held, &hash)?.ok_or(no_sheet)?,
        None => return Err(no_sheet),
    };
    let service = AssetId::new(asked.field("service")).ok();
    let service = service.filter(|service| plant.services.contains_key(service));
    let service = service.ok_or(Trouble::Said("desk-choose-service"))?;
    let scope: Scope =
        asked.field("scope").parse().map_err(|_| Trouble::Said("desk-choose-scope"))?;
    let work = asked.field("work");
    if work.len() > LONGEST_WORK || work.chars().any(char::is_control) {
        return Err(Trouble::Said("desk-work-too-long"));
    }
    let rules = rules(held, asked.field("rules"))?;
    let electricians = asked.fields("electrician").filter(|name| !name.is_empty()).map(person);
    let request = Request {
        name: asked.field("job"),
        plant: &plant,
        rules: &rules,
        service,
        scope,
        work,
        devices: devices(held, asked)?,
        electricians: electricians.take(MOST_PEOPLE).collect::<Result<_, _>>()?,
    };
    prepare(desk, held, by, request)
}

fn devices(held: &Held, asked: &Asked) -> Result<Vec<DeviceEnrolled>, Trouble> {
    let unknown = || Trouble::Said("desk-choose-crew");
    let mut devices = Vec::new();
    for name in asked.fields("crew").take(MOST_PEOPLE) {
        let name = DeviceId::new(name).map_err(|_| unknown())?;
        let device = held.desk.device(&name)?.filter(|device| device.revoked_ms.is_none());
        devices.push(device.ok_or_else(unknown)?);
    }
    if devices.is_empty() { Err(unknown()) } else { Ok(devices) }
}

/// The text of the rule sheet that was chosen; nothing chosen: the cautious default.
fn rules(held: &Held, chosen: &str) -> Result<String, Trouble> {
    if chosen.is_empty() {
        return Ok(RuleSheet::default_text().to_owned());
    }
    let none = || Trouble::Said("desk-no-rule-sheet");
    let hash: Sha256Hex = chosen.parse().map_err(|_| none())?;
    let bytes = held.jobs.blob(BlobKind::RuleSheet, &hash)?.ok_or_else(none)?;
    String::from_utf8(bytes).map_err(|_| none())
}

fn listed_plant(held: &mut Held, hash: &Sha256Hex) -> Result<Option<Arc<Plant>>, Trouble> {
    let listed = held.desk.sheets(SheetOf::Map)?.iter().any(|sheet| sheet.hash == *hash);
    Ok(if listed { held.plant(hash)? } else { None })
}

fn page(desk: &Desk, held: &mut Held, signed: &Signed, status: u16, typed: NewJob) -> Answered {
    let choice = |sheet: &SheetListed| SheetChoice {
        value: sheet.hash.to_string(),
        label: format!("{} ({})", sheet.name, sheet.edition),
    };
    let sheets: Vec<SheetChoice> = held.desk.sheets(SheetOf::Map)?.iter().map(choice).collect();
    let default =
        SheetChoice { value: String::new(), label: desk.words.plain("desk-default-rules").text };
    let rules = held.desk.sheets(SheetOf::Rules)?;
    let rules = std::iter::once(default).chain(rules.iter().map(choice)).collect();
    let first = sheets.first().map_or(String::new(), |sheet| sheet.value.clone());
    let sheet = if typed.sheet.is_empty() { first } else { typed.sheet.clone() };
    let (found, more) = found(held, &sheet, &typed.asked)?;
    let chosen = |device: &str| typed.crew.iter().any(|choice| choice.device == device);
    let crew = held.desk.devices()?.into_iter().filter(|device| device.revoked_ms.is_none());
    let crew = crew
        .map(|device| CrewChoice {
            chosen: chosen(device.device.as_str()),
            device: device.device.to_string(),
            person: device.person.to_string(),
        })
        .collect();
    let scopes = SCOPES
        .iter()
        .map(|scope| Choice {
            value: scope.to_string(),
            label: desk.words.plain(&format!("desk-scope-{scope}")),
        })
        .collect();
    let frame = frame(desk, signed);
    let page = NewJob { frame, sheets, sheet, found, more, scopes, crew, rules, ..typed };
    drawn(status, page.render(&desk.words))
}

/// The services that were searched for, and how many more there are.
fn found(
    held: &mut Held,
    sheet: &str,
    asked: &str,
) -> Result<(Option<Vec<ServiceLine>>, usize), Trouble> {
    if asked.is_empty() {
        return Ok((None, 0));
    }
    let plant = match sheet.parse() {
        Ok(hash) => listed_plant(held, &hash)?,
        Err(_) => None,
    };
    let Some(plant) = plant else { return Ok((Some(Vec::new()), 0)) };
    let services = plant.services_like(asked);
    let more = services.len().saturating_sub(SHOWN);
    let line = |service: &Service| ServiceLine {
        service: service.id.to_string(),
        premises: service.premises.clone(),
        meters: service.meters.clone(),
        pad: plant.feed_of(&service.id).ok().and_then(|feed| feed.pad).map(|pad| pad.to_string()),
    };
    Ok((Some(services.into_iter().take(SHOWN).map(line).collect()), more))
}
