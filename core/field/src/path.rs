//! The way from a pad to a service and back: which set, which pad, which others.

use crate::world::{CableSet, End, FieldError, Start, World};

/// No chain of sets in the field is longer than this.
const MOST_SETS_IN_A_CHAIN: usize = 8;

impl World {
    /// The services that a set truly feeds, in id order; none where it is dead-ended.
    pub fn services_on(&self, set: &str) -> Result<Vec<&str>, FieldError> {
        let mut found = Vec::new();
        self.collect_services(set, 0, &mut found)?;
        found.sort_unstable();
        Ok(found)
    }

    fn collect_services<'w>(
        &'w self,
        set: &str,
        depth: usize,
        found: &mut Vec<&'w str>,
    ) -> Result<(), FieldError> {
        if depth > MOST_SETS_IN_A_CHAIN {
            return Err(FieldError::Loop(set.to_owned()));
        }
        match &self.set(set)?.to {
            End::Dead => {}
            End::Service(id) => found.push(&self.service(id)?.id),
            End::Junction(id) => {
                for next in &self.junction(id)?.sets {
                    self.collect_services(next, depth + 1, found)?;
                }
            }
        }
        Ok(())
    }

    /// The chain of sets from the pad to a service: the set at the pad's lugs first.
    pub fn path_to(&self, service: &str) -> Result<Vec<&CableSet>, FieldError> {
        let id = &self.service(service)?.id;
        let mut chain = Vec::new();
        let mut next = self.sets.values().find(|s| matches!(&s.to, End::Service(to) if to == id));
        while let Some(set) = next {
            if chain.len() > MOST_SETS_IN_A_CHAIN {
                return Err(FieldError::Loop(set.id.clone()));
            }
            chain.push(set);
            next = match &set.from {
                Start::Pad { .. } => None,
                Start::Junction(at) => {
                    self.sets.values().find(|s| matches!(&s.to, End::Junction(to) if to == at))
                }
            };
        }
        chain.reverse();
        Ok(chain)
    }

    /// The set at the pad's lugs that truly feeds a service.
    pub fn feeding_set(&self, service: &str) -> Result<&str, FieldError> {
        self.path_to(service)?
            .first()
            .map(|set| set.id.as_str())
            .ok_or_else(|| FieldError::UnknownService(service.to_owned()))
    }

    /// The pad that truly feeds a service.
    pub fn pad_of(&self, service: &str) -> Result<&str, FieldError> {
        match self.path_to(service)?.first().map(|set| &set.from) {
            Some(Start::Pad { pad, .. }) => Ok(pad),
            _ => Err(FieldError::UnknownService(service.to_owned())),
        }
    }

    /// The pad that truly feeds a set, directly or through junctions.
    pub fn pad_above(&self, set: &str) -> Result<&str, FieldError> {
        let mut now = self.set(set)?;
        for _ in 0..=MOST_SETS_IN_A_CHAIN {
            let junction = match &now.from {
                Start::Pad { pad, .. } => return Ok(pad),
                Start::Junction(junction) => junction,
            };
            let ends_there = |s: &&CableSet| matches!(&s.to, End::Junction(to) if to == junction);
            let unknown = || FieldError::UnknownJunction(junction.clone());
            now = self.sets.values().find(ends_there).ok_or_else(unknown)?;
        }
        Err(FieldError::Loop(set.to_owned()))
    }
}
