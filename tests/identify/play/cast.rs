//! What a play is made of, and how it is drawn from a seed.

use std::collections::{BTreeMap, BTreeSet};

use coldlug_core::{
    mapsheet,
    plant::Plant,
    quantity::{
        AssetId, DeedId, Instant, InstrumentId, MarksId, PersonId, PlacementId, RunId, SightingId,
        StayId,
    },
    reading::{Accuracy, Instrument, InstrumentClass},
    rule_sheet::Category,
    sighting::{Cause, Evidence, MarkedSet, Marks, Seen, SetAt, Sighting, seal_sticker},
};
use coldlug_field::{
    clamp::{Clamp, ClampFault},
    mistake::MistakeKind,
    record::Record,
    seed::{Draw, stream},
    small,
    switching::Switching,
    world::World,
};

use super::{fault::Fault, others::STICKER};

/// How the crew of a play goes about it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Manner {
    /// Anything, in any order.
    Anyhow,
    /// Towards an identification: one set is read again and again.
    Aiming,
    /// Every set that was marked, but perhaps one, is read on both legs in every run.
    Sweeping,
}

/// How plays are drawn.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Shape<'a> {
    /// What is false; twice the same is two things.
    pub(crate) faults: &'a [Fault],
    /// How the crew goes about it.
    pub(crate) manner: Manner,
}

/// One play: the evidence, and the truth apart from it.
pub(crate) struct Play {
    pub(crate) evidence: Evidence,
    pub(crate) plant: Plant,
    /// The set that really feeds the target.
    pub(crate) truth: SetAt,
    /// What is false in this play.
    pub(crate) false_causes: BTreeSet<Cause>,
    /// Where each stay really was.
    pub(crate) places: BTreeMap<StayId, String>,
    /// Where each premises sighting was really made, where that is not its stay's place.
    pub(crate) seen_at: BTreeMap<SightingId, String>,
    pub(super) target: String,
    pub(super) other: String,
    pub(super) world: World,
    pub(super) faults: Vec<Fault>,
    pub(super) manner: Manner,
    /// The set an aiming crew reads again and again.
    pub(super) aim: Option<SetAt>,
    /// The set a sweeping crew leaves out.
    pub(super) left_out: Option<SetAt>,
    /// How likely each premises sighting is.
    pub(super) eager: f64,
    pub(super) switching: Switching,
    pub(super) draw: Draw,
    pub(super) clamps: Vec<(InstrumentId, Clamp)>,
    pub(super) clock_ms: i64,
    pub(super) next: u32,
    /// For each go of marks: recorded position by mark, and where the mark really is.
    pub(super) marks_on: BTreeMap<(MarksId, String), String>,
    /// A crew that presses a key at the smallest twitch of the display.
    pub(super) twitchy: bool,
    /// A crew that types amps at the slot drawn for it, as it should.
    pub(super) types_sizes: bool,
    /// Nobody switches anything on purpose during the runs; the loads of the field still do.
    pub(super) calm: bool,
}

pub(super) const WORKER: &str = "ana";
pub(super) const READER: &str = "bo";
pub(super) const CUSTOMER: &str = "customer";
pub(super) const ELECTRICIAN: &str = "eli";
pub(super) const DESK: &str = "desk";
pub(super) const TONE_SET: &str = "tone-set";

macro_rules! name_of {
    ($($fn:ident: $ty:ident;)*) => {$(
        pub(super) fn $fn(text: &str) -> $ty {
            $ty::new(text).expect("a name of the play")
        }
    )*};
}

name_of! {
    asset: AssetId;
    person: PersonId;
    stay_id: StayId;
    marks_id: MarksId;
    placement_id: PlacementId;
    run_id: RunId;
    deed_id: DeedId;
    sighting_id: SightingId;
    instrument_id: InstrumentId;
}

impl Play {
    /// Draws a play; none where the world has no two metered services to play with.
    pub(crate) fn draw(seed: u64, shape: Shape<'_>) -> Option<Self> {
        let mut play = Self::set_up(seed, shape)?;
        play.falsify_records();
        play.falsify_sets();
        play.bring_clamps();
        play.mark_pads();
        play.choose_sets();
        let stays = if shape.manner == Manner::Anyhow { play.draw.whole(1, 2) } else { 1 };
        for _ in 0..stays {
            play.play_stay();
        }
        play.look_at_sets();
        Some(play)
    }

