//! Pell Harbour Joinery, router gantry, spindle lift: hangs on a screw with 10 mm lead, brake on the motor, absolute
//! motor encoder with battery, no scale.

use core::f64::consts::{FRAC_PI_2, PI};

use super::{
    BrakeSide, BrakeSpec, ControlSpec, FeedbackSource, FollowingSpec, FollowingStyle, HomeSpec, MachineSpec,
    MechanicsSpec, MotorSpec, ReferenceScheme,
};
use crate::axis::friction::StribeckParams;
use crate::axis::profile::MotionLimits;

pub(super) fn spec() -> MachineSpec {
    MachineSpec {
        travel: 0.45,
        mechanics: MechanicsSpec {
            ratio: 10e-3 / (2.0 * PI),
            inertia: 1.9e-4,
            table_mass: 38.0,
            stiffness: 6e7,
            damping: 2300.0,
            backlash: 8e-6,
            guide: StribeckParams { sliding_n: 45.0, breakaway_n: 60.0, stribeck_speed: 0.006 },
            wiper_n: 12.0,
            guide_viscous: 120.0,
            motor_dry_nm: 0.04,
            motor_viscous: 5e-5,
            stop_low: -0.030,
            stop_high: 0.480,
            stop_stiffness: 5e6,
            stop_damping: 4000.0,
            incline: FRAC_PI_2,
            counterbalance_n: 0.0,
        },
        motor: MotorSpec {
            torque_constant: 0.5,
            continuous_current: 3.2,
            peak_current: 9.6,
            current_lag: 0.5e-3,
            resistance: 2.2,
            brake_inductance: 0.022,
            bus_voltage: 650.0,
            thermal_time: 30.0,
            // 17 bit: 131072 places a turn.
            encoder_lines: 32_768,
        },
        limits: MotionLimits { speed: 0.4, acceleration: 3.0, jerk: 60.0 },
        control: ControlSpec {
            velocity_steps: 5,
            position_steps: 20,
            kp: 0.065,
            tn: 0.025,
            kv: 25.0,
            kff: 0.5,
            velocity_filter: 0.3e-3,
            feedback: FeedbackSource::Motor,
        },
        // The code is read at switch-on; the search below is for setting up only.
        home: HomeSpec {
            switch_at: -10e-3,
            switch_hysteresis: 0.8e-3,
            mark_at: 0.0,
            approach_speed: 0.03,
            back_off_speed: 0.010,
            creep_speed: 0.005,
            mark_within: 24e-3,
        },
        following: FollowingSpec {
            style: FollowingStyle::Model,
            moving_band: 1.5e-3,
            still_band: 0.3e-3,
            // No scale to compare with: a metre is never reached.
            mismatch: 1.0,
        },
        brake: Some(BrakeSpec { side: BrakeSide::Motor, holding: 1.8, close_delay: 0.05, open_delay: 0.08 }),
        reference: ReferenceScheme::Absolute,
        endless: false,
    }
}
