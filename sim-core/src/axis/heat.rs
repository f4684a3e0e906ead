//! Heat: the screw and the scale grow, the motor's winding warms.
//!
//! One store of heat each: `C dT/dt = P - G (T - T_amb)`, stepped exactly for constant power. Lengths hold at 20 C (ISO 1).

use serde::{Deserialize, Serialize};

use crate::axis::machine::MotorSpec;

/// Temperature at which lengths hold, C (ISO 1).
pub const REFERENCE_C: f64 = 20.0;
/// Expansion of steel, 1/K, 11e-6..12e-6 (handbook value, from memory).
pub const STEEL_EXPANSION: f64 = 11.5e-6;
/// Expansion of scale glass, 1/K, 7.5e-6..9e-6 (handbook value, from memory).
pub const GLASS_EXPANSION: f64 = 8e-6;

/// A body that stores heat and gives it to its surroundings.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct HeatParams {
    /// Heat given away per kelvin `G`, W/K, above 0.
    pub conductance: f64,
    /// Time constant `C/G`, s; 1200..4000 for a screw.
    pub time: f64,
    /// Temperature around it, C.
    pub ambient_c: f64,
}

impl HeatParams {
    /// A motor by its rated point: at the continuous current the winding ends `rise_k` above its surroundings (own value
    /// for the presets: 85 K, 900 s), so `G = R i_n^2/rise`.
    #[must_use]
    pub fn winding(motor: &MotorSpec, rise_k: f64, time: f64, ambient_c: f64) -> Self {
        let loss = copper_loss(motor.resistance, motor.continuous_current);
        Self { conductance: loss / rise_k, time, ambient_c }
    }
}

/// State of the body.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct Heat {
    /// Above its surroundings, K.
    pub rise_k: f64,
}

impl Heat {
    /// Goes on by `h` s with `power_w` W of loss: `rise += (P/G - rise)(1 - exp(-h/tau))`.
    pub fn step(&mut self, p: &HeatParams, power_w: f64, h: f64) {
        self.rise_k += (power_w / p.conductance - self.rise_k) * (1.0 - libm::exp(-h / p.time));
    }

    /// Temperature, C.
    #[must_use]
    pub fn temperature_c(&self, p: &HeatParams) -> f64 {
        p.ambient_c + self.rise_k
    }
}

/// Loss in the winding, W, as d.c. equivalent: `R i^2`.
#[must_use]
pub fn copper_loss(resistance: f64, current: f64) -> f64 {
    resistance * current * current
}

/// Loss in guide and screw, W: dry forces times their speeds, `|F v| + |T omega|`.
#[must_use]
pub fn friction_loss(guide_n: f64, v: f64, motor_nm: f64, omega: f64) -> f64 {
    (guide_n * v).abs() + (motor_nm * omega).abs()
}

/// Growth per length, m/m, of a part at `temperature_c` with expansion `alpha` 1/K.
#[must_use]
pub fn growth(alpha: f64, temperature_c: f64) -> f64 {
    alpha * (temperature_c - REFERENCE_C)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::axis::machine::MachineId;

    fn near(value: f64, expected: f64) {
        assert!((value - expected).abs() <= 1e-3 * expected.abs(), "{value} is not {expected}");
    }

    // Source: expansion of steel and glass (handbook values, from memory), length times kelvin.
    #[test]
    fn axis_v39_screw_and_scale_grow_apart() {
        let um = |alpha| 1e6 * growth(alpha, 30.0);
        near(um(STEEL_EXPANSION), 115.0);
        near(um(GLASS_EXPANSION), 80.0);
        near(um(STEEL_EXPANSION) - um(GLASS_EXPANSION), 35.0);
    }

    // Source: closed form P/G (1 - exp(-t/tau)).
    #[test]
    fn axis_v40_screw_warms_and_grows() {
        let p = HeatParams { conductance: 5.0, time: 2400.0, ambient_c: 20.0 };
        for h in [1800.0f64, 5e-3] {
            let mut s = Heat::default();
            for _ in 0..(1800.0 / h).round() as u32 {
                s.step(&p, 60.0, h);
            }
            near(s.rise_k, 6.332);
            near(0.35 * growth(STEEL_EXPANSION, s.temperature_c(&p)), 25.48e-6);
        }
    }

    // Source: definition of the rated point; power balance.
    #[test]
    fn winding_ends_at_its_rated_rise() {
        let motor = MachineId::MillX.spec().motor;
        let p = HeatParams::winding(&motor, 85.0, 900.0, 25.0);
        let mut s = Heat::default();
        for _ in 0..20_000 {
            s.step(&p, copper_loss(motor.resistance, 4.0), 1.0);
        }
        near(s.temperature_c(&p), 110.0);
        near(friction_loss(-140.0, 0.2, 0.08, -251.3), 28.0 + 20.1);
    }
}
