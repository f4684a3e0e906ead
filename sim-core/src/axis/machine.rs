//! The machines of the bench: what each is made of and how it was commissioned.
//!
//! All values are our own fiction (Pell Harbour Joinery and its training room); the ranges are
//! common practice. x = 0 is the machine zero, which is also the reference mark; the home switch is
//! pressed below -10 mm and the hard stops stand 30 mm outside the travel.

mod mill_x;
mod mill_z;
pub mod rotary_table;
mod router_gantry_x;
mod router_gantry_z;
mod teaching_rail;

use serde::{Deserialize, Serialize};

use crate::axis::friction::StribeckParams;
use crate::axis::profile::MotionLimits;

/// Which machine stands on the bench.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum MachineId {
    /// Light rail of 0.6 m with a coarse tape one can see with the naked eye.
    TeachingRail,
    /// Long axis of the router gantry: rack and pinion, 3.2 m, dust.
    RouterGantryX,
    /// Table of the small mill: screw, 0.5 m.
    MillX,
    /// Hanging head of the small mill: screw, 0.35 m, brake.
    MillZ,
    /// Spindle lift of the router gantry: screw, 0.45 m, brake, absolute motor encoder, no scale.
    RouterGantryZ,
    /// Rotary table: worm, ring encoder on the table, clamp. Works in arc length, 1 mm is 1 degree.
    RotaryTable,
}

impl MachineId {
    /// Every machine.
    pub const ALL: [Self; 6] =
        [Self::TeachingRail, Self::RouterGantryX, Self::MillX, Self::MillZ, Self::RouterGantryZ, Self::RotaryTable];

    /// The healthy, commissioned machine.
    #[must_use]
    pub fn spec(self) -> MachineSpec {
        match self {
            Self::TeachingRail => teaching_rail::spec(),
            Self::RouterGantryX => router_gantry_x::spec(),
            Self::MillX => mill_x::spec(),
            Self::MillZ => mill_z::spec(),
            Self::RouterGantryZ => router_gantry_z::spec(),
            Self::RotaryTable => rotary_table::spec(),
        }
    }
}

/// Where the position loop takes its place from. Speed always comes from the motor encoder.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum FeedbackSource {
    /// Motor encoder: blind to everything behind the motor.
    Motor,
    /// Scale on the machine.
    Scale,
}

/// How the following monitor judges.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum FollowingStyle {
    /// Against the error expected from the stored gains.
    Model,
    /// Against one fixed limit.
    Fixed,
}

/// One machine axis, SI throughout.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct MachineSpec {
    /// Usable travel from the machine zero, m.
    pub travel: f64,
    /// Everything that moves and what holds it back.
    pub mechanics: MechanicsSpec,
    /// Motor and drive.
    pub motor: MotorSpec,
    /// Speed, acceleration and jerk limits.
    pub limits: MotionLimits,
    /// Loop periods, gains, filters.
    pub control: ControlSpec,
    /// Home switch and reference mark.
    pub home: HomeSpec,
    /// Following monitor.
    pub following: FollowingSpec,
    /// Holding brake or clamp, if it has one.
    pub brake: Option<BrakeSpec>,
    /// What the machine carries to find its zero.
    pub reference: ReferenceScheme,
    /// Turns for ever: no stops, no end of travel; `travel` is one turn.
    pub endless: bool,
}

/// Which side of the drive a brake holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum BrakeSide {
    /// The motor's shaft: a torque, N m.
    Motor,
    /// The table: a force, N.
    Table,
}

/// Holding brake or clamp.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct BrakeSpec {
    /// Where it sits.
    pub side: BrakeSide,
    /// What it holds `T_B`, N m at the motor or N at the table.
    pub holding: f64,
    /// Closing delay `t_B`, s, 0.02..0.15.
    pub close_delay: f64,
    /// Opening delay, s, 0.05..0.15.
    pub open_delay: f64,
}

