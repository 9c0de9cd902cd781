//! The dispatcher at the desk's pages: the first one signs in, brings the map sheet, gives codes to
//! the phones, and prepares the jobs.

use coldlug_core::quantity::JobId;
use coldlug_desk::Running;
use coldlug_phone::{Invitation, read_invitation};

use super::{
    halt::Halt,
    people::{Hand, PhoneAt},
    script::Script,
    web::{Form, Page, Visitor, WebError},
};

/// The dispatcher's name.
pub(crate) const NAME: &str = "dispatcher-1";
/// The password. It guards nothing: everybody here is made up.
pub(crate) const PASSWORD: &str = "harbour light on the hill";
/// The name of the map sheet at the desk.
const SHEET: &str = "hillside";

/// The dispatcher's browser.
pub(crate) struct Dispatcher(Visitor);

impl Dispatcher {
    /// The first dispatcher of a desk, by the code it was started with.
    pub(crate) fn first(desk: &Running, script: &Script) -> Result<Self, Halt> {
        let code = desk.first_code().ok_or(Halt::stuck("the desk has a dispatcher already"))?;
        script.stands_for(code, "first-code");
        let visitor = Visitor::new(&format!("http://{}", desk.address()));
        let mut visitor = visitor.of(NAME, script);
        let form = visitor.get("/start")?.fine()?.form("/start")?;
        let answers = [("code", code), ("name", NAME), ("password", PASSWORD)];
        done(visitor.send(&form, &answers)?)?;
        Ok(Self(visitor))
    }

    /// Comes back after a while: signs in.
    pub(crate) fn sign_in(&mut self) -> Result<(), Halt> {
        let form = self.0.get("/sign-in")?.fine()?.form("/sign-in")?;
        done(self.0.send(&form, &[("name", NAME), ("password", PASSWORD)])?)
    }

    /// Brings the map sheet.
    pub(crate) fn bring_sheet(&mut self, bytes: &[u8]) -> Result<(), Halt> {
        let form = self.form("/map-sheets", "/map-sheets")?;
        let file = ("sheet", "hillside.geojson", bytes);
        done(self.0.upload(&form, &[("name", SHEET)], file)?)
    }

    /// Makes a code for a phone: what its picture holds.
    pub(crate) fn invite(&mut self, phone: PhoneAt, who: Hand) -> Result<Invitation, Halt> {
        let form = self.form("/devices", "/devices")?;
        let page = self.0.send(&form, &[("device", phone.name()), ("person", who.name())])?;
        let address = page.fine()?.address_shown()?;
        Ok(read_invitation(address)?)
    }

    /// Prepares a job for a service that is found by its name: both phones and the electrician.
    pub(crate) fn prepare(&mut self, job: &JobId, service: &str, work: &str) -> Result<(), Halt> {
        let page = self.0.get("/jobs/new")?.fine()?;
        let sheet = page.choice_of("sheet")?;
        let found = self.0.get(&format!("/jobs/new?sheet={sheet}&q={service}"))?.fine()?;
        let form = found.form("/jobs")?;
        let answers = [
            ("sheet", sheet.as_str()),
            ("service", service),
            ("scope", "base-both-sides"),
            ("work", work),
            ("crew", PhoneAt::Pad.name()),
            ("crew", PhoneAt::House.name()),
            ("electrician", Hand::Electrician.name()),
            ("job", job.as_str()),
            ("rules", ""),
        ];
        done(self.0.send(&without(form, &answers), &answers)?)
    }

    /// A page of the desk; after a long while the desk asks who this is again.
    pub(crate) fn page(&mut self, path: &str) -> Result<Page, Halt> {
        let page = self.0.get(path)?.fine()?;
        if page.address == path {
            return Ok(page);
        }
        self.sign_in()?;
        Ok(self.0.get(path)?.fine()?)
    }

    fn form(&mut self, page: &str, ends: &str) -> Result<Form, WebError> {
        self.0.get(page)?.fine()?.form(ends)
    }
}

/// A form whose hidden fields are not answered twice.
fn without(mut form: Form, answers: &[(&str, &str)]) -> Form {
    form.hidden.retain(|(name, _)| answers.iter().all(|(answered, _)| answered != name));
    form
}

/// A form that was taken leads to another page; one that was not comes back with its reason.
fn done(page: Page) -> Result<(), Halt> {
    match page.problem() {
        Some(problem) => Err(Halt::stuck(format!("{}: {problem}", page.address))),
        None => Ok(page.fine().map(drop)?),
    }
}
