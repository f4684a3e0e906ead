//! What follows from set-up, faults and dirt and is worked out once per change: never part of the state.

use crate::axis::AxisParams;
use crate::axis::STEP;
use crate::chain::analog::{AnalogForm, AnalogParams, SampleTable};
use crate::chain::light::GapTable;
use crate::chain::photo::{HEALTHY_HEAD, HeadCondition, HeadOptics, HeadPose, Illumination};
use crate::monitor::WatchParams;
use crate::num::math::hypot;
use crate::params::Params;
use crate::scale::ScaleId;
use crate::surface::{SurfaceCursor, SurfaceGains, SurfaceIndex};

/// The compiled bench.
#[derive(Clone, Debug)]
pub struct Compiled {
    /// Light behind the grating over the gap; belongs to `scale`.
    pub table: GapTable,
    scale: ScaleId,
    /// The head over the scale.
    pub optics: HeadOptics,
    /// Dirt and damage, for look-ups.
    pub surface: SurfaceIndex,
    /// Amplifier.
    pub analog: AnalogParams,
    /// Its coefficients per number of samples in a step.
    pub samples: SampleTable,
    /// Axis.
    pub axis: AxisParams,
    /// Monitors.
    pub watch: WatchParams,
}

/// What the light makes of the channels at one place.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Swing {
    /// Amplitude of A and B, V.
    pub amplitude_v: [f64; 2],
    /// Amplitude that the input needs, V: the worse of both channels.
    pub needed_v: f64,
    /// Share of the lines' pattern that gets through, 0..1.
    pub contrast: f64,
}

impl Compiled {
    /// Works everything out.
    pub fn new(params: &Params) -> Self {
        let table = GapTable::build(&params.scale);
        Self::with_table(params, table)
    }

    /// Works everything out again after a change; the gap table is kept while the scale is the same.
    pub fn again(self, params: &Params) -> Self {
        if self.scale == params.scale.id { Self::with_table(params, self.table) } else { Self::new(params) }
    }

    fn with_table(params: &Params, table: GapTable) -> Self {
        let pose = HeadPose {
            gap_m: params.gap_at(0.0),
            pitch_rad: params.tilt_rad,
            yaw_rad: params.yaw_rad,
            ..HeadPose::nominal(&params.scale)
        };
        let mut condition: HeadCondition = HEALTHY_HEAD;
        for field in &mut condition {
            field.signal *= params.window;
            field.mean *= params.window;
        }
        let light = Illumination { drive: params.lamp, ageing: 1.0 };
        let analog = AnalogParams {
            offsets_v: params.offset_v,
            noise_scale: params.noise,
            ..AnalogParams::nominal(&params.scale)
        };
        let mut axis = AxisParams::from_spec(&params.machine, params.sign * params.metres_per_count());
        axis.plant = params.plant;
        axis.servo.stored_kv = params.stored_kv;
        axis.servo.stored_kff = params.stored_kff;
        axis.servo.dead_zone = axis.servo.dead_zone.abs();
        let mut commissioned = params.machine;
        commissioned.control.kv = params.stored_kv;
        commissioned.control.kff = params.stored_kff;
        Self {
            optics: HeadOptics::new(&params.scale, &table, &pose, light, &condition),
            scale: params.scale.id,
            table,
            surface: SurfaceIndex::for_scale(&params.surface, &params.scale),
            samples: SampleTable::new(analog.bandwidth_hz),
            analog,
            axis,
            watch: WatchParams::from_spec(&commissioned),
        }
    }

    /// Amplitudes, the need of the input and the contrast with the table at `x_m` at a speed.
    pub fn swing(&self, params: &Params, x_m: f64, speed_mps: f64, cursor: &mut SurfaceCursor) -> Swing {
        let gains = self.optics.surface_gains(x_m, &self.surface, cursor);
        let ratio = speed_mps / params.scale.period_m / self.analog.bandwidth_hz;
        let pass = 1.0 / hypot(1.0, ratio);
        let half_v = 0.5 * params.square.hysteresis_v;
        let need = |mean_v: f64| (params.square.threshold_v - mean_v).abs() + half_v;
        let gain = self.analog.gain_ohm;
        let (amplitude_v, means_v) = match self.analog.form {
            AnalogForm::Differential => (
                [
                    gain[0] * self.optics.pair_amplitude_a(0, 2, &gains),
                    gain[1] * self.optics.pair_amplitude_a(1, 3, &gains),
                ],
                params.offset_v,
            ),
            AnalogForm::SingleEnded { dark_v } => {
                let (a, b) = (self.optics.field_swing_a(0, &gains), self.optics.field_swing_a(1, &gains));
                (
                    [gain[0] * a.0, gain[1] * b.0],
                    [dark_v + gain[0] * a.1 + params.offset_v[0], dark_v + gain[1] * b.1 + params.offset_v[1]],
                )
            }
        };
        let amplitude_v = [amplitude_v[0] * pass, if params.two_sensors { amplitude_v[1] * pass } else { 0.0 }];
        let needed_v = match &params.interpolate {
            Some(interpolate) => interpolate.hold_v,
            None if params.two_sensors => need(means_v[0]).max(need(means_v[1])),
            None => need(means_v[0]),
        };
        let used = params.scale.fields.len().min(4);
        let contrast = gains.iter().take(used).map(|g: &SurfaceGains| g.ac).sum::<f64>() / used as f64;
        Swing { amplitude_v, needed_v, contrast }
    }
}

/// Length of a step, s; the model has one.
pub const STEP_S: f64 = STEP;
