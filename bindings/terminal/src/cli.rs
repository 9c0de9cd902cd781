//! What can be typed.

use std::{net::SocketAddr, path::PathBuf, str::FromStr};

use clap::{Args, Parser, Subcommand};
use coldlug_core::quantity::{AssetId, Current, amps};

use crate::{
    exit::HELP,
    simulate::{Keying, Policy},
};

/// Make one underground service dead, prove it, hand it over, take it back: checked from files.
///
/// Coldlug never switches anything. It keeps the evidence, does the arithmetic and says what is
/// missing; the qualified worker, the utility's rules and the local code decide.
#[derive(Debug, Parser)]
#[command(name = "coldlug", version, after_help = HELP, arg_required_else_help = true)]
pub(crate) struct Cli {
    /// What to do.
    #[command(subcommand)]
    pub(crate) command: Command,
    /// Print JSON; `coldlug schema` has its schema.
    #[arg(long, global = true)]
    pub(crate) json: bool,
}

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Check a map sheet and list everything that is wrong with it.
    Check {
        /// The map sheet, GeoJSON.
        map: PathBuf,
    },
    /// Make a map sheet from files of others: GeoPackage, CSV, GeoJSON, CIM.
    Import(Import),
    /// Judge the evidence of a job: ledger, candidates, verdict, settling tests.
    Judge(Judge),
    /// Find what to open so that no source reaches the work zone, and who goes out.
    Plan(Plan),
    /// Available fault current at the pad and at the meter base.
    FaultCurrent(FaultCurrent),
    /// Verify a record: chain, heads, signatures, manifest.
    Verify {
        /// The record, JSON Lines.
        record: PathBuf,
    },
    /// Print the rule book: id, sentence, source, test.
    Rules,
    /// Print the JSON Schema of one JSON form; without a name, list the forms.
    Schema {
        /// Name of the form.
        name: Option<String>,
    },
    /// Run the desk: prepare jobs, take what phones bring, the pages of dispatcher and electrician.
    Desk(Desk),
    /// Play two jobs on a made-up field, with a desk and two phones.
    Demo(Demo),
    /// Play very many jobs on made-up fields with faults, and count what goes wrong.
    Simulate(Simulate),
}

