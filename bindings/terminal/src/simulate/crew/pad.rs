//! The lineworker at the pad: finds it, marks its sets, places the clamp.

use std::num::NonZeroU8;

use coldlug_core::{
    event::{Body, MarksPut, PlacementMade},
    plant::Conductor,
    quantity::{AssetId, Decimal, MarksId, PlacementId},
    reconcile::By,
    sighting::{End, Handle, MarkedSet, Marks, Seen, SetAt},
};
use coldlug_field::{conductor as field, fix, world::LonLat};

use super::{
    Crew, Halt, Who,
    site::{Grip, in_jaws},
};
use crate::{field_terms, simulate::slip::Slip};

/// How far round the mapped place a crew looks for the tag, metres. Invented: a few lots.
const LOOK_AROUND_M: f64 = 80.0;
/// Marks go on in this order.
const LETTERS: [&str; 12] = ["A", "B", "C", "D", "E", "F", "G", "H", "J", "K", "L", "M"];

impl Crew<'_> {
    /// Finds a pad, opens it, counts and marks its sets and notes what each looks like.
    pub(super) fn search_pad(&mut self, pad: &AssetId) -> Result<(), Halt> {
        self.find(pad)?;
        self.mark_sets(pad)
    }

    /// The pad that the crew really goes to for one of the sheet: near its place on the map the one
    /// with its tag, else the nearest that is not taken for another.
    pub(super) fn really(&mut self, pad: &AssetId) -> Result<String, Halt> {
        if let Some(really) = self.pads_really.get(pad) {
            return Ok(really.clone());
        }
        let mapped = self.sheets.plant.pads.get(pad).ok_or(Halt::NOT_ON_THE_SHEET)?;
        let at = LonLat { lon: mapped.at.lon_deg, lat: mapped.at.lat_deg };
        let mut near = Vec::new();
        for there in self.site.world.pads.values() {
            if self.pads_really.values().any(|taken| *taken == there.id) {
                continue;
            }
            let metres = fix::metres_between(at, there.at);
            let read = self.site.world.tag_seen(&there.id)?;
            let tagged =
                read.is_some_and(|read| mapped.tags.iter().any(|tag| could_be(&read.pattern, tag)));
            near.push((!(tagged && metres <= LOOK_AROUND_M), metres, there.id.clone()));
        }
        near.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
        let (_, _, really) = near.into_iter().next().ok_or(Halt::NOT_ON_THE_SHEET)?;
        self.pads_really.insert(pad.clone(), really.clone());
        Ok(really)
    }

    /// How many sets there are in a pad.
    pub(super) fn sets_in(&mut self, pad: &AssetId) -> Result<usize, Halt> {
        let really = self.really(pad)?;
        self.site.set_count(&really)
    }

    /// Another set of the same pad; none: it is the only one.
    pub(super) fn other_set(&mut self, pad: &AssetId, than: &str) -> Result<Option<String>, Halt> {
        let really = self.really(pad)?;
        let sets = &self.site.world.pad(&really)?.sets;
        let others: Vec<String> = sets.iter().filter(|other| *other != than).cloned().collect();
        Ok(self.slips.pick(&others).cloned())
    }

    /// Tag and fix outside, the count of sets inside.
    fn find(&mut self, pad: &AssetId) -> Result<(), Halt> {
        self.pass_s(120);
        let really = self.really(pad)?;
        if let Some(read) = self.site.world.tag_seen(&really)? {
            let seen = Seen::Tag {
                pad: Some(pad.clone()),
                pattern: read.pattern,
                maybe_upside_down: read.upside_down,
            };
            self.sighting(Who::Pad, seen)?;
        }
        self.pass_s(20);
        let chance = self.site.chance();
        let there = self.site.world.pad(&really)?;
        let fix = fix::take(there.at, there.sky, chance);
        let seen = Seen::Fix {
            pad: Some(pad.clone()),
            lon_deg: decimal(fix.at.lon, 6)?,
            lat_deg: decimal(fix.at.lat, 6)?,
            radius68_m: decimal(fix.radius68_m, 1)?,
        };
        self.sighting(Who::Pad, seen)?;
        self.pass_s(180);
        let count = u16::try_from(self.site.set_count(&really)?).map_err(|_| Halt::BROKEN)?;
        self.sighting(Who::Pad, Seen::SetCount { pad: pad.clone(), count })?;
        Ok(())
    }

    /// Marks every set of a pad in one go.
    fn mark_sets(&mut self, pad: &AssetId) -> Result<(), Halt> {
        let count = self.sets_in(pad)?;
        let id = MarksId::new(self.name("marks"))?;
        let mixed = count > 1 && self.slips.made(Slip::SetsMislabelled);
        let turn = usize::from(mixed);
        let mut sets = Vec::new();
        for (at, mark) in LETTERS.iter().take(count).enumerate() {
            let really = (at + turn) % count + 1;
            self.marks_on.insert((id.clone(), (*mark).to_owned()), really);
            sets.push(MarkedSet { mark: (*mark).to_owned(), position: (at + 1).to_string() });
        }
        self.pass_s(60);
        let marks = Marks { id: id.clone(), pad: pad.clone(), sets: sets.clone() };
        self.write(Who::Pad, Body::MarksPut(MarksPut { marks }))?;
        self.marks.insert(pad.clone(), id.clone());
        for set in sets {
            self.pass_s(20);
            let handle = Handle::Mark { marks: id.clone(), mark: set.mark };
            let really = self.really_at(pad, &handle)?;
            let look = self.site.world.look_at_pad(&really)?;
            let seen = Seen::Conductor {
                end: End::Lug { pad: pad.clone(), handle },
                metal: field_terms::metal(look.metal),
                size: Some(look.size.word().to_owned()),
            };
            self.sighting(Who::Pad, seen)?;
        }
        Ok(())
    }

    /// How a set is found again in its cabinet.
    pub(super) fn handle(&self, set: &SetAt, by: By) -> Result<Handle, Halt> {
        match by {
            By::Position => Ok(Handle::Position { position: set.position.clone() }),
            By::Mark => self.by_mark(set),
        }
    }

    /// The set that somebody really comes to by a handle.
    pub(super) fn really_at(&mut self, pad: &AssetId, handle: &Handle) -> Result<String, Halt> {
        let position = match handle {
            Handle::Mark { marks, mark } => {
                *self.marks_on.get(&(marks.clone(), mark.clone())).ok_or(Halt::BROKEN)?
            }
            Handle::Position { position } => {
                let position: usize = position.parse().map_err(|_| Halt::BROKEN)?;
                self.counted(pad, position)?
            }
        };
        let there = self.really(pad)?;
        self.site.set_at(&there, position)
    }

    /// Where somebody comes to who counts lug positions.
    pub(super) fn counted(&mut self, pad: &AssetId, position: usize) -> Result<usize, Halt> {
        let count = self.sets_in(pad)?;
        if self.miscounted.is_none() && self.slips.made(Slip::PositionsMiscounted) {
            self.miscounted = Some(pad.clone());
        }
        let wrong_end = self.miscounted.as_ref() == Some(pad);
        Ok(if wrong_end { count + 1 - position.min(count) } else { position })
    }

    /// Places the clamp on one leg of a set, as far as the crew knows.
    pub(super) fn place(
        &mut self,
        set: &SetAt,
        handle: Handle,
        leg: Conductor,
    ) -> Result<(PlacementId, Grip), Halt> {
        self.pass_s(40);
        let placement = PlacementId::new(self.name("p"))?;
        let really = self.really_at(&set.pad, &handle)?;
        let runs = NonZeroU8::new(self.site.world.set(&really)?.runs).ok_or(Halt::BROKEN)?;
        let mut grip = Grip {
            pad: self.really(&set.pad)?,
            marked: really.clone(),
            set: really,
            around: in_jaws(leg)?,
            jaw_open: false,
            spare: self.hands.spare_clamp,
        };
        self.misplace(&set.pad, leg, &mut grip)?;
        let body = Body::Placement(PlacementMade {
            placement: placement.clone(),
            pad: set.pad.clone(),
            handle,
            leg: Some(leg),
            runs_in_jaws: runs,
            instrument: self.clamp()?,
        });
        self.write(Who::Pad, body)?;
        Ok((placement, grip))
    }

    /// What goes wrong as a clamp is placed.
    pub(super) fn misplace(
        &mut self,
        pad: &AssetId,
        leg: Conductor,
        grip: &mut Grip,
    ) -> Result<(), Halt> {
        if self.slips.made(Slip::PlacementElsewhere)
            && let Some(other) = self.other_set(pad, &grip.set)?
        {
            grip.set = other;
        }
        if leg == Conductor::L2 && self.slips.made(Slip::LegReadTwice) {
            grip.around = in_jaws(Conductor::L1)?;
        }
        if self.slips.made(Slip::WholeCableClamp) {
            grip.around = field::Conductor::ALL.to_vec();
        }
        grip.jaw_open |= self.slips.made(Slip::JawNotClosed);
        Ok(())
    }
}

/// Whether what is readable of a tag fits a tag.
pub(super) fn could_be(pattern: &str, tag: &str) -> bool {
    pattern.chars().count() == tag.chars().count()
        && pattern.chars().zip(tag.chars()).all(|(read, is)| read == '?' || read == is)
}

/// A number as it is typed, with so many digits after the point.
fn decimal(value: f64, places: u32) -> Result<Decimal, Halt> {
    Decimal::from_f64(value, places).ok_or(Halt::BROKEN)
}
