//! What hangs behind a place, and how it sums.

use std::{iter::Sum, ops::Add};

use super::diversity_factor;
use crate::plant::{Conductor, Pair, Service, Transformer, VoltageSystem};
use crate::quantity::{Current, Power, volts};

/// Loads of one phase, or of a secondary.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Load {
    /// Sum of the customers' own peaks.
    pub(super) peaks: Power,
    /// Sum of the full ratings of the units they are behind.
    pub(super) plates: Power,
    /// Sum of the customers' own sources that can feed back.
    pub(super) own: Power,
    /// How many draw it: the measure of its diversity.
    pub(super) customers: u32,
}

/// All that hangs behind a place.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Behind {
    /// On a secondary, balanced over its legs.
    pub(super) loose: Load,
    /// On the three phases of the primary.
    pub(super) phases: [Load; 3],
    /// Ratings of the meter bases, on a secondary.
    pub(super) bases: Current,
    /// Which phases the record names behind it, a bit each; units without a phase name none.
    pub(super) phases_seen: u8,
    /// How many customers, each counted once.
    pub(super) customers: u32,
    /// How many of them have no peak on the record.
    pub(super) unrecorded: u32,
}

impl Load {
    /// What they draw together at the peak hour.
    pub(super) fn likely(&self) -> Power {
        self.peaks / diversity_factor(self.customers)
    }

    fn share(self, of: f64) -> Self {
        Self { peaks: self.peaks / of, plates: self.plates / of, own: self.own / of, ..self }
    }
}

impl Add for Load {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self {
            peaks: self.peaks + other.peaks,
            plates: self.plates + other.plates,
            own: self.own + other.own,
            customers: self.customers.saturating_add(other.customers),
        }
    }
}

impl Add for Behind {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        let mut phases = self.phases;
        for (phase, more) in phases.iter_mut().zip(other.phases) {
            *phase = *phase + more;
        }
        Self {
            loose: self.loose + other.loose,
            phases,
            bases: self.bases + other.bases,
            phases_seen: self.phases_seen | other.phases_seen,
            customers: self.customers.saturating_add(other.customers),
            unrecorded: self.unrecorded.saturating_add(other.unrecorded),
        }
    }
}

impl Sum for Behind {
    fn sum<I: Iterator<Item = Self>>(all: I) -> Self {
        all.fold(Self::default(), Add::add)
    }
}

impl Behind {
    /// A customer; without a peak on the record, with this one.
    pub(super) fn customer(service: &Service, equal: Power) -> Self {
        let peaks = service.peak.unwrap_or(equal);
        Self {
            loose: Load { peaks, customers: 1, ..Load::default() },
            bases: service.base_rating,
            customers: 1,
            unrecorded: u32::from(service.peak.is_none()),
            ..Self::default()
        }
    }

    /// All of it, whatever it hangs on.
    pub(super) fn total(&self) -> Load {
        let [a, b, c] = self.phases;
        Load { customers: self.customers, ..self.loose + a + b + c }
    }

    /// The most that one phase has.
    pub(super) fn fullest(&self, of: fn(&Load) -> Power) -> Power {
        let on_one = self.phases.iter().map(of).fold(Power::default(), Power::max);
        on_one + of(&self.loose)
    }

    /// As the primary of a unit sees what is behind its secondary, whose units together have this
    /// rating. Units nobody is known behind count as one customer who fills them.
    pub(super) fn through(self, unit: &Transformer, rating: Power) -> Self {
        let mut load = self.total();
        let empty = self.customers == 0;
        if empty {
            load = Load { peaks: rating, customers: 1, ..load };
        }
        load.plates = rating.max(load.likely());
        let legs = unit.system.legs().len();
        let named = |phase: &str, letter: char| phase.to_ascii_uppercase().contains(letter);
        let on = ['A', 'B', 'C'].map(|letter| {
            legs > 2 || unit.phase.as_deref().is_some_and(|phase| named(phase, letter))
        });
        let known = on.contains(&true);
        let bits = on.iter().zip([1_u8, 2, 4]).filter(|(on, _)| **on).map(|(_, bit)| bit);
        let phases_seen = bits.fold(0, |seen, bit| seen | bit);
        let load = if legs > 2 { load.share(3.0) } else { load };
        let phases = on.map(|on| if on || !known { load } else { Load::default() });
        let [customers, unrecorded] =
            if empty { [1, 1] } else { [self.customers, self.unrecorded] };
        Self { phases, phases_seen, customers, unrecorded, ..Self::default() }
    }

    /// As a secondary sees what is behind the primary of its unit, in a mesh.
    pub(super) fn backwards(self) -> Self {
        Self { loose: self.total(), phases: Default::default(), ..self }
    }
}

/// Amps in a leg of a balanced load.
pub(super) fn leg_amps(power: Power, system: VoltageSystem) -> Current {
    let legs = system.expected(Pair(Conductor::L1, Conductor::L2)).unwrap_or(volts(240.0));
    let root = match system {
        // One-phase loads fill the two legs beside the high one first.
        VoltageSystem::Split120_240 | VoltageSystem::Network208 | VoltageSystem::Delta120_240 => {
            1.0
        }
        VoltageSystem::Wye208
        | VoltageSystem::Wye480
        | VoltageSystem::Wye600
        | VoltageSystem::Wye400
        | VoltageSystem::Wye400Pen => libm::sqrt(3.0),
    };
    power / (legs * root)
}
