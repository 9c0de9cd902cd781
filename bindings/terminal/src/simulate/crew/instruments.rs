//! What the crew reads with: entered once, held to something known, and replaced by the truck's
//! spare when it fails.

use coldlug_core::{
    event::{Body, InstrumentEntered, InstrumentProven, Shown, VoltsRead},
    plant::{Conductor, Pair},
    quantity::{Decimal, EventId, InstrumentId},
    reading::{Place, VoltsReading},
};

use super::{
    Crew, Halt, Who,
    site::{Probes, TesterOf, shown},
};
use crate::demo::{site::KNOWN_LOAD_AMPS, tools::Tool};

/// Which instruments are in hand now.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Hands {
    /// The spare clamp is in use.
    pub(super) spare_clamp: bool,
    /// The spare tester is in use at the premises.
    pub(super) spare_tester: bool,
}

impl Crew<'_> {
    /// The clamp in hand.
    pub(super) fn clamp(&self) -> Result<InstrumentId, Halt> {
        Ok(if self.hands.spare_clamp { InstrumentId::new("clamp-2")? } else { Tool::Clamp.id()? })
    }

    /// The name of somebody's tester.
    pub(super) fn tester(whose: TesterOf) -> Result<InstrumentId, Halt> {
        Ok(match whose {
            TesterOf::House => Tool::HouseTester.id()?,
            TesterOf::Pad => Tool::PadTester.id()?,
            TesterOf::Electrician => Tool::OwnTester.id()?,
            TesterOf::Spare => InstrumentId::new("tester-spare")?,
        })
    }

    /// The tester in hand at the premises.
    pub(super) const fn house_tester(&self) -> TesterOf {
        if self.hands.spare_tester { TesterOf::Spare } else { TesterOf::House }
    }

    /// Enters every instrument and holds clamp and testers to something known.
    pub(super) fn bring_instruments(&mut self) -> Result<(), Halt> {
        for (who, tool) in [
            (Who::Pad, Tool::Clamp),
            (Who::Pad, Tool::PadTester),
            (Who::Pad, Tool::Insulation),
            (Who::House, Tool::HouseTester),
            (Who::Electrician, Tool::OwnTester),
        ] {
            self.pass_s(20);
            let instrument = tool.nameplate()?;
            self.write(who, Body::Instrument(InstrumentEntered { instrument }))?;
        }
        self.prove_clamp()?;
        self.prove_tester(Who::Pad, TesterOf::Pad)?;
        self.prove_house_tester()?;
        Ok(())
    }

    /// Whether an instrument counts as showing right.
    fn counts(&self, instrument: &InstrumentId) -> bool {
        self.state.evidence.as_ref().is_some_and(|e| e.proven.contains_key(instrument))
    }

    /// Holds the clamp to the crew's own load, fed from the truck; one that fails is put away and
    /// the spare comes.
    pub(super) fn prove_clamp(&mut self) -> Result<(), Halt> {
        self.hold_clamp_to_load()?;
        let clamp = self.clamp()?;
        if self.counts(&clamp) {
            return Ok(());
        }
        if self.hands.spare_clamp || self.site.kit.spare_clamp.is_none() {
            return Err(Halt::NO_INSTRUMENT);
        }
        self.hands.spare_clamp = true;
        let mut instrument = Tool::Clamp.nameplate()?;
        instrument.id = self.clamp()?;
        self.write(Who::Pad, Body::Instrument(InstrumentEntered { instrument }))?;
        self.hold_clamp_to_load()
    }

    fn hold_clamp_to_load(&mut self) -> Result<(), Halt> {
        self.pass_s(30);
        let shown_amps = self.site.amps_of_known_load(self.hands.spare_clamp, self.t_s())?;
        let body = Body::InstrumentProven(InstrumentProven {
            instrument: self.clamp()?,
            known: "heater on the truck inverter".to_owned(),
            known_tolerance_percent: shown(5.0)?,
            shown: Shown::Amps { shown_amps, expected_amps: shown(KNOWN_LOAD_AMPS)? },
        });
        self.write(Who::Pad, body)?;
        Ok(())
    }

    /// Shows the tester of the premises on the truck's inverter; one that fails is put away and the
    /// spare comes. Gives the reading, for a proof.
    pub(super) fn prove_house_tester(&mut self) -> Result<EventId, Halt> {
        let read = self.prove_tester(Who::House, self.house_tester())?;
        if self.counts(&Self::tester(self.house_tester())?) {
            return Ok(read);
        }
        if !self.take_spare_tester()? {
            return Err(Halt::NO_INSTRUMENT);
        }
        self.prove_tester(Who::House, TesterOf::Spare)
    }

    /// Puts the tester of the premises away and takes the spare. False: there is none.
    pub(super) fn take_spare_tester(&mut self) -> Result<bool, Halt> {
        if self.hands.spare_tester || self.site.kit.spare_tester.is_none() {
            return Ok(false);
        }
        self.hands.spare_tester = true;
        let mut instrument = Tool::HouseTester.nameplate()?;
        instrument.id = Self::tester(TesterOf::Spare)?;
        self.write(Who::House, Body::Instrument(InstrumentEntered { instrument }))?;
        Ok(true)
    }

    /// Shows a tester on the truck's inverter: written as a check, and as a reading for a proof.
    pub(super) fn prove_tester(&mut self, who: Who, whose: TesterOf) -> Result<EventId, Halt> {
        self.pass_s(15);
        let between = Pair(Conductor::L1, Conductor::N);
        let shown_volts = self.site.volts(whose, &Probes::Inverter, between, self.t_s())?;
        let instrument = Self::tester(whose)?;
        let body = Body::InstrumentProven(InstrumentProven {
            instrument: instrument.clone(),
            known: "truck inverter".to_owned(),
            known_tolerance_percent: shown(2.0)?,
            shown: Shown::Volts { shown_volts, expected_volts: shown(120.0)? },
        });
        self.write(who, body)?;
        self.pass_s(8);
        let volts: Decimal = self.site.volts(whose, &Probes::Inverter, between, self.t_s())?;
        let place = Place::KnownSource { what: "truck inverter".to_owned() };
        let reading = VoltsReading { place, between, volts, instrument };
        self.write(who, Body::Volts(VoltsRead { reading }))
    }
}
