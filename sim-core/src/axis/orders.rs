//! Orders to the axis: which are taken when, and why one is refused.

use super::{AxisCommand, AxisError, AxisInput, AxisParams, AxisState, DriveMode, UNREFERENCED_SPEED};
use crate::axis::homing::Homing;
use crate::axis::motion::MotionCommand;

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
                // A table that stands is given to its brake first; one that moves loses its torque at once.
                DriveMode::Holding => self.open_in_order(p, DriveMode::Off),
                DriveMode::Off => {}
                _ => self.open(DriveMode::Off),
            },
            AxisCommand::SwitchOn => match self.mode {
                DriveMode::Tripped => return Err(AxisError::Tripped),
                DriveMode::Off => {
                    let x_fb = self.x_feedback(p, input.scale_count);
                    self.close(p, x_fb);
                }
                _ => {}
            },
            AxisCommand::Home => {
                self.ready(closed)?;
                self.homing = Homing { again: self.referenced(), ..Homing::default() };
                let x_fb = self.x_feedback(p, input.scale_count);
                let pressed = self.switch_pressed(p);
                let order = match p.turn_search {
                    Some(speed) => self.homing.start_on_turn(speed, x_fb),
                    None => self.homing.start(&p.home, p.coded_marks.as_ref(), pressed, x_fb),
                };
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
