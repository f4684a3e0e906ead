//! Training room, small vertical mill, table: screw with 5 mm lead, glass scale.

use core::f64::consts::PI;

use super::{
    ControlSpec, FeedbackSource, FollowingSpec, FollowingStyle, HomeSpec, MachineSpec, MechanicsSpec, MotorSpec,
    ReferenceScheme,
};
use crate::axis::friction::StribeckParams;
use crate::axis::profile::MotionLimits;

pub(super) fn spec() -> MachineSpec {
    MachineSpec {
        travel: 0.5,
        mechanics: MechanicsSpec {
            ratio: 5e-3 / (2.0 * PI),
            inertia: 5.5e-4,
            table_mass: 130.0,
            stiffness: 1.4e8,
            damping: 6800.0,
            backlash: 4e-6,
            guide: StribeckParams { sliding_n: 140.0, breakaway_n: 190.0, stribeck_speed: 0.005 },
            wiper_n: 40.0,
            guide_viscous: 700.0,
            motor_dry_nm: 0.08,
            motor_viscous: 2e-4,
            stop_low: -0.030,
            stop_high: 0.530,
            stop_stiffness: 1e7,
            stop_damping: 9000.0,
            incline: 0.0,
            counterbalance_n: 0.0,
        },
        motor: MotorSpec {
            torque_constant: 0.6,
            continuous_current: 4.0,
            peak_current: 12.0,
            current_lag: 0.5e-3,
            resistance: 1.6,
            brake_inductance: 0.020,
            bus_voltage: 650.0,
            thermal_time: 30.0,
            encoder_lines: 2048,
        },
        limits: MotionLimits { speed: 0.25, acceleration: 2.5, jerk: 50.0 },
        control: ControlSpec {
            velocity_steps: 5,
            position_steps: 10,
            kp: 0.18,
            tn: 0.020,
            kv: 1000.0 / 30.0,
            kff: 0.0,
            velocity_filter: 0.3e-3,
            feedback: FeedbackSource::Scale,
        },
        home: HomeSpec {
            switch_at: -10e-3,
            switch_hysteresis: 0.8e-3,
            mark_at: 0.0,
            approach_speed: 0.04,
            back_off_speed: 0.010,
            creep_speed: 0.002,
            mark_within: 24e-3,
        },
        following: FollowingSpec {
            style: FollowingStyle::Fixed,
            moving_band: 10.5e-3,
            still_band: 0.1e-3,
            mismatch: 0.1e-3,
        },
        brake: None,
        reference: ReferenceScheme::SwitchAndMark { mark_spacing: 20e-3 },
        endless: false,
    }
}
