//! How far a job has come.

use sim_core::record::{Record, Tap};

/// Steps between two tellings: some milliseconds of work.
pub const EVERY: u64 = 1000;

/// Tells the share of a way that the table has gone, up and down again.
pub struct WayShare<'a> {
    from_m: f64,
    to_m: f64,
    told: f64,
    progress: &'a mut dyn FnMut(f64),
}

impl<'a> WayShare<'a> {
    /// For a way from one place to the other and back, m.
    pub fn new(from_m: f64, to_m: f64, progress: &'a mut dyn FnMut(f64)) -> Self {
        Self { from_m, to_m, told: 0.0, progress }
    }
}

impl Tap for WayShare<'_> {
    const SAMPLES: bool = false;

    fn record(&mut self, record: &Record) {
        if !record.step.is_multiple_of(EVERY) {
            return;
        }
        let up = ((record.table_m - self.from_m) / (self.to_m - self.from_m)).clamp(0.0, 1.0);
        let share = if record.command_mps < 0.0 { 1.0 - 0.5 * up } else { 0.5 * up };
        self.told = self.told.max(share);
        (self.progress)(self.told);
    }
}
