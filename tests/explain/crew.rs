//! A crew that writes down, without a slip, what a made-up field shows it.

use std::num::NonZeroU8;

use coldlug_core::{
    plant::{Conductor, Metal},
    quantity::{Decimal, Instant, StayId},
    reading::{Accuracy, Instrument, InstrumentClass},
    rule_sheet::Category,
    sighting::{
        BeforeAfter, End, Evidence, Handle, OpenedCode, Placement, Run, Seen, SetAt, Sighting,
        Slot, SlotKey, SlotReading, Speaker, Stay, seal,
    },
};
use coldlug_field::{
    conductor::{self, Look},
    fix,
    seed::Draw,
    world::{Sky, World},
};

const CODE: [Slot; 10] = {
    use Slot::{Change as C, Hold as H};
    [C, H, C, C, H, H, C, C, H, C]
};
const SALT: &str = "0123456789abcdef0123456789abcdef";

/// What a crew writes down.
pub(crate) struct Crew<'a> {
    world: &'a World,
    pub(crate) evidence: Evidence,
    draw: Draw,
    clock_ms: i64,
    next: u32,
}

impl<'a> Crew<'a> {
    pub(crate) fn new(world: &'a World, target: &str, draw: Draw) -> Self {
        let evidence = Evidence::new(target.try_into().unwrap());
        let mut crew = Self { world, evidence, draw, clock_ms: 0, next: 0 };
        let at = crew.tick("bo");
        let clamp = Instrument {
            id: "clamp".try_into().unwrap(),
            class: InstrumentClass::Clamp,
            category: Category::Four,
            category_volts: "600".parse().unwrap(),
            range: "400".parse().unwrap(),
            resolution: "0.1".parse().unwrap(),
            accuracy: Accuracy { percent: "2".parse().unwrap(), counts: 5 },
            calibration_due_ms: i64::MAX,
        };
        crew.evidence.show_right(&clamp.id, &at);
        crew.evidence.instruments.insert(clamp.id.clone(), clamp);
        crew
    }

    fn tick(&mut self, who: &str) -> Instant {
        self.clock_ms += 1_000;
        Instant { wall_ms: self.clock_ms, boot: who.into(), mono_ms: self.clock_ms }
    }

    fn name(&mut self, what: &str) -> String {
        self.next += 1;
        format!("{what}-{:04}", self.next)
    }

    fn note(&mut self, who: &str, seen: Seen) {
        let at = self.tick(who);
        let id = coldlug_core::quantity::SightingId::new(self.name("seen")).unwrap();
        let who = who.try_into().unwrap();
        self.evidence.sightings.insert(id.clone(), Sighting { id, who, at, seen });
    }

    /// Everything that can be seen at a pad and in it, noted at what the crew calls it.
    pub(crate) fn look_at_pad(&mut self, pad: &str, called: &str) {
        let known = &self.world.pads[pad];
        let at = || Some(called.try_into().unwrap());
        let tag = self.world.tag_seen(pad).unwrap();
        if let Some(tag) = tag {
            let (pattern, maybe_upside_down) = (tag.pattern, tag.upside_down);
            self.note("bo", Seen::Tag { pad: at(), pattern, maybe_upside_down });
        }
        let taken = fix::take(known.at, Sky::Open, self.draw.bits());
        let decimal = |value: f64, places| Decimal::from_f64(value, places).unwrap();
        self.note(
            "bo",
            Seen::Fix {
                pad: at(),
                lon_deg: decimal(taken.at.lon, 7),
                lat_deg: decimal(taken.at.lat, 7),
                radius68_m: decimal(taken.radius68_m, 1),
            },
        );
        let count = u16::try_from(known.sets.len()).unwrap();
        self.note("bo", Seen::SetCount { pad: called.try_into().unwrap(), count });
        for (i, set) in known.sets.iter().enumerate() {
            let look = self.world.look_at_pad(set).unwrap();
            let handle = Handle::Position { position: (i + 1).to_string() };
            let end = End::Lug { pad: called.try_into().unwrap(), handle };
            self.note("bo", seen(end, look));
        }
    }

