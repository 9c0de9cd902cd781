//! Somebody's browser: one desk, one cookie.

use super::form::{Form, choice, forms, shown};
use crate::demo::{
    script::{File, Script, Step},
    wire::plain,
};

/// So often a page may send on to another.
const MOST_HOPS: usize = 5;
/// What stands between the parts of an upload. Nothing that is uploaded holds it.
const BOUNDARY: &str = "coldlug-demo-part";

/// What goes wrong with a page.
#[derive(Debug, thiserror::Error)]
pub(crate) enum WebError {
    /// The desk does not answer.
    #[error("{address} does not answer: {reason}")]
    NoAnswer {
        /// Where.
        address: String,
        /// Why.
        reason: String,
    },
    /// The desk answers with something else than was asked for.
    #[error("{address} answers {status}")]
    Status {
        /// Where.
        address: String,
        /// What.
        status: u16,
    },
    /// A form that should be on a page is not.
    #[error("{address} has no form for {wanted}")]
    NoForm {
        /// Where.
        address: String,
        /// What was looked for.
        wanted: String,
    },
}

/// A page.
#[derive(Debug, Clone)]
pub(crate) struct Page {
    /// Where it was found in the end.
    pub(crate) address: String,
    /// Its status.
    pub(crate) status: u16,
    /// What it says.
    pub(crate) body: String,
}

impl Page {
    /// The form that is sent to an address that ends so.
    pub(crate) fn form(&self, ends: &str) -> Result<Form, WebError> {
        let found = forms(&self.body).into_iter().find(|form| form.action.ends_with(ends));
        found.ok_or_else(|| WebError::NoForm {
            address: self.address.clone(),
            wanted: ends.to_owned(),
        })
    }

    /// The address under a picture of a code.
    pub(crate) fn address_shown(&self) -> Result<String, WebError> {
        let found = shown(&self.body, "class=\"address\">");
        found.ok_or_else(|| WebError::NoForm {
            address: self.address.clone(),
            wanted: "an address".to_owned(),
        })
    }

    /// What is chosen, or stands first, in a list of choices.
    pub(crate) fn choice_of(&self, field: &str) -> Result<String, WebError> {
        choice(&self.body, field).ok_or_else(|| WebError::NoForm {
            address: self.address.clone(),
            wanted: field.to_owned(),
        })
    }

    /// Why a form was not taken.
    pub(crate) fn problem(&self) -> Option<String> {
        let (_, after) = self.body.split_once("class=\"problem\"")?;
        shown(after, "<p>")
    }

    /// The page, where it is what was asked for.
    pub(crate) fn fine(self) -> Result<Self, WebError> {
        if self.status == 200 {
            Ok(self)
        } else {
            Err(WebError::Status { address: self.address, status: self.status })
        }
    }
}

/// Somebody's browser.
#[derive(Debug)]
pub(crate) struct Visitor {
    desk: String,
    cookie: Option<String>,
    written: Option<(String, Script)>,
}

impl Visitor {
    /// A browser without a cookie. `desk`: the desk's address, without a slash at the end.
    pub(crate) fn new(desk: &str) -> Self {
        Self { desk: desk.to_owned(), cookie: None, written: None }
    }

    /// The same, and what is done with it is written down under somebody's name.
    pub(crate) fn of(self, who: &str, script: &Script) -> Self {
        Self { written: Some((who.to_owned(), script.clone())), ..self }
    }

    fn write(&self, step: Step<'_>) {
        if let Some((who, script)) = &self.written {
            script.browser(who, step);
        }
    }

    /// Gets a page, and goes where it sends on to.
    pub(crate) fn get(&mut self, path: &str) -> Result<Page, WebError> {
        let page = self.follow(path)?;
        self.write(Step::Get { path, status: page.status });
        Ok(page)
    }

    fn follow(&mut self, path: &str) -> Result<Page, WebError> {
        let mut path = path.to_owned();
        for _ in 0..MOST_HOPS {
            let mut request = plain(ureq::get(self.at(&path)));
            if let Some(cookie) = &self.cookie {
                request = request.header("cookie", cookie);
            }
            let answer = request.call();
            let (page, next) = self.answered(&path, answer)?;
            match next {
                None => return Ok(page),
                Some(next) => path = next,
            }
        }
        Err(WebError::NoAnswer { address: path, reason: "it sends on for ever".to_owned() })
    }

