//! What came of a run: for people as text, for programs as JSON.

use std::collections::BTreeMap;
use std::fmt;

use serde::Serialize;
use sim_core::event::fixed;
use sim_core::instrument::readings::{READINGS, Readings};
use sim_core::instrument::summary::Summary;
use sim_core::scene::{Expect, Scene};

use crate::{Error, Result};

/// The format of the JSON summary.
const FORMAT: u32 = 1;

/// Lines of the log that are printed; all of it is in the JSON.
const LOG_LINES: usize = 40;

/// What came of a run.
#[derive(Debug, Serialize)]
pub struct Report {
    format: u32,
    /// As it was named on the command line.
    scene: String,
    title: String,
    bench: &'static str,
    seed: u32,
    /// Fingerprint of everything that the bench put out.
    digest: String,
    /// Every reading that the run gave, by name.
    readings: BTreeMap<&'static str, f64>,
    /// What the scene claims, and whether the run bears it out.
    claims: Vec<Claim>,
    summary: Summary,
}

/// A claim of the scene, held against the run.
#[derive(Debug, Serialize)]
struct Claim {
    #[serde(flatten)]
    expect: Expect,
    found: Option<f64>,
    holds: bool,
}

impl Report {
    /// Puts the parts together.
    pub fn new(name: &str, scene: &Scene, digest: String, readings: Readings) -> Self {
        let (title, bench) = (scene.title.clone(), scene.bench.name());
        let figures = readings.figures();
        let claims = scene.expects.iter().map(|expect| {
            let found = figures.get(&expect.reading);
            Claim { expect: expect.clone(), found, holds: expect.holds(found) }
        });
        Self {
            format: FORMAT,
            scene: name.to_owned(),
            title,
            bench,
            seed: scene.seed,
            digest,
            readings: figures.all().map(|(row, value)| (row.name, value)).collect(),
            claims: claims.collect(),
            summary: readings.summary,
        }
    }

    /// As JSON text.
    ///
    /// # Errors
    /// Never with the numbers of a run, which are finite.
    pub fn json(&self) -> Result<String> {
        let text = serde_json::to_string_pretty(self)
            .map_err(|e| Error::new(format!("cannot write the summary: {e}"), &self.scene, "report this"))?;
        Ok(text + "\n")
    }
}

impl fmt::Display for Report {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let s = &self.summary;
        let mut line = |name: &str, text: String| writeln!(f, "  {name:<20}{text}");
        line("scene", format!("{} ({})", self.title, self.scene))?;
        line("bench", format!("{}, seed {}, {} s", self.bench, self.seed, fixed(s.time_s, 3)))?;
        line(
            "log",
            match (s.first_alarm_s, s.first_alarm_mm) {
                (Some(at_s), Some(at_mm)) => {
                    format!("the first alarm after {} s at {} mm", fixed(at_s, 4), fixed(at_mm, 1))
                }
                _ if s.log.is_empty() => "nothing happened".to_owned(),
                _ => "no alarm".to_owned(),
            },
        )?;
        for entry in s.log.iter().take(LOG_LINES) {
            writeln!(f, "    {entry}")?;
        }
        if s.log.len() > LOG_LINES {
            writeln!(f, "    and {} more; all of them are in the file of --summary", s.log.len() - LOG_LINES)?;
        }
        let width = READINGS.iter().map(|row| row.title.chars().count()).max().unwrap_or(0) + 2;
        writeln!(f, "  readings")?;
        for row in READINGS {
            if let Some(value) = self.readings.get(row.name) {
                let value = fixed(*value, row.decimals);
                writeln!(f, "    {:<28}{:<width$}{value} {}", row.name, row.title, row.unit)?;
            }
        }
        if !self.claims.is_empty() {
            writeln!(f, "  what the scene claims")?;
        }
        for claim in &self.claims {
            let (low, high) = claim.expect.range();
            let word = if claim.holds { "holds" } else { "FAILS" };
            writeln!(f, "    {word}  {}: {low} to {high}", claim.expect.reading)?;
        }
        writeln!(f, "  {:<20}{}", "fingerprint", self.digest)
    }
}