    /// The field, the sheet and the job, before anybody has done anything.
    pub(super) fn set_up(seed: u64, shape: Shape<'_>) -> Option<Self> {
        let mut draw = stream(seed, "play");
        let world = small::small(seed);
        let metered: Vec<&String> =
            world.services.iter().filter(|(_, s)| s.meter.is_some()).map(|(id, _)| id).collect();
        let target = (*draw.pick(&metered)?).clone();
        let others: Vec<&&String> = metered.iter().filter(|id| ***id != target).collect();
        let other = (**draw.pick(&others)?).clone();
        let faults = shape.faults.to_vec();
        let plant = Self::sheet(&world, &target, &other, &faults, &mut draw)?;
        let truth = truth_of(&world, &target)?;
        let twitchy = draw.chance(if shape.manner == Manner::Anyhow { 0.25 } else { 0.5 });
        let types_sizes = draw.chance(0.8);
        let eager = match shape.manner {
            Manner::Anyhow => 0.65,
            _ => *draw.pick(&[0.3, 0.9])?,
        };
        let mut evidence = Evidence::new(asset(&target));
        evidence.electricians.insert(person(ELECTRICIAN));
        evidence.sticker = Some(seal_sticker(STICKER));
        Some(Self {
            evidence,
            plant,
            truth,
            false_causes: BTreeSet::new(),
            places: BTreeMap::new(),
            seen_at: BTreeMap::new(),
            target,
            other,
            world,
            faults,
            manner: shape.manner,
            aim: None,
            left_out: None,
            eager,
            switching: Switching::default(),
            draw,
            clamps: Vec::new(),
            clock_ms: 0,
            next: 0,
            marks_on: BTreeMap::new(),
            twitchy,
            types_sizes,
            calm: false,
        })
    }

    /// The map sheet of this play: mistaken or not, and with swapped records where that is the
    /// fault.
    fn sheet(
        world: &World,
        target: &str,
        other: &str,
        faults: &[Fault],
        draw: &mut Draw,
    ) -> Option<Plant> {
        let mut record = Record::as_drawn(world);
        if draw.chance(0.5) {
            let kinds = [
                MistakeKind::WrongPad,
                MistakeKind::SwappedSets,
                MistakeKind::SwappedTags,
                MistakeKind::WrongMetal,
                MistakeKind::ExtraService,
            ];
            let kind = *draw.pick(&kinds)?;
            if let Some(mistake) = kind.draw(&record, target, draw) {
                record.apply(&mistake).ok()?;
            }
        }
        if faults.contains(&Fault::MeterRecordsSwapped) {
            let (a, b) = (target.to_owned(), other.to_owned());
            record.apply(&coldlug_field::mistake::Mistake::SwappedMeters { a, b }).ok()?;
        }
        let sheet = serde_json::to_vec(&record.map_sheet(world)).ok()?;
        mapsheet::read(&sheet).ok().map(|sheet| sheet.plant)
    }

    fn falsify_records(&mut self) {
        if self.faults.contains(&Fault::MeterRecordsSwapped) {
            self.false_causes.insert(Cause::MeterRecords);
        }
        if self.faults.contains(&Fault::PlatesSwapped) {
            self.false_causes.insert(Cause::Plates);
        }
        if self.faults.contains(&Fault::BillingRecordsSwapped) {
            self.false_causes.insert(Cause::BillingRecords);
        }
    }

    /// What the world itself makes false: shared sets and splices nobody mapped.
    fn falsify_sets(&mut self) {
        for pad in self.world.pads.values() {
            for (i, set) in pad.sets.iter().enumerate() {
                let (pad, position) = (asset(&pad.id), (i + 1).to_string());
                let feeds = self.world.services_on(set).unwrap_or_default();
                let unmetered =
                    feeds.iter().any(|id| self.world.services[*id].unmetered_amps > 0.0);
                if feeds.len() > 1 || unmetered {
                    let (pad, position) = (pad.clone(), position.clone());
                    self.false_causes.insert(Cause::SharedSet { pad, position });
                }
                let lug = self.world.look_at_pad(set).ok();
                if feeds.iter().any(|id| self.world.look_at_base(id).ok() != lug) {
                    self.false_causes.insert(Cause::UnmappedSplice { pad, position });
                }
            }
        }
    }

    pub(super) fn bring_clamps(&mut self) {
        for name in ["clamp-1", "clamp-2"] {
            let mut clamp = Clamp::sound(&mut self.draw);
            let id = instrument_id(name);
            let fault = if self.faults.contains(&Fault::ClampStuck) {
                Some(ClampFault::StuckAtZero)
            } else if self.faults.contains(&Fault::ClampGain) {
                Some(ClampFault::GainOff(0.1))
            } else {
                None
            };
            if let (Some(fault), "clamp-1") = (fault, name) {
                clamp = clamp.with_fault(fault);
                self.false_causes.insert(Cause::Instrument { instrument: id.clone() });
            }
            let at = self.tick(READER);
            self.evidence.instruments.insert(id.clone(), instrument(&id, &clamp));
            self.evidence.show_right(&id, &at);
            self.clamps.push((id, clamp));
        }
    }

