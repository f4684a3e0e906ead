//! The clock between the person's time and the model's: run, pause, slow motion.

use sim_core::record::STEP_S;

/// How many times slower than real the model can run.
pub const PACES: [f64; 13] = [1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0, 5000.0, 10_000.0];

/// What the charts show of the past, in seconds of the person's time at the present pace.
const SHOWN_WALL_S: f64 = 4.0;

/// Longest stretch that one frame may make up for, s of the person's time: a tab that slept does not race.
const LONGEST_FRAME_S: f64 = 0.1;

/// The clock.
#[derive(Clone, Debug, PartialEq)]
pub struct Clock {
    /// Whether the model runs.
    pub running: bool,
    /// Whether the clock stops by itself shortly after an alarm.
    pub pause_at_alarm: bool,
    pace: usize,
    zoom: i32,
    owed_s: f64,
    stopped_for_s: Option<f64>,
    behind: f64,
}

impl Default for Clock {
    fn default() -> Self {
        Self { running: false, pause_at_alarm: true, pace: 3, zoom: 0, owed_s: 0.0, stopped_for_s: None, behind: 0.0 }
    }
}

impl Clock {
    /// The same clock for another run.
    pub fn restarted(&self) -> Self {
        Self { owed_s: 0.0, stopped_for_s: None, behind: 0.0, ..self.clone() }
    }

    /// Index into [`PACES`].
    pub fn pace(&self) -> usize {
        self.pace
    }

    /// How many times slower than real.
    pub fn slower(&self) -> f64 {
        PACES[self.pace]
    }

    /// Chooses a pace by its index.
    pub fn set_pace(&mut self, pace: usize) {
        self.pace = pace.min(PACES.len() - 1);
    }

    /// Shows a shorter (`true`) or longer stretch of time, by a factor of two.
    pub fn zoom(&mut self, closer: bool) {
        self.zoom = (self.zoom + if closer { -1 } else { 1 }).clamp(-6, 6);
    }

    /// Length of the time window of the charts, s of model time.
    pub fn window_s(&self) -> f64 {
        (SHOWN_WALL_S / self.slower() * f64::from(self.zoom).exp2()).clamp(100e-6, 300.0)
    }

    /// How much of the last step has been shown, 0..1.
    pub fn share(&self) -> f64 {
        (self.owed_s / STEP_S).clamp(0.0, 1.0)
    }

    /// Steps that are due after `wall_s` of the person's time.
    pub fn steps_due(&mut self, wall_s: f64) -> u64 {
        self.owed_s += wall_s.clamp(0.0, LONGEST_FRAME_S) / self.slower();
        let steps = (self.owed_s / STEP_S).floor();
        self.owed_s -= steps * STEP_S;
        self.behind *= 0.95;
        steps as u64
    }

    /// The device could not do so many steps in its frame.
    pub fn fell_behind(&mut self, steps: u64) {
        self.behind = (self.behind + steps as f64 * STEP_S * self.slower()).min(1.0);
    }

    /// Whether the model runs slower than asked because the device cannot keep up.
    pub fn is_behind(&self) -> bool {
        self.behind > 0.02
    }

    /// Shows the end of the last step.
    pub fn settle(&mut self) {
        self.owed_s = STEP_S * (1.0 - 1e-9);
    }

    /// Stops the clock once for an alarm, a fifth of the window after it; true when it stopped now.
    pub fn stop_after_alarm(&mut self, alarm_s: f64, now_s: f64) -> bool {
        let wait = !self.pause_at_alarm || !self.running || self.stopped_for_s == Some(alarm_s);
        if wait || now_s < alarm_s + 0.2 * self.window_s() {
            return false;
        }
        self.stopped_for_s = Some(alarm_s);
        self.running = false;
        self.settle();
        true
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_add_up_to_the_time_at_every_pace() {
        for (pace, slower) in PACES.iter().enumerate() {
            let mut clock = Clock::default();
            clock.set_pace(pace);
            let steps: u64 = (0..1000).map(|_| clock.steps_due(0.016)).sum();
            let expected = 16.0 / slower / STEP_S;
            assert!((steps as f64 - expected).abs() <= 1.0, "{pace}: {steps} {expected}");
        }
    }

    #[test]
    fn a_tab_that_slept_does_not_race() {
        let mut clock = Clock::default();
        clock.set_pace(0);
        assert!(clock.steps_due(3600.0) as f64 * STEP_S <= LONGEST_FRAME_S + STEP_S);
    }
}
