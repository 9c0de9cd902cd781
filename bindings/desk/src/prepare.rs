//! A job is prepared: sheets are packed and pinned, the crew is named, the desk opens it.

use std::collections::BTreeMap;

use coldlug_core::{
    event::{Body, CrewMember, Event, JobOpened},
    gate::{EDITION, Role, Scope},
    job::{CarriedSheets, State, decide},
    log::Log,
    mapsheet::{self, AroundError},
    plant::Plant,
    quantity::{AssetId, JobId, PersonId},
    rule_sheet::RuleSheet,
};
use coldlug_store::{BlobKind, desk::DeviceEnrolled};

use crate::{carried::Carried, desk::Desk, held::Held, sticker, trouble::Trouble, write::named};

/// Most characters of a job's name.
const LONGEST_NAME: usize = 40;

/// What a job is prepared from.
#[derive(Debug)]
pub(crate) struct Request<'a> {
    /// The name it is to have; empty: the desk makes one.
    pub(crate) name: &'a str,
    /// The map sheet it is cut from.
    pub(crate) plant: &'a Plant,
    /// The rule sheet, as text.
    pub(crate) rules: &'a str,
    /// The service to be made dead.
    pub(crate) service: AssetId,
    /// Which conductors the work is on or near.
    pub(crate) scope: Scope,
    /// What the work is.
    pub(crate) work: &'a str,
    /// Devices of the crew.
    pub(crate) devices: Vec<DeviceEnrolled>,
    /// Electricians without a device.
    pub(crate) electricians: Vec<PersonId>,
}

/// Prepares a job. When this returns its name, it survives a kill.
pub(crate) fn prepare(
    desk: &Desk,
    held: &mut Held,
    by: &PersonId,
    request: Request<'_>,
) -> Result<JobId, Trouble> {
    let job = name_of(held, request.name)?;
    let crew = crew_of(desk, held, &request)?;
    let plant = mapsheet::around(request.plant, &request.service).map_err(|error| match error {
        AroundError::UnknownService { .. } => Trouble::Said("desk-choose-service"),
        AroundError::TooLarge { .. } => Trouble::Said("desk-sheet-too-large"),
    })?;
    let map_sheet = mapsheet::canonical_bytes(&plant).map_err(|e| Trouble::bug(&e))?;
    let rules = RuleSheet::parse(request.rules).map_err(|_| Trouble::Said("desk-no-rule-sheet"))?;
    let sheets = CarriedSheets::new(plant, rules);
    let lent = sheets.lend();
    let hash = |text: &str| text.parse().map_err(|error: String| Trouble::bug(&error));
    let event = Event {
        id: named(desk, 1)?,
        at: desk.now(),
        device: desk.device.clone(),
        person: by.clone(),
        late_wall_ms: None,
        body: Body::JobOpened(JobOpened {
            sticker_sha256: Some(sticker::sealed(desk, &job)?),
            job: job.clone(),
            service: request.service,
            scope: request.scope,
            work: request.work.to_owned(),
            map_sheet_sha256: hash(lent.map_hash())?,
            rule_sheet_sha256: hash(lent.rules_hash())?,
            rules_edition: EDITION.to_owned(),
            crew,
        }),
    };
    let mut log = Log::new(job.clone());
    log.enrol(desk.device.clone(), desk.public_key())?;
    for device in &request.devices {
        log.enrol(device.device.clone(), device.public_key)?;
    }
    for event in decide(&State::default(), &lent, event).map_err(Trouble::Refused)? {
        log.append(event, &desk.key)?;
    }
    // What cannot be carried is not kept.
    let carried = Carried::new(log, &map_sheet, request.rules.as_bytes())?;
    keep(held, &job, &carried.log, &map_sheet, request.rules.as_bytes())?;
    held.carried.insert(job.clone(), carried);
    Ok(job)
}

/// The opening entry is kept last: without it there is no job, only a name that is taken.
fn keep(
    held: &mut Held,
    job: &JobId,
    log: &Log,
    map_sheet: &[u8],
    rules: &[u8],
) -> Result<(), Trouble> {
    for (device, key) in log.keys() {
        held.jobs.enrol(job, device, key)?;
    }
    for (kind, bytes) in [(BlobKind::MapSheet, map_sheet), (BlobKind::RuleSheet, rules)] {
        let hash = held.jobs.keep(kind, bytes)?;
        held.jobs.pin(job, kind, &hash)?;
    }
    let entries: Vec<_> = log.in_order().into_iter().cloned().collect();
    held.jobs.append_all(job, &entries, &BTreeMap::new())?;
    Ok(())
}

/// The name that was asked for, where it is free; else the next of `J-0001`.
fn name_of(held: &Held, asked: &str) -> Result<JobId, Trouble> {
    let jobs = held.jobs.jobs()?;
    if asked.is_empty() {
        let number = |job: &JobId| job.as_str().strip_prefix("J-")?.parse::<u32>().ok();
        let last = jobs.iter().filter_map(number).max().unwrap_or(0);
        let next = format!("J-{:04}", last.saturating_add(1));
        return JobId::new(next).map_err(|error| Trouble::bug(&error));
    }
    let plain = asked.chars().all(|c| c.is_ascii_alphanumeric() || c == '-');
    match JobId::new(asked) {
        Ok(job) if plain && asked.len() <= LONGEST_NAME && !jobs.contains(&job) => Ok(job),
        _ => Err(Trouble::Said("desk-job-name-not-free")),
    }
}

/// The crew: every dispatcher at the desk, the devices' people, the electricians. Nobody twice.
fn crew_of(desk: &Desk, held: &Held, request: &Request<'_>) -> Result<Vec<CrewMember>, Trouble> {
    let mut crew = Vec::new();
    for (person, _) in held.desk.dispatchers()? {
        let device = Some(desk.device.clone());
        crew.push(CrewMember { person, role: Role::Dispatcher, device });
    }
    for device in &request.devices {
        let DeviceEnrolled { device, person, .. } = device.clone();
        crew.push(CrewMember { person, role: Role::Lineworker, device: Some(device) });
    }
    for person in request.electricians.iter().cloned() {
        crew.push(CrewMember { person, role: Role::Electrician, device: None });
    }
    let mut people: Vec<&PersonId> = crew.iter().map(|member| &member.person).collect();
    people.sort();
    people.dedup();
    if people.len() == crew.len() { Ok(crew) } else { Err(Trouble::Said("desk-crew-twice")) }
}
