//! The verb `trace`: runs a scene without a browser and tells what came of it.

mod report;
mod rows;

use std::io::Write;

use sim_core::bench::{self, Sim};
use sim_core::instrument::digest::Digest;
use sim_core::instrument::readings::Readings;
use sim_core::instrument::table::Table;
use sim_core::record::{Record, STEP_S, Tap};

use crate::progress::{Progress, Step};
use crate::target_file::Target;
use crate::{Error, Result, scene_file};

use report::Report;
use rows::Rows;

/// Runs a scene without a browser: prints what came of it, and writes tables for other programs.
#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  countlight trace wide-smear\n  \
    countlight trace my-scene.toml --out run.csv --every 0.5\n  \
    countlight trace narrow-smear --summary - | less\n\n\
    The table is CSV after RFC 4180 with a heading line; the unit is in the name of each column. The same scene gives\n\
    the same table and the same fingerprint on every machine and in the browser.")]
pub struct Args {
    /// A scene file (.toml), or the id of a shipped scene.
    #[arg(value_name = "SCENE")]
    pub scene: String,
    /// Writes a table of the run to this file; `-` is the standard output.
    #[arg(long, value_name = "FILE.csv")]
    pub out: Option<String>,
    /// Writes the summary of the run to this file as JSON; `-` is the standard output.
    #[arg(long, value_name = "FILE.json")]
    pub summary: Option<String>,
    /// One row of the table each so many milliseconds of model time, at least 0.05.
    #[arg(long, value_name = "MS", default_value_t = 1.0, value_parser = milliseconds)]
    pub every: f64,
}

/// Distance of the rows: a whole number of steps of the model.
fn milliseconds(text: &str) -> std::result::Result<f64, String> {
    let step_ms = STEP_S * 1e3;
    let ms: f64 = text.parse().map_err(|_| "write a number of milliseconds, such as 1 or 0.5".to_owned())?;
    let steps = ms / step_ms;
    if !(0.999..=3600e3 / step_ms).contains(&steps) || (steps - steps.round()).abs() > 1e-6 {
        return Err(format!("write a multiple of {step_ms} (the step of the model) from {step_ms} to 3600000"));
    }
    Ok(ms)
}

/// Runs the verb.
///
/// # Errors
/// The scene cannot be found or read, or a file cannot be written; files are then as they were before.
pub fn run(args: &Args, progress: Progress) -> Result<()> {
    let out = args.out.as_deref().map(Target::from);
    let summary = args.summary.as_deref().map(Target::from);
    if out.is_some() && out == summary {
        let place = args.out.as_deref().unwrap_or_default();
        return Err(Error::new("table and summary would be written to the same place", place, "give them two names"));
    }
    let scene = scene_file::find(&args.scene)?;
    let mut rows = out.as_ref().map(|target| target.begin().map(Rows::new)).transpose()?;
    let mut json = summary.as_ref().map(Target::begin).transpose()?;

    let step = progress.step(format!("running \"{}\", {} s of model time", scene.title, scene.duration_s.get()));
    let share = Share { step: &step, duration_s: scene.duration_s.get(), told: 0 };
    let every = (args.every / (STEP_S * 1e3)).round() as u64;
    let mut tap = ((Readings::new(Sim::of_scene(&scene).params()), Digest::default()), share);
    if let Some(rows) = &mut rows {
        let table = Table::new(every, |row| rows.put(row));
        bench::run(&scene, &mut (&mut tap, table));
    } else {
        bench::run(&scene, &mut tap);
    }
    let ((readings, digest), _) = tap;
    step.done();

    let report = Report::new(&args.scene, &scene, digest.hex(), readings);
    if let Some(rows) = rows {
        rows.finish()?;
    }
    if let Some(mut writing) = json.take() {
        match writing.write_all(report.json()?.as_bytes()) {
            Err(e) if !writing.reader_left(&e) => return Err(Error::file("write the file", writing.place(), &e)),
            _ => writing.finish()?,
        }
    }
    // What is read by a program stands alone on the standard output; people then read the other one.
    let taken = [&out, &summary].iter().any(|target| **target == Some(Target::Output));
    let told = if taken {
        write!(std::io::stderr(), "{report}")
    } else {
        let mut writing = Target::Output.begin()?;
        let told = write!(writing, "{report}").and_then(|()| writing.flush());
        told.or_else(|e| if writing.reader_left(&e) { Ok(()) } else { Err(e) })
    };
    told.map_err(|e| Error::file("print the summary", "standard output".as_ref(), &e))
}

/// Tells how much of the model time is done.
struct Share<'a> {
    step: &'a Step,
    duration_s: f64,
    told: u32,
}

impl Tap for Share<'_> {
    const SAMPLES: bool = false;

    fn record(&mut self, record: &Record) {
        let percent = (100.0 * record.time_s / self.duration_s) as u32;
        if percent > self.told {
            self.told = percent;
            self.step.tick(&format!("{percent} % of the model time"));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_stand_a_whole_number_of_steps_apart() {
        assert_eq!(milliseconds("0.05"), Ok(0.05));
        assert_eq!(milliseconds("1"), Ok(1.0));
        assert_eq!(milliseconds("0.35"), Ok(0.35));
        for wrong in ["0", "-1", "0.07", "nan", "inf", "1e9", "fast"] {
            assert!(milliseconds(wrong).is_err_and(|why| why.contains("write a")), "{wrong}");
        }
    }
}
