//! `GET /jobs/{job}/sticker`: the job's sticker, to print.

use super::{act::job_named, drawn, frame};
use crate::{
    answer::Answered, asked::Asked, desk::Desk, entrance::Signed, link::qr, pages::StickerPage,
    sticker, trouble::Trouble,
};

/// The page. A job that was opened without a sticker has none.
pub(crate) fn sticker(desk: &Desk, asked: &Asked, signed: &Signed) -> Answered {
    let mut held = desk.held();
    let job = job_named(&mut held, asked.part("job"))?;
    let carried = held.job(&job)?.ok_or(Trouble::NotHere)?;
    let header = carried.state.header.as_ref().ok_or(Trouble::NotHere)?;
    if header.sticker_sha256 != Some(sticker::sealed(desk, &job)?) {
        return Err(Trouble::NotHere);
    }
    let service = header.service.to_string();
    drop(held);
    let code = sticker::code(desk, &job);
    let page = StickerPage {
        frame: frame(desk, signed),
        qr_svg: qr(&code)?,
        job: job.to_string(),
        service,
        code,
    };
    drawn(200, page.render(&desk.words))
}
