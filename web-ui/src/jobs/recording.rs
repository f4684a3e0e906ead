//! A recording: a copy of the bench runs on under given commands and is written down as a table.

use super::share::EVERY;
use serde::{Deserialize, Serialize};
use sim_core::bench::Sim;
use sim_core::instrument::table::{HEADINGS, Row, Table, cells};
use sim_core::record::STEP_S;
use sim_core::scene::Timed;

/// Longest recording, s.
const LONGEST_S: f64 = 3600.0;
/// Most rows: what a spreadsheet takes is a million.
const MOST_ROWS: f64 = 200_000.0;

/// What was written down.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Recorded {
    /// The table as comma-separated values after RFC 4180: a heading line, CR LF at the end of each line.
    pub csv: String,
    /// Rows below the heading.
    pub rows: usize,
    /// Commands that the bench refused, and why.
    pub refused: Vec<String>,
    /// Model time at the end, s.
    pub end_s: f64,
}

/// Lets the bench run on and writes it down.
pub fn run(
    mut sim: Sim,
    commands: &[Timed],
    seconds: f64,
    every_s: f64,
    progress: &mut dyn FnMut(f64),
) -> Result<Recorded, String> {
    if !(STEP_S..=LONGEST_S).contains(&seconds) {
        return Err(format!("A recording lasts from {STEP_S} to {LONGEST_S} s, not {seconds} s. Give a time within."));
    }
    let least_s = (seconds / MOST_ROWS).max(STEP_S);
    if !(least_s * (1.0 - 1e-9)..=seconds).contains(&every_s) {
        return Err(format!("Rows may be {least_s} to {seconds} s apart here, not {every_s} s. Give a time within."));
    }
    let mut recorded = Recorded { csv: HEADINGS.join(",") + "\r\n", rows: 0, refused: Vec::new(), end_s: 0.0 };
    let (csv, rows) = (&mut recorded.csv, &mut recorded.rows);
    // Cells are plain decimals, which RFC 4180 writes without quotes.
    let mut table = Table::new((every_s / STEP_S).round() as u64, |row: &Row| {
        csv.push_str(&cells(row).join(","));
        csv.push_str("\r\n");
        *rows += 1;
    });
    let mut waiting: Vec<&Timed> = commands.iter().collect();
    waiting.sort_by(|a, b| a.at_s.get().total_cmp(&b.at_s.get()));
    let mut waiting = waiting.into_iter().peekable();
    let steps = (seconds / STEP_S).round() as u64;
    for step in 0..steps {
        while let Some(timed) = waiting.next_if(|timed| (timed.at_s.get() / STEP_S).round() as u64 <= step) {
            if let Err(why) = sim.command(&timed.command) {
                recorded.refused.push(format!("after {} s: {why}", timed.at_s.get()));
            }
        }
        sim.step_watched(&mut table);
        if step.is_multiple_of(EVERY) {
            progress(step as f64 / steps as f64);
        }
    }
    progress(1.0);
    recorded.end_s = sim.time_s();
    Ok(recorded)
}
