//! Readings and operations in the order of the record, for proofs that turn on what came between.

use super::{Judging, Point};
use crate::{
    plant::Conductor,
    quantity::{AssetId, EventId},
    reading::{Liveness, Taken, VoltsReading},
};

/// One thing that happened, in the order of the record.
///
/// Base and pad are often written on two phones, whose clocks do not meet: here the order of the
/// record counts, which is causal first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Happening<'a> {
    /// A voltage was read.
    Read(&'a Taken<VoltsReading>),
    /// A leg of the set, or the opening of the plan, was opened by us.
    Opened {
        /// The event.
        event: &'a EventId,
        /// The leg; none: an opening of all legs at once.
        leg: Option<Conductor>,
    },
    /// Anything else was operated that could change what the base sees: a switch, another set, a
    /// closing, a source. Caps, restraints, tags and locks are none of these.
    Operated {
        /// The event.
        event: &'a EventId,
    },
}

/// What the last reading of a point says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Said {
    /// The point was not read.
    NotRead,
    /// What it says, what is held against it taken into account.
    Read(Liveness),
}

/// The record around our openings.
pub(super) struct Course<'a> {
    happened: &'a [Happening<'a>],
    first: usize,
    last: usize,
}

impl<'a> Course<'a> {
    /// None when nothing was opened by us.
    pub(super) fn of(happened: &'a [Happening<'a>]) -> Option<Self> {
        let opened = |h: &Happening<'_>| matches!(h, Happening::Opened { .. });
        let first = happened.iter().position(opened)?;
        let last = happened.iter().rposition(opened)?;
        Some(Self { happened, first, last })
    }

    /// The last reading of a point before our first opening, and where it stands.
    pub(super) fn before(&self, point: &Point, with: Judging<'_>) -> (Said, Option<usize>) {
        self.last_of(point, 0, self.first, with)
    }

    /// The last reading of a point after our last opening, and where it stands.
    pub(super) fn after(&self, point: &Point, with: Judging<'_>) -> (Said, Option<usize>) {
        self.last_of(point, self.last, self.happened.len(), with)
    }

    /// Where an event stands that was read after our last opening.
    pub(super) fn place_after(&self, event: &EventId) -> Option<usize> {
        self.happened.iter().enumerate().skip(self.last).find_map(|(at, h)| match h {
            Happening::Read(taken) if taken.event == *event => Some(at),
            _ => None,
        })
    }

    /// Operations that are not ours between two places of the record.
    pub(super) fn operated(&self, from: usize, to: usize) -> Vec<EventId> {
        let between = self.happened.iter().enumerate().filter(|(at, _)| (from..=to).contains(at));
        between
            .filter_map(|(_, h)| match h {
                Happening::Operated { event } => Some((*event).clone()),
                Happening::Read(_) | Happening::Opened { .. } => None,
            })
            .collect()
    }

    /// Live readings of a base after our last opening.
    pub(super) fn lives_after(&self, points: &[Point], with: Judging<'_>) -> Vec<EventId> {
        self.happened
            .iter()
            .skip(self.last)
            .filter_map(|h| match h {
                Happening::Read(taken)
                    if points.contains(&Point::of(&taken.reading))
                        && with.at_face(taken) == Liveness::Live =>
                {
                    Some(taken.event.clone())
                }
                _ => None,
            })
            .collect()
    }

    fn last_of(
        &self,
        point: &Point,
        from: usize,
        to: usize,
        with: Judging<'_>,
    ) -> (Said, Option<usize>) {
        let found = self.happened.iter().enumerate().take(to).skip(from).rev().find_map(
            |(at, h)| match h {
                Happening::Read(taken) if point.is_of(&taken.reading) => Some((at, *taken)),
                _ => None,
            },
        );
        found.map_or((Said::NotRead, None), |(at, taken)| {
            let proven = with.proven.get(&taken.reading.instrument);
            let shown = self.shown(taken, at, with);
            let judged = with.volts(taken, &taken.at, shown.or(proven), with.rules.proof_window());
            (Said::Read(judged.liveness), Some(at))
        })
    }

    /// When the tester of a reading was last shown live on a known source before it, on this record.
    fn shown(
        &self,
        taken: &Taken<VoltsReading>,
        at: usize,
        with: Judging<'_>,
    ) -> Option<&'a crate::quantity::Instant> {
        self.happened.iter().take(at).rev().find_map(|h| match h {
            Happening::Read(check)
                if check.reading.instrument == taken.reading.instrument && with.is_check(check) =>
            {
                Some(&check.at)
            }
            _ => None,
        })
    }
}

/// A leg to neutral at the line side of a base, for each leg.
pub(super) fn base_points(service: &AssetId, legs: &[Conductor]) -> Vec<Point> {
    legs.iter().map(|&leg| Point::at_base(service, leg)).collect()
}
