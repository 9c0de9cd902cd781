//! The unit types of the core, and the only places where a bare number becomes one or leaves it.

use uom::si::{
    electric_current::ampere, electric_potential::volt, electrical_resistance::ohm, length::meter,
    power::kilowatt, thermodynamic_temperature::degree_celsius, time::second,
};

pub use uom::si::f64::{
    ElectricCurrent as Current, ElectricPotential as Voltage, ElectricalResistance as Impedance,
    Energy, Length, Power, Ratio, ThermodynamicTemperature as Temperature, Time,
};

/// A voltage from a number of volts.
pub fn volts(value: f64) -> Voltage {
    Voltage::new::<volt>(value)
}

/// A voltage as a number of volts.
pub fn in_volts(value: Voltage) -> f64 {
    value.get::<volt>()
}

/// A current from a number of amps.
pub fn amps(value: f64) -> Current {
    Current::new::<ampere>(value)
}

/// A current as a number of amps.
pub fn in_amps(value: Current) -> f64 {
    value.get::<ampere>()
}

/// A resistance, reactance or impedance magnitude from a number of ohms.
pub fn ohms(value: f64) -> Impedance {
    Impedance::new::<ohm>(value)
}

/// A resistance, reactance or impedance magnitude as a number of ohms.
pub fn in_ohms(value: Impedance) -> f64 {
    value.get::<ohm>()
}

/// A length from a number of metres.
pub fn metres(value: f64) -> Length {
    Length::new::<meter>(value)
}

/// A length as a number of metres.
pub fn in_metres(value: Length) -> f64 {
    value.get::<meter>()
}

/// A time from a number of seconds.
pub fn seconds(value: f64) -> Time {
    Time::new::<second>(value)
}

/// A time as a number of seconds.
pub fn in_seconds(value: Time) -> f64 {
    value.get::<second>()
}

/// An apparent power from a number of kVA (carried in the dimension of power).
pub fn kilovolt_amps(value: f64) -> Power {
    Power::new::<kilowatt>(value)
}

/// An apparent or real power as a number of kVA or kW.
pub fn in_kilovolt_amps(value: Power) -> f64 {
    value.get::<kilowatt>()
}

/// A conductor temperature from degrees Celsius.
pub fn celsius(value: f64) -> Temperature {
    Temperature::new::<degree_celsius>(value)
}

/// A conductor temperature as degrees Celsius.
pub fn in_celsius(value: Temperature) -> f64 {
    value.get::<degree_celsius>()
}