/// What a machine carries to find its zero.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", tag = "reference")]
pub enum ReferenceScheme {
    /// Switch at the negative end and marks this far apart, m; the first one after the switch counts.
    SwitchAndMark {
        /// Distance of the marks, m.
        mark_spacing: f64,
    },
    /// Distance-coded marks: every second one fixed, the others shifted by a growing step.
    DistanceCoded {
        /// Distance of the fixed marks `G`, m.
        spacing: f64,
        /// Step `D`, whole signal periods, m.
        step: f64,
    },
    /// The encoder knows its place at switch-on.
    Absolute,
    /// One mark on the turn, no switch: run on until it comes.
    MarkPerTurn,
}

/// Masses, guides, stops.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct MechanicsSpec {
    /// Table travel per radian of the motor `r`, m/rad, 0.8e-3..3e-3.
    pub ratio: f64,
    /// Motor-side inertia `J`, kg m^2.
    pub inertia: f64,
    /// Table mass `M`, kg, 20..500.
    pub table_mass: f64,
    /// Drive stiffness `k`, N/m, 1e7..3e8; kept for the two-mass plant, not used by the rigid one.
    pub stiffness: f64,
    /// Drive damping `c`, N s/m; as `stiffness`.
    pub damping: f64,
    /// Backlash `b`, full dead zone, m, 0..100e-6; as `stiffness`.
    pub backlash: f64,
    /// Dry friction of the guide.
    pub guide: StribeckParams,
    /// Drag of wipers and covers `F_w`, N, 10..100.
    pub wiper_n: f64,
    /// Viscous drag of the guide `b_x`, N s/m, 100..2000.
    pub guide_viscous: f64,
    /// Dry torque on the motor side `T_cm`, N m, 0.03..0.3.
    pub motor_dry_nm: f64,
    /// Viscous torque on the motor side `b_m`, N m s/rad, 1e-5..5e-4.
    pub motor_viscous: f64,
    /// Hard stop at the negative end, m.
    pub stop_low: f64,
    /// Hard stop at the positive end, m.
    pub stop_high: f64,
    /// End-stop stiffness `k_e`, N/m, 1e6..1e7.
    pub stop_stiffness: f64,
    /// End-stop damping `c_e`, N s/m, 3e3..1e4.
    pub stop_damping: f64,
    /// Angle to the horizontal `gamma`, rad: 0 lying, pi/2 hanging.
    pub incline: f64,
    /// Counterbalance `F_cb`, N, upwards, 0..0.9 of the weight.
    pub counterbalance_n: f64,
}

/// Standard acceleration of free fall, m/s^2 (exact by definition).
pub const FREE_FALL: f64 = 9.80665;

impl MechanicsSpec {
    /// Mass of the whole axis as one rigid body seen at the table, kg: `M + J/r^2`.
    #[must_use]
    pub fn rigid_mass(&self) -> f64 {
        self.table_mass + self.inertia / (self.ratio * self.ratio)
    }

    /// Weight and counterbalance together on the table, N, negative is down: `F_cb - M g sin(gamma)`.
    #[must_use]
    pub fn hanging_n(&self) -> f64 {
        if self.incline == 0.0 {
            return 0.0;
        }
        self.counterbalance_n - self.table_mass * FREE_FALL * libm::sin(self.incline)
    }

    /// Torque that holds the table against its weight, N m at the motor.
    #[must_use]
    pub fn holding_torque(&self) -> f64 {
        -self.hanging_n() * self.ratio
    }

    /// Inertia of the whole axis seen at the motor, kg m^2: `J + M r^2`.
    #[must_use]
    pub fn motor_side_inertia(&self) -> f64 {
        self.inertia + self.table_mass * self.ratio * self.ratio
    }
}

/// Motor and drive.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct MotorSpec {
    /// Torque constant `kt = ke`, N m/A (V s/rad), 0.2..1.5.
    pub torque_constant: f64,
    /// Continuous current `i_n`, A, 2..10.
    pub continuous_current: f64,
    /// Peak current `i_max`, A, 2..4 times continuous.
    pub peak_current: f64,
    /// Current-loop lag `tau_i`, s, 0.3e-3..1e-3.
    pub current_lag: f64,
    /// Winding resistance `R_a`, d.c. equivalent, also the braking resistance, ohm, 0.5..5.
    pub resistance: f64,
    /// Pole pairs times inductance `p L`, H: sets the speed of strongest dynamic braking.
    pub brake_inductance: f64,
    /// Bus voltage `U_bus`, V.
    pub bus_voltage: f64,
    /// Thermal time constant `tau_th`, s, 20..60.
    pub thermal_time: f64,
    /// Lines per turn of the motor encoder; four counts each.
    pub encoder_lines: u32,
}

