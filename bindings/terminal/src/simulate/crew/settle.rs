//! Premises and cable set, settled by the tests the software asks for.

use std::rc::Rc;

use coldlug_core::{
    caution::Subject,
    event::{Body, Briefed, JobOpened, ShownVerdict, VerdictShown},
    gate::{EDITION, Scope},
    quantity::JobId,
    reconcile::{Advice, Test},
    sighting::{Evidence, SetAt, seal_sticker},
};

use super::{Crew, Halt, Who};
use crate::simulate::slip::Slip;

/// The code on the job's sticker; invented.
const STICKER: &str = "Q7K2-94MX";
/// More tests than an honest job needs; then the crew calls the dispatcher.
const MOST_TESTS: u32 = 60;

impl Crew<'_> {
    /// The job as the dispatcher prepares it.
    pub(super) fn open_job(&mut self) -> Result<(), Halt> {
        let hash = |text: &str| text.parse().map_err(|_| Halt::BROKEN);
        let body = JobOpened {
            job: JobId::new("J-0001")?,
            service: self.target.clone(),
            scope: Scope::BaseBothSides,
            work: "replace the meter base".to_owned(),
            map_sheet_sha256: hash(self.sheets.map_hash())?,
            rule_sheet_sha256: hash(self.sheets.rules_hash())?,
            rules_edition: EDITION.to_owned(),
            crew: self.cast.crew(),
            sticker_sha256: Some(hash(&seal_sticker(STICKER))?),
        };
        self.write(Who::Dispatcher, Body::JobOpened(body))?;
        self.put_sticker()
    }

    /// The electrician puts the job's sticker on the base.
    fn put_sticker(&mut self) -> Result<(), Halt> {
        let target = self.target.to_string();
        let wrong = self.slips.lasts(Slip::ElectricianWrong);
        let base = self.next_door.clone().filter(|_| wrong).unwrap_or(target);
        Ok(self.site.world.put_sticker(&base, STICKER)?)
    }

    /// The tailboard briefing.
    pub(super) fn brief(&mut self) -> Result<(), Halt> {
        self.pass_s(420);
        let present = [Who::Pad, Who::House, Who::Electrician]
            .into_iter()
            .map(|who| self.cast.person(who).clone())
            .collect();
        let subjects = Subject::ALL.to_vec();
        self.write(Who::Pad, Body::Briefed(Briefed { subjects, present }))?;
        Ok(())
    }

    /// The evidence so far.
    pub(super) fn evidence(&self) -> Result<&Evidence, Halt> {
        self.state.evidence.as_ref().ok_or(Halt::BROKEN)
    }

    /// What the software advises by the evidence so far: asked anew only where something was written
    /// since.
    pub(super) fn advised(&mut self) -> Result<Rc<Advice>, Halt> {
        let written = self.state.applied.len();
        if let Some((then, advice)) = &self.advice
            && *then == written
        {
            return Ok(Rc::clone(advice));
        }
        let advice = Rc::new(self.sheets.advise(self.evidence()?));
        self.advice = Some((written, Rc::clone(&advice)));
        Ok(advice)
    }

    /// Does the first offered test that can be done, until a set is identified.
    pub(super) fn settle(&mut self) -> Result<SetAt, Halt> {
        for _ in 0..MOST_TESTS {
            let advised = self.advised()?;
            if let Some(set) = advised.identified.clone() {
                self.show(&set)?;
                return Ok(set);
            }
            let mut done = false;
            for offered in &advised.settling {
                if self.follow(&offered.test)? {
                    done = true;
                    break;
                }
            }
            if !done {
                return Err(Halt::NOTHING_OFFERED);
            }
        }
        Err(Halt::TOO_MANY_TESTS)
    }

    /// Does one test. False: it cannot be done here.
    fn follow(&mut self, test: &Test) -> Result<bool, Halt> {
        tracing::debug!(?test, t_s = self.t_s(), "advised");
        match test {
            Test::BeginStay | Test::BeginStayAnew => self.begin_stay()?,
            Test::ChangePlaces => self.change_places()?,
            Test::CallDesk => return Err(Halt::NOTHING_OFFERED),
            Test::SearchPad { pad } => {
                self.count.tests += 1;
                self.search_pad(pad)?;
                if self.stay.is_some() {
                    self.bare_steps(pad)?;
                }
            }
            Test::BareSteps { pad } => return self.bare_steps(pad),
            Test::LoadStep { set, by, leg, outlet } => {
                return self.load_step(set, *by, *leg, outlet.as_deref());
            }
            Test::Tone { pad } => return self.tone(pad),
            Test::ReadMarkers { pad } => return self.read_markers(pad),
            Test::ReadMeterNumber => return self.look(Self::read_meter_number),
            Test::PictureOfMeter => return self.look(Self::picture_of_meter),
            Test::PhotographSticker => return self.look(Self::photograph_sticker),
            Test::CompareWithBilling => return self.look(Self::compare_with_billing),
            Test::AskCustomer => return self.look(Self::ask_customer),
            Test::ReadPlate => return self.look(|crew| crew.read_plate().map(|()| true)),
            Test::AskElectrician => return self.look(|crew| crew.ask_electrician().map(|()| true)),
        }
        Ok(true)
    }

    /// A look at the premises, counted where it could be had.
    fn look(&mut self, look: impl FnOnce(&mut Self) -> Result<bool, Halt>) -> Result<bool, Halt> {
        let had = look(self)?;
        self.count.looks += u32::from(had);
        Ok(had)
    }

    /// Writes down that the verdict was on the screen.
    fn show(&mut self, set: &SetAt) -> Result<(), Halt> {
        let after = self.state.applied.last().map(|applied| applied.event.id.clone());
        let shown = ShownVerdict::Identified { set: set.clone() };
        let body = VerdictShown { shown, after, rules_edition: EDITION.to_owned() };
        self.write(Who::Pad, Body::VerdictShown(body))?;
        Ok(())
    }
}
