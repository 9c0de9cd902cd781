//! The electrician's page: whether hands may go in, the own test, accept, refuse, release.

use std::collections::BTreeMap;

use askama::Template;
use coldlug_core::{
    screen::{Act, AskKind, Offer, Passage, ProofName, Screen, Shown, Tone},
    words::{Sentence, Words},
};

use super::{
    ACT, CSRF, Frame, Tried, Unrendered, When,
    act::{Form, forms},
    render::draw,
};

/// `GET /at/{token}`; acts go to `POST /at/{token}/{act}`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ElectricianPage {
    /// Around the page: the link's own form token, and nobody signed in.
    pub frame: Frame,
    /// The link's token.
    pub token: String,
    /// Who this page is for.
    pub person: String,
    /// The job.
    pub job: String,
    /// Until when the link is good.
    pub until: When,
    /// What they see and may do.
    pub shown: Shown,
    /// Whether their gear stands the fault current at the base, and the amps; empty: none is known.
    pub fault_current: Vec<Passage>,
    /// An act that was tried and not done.
    pub tried: Option<Tried>,
}

#[derive(Template)]
#[template(path = "electrician.html")]
struct Drawn<'a> {
    page: &'a ElectricianPage,
    frame: &'a Frame,
    words: &'a Words,
    to: BTreeMap<Act, String>,
}

impl Drawn<'_> {
    fn all_forms(&self) -> Vec<Form<'_>> {
        let to = |offer: &Offer| self.to.get(&offer.act).map_or("", String::as_str);
        forms(&self.page.shown.acts, to, &self.frame.csrf, self.page.tried.as_ref())
    }

    /// Whether a form stands at the point to be read, not below everything.
    fn stands_at_point(&self, form: &Form<'_>) -> bool {
        let screen = &self.page.shown.screen;
        let waits =
            matches!(screen, Screen::Handover { points, .. } if points.iter().any(|p| p.next));
        waits && form.offer.act == Act::ReadPoint
    }

    /// What must stop the work before anybody looks further down.
    fn weak(&self) -> Option<&Sentence> {
        let lines = self.page.fault_current.iter().flat_map(|passage| &passage.lines);
        lines.filter(|line| line.tone == Some(Tone::Stop)).map(|line| &line.said).next()
    }

    fn point_form(&self) -> Option<Form<'_>> {
        self.all_forms().into_iter().find(|form| self.stands_at_point(form))
    }

    fn forms(&self) -> Vec<Form<'_>> {
        self.all_forms().into_iter().filter(|form| !self.stands_at_point(form)).collect()
    }
}

impl ElectricianPage {
    /// The page.
    pub fn render(&self, words: &Words) -> Result<String, Unrendered> {
        let to = |act: Act| (act, format!("/at/{}/{}", self.token, act.name()));
        let to = Act::ALL.iter().copied().map(to).collect();
        draw(&Drawn { page: self, frame: &self.frame, words, to })
    }
}