#[derive(Debug, Args)]
pub(crate) struct Import {
    /// The files: GeoPackage, GeoJSON, CSV (its name is the layer's), CIM; or one map sheet of ours.
    #[arg(long, required = true, num_args = 1.., value_name = "FILE")]
    pub(crate) from: Vec<PathBuf>,
    /// The mapping, TOML: which layer gives which kind, which column which field.
    #[arg(long, value_name = "FILE")]
    pub(crate) mapping: Option<PathBuf>,
    /// Where the map sheet is written; nothing is where anything is wrong.
    #[arg(long, value_name = "FILE")]
    pub(crate) to: PathBuf,
    /// Write every finding here as it is found, one JSON line each; the answer lists the first 1000.
    #[arg(long, value_name = "FILE")]
    pub(crate) findings: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub(crate) struct Judge {
    /// The map sheet, GeoJSON.
    #[arg(long)]
    pub(crate) map: PathBuf,
    /// The events of the job, JSON Lines: bare events or a record.
    ///
    /// A record says of each entry what its writer had seen. Bare events do not: each is taken to
    /// have seen those before it in the file.
    #[arg(long)]
    pub(crate) events: PathBuf,
    /// Judge as things stood right after this event (its id).
    #[arg(long, value_name = "ENTRY")]
    pub(crate) until: Option<String>,
    /// The rule sheet, TOML; without it the conservative default.
    #[arg(long)]
    pub(crate) rules: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub(crate) struct Plan {
    /// The map sheet, GeoJSON.
    #[arg(long)]
    pub(crate) map: PathBuf,
    /// The service that is to be made dead.
    #[arg(long)]
    pub(crate) service: String,
    /// base-line-side, base-both-sides, pad-secondary, pad-primary or cable:FROM:TO.
    #[arg(long)]
    pub(crate) scope: String,
    /// The events of the job; what was found in the field corrects the map.
    #[arg(long)]
    pub(crate) events: Option<PathBuf>,
    /// The rule sheet, TOML; without it the conservative default.
    #[arg(long)]
    pub(crate) rules: Option<PathBuf>,
    /// Amps that were read, as BRANCH=AMPS: they go before what the record lets expect.
    #[arg(long, value_name = "BRANCH=AMPS")]
    pub(crate) amps: Vec<AmpsRead>,
    /// Also draws the one-line diagram into this file, SVG.
    #[arg(long)]
    pub(crate) diagram: Option<PathBuf>,
}

/// Amps that somebody read through a branch.
#[derive(Debug, Clone)]
pub(crate) struct AmpsRead {
    pub(crate) branch: AssetId,
    pub(crate) current: Current,
}

impl FromStr for AmpsRead {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let (branch, read) = text.rsplit_once('=').ok_or("must be BRANCH=AMPS")?;
        let branch = AssetId::new(branch).map_err(|why| why.to_string())?;
        let read: f64 = read.parse().map_err(|_| format!("'{read}' is no number of amps"))?;
        if !read.is_finite() || read < 0.0 {
            return Err(format!("'{read}' is no number of amps"));
        }
        Ok(Self { branch, current: amps(read) })
    }
}

#[derive(Debug, Args)]
pub(crate) struct FaultCurrent {
    /// The map sheet, GeoJSON; with --service, instead of numbers.
    #[arg(long, requires = "service", conflicts_with_all = ["kva", "percent_z"])]
    pub(crate) map: Option<PathBuf>,
    /// The service on the map sheet.
    #[arg(long, requires = "map")]
    pub(crate) service: Option<String>,
    /// Transformer rating, kVA.
    #[arg(long, required_unless_present = "map", requires = "percent_z")]
    pub(crate) kva: Option<f64>,
    /// Transformer impedance, percent.
    #[arg(long, required_unless_present = "map", requires = "kva")]
    pub(crate) percent_z: Option<f64>,
    /// Transformer X/R.
    #[arg(long, conflicts_with = "map")]
    pub(crate) x_over_r: Option<f64>,
    /// Voltage system of the secondary: 120/240-split-phase, 208y/120, 208y/120-network, 480y/277 or
    /// 600y/347.
    #[arg(long, default_value = "120/240-split-phase", conflicts_with = "map")]
    pub(crate) system: String,
    /// Half a winding's share of the whole one's resistance, one-phase; without it 1.5.
    #[arg(long, conflicts_with = "map")]
    pub(crate) half_winding_r: Option<f64>,
    /// Half a winding's share of the whole one's reactance, one-phase; without it 1.2.
    #[arg(long, conflicts_with = "map")]
    pub(crate) half_winding_x: Option<f64>,
    /// How a three-phase transformer's windings are joined: delta-wye or wye-wye.
    #[arg(long, conflicts_with = "map")]
    pub(crate) connection: Option<String>,
    /// Zero-sequence over positive-sequence impedance of a three-phase transformer; without it 1.
    #[arg(long, conflicts_with = "map")]
    pub(crate) zero_over_positive: Option<f64>,
    /// The same of the primary, for wye-wye; without it 1.
    #[arg(long, requires = "source_amps", conflicts_with = "map")]
    pub(crate) source_zero_over_positive: Option<f64>,
    /// Primary voltage, volts: phase to ground for one phase, between phases for three.
    #[arg(long, requires = "source_amps", conflicts_with = "map")]
    pub(crate) primary_volts: Option<f64>,
    /// Fault current of the primary at the transformer, amps; without it the source is infinite.
    #[arg(long, requires = "primary_volts", conflicts_with = "map")]
    pub(crate) source_amps: Option<f64>,
    /// X/R of the primary.
    #[arg(long, requires = "source_amps", conflicts_with = "map")]
    pub(crate) source_x_over_r: Option<f64>,
    /// Metal of the cable set: al or cu.
    #[arg(long, requires = "feet", conflicts_with = "map")]
    pub(crate) metal: Option<String>,
    /// Size of the hot legs, as the trade writes it: 1/0, 4/0 (AWG), 350 (kcmil), "50 mm2".
    #[arg(long, requires = "feet", conflicts_with = "map")]
    pub(crate) size: Option<String>,
    /// Size of the neutral; without it as the hot legs.
    #[arg(long, requires = "feet", conflicts_with = "map")]
    pub(crate) neutral_size: Option<String>,
    /// Length of the cable set, feet; without a cable only the pad is computed.
    #[arg(long, requires_all = ["metal", "size"], conflicts_with = "map")]
    pub(crate) feet: Option<f64>,
    /// Parallel runs a leg.
    #[arg(long, default_value_t = 1, requires = "feet", conflicts_with = "map")]
    pub(crate) runs: u8,
    /// Conductor temperature, degrees Celsius; cold gives the maximum.
    #[arg(long, default_value_t = 25.0)]
    pub(crate) celsius: f64,
    /// What fault current the meter base withstands, amps.
    #[arg(long, conflicts_with = "map")]
    pub(crate) withstand_amps: Option<f64>,
    /// The rule sheet, TOML; without it the cautious default.
    #[arg(long)]
    pub(crate) rules: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub(crate) struct Desk {
    /// The folder of everything that is kept; it is made where there is none.
    #[arg(long, default_value = "coldlug-desk")]
    pub(crate) data: PathBuf,
    /// Where to listen. Beyond this computer only behind something that encrypts.
    #[arg(long, default_value = "127.0.0.1:7477")]
    pub(crate) bind: SocketAddr,
    /// How the desk is reached from outside, as phones and electricians open it: https://…
    #[arg(long, value_name = "URL")]
    pub(crate) public_url: Option<String>,
}

#[derive(Debug, Args)]
pub(crate) struct Demo {
    /// Play, print both outcomes, and end; without it, the desk is left running.
    #[arg(long)]
    pub(crate) once: bool,
    /// Hold the first job with its clearance on offer: take the electrician's part by their page.
    #[arg(long, conflicts_with = "once")]
    pub(crate) hold: bool,
    /// Everything made up follows from this number: same seed, same bytes.
    #[arg(long, default_value_t = 1)]
    pub(crate) seed: u64,
    /// Leave everything here: desk, phones, sheets, events, records and corrections.
    #[arg(long)]
    pub(crate) out: Option<PathBuf>,
    /// Write the play down here, step by step, for other players of the same phones.
    #[arg(long)]
    pub(crate) script: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub(crate) struct Simulate {
    /// How many jobs.
    #[arg(long)]
    pub(crate) jobs: u64,
    /// The number of the first job, which lets several machines play a part of one long run each.
    #[arg(long, default_value_t = 0, value_name = "NUMBER")]
    pub(crate) from: u64,
    /// Everything made up follows from this number: same seed, same bytes, however many threads.
    #[arg(long, default_value_t = 1)]
    pub(crate) seed: u64,
    /// none, single, pairs, or ids with commas between them; `a+b` is both at once.
    ///
    /// `single` takes each fault in turn, every second time on a map that besides names the wrong
    /// set or pad. `pairs` takes all pairs in turn.
    #[arg(long, default_value = "single")]
    pub(crate) faults: String,
    /// Keep failed jobs here, at most 100 of each kind; `coldlug judge` reads them.
    #[arg(long, value_name = "DIR")]
    pub(crate) save_failures: Option<PathBuf>,
    /// Carry a long run over sittings: it goes on from this file and is written to it.
    #[arg(long, value_name = "FILE")]
    pub(crate) resume: Option<PathBuf>,
    /// coldlug, map_only, map_and_tag, amps_only, metal_and_amps; all of them without this.
    #[arg(
        long,
        value_delimiter = ',',
        value_parser = Policy::read,
        default_values_t = Policy::ALL,
        hide_default_value = true
    )]
    pub(crate) policies: Vec<Policy>,
    /// How many false causes the rule sheet tolerates; several are compared.
    #[arg(
        long,
        value_delimiter = ',',
        value_parser = clap::value_parser!(u32).range(0..=2),
        default_value = "1"
    )]
    pub(crate) tolerance: Vec<u32>,
    /// What is typed at the pad in a load step: one-size or every-slot; both are compared.
    #[arg(long, value_delimiter = ',', value_parser = Keying::read, default_value = "one-size")]
    pub(crate) keys: Vec<Keying>,
    /// Play the jobs also with each condition of the identification rule left out.
    #[arg(long)]
    pub(crate) ablation: bool,
    /// Write the report here, one HTML page.
    #[arg(long, value_name = "FILE")]
    pub(crate) html: Option<PathBuf>,
    /// How many threads; without it, one a processor.
    #[arg(long)]
    pub(crate) threads: Option<usize>,
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    #[test]
    fn the_command_line_holds_together() {
        Cli::command().debug_assert();
    }

    #[test]
    fn fault_current_takes_a_map_or_numbers_and_not_half_of_either() {
        let parse = |tail: &str| {
            Cli::try_parse_from(format!("coldlug fault-current {tail}").split_whitespace()).is_ok()
        };
        assert!(parse("--kva 25 --percent-z 1.6"));
        assert!(parse("--map m.geojson --service V1 --json"));
        assert!(!parse("--kva 25"));
        assert!(!parse("--map m.geojson"));
        assert!(!parse("--kva 25 --percent-z 1.6 --feet 100"));
        assert!(!parse("--map m.geojson --service V1 --kva 25 --percent-z 1.6"));
        assert!(parse("--kva 300 --percent-z 4 --system 480y/277 --connection wye-wye"));
        assert!(!parse("--map m.geojson --service V1 --system 480y/277"));
    }

    #[test]
    fn fault_current_ignores_no_option() {
        let parse = |tail: &str| {
            Cli::try_parse_from(format!("coldlug fault-current {tail}").split_whitespace()).is_ok()
        };
        let (map, numbers) = ("--map m.geojson --service V1", "--kva 25 --percent-z 1.6");
        let supply = "--primary-volts 7200 --source-amps 2000";
        let cable = "--metal al --size 4/0 --feet 100";
        for whole in [supply, cable] {
            assert!(parse(&format!("{numbers} {whole}")), "{whole}");
            assert!(!parse(&format!("{map} {whole}")), "{whole}");
        }
        for (needs, more) in [
            ("", "--x-over-r 2"),
            (supply, "--source-x-over-r 4"),
            (supply, "--source-zero-over-positive 2"),
            (cable, "--neutral-size 2/0"),
            (cable, "--runs 2"),
        ] {
            assert!(parse(&format!("{numbers} {needs} {more}")), "{more}");
            assert!(!parse(&format!("{map} {more}")), "the map says it already: {more}");
        }
        // The record says all of it, whichever of the options is given alone.
        for one in [
            "--primary-volts 7200",
            "--source-amps 2000",
            "--source-x-over-r 4",
            "--metal al",
            "--size 4/0",
            "--feet 100",
        ] {
            assert!(!parse(&format!("{map} {one}")), "{one}");
        }
        // Half a cable is none: its length must be told, not guessed.
        for half in [
            "--metal al",
            "--size 4/0",
            "--metal al --size 4/0",
            "--neutral-size 2/0",
            "--runs 2",
            "--size 4/0 --feet 100",
        ] {
            assert!(!parse(&format!("{numbers} {half}")), "{half}");
        }
        assert!(parse(&format!("{map} --celsius 40")));
    }
}