    /// Sends a form with these answers, and goes where that leads.
    pub(crate) fn send(&mut self, form: &Form, answers: &[(&str, &str)]) -> Result<Page, WebError> {
        let hidden = form.hidden.iter().map(|(name, value)| (name.as_str(), value.as_str()));
        let fields: Vec<(&str, &str)> = hidden.chain(answers.iter().copied()).collect();
        let page = self.post(&form.action, &fields)?;
        self.write(Step::Send { form: &form.action, answers, status: page.status });
        Ok(page)
    }

    /// Posts fields, and goes where that leads.
    pub(crate) fn post(&mut self, path: &str, fields: &[(&str, &str)]) -> Result<Page, WebError> {
        let mut request = plain(ureq::post(self.at(path)));
        if let Some(cookie) = &self.cookie {
            request = request.header("cookie", cookie);
        }
        let answer = request.send_form(fields.iter().copied());
        let (page, next) = self.answered(path, answer)?;
        match next {
            None => Ok(page),
            Some(next) => self.follow(&next),
        }
    }

    /// Sends a form with a file.
    pub(crate) fn upload(
        &mut self,
        form: &Form,
        answers: &[(&str, &str)],
        file: (&str, &str, &[u8]),
    ) -> Result<Page, WebError> {
        let mut body = Vec::new();
        let hidden = form.hidden.iter().map(|(name, value)| (name.as_str(), value.as_str()));
        for (name, value) in hidden.chain(answers.iter().copied()) {
            let part = format!(
                "--{BOUNDARY}\r\ncontent-disposition: form-data; name=\"{name}\"\r\n\r\n{value}\r\n"
            );
            body.extend(part.into_bytes());
        }
        let (field, name, bytes) = file;
        let part = format!(
            "--{BOUNDARY}\r\ncontent-disposition: form-data; name=\"{field}\"; \
             filename=\"{name}\"\r\ncontent-type: application/octet-stream\r\n\r\n"
        );
        body.extend(part.into_bytes());
        body.extend(bytes);
        body.extend(format!("\r\n--{BOUNDARY}--\r\n").into_bytes());
        let kind = format!("multipart/form-data; boundary={BOUNDARY}");
        let mut request = plain(ureq::post(self.at(&form.action))).header("content-type", kind);
        if let Some(cookie) = &self.cookie {
            request = request.header("cookie", cookie);
        }
        let answer = request.send(&body[..]);
        let (page, next) = self.answered(&form.action, answer)?;
        let page = match next {
            None => page,
            Some(next) => self.follow(&next)?,
        };
        let text = str::from_utf8(bytes).unwrap_or_default();
        let (action, status) = (&form.action, page.status);
        self.write(Step::Upload {
            form: action,
            answers,
            file: File { field, name, text },
            status,
        });
        Ok(page)
    }

    fn at(&self, path: &str) -> String {
        format!("{}{path}", self.desk)
    }

    /// The page, and where it sends on to; a cookie it gives is kept.
    fn answered(
        &mut self,
        path: &str,
        answer: Result<ureq::http::Response<ureq::Body>, ureq::Error>,
    ) -> Result<(Page, Option<String>), WebError> {
        let no_answer = |why: ureq::Error| WebError::NoAnswer {
            address: path.to_owned(),
            reason: why.to_string(),
        };
        let mut answer = answer.map_err(no_answer)?;
        let header = |name: &str| {
            let value = answer.headers().get(name)?;
            value.to_str().ok().map(str::to_owned)
        };
        if let Some(cookie) = header("set-cookie") {
            let pair = cookie.split(';').next().unwrap_or_default();
            self.cookie = Some(pair.to_owned());
        }
        let next = header("location").filter(|_| answer.status().is_redirection());
        let status = answer.status().as_u16();
        let body = answer.body_mut().read_to_string().map_err(no_answer)?;
        Ok((Page { address: path.to_owned(), status, body }, next))
    }
}
