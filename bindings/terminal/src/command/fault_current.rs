//! `coldlug fault-current`: amps at the pad and at the meter base, by the record or by numbers.

use std::io::Write;

use coldlug_core::{
    fault_current::{
        CableRun, Circuit, PrimarySource, TransformerPlate, USUAL_SOURCE_X_OVER_R,
        USUAL_TRANSFORMER_X_OVER_R, at_service,
    },
    form::FaultCurrentForm,
    plant::{ConductorSize, Metal},
    quantity::{AssetId, amps, celsius, kilovolt_amps, metres, volts},
};

use crate::{cli, exit::Exit, print::Print, sheets, table::Table, trouble::Trouble};

const METRES_PER_FOOT: f64 = 0.3048;

/// Prints the fault currents.
pub(crate) fn run<W: Write>(
    args: &cli::FaultCurrent,
    json: bool,
    print: &mut Print<W>,
) -> Result<Exit, Trouble> {
    let form = match (&args.map, &args.service) {
        (Some(map), Some(service)) => {
            let sheet = sheets::map_sheet(map)?;
            let id = AssetId::new(service.as_str()).map_err(|e| refused(&e.to_string()))?;
            let faults = at_service(&sheet.plant, &id).map_err(|e| refused(&e.to_string()))?;
            let at = celsius(args.celsius);
            let amps = faults.circuit.fault_currents(at).map_err(|e| refused(&e.to_string()))?;
            FaultCurrentForm::new(at, &amps, Some(&faults))
        }
        _ => by_numbers(args)?,
    };
    if json {
        print.json(&form)?;
        return Ok(Exit::Yes);
    }
    let whole = |amps: Option<f64>| amps.map_or_else(|| "-".to_owned(), |a| format!("{a:.0} A"));
    let mut table = Table::new(["bolted fault", "leg to leg", "leg to neutral"]);
    table.row([
        "at the pad",
        &whole(Some(form.pad_line_to_line_amps)),
        &whole(Some(form.pad_line_to_neutral_amps)),
    ]);
    table.row([
        "at the meter base",
        &whole(form.meter_line_to_line_amps),
        &whole(form.meter_line_to_neutral_amps),
    ]);
    print.table(&table)?;
    if let Some(path) = &form.path {
        let sets = path.sets.iter().map(AssetId::as_str).collect::<Vec<_>>().join(", ");
        print.line(format!("{} from {} by {sets}", path.service, path.transformer))?;
        match path.over_withstand {
            Some(true) => print.line("more than the base withstands by the record")?,
            Some(false) => print.line("within what the base withstands by the record")?,
            None => print.line("the record does not say what the base withstands")?,
        }
    }
    Ok(Exit::Yes)
}

fn by_numbers(args: &cli::FaultCurrent) -> Result<FaultCurrentForm, Trouble> {
    let (Some(kva), Some(percent_z)) = (args.kva, args.percent_z) else {
        return Err(refused("give --map and --service, or --kva and --percent-z"));
    };
    let source = match (args.primary_volts, args.source_amps) {
        (Some(primary), Some(fault)) => Some(PrimarySource {
            voltage: volts(primary),
            fault: amps(fault),
            x_over_r: args.source_x_over_r.unwrap_or(USUAL_SOURCE_X_OVER_R),
        }),
        _ => None,
    };
    let circuit = Circuit {
        source,
        transformer: TransformerPlate {
            rating: kilovolt_amps(kva),
            percent_z,
            x_over_r: args.x_over_r.unwrap_or(USUAL_TRANSFORMER_X_OVER_R),
        },
        cables: cable(args)?.into_iter().collect(),
    };
    let at = celsius(args.celsius);
    let amps = circuit.fault_currents(at).map_err(|e| refused(&e.to_string()))?;
    Ok(FaultCurrentForm::new(at, &amps, None))
}

fn cable(args: &cli::FaultCurrent) -> Result<Option<CableRun>, Trouble> {
    let metal = args.metal.as_deref().map(metal).transpose()?;
    let leg = args.size.as_deref().map(size).transpose()?;
    let neutral = args.neutral_size.as_deref().map(size).transpose()?;
    let (Some(feet), Some(metal), Some(leg)) = (args.feet, metal, leg) else { return Ok(None) };
    Ok(Some(CableRun {
        metal,
        leg,
        neutral: neutral.unwrap_or(leg),
        length: metres(feet * METRES_PER_FOOT),
        runs: args.runs,
    }))
}

fn metal(text: &str) -> Result<Metal, Trouble> {
    match text {
        "al" => Ok(Metal::Al),
        "cu" => Ok(Metal::Cu),
        other => Err(refused(&format!("'{other}' is no metal of a cable: al or cu"))),
    }
}

fn size(text: &str) -> Result<ConductorSize, Trouble> {
    ConductorSize::named(text).ok_or_else(|| {
        refused(&format!("'{text}' is no size that is made: write it as the trade does, 4/0, 350"))
    })
}

fn refused(reason: &str) -> Trouble {
    Trouble::refused("the question", reason, "see `coldlug fault-current --help`")
}
