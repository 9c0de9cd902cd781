//! Who may write what.

use crate::{
    event::{Body, ClearanceOp, Operation},
    gate::Role,
};

/// Whether a role writes such an event. Stopping and making safe are asked of nobody.
pub(super) fn writes(role: Role, body: &Body) -> bool {
    match role {
        Role::Lineworker => {
            !matches!(body, Body::Clearance(act) if matches!(act.act, ClearanceOp::LinkEnded))
        }
        Role::Electrician => electrician(body),
        Role::Dispatcher => dispatcher(body),
        Role::Engineer => {
            matches!(body, Body::JobOpened(_) | Body::VerdictShown(_) | Body::MapCorrection(_))
        }
    }
}

fn electrician(body: &Body) -> bool {
    match body {
        Body::StayBegun(_)
        | Body::StayEnded(_)
        | Body::StayWithdrawn(_)
        | Body::Instrument(_)
        | Body::InstrumentProven(_)
        | Body::SwitchingRunBegun(_)
        | Body::SwitchingRunEnded(_)
        | Body::Picture(_)
        | Body::Sighting(_)
        | Body::Volts(_)
        | Body::Correction(_)
        | Body::VerdictShown(_)
        | Body::Interrupted(_)
        | Body::Stopped(_)
        | Body::WrongDrop(_) => true,
        Body::Clearance(act) => matches!(
            act.act,
            ClearanceOp::Accepted { .. }
                | ClearanceOp::Refused { .. }
                | ClearanceOp::Released
                | ClearanceOp::Transferred { .. }
        ),
        Body::Operation(done) => matches!(
            done.operation,
            Operation::WorkDone { .. }
                | Operation::MainOpened { .. }
                | Operation::SourcesOff { .. }
        ),
        _ => false,
    }
}

fn dispatcher(body: &Body) -> bool {
    match body {
        Body::JobOpened(_)
        | Body::MapCorrection(_)
        | Body::VerdictShown(_)
        | Body::ConflictSettled(_)
        | Body::Correction(_)
        | Body::Interrupted(_)
        | Body::Stopped(_)
        | Body::WrongDrop(_) => true,
        Body::Sighting(made) => made.seen.of_picture().is_some(),
        Body::Clearance(act) => {
            matches!(act.act, ClearanceOp::LinkEnded | ClearanceOp::Abandoned { .. })
        }
        _ => false,
    }
}
