//! The simulated crew: two lineworkers, an electrician and a dispatcher who carry one job through
//! core's own gates. They do what the software advises and nothing cleverer; what they do wrong is
//! drawn as slips.

mod amps;
mod blind;
mod cast;
mod elsewise;
mod halt;
mod hand_over;
mod instruments;
mod open;
mod pad;
mod premises;
mod restore;
mod settle;
mod site;
mod step;
mod truth;
mod volts;

use std::{collections::BTreeMap, rc::Rc};

use coldlug_core::{
    event::{Body, Event, Operation, OperationDone, SightingMade},
    gate::Rule,
    job::{Sheets, State, write},
    plant::Conductor,
    quantity::{
        AssetId, Decimal, DeedId, EventId, IdError, Instant, MarksId, PlacementId, SightingId,
        StayId,
    },
    reconcile::Advice,
    sighting::{Handle, Seen, SetAt},
};
use coldlug_field::seed::{Draw, stream};

pub(crate) use self::{
    cast::{Cast, Who},
    halt::Halt,
    site::{Grip, Site},
};
use self::{instruments::Hands, truth::Truth};
use super::{slip::Slips, spec::Keying};

/// What a crew is set to work with.
pub(crate) struct Order<'a> {
    /// Map and rules.
    pub(crate) sheets: &'a Sheets<'a>,
    /// The field.
    pub(crate) site: Site,
    /// What goes wrong by people's hands.
    pub(crate) slips: Slips,
    /// The service to be made dead.
    pub(crate) target: AssetId,
    /// The service whose house is mistaken for the target's, if anybody does so.
    pub(crate) next_door: Option<String>,
    /// What is typed in each slot of a load step.
    pub(crate) keys: Keying,
    /// The seed of the job.
    pub(crate) seed: u64,
}

/// What was counted on the way.
#[derive(Debug, Clone, Default)]
pub(crate) struct Count {
    /// Pads searched, coded runs read, tone comparisons, meters pulled.
    pub(crate) tests: u32,
    /// Looks at the premises.
    pub(crate) looks: u32,
    /// Refusals by rule.
    pub(crate) refused: BTreeMap<Rule, u32>,
}

/// A crew at work on one job.
pub(crate) struct Crew<'a> {
    sheets: &'a Sheets<'a>,
    /// The job as all its phones know it: they are in touch all the time.
    pub(crate) state: State,
    site: Site,
    slips: Slips,
    target: AssetId,
    next_door: Option<String>,
    keys: Keying,
    cast: Cast,
    /// The app's own randomness, and the crew's.
    draw: Draw,
    clock_ms: i64,
    named: u32,
    stay: Option<StayId>,
    pull: Option<DeedId>,
    hands: Hands,
    /// The pad of the field that each pad of the sheet is taken to be.
    pads_really: BTreeMap<AssetId, String>,
    /// The marks on each pad, newest last.
    marks: BTreeMap<AssetId, MarksId>,
    /// Where each mark really is, counted from one.
    marks_on: BTreeMap<(MarksId, String), usize>,
    /// The pad in which positions are counted from the wrong end.
    miscounted: Option<AssetId>,
    steps: step::Memory,
    /// What was advised last, and how much was on record then.
    advice: Option<(usize, Rc<Advice>)>,
    /// The last amps written of each leg.
    last_amps: BTreeMap<(SetAt, Conductor), Decimal>,
    /// The clamp where it was placed last.
    clamp_on: Option<(PlacementId, Grip)>,
    /// The set that is really off its lugs.
    lifted_set: Option<String>,
    /// Whether that is the set that was named.
    opened_as_named: bool,
    /// What was counted.
    pub(crate) count: Count,
    /// What the field alone knows of what was done.
    pub(crate) truth: Truth,
}

/// So often a crew begins again with what it has found out.
const ATTEMPTS: u32 = 3;
/// When the jobs begin: 2026-06-08 13:00 UTC, a Monday. Any moment would do.
const FIRST_WALL_MS: i64 = 1_780_923_600_000;

impl<'a> Crew<'a> {
    /// A crew that has not begun.
    pub(crate) fn new(order: Order<'a>) -> Result<Self, IdError> {
        Ok(Self {
            sheets: order.sheets,
            state: State::default(),
            site: order.site,
            slips: order.slips,
            target: order.target,
            next_door: order.next_door,
            keys: order.keys,
            cast: Cast::new()?,
            draw: stream(order.seed, "crew"),
            clock_ms: 0,
            named: 0,
            stay: None,
            pull: None,
            hands: Hands::default(),
            pads_really: BTreeMap::new(),
            marks: BTreeMap::new(),
            marks_on: BTreeMap::new(),
            miscounted: None,
            steps: step::Memory::default(),
            advice: None,
            last_amps: BTreeMap::new(),
            clamp_on: None,
            lifted_set: None,
            opened_as_named: true,
            count: Count::default(),
            truth: Truth::default(),
        })
    }

