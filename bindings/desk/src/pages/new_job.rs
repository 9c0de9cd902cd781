//! A job is prepared: map sheet, service, scope, crew.

use askama::Template;
use coldlug_core::{
    screen::Choice,
    words::{Sentence, Words},
};

use super::{Frame, Unrendered, render::draw};

/// `GET /jobs/new?sheet=&q=` searches; `POST /jobs` prepares.
///
/// The second form has the fields `q` (what was searched for), `sheet`, `service`, `scope`, `crew` (one a device chosen),
/// `electrician` (one a name, empty ones count for nothing), `work`, `job` and `rules` (each may be
/// empty).
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct NewJob {
    /// Around the page.
    pub frame: Frame,
    /// The map sheets to choose from.
    pub sheets: Vec<SheetChoice>,
    /// The chosen one, by its name in the form.
    pub sheet: String,
    /// What was searched for.
    pub asked: String,
    /// What was found; none: nothing was searched for yet.
    pub found: Option<Vec<ServiceLine>>,
    /// How many more there are than are shown.
    pub more: usize,
    /// The chosen service.
    pub service: String,
    /// What may be made dead.
    pub scopes: Vec<Choice>,
    /// The chosen scope.
    pub scope: String,
    /// The devices that are enrolled.
    pub crew: Vec<CrewChoice>,
    /// Electricians' names that were typed.
    pub electricians: Vec<String>,
    /// Rule sheets to choose from; the first is the default.
    pub rules: Vec<SheetChoice>,
    /// The chosen rule sheet.
    pub rule_sheet: String,
    /// What the work is, as it was typed; it may stay empty.
    pub work: String,
    /// The job's name that was typed; empty: the desk makes one.
    pub job: String,
    /// Why no job was prepared.
    pub problem: Option<Sentence>,
}

/// A sheet to choose.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SheetChoice {
    /// Its name in the form.
    pub value: String,
    /// What stands on it.
    pub label: String,
}

/// A service that was found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ServiceLine {
    /// Its id.
    pub service: String,
    /// Its premises.
    pub premises: String,
    /// Its meter numbers.
    pub meters: Vec<String>,
    /// The pad that the record says feeds it.
    pub pad: Option<String>,
}

/// A device that can be put on the crew.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CrewChoice {
    /// The device.
    pub device: String,
    /// Who carries it.
    pub person: String,
    /// Whether it is chosen.
    pub chosen: bool,
}

#[derive(Template)]
#[template(path = "new_job.html")]
struct Drawn<'a> {
    page: &'a NewJob,
    frame: &'a Frame,
    words: &'a Words,
}

impl Drawn<'_> {
    /// Lines for electricians' names: those typed, and one more.
    fn electricians(&self) -> Vec<&str> {
        let typed = self.page.electricians.iter().map(String::as_str);
        typed.filter(|name| !name.is_empty()).chain(["", ""]).collect()
    }
}

impl NewJob {
    /// The page.
    pub fn render(&self, words: &Words) -> Result<String, Unrendered> {
        draw(&Drawn { page: self, frame: &self.frame, words })
    }
}
