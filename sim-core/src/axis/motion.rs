//! Commanded path: jog, move, shuttle, stop; at rest it holds.
//!
//! Every command becomes a closed-form [`Path`]; the commanded place is read off it at the tick, so
//! it lands exactly on its target, and a stop ends with a commanded speed of exactly zero.

use serde::{Deserialize, Serialize};
use thiserror::Error;

use crate::axis::profile::{MotionLimits, Path, PathPoint};

/// What the motion can be told.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", tag = "motion")]
pub enum MotionCommand {
    /// Run at a signed speed, m/s, until told otherwise; 0 is a stop.
    Jog {
        /// Signed speed, m/s, within the speed limit.
        speed: f64,
    },
    /// Go to a place and stay.
    MoveTo {
        /// Target, m.
        target: f64,
        /// Speed, m/s, above 0, within the speed limit.
        speed: f64,
    },
    /// Go to and fro between two places until told otherwise; starts with `from`.
    Shuttle {
        /// First place, m.
        from: f64,
        /// Second place, m.
        to: f64,
        /// Speed, m/s, above 0, within the speed limit.
        speed: f64,
        /// Rest at each end, s, at least 0.
        dwell_s: f64,
    },
    /// Ramp to standstill and stay there.
    Stop,
}

/// Slowest speed of a move, m/s (0.6 mm/min); slower would never arrive in a lesson.
const SLOWEST: f64 = 1e-5;

/// Why a motion command is refused.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum MotionError {
    /// A value is not a finite number.
    #[error("{field} is not a number; give a finite value")]
    NotFinite {
        /// Name of the value.
        field: &'static str,
    },
    /// A value lies outside its range.
    #[error("{field} is {value}; it must be between {low} and {high}")]
    OutOfRange {
        /// Name of the value.
        field: &'static str,
        /// What was given.
        value: f64,
        /// Lowest allowed.
        low: f64,
        /// Highest allowed.
        high: f64,
    },
}

#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
enum Now {
    #[default]
    Rest,
    Run {
        path: Box<Path>,
        t: f64,
    },
    Dwell {
        left: f64,
    },
}

#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
enum Next {
    Stay,
    Move { target: f64, speed: f64 },
    Shuttle { to: f64, then: f64, speed: f64, dwell_s: f64 },
}

/// State of the commanded path.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Motion {
    point: PathPoint,
    now: Now,
    next: Next,
}

impl Motion {
    /// At rest at `x` m; this is also how the loop is closed where the axis stands.
    #[must_use]
    pub fn at_rest(x: f64) -> Self {
        Self { point: PathPoint { x, v: 0.0, a: 0.0 }, now: Now::Rest, next: Next::Stay }
    }

    /// Commanded place, m.
    #[must_use]
    pub fn x_ref(&self) -> f64 {
        self.point.x
    }

    /// Commanded speed, m/s.
    #[must_use]
    pub fn v_cmd(&self) -> f64 {
        self.point.v
    }

    /// True when nothing is left to do.
    #[must_use]
    pub fn done(&self) -> bool {
        self.now == Now::Rest && self.next == Next::Stay
    }

    /// True while ramping to standstill with nothing to follow.
    #[must_use]
    pub fn stopping(&self) -> bool {
        self.next == Next::Stay && matches!(&self.now, Now::Run { path, .. } if path.end_v() == 0.0)
    }

    /// Where the axis would come to rest if stopped now, m.
    #[must_use]
    pub fn stopping_point(&self, limits: &MotionLimits) -> f64 {
        if self.point.v == 0.0 && self.point.a == 0.0 {
            self.point.x
        } else {
            Path::ramp(self.point, 0.0, limits).end_x()
        }
    }

