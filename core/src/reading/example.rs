//! Instruments and readings made up for the tests of this module and the ones above it.

use super::{
    Accuracy, AmpsReading, Category, Instrument, InstrumentClass, Place, Side, Taken, VoltsReading,
};
use crate::{
    plant::{Conductor, Pair},
    quantity::{AssetId, EventId, Instant, InstrumentId},
};

pub(crate) fn instrument(name: &str, class: InstrumentClass, range: &str) -> Instrument {
    Instrument {
        id: InstrumentId::new(name).unwrap(),
        class,
        category: Category::Four,
        category_volts: "600".parse().unwrap(),
        range: range.parse().unwrap(),
        resolution: "0.1".parse().unwrap(),
        accuracy: Accuracy { percent: "1".parse().unwrap(), counts: 5 },
        calibration_due_ms: 2_000_000_000_000,
    }
}

pub(crate) fn tester() -> Instrument {
    instrument("T1", InstrumentClass::LowImpedanceVoltmeter, "750")
}

pub(crate) fn clamp() -> Instrument {
    instrument("C1", InstrumentClass::Clamp, "400")
}

pub(crate) fn at(s: i64) -> Instant {
    Instant { wall_ms: 1_790_000_000_000 + s * 1000, boot: "b1".into(), mono_ms: s * 1000 }
}

pub(crate) fn base(side: Side) -> Place {
    Place::MeterBase { service: AssetId::new("V014").unwrap(), side }
}

pub(crate) fn known() -> Place {
    Place::KnownSource { what: "truck inverter".into() }
}

pub(crate) fn reading(place: Place, one: Conductor, other: Conductor, shown: &str) -> VoltsReading {
    VoltsReading {
        place,
        between: Pair(one, other),
        volts: shown.parse().unwrap(),
        instrument: InstrumentId::new("T1").unwrap(),
    }
}

pub(crate) fn current(shown: &str) -> AmpsReading {
    AmpsReading {
        conductor: Some(Conductor::L1),
        amps: shown.parse().unwrap(),
        instrument: InstrumentId::new("C1").unwrap(),
    }
}

pub(crate) fn taken<R>(number: usize, s: i64, reading: R) -> Taken<R> {
    Taken { event: EventId::new(format!("e{number}")).unwrap(), at: at(s), reading }
}
