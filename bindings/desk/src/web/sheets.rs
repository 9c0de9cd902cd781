//! Map sheets: which there are, and taking one in; a rule sheet comes in by the same form.

use coldlug_core::{event::Sha256Hex, mapsheet, rule_sheet::RuleSheet};
use coldlug_store::{
    BlobKind,
    desk::{SheetListed, SheetOf},
};

use super::{drawn, frame, when};
use crate::{
    answer::{Answered, see},
    asked::Asked,
    desk::Desk,
    entrance::Signed,
    pages::{MapSheetLine, MapSheets},
    trouble::Trouble,
};

/// Longest name of a sheet on the list, characters.
const LONGEST_NAME: usize = 120;

/// `GET /map-sheets`.
pub(crate) fn map_sheets(desk: &Desk, _: &Asked, signed: &Signed) -> Answered {
    page(desk, signed, 200, MapSheets::default())
}

/// `POST /map-sheets`.
pub(crate) fn bring_sheet(desk: &Desk, asked: &Asked, signed: &Signed) -> Answered {
    let name = asked.field("name").to_owned();
    let again = |problem: &str, findings: Vec<String>| {
        let problem = Some(desk.words.plain(problem));
        page(
            desk,
            signed,
            400,
            MapSheets { name: name.clone(), problem, findings, ..MapSheets::default() },
        )
    };
    let Some(bytes) = asked.files.get("sheet").filter(|bytes| !bytes.is_empty()) else {
        return again("desk-no-file", Vec::new());
    };
    if name.chars().count() > LONGEST_NAME || name.chars().any(char::is_control) {
        return again("desk-name-not-usable", Vec::new());
    }
    // A map sheet is JSON and begins with a brace, which no rule sheet does.
    if bytes.trim_ascii_start().first() != Some(&b'{') {
        let text = str::from_utf8(bytes).unwrap_or_default();
        return match RuleSheet::parse(text) {
            Ok(rules) => keep_rules(desk, rules, text, &name),
            Err(refused) => {
                let findings = refused.findings.iter().map(ToString::to_string).collect();
                again("desk-sheet-refused", findings)
            }
        };
    }
    let read = match mapsheet::read(bytes) {
        Ok(read) => read,
        Err(refused) => {
            let findings = refused.findings.iter().map(ToString::to_string).collect();
            return again("desk-sheet-refused", findings);
        }
    };
    let canonical = mapsheet::canonical_bytes(&read.plant).map_err(|e| Trouble::bug(&e))?;
    let mut held = desk.held();
    let hash = held.jobs.keep(BlobKind::MapSheet, &canonical)?;
    let listed = SheetListed {
        hash,
        name: if name.is_empty() { read.plant.name.clone() } else { name.clone() },
        edition: read.plant.edition.clone(),
        since_ms: desk.now().wall_ms,
    };
    held.desk.list_sheet(SheetOf::Map, &listed)?;
    held.keep_plant(hash, read.plant);
    Ok(see("/map-sheets"))
}

fn keep_rules(desk: &Desk, rules: RuleSheet, text: &str, name: &str) -> Answered {
    let mut held = desk.held();
    let hash = held.jobs.keep(BlobKind::RuleSheet, text.as_bytes())?;
    let name = if name.is_empty() { rules.utility } else { name.to_owned() };
    let listed = SheetListed { hash, name, edition: rules.edition, since_ms: desk.now().wall_ms };
    held.desk.list_sheet(SheetOf::Rules, &listed)?;
    Ok(see("/jobs/new"))
}

fn page(desk: &Desk, signed: &Signed, status: u16, typed: MapSheets) -> Answered {
    let mut held = desk.held();
    let mut sheets = Vec::new();
    for SheetListed { hash, name, since_ms, .. } in held.desk.sheets(SheetOf::Map)? {
        let plant = held.plant(&hash)?.ok_or_else(|| missing(&hash))?;
        let (services, pads) = (plant.services.len(), plant.pads.len());
        let (sha256, since) = (hash.to_string(), when(since_ms));
        sheets.push(MapSheetLine { name, sha256, services, pads, since });
    }
    drop(held);
    let page = MapSheets { frame: frame(desk, signed), sheets, ..typed };
    drawn(status, page.render(&desk.words))
}

fn missing(hash: &Sha256Hex) -> Trouble {
    Trouble::Desk(format!("map sheet {hash} is on the list and not here"))
}
