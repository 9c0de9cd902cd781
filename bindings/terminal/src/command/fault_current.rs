//! `coldlug fault-current`: amps at the pad and at the meter base, by the record or by numbers.

use std::io::Write;

use coldlug_core::{
    fault_current::{CableRun, at_service},
    form::{Beside, FaultCurrentForm, LateralForm},
    plant::{ConductorSize, Metal},
    quantity::{AssetId, amps, celsius, metres},
    words::Words,
};

use self::numbers::Numbers;
use crate::{cli, exit::Exit, print::Print, sheets, table::Table, trouble::Trouble};

mod numbers;

const METRES_PER_FOOT: f64 = 0.3048;

/// Prints the fault currents.
pub(crate) fn run<W: Write>(
    args: &cli::FaultCurrent,
    words: &Words,
    json: bool,
    print: &mut Print<W>,
) -> Result<Exit, Trouble> {
    let rules = &sheets::rule_sheet(args.rules.as_deref())?;
    let beside = Beside { rules, words };
    let at = celsius(args.celsius);
    let form = if let (Some(map), Some(service)) = (&args.map, &args.service) {
        let sheet = sheets::map_sheet(map)?;
        let id = AssetId::new(service.as_str()).map_err(|e| refused(&e.to_string()))?;
        let faults = at_service(&sheet.plant, &id).map_err(|e| refused(&e.to_string()))?;
        FaultCurrentForm::by_record(&faults, at, beside)
    } else {
        let Numbers { circuits, system, assumed } = Numbers::of(args)?;
        let known = (args.withstand_amps.map(amps), assumed.as_slice());
        FaultCurrentForm::by_numbers(&circuits, system, at, known, beside)
    };
    let form = form.map_err(|e| refused(&e.to_string()))?;
    if json {
        print.json(&form)?;
    } else {
        told(&form, words, print)?;
    }
    Ok(Exit::Yes)
}

fn told<W: Write>(
    form: &FaultCurrentForm,
    words: &Words,
    print: &mut Print<W>,
) -> Result<(), Trouble> {
    let plain = |id: &str| words.plain(id).text;
    let head = ["fault-bolted", "fault-three-phase", "fault-leg-to-leg", "fault-leg-to-neutral"];
    let row = |id: &str, place: &str, degrees: f64, amps: [Option<f64>; 3]| {
        let (place, degrees) = (plain(place), degrees.to_string());
        let name = words.say(id, &[("place", &place), ("celsius", &degrees)]).text;
        std::iter::once(name).chain(amps.map(whole)).collect::<Vec<String>>()
    };
    let (cold, hot) = (form.conductor_celsius, &form.smallest);
    let (pad, meter) = ("fault-at-pad", "fault-at-meter");
    let rows = vec![
        row(
            "fault-cold",
            pad,
            cold,
            [
                form.pad_three_phase_amps,
                Some(form.pad_line_to_line_amps),
                Some(form.pad_line_to_neutral_amps),
            ],
        ),
        row(
            "fault-hot",
            pad,
            hot.conductor_celsius,
            [
                hot.pad_three_phase_amps,
                Some(hot.pad_line_to_line_amps),
                Some(hot.pad_line_to_neutral_amps),
            ],
        ),
        row(
            "fault-cold",
            meter,
            cold,
            [
                form.meter_three_phase_amps,
                form.meter_line_to_line_amps,
                form.meter_line_to_neutral_amps,
            ],
        ),
        row(
            "fault-hot",
            meter,
            hot.conductor_celsius,
            [
                hot.meter_three_phase_amps,
                hot.meter_line_to_line_amps,
                hot.meter_line_to_neutral_amps,
            ],
        ),
    ];
    print.table(&Table::of(head.map(plain).into(), rows))?;
    if let Some(path) = &form.path {
        if !path.lateral.is_empty() {
            print.table(&lateral(&path.lateral, words))?;
        }
        let sets = path.sets.iter().map(AssetId::as_str).collect::<Vec<_>>().join(", ");
        let units = std::iter::once(&path.transformer).chain(&path.beside);
        let units = units.map(AssetId::as_str).collect::<Vec<_>>().join(", ");
        let places = [("service", path.service.as_str()), ("transformer", &units), ("sets", &sets)];
        print.line(words.say("fault-way", &places).text)?;
    }
    print.line(plain("fault-either"))?;
    for gear in &form.withstand {
        print.line(&gear.sentence.text)?;
    }
    print.line(&form.clothing.sentence.text)?;
    print.line(&form.clothing.by.text)?;
    for taken in &form.assumed {
        print.line(words.say("fault-took", &[("what", &taken.text)]).text)?;
    }
    Ok(())
}

fn lateral(points: &[LateralForm], words: &Words) -> Table {
    let head = [
        "fault-on-lateral",
        "fault-lateral-three-phase",
        "fault-to-ground",
        "fault-smallest-to-ground",
    ];
    let row = |point: &LateralForm| {
        let metres = format!("{:.0}", point.distance_m);
        let places = [("cable", point.cable.as_str()), ("metres", metres.as_str())];
        let place = match &point.pad {
            Some(pad) => {
                let [cable, metres] = places;
                words.say("fault-lateral-place-pad", &[cable, metres, ("pad", pad.as_str())])
            }
            None => words.say("fault-lateral-place", &places),
        };
        vec![
            place.text,
            whole(point.three_phase_amps),
            whole(Some(point.line_to_ground_amps)),
            whole(Some(point.smallest_line_to_ground_amps)),
        ]
    };
    Table::of(head.map(|id| words.plain(id).text).into(), points.iter().map(row).collect())
}

fn whole(amps: Option<f64>) -> String {
    amps.map_or_else(|| "-".to_owned(), |a| format!("{a:.0} A"))
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
        let meant = ConductorSize::meant(text);
        let meant = meant.map_or_else(String::new, |m| format!("; if it is metric: '{}'", m.name));
        refused(&format!(
            "'{text}' is no size that is made: write it as the trade does, 4/0 (AWG), 350 (kcmil), \
             '50 mm2'{meant}"
        ))
    })
}

fn refused(reason: &str) -> Trouble {
    Trouble::refused("the question", reason, "see `coldlug fault-current --help`")
}
