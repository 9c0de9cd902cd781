//! Where no load can be switched: a tone from the base, and cable markers.

use coldlug_core::{
    event::{Body, InstrumentEntered, ToneOn},
    quantity::{AssetId, Decimal, DeedId, InstrumentId},
    reading::{Instrument, InstrumentClass, Usual},
    reconcile::By,
    rule_sheet::Category,
    sighting::{End, Lack, Seen, SetAt, ToneLevel},
};
use coldlug_field::tone::Bleed;

use super::{Crew, Halt, Who};
use crate::simulate::slip::Slip;

/// Level that the tone set shows where the tone is as loud as it was put on; invented.
const FULL_LEVEL: f64 = 80.0;
/// Its noise with the tone off; invented.
const QUIET_LEVEL: f64 = 2.0;

impl Crew<'_> {
    /// The marked sets of a pad, by the newest go of marks.
    pub(super) fn marked_sets(&self, pad: &AssetId) -> Result<Vec<SetAt>, Halt> {
        let evidence = self.evidence()?;
        let go = self.marks.get(pad).and_then(|marks| evidence.marks.get(marks));
        let go = go.ok_or(Halt::BROKEN)?;
        let at = |position: &String| SetAt { pad: pad.clone(), position: position.clone() };
        Ok(go.sets.iter().map(|marked| at(&marked.position)).collect())
    }

    /// The set that somebody at the pad who makes things up takes for the one: the mapped one, where it
    /// is in this pad; none: nobody does, or whoever does is at the premises now.
    fn made_up_at(&self, pad: &AssetId) -> Result<Option<SetAt>, Halt> {
        if !self.slips.lasts(Slip::ReadingsInvented) || !self.cast.first_at_pad() {
            return Ok(None);
        }
        let sets = self.marked_sets(pad)?;
        let mapped = self.claimed();
        let chosen = sets.iter().find(|set| Some(*set) == mapped.as_ref());
        Ok(chosen.or(sets.first()).cloned())
    }

    /// Puts a tone on at the premises and compares it on every set of a pad, on and off. False:
    /// there is no tone set, and that is known.
    pub(super) fn tone(&mut self, pad: &AssetId) -> Result<bool, Halt> {
        if !self.site.kit.tone_set {
            return self.lacking(Lack::Tone);
        }
        self.count.tests += 1;
        self.pass_s(300);
        let instrument = self.tone_set()?;
        let deed = DeedId::new(self.name("deed"))?;
        let on = ToneOn { deed: deed.clone(), stay: self.stay()?, instrument: instrument.clone() };
        self.write(Who::House, Body::ToneOn(on))?;
        let really = self.really(pad)?;
        let poor = self.site.world.pad(&really)?.poor_neutral;
        let bleed = if poor { Bleed::Heavy } else { Bleed::Ordinary };
        let chance = self.site.chance();
        let heard = self.site.world.tone(&self.site.house, &really, bleed, chance)?;
        let made_up = self.made_up_at(pad)?;
        let mut levels = Vec::new();
        for set in self.marked_sets(pad)? {
            self.pass_s(30);
            let handle = self.handle(&set, By::Position)?;
            let there = self.really_at(pad, &handle)?;
            let level = match &made_up {
                Some(chosen) => {
                    if set == *chosen {
                        FULL_LEVEL
                    } else {
                        QUIET_LEVEL
                    }
                }
                None => heard.get(&there).copied().unwrap_or(0.0) * FULL_LEVEL,
            };
            levels.push(ToneLevel {
                handle,
                on_level: whole((level + QUIET_LEVEL).min(100.0))?,
                off_level: whole(QUIET_LEVEL)?,
            });
        }
        let seen = Seen::Tone { deed, instrument, pad: pad.clone(), levels };
        self.sighting(Who::Pad, seen)?;
        Ok(true)
    }

    /// The tone set, entered the first time it is used.
    fn tone_set(&mut self) -> Result<InstrumentId, Halt> {
        let id = InstrumentId::new("tone-1")?;
        let entered = self.state.evidence.as_ref();
        if entered.is_some_and(|evidence| evidence.instruments.contains_key(&id)) {
            return Ok(id);
        }
        let class = InstrumentClass::ToneSet;
        let Usual { range, resolution, accuracy, .. } = class.usual();
        let instrument = Instrument {
            id: id.clone(),
            class,
            category: Category::Four,
            category_volts: whole(600.0)?,
            range,
            resolution,
            accuracy,
            calibration_due_ms: i64::MAX,
        };
        self.write(Who::House, Body::Instrument(InstrumentEntered { instrument }))?;
        Ok(id)
    }

    /// Reads the cable marker at the base and those on the sets of a pad. False: there is none at
    /// the base, and that is known.
    pub(super) fn read_markers(&mut self, pad: &AssetId) -> Result<bool, Halt> {
        let Some(text) = self.site.world.mark_at_base(&self.site.house)?.map(str::to_owned) else {
            return self.lacking(Lack::Marker);
        };
        self.pass_s(120);
        let end = End::Base { stay: self.stay()? };
        self.sighting(Who::House, Seen::Marker { end, text: text.clone() })?;
        let made_up = self.made_up_at(pad)?;
        for set in self.marked_sets(pad)? {
            self.pass_s(20);
            let handle = self.handle(&set, By::Mark)?;
            let there = self.really_at(pad, &handle)?;
            let text = match &made_up {
                Some(chosen) => (set == *chosen).then(|| text.clone()),
                None => self.site.world.mark_at_lug(&there)?.map(str::to_owned),
            };
            if let Some(text) = text {
                let end = End::Lug { pad: pad.clone(), handle };
                self.sighting(Who::Pad, Seen::Marker { end, text })?;
            }
        }
        Ok(true)
    }
}

/// A level as it is typed.
fn whole(level: f64) -> Result<Decimal, Halt> {
    Decimal::from_f64(level, 0).ok_or(Halt::BROKEN)
}