    /// Puts marks on the sets of the target's pad, mostly, and of others.
    fn mark_pads(&mut self) {
        let pads: Vec<String> = self.world.pads.keys().cloned().collect();
        let home = self.truth.pad.as_str().to_owned();
        for pad in pads {
            let known = if self.manner == Manner::Sweeping { 0.4 } else { 0.9 };
            if !self.draw.chance(if pad == home { known } else { 0.6 }) {
                continue;
            }
            for _ in 0..self.draw.whole(1, 2) {
                self.mark_pad(&pad);
            }
        }
    }

    pub(super) fn mark_pad(&mut self, pad: &str) {
        let count = self.world.pads[pad].sets.len();
        let id = marks_id(&self.name("marks"));
        let mixed = self.faults.contains(&Fault::MarksMixed)
            && !self.false_causes.iter().any(|c| matches!(c, Cause::Marks { .. }));
        if mixed {
            self.false_causes.insert(Cause::Marks { marks: id.clone() });
        }
        let turn = if mixed { 1 + self.draw.below(count.max(2) as u32 - 1) as usize } else { 0 };
        let sets = (0..count).map(|i| {
            let mark = char::from(b'A' + u8::try_from(i).expect("few sets")).to_string();
            let really = ((i + turn) % count + 1).to_string();
            self.marks_on.insert((id.clone(), mark.clone()), really);
            MarkedSet { mark, position: (i + 1).to_string() }
        });
        let sets = sets.collect();
        self.evidence.put_marks(Marks { id, pad: asset(pad), sets });
    }

    pub(super) fn name(&mut self, what: &str) -> String {
        self.next += 1;
        format!("{what}-{:03}", self.next)
    }

    /// The next moment on somebody's phone.
    pub(super) fn tick(&mut self, who: &str) -> Instant {
        self.clock_ms += 20_000;
        Instant { wall_ms: self.clock_ms, boot: format!("{who}-boot"), mono_ms: self.clock_ms }
    }

    pub(super) fn t_s(&self) -> f64 {
        self.clock_ms as f64 / 1000.0
    }

    /// Writes a sighting down; gives its name.
    pub(super) fn note(&mut self, who: &str, at: Instant, seen: Seen) -> SightingId {
        let id = sighting_id(&self.name("seen"));
        let sighting = Sighting { id: id.clone(), who: person(who), at, seen };
        self.evidence.sightings.insert(id.clone(), sighting);
        id
    }

    /// Takes a fault for this occasion: once only, so that it falsifies one thing or deed.
    pub(super) fn take(&mut self, fault: Fault) -> bool {
        let at = self.faults.iter().position(|&f| f == fault);
        match at {
            Some(at) if self.draw.chance(0.7) => {
                self.faults.remove(at);
                true
            }
            _ => false,
        }
    }

    /// What an aiming crew aims at, and what a sweeping crew leaves out.
    fn choose_sets(&mut self) {
        let marked = self.marked_sets();
        self.aim = if self.draw.chance(0.5) && marked.contains(&self.truth) {
            Some(self.truth.clone())
        } else {
            let theirs = truth_of(&self.world, &self.other);
            theirs.filter(|set| marked.contains(set)).or_else(|| self.draw.pick(&marked).cloned())
        };
        if self.draw.chance(0.6) {
            self.left_out = self.draw.pick(&marked).cloned();
        }
    }

    /// Every set that somebody marked.
    pub(super) fn marked_sets(&self) -> Vec<SetAt> {
        let sets: BTreeSet<SetAt> = self
            .evidence
            .marks
            .values()
            .flat_map(|go| {
                go.sets
                    .iter()
                    .map(|set| SetAt { pad: go.pad.clone(), position: set.position.clone() })
            })
            .collect();
        sets.into_iter().collect()
    }
}

/// The lug position that truly feeds a service.
fn truth_of(world: &World, service: &str) -> Option<SetAt> {
    let set = world.feeding_set(service).ok()?;
    let pad = world.pad_of(service).ok()?;
    let at = world.pads.get(pad)?.sets.iter().position(|id| id == set)?;
    Some(SetAt { pad: asset(pad), position: (at + 1).to_string() })
}

fn instrument(id: &InstrumentId, clamp: &Clamp) -> Instrument {
    let decimal = |value: f64, places| {
        coldlug_core::quantity::Decimal::from_f64(value, places).expect("a finite number")
    };
    Instrument {
        id: id.clone(),
        class: InstrumentClass::Clamp,
        category: Category::Four,
        category_volts: decimal(600.0, 0),
        range: decimal(400.0, 0),
        resolution: decimal(clamp.accuracy.resolution, 1),
        accuracy: Accuracy {
            percent: decimal(clamp.accuracy.percent, 1),
            counts: clamp.accuracy.counts as u16,
        },
        calibration_due_ms: i64::MAX,
    }
}
