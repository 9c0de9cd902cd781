//! The board of jobs.

use coldlug_core::{
    log::{Entry, Log},
    screen::{JobLine, Screen, job_list},
};

use super::{drawn, frame};
use crate::{
    answer::Answered,
    asked::Asked,
    carried::Carried,
    desk::Desk,
    entrance::Signed,
    pages::{Board, BoardLine, When},
};

/// `GET /`.
pub(crate) fn board(desk: &Desk, _: &Asked, signed: &Signed) -> Answered {
    let mut held = desk.held();
    let mut jobs = Vec::new();
    for job in held.every_job()? {
        if let Some(carried) = held.job(&job)? {
            jobs.extend(line_of(desk, carried));
        }
    }
    let damaged = held.damaged.keys().map(ToString::to_string).collect();
    drop(held);
    // Those that keep something open first; within these, the newest first.
    jobs.sort_by_key(|line| {
        let newest = line.newest.as_ref().map(|when| when.instant.clone());
        std::cmp::Reverse((!line.holding.is_empty(), newest))
    });
    drawn(200, Board { frame: frame(desk, signed), jobs, damaged }.render(&desk.words))
}

fn line_of(desk: &Desk, carried: &Carried) -> Option<BoardLine> {
    let state = &carried.state;
    let shown = job_list(std::iter::once(state), &desk.words);
    let Screen::JobList { jobs } = shown.screen else { return None };
    let line: JobLine = jobs.into_iter().next()?;
    let header = state.header.as_ref()?;
    Some(BoardLine {
        line,
        service: header.service.to_string(),
        crew: header.crew.iter().map(|member| member.person.to_string()).collect(),
        holding: coldlug_core::screen::holding(state, &desk.words),
        conflicts: state.open_conflicts().len(),
        newest: newest(&carried.log),
    })
}

fn newest(log: &Log) -> Option<When> {
    let last = |chain| log.chain(chain).last();
    let entries = log.keys().keys().filter_map(last);
    let newest = entries.max_by_key(|entry: &&Entry| entry.event().at.wall_ms);
    newest.map(|entry| When::new(&entry.event().at))
}
