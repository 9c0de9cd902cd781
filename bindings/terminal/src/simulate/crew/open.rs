//! From the identified set to both legs lifted.

use coldlug_core::{
    event::{
        Answers, Body, Bolt, Bypass, Enclosure, Front, MapCorrected, MeterPulled, Operation,
        ProofMade, ProofOf,
    },
    gate::Rule,
    plant::{Conductor, Metering, Pair},
    quantity::{DeedId, EventId, ProofId, in_volts},
    reading::Place,
    sighting::SetAt,
};
use serde_json::json;

use super::{
    Crew, Halt, Who,
    site::{TesterOf, shown},
};
use crate::{field_terms, simulate::slip::Slip};

/// The two hot legs of a split-phase set.
pub(super) const LEGS: [Conductor; 2] = [Conductor::L1, Conductor::L2];
/// Leg to neutral, both legs.
pub(super) const LEG_TO_NEUTRAL: [Pair; 2] =
    [Pair(Conductor::L1, Conductor::N), Pair(Conductor::L2, Conductor::N)];
/// So often a step is tried again after what its rule asks for was done.
const TRIES: u32 = 6;
/// How long the crew waits for a load to go away, seconds.
const WAIT_S: i64 = 300;

impl Crew<'_> {
    /// Opens the identified set, one leg at a time.
    pub(super) fn open_set(&mut self, set: &SetAt) -> Result<(), Halt> {
        self.answer(set)?;
        self.pull_meter()?;
        self.base_lives()?;
        self.lift_checked(set, Conductor::L1)?;
        self.check_leg(set, Conductor::L1)?;
        self.lift_checked(set, Conductor::L2)
    }

    /// Reads the base live before anything is opened; who reads nothing there looks to the tester.
    fn base_lives(&mut self) -> Result<(), Halt> {
        for _ in 0..TRIES {
            self.volts_at_base(&LEG_TO_NEUTRAL)?;
            let last = self.state.volts.iter().rev().take(LEG_TO_NEUTRAL.len());
            let live = in_volts(self.sheets.rules.live_limit());
            if last.clone().all(|read| read.taken.reading.volts.to_f64() > live) {
                return Ok(());
            }
            self.prove_house_tester()?;
        }
        Err(Halt::BASE_DEAD_BEFORE)
    }

    /// Writes down where the field was right and the map was not.
    fn correct_map(&mut self, set: &SetAt) -> Result<(), Halt> {
        let claimed = self.claimed();
        if claimed.as_ref() == Some(set) {
            return Ok(());
        }
        self.pass_s(60);
        let was = claimed.map(|at| json!({ "pad": at.pad.as_str(), "position": at.position }));
        let body = MapCorrected {
            claim: "service-at-pad".to_owned(),
            feature: self.target.clone(),
            lon_deg: None,
            lat_deg: None,
            was: was.unwrap_or_default(),
            now: json!({ "pad": set.pad.as_str(), "position": set.position }),
            sightings: Vec::new(),
        };
        self.write(Who::Pad, Body::MapCorrection(body))?;
        Ok(())
    }

    /// Where the map has the set of the target.
    pub(super) fn claimed(&self) -> Option<SetAt> {
        let feed = self.sheets.plant.feed_of(&self.target).ok()?;
        Some(SetAt { pad: feed.pad?, position: feed.position? })
    }

    /// Answers what is asked of a set before anything is opened.
    fn answer(&mut self, set: &SetAt) -> Result<(), Halt> {
        self.pass_s(60);
        let body = Answers {
            pad: set.pad.clone(),
            position: set.position.clone(),
            bolt: Bolt::Own,
            runs_per_leg: self.runs_of(set)?,
            meters_on_set: 1,
            front: Front::Dead,
            enclosure: Enclosure {
                case_volts: shown(0.2)?,
                wet: false,
                damage: false,
                animals: false,
            },
        };
        self.write(Who::Pad, Body::Answers(body))?;
        Ok(())
    }

    /// Cables side by side on each leg, as they are seen at the lugs.
    fn runs_of(&mut self, set: &SetAt) -> Result<u8, Halt> {
        let handle = self.by_mark(set)?;
        let really = self.really_at(&set.pad, &handle)?;
        Ok(self.site.world.set(&really)?.runs)
    }

    /// Identifies the set, and reads the number on the meter, which may speak against it: then what
    /// is open is settled first.
    pub(super) fn find_set(&mut self) -> Result<SetAt, Halt> {
        for _ in 0..TRIES {
            let set = self.settle()?;
            self.correct_map(&set)?;
            self.read_meter_number()?;
            if self.sheets.identified(self.evidence()?).as_ref() == Some(&set) {
                return Ok(set);
            }
        }
        Err(Halt(Rule::IdentifiedBeforeOpening.id()))
    }

    /// Opens the main, and takes the meter out.
    fn pull_meter(&mut self) -> Result<(), Halt> {
        self.pass_s(30);
        let service = self.target.clone();
        self.operate(Who::House, Operation::MainOpened { service })?;
        let house = self.site.house.clone();
        self.site.switching.set_main_open(&house, true);
        self.pass_s(90);
        let deed = DeedId::new(self.name("deed"))?;
        match self.pull(&deed) {
            Err(Halt(rule)) if rule == Rule::MeterNumberReadBeforePull.id() => {
                self.correct_number()?;
                self.read_meter_number()?;
                self.pull(&deed)?;
            }
            other => other?,
        }
        let wrong = self.next_door.clone().filter(|_| self.slips.made(Slip::WrongMeterPulled));
        self.site.switching.set_meter_out(&wrong.unwrap_or(house), true);
        self.pull = Some(deed);
        self.truth.read.clear();
        Ok(())
    }

    fn pull(&mut self, deed: &DeedId) -> Result<(), Halt> {
        let body = MeterPulled {
            deed: deed.clone(),
            stay: self.stay()?,
            number_in_hand: Some(self.number_reported()?),
            form: "2S".to_owned(),
            bypass: Bypass::None,
            main_open: true,
            own_sources: self.own_sources()?,
            damage_or_heat: false,
            metering: Metering::SelfContained,
        };
        self.write(Who::House, Body::MeterPulled(body))?;
        Ok(())
    }

    /// The meter has another number than the map says, and the premises are settled without it.
    fn correct_number(&mut self) -> Result<(), Halt> {
        self.pass_s(60);
        let was = self.sheets.plant.services.get(&self.target).map(|s| s.meters.clone());
        let body = MapCorrected {
            claim: "meter-number".to_owned(),
            feature: self.target.clone(),
            lon_deg: None,
            lat_deg: None,
            was: json!(was.unwrap_or_default()),
            now: json!(self.number_reported()?),
            sightings: Vec::new(),
        };
        self.write(Who::House, Body::MapCorrection(body))?;
        Ok(())
    }

    /// Lifts a leg once its amps are fresh and low: reads again, or waits, where a rule asks.
    fn lift_checked(&mut self, set: &SetAt, leg: Conductor) -> Result<(), Halt> {
        let mut last = Halt::BROKEN;
        for turn in 0..TRIES {
            if turn > 0 {
                self.pass_s(WAIT_S);
            }
            self.find_load(set)?;
            self.amps_of_set(set, leg)?;
            match self.lift(set, leg) {
                Err(halt @ Halt(rule))
                    if rule == Rule::AmpsFreshBeforeLift.id()
                        || rule == Rule::NoLoadBeforeLift.id()
                        || rule == Rule::ClampProvenAfterAmps.id()
                        || rule == Rule::NoLoadWhileLoosened.id() =>
                {
                    last = halt;
                }
                other => return other,
            }
        }
        Err(last)
    }

    /// Lifts one leg, caps, restrains and tags it.
    fn lift(&mut self, set: &SetAt, leg: Conductor) -> Result<(), Halt> {
        self.pass_s(60);
        let handle = self.by_mark(set)?;
        let (pad, position) = (set.pad.clone(), set.position.clone());
        let loosened_amps = self.amps_while_loosened()?;
        let lifted = Operation::LegLifted {
            pad: pad.clone(),
            handle: handle.clone(),
            leg,
            runs: self.runs_of(set)?,
            loosened_amps,
        };
        if let Err(halt) = self.operate(Who::Pad, lifted) {
            if halt == Halt(Rule::NoLoadWhileLoosened.id()) {
                self.write_loosened(loosened_amps)?;
            }
            return Err(halt);
        }
        let mut really = match self.lifted_set.clone() {
            Some(set) => set,
            None => self.really_at(&pad, &handle)?,
        };
        let mut as_advised = self.opened_as_named;
        if self.lifted_set.is_none()
            && self.slips.made(Slip::WrongSetOpened)
            && let Some(other) = self.other_set(&pad, &really)?
        {
            really = other;
            as_advised = false;
        }
        self.opened_as_named = as_advised;
        self.lifted_set = Some(really.clone());
        let conductor = field_terms::conductor(leg).ok_or(Halt::BROKEN)?;
        let hot = field_terms::leg(leg).ok_or(Halt::BROKEN)?;
        self.count_lift(&really, &[hot], as_advised)?;
        self.site.switching.lift(&really, conductor);
        for operation in [
            Operation::LegCapped { pad: pad.clone(), position: position.clone(), leg },
            Operation::LegRestrained { pad: pad.clone(), position: position.clone(), leg },
            Operation::LegTagged { pad, position, leg },
        ] {
            self.pass_s(30);
            self.operate(Who::Pad, operation)?;
        }
        Ok(())
    }

    /// Whether exactly that leg of the base died, and the pad's bus lives.
    fn check_leg(&mut self, set: &SetAt, leg: Conductor) -> Result<(), Halt> {
        let of = ProofOf::OneLeg {
            service: self.target.clone(),
            pad: set.pad.clone(),
            position: set.position.clone(),
            leg,
        };
        for turn in 0..TRIES {
            if turn == 1 {
                // What one tester leaves undecided, another of low impedance settles.
                self.take_spare_tester()?;
                self.prove_house_tester()?;
            }
            let mut readings = self.volts_at_base(&LEG_TO_NEUTRAL)?;
            readings.extend(self.volts_on_bus(set)?);
            self.not_stopped()?;
            match self.prove(Who::Pad, of.clone(), readings) {
                Err(Halt(rule))
                    if rule == Rule::ProofHolds.id()
                        || rule == Rule::TesterProvenAroundProof.id() =>
                {
                    self.prove_house_tester()?;
                    self.prove_tester(Who::Pad, TesterOf::Pad)?;
                }
                other => return other.map(|_| ()),
            }
        }
        Err(Halt(Rule::ProofHolds.id()))
    }

    /// Both legs of the pad's bus.
    pub(super) fn volts_on_bus(&mut self, set: &SetAt) -> Result<Vec<EventId>, Halt> {
        let place = Place::PadBus { pad: set.pad.clone() };
        LEG_TO_NEUTRAL
            .iter()
            .map(|&pair| self.read_volts(Who::Pad, TesterOf::Pad, &place, pair))
            .collect()
    }

    /// A stop that a reading brought about: the crew goes no further on its own.
    pub(super) fn not_stopped(&mut self) -> Result<(), Halt> {
        if self.state.stopped.is_none() {
            return Ok(());
        }
        self.truth.caught |= self.truth.wrong_advised + self.truth.wrong_against > 0;
        Err(Halt::STOPPED_LIVE)
    }

    /// Writes a proof down.
    pub(super) fn prove(
        &mut self,
        who: Who,
        of: ProofOf,
        readings: Vec<EventId>,
    ) -> Result<ProofId, Halt> {
        self.pass_s(10);
        let proof = ProofId::new(self.name("proof"))?;
        let body = Body::Proof(ProofMade { proof: proof.clone(), of, readings });
        self.write(who, body)?;
        Ok(proof)
    }
}
