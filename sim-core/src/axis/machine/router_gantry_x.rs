//! Pell Harbour Joinery, router gantry, long axis: rack and pinion, open reflective tape, dust.

use super::{
    ControlSpec, FeedbackSource, FollowingSpec, FollowingStyle, HomeSpec, MachineSpec, MechanicsSpec, MotorSpec,
    ReferenceScheme,
};
use crate::axis::friction::StribeckParams;
use crate::axis::profile::MotionLimits;

pub(super) fn spec() -> MachineSpec {
    MachineSpec {
        travel: 3.2,
        mechanics: MechanicsSpec {
            ratio: 2.0e-3,
            inertia: 6.0e-4,
            table_mass: 180.0,
            stiffness: 2e7,
            damping: 3200.0,
            backlash: 40e-6,
            guide: StribeckParams { sliding_n: 120.0, breakaway_n: 160.0, stribeck_speed: 0.01 },
            wiper_n: 30.0,
            guide_viscous: 150.0,
            motor_dry_nm: 0.08,
            motor_viscous: 1e-4,
            stop_low: -0.030,
            stop_high: 3.230,
            stop_stiffness: 2e6,
            stop_damping: 6000.0,
            incline: 0.0,
            counterbalance_n: 0.0,
        },
        motor: MotorSpec {
            torque_constant: 0.7,
            continuous_current: 6.0,
            peak_current: 18.0,
            current_lag: 0.6e-3,
            resistance: 1.8,
            brake_inductance: 0.024,
            bus_voltage: 650.0,
            thermal_time: 40.0,
            encoder_lines: 2500,
        },
        limits: MotionLimits { speed: 0.8, acceleration: 2.0, jerk: 20.0 },
        control: ControlSpec {
            velocity_steps: 5,
            position_steps: 20,
            kp: 0.13,
            tn: 0.040,
            kv: 20.0,
            kff: 0.8,
            velocity_filter: 0.5e-3,
            feedback: FeedbackSource::Scale,
        },
        home: HomeSpec {
            switch_at: -10e-3,
            switch_hysteresis: 0.8e-3,
            mark_at: 0.0,
            // A stop that is asked while the axis still gathers speed needs 8 mm; at 0.1 m/s it needs more than the 10 mm
            // from the switch to the limit.
            approach_speed: 0.07,
            back_off_speed: 0.010,
            creep_speed: 0.005,
            mark_within: 24e-3,
        },
        following: FollowingSpec {
            style: FollowingStyle::Model,
            moving_band: 3e-3,
            still_band: 0.5e-3,
            mismatch: 0.3e-3,
        },
        brake: None,
        reference: ReferenceScheme::DistanceCoded { spacing: 20e-3, step: 40e-6 },
        endless: false,
    }
}
