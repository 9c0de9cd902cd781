//! One leg at a time: after the first is lifted, exactly that leg of the base has died.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{
    Judging, Point,
    happening::{Course, Happening, Said},
};
use crate::{
    plant::{Conductor, Pair},
    quantity::{AssetId, EventId},
    reading::Liveness,
};

/// What the base shows after legs were lifted.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", tag = "outcome", deny_unknown_fields)]
pub enum LegCheck {
    /// Exactly the lifted legs died, and the bus lives.
    Confirmed {
        /// The lifted legs.
        lifted: Vec<Conductor>,
    },
    /// As many legs died, by other names: the set is right, and its legs are marked differently at
    /// the two ends. Mark them anew before going on.
    OtherLegDied {
        /// Which died.
        died: Vec<Conductor>,
    },
    /// Nothing died: another set feeds this base. Put it back; the identification is void.
    NothingDied,
    /// More died than was lifted, with the bus alive: stop and find out why.
    MoreDied {
        /// Which died.
        died: Vec<Conductor>,
    },
    /// The lifted leg lives through a load from the other leg: live. Open the main, read again.
    FedThrough {
        /// The two legs.
        legs: Pair,
    },
    /// The bus is dead: the feeder may have gone, and nothing was shown.
    BusDead {
        /// Which leg of it.
        leg: Conductor,
    },
    /// A leg of the base was dead before anything was lifted: nothing was shown.
    BaseDeadBefore {
        /// Which leg.
        leg: Conductor,
    },
    /// Something else was operated between the readings: nothing was shown.
    OtherOperation {
        /// Which events.
        events: Vec<EventId>,
    },
    /// Not shown yet.
    Missing {
        /// Everything that is missing.
        missing: Vec<MissingLeg>,
    },
}

/// One thing the check of a leg lacks.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case", tag = "lacks", deny_unknown_fields)]
pub enum MissingLeg {
    /// No leg was lifted, or an opening of all legs at once was made.
    Lifted,
    /// A leg of the base was not read live before.
    BaseLiveBefore {
        /// Which.
        leg: Conductor,
    },
    /// A leg of the base was not read after.
    BaseAfter {
        /// Which.
        leg: Conductor,
    },
    /// A leg of the base is neither dead nor live after, or its dead reading does not count.
    BaseUndecided {
        /// Which.
        leg: Conductor,
    },
    /// A leg of the bus was not read live after.
    BusLiveAfter {
        /// Which.
        leg: Conductor,
    },
}

impl LegCheck {
    /// Its stable id, which is the id of its sentence.
    pub const fn id(&self) -> &'static str {
        match self {
            Self::Confirmed { .. } => "leg-confirmed",
            Self::OtherLegDied { .. } => "leg-other-died",
            Self::NothingDied => "leg-nothing-died",
            Self::MoreDied { .. } => "leg-more-died",
            Self::FedThrough { .. } => "leg-fed-through",
            Self::BusDead { .. } => "leg-bus-dead",
            Self::BaseDeadBefore { .. } => "leg-base-dead-before",
            Self::OtherOperation { .. } => "leg-other-operation",
            Self::Missing { .. } => "leg-check-missing",
        }
    }
}

