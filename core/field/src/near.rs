//! Next door: which other metered premises are nearest, on the same pad or another.

use crate::fix::metres_between;
use crate::world::{FieldError, World};

impl World {
    /// Every other metered service, nearest first (ids break ties).
    pub fn neighbours(&self, service: &str) -> Result<Vec<&str>, FieldError> {
        let here = self.service(service)?.at;
        let mut near: Vec<(f64, &str)> = self
            .services
            .values()
            .filter(|other| other.id != service && other.meter.is_some())
            .map(|other| (metres_between(here, other.at), other.id.as_str()))
            .collect();
        near.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(b.1)));
        Ok(near.into_iter().map(|(_, id)| id).collect())
    }

    /// The nearest other metered service: the house next door.
    pub fn next_door(&self, service: &str) -> Result<Option<&str>, FieldError> {
        Ok(self.neighbours(service)?.first().copied())
    }

    /// The nearest other metered service that the same pad feeds.
    pub fn next_door_on_pad(&self, service: &str) -> Result<Option<&str>, FieldError> {
        let home = self.pad_of(service)?;
        let near = self.neighbours(service)?;
        Ok(near.into_iter().find(|id| self.pad_of(id).is_ok_and(|pad| pad == home)))
    }

    /// The nearest other metered service that another pad feeds.
    pub fn next_door_on_another_pad(&self, service: &str) -> Result<Option<&str>, FieldError> {
        let home = self.pad_of(service)?;
        let near = self.neighbours(service)?;
        Ok(near.into_iter().find(|id| self.pad_of(id).is_ok_and(|pad| pad != home)))
    }

    /// Whether no other customer hangs on the set that feeds a service: opening that set drops
    /// nobody else. A street light is no customer.
    pub fn alone(&self, service: &str) -> Result<bool, FieldError> {
        for other in self.services_on(self.feeding_set(service)?)? {
            if other != service && !self.service(other)?.street_light() {
                return Ok(false);
            }
        }
        Ok(true)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::neighbourhood::neighbourhood;

    #[test]
    fn next_door_is_nearest_and_on_the_pad_asked_for() {
        let mut both = 0;
        for seed in 0..50 {
            let world = neighbourhood(seed);
            for service in world.services.values().filter(|s| s.meter.is_some()) {
                let near = world.neighbours(&service.id).unwrap();
                assert!(!near.contains(&service.id.as_str()));
                let far = |id: &str| metres_between(service.at, world.services[id].at);
                assert!(near.windows(2).all(|pair| far(pair[0]) <= far(pair[1])));
                assert_eq!(world.next_door(&service.id).unwrap(), near.first().copied());
                let home = world.pad_of(&service.id).unwrap();
                let (same, other) = (
                    world.next_door_on_pad(&service.id).unwrap(),
                    world.next_door_on_another_pad(&service.id).unwrap(),
                );
                assert!(same.is_none_or(|id| world.pad_of(id).unwrap() == home));
                assert!(other.is_none_or(|id| world.pad_of(id).unwrap() != home));
                both += u32::from(same.is_some() && other.is_some());
            }
        }
        assert!(both > 200, "{both}");
    }
}
