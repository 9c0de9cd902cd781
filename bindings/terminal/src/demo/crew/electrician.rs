//! The electrician: tests before taking the clearance, works, and releases it.

use coldlug_core::{
    event::{Body, ClearanceEvent, ClearanceOp, Operation, OperationDone, OwnTest},
    quantity::{ClearanceId, EventId},
};

use crate::demo::{halt::Halt, people::Hand, play::Play};

const WHO: Hand = Hand::Electrician;

/// Takes the clearance on the strength of their own test.
pub(crate) fn accept(
    play: &mut Play<'_>,
    clearance: &ClearanceId,
    readings: Vec<EventId>,
) -> Result<(), Halt> {
    play.pass_s(20);
    act(play, clearance, ClearanceOp::Accepted { test: OwnTest::Readings { readings } })
}

/// Does the work in the base.
pub(crate) fn work(play: &mut Play<'_>) -> Result<(), Halt> {
    play.pass_s(2400);
    let service = play.job.service.clone();
    let findings = play.job.story.work_done.to_owned();
    let operation = Operation::WorkDone { service, findings };
    play.write(WHO, Body::Operation(OperationDone { operation, making_safe: false }))?;
    Ok(())
}

/// Hands and tools are clear: releases the clearance.
pub(crate) fn release(play: &mut Play<'_>, clearance: &ClearanceId) -> Result<(), Halt> {
    play.pass_s(60);
    act(play, clearance, ClearanceOp::Released)
}

fn act(play: &mut Play<'_>, clearance: &ClearanceId, act: ClearanceOp) -> Result<(), Halt> {
    let body = Body::Clearance(ClearanceEvent { clearance: clearance.clone(), act });
    play.write(WHO, body)?;
    Ok(())
}
