//! Training room, light teaching rail: small forces, slow, for the 1 mm tape.

use super::{
    ControlSpec, FeedbackSource, FollowingSpec, FollowingStyle, HomeSpec, MachineSpec, MechanicsSpec, MotorSpec,
    ReferenceScheme,
};
use crate::axis::friction::StribeckParams;
use crate::axis::profile::MotionLimits;

pub(super) fn spec() -> MachineSpec {
    MachineSpec {
        travel: 0.6,
        mechanics: MechanicsSpec {
            ratio: 2.0e-3,
            inertia: 3.0e-4,
            table_mass: 20.0,
            stiffness: 1.0e7,
            damping: 1200.0,
            backlash: 20e-6,
            guide: StribeckParams { sliding_n: 15.0, breakaway_n: 20.0, stribeck_speed: 0.005 },
            wiper_n: 0.0,
            guide_viscous: 20.0,
            motor_dry_nm: 0.01,
            motor_viscous: 5e-5,
            stop_low: -0.030,
            stop_high: 0.630,
            stop_stiffness: 1.0e6,
            stop_damping: 3000.0,
            incline: 0.0,
            counterbalance_n: 0.0,
        },
        motor: MotorSpec {
            torque_constant: 0.3,
            continuous_current: 4.0,
            peak_current: 12.0,
            current_lag: 0.5e-3,
            resistance: 1.5,
            brake_inductance: 0.015,
            bus_voltage: 325.0,
            thermal_time: 30.0,
            encoder_lines: 1000,
        },
        limits: MotionLimits { speed: 0.4, acceleration: 2.0, jerk: 20.0 },
        control: ControlSpec {
            velocity_steps: 5,
            position_steps: 20,
            kp: 0.038,
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
            approach_speed: 0.05,
            back_off_speed: 0.010,
            creep_speed: 0.005,
            mark_within: 24e-3,
        },
        following: FollowingSpec {
            style: FollowingStyle::Model,
            moving_band: 3e-3,
            still_band: 1.0e-3,
            mismatch: 1.0e-3,
        },
        brake: None,
        reference: ReferenceScheme::SwitchAndMark { mark_spacing: 0.6 },
        endless: false,
    }
}
