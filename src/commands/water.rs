//! `fairtank water`

use crate::exit::Unusable;
use anyhow::Context;
use clap::Subcommand;
use std::fs::File;
use std::io::{BufReader, BufWriter, Write};
use std::path::{Path, PathBuf};
use water::batch::{self, BatchReport, Options, Progress};
use water::gas::air::Humidity;

/// Chemistry of many waters at once: a CSV table in, the same table with results out.
#[derive(clap::Args)]
#[command(
    after_help = "Example: fairtank water states waters.csv --out results.csv
A row that cannot be solved keeps its place, with a reason in the column `problem`.
These are estimates: no alarm never means that an animal is safe."
)]
pub(crate) struct Args {
    #[command(subcommand)]
    what: What,
}

#[derive(Subcommand)]
enum What {
    /// From pH and alkalinity to CO2, carbonate, saturation, conductivity.
    #[command(after_help = "Example: fairtank water states waters.csv
Needs temperature_c, ph, alkalinity_meq_l; takes ca_mg_l, mg_mg_l, na_mg_l, k_mg_l, cl_mg_l,
so4_mg_l, no3_mg_l, po4_mg_l, sio2_mg_l, b_mg_l (missing = 0).")]
    States(Table),
    /// Each water in equilibrium with air, then with CO2 added in a closed vessel.
    #[command(after_help = "Example: fairtank water gas waters.csv --moist-air
Needs temperature_c, alkalinity_meq_l, added_co2_mg_l; air_co2_ppm is 420 where missing.")]
    Gas {
        #[command(flatten)]
        table: Table,
        /// Take the share of CO2 in air that is saturated with water vapour.
        #[arg(long)]
        moist_air: bool,
    },
    /// Two waters mixed by volume.
    #[command(after_help = "Example: fairtank water mix pairs.csv
Needs every input column twice, prefixed a_ and b_, and share_a (0 to 1, by volume).")]
    Mix(Table),
    /// The un-ionised share of ammonia.
    #[command(after_help = "Example: fairtank water ammonia readings.csv
Needs temperature_c, ph, tan_mg_l (as N); ionic_strength_mol_kg is 0 where missing.")]
    Ammonia(Table),
}

#[derive(clap::Args)]
struct Table {
    /// The table, as CSV in UTF-8.
    input: PathBuf,
    /// Where the result goes; without it, to standard output.
    #[arg(long)]
    out: Option<PathBuf>,
}

/// Which of the tables is worked through.
#[derive(Clone, Copy)]
enum Kind {
    States,
    Gas,
    Mix,
    Ammonia,
}

pub(crate) fn run(args: &Args) -> anyhow::Result<()> {
    let (kind, table, moist) = match &args.what {
        What::States(table) => (Kind::States, table, false),
        What::Gas { table, moist_air } => (Kind::Gas, table, *moist_air),
        What::Mix(table) => (Kind::Mix, table, false),
        What::Ammonia(table) => (Kind::Ammonia, table, false),
    };
    let humidity = if moist {
        Humidity::Moist
    } else {
        Humidity::Dry
    };
    let options = Options {
        humidity,
        ..Options::default()
    };
    let name = table.input.display();
    let file = File::open(&table.input).map_err(|e| Unusable(format!("{name}: {e}")))?;
    let length = file.metadata().map_or(0, |m| m.len());
    let reader = BufReader::with_capacity(1 << 16, file);
    let report = match &table.out {
        Some(out) => write_to(out, |writer| work(kind, reader, writer, &options, length))?,
        None => work(kind, reader, std::io::stdout().lock(), &options, length)?,
    };
    let Some((line, reason)) = &report.first_problem else {
        return Ok(());
    };
    let (problems, rows) = (report.problems, report.rows);
    Err(Unusable(format!(
        "{problems} of {rows} rows could not be solved; the first is {name}, line {line}: {reason}"
    ))
    .into())
}

fn write_to(
    out: &Path,
    work: impl FnOnce(BufWriter<File>) -> anyhow::Result<BatchReport>,
) -> anyhow::Result<BatchReport> {
    let file = File::create(out).with_context(|| format!("{} cannot be made", out.display()))?;
    work(BufWriter::with_capacity(1 << 16, file))
}

fn work(
    kind: Kind,
    reader: BufReader<File>,
    writer: impl Write,
    options: &Options,
    length: u64,
) -> anyhow::Result<BatchReport> {
    let mut seen = 0;
    let mut progress = |at: Progress| {
        super::progress_from(seen, at.bytes_read, length);
        seen = at.bytes_read;
        true
    };
    let run = match kind {
        Kind::States => batch::states(reader, writer, options, &mut progress),
        Kind::Gas => batch::gas(reader, writer, options, &mut progress),
        Kind::Mix => batch::mix(reader, writer, options, &mut progress),
        Kind::Ammonia => batch::ammonia(reader, writer, options, &mut progress),
    };
    run.map_err(|e| match e {
        batch::BatchError::Io(e) => e.into(),
        other => Unusable(other.to_string()).into(),
    })
}