    /// Takes a command.
    ///
    /// # Errors
    /// A value that is not finite, or a speed or dwell outside its range; the motion goes on as
    /// it was.
    pub fn command(&mut self, command: MotionCommand, limits: &MotionLimits) -> Result<(), MotionError> {
        let speed_ok = |speed: f64| within("speed", speed, SLOWEST, limits.speed);
        match command {
            MotionCommand::Jog { speed } => {
                within("speed", speed, -limits.speed, limits.speed)?;
                self.ramp_to(speed, limits);
                self.next = Next::Stay;
            }
            MotionCommand::MoveTo { target, speed } => {
                finite("target", target)?;
                speed_ok(speed)?;
                self.follow(Next::Move { target, speed }, limits);
            }
            MotionCommand::Shuttle { from, to, speed, dwell_s } => {
                finite("from", from)?;
                finite("to", to)?;
                speed_ok(speed)?;
                within("dwell_s", dwell_s, 0.0, 3600.0)?;
                self.follow(Next::Shuttle { to: from, then: to, speed, dwell_s }, limits);
            }
            MotionCommand::Stop => {
                self.ramp_to(0.0, limits);
                self.next = Next::Stay;
            }
        }
        Ok(())
    }

    /// Moves everything by `dx` m: the origin of the axis was set anew.
    pub fn shift(&mut self, dx: f64) {
        self.point.x += dx;
        if let Now::Run { path, .. } = &mut self.now {
            path.shift(dx);
        }
    }

    /// Goes on by `dt` s.
    pub fn tick(&mut self, dt: f64, limits: &MotionLimits) {
        match &mut self.now {
            Now::Rest => {}
            Now::Run { path, t } => {
                *t += dt;
                self.point = path.at(*t);
                if *t >= path.duration() && path.end_v() == 0.0 {
                    self.now = Now::Rest;
                    self.arrived(limits);
                }
            }
            Now::Dwell { left } => {
                *left -= dt;
                if *left <= 0.0 {
                    self.now = Now::Rest;
                    self.begin_leg(limits);
                }
            }
        }
    }

    fn ramp_to(&mut self, speed: f64, limits: &MotionLimits) {
        if speed == self.point.v && self.point.a == 0.0 {
            if speed == 0.0 {
                self.now = Now::Rest;
            }
            return;
        }
        self.now = Now::Run { path: Box::new(Path::ramp(self.point, speed, limits)), t: 0.0 };
    }

    /// Sets what comes next; stops first if moving.
    fn follow(&mut self, next: Next, limits: &MotionLimits) {
        self.next = next;
        self.ramp_to(0.0, limits);
        if self.now == Now::Rest {
            self.begin_leg(limits);
        }
    }

    /// At rest with something to do: begin it.
    fn begin_leg(&mut self, limits: &MotionLimits) {
        let (target, speed) = match self.next {
            Next::Stay => return,
            Next::Move { target, speed } | Next::Shuttle { to: target, speed, .. } => (target, speed),
        };
        let path = Path::s_curve(self.point.x, target, &MotionLimits { speed, ..*limits });
        self.now = Now::Run { path: Box::new(path), t: 0.0 };
    }

    fn arrived(&mut self, limits: &MotionLimits) {
        match self.next {
            Next::Stay => {}
            Next::Move { target, .. } if self.point.x == target => self.next = Next::Stay,
            Next::Move { .. } => self.begin_leg(limits),
            Next::Shuttle { to, then, speed, dwell_s } if self.point.x == to => {
                self.next = Next::Shuttle { to: then, then: to, speed, dwell_s };
                self.now = Now::Dwell { left: dwell_s };
            }
            Next::Shuttle { .. } => self.begin_leg(limits),
        }
    }
}

fn finite(field: &'static str, value: f64) -> Result<(), MotionError> {
    if value.is_finite() { Ok(()) } else { Err(MotionError::NotFinite { field }) }
}

fn within(field: &'static str, value: f64, low: f64, high: f64) -> Result<(), MotionError> {
    finite(field, value)?;
    if value < low || value > high {
        return Err(MotionError::OutOfRange { field, value, low, high });
    }
    Ok(())
}

#[cfg(test)]
#[path = "motion_tests.rs"]
mod tests;
