//! What a desk would have put on the phone: who it is, the sheets, and the opened jobs.

use std::{error::Error, path::Path};

use coldlug_core::{
    event::Event,
    gate::EDITION,
    job::CarriedSheets,
    log::{DeviceKey, Log},
    mapsheet,
    quantity::{DeviceId, JobId, PersonId},
    rule_sheet::RuleSheet,
};
use coldlug_store::{BlobKind, Own, OwnDesk, Store};
use serde_json::json;

use crate::ports::SEED;

/// Who carries the phone.
pub(crate) const PERSON: &str = "lw-a";
/// The job that is worked on.
pub(crate) const WORKED_ON: &str = "J-0417";
/// The job that is only requested.
const REQUESTED: &str = "J-0418";

const MAP_SHEET: &[u8] = include_bytes!("map_sheet.geojson");

/// Makes the store.
pub(crate) fn leave(store: &Path) -> Result<(), Box<dyn Error>> {
    let mut store = Store::open(store)?;
    let (phone, desk) = (DeviceKey::from_seed(&SEED), DeviceKey::from_seed(&[3; 32]));
    let (phone_name, desk_name) = (DeviceId::new("phone-a")?, DeviceId::new("desk")?);
    store.set_own(&Own {
        device: phone_name.clone(),
        public_key: phone.public(),
        desk_url: "http://127.0.0.1:9".to_owned(),
        desk: Some(OwnDesk {
            device: desk_name.clone(),
            key: desk.public(),
            person: PersonId::new(PERSON)?,
        }),
    })?;
    let rules = RuleSheet::default_text().as_bytes();
    let sheets = CarriedSheets::read(MAP_SHEET, rules)?;
    // As a desk sends it: the bytes that the job is pinned to.
    let map_sheet = mapsheet::canonical_bytes(sheets.lend().plant)?;
    let map_hash = store.keep(BlobKind::MapSheet, &map_sheet)?;
    let rules_hash = store.keep(BlobKind::RuleSheet, rules)?;
    for (job, service) in [(WORKED_ON, "P1V2"), (REQUESTED, "P2V1")] {
        let id = JobId::new(job)?;
        let mut log = Log::new(id.clone());
        for (device, key) in [(&phone_name, &phone), (&desk_name, &desk)] {
            store.enrol(&id, device, &key.public())?;
            log.enrol(device.clone(), key.public())?;
        }
        store.pin(&id, BlobKind::MapSheet, &map_hash)?;
        store.pin(&id, BlobKind::RuleSheet, &rules_hash)?;
        let opened = opened(job, service, &sheets)?;
        store.append(&log.append(opened, &desk)?)?;
    }
    Ok(store.close()?)
}

fn opened(job: &str, service: &str, sheets: &CarriedSheets) -> Result<Event, Box<dyn Error>> {
    let lent = sheets.lend();
    Ok(Event::from_value(json!({
        "id": "desk-1", "kind": "job-opened", "version": 1,
        "at": {"wall_ms": 1_790_000_000_000_i64, "boot": "desk/1", "mono_ms": 0},
        "device": "desk", "person": "dis-d",
        "body": {
            "job": job, "service": service, "scope": "base-line-side",
            "work": "replace the corroded meter base",
            "map_sheet_sha256": lent.map_hash(), "rule_sheet_sha256": lent.rules_hash(),
            "rules_edition": EDITION,
            "crew": [
                {"person": PERSON, "role": "lineworker", "device": "phone-a"},
                {"person": "lw-b", "role": "lineworker"},
                {"person": "el-c", "role": "electrician"},
                {"person": "dis-d", "role": "dispatcher", "device": "desk"},
            ],
        },
    }))?)
}
