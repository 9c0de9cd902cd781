//! The options of `coldlug fault-current` as a circuit. A mix that cannot be is refused by name.

use coldlug_core::{
    fault_current::{
        Assumed, Circuit, HalfWinding, MeterLegs, OnePhasePrimary, SourceStrength, SplitPhase,
        ThreePhasePrimary, TransformerPlate, USUAL_SOURCE_X_OVER_R, USUAL_TRANSFORMER_X_OVER_R,
        USUAL_ZERO_OVER_POSITIVE, Wye, WyeConnection, WyeVolts,
    },
    plant::VoltageSystem,
    quantity::{amps, kilovolt_amps, volts},
};

use super::{cable, refused};
use crate::{cli, trouble::Trouble};

/// What was typed, and what was not.
pub(super) struct Numbers {
    /// For the largest and for the smallest.
    pub(super) circuits: [Circuit; 2],
    pub(super) system: VoltageSystem,
    pub(super) assumed: Vec<Assumed>,
}

impl Numbers {
    pub(super) fn of(args: &cli::FaultCurrent) -> Result<Self, Trouble> {
        let (Some(kva), Some(percent_z)) = (args.kva, args.percent_z) else {
            return Err(refused("give --map and --service, or --kva and --percent-z"));
        };
        let mut taken = Taken(Vec::new());
        let unit = TransformerPlate {
            rating: kilovolt_amps(kva),
            percent_z,
            x_over_r: taken.or(args.x_over_r, USUAL_TRANSFORMER_X_OVER_R, Assumed::UnitXOverR),
        };
        let source = args.source_amps.map(|fault| SourceStrength {
            fault: amps(fault),
            x_over_r: taken.or(args.source_x_over_r, USUAL_SOURCE_X_OVER_R, Assumed::SourceXOverR),
        });
        if source.is_none() {
            taken.0.push(Assumed::SupplyStiff);
        }
        let system = VoltageSystem::from_name(&args.system)
            .ok_or_else(|| refused(&format!("'{}' is no voltage system here", args.system)))?;
        let (level, meter_legs) = match system {
            VoltageSystem::Split120_240 => {
                let circuit = Circuit::SplitPhase(split_phase(args, unit, source, &mut taken)?);
                let circuits = [circuit.clone(), circuit];
                return Ok(Self { circuits, system, assumed: taken.told() });
            }
            VoltageSystem::Wye208 => (WyeVolts::Y208, MeterLegs::Three),
            VoltageSystem::Network208 => (WyeVolts::Y208, MeterLegs::Two),
            VoltageSystem::Wye480 => (WyeVolts::Y480, MeterLegs::Three),
            VoltageSystem::Wye600 => (WyeVolts::Y600, MeterLegs::Three),
            VoltageSystem::Delta120_240 | VoltageSystem::Wye400 | VoltageSystem::Wye400Pen => {
                return Err(refused(&format!("{system} is not computed here: ask for a study")));
            }
        };
        if args.half_winding_r.is_some() || args.half_winding_x.is_some() {
            return Err(refused("a three-phase transformer has no half windings"));
        }
        let primary = args.primary_volts.map(|between| ThreePhasePrimary {
            line_to_line: volts(between),
            source,
            lateral: Vec::new(),
        });
        let usual = USUAL_ZERO_OVER_POSITIVE;
        let [largest, smallest] = connections(args, &mut taken)?;
        let wye = Wye {
            volts: level,
            primary,
            unit,
            zero_over_positive: taken.or(args.zero_over_positive, usual, Assumed::UnitZero),
            connection: largest,
            beside: Vec::new(),
            shared: None,
            cables: cable(args)?.into_iter().collect(),
            meter_legs,
        };
        let hot = Wye { connection: smallest, ..wye.clone() };
        let circuits = [Circuit::Wye(wye), Circuit::Wye(hot)];
        Ok(Self { circuits, system, assumed: taken.told() })
    }
}

/// What was taken for options that were not typed.
struct Taken(Vec<Assumed>);

impl Taken {
    fn or(&mut self, typed: Option<f64>, usual: f64, note: Assumed) -> f64 {
        if typed.is_none() {
            self.0.push(note);
        }
        typed.unwrap_or(usual)
    }

    fn told(mut self) -> Vec<Assumed> {
        self.0.sort_unstable();
        self.0.dedup();
        self.0
    }
}

fn split_phase(
    args: &cli::FaultCurrent,
    unit: TransformerPlate,
    source: Option<SourceStrength>,
    taken: &mut Taken,
) -> Result<SplitPhase, Trouble> {
    let zero = args.zero_over_positive.or(args.source_zero_over_positive);
    if zero.is_some() || args.connection.is_some() {
        return Err(refused(
            "--connection and the zero-over-positive ratios are of a three-phase transformer: say its \
             --system",
        ));
    }
    let HalfWinding { r, x } = HalfWinding::INTERLACED;
    Ok(SplitPhase {
        primary: args.primary_volts.map(|to_ground| OnePhasePrimary {
            to_ground: volts(to_ground),
            source,
            lateral: Vec::new(),
        }),
        unit,
        half: HalfWinding {
            r: taken.or(args.half_winding_r, r, Assumed::HalfWinding),
            x: taken.or(args.half_winding_x, x, Assumed::HalfWinding),
        },
        beside: Vec::new(),
        shared: None,
        cables: cable(args)?.into_iter().collect(),
    })
}

/// For the largest and for the smallest. Without the option a delta, which gives the larger fault to
/// neutral, and a wye, which gives the smaller.
fn connections(args: &cli::FaultCurrent, taken: &mut Taken) -> Result<[WyeConnection; 2], Trouble> {
    let typed = args.source_zero_over_positive;
    let mut wye = || {
        let usual = USUAL_ZERO_OVER_POSITIVE;
        // A supply as stiff as can be has no zero sequence to speak of.
        let ratio = match args.source_amps {
            Some(_) => taken.or(typed, usual, Assumed::SourceZero),
            None => usual,
        };
        WyeConnection::WyeWye { source_zero_over_positive: ratio }
    };
    match args.connection.as_deref() {
        Some("wye-wye") => Ok([wye(), wye()]),
        Some("delta-wye") | None if typed.is_some() => Err(refused(
            "--source-zero-over-positive counts for --connection wye-wye alone: a delta keeps it out",
        )),
        Some("delta-wye") => Ok([WyeConnection::DeltaWye; 2]),
        None => {
            let both = [WyeConnection::DeltaWye, wye()];
            taken.0.push(Assumed::Connection);
            Ok(both)
        }
        Some(other) => Err(refused(&format!(
            "'{other}' is no connection that is computed here: delta-wye or wye-wye"
        ))),
    }
}
