//! Acts by form: what was answered, and what comes back when it was not done.

use coldlug_core::{
    event::{Body, ClearanceOp, Statement},
    exchange::PhotoForm,
    log::sha256,
    quantity::JobId,
    screen::{Act, Answer},
};

use super::{again, job::job_page};
use crate::{
    answer::{Answered, see},
    asked::Asked,
    desk::Desk,
    draw::{self, Filled},
    entrance::Signed,
    held::Held,
    pages::{ACT, CSRF, Tried},
    trouble::Trouble,
};

/// `POST /jobs/{job}/act`.
pub(crate) fn act(desk: &Desk, asked: &Asked, signed: &Signed) -> Answered {
    let mut held = desk.held();
    let job = job_named(&mut held, asked.part("job"))?;
    let act = Act::named(asked.field(ACT)).ok_or(Trouble::Unreadable)?;
    let filled = filled(asked)?;
    match draw::act(desk, &mut held, &job, &signed.person, act, &filled, |_| true) {
        Ok(statements) => {
            end_links(&mut held, &job, &statements)?;
            Ok(see(&format!("/jobs/{job}")))
        }
        Err(trouble) => again(trouble, |trouble| {
            let status = trouble.status();
            let tried = tried(desk, act, filled.answers, trouble);
            job_page(desk, &mut held, signed, &job, status, Some(tried))
        }),
    }
}

/// A job by its name in an address.
pub(super) fn job_named(held: &mut Held, name: &str) -> Result<JobId, Trouble> {
    let job = JobId::new(name).map_err(|_| Trouble::NotHere)?;
    if held.job(&job).map_err(Trouble::of_job)?.is_some() { Ok(job) } else { Err(Trouble::NotHere) }
}

/// The answers of a form: its fields as they were typed, its pictures by the hash they are to be kept
/// under. Nothing is kept yet.
pub(super) fn filled(asked: &Asked) -> Result<Filled, Trouble> {
    let typed = asked.form.iter().filter(|(field, _)| field != CSRF && field != ACT);
    let mut answers: Vec<Answer> = typed
        .filter(|(_, value)| !value.trim().is_empty())
        .map(|(field, value)| Answer { field: field.clone(), value: value.trim().to_owned() })
        .collect();
    let mut pictures = Vec::new();
    for (field, bytes) in asked.files.iter().filter(|(_, bytes)| !bytes.is_empty()) {
        PhotoForm::of(bytes).map_err(|error| Trouble::Said(error.id()))?;
        answers.push(Answer { field: field.clone(), value: sha256(bytes).to_string() });
        pictures.push(bytes.clone());
    }
    Ok(Filled { answers, pictures })
}

/// An act that was not done, as its form comes back.
pub(super) fn tried(desk: &Desk, act: Act, answers: Vec<Answer>, trouble: Trouble) -> Tried {
    match trouble {
        Trouble::Unfit(unfit) => Tried { act, answers, unfit: Some(unfit), refused: None },
        said => Tried { act, answers, unfit: None, refused: Some(said.sentence(&desk.words)) },
    }
}

/// Links whose clearance is over end with it. Returns whether any was.
pub(super) fn end_links(
    held: &mut Held,
    job: &JobId,
    statements: &[Statement],
) -> Result<bool, Trouble> {
    let mut ended = false;
    for Statement(body) in statements {
        let Body::Clearance(written) = body.as_ref() else { continue };
        let over = matches!(
            written.act,
            ClearanceOp::Refused { .. }
                | ClearanceOp::Released
                | ClearanceOp::Abandoned { .. }
                | ClearanceOp::LinkEnded
        );
        if over {
            held.desk.end_links(job, &written.clearance)?;
            ended = true;
        }
    }
    Ok(ended)
}
