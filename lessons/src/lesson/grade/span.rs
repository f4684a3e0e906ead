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
    /// Largest share of its limit that the following error used up, 1 at the limit.
    pub limit_used: f64,
    /// Furthest past the commanded end by the control's own feedback, m.
    pub overshoot_m: f64,
    /// Which way the last commanded motion went: 1, -1, 0 none yet.
    pub heading: f64,
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
        self.limit_used = self.limit_used.max(limit_used(r));
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
        self.past_the_end(r);
        self.last = *r;
    }

    /// Only a command that has come to its end can be run past: on the way the axis lags or leads.
    fn past_the_end(&mut self, r: &Record) {
        if r.command_mps != 0.0 {
            self.heading = r.command_mps.signum();
        } else {
            self.overshoot_m = self.overshoot_m.max(-r.error_m * self.heading);
        }
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

/// Share of its limit that the following error uses up now; none where no limit is watched.
fn limit_used(r: &Record) -> f64 {
    let (low_m, high_m) = r.band_m;
    let half_m = 0.5 * (high_m - low_m);
    if half_m > 0.0 { (r.error_m - 0.5 * (low_m + high_m)).abs() / half_m } else { 0.0 }
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

    #[test]
    fn only_what_runs_past_the_commanded_end_is_overshoot() {
        let mut span = Span::from(&Record::default());
        span.see(&Record { command_mps: 0.1, error_m: -3e-6, ..Record::default() });
        assert_eq!(span.overshoot_m, 0.0, "on the way an axis may lead");
        span.see(&Record { error_m: 4e-6, ..Record::default() });
        assert_eq!(span.overshoot_m, 0.0, "not there yet");
        span.see(&Record { error_m: -5e-6, ..Record::default() });
        assert_eq!(span.overshoot_m, 5e-6);
        span.see(&Record { command_mps: -0.1, ..Record::default() });
        span.see(&Record { error_m: 7e-6, ..Record::default() });
        assert_eq!(span.overshoot_m, 7e-6, "on the way back past the end is the other way");
    }

    #[test]
    fn the_limit_is_used_up_from_the_middle_of_its_band() {
        let mut span = Span::from(&Record::default());
        span.see(&Record { error_m: 5e-3, ..Record::default() });
        assert_eq!(span.limit_used, 0.0, "no band, no limit");
        span.see(&Record { error_m: 5e-3, band_m: (1e-3, 7e-3), ..Record::default() });
        assert!((span.limit_used - 1.0 / 3.0).abs() < 1e-12);
        span.see(&Record { error_m: 1e-3, band_m: (1e-3, 7e-3), ..Record::default() });
        assert!((span.limit_used - 1.0).abs() < 1e-12);
    }
}
