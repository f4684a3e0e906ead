//! Training room, rotary table: worm 90:1, ring encoder on the table, clamp.
//!
//! The axis works in arc length at the radius of the grating, so that it goes through the same program as a straight one:
//! a ring of 18000 lines with 20 um between them is 360 mm round, so 1 mm along it is 1 degree and `R = 0.36/(2 pi)` m.
//! Of the table's numbers in rad: kg m^2, N m/rad and N m s/rad are divided by `R^2`, N m by `R`; rad, rad/s and so on
//! are multiplied by `R`, also the ratio. The motor's side stays as it is.

use core::f64::consts::PI;

use super::{
    BrakeSide, BrakeSpec, ControlSpec, FeedbackSource, FollowingSpec, FollowingStyle, HomeSpec, MachineSpec,
    MechanicsSpec, MotorSpec, ReferenceScheme,
};
use crate::axis::friction::StribeckParams;
use crate::axis::profile::MotionLimits;

/// Radius of the grating, m.
pub const RADIUS: f64 = 0.36 / (2.0 * PI);

/// Where stops would be if there were any, m: 2777 turns away.
const NOWHERE: f64 = 1000.0;

/// What resists turning, per rad, as what resists the arc: divided by `R^2`.
fn about(rotary: f64) -> f64 {
    rotary / (RADIUS * RADIUS)
}

pub(super) fn spec() -> MachineSpec {
    MachineSpec {
        travel: 0.36,
        mechanics: MechanicsSpec {
            ratio: RADIUS / 90.0,
            inertia: 8.0e-5,
            table_mass: about(0.9),
            stiffness: about(2.5e5),
            damping: about(25.0),
            backlash: 5e-5 * RADIUS,
            guide: StribeckParams {
                sliding_n: 14.0 / RADIUS,
                breakaway_n: 19.0 / RADIUS,
                stribeck_speed: 0.02 * RADIUS,
            },
            wiper_n: 4.0 / RADIUS,
            guide_viscous: about(4.0),
            motor_dry_nm: 0.05,
            motor_viscous: 3e-5,
            stop_low: -NOWHERE,
            stop_high: NOWHERE,
            stop_stiffness: 1e6,
            stop_damping: 3000.0,
            incline: 0.0,
            counterbalance_n: 0.0,
        },
        motor: MotorSpec {
            torque_constant: 0.35,
            continuous_current: 3.0,
            peak_current: 9.0,
            current_lag: 0.6e-3,
            resistance: 3.0,
            brake_inductance: 0.030,
            bus_voltage: 325.0,
            thermal_time: 30.0,
            encoder_lines: 2000,
        },
        limits: MotionLimits { speed: 2.0 * RADIUS, acceleration: 8.0 * RADIUS, jerk: 80.0 * RADIUS },
        control: ControlSpec {
            velocity_steps: 5,
            position_steps: 20,
            kp: 0.030,
            tn: 0.030,
            kv: 25.0,
            kff: 0.5,
            velocity_filter: 0.5e-3,
            feedback: FeedbackSource::Scale,
        },
        // One mark on the turn and no switch; 380 mm are a turn and a little more.
        home: HomeSpec {
            switch_at: -0.9 * NOWHERE,
            switch_hysteresis: 0.8e-3,
            mark_at: 0.0,
            approach_speed: 0.3 * RADIUS,
            back_off_speed: 0.3 * RADIUS,
            creep_speed: 0.05 * RADIUS,
            mark_within: 0.38,
        },
        following: FollowingSpec {
            style: FollowingStyle::Model,
            moving_band: 15e-3 * RADIUS,
            still_band: 2e-3 * RADIUS,
            mismatch: 1e-3 * RADIUS,
        },
        brake: Some(BrakeSpec { side: BrakeSide::Table, holding: 400.0 / RADIUS, close_delay: 0.15, open_delay: 0.15 }),
        reference: ReferenceScheme::MarkPerTurn,
        endless: true,
    }
}
