//! What happened between two moments: counts, pulses and extremes.

use sim_core::record::{Record, STEP_S, Sample};

/// What was gathered from a moment on.
#[derive(Clone, Copy, Debug, Default)]
pub struct Span {
    /// The bench at its start.
    pub start: Record,
    /// The bench now.
    pub last: Record,
    /// Rising edges of A and B.
    pub pulses: [u32; 2],
    /// Highest speed that was commanded, m/s.
    pub command_mps: f64,
    /// Highest speed of the table, m/s.
    pub speed_mps: f64,
    /// Largest following error, m.
    pub error_m: f64,
    /// Largest motor current, A.
    pub current_a: f64,
    /// Lowest supply at the head, V.
    pub supply_v: f64,
    /// Least light behind the window, 1 nominal.
    pub light: f64,
    /// Furthest that count and table have drifted apart, m, signed.
    pub drift_m: f64,
    /// Furthest that scale and motor encoder have drifted apart, m, signed.
    pub mismatch_m: f64,
}

impl Span {
    /// A stretch that begins with this record.
    pub fn from(start: &Record) -> Self {
        Self { start: *start, last: *start, supply_v: start.head_supply_v, light: start.light, ..Self::default() }
    }

    /// An edge, with the levels before and after it.
    pub fn edges(&mut self, before: &Sample, now: &Sample) {
        self.pulses[0] += u32::from(!before.square_a && now.square_a);
        self.pulses[1] += u32::from(!before.square_b && now.square_b);
    }

    /// The end of a step.
    pub fn see(&mut self, r: &Record) {
        let s = &self.start;
        self.command_mps = self.command_mps.max(r.command_mps.abs());
        self.speed_mps = self.speed_mps.max(r.speed_mps.abs());
        self.error_m = self.error_m.max(r.error_m.abs());
        self.current_a = self.current_a.max(r.current_a.abs());
        self.supply_v = self.supply_v.min(r.head_supply_v);
        self.light = self.light.min(r.light);
        let further = |most: &mut f64, now: f64| {
            if now.abs() > most.abs() {
                *most = now;
            }
        };
        // A count comes a moment after its line: up to a step of the model later is no loss.
        let drift_m = (r.counted_m - r.table_m) - (s.counted_m - s.table_m);
        let late_m = r.speed_mps.abs() * STEP_S;
        further(&mut self.drift_m, drift_m.signum() * (drift_m.abs() - late_m).max(0.0));
        further(&mut self.mismatch_m, (r.counted_m - r.motor_m) - (s.counted_m - s.motor_m));
        self.last = *r;
    }

    /// How far the table is from where it began, m.
    pub fn way_m(&self) -> f64 {
        self.last.table_m - self.start.table_m
    }

    /// Counts that are missing (negative) or too many. Less than one and a half are what counting in whole counts
    /// leaves anyway.
    pub fn count_error(&self, count_m: f64) -> f64 {
        let counts = self.drift_m / count_m;
        if counts.abs() < 1.5 { 0.0 } else { counts.round() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_drift_counts_from_one_and_a_half_counts_on() {
        let start = Record { counted_m: 0.1, table_m: 0.1005, ..Record::default() };
        let mut span = Span::from(&start);
        span.see(&Record { counted_m: 0.101, table_m: 0.1005, ..start });
        assert_eq!((span.count_error(1e-3), span.way_m()), (0.0, 0.0));
        span.see(&Record { counted_m: 0.102, table_m: 0.1045, ..start });
        assert_eq!(span.count_error(1e-3), -2.0);
        span.see(&Record { counted_m: 0.105, table_m: 0.1055, ..start });
        assert_eq!(span.count_error(1e-3), -2.0, "the furthest stays");
    }

    #[test]
    fn a_count_that_comes_a_moment_late_is_no_loss() {
        let mut span = Span::from(&Record::default());
        let fast = Record { speed_mps: 0.2, counted_m: 0.1 - 8e-6, table_m: 0.1, ..Record::default() };
        span.see(&fast);
        assert_eq!(span.count_error(1e-6), 0.0);
        span.see(&Record { speed_mps: 0.0, ..fast });
        assert_eq!(span.count_error(1e-6), -8.0, "at rest it must have come");
    }

    #[test]
    fn rising_edges_are_pulses() {
        let mut span = Span::from(&Record::default());
        let (low, high) = (Sample::default(), Sample { square_a: true, ..Sample::default() });
        span.edges(&low, &high);
        span.edges(&high, &high);
        span.edges(&high, &low);
        assert_eq!(span.pulses, [1, 0]);
    }
}
