//! Next door: which other metered premises are nearest, on the same pad or another.

use crate::fix::metres_between;
use crate::world::{FieldError, Service, World};

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

    /// The customers on a set at a pad's lugs, in id order. A street light is no customer.
    pub fn customers_on(&self, set: &str) -> Result<Vec<&str>, FieldError> {
        let mut customers = self.services_on(set)?;
        let light = |id: &&str| self.services.get(*id).is_none_or(Service::street_light);
        customers.retain(|id| !light(id));
        Ok(customers)
    }

    /// Whether no other customer hangs on the set that feeds a service: opening that set drops
    /// nobody else.
    pub fn alone(&self, service: &str) -> Result<bool, FieldError> {
        let customers = self.customers_on(self.feeding_set(service)?)?;
        Ok(customers.into_iter().all(|other| other == service))
    }

    /// Every customer who is alone on the set that feeds them, in the order of pads and lugs.
    pub fn all_alone(&self) -> Result<Vec<&str>, FieldError> {
        let mut alone = Vec::new();
        for set in self.pads.values().flat_map(|pad| &pad.sets) {
            if let [only] = self.customers_on(set)?.as_slice() {
                alone.push(*only);
            }
        }
        Ok(alone)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::neighbourhood::neighbourhood;

    #[test]
    fn who_is_alone_is_told_alike_one_by_one_and_all_at_once() {
        for seed in 0..100 {
            let world = neighbourhood(seed);
            let mut all = world.all_alone().unwrap();
            all.sort_unstable();
            let each = world.services.values().filter(|s| !s.street_light());
            let each: Vec<&str> =
                each.map(|s| s.id.as_str()).filter(|id| world.alone(id).unwrap()).collect();
            assert_eq!(all, each);
        }
    }

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
