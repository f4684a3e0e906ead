//! D.c. bus of the drive: a weak mains lets it sag at speed.

use serde::{Deserialize, Serialize};

/// The bus and its mains.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct BusParams {
    /// Voltage at rest, V, 325 or 650.
    pub nominal: f64,
    /// Share lost at the highest speed, 0..1; 0 is healthy. Own simplification: in proportion to speed.
    pub sag: f64,
    /// Highest speed of the machine, m/s.
    pub v_max: f64,
}

impl BusParams {
    /// Voltage, V, at `v` m/s: `U_0 (1 - sag |v|/v_max)`, never below 0.
    #[must_use]
    pub fn voltage(&self, v: f64) -> f64 {
        (self.nominal * (1.0 - self.sag * v.abs() / self.v_max)).max(0.0)
    }
}

/// Share of torque left when the drive's idea of the rotor is off by `angle_rad` electrical radians: its cosine; beyond a
/// quarter turn the torque is reversed. To be put into [`PlantParams::commutation`](super::plant::PlantParams::commutation).
#[must_use]
pub fn commutation_share(angle_rad: f64) -> f64 {
    crate::num::math::cos(angle_rad)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::axis::machine::MachineId;
    use crate::axis::plant::{Plant, PlantParams};

    // Source: by hand, (U/2 - ke omega)/R with the usable half of the bus.
    #[test]
    fn a_sagging_bus_takes_current_only_at_speed() {
        let m = MachineId::RouterGantryX.spec();
        let bus = BusParams { nominal: m.motor.bus_voltage, sag: 0.5, v_max: m.limits.speed };
        assert_eq!((bus.voltage(0.0), bus.voltage(-0.8), bus.voltage(10.0)), (650.0, 325.0, 0.0));
        let at = |v: f64| PlantParams { bus_voltage: bus.voltage(v), ..PlantParams::from_spec(&m) };
        assert_eq!(at(0.1).current_limit(5.0, 0.1 / 2e-3), 18.0);
        // 0.5 x 325 - 0.7 x 400 is below zero: nothing can be driven, braking still can.
        assert_eq!(at(0.8).current_limit(5.0, 400.0), 0.0);
        assert_eq!(at(0.8).current_limit(-5.0, 400.0), 18.0);
    }

    // Source: torque of a synchronous machine, cosine of the angle; the current needed is 1/cos as large.
    #[test]
    fn a_commutation_error_costs_current() {
        let m = MachineId::MillX.spec();
        let share = commutation_share(60.0f64.to_radians());
        assert!((share - 0.5).abs() < 1e-12);
        let p = PlantParams { stops: [-100.0, 100.0], commutation: share, ..PlantParams::from_spec(&m) };
        let mut s = Plant { x: -90.0, v: 0.05, current: 2.0 * 0.4394 };
        for _ in 0..200_000 {
            s.step(&p, Some(2.0 * 0.4394), 50e-6);
        }
        assert!((s.v - 0.05).abs() < 1e-3, "{}", s.v);
        assert!(commutation_share(100.0f64.to_radians()) < 0.0);
    }
}
