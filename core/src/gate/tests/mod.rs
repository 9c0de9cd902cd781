//! Tests of the gate: one a rule, named as its id, with underscores.

mod good;
mod handover;
mod opening;
mod standing;

use good::*;

#[test]
fn a_step_in_order_passes() {
    let every = [
        pull(|_| {}),
        set_meter(|_| {}),
        lift(|_| {}),
        end_run(|_| {}),
        keys(|_| {}),
        short(|_| {}),
        ground(|_| {}),
        open_switch(|_| {}),
        close_switch(|_| {}),
        land(|_| {}),
        prove(|_| {}),
        offer(|_| {}),
        accept(|_| {}),
        release(|_| {}),
        abandon(|_| {}),
        transfer(|_| {}),
        end_link(|_| {}),
        correct(|_| {}),
        deviate(|_| {}),
        resume(|_| {}),
        close(|_| {}),
    ];
    for step in every {
        standing_passes(&step, |_| {});
    }
    for step in closing_steps(|_| {}) {
        standing_passes(&step, |_| {});
    }
}
