//! The record of a step and the log, made from the state: nothing here changes how the bench goes on.

use super::compiled::Swing;
use super::narrator::Sight;
use super::sim::Sim;
use crate::axis::DriveMode;
use crate::chain::photo::Photocurrents;
use crate::event::Event;
use crate::record::{Doing, Record, Tap};

impl Sim {
    pub(super) fn finish<T: Tap>(&mut self, light: Photocurrents, tap: &mut T) {
        let swing = self.make_record(light);
        let sight = Sight {
            params: &self.params,
            swing: &swing,
            table_m: self.record.table_m,
            counted_m: self.record.counted_m,
            count: self.record.count,
            illegal: self.record.illegal,
            mode: self.bench.state.axis.mode,
            homing: &self.bench.state.axis.homing.state,
            speed_mps: self.record.speed_mps,
        };
        let pending = &mut self.pending;
        self.bench.state.narrator.look(&sight, |what| pending.push(what));
        self.record.blind = self.bench.state.narrator.blind();
        for what in self.pending.drain(..) {
            tap.event(&Event { time_s: self.record.time_s, place_m: self.record.table_m, what });
        }
        tap.record(&self.record);
    }

    /// Fills the record from the state; the light of the last sample is given.
    pub(super) fn make_record(&mut self, light: Photocurrents) -> Swing {
        let swing = self.swing();
        let (state, axis) = (&self.bench.state, &self.compiled.axis);
        let (error, expected) = (state.axis.servo.error, state.axis.servo.expected_error);
        let count = state.counter.count;
        let arrives =
            if self.params.squared() { state.square_line.present(&self.compiled.square_line) } else { [true; 2] };
        self.record = Record {
            step: state.axis.step,
            time_s: self.time_s(),
            table_m: state.axis.plant.x,
            speed_mps: state.axis.plant.v,
            command_m: state.axis.motion.x_ref(),
            command_mps: state.axis.motion.v_cmd(),
            counted_m: state.axis.x_scale(axis, count),
            readout_m: state.axis.x_scale(axis, count) - state.readout_zero_m,
            motor_m: state.axis.x_motor(axis),
            error_m: error,
            expected_m: expected,
            band_m: self.band(expected),
            current_a: state.axis.plant.current,
            gap_m: self.compiled.optics.gap_m(),
            lit: light.lit,
            photocurrent_a: light.field,
            contrast: swing.contrast,
            light: self.compiled.optics.brightness() * self.params.window_light(),
            lamp_used: self.params.lamp.reading(&state.lamp).used,
            head_supply_v: self.compiled.head_v,
            amplitude_a_v: swing.amplitude_v[0],
            amplitude_b_v: swing.amplitude_v[1],
            needed_v: swing.needed_v,
            count,
            direction: state.counter.direction,
            illegal: state.counter.illegal_count,
            blind: state.narrator.blind(),
            doing: match state.axis.mode {
                DriveMode::Off => Doing::Off,
                DriveMode::Holding => Doing::Holding,
                DriveMode::Moving => Doing::Moving,
                DriveMode::Homing => Doing::Homing,
                DriveMode::Stopping => Doing::Stopping,
                DriveMode::Tripped => Doing::Tripped,
            },
            alarm: state.watch.primary.is_some(),
            referenced: state.axis.referenced(),
            home_switch: state.axis.switch_pressed(axis),
            a_ok: swing.ok[0] && arrives[0],
            b_ok: swing.ok[1] && arrives[1],
            signal: state.signal.told(),
        };
        swing
    }

    /// Alarm band of the following error, m.
    fn band(&self, expected_m: f64) -> (f64, f64) {
        use crate::axis::machine::FollowingStyle;
        let following = &self.params.machine.following;
        match following.style {
            FollowingStyle::Model => (expected_m - following.moving_band, expected_m + following.moving_band),
            FollowingStyle::Fixed => (-following.moving_band, following.moving_band),
        }
    }

    fn swing(&self) -> Swing {
        self.compiled.swing(&self.params, &self.seen, self.bench.state.axis.plant.v)
    }
}
