//! The transformers that feed one secondary bus, and whether they can be computed together.
//!
//! On a bus are all units that nothing but switches part from it, whichever way those stand: whoever
//! closes one must not find more amps than were told.

use std::{borrow::Cow, collections::BTreeSet};

use super::{
    lateral::{Extreme, Way},
    path::PathError,
};
use crate::plant::{Branch, BranchKind, Connection, Network, Plant, Transformer, VoltageSystem};
use crate::quantity::{AssetId, in_volts};

/// Why units on one bus are not computed together. Each says what to do.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum NotTogether {
    /// Cables join them.
    #[error(
        "secondary cables join them, and how they share a fault is not computed here; ask the \
         utility for the fault current there"
    )]
    ByCable,
    /// They give different systems.
    #[error("their voltage systems differ; look which of them the record has wrong")]
    Systems,
    /// They hang on different phases, and one bus joins them.
    #[error(
        "one bus cannot join units of different phases; look which of them the record has wrong"
    )]
    Phases,
    /// One feeder has two voltages.
    #[error("their primary volts differ on one feeder; look which of them the record has wrong")]
    Volts,
    /// A delta and a wye primary turn the phases differently.
    #[error("their windings are joined differently; look which of them the record has wrong")]
    Connections,
    /// One-phase units that are no bank which is computed here, or may be one.
    #[error(
        "only units of all three phases, or three one-phase units alike on A, B and C, are computed \
         here; put each unit's phase on the record, or ask for a study"
    )]
    Bank,
}

/// What feeds a bus.
pub(super) struct Bus<'a> {
    /// Every unit, the one that was asked for first, then by name.
    pub(super) names: Vec<AssetId>,
    /// What is computed in parallel: the units, or one of three phases for a bank.
    pub(super) units: Vec<Cow<'a, Transformer>>,
}

