//! What has to withstand a fault, beside what it may see.

use super::{
    assumed::Assumed, circuit::Circuit, circuit::FaultCurrents, refuse::NotPossible,
    tolerance::most_at_worst,
};
use crate::plant::Service;
use crate::quantity::Current;

/// What has to withstand a fault.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Gear {
    /// The meter base.
    MeterBase,
    /// The transfer switch of the customer's own source of that number, counted from 1. It is beyond
    /// the base, so that the base's fault current is the most it may see from the utility.
    TransferSwitch(usize),
}

/// The most that gear may see.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Most {
    /// By the nameplate.
    pub by_plate: Current,
    /// With the nameplate's impedance at its lower tolerance and what was taken at its worst.
    pub at_worst: Current,
}

/// A withstand rating beside the largest fault current.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Withstand {
    /// Of what.
    pub gear: Gear,
    /// What it withstands, where it is known.
    pub rated: Option<Current>,
    /// What it may see.
    pub most: Most,
}

/// Whether gear withstands what it may see.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Holds {
    /// It may see more by the nameplate already.
    Over,
    /// The margin is smaller than the nameplate's tolerance and what was taken.
    Undecided,
    /// What it withstands is not known.
    NotKnown,
    /// It withstands that in any case.
    Within,
}

impl Most {
    /// Of a circuit, with what was taken for it.
    pub fn of(
        circuit: &Circuit,
        largest: &FaultCurrents,
        assumed: &[Assumed],
    ) -> Result<Self, NotPossible> {
        let by_plate = largest.at_end();
        Ok(Self { by_plate, at_worst: most_at_worst(circuit, assumed)?.max(by_plate) })
    }
}

impl Withstand {
    /// Whether it withstands that.
    pub fn holds(&self) -> Holds {
        let Most { by_plate, at_worst } = self.most;
        match self.rated {
            None => Holds::NotKnown,
            Some(rated) if by_plate > rated => Holds::Over,
            Some(rated) if at_worst > rated => Holds::Undecided,
            // What is no number is within nothing.
            Some(rated) if at_worst <= rated => Holds::Within,
            Some(_) => Holds::Undecided,
        }
    }
}

/// The ratings at a service.
pub(super) fn withstands(target: &Service, most: Most) -> Vec<Withstand> {
    let switches = target.sources.iter().enumerate().filter(|(_, own)| own.transfer_switch);
    let switches =
        switches.map(|(number, own)| (Gear::TransferSwitch(number + 1), own.switch_withstand));
    std::iter::once((Gear::MeterBase, target.withstand))
        .chain(switches)
        .map(|(gear, rated)| Withstand { gear, rated, most })
        .collect()
}
