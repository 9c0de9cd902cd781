//! Operations, in one sentence each.

use super::{Teller, set_name, tag};
use crate::{event::Operation, sighting::Handle, words::Sentence};

impl Teller<'_> {
    pub(super) fn operated(self, operation: &Operation, making_safe: bool) -> Sentence {
        let id = format!("event-operation-{}", tag(operation, "op"));
        let said = self.operation(&id, operation);
        if making_safe {
            self.say("event-operation-making-safe", &[("did", &said.text)])
        } else {
            said
        }
    }

    fn operation(self, id: &str, operation: &Operation) -> Sentence {
        match operation {
            Operation::LegLifted { pad, handle, leg, runs, loosened_amps } => {
                let set = match handle {
                    Handle::Position { position } => set_name(pad, position),
                    Handle::Mark { .. } => format!("{pad} {}", self.handle(handle)),
                };
                let (leg, runs) = (leg.to_string(), runs.to_string());
                let amps = loosened_amps.to_string();
                self.say(id, &[("leg", &leg), ("set", &set), ("runs", &runs), ("amps", &amps)])
            }
            Operation::LegCapped { pad, position, leg }
            | Operation::LegRestrained { pad, position, leg }
            | Operation::LegTagged { pad, position, leg }
            | Operation::LegLanded { pad, position, leg } => {
                let (leg, set) = (leg.to_string(), set_name(pad, position));
                self.say(id, &[("leg", &leg), ("set", &set)])
            }
            Operation::SetShorted { pad, position }
            | Operation::ShortRemoved { pad, position }
            | Operation::NeutralVerified { pad, position } => {
                self.say(id, &[("set", &set_name(pad, position))])
            }
            Operation::LoopPointMeasured { switch, across_volts, .. } => {
                let volts = across_volts.to_string();
                self.say(id, &[("what", switch.as_str()), ("volts", &volts)])
            }
            Operation::PressureRelieved { pad: what }
            | Operation::SwitchOpened { switch: what }
            | Operation::SwitchClosed { switch: what }
            | Operation::Locked { what }
            | Operation::LockRemoved { what }
            | Operation::Tagged { what }
            | Operation::TagRemoved { what }
            | Operation::MainOpened { service: what }
            | Operation::MainClosed { service: what }
            | Operation::SourcesOff { service: what }
            | Operation::SourcesOn { service: what } => self.say(id, &[("what", what.as_str())]),
            Operation::Grounded { node } | Operation::GroundRemoved { node } => {
                self.say(id, &[("what", node.as_str())])
            }
            Operation::WorkDone { service, findings } => {
                self.say(id, &[("what", service.as_str()), ("findings", findings)])
            }
            Operation::Inspected { service, findings, released } => {
                let id = if *released { id } else { "event-operation-inspected-not-released" };
                self.say(id, &[("what", service.as_str()), ("findings", findings)])
            }
        }
    }
}
