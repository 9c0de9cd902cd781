//! Supply comes back, and the record is closed.

use coldlug_core::{
    event::{
        Body, Closed, InstrumentProven, MeterSet, NeutralTested, OhmsRead, Operation, ProofOf,
        Resumed, Shown, StayEnded,
    },
    gate::{Rule, Stage},
    plant::{Conductor, Pair},
    proof::NeutralTest,
    quantity::DeedId,
    reading::{AmpsReading, OhmsReading, Place, Side},
    sighting::SetAt,
};
use coldlug_field::conductor::Leg;

use super::{
    Crew, Halt, Who,
    open::LEGS,
    site::{TesterOf, shown},
};
use crate::{
    demo::{site::KNOWN_MEGOHMS, tools::Tool},
    field_terms,
};

/// So often the supply is read again.
const TRIES: u32 = 4;
/// How long the crew waits for a better voltage, seconds.
const WAIT_S: i64 = 300;

impl Crew<'_> {
    /// From the released clearance to the closed record.
    pub(super) fn restore(&mut self, set: &SetAt) -> Result<(), Halt> {
        self.say_clear()?;
        self.land_set(set)?;
        self.prove_live()?;
        self.meter_back()?;
        self.leave()?;
        self.pass_s(60);
        self.write(Who::Pad, Body::Closed(Closed { summary: "service back on".to_owned() }))?;
        Ok(())
    }

    /// Short off, insulation, neutral, then the legs.
    fn land_set(&mut self, set: &SetAt) -> Result<(), Halt> {
        let (pad, position) = (set.pad.clone(), set.position.clone());
        self.pass_s(60);
        let off = Operation::ShortRemoved { pad, position };
        self.operate(Who::Pad, off)?;
        let really = self.lifted_set.clone().ok_or(Halt::BROKEN)?;
        self.site.switching.set_shorted(&really, false);
        self.insulation(set, &really)?;
        self.land_legs(set, &LEGS, &really)
    }

    /// The neutral is verified, then each leg landed.
    fn land_legs(&mut self, set: &SetAt, legs: &[Conductor], really: &str) -> Result<(), Halt> {
        let at = || (set.pad.clone(), set.position.clone());
        self.pass_s(60);
        let (pad, position) = at();
        self.operate(Who::Pad, Operation::NeutralVerified { pad, position })?;
        for &leg in legs {
            self.pass_s(120);
            let (pad, position) = at();
            self.operate(Who::Pad, Operation::LegLanded { pad, position, leg })?;
            let conductor = field_terms::conductor(leg).ok_or(Halt::BROKEN)?;
            self.site.switching.land(really, conductor);
        }
        self.lifted_set = None;
        self.opened_as_named = true;
        Ok(())
    }

    /// Every pair of the lifted legs, both ends free, the tester shown on a known box first.
    fn insulation(&mut self, set: &SetAt, really: &str) -> Result<(), Halt> {
        self.pass_s(30);
        let body = InstrumentProven {
            instrument: Tool::Insulation.id()?,
            known: "box of 100 megohms".to_owned(),
            known_tolerance_percent: shown(5.0)?,
            shown: Shown::Megohms {
                shown_megohms: shown(KNOWN_MEGOHMS)?,
                expected_megohms: shown(KNOWN_MEGOHMS)?,
            },
        };
        self.write(Who::Pad, Body::InstrumentProven(body))?;
        for between in [
            Pair(Conductor::L1, Conductor::L2),
            Pair(Conductor::L1, Conductor::N),
            Pair(Conductor::L2, Conductor::N),
        ] {
            self.pass_s(70);
            let megohms = self.site.megohms(really)?;
            let body = OhmsRead {
                pad: set.pad.clone(),
                position: set.position.clone(),
                both_ends_free: true,
                reading: OhmsReading { between, megohms, instrument: Tool::Insulation.id()? },
            };
            self.write(Who::Pad, Body::Ohms(body))?;
        }
        Ok(())
    }

    /// The lineworker of the pad comes to the base: neutral and polarity first, then the legs, then
    /// the neutral under load.
    fn prove_live(&mut self) -> Result<(), Halt> {
        use Conductor::{G, L1, L2, N};
        let place = Place::MeterBase { service: self.target.clone(), side: Side::Line };
        let mut last = Halt::BROKEN;
        for turn in 0..TRIES {
            self.pass_s(if turn == 0 { 120 } else { WAIT_S });
            let mut readings = vec![self.prove_tester(Who::Pad, TesterOf::Pad)?];
            for pair in [Pair(N, G), Pair(L1, N), Pair(L2, N), Pair(L1, L2)] {
                readings.push(self.read_volts(Who::Pad, TesterOf::Pad, &place, pair)?);
            }
            readings.push(self.test_neutral()?);
            let of = ProofOf::Live { service: self.target.clone() };
            match self.prove(Who::Pad, of, readings) {
                Err(halt @ Halt(rule)) if rule == Rule::ProofHolds.id() => {
                    self.prove_clamp()?;
                    last = halt;
                }
                other => return other.map(|_| ()),
            }
        }
        Err(last)
    }

    /// Hangs the known load on one line jaw and reads the other leg to neutral.
    fn test_neutral(&mut self) -> Result<coldlug_core::quantity::EventId, Halt> {
        self.pass_s(60);
        let [without_volts, with_volts] = self.site.neutral_test(Leg::L1, self.t_s())?;
        let amps = self.site.amps_of_known_load(self.hands.spare_clamp, self.t_s())?;
        let test = NeutralTest {
            loaded: Conductor::L1,
            unloaded: Conductor::L2,
            without_volts,
            with_volts,
            voltmeter: Tool::PadTester.id()?,
            load: AmpsReading { conductor: Some(Conductor::L1), amps, instrument: self.clamp()? },
        };
        let service = self.target.clone();
        self.write(Who::Pad, Body::NeutralTested(NeutralTested { service, test }))
    }

    /// The meter goes back and the main is closed.
    pub(super) fn meter_back(&mut self) -> Result<(), Halt> {
        self.pass_s(90);
        let deed = DeedId::new(self.name("deed"))?;
        let number_in_hand = Some(self.number_reported()?);
        let body = MeterSet { deed, stay: self.stay()?, number_in_hand };
        self.write(Who::House, Body::MeterSet(body))?;
        self.site.switching.meters_out.clear();
        self.pull = None;
        self.pass_s(30);
        let service = self.target.clone();
        self.operate(Who::House, Operation::MainClosed { service })?;
        let house = self.site.house.clone();
        self.site.switching.set_main_open(&house, false);
        Ok(())
    }

    /// Own sources may run again, and the stay ends.
    fn leave(&mut self) -> Result<(), Halt> {
        self.site.sources_back();
        self.pass_s(30);
        let stay = self.stay()?;
        self.write(Who::House, Body::StayEnded(StayEnded { stay }))?;
        self.stay = None;
        Ok(())
    }

    /// A reading stopped the job with something of ours open: everything is put back as it was, so
    /// that the set can be settled anew.
    pub(super) fn put_back(&mut self, set: &SetAt) -> Result<(), Halt> {
        self.pass_s(600);
        let checks = vec!["cabinet and base gone over, nobody at work".to_owned()];
        self.write(Who::Pad, Body::Resumed(Resumed { stage: Stage::Found, checks }))?;
        if self.state.was_all_open() {
            self.say_clear()?;
        }
        let legs = self.state.physical.lifted_of(set);
        let really = self.lifted_set.clone().ok_or(Halt::BROKEN)?;
        if legs.len() == LEGS.len() {
            self.insulation(set, &really)?;
        }
        self.land_legs(set, &legs, &really)?;
        self.prove_live()?;
        self.meter_back()
    }

    /// Each phone's word that all is clear.
    fn say_clear(&mut self) -> Result<(), Halt> {
        for (who, seconds) in [(Who::House, 300), (Who::Pad, 60)] {
            self.pass_s(seconds);
            let service = self.target.clone();
            let findings = "nobody in it, all in order".to_owned();
            self.operate(who, Operation::Inspected { service, findings, released: true })?;
        }
        Ok(())
    }
}