    /// A stay at a service: number, plate, the electrician's word, and the cable at the base.
    pub(crate) fn stay_at(&mut self, service: &str) -> StayId {
        let stay: StayId = self.name("stay").as_str().try_into().unwrap();
        let (begun, person) = (self.tick("ana"), "ana".try_into().unwrap());
        let known = Stay { id: stay.clone(), person, begun, ended: None, withdrawn: false };
        self.evidence.stays.insert(stay.clone(), known);
        let here = &self.world.services[service];
        if let Some(number) = here.meter.clone() {
            self.note("ana", Seen::MeterNumber { stay: stay.clone(), number });
        }
        let named = Some(service.try_into().unwrap());
        let (plate, at) = (here.plate.clone(), stay.clone());
        self.note("ana", Seen::AddressPlate { stay: at, plate, service: named.clone() });
        let speaker = Speaker::Electrician;
        let (run, from_link, at) = (None, true, stay.clone());
        self.note("eli", Seen::Word { stay: at, run, speaker, service: named, from_link });
        let look = self.world.look_at_base(service).unwrap();
        self.note("ana", seen(End::Base { stay: stay.clone() }, look));
        stay
    }

    /// A coded load step switched in a stay and read on one leg of a set.
    pub(crate) fn step(&mut self, stay: &StayId, set: &SetAt, leg: Conductor, follows: bool) {
        let at = self.tick("bo");
        let placement: coldlug_core::quantity::PlacementId =
            self.name("placement").as_str().try_into().unwrap();
        let placed = Placement {
            id: placement.clone(),
            pad: set.pad.clone(),
            handle: Handle::Position { position: set.position.clone() },
            leg: Some(leg),
            runs_in_jaws: NonZeroU8::MIN,
            instrument: "clamp".try_into().unwrap(),
            at,
        };
        self.evidence.placements.insert(placement.clone(), placed);
        let run: coldlug_core::quantity::RunId = self.name("run").as_str().try_into().unwrap();
        let begun = self.tick("ana");
        let ended = self.tick("ana");
        let whole = Run {
            id: run.clone(),
            stay: stay.clone(),
            doer: "ana".try_into().unwrap(),
            outlet: "kitchen".into(),
            load_amps: "12.5".parse().unwrap(),
            load_tolerance_percent: "5".parse().unwrap(),
            sealed: seal(&CODE, SALT),
            size_slot: 0,
            begun,
            opened: Some(OpenedCode { code: CODE.to_vec(), salt: SALT.into() }),
            ended: Some(ended),
        };
        self.evidence.runs.insert(run.clone(), whole);
        let mut on = false;
        let slots = CODE.iter().enumerate().map(|(i, slot)| {
            on ^= *slot == Slot::Change;
            let key = match (follows, slot, on) {
                (false, _, _) | (_, Slot::Hold, _) => SlotKey::Same,
                (true, Slot::Change, true) => SlotKey::Rose,
                (true, Slot::Change, false) => SlotKey::Fell,
            };
            let after = if follows { "13.4" } else { "1.0" };
            let amps = (i == 0).then(|| BeforeAfter {
                before_amps: "1.0".parse().unwrap(),
                after_amps: after.parse().unwrap(),
            });
            SlotReading { key, amps }
        });
        let slots = slots.collect();
        let load_off_amps = "1.0".parse().unwrap();
        self.note("bo", Seen::LoadStep { run, placement, load_off_amps, slots });
    }
}

fn seen(end: End, look: Look) -> Seen {
    let metal = match look.metal {
        conductor::Metal::Al => Metal::Al,
        conductor::Metal::Cu => Metal::Cu,
    };
    Seen::Conductor { end, metal, size: Some(look.size.word().to_owned()) }
}
