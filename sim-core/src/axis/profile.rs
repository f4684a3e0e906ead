//! Paths in closed form: constant-jerk segments evaluated at a time, so nothing adds up.
//!
//! Point-to-point: the symmetric seven-segment S-curve and the trapezoid (Biagiotti and Melchiorri
//! 2008). Speed changes: the three-segment ramp between two speeds, used by jog and stop.

use serde::{Deserialize, Serialize};

/// Limits a path keeps, all above 0.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct MotionLimits {
    /// Highest speed, m/s, 0.1..1 is usual.
    pub speed: f64,
    /// Highest acceleration, m/s^2, 1..5.
    pub acceleration: f64,
    /// Highest jerk, m/s^3, 10..100.
    pub jerk: f64,
}

/// A stretch of time with one jerk.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct Segment {
    /// How long it lasts, s, at least 0; a stretch of no length is skipped.
    pub duration: f64,
    /// Acceleration at its start, m/s^2.
    pub acceleration: f64,
    /// Its jerk, m/s^3.
    pub jerk: f64,
}

/// Place, speed and acceleration at one time.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct PathPoint {
    /// Place, m.
    pub x: f64,
    /// Speed, m/s.
    pub v: f64,
    /// Acceleration, m/s^2.
    pub a: f64,
}

/// A path: up to seven segments from a starting point, then its final speed for ever.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Path {
    start: PathPoint,
    segments: [Segment; 7],
    duration: f64,
    end_x: f64,
    end_v: f64,
}

impl Path {
    fn new(start: PathPoint, segments: [Segment; 7], end_x: Option<f64>, end_v: f64) -> Self {
        let duration = segments.iter().map(|s| s.duration).sum();
        let mut path = Self { start, segments, duration, end_x: 0.0, end_v };
        path.end_x = end_x.unwrap_or_else(|| path.inside(duration).x);
        path
    }

    /// S-curve from rest at `from` to rest at `to`, m.
    #[must_use]
    pub fn s_curve(from: f64, to: f64, limits: &MotionLimits) -> Self {
        let (v, a, j) = (limits.speed, limits.acceleration, limits.jerk);
        let distance = (to - from).abs();
        let sign = if to < from { -1.0 } else { 1.0 };
        // Jerk time and acceleration time that reach v.
        let (jerk_v, acc_v) = if v * j >= a * a { (a / j, a / j + v / a) } else { equal(libm::sqrt(v / j)) };
        let (jerk_time, acc_time, cruise) = if distance >= v * acc_v {
            (jerk_v, acc_v, distance / v - acc_v)
        } else if distance >= 2.0 * a * a * a / (j * j) {
            let t_j = a / j;
            (t_j, 0.5 * (t_j + libm::sqrt(t_j * t_j + 4.0 * distance / a)), 0.0)
        } else {
            let (t_j, t_a) = equal(libm::cbrt(distance / (2.0 * j)));
            (t_j, t_a, 0.0)
        };
        let peak = j * jerk_time;
        let flat = (acc_time - 2.0 * jerk_time).max(0.0);
        let seg = |duration, acceleration: f64, jerk: f64| Segment {
            duration,
            acceleration: sign * acceleration,
            jerk: sign * jerk,
        };
        let segments = [
            seg(jerk_time, 0.0, j),
            seg(flat, peak, 0.0),
            seg(jerk_time, peak, -j),
            seg(cruise, 0.0, 0.0),
            seg(jerk_time, 0.0, -j),
            seg(flat, -peak, 0.0),
            seg(jerk_time, -peak, j),
        ];
        Self::new(PathPoint { x: from, v: 0.0, a: 0.0 }, segments, Some(to), 0.0)
    }

    /// Trapezoid of speed from rest at `from` to rest at `to`, m; the jerk limit is not used.
    #[must_use]
    pub fn trapezoid(from: f64, to: f64, limits: &MotionLimits) -> Self {
        let (v, a) = (limits.speed, limits.acceleration);
        let distance = (to - from).abs();
        let sign = if to < from { -1.0 } else { 1.0 };
        let (ramp, cruise) =
            if distance >= v * v / a { (v / a, distance / v - v / a) } else { (libm::sqrt(distance / a), 0.0) };
        let mut segments = [Segment::default(); 7];
        segments[0] = Segment { duration: ramp, acceleration: sign * a, jerk: 0.0 };
        segments[1] = Segment { duration: cruise, acceleration: 0.0, jerk: 0.0 };
        segments[2] = Segment { duration: ramp, acceleration: -sign * a, jerk: 0.0 };
        Self::new(PathPoint { x: from, v: 0.0, a: 0.0 }, segments, Some(to), 0.0)
    }