/// Loop periods, gains, filters.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct ControlSpec {
    /// Velocity-loop period `Tv` in physics steps of 50 us, at least 1.
    pub velocity_steps: u32,
    /// Position-loop period `Tp` in physics steps, a multiple of the velocity period.
    pub position_steps: u32,
    /// Velocity gain `Kp`, N m s/rad.
    pub kp: f64,
    /// Integral time `Tn`, s, 0.01..0.05.
    pub tn: f64,
    /// Position gain `Kv`, 1/s, 10..100.
    pub kv: f64,
    /// Velocity feed-forward `kff`, 0..1.
    pub kff: f64,
    /// Filter of the velocity estimate `tau_v`, s, 0.2e-3..2e-3.
    pub velocity_filter: f64,
    /// Where the position loop takes its place from.
    pub feedback: FeedbackSource,
}

/// Home switch (negative end) and reference mark.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct HomeSpec {
    /// The switch is pressed below this place, m.
    pub switch_at: f64,
    /// It is released again this much further up, m, 0.2e-3..1.5e-3.
    pub switch_hysteresis: f64,
    /// Place of the reference mark, m; the machine zero.
    pub mark_at: f64,
    /// Speed towards the switch `v_1`, m/s, 0.02..0.1.
    pub approach_speed: f64,
    /// Speed off the switch `v_2`, m/s.
    pub back_off_speed: f64,
    /// Speed towards the mark `v_c`, m/s, 1e-3..20e-3.
    pub creep_speed: f64,
    /// Way after the switch within which the mark must come, m.
    pub mark_within: f64,
}

/// Limits of the following monitor.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct FollowingSpec {
    /// How it judges while moving.
    pub style: FollowingStyle,
    /// Band while moving, m: of `|e - e_exp|` (Model) or of `|e|` (Fixed).
    pub moving_band: f64,
    /// Band at standstill, m, of `|e|`.
    pub still_band: f64,
    /// Limit of the difference between scale and motor encoder, m.
    pub mismatch: f64,
}

#[cfg(test)]
mod tests {
    use super::*;

    // Source: J/r^2 seen at the table (any text on drives); masses of the preset table.
    #[test]
    fn rigid_mass_of_the_presets() {
        let mass = |id: MachineId| id.spec().mechanics.rigid_mass();
        assert!((mass(MachineId::RouterGantryX) - 330.0).abs() < 1e-9);
        assert!((mass(MachineId::MillX) - 998.5).abs() < 0.1);
        assert!((mass(MachineId::TeachingRail) - 95.0).abs() < 1e-9);
    }

    // Velocity gain over inertia 60..400 1/s: common practice; periods are whole multiples.
    #[test]
    fn every_machine_is_sanely_commissioned() {
        for id in MachineId::ALL {
            let m = id.spec();
            let stiffness = m.control.kp / m.mechanics.motor_side_inertia();
            assert!((60.0..400.0).contains(&stiffness), "{id:?} {stiffness}");
            assert_eq!(m.control.position_steps % m.control.velocity_steps, 0);
            assert!(m.mechanics.stop_low < m.home.switch_at && m.home.switch_at < m.home.mark_at);
            assert!(m.mechanics.stop_high > m.travel);
            assert!(m.mechanics.guide.breakaway_n >= m.mechanics.guide.sliding_n);
        }
    }

    // Source: n = v / (2 pi r) (validation row V54, last figure).
    #[test]
    fn axis_v54_motor_speed_of_the_mill_at_rapid() {
        let m = MachineId::MillX.spec();
        let rpm = m.limits.speed / m.mechanics.ratio * 60.0 / (2.0 * core::f64::consts::PI);
        assert!((rpm - 3000.0).abs() < 3.0, "{rpm}");
    }

    #[test]
    fn ids_are_written_in_kebab_case() {
        assert_eq!(serde_json::to_string(&MachineId::RouterGantryX).unwrap(), "\"router-gantry-x\"");
    }
}
