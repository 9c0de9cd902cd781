//! The electrician: tests before taking the clearance, works, and releases it.

use coldlug_core::{
    event::{Body, ClearanceEvent, ClearanceOp, Operation, OperationDone, OwnTest},
    plant::Pair,
    quantity::{ClearanceId, EventId},
    reading::Side,
};

use super::house::volts_at_base;
use crate::demo::{halt::Halt, people::Hand, play::Play, tools::Tool};

const WHO: Hand = Hand::Electrician;

/// Tests every pair with their own tester and takes the clearance.
pub(crate) fn take(
    play: &mut Play,
    clearance: &ClearanceId,
    pairs: &[Pair],
) -> Result<usize, Halt> {
    let mut readings: Vec<EventId> = vec![play.prove_volts(WHO, Tool::OwnTester)?];
    for side in [Side::Line, Side::Load] {
        readings.extend(volts_at_base(play, Tool::OwnTester, WHO, side, pairs)?);
    }
    readings.push(play.prove_volts(WHO, Tool::OwnTester)?);
    let tested = readings.len();
    act(play, clearance, ClearanceOp::Accepted { test: OwnTest::Readings { readings } })?;
    Ok(tested)
}

/// Does the work in the base.
pub(crate) fn work(play: &mut Play) -> Result<(), Halt> {
    play.pass_s(2400);
    let service = play.job.service.clone();
    let findings = play.job.story.work_done.to_owned();
    let operation = Operation::WorkDone { service, findings };
    play.write(WHO, Body::Operation(OperationDone { operation, making_safe: false }))?;
    Ok(())
}

/// Hands and tools are clear: releases the clearance.
pub(crate) fn release(play: &mut Play, clearance: &ClearanceId) -> Result<(), Halt> {
    play.pass_s(60);
    act(play, clearance, ClearanceOp::Released)
}

fn act(play: &mut Play, clearance: &ClearanceId, act: ClearanceOp) -> Result<(), Halt> {
    let body = Body::Clearance(ClearanceEvent { clearance: clearance.clone(), act });
    play.write(WHO, body)?;
    Ok(())
}
