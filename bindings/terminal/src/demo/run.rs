//! Both jobs from the first scene to the files they leave.

use std::path::Path;

use coldlug_core::{
    job::Sheets,
    mapsheet::{self, MapCorrection, corrections_to_geojson},
    plant::Conductor,
    quantity::AssetId,
    rule_sheet::RuleSheet,
    sighting::SetAt,
    words::Words,
};
use coldlug_field::seed::stream;

use super::{
    clock::Clock,
    halt::Halt,
    names::Names,
    people::PhoneAt,
    phone::Phone,
    play::{Order, Play},
    row::Row,
    scene::{self, Course},
    site::Site,
    story::{BOATHOUSE, Ground, METER_BASE, Story},
};
use crate::file::write_whole;

/// What one job came to.
pub(crate) struct Played {
    /// Its story.
    pub(crate) story: &'static Story,
    /// Its table.
    pub(crate) rows: Vec<Row>,
    /// The set it was carried through on.
    pub(crate) set: SetAt,
    /// Corrections of the map.
    pub(crate) corrections: Vec<MapCorrection>,
}

/// The second job begins the morning after.
const NEXT_MORNING_S: u32 = 18 * 3600;

/// Plays both jobs and leaves their files in a folder. `each` is told of every scene.
pub(crate) fn both(
    ground: &Ground,
    seed: u64,
    dir: &Path,
    words: &Words,
    each: &mut dyn FnMut(),
) -> Result<Vec<Played>, Halt> {
    let map = ground.record.map_sheet(&ground.world);
    let bytes = serde_json::to_vec_pretty(&map)
        .map_err(|why| Halt::stuck(format!("the map sheet: {why}")))?;
    let sheet = mapsheet::read(&bytes).map_err(|why| Halt::stuck(why.to_string()))?;
    let rules = RuleSheet::default();
    let sheets = Sheets::new(&sheet.plant, &rules);
    // A folder of another run is refused before anything in it is touched.
    for phone in [PhoneAt::Pad, PhoneAt::House] {
        Phone::open(phone, &METER_BASE, seed, &sheets, dir)?.close()?;
    }
    write_whole(&dir.join("map-sheet.geojson"), &bytes)?;
    write_whole(&dir.join("rule-sheet.toml"), RuleSheet::default_text().as_bytes())?;
    let mut played = Vec::new();
    for (story, service, later_s) in
        [(&METER_BASE, &ground.base.service, 0), (&BOATHOUSE, &ground.boathouse, NEXT_MORNING_S)]
    {
        let mut clock = Clock::of_seed(seed);
        clock.pass_s(later_s);
        let site = Site::new(ground.world.clone(), seed);
        let order = Order { story, service: AssetId::new(service.as_str())? };
        played.push(one(order, site, clock, seed, &sheets, dir, words, each)?);
    }
    let corrections: Vec<MapCorrection> =
        played.iter().flat_map(|job| job.corrections.iter().cloned()).collect();
    let geojson = corrections_to_geojson(&sheet.plant, &corrections);
    let bytes = serde_json::to_vec_pretty(&geojson)
        .map_err(|why| Halt::stuck(format!("the corrections: {why}")))?;
    write_whole(&dir.join("corrections.geojson"), &bytes)?;
    Ok(played)
}

#[allow(clippy::too_many_arguments, reason = "everything a job is played with, once")]
fn one(
    job: Order,
    site: Site,
    clock: Clock,
    seed: u64,
    sheets: &Sheets<'_>,
    dir: &Path,
    words: &Words,
    each: &mut dyn FnMut(),
) -> Result<Played, Halt> {
    let story = job.story;
    let mut draw = stream(seed, &format!("app of {}", story.job));
    let first_outlet = if draw.chance(0.5) { Conductor::L1 } else { Conductor::L2 };
    let mut play = Play {
        job,
        site,
        clock,
        names: Names::default(),
        draw,
        pad_phone: Phone::open(PhoneAt::Pad, story, seed, sheets, dir)?,
        house_phone: Phone::open(PhoneAt::House, story, seed, sheets, dir)?,
        stay: None,
        pull: None,
        marks: std::collections::BTreeMap::new(),
        rows: Vec::new(),
        sheets,
        first_outlet,
    };
    let mut course = Course::default();
    for scene in story.scenes {
        scene::play(*scene, &mut play, &mut course, words)?;
        each();
    }
    play.pad_phone.same_as(&play.house_phone)?;
    let events = play.pad_phone.events_file()?;
    write_whole(&dir.join(format!("{}-events.jsonl", story.file)), &events)?;
    let record = play.pad_phone.record_file()?;
    write_whole(&dir.join(format!("{}-record.jsonl", story.file)), &record)?;
    play.pad_phone.close()?;
    play.house_phone.close()?;
    Ok(Played { story, rows: play.rows, set: course.set()?, corrections: course.corrections })
}
