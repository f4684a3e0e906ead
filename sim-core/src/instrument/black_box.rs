//! Black box: the last two seconds of the axis around an alarm, three quarters of them before it.
//!
//! It writes all the time, one entry per position period, over its oldest; an alarm lets it go on for half a second and
//! then it stops, until it is armed again. It is a tap like any other: looking changes nothing.

use crate::event::{Event, What};
use crate::record::{Record, STEP_S, Tap};

/// Length of the trace, s (axis model, section 4).
pub const LENGTH_S: f64 = 2.0;
/// Share of it that lies before the alarm.
pub const BEFORE: f64 = 0.75;

/// One entry.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Entry {
    /// Model time, s.
    pub time_s: f64,
    /// Commanded place, m.
    pub x_ref_m: f64,
    /// Following error, m.
    pub error_m: f64,
    /// Expected following error, m.
    pub expected_m: f64,
    /// Speed by the motor encoder, m/s: its way over the period.
    pub speed_mps: f64,
    /// Motor current, A.
    pub current_a: f64,
    /// Length of the vector of A and B, V: root of the mean of both squared amplitudes.
    pub vector_v: f64,
    /// Illegal transitions so far.
    pub illegal: u64,
}

/// The black box of one axis.
#[derive(Clone, Debug)]
pub struct BlackBox {
    every: u64,
    ring: Vec<Entry>,
    /// Where the next entry goes.
    next: usize,
    filled: usize,
    last_motor_m: Option<f64>,
    /// The alarm that it waits out, and the entries that are still wanted.
    trigger: Option<(f64, usize)>,
}

impl BlackBox {
    /// One that writes every so many steps: the position period of the axis.
    ///
    /// Every step where it is 0. At most 40 000 entries, in room that is taken here.
    #[must_use]
    pub fn new(position_steps: u32) -> Self {
        let every = u64::from(position_steps.max(1));
        let entries = (LENGTH_S / (STEP_S * every as f64)).max(4.0) as usize;
        let ring = vec![Entry::default(); entries];
        Self { every, ring, next: 0, filled: 0, last_motor_m: None, trigger: None }
    }

    /// When the alarm came that it stopped for or is about to, s.
    #[must_use]
    pub fn triggered_s(&self) -> Option<f64> {
        self.trigger.map(|(time_s, _)| time_s)
    }

    /// Whether the trace is complete and nothing is written any more.
    #[must_use]
    pub fn stopped(&self) -> bool {
        matches!(self.trigger, Some((_, 0)))
    }

    /// The trace, oldest first.
    pub fn trace(&self) -> impl Iterator<Item = &Entry> {
        let start = if self.filled < self.ring.len() { 0 } else { self.next };
        self.ring[start..self.filled].iter().chain(&self.ring[..start])
    }

    /// Waits for the next alarm; what was written before it stays until it is written over.
    pub fn arm(&mut self) {
        self.trigger = None;
    }
}

impl Tap for BlackBox {
    const SAMPLES: bool = false;

    fn record(&mut self, r: &Record) {
        if !r.step.is_multiple_of(self.every) || self.stopped() {
            return;
        }
        let way_m = self.last_motor_m.replace(r.motor_m).map_or(0.0, |last| r.motor_m - last);
        let (a, b) = (r.amplitude_a_v, r.amplitude_b_v);
        self.ring[self.next] = Entry {
            time_s: r.time_s,
            x_ref_m: r.command_m,
            error_m: r.error_m,
            expected_m: r.expected_m,
            speed_mps: way_m / (STEP_S * self.every as f64),
            current_a: r.current_a,
            vector_v: (0.5 * (a * a + b * b)).sqrt(),
            illegal: r.illegal,
        };
        self.next = (self.next + 1) % self.ring.len();
        self.filled = (self.filled + 1).min(self.ring.len());
        if let Some((_, left)) = &mut self.trigger {
            *left -= 1;
        }
    }

    fn event(&mut self, event: &Event) {
        if matches!(event.what, What::Monitor { warning: false, .. }) && self.trigger.is_none() {
            let after = ((1.0 - BEFORE) * self.ring.len() as f64) as usize;
            self.trigger = Some((event.time_s, after.max(1)));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::monitor::MonitorKind;

    fn alarm(time_s: f64, warning: bool) -> Event {
        let (kind, rank, at) = (MonitorKind::FollowingMoving, Default::default(), Default::default());
        Event { time_s, place_m: 0.0, what: What::Monitor { kind, value: 2.0, limit: 1.0, warning, rank, at } }
    }

    /// Runs steps `from..to` at 0.1 m/s.
    fn run(tap: &mut BlackBox, from: u64, to: u64) {
        for step in from..to {
            let time_s = step as f64 * STEP_S;
            tap.record(&Record { step, time_s, motor_m: 0.1 * time_s, amplitude_a_v: 0.3, ..Record::default() });
        }
    }

    // Source: axis model, section 4: two seconds, 75 % before the trigger; a period of 1 ms gives 2000 entries.
    #[test]
    fn it_keeps_a_second_and_a_half_before_the_alarm_and_half_a_second_after() {
        let mut tap = BlackBox::new(20);
        run(&mut tap, 0, 60_001);
        tap.event(&alarm(2.9, true));
        assert_eq!(tap.triggered_s(), None);
        tap.event(&alarm(3.0, false));
        tap.event(&alarm(3.1, false));
        run(&mut tap, 60_001, 90_000);
        let trace: Vec<Entry> = tap.trace().copied().collect();
        assert_eq!((trace.len(), tap.triggered_s(), tap.stopped()), (2000, Some(3.0), true));
        assert!((trace[0].time_s - 1.501).abs() < 1e-9 && (trace[1999].time_s - 3.5).abs() < 1e-9);
        assert!(trace.windows(2).all(|pair| pair[1].time_s > pair[0].time_s));
        assert!((trace[7].speed_mps - 0.1).abs() < 1e-9 && (trace[7].vector_v - 0.3 * 0.5_f64.sqrt()).abs() < 1e-12);
        tap.arm();
        run(&mut tap, 90_000, 90_041);
        assert!(tap.trace().last().is_some_and(|e| (e.time_s - 4.502).abs() < 1e-9 || (e.time_s - 4.5).abs() < 1e-9));
    }

    #[test]
    fn before_it_is_full_it_shows_what_there_is() {
        let mut tap = BlackBox::new(10);
        run(&mut tap, 0, 101);
        assert_eq!(tap.trace().count(), 11);
        assert!(!tap.stopped() && tap.trace().next().is_some_and(|e| e.time_s == 0.0));
    }
}