/// Judges the readings after one or more legs were lifted one at a time.
///
/// `happened` is the record from the last live reading of the base on, complete, and in its order.
pub fn check_legs(
    service: &AssetId,
    pad: &AssetId,
    happened: &[Happening<'_>],
    with: Judging<'_>,
) -> LegCheck {
    let mut lifted: Vec<Conductor> = Vec::new();
    for h in happened {
        match h {
            Happening::Opened { leg: Some(leg), .. } => lifted.push(*leg),
            Happening::Opened { leg: None, .. } => {
                return LegCheck::Missing { missing: vec![MissingLeg::Lifted] };
            }
            Happening::Read(_) | Happening::Operated { .. } => {}
        }
    }
    lifted.sort();
    lifted.dedup();
    let Some(course) = Course::of(happened) else {
        return LegCheck::Missing { missing: vec![MissingLeg::Lifted] };
    };
    let seen = Seen::of(service, pad, &course, with);
    seen.judge(&lifted, &course)
}

/// The legs of base and bus, by what was read.
#[derive(Default)]
struct Seen {
    /// How many legs there are.
    legs: usize,
    dead_before: Vec<Conductor>,
    died: Vec<Conductor>,
    alive: Vec<Conductor>,
    bus_dead: Vec<Conductor>,
    nothing_between: Vec<Pair>,
    missing: Vec<MissingLeg>,
    used: Vec<usize>,
}

impl Seen {
    fn of(service: &AssetId, pad: &AssetId, course: &Course<'_>, with: Judging<'_>) -> Self {
        let mut seen = Self { legs: with.system.legs().len(), ..Self::default() };
        for &leg in with.system.legs() {
            let base = Point::at_base(service, leg);
            let (before, at) = course.before(&base, with);
            seen.used.extend(at);
            match before {
                Said::Read(Liveness::Live) => {}
                Said::Read(Liveness::Dead) => seen.dead_before.push(leg),
                Said::Read(Liveness::Undecided) | Said::NotRead => {
                    seen.missing.push(MissingLeg::BaseLiveBefore { leg });
                }
            }
            let (after, at) = course.after(&base, with);
            seen.used.extend(at);
            match after {
                Said::Read(Liveness::Live) => seen.alive.push(leg),
                Said::Read(Liveness::Dead) => seen.died.push(leg),
                Said::Read(Liveness::Undecided) => {
                    seen.missing.push(MissingLeg::BaseUndecided { leg });
                }
                Said::NotRead => seen.missing.push(MissingLeg::BaseAfter { leg }),
            }
            let (bus, at) = course.after(&Point::on_bus(pad, leg), with);
            seen.used.extend(at);
            match bus {
                Said::Read(Liveness::Live) => {}
                Said::Read(Liveness::Dead) => seen.bus_dead.push(leg),
                Said::Read(Liveness::Undecided) | Said::NotRead => {
                    seen.missing.push(MissingLeg::BusLiveAfter { leg });
                }
            }
        }
        for (i, &one) in with.system.legs().iter().enumerate() {
            for &other in with.system.legs().iter().skip(i + 1) {
                let point = Point { between: Pair(one, other), ..Point::at_base(service, one) };
                let (between, at) = course.after(&point, with);
                seen.used.extend(at);
                if matches!(between, Said::Read(said) if said != Liveness::Live) {
                    seen.nothing_between.push(Pair(one, other));
                }
            }
        }
        seen
    }

    /// Stops first, then what is missing, then what died.
    fn judge(self, lifted: &[Conductor], course: &Course<'_>) -> LegCheck {
        if let Some(&leg) = self.dead_before.first() {
            return LegCheck::BaseDeadBefore { leg };
        }
        if let Some(&leg) = self.bus_dead.first() {
            return LegCheck::BusDead { leg };
        }
        let fed = self.nothing_between.iter().find(|pair| {
            let touched = lifted.contains(&pair.0) || lifted.contains(&pair.1);
            touched && self.alive.contains(&pair.0) && self.alive.contains(&pair.1)
        });
        if let Some(&legs) = fed {
            return LegCheck::FedThrough { legs };
        }
        if let (Some(&from), Some(&to)) = (self.used.iter().min(), self.used.iter().max()) {
            let events = course.operated(from, to);
            if !events.is_empty() {
                return LegCheck::OtherOperation { events };
            }
        }
        // Every leg lives after the lift: whatever was or was not read before it, the base is fed by
        // something else.
        if !lifted.is_empty() && self.alive.len() == self.legs {
            return LegCheck::NothingDied;
        }
        if !self.missing.is_empty() {
            return LegCheck::Missing { missing: self.missing };
        }
        if self.died == lifted {
            LegCheck::Confirmed { lifted: lifted.to_vec() }
        } else if self.died.is_empty() {
            LegCheck::NothingDied
        } else if self.died.len() == lifted.len() {
            LegCheck::OtherLegDied { died: self.died }
        } else if self.died.len() > lifted.len() {
            LegCheck::MoreDied { died: self.died }
        } else {
            // Fewer died than were lifted: a lifted leg still lives, and something else feeds it.
            LegCheck::NothingDied
        }
    }
}

#[cfg(test)]
mod tests;
