//! SI parameters of every block, made from set-up, faults and dirt in one place.

use crate::axis::machine::{FeedbackSource, MachineSpec};
use crate::axis::plant::PlantParams;
use crate::chain::counter::{CountMode, CounterParams, IllegalPolicy};
use crate::chain::interpolate::InterpolateParams;
use crate::chain::square::SquareParams;
use crate::fault::{self, Active};
use crate::scale::{OutputKind, ScaleSpec};
use crate::setup::{Counting, Feedback, Sensors, Setup};
use crate::surface::SurfaceMap;

/// Angle of the head that a setting of 1 mrad means, rad.
const MRAD: f64 = 1e-3;

/// Everything that acts during a run until the next command.
#[derive(Clone, Debug, PartialEq)]
pub struct Params {
    /// The scale with its head.
    pub scale: ScaleSpec,
    /// The machine as it is (its control part holds the live gains).
    pub machine: MachineSpec,
    /// Position gain stored at commissioning, 1/s: what the monitors expect.
    pub stored_kv: f64,
    /// Feed-forward stored at commissioning, 0..1.
    pub stored_kff: f64,
    /// Moving parts and motor.
    pub plant: PlantParams,
    /// Dirt and damage on the scale.
    pub surface: SurfaceMap,
    /// Gap at machine zero, m.
    pub gap_m: f64,
    /// Gap growth along the travel, m/m.
    pub wedge: f64,
    /// Tilt about the direction of the lines, rad.
    pub tilt_rad: f64,
    /// Yaw about the scale normal, rad.
    pub yaw_rad: f64,
    /// Lamp brightness against nominal.
    pub lamp: f64,
    /// What the head window lets through, 0..1.
    pub window: f64,
    /// Offset of channels A and B, V.
    pub offset_v: [f64; 2],
    /// Noise against natural noise.
    pub noise: f64,
    /// Whether sensor B is plugged in.
    pub two_sensors: bool,
    /// Comparators.
    pub square: SquareParams,
    /// Interpolating input; `None` for plain comparators.
    pub interpolate: Option<InterpolateParams>,
    /// Counter.
    pub counter: CounterParams,
    /// Sign of the count, +1 or -1.
    pub sign: f64,
}

impl Params {
    /// Way per count, m.
    pub fn metres_per_count(&self) -> f64 {
        let factor = self.interpolate.as_ref().map_or(1, |i| i.factor);
        self.scale.period_m / f64::from(factor) / f64::from(self.counter.mode.per_period())
    }

    /// Gap under the head at a place on the axis, m, kept inside the range that the optics cover.
    pub fn gap_at(&self, place_m: f64) -> f64 {
        (self.gap_m + self.wedge * place_m).clamp(self.scale.gap_min_m, self.scale.gap_max_m)
    }

    /// Mean level of a channel on the healthy bench, V.
    pub fn mean_v(&self) -> f64 {
        match self.scale.output {
            OutputKind::Differential1Vpp => 0.0,
            OutputKind::SingleEnded { mean_v, .. } => mean_v,
        }
    }

    /// Amplitude of a channel on the healthy bench, V.
    pub fn nominal_v(&self) -> f64 {
        match self.scale.output {
            OutputKind::Differential1Vpp => 0.5,
            OutputKind::SingleEnded { amplitude_v, .. } => amplitude_v,
        }
    }
}

/// The parameters of a bench: set-up, then dirt, then faults in the order of the catalogue.
pub fn params_of(setup: &Setup, faults: &[Active], dirt: &SurfaceMap) -> Params {
    let mut machine = setup.machine().spec();
    let (stored_kv, stored_kff) = (machine.control.kv, machine.control.kff);
    machine.control.kv = setup.servo.kv_per_s;
    machine.control.kff = setup.servo.feed_forward_percent / 100.0;
    machine.control.feedback = match setup.servo.feedback {
        Feedback::Motor => FeedbackSource::Motor,
        Feedback::Scale => FeedbackSource::Scale,
    };
    machine.following.moving_band = setup.monitor.moving_band_mm * 1e-3;
    machine.following.still_band = setup.monitor.standstill_band_mm * 1e-3;
    let two_sensors = setup.head.sensors == Sensors::TwoSensors;
    let factor = setup.input.interpolation as u32;
    let interpolate = (factor > 1 && two_sensors).then_some(InterpolateParams {
        factor,
        hold_v: setup.input.hold_mv * 1e-3,
        hysteresis_steps: 0.25,
    });
    let mode = match (two_sensors, setup.input.counting) {
        (false, _) => CountMode::OneChannel,
        (true, Counting::X1) => CountMode::X1,
        (true, Counting::X2) => CountMode::X2,
        (true, Counting::X4) => CountMode::X4,
    };
    let mut params = Params {
        scale: setup.scale().spec(),
        plant: PlantParams::from_spec(&machine),
        machine,
        stored_kv,
        stored_kff,
        surface: dirt.clone(),
        gap_m: setup.head.gap_um * 1e-6,
        wedge: setup.head.wedge_um_per_m * 1e-6,
        tilt_rad: setup.head.tilt_mrad * MRAD,
        yaw_rad: setup.head.yaw_mrad * MRAD,
        lamp: setup.head.lamp_percent / 100.0,
        window: 1.0,
        offset_v: [0.0; 2],
        noise: setup.head.noise_factor,
        two_sensors,
        square: SquareParams {
            threshold_v: setup.input.threshold_mv * 1e-3,
            hysteresis_v: setup.input.hysteresis_mv * 1e-3,
        },
        interpolate,
        counter: CounterParams { mode, policy: IllegalPolicy::Hold, mark_state: 2 },
        sign: 1.0,
    };
    fault::apply_all(faults, &mut params);
    params
}
