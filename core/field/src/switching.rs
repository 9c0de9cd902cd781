//! Switching: the present state of everything that a person can open, close or plug in.

use crate::conductor::{Conductor, Leg};
use std::collections::{BTreeMap, BTreeSet};

/// A known load plugged in at a customer's outlet, behind the main breaker.
#[derive(Debug, Clone, PartialEq)]
pub struct TestLoad {
    /// The service it is plugged in at.
    pub service: String,
    /// The leg its outlet hangs on.
    pub leg: Leg,
    /// Its resistance, ohms. 9.6 ohm draws 12.5 A at 120 V.
    pub ohms: f64,
    /// Whether it is switched on.
    pub on: bool,
}

impl TestLoad {
    /// A resistive load of so many watts at 120 V, switched on.
    pub fn of_watts(service: &str, leg: Leg, watts: f64) -> Self {
        Self { service: service.to_owned(), leg, ohms: 120.0 * 120.0 / watts, on: true }
    }

    /// A resistive load of so many amps at 120 V, switched on.
    pub fn of_amps(service: &str, leg: Leg, amps: f64) -> Self {
        Self::of_watts(service, leg, amps * 120.0)
    }
}

/// The state of everything switchable; the default is all closed, nothing lifted, generators
/// and batteries off, photovoltaics on, no test load.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Switching {
    /// Services whose meter is out of its base.
    pub meters_out: BTreeSet<String>,
    /// Services whose main breaker is open.
    pub mains_open: BTreeSet<String>,
    /// Conductors off their lugs where the set starts, in the pad or a pedestal; by set.
    pub lifted: BTreeMap<String, BTreeSet<Conductor>>,
    /// Sets whose leg conductors are shorted to their neutral where they start.
    pub shorted: BTreeSet<String>,
    /// Pads with no supply: fuse drawn, or elbow parked.
    pub dead_pads: BTreeSet<String>,
    /// Customer sources switched away from their rest state: by service, then index.
    pub sources: BTreeMap<String, BTreeMap<usize, bool>>,
    /// Test loads.
    pub test_loads: Vec<TestLoad>,
    /// Test loads hung on the line jaws of a base, ahead of its meter.
    pub line_loads: Vec<TestLoad>,
}

impl Switching {
    /// Pulls the meter of a service, or puts it back.
    pub fn set_meter_out(&mut self, service: &str, out: bool) {
        keep(&mut self.meters_out, service, out);
    }

    /// Opens the main breaker of a service, or closes it.
    pub fn set_main_open(&mut self, service: &str, open: bool) {
        keep(&mut self.mains_open, service, open);
    }

    /// Kills a pad (fuse drawn or elbow parked), or brings its supply back.
    pub fn set_pad_dead(&mut self, pad: &str, dead: bool) {
        keep(&mut self.dead_pads, pad, dead);
    }

    /// Shorts a set's legs to its neutral at the pad end, or takes the short off.
    pub fn set_shorted(&mut self, set: &str, shorted: bool) {
        keep(&mut self.shorted, set, shorted);
    }

    /// Lifts one conductor of a set off its lug.
    pub fn lift(&mut self, set: &str, conductor: Conductor) {
        self.lifted.entry(set.to_owned()).or_default().insert(conductor);
    }

    /// Lands one conductor of a set on its lug again.
    pub fn land(&mut self, set: &str, conductor: Conductor) {
        if let Some(lifted) = self.lifted.get_mut(set) {
            lifted.remove(&conductor);
            if lifted.is_empty() {
                self.lifted.remove(set);
            }
        }
    }

    /// Whether a conductor of a set is off its lug.
    pub fn is_lifted(&self, set: &str, conductor: Conductor) -> bool {
        self.lifted.get(set).is_some_and(|lifted| lifted.contains(&conductor))
    }

    /// Switches the customer source of this index at a service.
    pub fn set_source(&mut self, service: &str, index: usize, on: bool) {
        self.sources.entry(service.to_owned()).or_default().insert(index, on);
    }

    /// Takes every test load of a service away, then plugs this one in.
    pub fn plug_in(&mut self, load: TestLoad) {
        self.test_loads.retain(|other| other.service != load.service);
        self.test_loads.push(load);
    }

    /// Takes every load off the line jaws of a service, then hangs this one on them.
    pub fn hang_on_line(&mut self, load: TestLoad) {
        self.take_off_line(&load.service);
        self.line_loads.push(load);
    }

    /// Takes every load off the line jaws of a service.
    pub fn take_off_line(&mut self, service: &str) {
        self.line_loads.retain(|other| other.service != service);
    }

    /// Switches every test load of a service on or off.
    pub fn switch_test_load(&mut self, service: &str, on: bool) {
        for load in self.test_loads.iter_mut().filter(|load| load.service == service) {
            load.on = on;
        }
    }
}

fn keep(set: &mut BTreeSet<String>, id: &str, member: bool) {
    if member {
        set.insert(id.to_owned());
    } else {
        set.remove(id);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_done_can_be_undone() {
        let mut switching = Switching::default();
        switching.lift("s1", Conductor::L1);
        switching.set_meter_out("v1", true);
        switching.set_main_open("v1", true);
        switching.set_pad_dead("p1", true);
        switching.set_shorted("s1", true);
        assert!(switching.is_lifted("s1", Conductor::L1));
        assert!(!switching.is_lifted("s1", Conductor::L2));
        switching.land("s1", Conductor::L1);
        switching.set_meter_out("v1", false);
        switching.set_main_open("v1", false);
        switching.set_pad_dead("p1", false);
        switching.set_shorted("s1", false);
        assert_eq!(switching, Switching::default());
    }

    #[test]
    fn twelve_and_a_half_amps_are_nine_point_six_ohms() {
        let load = TestLoad::of_amps("v1", Leg::L1, 12.5);
        assert!((load.ohms - 9.6).abs() < 1e-12);
    }
}
