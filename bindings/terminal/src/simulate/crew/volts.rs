//! Volts: where the probes really are, and what is written down.

use coldlug_core::{
    event::{Body, VoltsRead},
    plant::Pair,
    proof::Zone,
    quantity::EventId,
    reading::{Place, Side, VoltsReading},
};
use coldlug_field::flow;

use super::{
    Crew, Halt, Who,
    site::{Probes, TesterOf},
};
use crate::simulate::slip::{AT_ONE_READING, Slip};

impl Crew<'_> {
    /// Where the probes really are when somebody reads at a place: at the house where the worker is,
    /// on the ends that were really lifted.
    fn probes(&mut self, place: &Place) -> Result<Probes, Halt> {
        Ok(match place {
            Place::KnownSource { .. } => Probes::Inverter,
            Place::PadBus { pad } => Probes::At(flow::Place::Bus { pad: self.really(pad)? }),
            Place::LiftedLegs { .. } => {
                let lifted = self.site.switching.lifted.keys().next();
                let set = lifted.ok_or(Halt::BROKEN)?.clone();
                Probes::At(flow::Place::SetStart { set })
            }
            Place::MeterBase { side, .. } => {
                let side = match side {
                    Side::Line | Side::AcrossJaws => flow::Side::Line,
                    Side::Load => flow::Side::Load,
                };
                Probes::At(flow::Place::Base { service: self.site.house.clone(), side })
            }
        })
    }

    /// Reads one voltage and writes it down.
    pub(super) fn read_volts(
        &mut self,
        who: Who,
        whose: TesterOf,
        place: &Place,
        between: Pair,
    ) -> Result<EventId, Halt> {
        self.pass_s(8);
        let probes = self.probes(place)?;
        let mut volts = self.site.volts(whose, &probes, between, self.t_s())?;
        let before = self.state.volts.iter().rev().find(|read| {
            let reading = &read.taken.reading;
            reading.place == *place && reading.between == between
        });
        if let Some(before) = before.map(|read| read.taken.reading.volts)
            && self.slips.made_with(Slip::OldReadingCarriedOver, AT_ONE_READING)
        {
            volts = before;
        }
        let instrument = Self::tester(whose)?;
        let reading = VoltsReading { place: place.clone(), between, volts, instrument };
        self.write(who, Body::Volts(VoltsRead { reading }))
    }

    /// Some pairs at the line side of the base.
    pub(super) fn volts_at_base(&mut self, pairs: &[Pair]) -> Result<Vec<EventId>, Halt> {
        let place = Place::MeterBase { service: self.target.clone(), side: Side::Line };
        let tester = self.house_tester();
        pairs.iter().map(|&pair| self.read_volts(Who::House, tester, &place, pair)).collect()
    }

    /// Every point of a zone in its order, the tester shown before and after.
    pub(super) fn read_zone(
        &mut self,
        who: Who,
        whose: TesterOf,
        zone: &Zone,
    ) -> Result<Vec<EventId>, Halt> {
        let service = self.sheets.plant.services.get(&self.target).ok_or(Halt::BROKEN)?;
        let mut readings = vec![self.prove_tester(who, whose)?];
        for point in zone.points(service.system) {
            readings.push(self.read_volts(who, whose, &point.place, point.between)?);
        }
        readings.push(self.prove_tester(who, whose)?);
        Ok(readings)
    }
}
