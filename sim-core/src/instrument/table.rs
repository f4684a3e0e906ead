//! A table of a run at equal distances of time: what a recorder would draw, for a spreadsheet.

use crate::event::fixed;
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

/// Decimals of each column that mean something: 10 us, nm, uV, and whole counts.
const DECIMALS: [usize; 13] = [5, 6, 6, 6, 6, 6, 6, 4, 6, 6, 6, 3, 0];

/// One row.
pub type Row = [f64; 13];

/// The cells of a row as text: plain decimals, a point as the decimal sign, no minus before zero.
pub fn cells(row: &Row) -> [String; 13] {
    let mut decimals = DECIMALS.iter();
    row.map(|value| fixed(value, *decimals.next().unwrap_or(&6)))
}

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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_are_plain_decimals() {
        let mut row = [-1e-12; 13];
        row[0] = 0.1 + 0.2;
        row[12] = -1_350_000.0;
        let cells = cells(&row);
        assert_eq!((cells[0].as_str(), cells[1].as_str(), cells[11].as_str()), ("0.30000", "0.000000", "0.000"));
        assert_eq!(cells[12], "-1350000");
    }

    #[test]
    fn a_row_comes_every_so_many_steps() {
        let mut steps = Vec::new();
        let mut table = Table::new(20, |row: &Row| steps.push(row[0]));
        for step in 1..=60 {
            table.record(&Record { step, time_s: step as f64, ..Record::default() });
        }
        assert_eq!(steps, [20.0, 40.0, 60.0]);
    }
}