    /// Ramp from any point to the constant speed `to_speed`, m/s, in the shortest time: the
    /// acceleration goes to a peak, stays there if the limit asks for it, and comes back to zero.
    /// The area under it is `(peak^2 - a0^2)/(2 j) + peak t_flat + peak^2/(2 j)`.
    #[must_use]
    pub fn ramp(start: PathPoint, to_speed: f64, limits: &MotionLimits) -> Self {
        let j = limits.jerk;
        let change = to_speed - start.v;
        // What is gained by only bringing the present acceleration back to zero.
        let coast = start.a * start.a.abs() / (2.0 * j);
        let sign = if change < coast { -1.0 } else { 1.0 };
        let (a0, dv) = (sign * start.a, sign * change);
        let free_peak = libm::sqrt((j * dv + 0.5 * a0 * a0).max(0.0));
        let top = limits.acceleration.max(a0);
        let (peak, flat) = if free_peak > top {
            (top, (dv - (2.0 * top * top - a0 * a0) / (2.0 * j)) / top)
        } else {
            (free_peak, 0.0)
        };
        let mut segments = [Segment::default(); 7];
        segments[0] = Segment { duration: ((peak - a0) / j).max(0.0), acceleration: start.a, jerk: sign * j };
        segments[1] = Segment { duration: flat.max(0.0), acceleration: sign * peak, jerk: 0.0 };
        segments[2] = Segment { duration: peak / j, acceleration: sign * peak, jerk: -sign * j };
        Self::new(start, segments, None, to_speed)
    }

    /// Ramp between two speeds with constant acceleration, no jerk limit.
    #[must_use]
    pub fn plain_ramp(start: PathPoint, to_speed: f64, limits: &MotionLimits) -> Self {
        let change = to_speed - start.v;
        let a = if change < 0.0 { -limits.acceleration } else { limits.acceleration };
        let mut segments = [Segment::default(); 7];
        segments[0] = Segment { duration: change / a, acceleration: a, jerk: 0.0 };
        Self::new(PathPoint { a: 0.0, ..start }, segments, None, to_speed)
    }

    /// Time from the start to the final speed, s.
    #[must_use]
    pub fn duration(&self) -> f64 {
        self.duration
    }

    /// Place at the end of the last segment, m.
    #[must_use]
    pub fn end_x(&self) -> f64 {
        self.end_x
    }

    /// Speed after the last segment, m/s.
    #[must_use]
    pub fn end_v(&self) -> f64 {
        self.end_v
    }

    /// Moves the whole path by `dx` m (the origin of the axis was set anew).
    pub fn shift(&mut self, dx: f64) {
        self.start.x += dx;
        self.end_x += dx;
    }

    /// The point at time `t` s after the start. From the end on: exactly the end, or onwards from
    /// it at the final speed.
    #[must_use]
    pub fn at(&self, t: f64) -> PathPoint {
        if t >= self.duration {
            let past = t - self.duration;
            return PathPoint { x: self.end_x + self.end_v * past, v: self.end_v, a: 0.0 };
        }
        self.inside(t)
    }

    fn inside(&self, t: f64) -> PathPoint {
        let mut p = self.start;
        let mut left = t;
        for s in &self.segments {
            // A segment of no length is skipped, it does not end the walk: short moves have them
            // in the middle.
            if s.duration <= 0.0 {
                continue;
            }
            if left <= 0.0 {
                break;
            }
            let d = left.min(s.duration);
            p.x += d * (p.v + d * (0.5 * s.acceleration + d * s.jerk / 6.0));
            p.v += d * (s.acceleration + 0.5 * d * s.jerk);
            p.a = s.acceleration + d * s.jerk;
            left -= d;
        }
        p
    }
}

fn equal(jerk_time: f64) -> (f64, f64) {
    (jerk_time, 2.0 * jerk_time)
}

/// Way to standstill, m, from `v` m/s with constant deceleration `a` after `react` s.
#[must_use]
pub fn stop_distance(v: f64, a: f64, react: f64) -> f64 {
    v * v / (2.0 * a) + v.abs() * react
}

#[cfg(test)]
#[path = "profile_tests.rs"]
mod tests;
