//! Orders to the axis: which are taken when, and why one is refused.

use super::{AxisCommand, AxisError, AxisInput, AxisParams, AxisState, DriveMode, UNREFERENCED_SPEED};
use crate::axis::homing::Homing;
use crate::axis::motion::{Motion, MotionCommand};

impl AxisState {
    /// Takes an order; `input` is the counter as it stands.
    ///
    /// # Errors
    /// The order does not fit the state of the drive, or a number in it is wrong; nothing changes.
    pub fn command(&mut self, p: &AxisParams, input: &AxisInput, command: AxisCommand) -> Result<(), AxisError> {
        let closed = matches!(self.mode, DriveMode::Holding | DriveMode::Moving | DriveMode::Homing);
        match command {
            AxisCommand::Reset => {
                if self.mode == DriveMode::Tripped {
                    self.mode = DriveMode::Off;
                }
            }
            AxisCommand::SwitchOff => match self.mode {
                DriveMode::Tripped => {}
                // Its alarm stands until it is acknowledged, so switching off does not get past it.
                DriveMode::Stopping => self.open(DriveMode::Tripped),
                _ => self.open(DriveMode::Off),
            },
            AxisCommand::SwitchOn => match self.mode {
                DriveMode::Tripped => return Err(AxisError::Tripped),
                DriveMode::Off => {
                    let x_fb = self.x_feedback(p, input.scale_count);
                    self.motion = Motion::at_rest(x_fb);
                    self.servo.close_at(x_fb);
                    self.mode = DriveMode::Holding;
                }
                _ => {}
            },
            AxisCommand::Home => {
                self.ready(closed)?;
                self.homing = Homing { again: self.referenced(), ..Homing::default() };
                let x_fb = self.x_feedback(p, input.scale_count);
                let pressed = self.switch_pressed(p);
                let order = self.homing.start(&p.home, p.coded_marks.as_ref(), pressed, x_fb);
                self.latched = None;
                self.mode = DriveMode::Homing;
                self.carry_out(p, order);
            }
            AxisCommand::Motion { command } => {
                self.ready(closed)?;
                self.check(p, &command)?;
                self.motion.command(command, &p.limits)?;
                self.homing.abandon();
                self.mode = DriveMode::Moving;
            }
        }
        Ok(())
    }

    fn ready(&self, closed: bool) -> Result<(), AxisError> {
        match self.mode {
            DriveMode::Tripped => Err(AxisError::Tripped),
            mode if !closed => Err(AxisError::NotReady { mode }),
            _ => Ok(()),
        }
    }

    /// Moves need the machine zero and a target inside the travel; a jog without zero is slow.
    fn check(&self, p: &AxisParams, command: &MotionCommand) -> Result<(), AxisError> {
        let [low, high] = p.soft_limits();
        let inside = |target: f64| {
            if target < low || target > high {
                return Err(AxisError::BeyondTravel { target, low, high });
            }
            Ok(())
        };
        match *command {
            MotionCommand::Stop => Ok(()),
            MotionCommand::Jog { speed } if self.referenced() || speed.abs() <= UNREFERENCED_SPEED => Ok(()),
            _ if !self.referenced() => Err(AxisError::NotReferenced),
            MotionCommand::MoveTo { target, .. } => inside(target),
            MotionCommand::Shuttle { from, to, .. } => inside(from).and(inside(to)),
            MotionCommand::Jog { .. } => Ok(()),
        }
    }
}
