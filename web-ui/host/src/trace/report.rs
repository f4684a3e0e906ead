//! What came of a run: for people as text, for programs as JSON.

use std::fmt;

use serde::Serialize;
use sim_core::event::fixed;
use sim_core::instrument::summary::Summary;
use sim_core::scene::Scene;

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
    summary: Summary,
}

impl Report {
    /// Puts the parts together.
    pub fn new(name: &str, scene: &Scene, digest: String, summary: Summary) -> Self {
        let (title, bench) = (scene.title.clone(), scene.bench.name());
        Self { format: FORMAT, scene: name.to_owned(), title, bench, seed: scene.seed, digest, summary }
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
        line("table at the end", format!("{} mm from machine zero", fixed(s.table_mm, 3)))?;
        line("readout", format!("{} mm", fixed(s.readout_mm, 3)))?;
        line(
            "readout error",
            format!(
                "{} mm at the end, {} mm at worst",
                fixed(s.readout_error_mm, 3),
                fixed(s.worst_readout_error_mm, 3)
            ),
        )?;
        line("count", format!("{} at the end, {} to {} on the way", s.count, s.count_range.0, s.count_range.1))?;
        line("illegal transitions", s.illegal_transitions.to_string())?;
        line(
            "following error",
            format!(
                "{} mm at most, {} mm at most from what is expected",
                fixed(s.following_error_mm, 3),
                fixed(s.following_departure_mm, 3)
            ),
        )?;
        line(
            "amplitude of A",
            format!(
                "{} V at the start, {} V at the end, {} to {} V on the way",
                fixed(s.amplitude_ends_v.0, 3),
                fixed(s.amplitude_ends_v.1, 3),
                fixed(s.amplitude_a_v.0, 3),
                fixed(s.amplitude_a_v.1, 3)
            ),
        )?;
        line("motor current", format!("{} A at most", fixed(s.current_a, 2)))?;
        line(
            "alarms",
            match (s.first_alarm_s, s.first_alarm_mm) {
                (Some(at_s), Some(at_mm)) => {
                    format!("{}, the first after {} s at {} mm", s.alarms, fixed(at_s, 4), fixed(at_mm, 1))
                }
                _ => "none".to_owned(),
            },
        )?;
        line("warnings", if s.warnings == 0 { "none".to_owned() } else { s.warnings.to_string() })?;
        line("log", if s.log.is_empty() { "nothing happened".to_owned() } else { String::new() })?;
        for entry in s.log.iter().take(LOG_LINES) {
            writeln!(f, "    {entry}")?;
        }
        if s.log.len() > LOG_LINES {
            writeln!(f, "    and {} more; all of them are in the file of --summary", s.log.len() - LOG_LINES)?;
        }
        writeln!(f, "  {:<20}{}", "fingerprint", self.digest)
    }
}
