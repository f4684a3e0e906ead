//! The home switch: hysteresis of its dog, delay of its contact, scatter of its edge.
//!
//! Released edge at `x_sw + h_sw + v t_d + noise(sigma)`, pressed edge at `x_sw - v t_d` (axis
//! model, homing; ranges common practice). Delay and scatter of a healthy switch are below what
//! the mark corrects and are left out, so that healthy runs repeat to the bit.

use crate::axis::machine::HomeSpec;
use crate::num::math::erf;
use crate::num::random::Stream;
use serde::{Deserialize, Serialize};
use std::f64::consts::SQRT_2;

/// How a switch answers its dog.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct SwitchParams {
    /// Standard deviation of the place of each edge, m, 0 to 1e-3.
    pub scatter_m: f64,
    /// Delay of the contact `t_d`, s, 0 to 0.1.
    pub delay_s: f64,
}

/// The home switch.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct HomeSwitch {
    /// What the contact reads.
    pub pressed: bool,
    /// What the dog does; `None` where it is as the contact says.
    #[serde(default)]
    dog: Option<bool>,
    /// Time for which the contact has not followed, ns.
    #[serde(default)]
    late_ns: u64,
    /// Scatter of the coming edge, standard deviations.
    #[serde(default)]
    deviate: f64,
    /// Where the scatter comes from; without it there is none.
    #[serde(default)]
    noise: Option<Stream>,
}

impl HomeSwitch {
    /// A switch with its own stream of scatter.
    #[must_use]
    pub fn with_noise(mut noise: Stream) -> Self {
        let deviate = noise.normal();
        Self { noise: Some(noise), deviate, ..Self::default() }
    }

    /// The same switch, its dog not yet looked at: as after switching on.
    #[must_use]
    pub fn fresh(&self) -> Self {
        Self { noise: self.noise.clone(), deviate: self.deviate, ..Self::default() }
    }

    /// Takes the true place of the axis, m, after `dt` s: pressed below `switch_at`, released from
    /// `switch_at + switch_hysteresis` on, kept between; the contact follows after its delay.
    pub fn step(&mut self, home: &HomeSpec, p: &SwitchParams, x: f64, dt: f64) -> bool {
        let was = self.dog.unwrap_or(self.pressed);
        let edge = home.switch_at + p.scatter_m * self.deviate;
        let dog = if x < edge {
            true
        } else if x > edge + home.switch_hysteresis {
            false
        } else {
            was
        };
        if dog != was
            && let Some(noise) = &mut self.noise
        {
            self.deviate = noise.normal();
        }
        self.dog = Some(dog);
        if dog == self.pressed {
            self.late_ns = 0;
        } else if self.late_ns >= nanoseconds(p.delay_s) {
            self.pressed = dog;
            self.late_ns = 0;
        } else {
            self.late_ns += nanoseconds(dt);
        }
        self.pressed
    }
}

fn nanoseconds(seconds: f64) -> u64 {
    libm::round(seconds * 1e9) as u64
}

/// Chance that the mark next to the right one is taken: `Phi(-d/sigma) + Phi(-(P - d)/sigma)`, with
/// the mark `distance` m behind the released edge, marks `spacing` m apart and an edge that scatters
/// by `sigma` m (axis model, homing).
#[must_use]
pub fn wrong_mark_chance(distance: f64, spacing: f64, sigma: f64) -> f64 {
    let phi = |u: f64| 0.5 * (1.0 + erf(u / SQRT_2));
    phi(-distance / sigma) + phi(-(spacing - distance) / sigma)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::axis::machine::MachineId;

    const STEP: f64 = 50e-6;

    fn home() -> HomeSpec {
        MachineId::MillX.spec().home
    }

    #[test]
    fn switch_has_a_pressed_and_a_released_edge() {
        let home = home();
        let mut s = HomeSwitch::default();
        let p = SwitchParams::default();
        let seen: Vec<bool> =
            [0.0, -0.0095, -0.0101, -0.0095, -0.0091].iter().map(|&x| s.step(&home, &p, x, STEP)).collect();
        assert_eq!(seen, [false, false, true, true, false]);
    }

    /// Where the contact opens when the dog leaves it at a speed, m from the place of the dog's edge.
    fn released_at(s: &mut HomeSwitch, p: &SwitchParams, v: f64) -> f64 {
        let home = home();
        let from = home.switch_at - 1e-3;
        let mut x = from;
        // The dog comes back onto the switch and stays until the contact has followed.
        for _ in 0..400 {
            s.step(&home, p, x, STEP);
        }
        while s.step(&home, p, x, STEP) {
            x += v * STEP;
        }
        x - home.switch_at - home.switch_hysteresis
    }

    // Source: axis specification, closed form and drawing (400 000 draws).
    #[test]
    fn axis_v42_mark_too_near_the_switch() {
        let (d, sigma, spacing) = (0.15e-3, 0.05e-3, 20e-3);
        let closed = wrong_mark_chance(d, spacing, sigma);
        assert!((closed - 1.35e-3).abs() < 0.005e-3, "{closed}");
        let drifted = wrong_mark_chance(d - 0.2e-3, spacing, sigma);
        assert!((drifted - 0.841).abs() < 0.0005, "{drifted}");
        let mut draws = Stream::named(42, "home switch");
        let n = 400_000;
        let mut wrong = |d: f64| {
            let missed = |edge: f64| edge > d || edge < d - spacing;
            f64::from((0..n).filter(|_| missed(sigma * draws.normal())).count() as u32) / f64::from(n)
        };
        for (drawn, closed) in [(wrong(d), closed), (wrong(d - 0.2e-3), drifted)] {
            let error = (closed * (1.0 - closed) / f64::from(n)).sqrt();
            assert!((drawn - closed).abs() < 4.0 * error, "{drawn} {closed}");
        }
        // The edge moves by (6 - 2) mm/s x 8 ms when the creep speed is changed.
        let p = SwitchParams { delay_s: 8e-3, ..SwitchParams::default() };
        let at = |v: f64| released_at(&mut HomeSwitch::default(), &p, v);
        let moved = at(6e-3) - at(2e-3);
        assert!((moved - 32e-6).abs() < 0.5e-6, "{moved}");
    }

    // Source: the scatter that was asked for; the sample deviation of 400 edges has 3.5 % of error.
    #[test]
    fn edges_scatter_as_stated() {
        let sigma = 0.2e-3;
        let p = SwitchParams { scatter_m: sigma, ..SwitchParams::default() };
        let mut s = HomeSwitch::with_noise(Stream::named(3, "home switch"));
        let edges: Vec<f64> = (0..400).map(|_| released_at(&mut s, &p, 0.05)).collect();
        let mean = edges.iter().sum::<f64>() / 400.0;
        let deviation = (edges.iter().map(|e| (e - mean) * (e - mean)).sum::<f64>() / 399.0).sqrt();
        assert!((deviation / sigma - 1.0).abs() < 0.15 && mean.abs() < 0.05e-3, "{deviation} {mean}");
    }
}
