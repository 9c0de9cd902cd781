//! One file a command.

mod check;
mod demo;
mod desk;
mod fault_current;
mod import;
mod judge;
mod plan;
mod rules;
mod schema;
mod simulate;
mod verify;

use coldlug_core::words::Words;

use crate::{
    cli::{Cli, Command},
    exit::Exit,
    print::Print,
    simulate::SimulatedCrew,
    trouble::Trouble,
};

/// Runs what was typed.
pub(crate) fn run(cli: &Cli) -> Result<Exit, Trouble> {
    let print = &mut Print::stdout();
    let words = &Words::english().map_err(|e| Trouble::fault(format!("the sentences: {e}")))?;
    match &cli.command {
        Command::Check { map } => check::run(map, cli.json, print),
        Command::Demo(args) => demo::run(args, words, print),
        Command::Desk(args) => desk::run(args, words, print),
        Command::FaultCurrent(args) => fault_current::run(args, words, cli.json, print),
        Command::Import(args) => import::run(args, words, cli.json, print),
        Command::Judge(args) => judge::run(args, words, cli.json, print),
        Command::Rules => rules::run(words, cli.json, print),
        Command::Simulate(args) => simulate::run(args, &SimulatedCrew, words, cli.json, print),
        Command::Verify { record } => verify::run(record, cli.json, print),
        Command::Schema { name } => schema::run(name.as_deref(), cli.json, print),
        Command::Plan(args) => plan::run(args, words, cli.json, print),
    }
}
