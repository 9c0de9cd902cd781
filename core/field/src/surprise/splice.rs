//! Buried splices that no map shows: another house or a street light on a service's own set.

use crate::conductor::{Metal, Size};
use crate::entry::Entry;
use crate::fix::moved;
use crate::habit::Habit;
use crate::load::Profile;
use crate::world::{
    CableSet, End, FieldError, Junction, JunctionKind, LonLat, Section, Service, Start, World,
};

impl World {
    pub(super) fn share(&mut self, service: &str, neighbour: &str) -> Result<(), FieldError> {
        let (own, other) = (self.last_set(service)?, self.last_set(neighbour)?);
        if own.id == other.id {
            return Err(FieldError::Loop(own.id));
        }
        let at = self.service(service)?.at;
        let mut theirs = tail(&own, "b", neighbour, &other.sections);
        theirs.id = format!("{}b", other.id);
        theirs.mark_at_end.clone_from(&other.mark_at_end);
        let beyond = [tail(&own, "a", service, &own.sections), theirs];
        self.set_mut(&other.id)?.to = End::Dead;
        self.bury_splice(&own.id, at, beyond)
    }

    pub(super) fn hang_light(&mut self, service: &str, amps: f64) -> Result<(), FieldError> {
        let own = self.last_set(service)?;
        let at = self.service(service)?.at;
        let id = format!("L-{}", own.id);
        let light = Service {
            id: id.clone(),
            plate: format!("Street light at {}", own.id),
            meter: None,
            at: moved(at, 4.0, -6.0),
            habit: Habit::StreetLight,
            profile: Profile { base_l1_amps: amps, ..Profile::default() },
            unmetered_amps: 0.0,
            sources: Vec::new(),
            critical: None,
            ground_ohms: 40.0,
            entry: Entry::Open,
        };
        let thin = Section { metal: Metal::Cu, size: Size::Awg6, length_m: 6.0 };
        let beyond = [
            tail(&own, "a", service, &own.sections),
            tail(&own, "b", &id, core::slice::from_ref(&thin)),
        ];
        self.services.insert(id, light);
        self.bury_splice(&own.id, at, beyond)
    }

    /// The set that ends at a service.
    fn last_set(&self, service: &str) -> Result<CableSet, FieldError> {
        let path = self.path_to(service)?;
        let unknown = || FieldError::UnknownService(service.to_owned());
        path.last().map(|set| (*set).clone()).ok_or_else(unknown)
    }

    /// Ends a set at a buried splice from which these sets go on.
    fn bury_splice(
        &mut self,
        set: &str,
        at: LonLat,
        beyond: [CableSet; 2],
    ) -> Result<(), FieldError> {
        let splice = splice_id(set);
        self.set_mut(set)?.to = End::Junction(splice.clone());
        let sets = beyond.iter().map(|tail| tail.id.clone()).collect();
        let kind = JunctionKind::BuriedSplice;
        self.junctions.insert(splice.clone(), Junction { id: splice, kind, at, sets });
        self.sets.extend(beyond.into_iter().map(|tail| (tail.id.clone(), tail)));
        Ok(())
    }
}

fn splice_id(set: &str) -> String {
    format!("B-{set}")
}

/// A short set from the splice on `own` to a service, made like the end of other sections. The
/// mark at the base stays where it was: at the end of the set's own way.
fn tail(own: &CableSet, suffix: &str, to: &str, like: &[Section]) -> CableSet {
    CableSet {
        id: format!("{}{suffix}", own.id),
        from: Start::Junction(splice_id(&own.id)),
        to: End::Service(to.to_owned()),
        sections: like.last().map(|s| Section { length_m: 6.0, ..*s }).into_iter().collect(),
        mark_at_start: None,
        mark_at_end: if suffix == "a" { own.mark_at_end.clone() } else { None },
        trench_picofarads: own.trench_picofarads,
        runs: 1,
        neutral_broken: false,
    }
}
