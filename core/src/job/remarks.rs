//! What the readings of one place say together, for as long as nothing was operated since.
//!
//! A remark decides nothing: gates and proofs take each reading for itself, and the safe side of a
//! clash. It says what is likely wrong and where to look, so that nobody has to find it by heart.

use std::collections::BTreeMap;

use super::{Sheets, State};
use crate::{
    event::Body,
    plant::{Conductor, Pair},
    proof::LiveNote,
    quantity::{AssetId, Bounded, Current, Instant, Voltage},
    reading::{
        Clash, Place, Side, SupplySign, Taken, VoltsReading, cross_check, is_fresh,
        neutral_current, supply_signs,
    },
    sighting::{Seen, SetAt, resolve},
};

/// Something that readings say together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Remark {
    /// Of which place.
    pub of: RemarkOf,
    /// What they say: the id of its sentence.
    pub id: &'static str,
}

/// What a remark is about.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum RemarkOf {
    /// A place where voltages were read.
    Place(Place),
    /// A cable set whose currents were read.
    Set(SetAt),
    /// A switch or cable whose amps were read before it is opened.
    Branch(AssetId),
}

/// One current of a set: when it was read, and with the meter out or not.
struct Read {
    at: Instant,
    meter_out: bool,
    amps: Bounded<Current>,
}

/// A set carried load with the meter out.
const SOMEBODY_ON_SET: &str = "amps-with-meter-out";

impl State {
    /// Everything that readings say together: voltages of a place since anything was operated,
    /// currents of a set that were read together, a supply that was closed in again.
    pub fn remarks(&self, sheets: &Sheets<'_>) -> Vec<Remark> {
        let mut remarks = self.said_by_volts(sheets);
        remarks.extend(self.said_by_amps(sheets));
        let amiss = self.amps_amiss(sheets).into_iter();
        remarks.extend(amiss.map(|(branch, id)| Remark { of: RemarkOf::Branch(branch), id }));
        if let Some(service) = self.target() {
            let place = Place::MeterBase { service: service.clone(), side: Side::Line };
            let note =
                |note: LiveNote| Remark { of: RemarkOf::Place(place.clone()), id: note.id() };
            remarks.extend(self.live_notes(sheets, service).into_iter().map(note));
        }
        remarks
    }

    fn said_by_volts(&self, sheets: &Sheets<'_>) -> Vec<Remark> {
        let mut places: BTreeMap<&Place, Vec<&Taken<VoltsReading>>> = BTreeMap::new();
        for volts in self.volts_since_operation() {
            places.entry(&volts.taken.reading.place).or_default().push(&volts.taken);
        }
        let mut remarks = Vec::new();
        for (place, taken) in places {
            if matches!(place, Place::KnownSource { .. })
                || matches!(place, Place::MeterBase { side: Side::AcrossJaws, .. })
            {
                continue;
            }
            let readings = self.read_together(sheets, &taken);
            let clashes = cross_check(&readings, sheets.rules);
            let mut ids: Vec<&'static str> = clashes.into_iter().map(Clash::id).collect();
            // What we lifted ourselves is no sign of a fault, nor what the customer's side does.
            let supply =
                matches!(place, Place::PadBus { .. } | Place::MeterBase { side: Side::Line, .. });
            if let Some(system) =
                self.system(sheets).filter(|_| supply && self.physical.legs.is_empty())
            {
                ids.extend(supply_signs(&readings, system).into_iter().map(SupplySign::id));
            }
            ids.dedup();
            let of = |id| Remark { of: RemarkOf::Place(place.clone()), id };
            remarks.extend(ids.into_iter().map(of));
        }
        remarks
    }

    /// The voltages that were read within one window of the last, as far as their instrument bounds
    /// them.
    fn read_together(
        &self,
        sheets: &Sheets<'_>,
        taken: &[&Taken<VoltsReading>],
    ) -> Vec<(Pair, Bounded<Voltage>)> {
        let instruments = self.evidence.as_ref().map(|evidence| &evidence.instruments);
        let (Some(last), Some(instruments)) = (taken.last(), instruments) else {
            return Vec::new();
        };
        let window = sheets.rules.proof_window();
        taken
            .iter()
            .filter(|taken| is_fresh(&last.at, &taken.at, window, sheets.rules))
            .filter_map(|taken| {
                let instrument = instruments.get(&taken.reading.instrument)?;
                Some((taken.reading.between, instrument.volts_of(&taken.reading)))
            })
            .collect()
    }

    fn said_by_amps(&self, sheets: &Sheets<'_>) -> Vec<Remark> {
        let legs = self.system(sheets).map_or(&[][..], |system| system.legs());
        let window = sheets.rules.amps_fresh();
        let mut remarks = Vec::new();
        for (set, read) in self.amps_of_sets(sheets) {
            let Some(neutral) = read.get(&Conductor::N) else { continue };
            let together = |other: &Read| {
                let near = is_fresh(&neutral.at, &other.at, window, sheets.rules)
                    || is_fresh(&other.at, &neutral.at, window, sheets.rules);
                near && other.meter_out == neutral.meter_out
            };
            let of_legs: Option<Vec<Bounded<Current>>> = legs
                .iter()
                .map(|leg| read.get(leg).filter(|read| together(read)).map(|read| read.amps))
                .collect();
            let said = of_legs.and_then(|legs| neutral_current(&legs, neutral.amps).id());
            remarks.extend(said.map(|id| Remark { of: RemarkOf::Set(set), id }));
        }
        if let Some(set) = self.set_in_hand()
            && !self.loaded_with_meter_out(sheets, set).is_empty()
        {
            remarks.push(Remark { of: RemarkOf::Set(set.clone()), id: SOMEBODY_ON_SET });
        }
        remarks
    }

    /// The last current of each conductor of each set.
    fn amps_of_sets(&self, sheets: &Sheets<'_>) -> BTreeMap<SetAt, BTreeMap<Conductor, Read>> {
        let mut sets: BTreeMap<SetAt, BTreeMap<Conductor, Read>> = BTreeMap::new();
        let Some(evidence) = &self.evidence else { return sets };
        for applied in self.applied.iter().filter(|applied| !applied.superseded) {
            let Body::Sighting(made) = &applied.event.body else { continue };
            let Seen::Amps { placement, deed, amps } = &made.seen else { continue };
            let Some(placement) = evidence.placements.get(placement) else { continue };
            let clamp = evidence.instruments.get(&placement.instrument);
            let set = resolve(evidence, &placement.pad, &placement.handle);
            let (Some(clamp), Some(set), Some(conductor)) = (clamp, set, placement.leg) else {
                continue;
            };
            let read = Read {
                at: applied.event.when(),
                meter_out: deed.is_some(),
                amps: clamp.amps_shown(*amps, sheets.rules),
            };
            sets.entry(set).or_default().insert(conductor, read);
        }
        sets
    }
}