impl<'a> Bus<'a> {
    /// All that feeds the bus of a service's unit.
    pub(super) fn of(
        plant: &'a Plant,
        network: &Network,
        (service, unit): (&AssetId, &'a Transformer),
    ) -> Result<Self, PathError> {
        let reached = |passes: fn(&Branch) -> bool| {
            let nodes = network.reach([&unit.secondary], passes);
            let others = plant.transformers.values();
            let others = others.filter(|t| t.id != unit.id && nodes.contains(&t.secondary));
            std::iter::once(unit).chain(others).collect::<Vec<_>>()
        };
        let refused = |units: &[&Transformer], why| {
            let units: Vec<&str> = units.iter().map(|unit| unit.id.as_str()).collect();
            PathError::NotTogether { service: service.clone(), units: units.join(", "), why }
        };
        let on_bus = reached(|branch| matches!(branch.kind, BranchKind::Opens(..)));
        let beyond = reached(|branch| branch.kind != BranchKind::Transformer);
        if beyond.len() > on_bus.len() {
            return Err(refused(&beyond, NotTogether::ByCable));
        }
        let units = match arranged(&on_bus) {
            Ok(Arranged::Together) => on_bus.iter().copied().map(Cow::Borrowed).collect(),
            Ok(Arranged::Bank) if alike(plant, network, &on_bus)? => {
                vec![Cow::Owned(bank(unit))]
            }
            Ok(Arranged::Bank) => return Err(refused(&on_bus, NotTogether::Bank)),
            Err(why) => return Err(refused(&on_bus, why)),
        };
        Ok(Self { names: on_bus.iter().map(|unit| unit.id.clone()).collect(), units })
    }
}

/// How the units of a bus go together.
enum Arranged {
    /// Each is whole.
    Together,
    /// Each has one of three phases.
    Bank,
}

fn arranged(units: &[&Transformer]) -> Result<Arranged, NotTogether> {
    let systems: BTreeSet<VoltageSystem> = units.iter().map(|unit| unit.system).collect();
    if systems.len() > 1 {
        return Err(NotTogether::Systems);
    }
    let joined = units.iter().filter_map(|unit| unit.windings.connection);
    if joined.collect::<BTreeSet<Connection>>().len() > 1 {
        return Err(NotTogether::Connections);
    }
    let each: Vec<BTreeSet<char>> = units.iter().map(|unit| phases(unit)).collect();
    let told = || each.iter().filter(|phases| !phases.is_empty());
    if systems.contains(&VoltageSystem::Split120_240) {
        let different = told().collect::<BTreeSet<_>>().len() > 1;
        return if different { Err(NotTogether::Phases) } else { Ok(Arranged::Together) };
    }
    // Two one-phase units do not make three phases with a neutral; three that say nothing may.
    if told().all(|phases| phases.len() == 3) && each.len() - told().count() < 3 {
        return Ok(Arranged::Together);
    }
    let one_each = each.len() == 3 && each.iter().all(|phases| phases.len() == 1);
    let all: BTreeSet<&char> = each.iter().flatten().collect();
    if one_each && all.len() == 3 { Ok(Arranged::Bank) } else { Err(NotTogether::Bank) }
}

/// The phases a unit hangs on, as letters; none where the record does not say.
fn phases(unit: &Transformer) -> BTreeSet<char> {
    let name = unit.phase.iter().flat_map(|phase| phase.chars());
    name.map(|letter| letter.to_ascii_uppercase()).filter(|l| ('A'..='C').contains(l)).collect()
}

/// Whether the units have one plate, and ways of one kind from one feeder.
fn alike(plant: &Plant, network: &Network, units: &[&Transformer]) -> Result<bool, PathError> {
    let mut first = None;
    for unit in units {
        let way = Way::to(plant, network, unit)?;
        let way = way.map(|way| {
            let runs = [Extreme::Largest, Extreme::Smallest].map(|which| way.runs(which, 0..));
            (way.source.id.clone(), runs)
        });
        let plate =
            (unit.rating, unit.percent_z, unit.x_over_r, unit.windings, unit.primary_voltage);
        let this = (plate, way);
        if *first.get_or_insert_with(|| this.clone()) != this {
            return Ok(false);
        }
    }
    Ok(true)
}

/// Three one-phase units alike as one of three phases: three times the rating at the same percent, on
/// the volts between phases. Each winding is taken as joined to ground, as its volts are recorded.
fn bank(one: &Transformer) -> Transformer {
    let rating = one.rating * 3.0;
    let primary_voltage = one.primary_voltage * libm::sqrt(3.0);
    Transformer { rating, primary_voltage, ..one.clone() }
}

/// How many leading cables the ways have in common; none where they do not leave one feeder.
pub(super) fn shared(ways: &[Option<Way<'_>>]) -> Option<usize> {
    let ways: Vec<&Way<'_>> = ways.iter().map(Option::as_ref).collect::<Option<_>>()?;
    let (first, others) = ways.split_first()?;
    if others.is_empty() || others.iter().any(|way| way.source.id != first.source.id) {
        return None;
    }
    // A cable that counts on one way and not on the other is each one's own: that errs upwards.
    let same = |step: usize| {
        let at = |way: &Way<'_>| way.cables.get(step).map(|on| (on.cable.id.clone(), on.in_loop));
        let here = at(first);
        here.is_some() && others.iter().all(|way| at(way) == here)
    };
    Some((0..first.cables.len()).take_while(|step| same(*step)).count())
}

/// Volts on one feeder are the same for every unit.
pub(super) fn same_volts(units: &[Cow<'_, Transformer>]) -> Result<(), NotTogether> {
    let mut volts = units.iter().map(|unit| in_volts(unit.primary_voltage));
    let first = volts.next();
    let differ = volts.any(|other| first.is_some_and(|first| (other / first - 1.0).abs() > 1e-9));
    if differ { Err(NotTogether::Volts) } else { Ok(()) }
}

#[cfg(test)]
mod tests;
