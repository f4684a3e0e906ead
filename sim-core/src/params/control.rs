//! Values of the control that somebody enters, and what its monitors were commissioned with.

use crate::axis::AxisParams;
use crate::axis::machine::{FeedbackSource, MachineSpec};
use crate::chain::edge_filter::EdgeFilterParams;
use crate::monitor::WatchParams;
use crate::monitor::signal::SignalMonitor;
use crate::params::Params;
use crate::setup::{Comparison, Setup};

/// Sampling clock of the counter's input, Hz (axis model, presets).
pub const INPUT_CLOCK_HZ: f64 = 10e6;

/// What the monitors were commissioned with.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MonitorParams {
    /// Scale and motor encoder are compared.
    pub comparison: bool,
    /// Limit of the comparison, m, 0 to 1.
    pub mismatch_m: f64,
    /// Peak current of the commissioned drive, A.
    pub peak_a: f64,
}

impl MonitorParams {
    /// Of a set-up on its healthy machine.
    #[must_use]
    pub fn healthy(setup: &Setup, machine: &MachineSpec) -> Self {
        Self {
            comparison: setup.monitor.comparison == Comparison::On,
            mismatch_m: machine.following.mismatch,
            peak_a: machine.motor.peak_current,
        }
    }
}

/// Values of the control that decide how it counts and where it thinks that things are.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ControlValues {
    /// Input filter of the counter; `None` takes every edge.
    pub filter: Option<EdgeFilterParams>,
    /// Width of the counter where nothing extends it, bits, 8 to 32; `None` for a counter that never comes round.
    pub counter_bits: Option<u32>,
    /// Length of a count of the feedback in the loop as the control believes it, against the true one, 0.1 to 10.
    pub count_ratio: f64,
    /// How far both soft limits stand off where they belong, m, -10 to 10.
    pub soft_shift_m: f64,
    /// Compensation of the drive's play in a motor loop, m, 0 to 1e-3.
    pub play_comp_m: f64,
}

impl ControlValues {
    /// Of a set-up, everything else right.
    #[must_use]
    pub fn healthy(setup: &Setup) -> Self {
        let samples = setup.input.filter_samples as u32;
        Self {
            filter: (samples > 0).then_some(EdgeFilterParams { clock_hz: INPUT_CLOCK_HZ, samples }),
            counter_bits: None,
            count_ratio: 1.0,
            soft_shift_m: 0.0,
            play_comp_m: 0.0,
        }
    }
}

/// Fewest equal samples with which counts are lost above a speed, m/s: `(1/2) P f/(I v)`, rounded up.
#[must_use]
pub fn samples_that_lose_above(square_m: f64, speed_mps: f64) -> u32 {
    libm::ceil(0.5 * square_m * INPUT_CLOCK_HZ / speed_mps) as u32
}

impl Params {
    /// Length of a count of the scale as the control believes it, m, signed.
    #[must_use]
    pub fn believed_count_m(&self) -> f64 {
        let scale = self.machine.control.feedback == FeedbackSource::Scale;
        self.sign * self.metres_per_count() * if scale { self.control.count_ratio } else { 1.0 }
    }

    /// Puts the entered values into the axis.
    pub(crate) fn enter(&self, axis: &mut AxisParams) {
        axis.soft_shift = self.control.soft_shift_m;
        if self.machine.control.feedback == FeedbackSource::Motor {
            axis.servo.play_comp = self.control.play_comp_m;
            let lines = f64::from(axis.servo.encoder_lines) / self.control.count_ratio;
            axis.servo.encoder_lines = libm::round(lines).max(1.0) as u32;
        }
    }

    /// Limits of the monitors, from the machine as it was commissioned.
    #[must_use]
    pub fn watch(&self, commissioned: &MachineSpec) -> WatchParams {
        let trips = self.signal_monitor == SignalMonitor::Trip;
        WatchParams {
            mismatch: self.monitors.comparison.then_some(self.monitors.mismatch_m),
            peak_current: Some(self.monitors.peak_a),
            // What the log tells of the signal anyhow is not told twice: these speak where they stop the axis.
            illegal: trips,
            head_supply: trips.then_some(true),
            ..WatchParams::from_spec(commissioned)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::samples_that_lose_above;
    use crate::chain::count_limits::counting_speed_limit;

    // Source: axis model 1.6, by hand: half of 8 um at 0.24 m/s are 16.67 us, 167 ticks of 0.1 us.
    #[test]
    fn a_filter_that_loses_counts_above_a_speed() {
        assert_eq!(samples_that_lose_above(8e-6, 0.24), 167);
        let limit = |samples| counting_speed_limit(40e-6, 5.0, 10e6, samples, 0.0, 0.0);
        assert!(limit(167) <= 0.24 && limit(166) > 0.24);
    }
}
