//! What is known of a supply that was closed in again.

use super::{
    proofs::{JudgedProof, ProvenWhat},
    sheets::Sheets,
    state::State,
};
use crate::{
    fault_current::ohms_per_foot,
    plant::{Conductor, ConductorSize},
    proof::{
        Insulated, Insulation, LiveNote, LiveProof, MissingLive, Restored, deciding_amps,
        judge_insulation, prove_live,
    },
    quantity::{AssetId, Impedance, InstrumentId, celsius, in_metres, ohms},
    sighting::SetAt,
};

/// Temperature the computed neutral is taken at: cold, so that the limit is the tighter one.
const COLD_CELSIUS: f64 = 20.0;
/// International foot (exact by definition).
const METRES_PER_FOOT: f64 = 0.3048;

impl State {
    /// The insulation of a set by the readings since its last lift; none: not opened.
    pub fn insulation_of(&self, sheets: &Sheets<'_>, set: &SetAt) -> Option<Insulation> {
        let with = self.judging(sheets)?;
        let of_set = self.ohms.iter().filter(|o| o.pad == set.pad && o.position == set.position);
        let readings: Vec<Insulated<'_>> = of_set
            .map(|o| Insulated { taken: &o.taken, both_ends_free: o.both_ends_free })
            .collect();
        Some(judge_insulation(&readings, with))
    }

    /// What is reported of a supply that reads healthy, though it does not stop: by all that was read
    /// since the last closing.
    pub(super) fn live_notes(&self, sheets: &Sheets<'_>, service: &AssetId) -> Vec<LiveNote> {
        match self.supply(sheets, service) {
            Some(LiveProof::Proven(proven)) => proven.notes().to_vec(),
            _ => Vec::new(),
        }
    }

    pub(super) fn judge_live(&self, sheets: &Sheets<'_>, service: &AssetId) -> JudgedProof {
        match self.supply(sheets, service) {
            None => JudgedProof::lacks(vec!["job".into()]),
            Some(LiveProof::Proven(_)) => JudgedProof::proven(ProvenWhat::Live),
            Some(LiveProof::Stop { why }) => {
                JudgedProof::lacks(why.iter().map(|why| why.id().to_owned()).collect())
            }
            Some(LiveProof::Missing { missing }) => {
                JudgedProof::lacks(missing.iter().flat_map(MissingLive::said).collect())
            }
        }
    }

    /// Load from which the test of the target's neutral decides, whole amps: [`deciding_amps`].
    pub(crate) fn neutral_deciding_amps(
        &self,
        sheets: &Sheets<'_>,
        legs: (Conductor, Conductor),
        (voltmeter, clamp): (&InstrumentId, &InstrumentId),
    ) -> Option<u16> {
        let with = self.judging(sheets)?;
        let known = with.instruments.get(voltmeter).zip(with.instruments.get(clamp))?;
        let set = self.proofs.set.as_ref();
        let computed = set.and_then(|set| computed_neutral(sheets, set));
        deciding_amps(legs, known, computed, with)
    }

    fn supply(&self, sheets: &Sheets<'_>, service: &AssetId) -> Option<LiveProof> {
        let with = self.judging(sheets)?;
        let since = self.volts.get(self.proofs.live_from..).unwrap_or_default();
        let volts: Vec<_> = since.iter().map(|volts| volts.taken.clone()).collect();
        let set = self.proofs.set.as_ref();
        let insulation = set.and_then(|set| self.insulation_of(sheets, set));
        let neutral = self.neutral_test.as_ref().filter(|(of, _)| of == service);
        let restored = Restored {
            service,
            volts: &volts,
            neutral: neutral.map(|(_, taken)| taken),
            computed_neutral: set.and_then(|set| computed_neutral(sheets, set)),
            insulation: insulation.as_ref(),
            all_was_open: self.was_all_open(),
            rotation_found: self.rotation_found,
            rotation_now: self.rotation_now,
        };
        Some(prove_live(&restored, with))
    }
}

/// The resistance of a set's neutral by the record, cold; none: the record does not have it.
fn computed_neutral(sheets: &Sheets<'_>, set: &SetAt) -> Option<Impedance> {
    let sets = sheets.plant.sets_of_pad(&set.pad);
    let set = sets.into_iter().find(|known| known.position.as_ref() == Some(&set.position))?;
    let size = set.neutral_size.as_ref().unwrap_or(&set.size);
    let size = ConductorSize::named(size)?;
    let feet = in_metres(set.length) / METRES_PER_FOOT;
    let runs = f64::from(set.runs.max(1));
    Some(ohms(ohms_per_foot(set.metal, size, celsius(COLD_CELSIUS)) * feet / runs))
}
