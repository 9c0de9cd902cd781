//! Both jobs from the dispatcher's desk to the files they leave.

use std::path::Path;

use coldlug_core::{
    job::Sheets,
    mapsheet::{self, MapCorrection},
    plant::Conductor,
    quantity::{AssetId, JobId},
    rule_sheet::RuleSheet,
    sighting::SetAt,
    words::Words,
};
use coldlug_desk::Running;
use coldlug_field::seed::stream;

use super::{
    again::Again,
    clock::Clock,
    desk,
    dispatcher::Dispatcher,
    halt::Halt,
    names::Names,
    people::{Hand, PhoneAt},
    phone::Phone,
    play::{Order, Play},
    row::Row,
    scene::{self, Course},
    script::{Script, Step},
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

/// What both jobs are played with.
struct Stage<'a> {
    ground: &'a Ground,
    seed: u64,
    dir: &'a Path,
    clock: Clock,
    pad: Phone,
    house: Phone,
    dispatcher: Dispatcher,
    words: &'a Words,
    hold: bool,
}

/// Plays the first job until its clearance is on offer by link: the desk as it stands, in the
/// field's time, and the link's address.
pub(crate) fn held(
    ground: &Ground,
    seed: u64,
    dir: &Path,
    words: &Words,
    each: &mut dyn FnMut(),
) -> Result<(Running, String), Halt> {
    let again = Again::begin(dir, seed)?;
    let (desk, _, mut stage) = Stage::set_up(ground, seed, dir, words, &again)?;
    stage.hold = true;
    match stage.job(&METER_BASE, &ground.base.service, each) {
        Err(Halt::Held { at }) => {
            stage.clock.go_by_itself();
            let link = format!("{}{at}", desk.public_url());
            Ok((desk, link))
        }
        Err(other) => Err(other),
        Ok(_) => Err(Halt::stuck("the first job has no clearance by link")),
    }
}

/// Plays both jobs and leaves their files in a folder, and the play as a script where one is asked
/// for. `each` is told of every scene.
pub(crate) fn both(
    ground: &Ground,
    seed: u64,
    dir: &Path,
    script_to: Option<&Path>,
    words: &Words,
    each: &mut dyn FnMut(),
) -> Result<Vec<Played>, Halt> {
    let again = Again::begin(dir, seed)?;
    let (desk, script, mut stage) = Stage::set_up(ground, seed, dir, words, &again)?;
    write_whole(&dir.join("rule-sheet.toml"), RuleSheet::default_text().as_bytes())?;
    let mut played = vec![stage.job(&METER_BASE, &ground.base.service, each)?];
    stage.clock.wait_until_s(NEXT_MORNING_S);
    stage.dispatcher.sign_in()?;
    played.push(stage.job(&BOATHOUSE, &ground.boathouse, each)?);
    let corrections = stage.dispatcher.page("/corrections.geojson")?;
    write_whole(&dir.join("corrections.geojson"), corrections.body.as_bytes())?;
    if let Some(path) = script_to {
        write_whole(path, script.text().as_bytes())?;
    }
    stage.pad.close()?;
    stage.house.close()?;
    desk.stop();
    again.end()?;
    Ok(played)
}

