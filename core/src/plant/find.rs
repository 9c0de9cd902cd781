//! Finding a service by what a caller knows of it.

use super::{Plant, Service};

impl Plant {
    /// The services whose name, premises or meter number holds a text, whatever the case of its
    /// letters; those that begin with it or are it first, then by name.
    pub fn services_like(&self, text: &str) -> Vec<&Service> {
        let text = text.trim().to_lowercase();
        let rank = |service: &Service| {
            let names = std::iter::once(service.id.as_str())
                .chain([service.premises.as_str()])
                .chain(service.meters.iter().map(String::as_str));
            let rank = |name: &str| {
                let name = name.to_lowercase();
                match name.find(&text) {
                    Some(_) if name == text => Some(0),
                    Some(0) => Some(1),
                    Some(_) => Some(2),
                    None => None,
                }
            };
            names.filter_map(rank).min()
        };
        let mut found: Vec<(u8, &Service)> =
            self.services.values().filter_map(|s| Some((rank(s)?, s))).collect();
        found.sort_by_key(|(rank, service)| (*rank, &service.id));
        found.into_iter().map(|(_, service)| service).collect()
    }
}

#[cfg(test)]
mod tests;
