//! A stop on the path that takes too long becomes torque off.
//!
//! Allowed: `1.5 v/a + 0.1 s`, and for the path `2 a/j` besides, because a jerk-limited path first has to end its own
//! acceleration; it gets faster by up to `a^2/(2 j)` meanwhile.

use serde::{Deserialize, Serialize};

use crate::axis::profile::MotionLimits;

/// Slower than this is standstill, m/s (as the drive judges it).
const STANDSTILL: f64 = 1e-3;

/// The watch over a stop.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct StopWatch {
    /// Time left, s; `None` where nothing is being stopped.
    left: Option<f64>,
}

impl StopWatch {
    /// A stop on the path begins at a speed, m/s; one that runs already keeps its time.
    pub fn begin(&mut self, speed: f64, limits: &MotionLimits) {
        let (a, j) = (limits.acceleration, limits.jerk);
        let fastest = speed.abs() + 0.5 * a * a / j;
        self.left = self.left.or(Some(1.5 * fastest / a + 0.1 + 2.0 * a / j));
    }

    /// One step of `dt` s at a speed, m/s, with the axis still being led along its path or not: true once, when the
    /// time is over.
    pub fn step(&mut self, led: bool, speed: f64, dt: f64) -> bool {
        let Some(left) = self.left else { return false };
        if !led {
            self.left = None;
            return false;
        }
        self.left = Some(left - dt);
        let over = left <= dt;
        if over {
            self.left = None;
        }
        over && speed.abs() > STANDSTILL
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // Source: axis model, section 4, with the path's own acceleration; by hand: 0.2 m/s, 2 m/s^2, 20 m/s^3.
    #[test]
    fn the_time_is_one_and_a_half_stops_and_the_end_of_the_acceleration() {
        let limits = MotionLimits { speed: 0.8, acceleration: 2.0, jerk: 20.0 };
        let over_after = |speed: f64| {
            let mut watch = StopWatch::default();
            watch.begin(0.2, &limits);
            (1..20_000_u32).find(|_| watch.step(true, speed, 50e-6)).map(|n| f64::from(n) * 50e-6)
        };
        // 1.5 (0.2 + 0.1)/2 + 0.1 + 0.2 s.
        assert!(over_after(0.1).is_some_and(|s| (s - 0.525).abs() < 1e-3), "{:?}", over_after(0.1));
        assert_eq!(over_after(0.5e-3), None);
    }
}
