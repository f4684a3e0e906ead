//! A table of a run at equal distances of time: what a recorder would draw, for a spreadsheet.

use crate::record::{Record, Tap};

/// Column headings with their units.
pub const HEADINGS: [&str; 13] = [
    "time_s",
    "table_mm",
    "readout_mm",
    "command_mm",
    "speed_m_per_min",
    "following_error_mm",
    "expected_error_mm",
    "current_a",
    "a_v",
    "b_v",
    "amplitude_a_v",
    "gap_um",
    "count",
];

/// One row.
pub type Row = [f64; 13];

/// Collects a row every so many steps and hands it on.
pub struct Table<F: FnMut(&Row)> {
    every: u64,
    volts: (f64, f64),
    take: F,
}

impl<F: FnMut(&Row)> Table<F> {
    /// A row every `every` steps (at least one) goes to `take`.
    pub fn new(every: u64, take: F) -> Self {
        Self { every: every.max(1), volts: (0.0, 0.0), take }
    }
}

impl<F: FnMut(&Row)> Tap for Table<F> {
    fn sample(&mut self, sample: &crate::record::Sample) {
        self.volts = (sample.a_v, sample.b_v);
    }

    fn record(&mut self, r: &Record) {
        if !r.step.is_multiple_of(self.every) {
            return;
        }
        (self.take)(&[
            r.time_s,
            r.table_m * 1e3,
            r.readout_m * 1e3,
            r.command_m * 1e3,
            r.speed_mps * 60.0,
            r.error_m * 1e3,
            r.expected_m * 1e3,
            r.current_a,
            self.volts.0,
            self.volts.1,
            r.amplitude_a_v,
            r.gap_m * 1e6,
            r.count as f64,
        ]);
    }
}