    /// Carries the job from the request to the closed record.
    pub(crate) fn work(&mut self) -> Result<(), Halt> {
        self.open_job()?;
        self.brief()?;
        self.bring_instruments()?;
        for _ in 0..ATTEMPTS {
            let set = self.find_set()?;
            match self.open_and_hand_over(&set) {
                Ok(()) => return self.restore(&set),
                // Nothing is open yet, and what identified the set counts no more.
                Err(Halt(rule))
                    if rule == Rule::IdentifiedBeforeOpening.id() && self.lifted_set.is_none() =>
                {
                    self.meter_back()?;
                }
                Err(halt) if halt == Halt::STOPPED_LIVE => self.put_back(&set)?,
                Err(halt) => return Err(halt),
            }
        }
        Err(Halt::TOO_MANY_TESTS)
    }

    fn open_and_hand_over(&mut self, set: &SetAt) -> Result<(), Halt> {
        self.open_set(set)?;
        self.prove_and_hand_over(set)
    }

    /// Lets time pass.
    fn pass_s(&mut self, seconds: i64) {
        self.clock_ms += seconds * 1000;
    }

    /// Seconds since the job began, as the field counts.
    fn t_s(&self) -> f64 {
        #[allow(clippy::cast_precision_loss, reason = "some days in milliseconds")]
        let ms = self.clock_ms as f64;
        ms / 1000.0
    }

    /// This moment on somebody's device. Each was booted at another time.
    fn instant(&self, who: Who) -> Instant {
        let device = self.cast.device(who).as_str();
        let before: i64 = device.bytes().map(i64::from).sum::<i64>() * 977;
        Instant {
            wall_ms: FIRST_WALL_MS + self.clock_ms,
            boot: format!("{device}-boot"),
            mono_ms: before + self.clock_ms,
        }
    }

    /// A name that was not given yet.
    fn name(&mut self, kind: &str) -> String {
        self.named += 1;
        format!("{kind}-{}", self.named)
    }

    /// Bytes of the app's own chance.
    fn chance_bytes(&mut self) -> [u8; 32] {
        let mut bytes = [0; 32];
        for word in bytes.chunks_exact_mut(8) {
            word.copy_from_slice(&self.draw.bits().to_le_bytes());
        }
        bytes
    }

    /// Writes something down: refused, it is counted and nothing is written.
    fn write(&mut self, who: Who, body: Body) -> Result<EventId, Halt> {
        let event = Event {
            id: EventId::new(self.name("e"))?,
            at: self.instant(who),
            device: self.cast.device(who).clone(),
            person: self.cast.person(who).clone(),
            late_wall_ms: None,
            body,
        };
        match write(&mut self.state, self.sheets, &event) {
            Ok(_) => Ok(event.id),
            Err(refusal) => {
                tracing::debug!(rule = refusal.rule.id(), which = ?refusal.which, "refused");
                *self.count.refused.entry(refusal.rule).or_default() += 1;
                Err(refusal.into())
            }
        }
    }

    /// Writes a sighting down.
    fn sighting(&mut self, who: Who, seen: Seen) -> Result<(EventId, SightingId), Halt> {
        let sighting = SightingId::new(self.name("s"))?;
        let event =
            self.write(who, Body::Sighting(SightingMade { sighting: sighting.clone(), seen }))?;
        Ok((event, sighting))
    }

    /// Writes an operation down.
    fn operate(&mut self, who: Who, operation: Operation) -> Result<EventId, Halt> {
        self.write(who, Body::Operation(OperationDone { operation, making_safe: false }))
    }

    /// The open stay.
    fn stay(&self) -> Result<StayId, Halt> {
        self.stay.clone().ok_or(Halt::BROKEN)
    }

    /// A set by its mark, as the crew wrote it down.
    fn by_mark(&self, set: &SetAt) -> Result<Handle, Halt> {
        let marks = self.marks.get(&set.pad).cloned().ok_or(Halt::BROKEN)?;
        let evidence = self.evidence()?;
        let go = evidence.marks.get(&marks).ok_or(Halt::BROKEN)?;
        let marked = go.sets.iter().find(|marked| marked.position == set.position);
        let mark = marked.ok_or(Halt::BROKEN)?.mark.clone();
        Ok(Handle::Mark { marks, mark })
    }
}