impl<'a> Stage<'a> {
    /// A desk with its dispatcher and map sheet, and both phones enrolled.
    fn set_up(
        ground: &'a Ground,
        seed: u64,
        dir: &'a Path,
        words: &'a Words,
        again: &Again,
    ) -> Result<(Running, Script, Self), Halt> {
        let clock = Clock::of_seed(seed);
        let desk = desk::start(&again.store("desk"), &clock, seed)?;
        let script = Script::new(&clock);
        script.browser(desk::DEVICE, Step::Start { chance: &desk::first_chance(seed) });
        let mut dispatcher = Dispatcher::first(&desk, &script)?;
        let map = ground.record.map_sheet(&ground.world);
        let bytes = serde_json::to_vec_pretty(&map)
            .map_err(|why| Halt::stuck(format!("the map sheet: {why}")))?;
        dispatcher.bring_sheet(&bytes)?;
        let phone = |at: PhoneAt| Phone::open(at, &again.store(at.name()), &clock, seed, &script);
        let (pad, house) = (phone(PhoneAt::Pad)?, phone(PhoneAt::House)?);
        for (phone, who) in [(&pad, Hand::Pad), (&house, Hand::House)] {
            phone.enrol(dispatcher.invite(phone.at(), who)?)?;
        }
        let hold = false;
        let stage = Self { ground, seed, dir, clock, pad, house, dispatcher, words, hold };
        Ok((desk, script, stage))
    }

    /// One job, from the request to the record at the desk.
    fn job(
        &mut self,
        story: &'static Story,
        service: &str,
        each: &mut dyn FnMut(),
    ) -> Result<Played, Halt> {
        let id = JobId::new(story.job)?;
        self.dispatcher.prepare(&id, service, story.work)?;
        self.pad.sync()?;
        self.house.sync()?;
        // What the phones carry of the map is what the crew goes by.
        let (plant, rules) =
            self.pad.look(&id, |_, sheets, _| (sheets.plant.clone(), sheets.rules.clone()))?;
        let sheets = Sheets::new(&plant, &rules);
        let played = self.play(story, &id, service, &sheets, each)?;
        self.leave(story, &id, &sheets)?;
        Ok(played)
    }

    fn play(
        &self,
        story: &'static Story,
        id: &JobId,
        service: &str,
        sheets: &Sheets<'_>,
        each: &mut dyn FnMut(),
    ) -> Result<Played, Halt> {
        let mut draw = stream(self.seed, &format!("app of {}", story.job));
        let first_outlet = if draw.chance(0.5) { Conductor::L1 } else { Conductor::L2 };
        let mut play = Play {
            job: Order { story, id: id.clone(), service: AssetId::new(service)? },
            site: Site::new(self.ground.world.clone(), self.seed),
            clock: self.clock.clone(),
            names: Names::default(),
            draw,
            pad_phone: &self.pad,
            house_phone: &self.house,
            ahead: None,
            desk_wrote: false,
            browser: None,
            hold: self.hold,
            stay: None,
            pull: None,
            marks: std::collections::BTreeMap::new(),
            rows: Vec::new(),
            sheets,
            first_outlet,
        };
        let mut course = Course::default();
        for scene in story.scenes {
            scene::play(*scene, &mut play, &mut course, self.words)?;
            each();
        }
        play.all_meet()?;
        self.pad.same_as(&self.house, id)?;
        self.pad.ends(id, &Hand::Pad.person()?)?;
        Ok(Played { story, rows: play.rows, set: course.set()?, corrections: course.corrections })
    }

    /// Leaves a job's files: events, the record as the desk signs it, the map sheet it is judged with.
    fn leave(&mut self, story: &Story, id: &JobId, sheets: &Sheets<'_>) -> Result<(), Halt> {
        let file = |name: &str| self.dir.join(format!("{}-{name}", story.file));
        write_whole(&file("events.jsonl"), &self.pad.events_file(id)?)?;
        let map = mapsheet::canonical_bytes(sheets.plant)
            .map_err(|why| Halt::stuck(format!("the map sheet: {why}")))?;
        // The town is one network: both jobs carry the same cut of it, unless a seed says otherwise.
        let shared = self.dir.join("map-sheet.geojson");
        let other =
            story.file != METER_BASE.file && std::fs::read(&shared).ok() != Some(map.clone());
        write_whole(&if other { file("map-sheet.geojson") } else { shared }, &map)?;
        let record = file("record.jsonl");
        let page = self.dispatcher.page(&format!("/jobs/{id}/record"))?;
        write_whole(&record, page.body.as_bytes())?;
        Ok(())
    }
}
