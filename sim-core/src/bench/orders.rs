//! Orders: what a command does to the running bench.

use super::command::{Command, Direction, DriveSwitch, SettingList};
use super::isolating::params_now;
use super::sim::Sim;
use crate::axis::motion::MotionCommand;
use crate::axis::{AxisCommand, AxisError, DriveMode, UNREFERENCED_SPEED};
use crate::chain::mark::MarkCursor;
use crate::event::What;
use crate::fault::Active;
use crate::monitor::marks::MarkSpacingState;
use crate::monitor::{MonitorEvent, MonitorKind, Reaction};
use crate::params::params_after;
use crate::setup::MonitorSetup;
use crate::surface::WindowCursor;

impl Sim {
    /// Carries a command out.
    ///
    /// # Errors
    /// Why it was refused and what to do, in words; the bench is then as before.
    pub fn command(&mut self, command: &Command) -> Result<(), String> {
        command.check(&self.bench.setup)?;
        self.can_go(command)?;
        self.carry_out(command)?;
        // A bench that stands still on the sheet must show what was done to it.
        self.refresh_record();
        Ok(())
    }

    /// Puts faults in beside those that are in, as they are and without a line in the log: for surveys, whose faults come
    /// from the catalogue. [`Command::Break`] is the way of a person.
    pub fn put_in(&mut self, faults: &[Active]) {
        self.bench.faults.extend_from_slice(faults);
        self.bench.faults.sort_by_key(|f| f.id);
        self.rebuild();
        self.refresh_record();
    }

    fn carry_out(&mut self, command: &Command) -> Result<(), String> {
        match command {
            Command::Set(list) => self.set(list),
            Command::Break(b) => {
                let id = b.fault;
                let at_m = b.at_mm.map_or(self.bench.state.axis.plant.x, |at| at.get() * 1e-3);
                let was = self.bench.faults.iter().any(|f| f.id == id);
                self.bench.faults.retain(|f| f.id != id);
                let severity = b.severity_percent.get() / 100.0;
                if severity > 0.0 {
                    self.bench.faults.push(Active { id, severity, at_m });
                }
                self.found_again(id, was);
                self.bench.faults.sort_by_key(|f| f.id);
                match (was, severity > 0.0) {
                    (false, true) => self.pending.push(What::Broken { name: id.row().title.to_owned() }),
                    (true, false) => self.pending.push(What::Mended { name: id.row().title.to_owned() }),
                    _ => {}
                }
                self.rebuild();
                Ok(())
            }
            Command::Mend(id) => {
                if self.bench.faults.iter().any(|f| f.id == *id) {
                    self.bench.faults.retain(|f| f.id != *id);
                    self.pending.push(What::Mended { name: id.row().title.to_owned() });
                    self.rebuild();
                }
                Ok(())
            }
            Command::MendAll => {
                self.bench.faults.clear();
                self.pending.push(What::Mended { name: "everything".to_owned() });
                self.rebuild();
                Ok(())
            }
            Command::Smear(s) => self.smear(s),
            Command::Wipe(w) => {
                self.clean(w.from_mm.get() * 1e-3, w.to_mm.get() * 1e-3, w.method);
                Ok(())
            }
            Command::WipeAll => {
                self.clean(-1.0, 10.0, None);
                self.bench.state.upkeep.window.wipe();
                self.rebuild();
                self.pending.push(What::Wiped);
                Ok(())
            }
            Command::WipeAllWith(w) => {
                self.clean_all(w.method);
                Ok(())
            }
            Command::PickChips(s) => self.pick_chips(s.from_mm.get() * 1e-3, s.to_mm.get() * 1e-3),
            Command::SmearWindow(s) => {
                self.smear_window(s);
                Ok(())
            }
            Command::WipeWindow(w) => {
                self.clean_window(w.method);
                Ok(())
            }
            Command::Age(age) => self.age(age),
            Command::Jog(j) => {
                let speed = j.speed_m_per_min.get() / 60.0;
                let speed = if j.direction == Direction::Forward { speed } else { -speed };
                self.go(MotionCommand::Jog { speed })
            }
            Command::MoveTo(m) => {
                self.go(MotionCommand::MoveTo { target: m.to_mm.get() * 1e-3, speed: m.speed_m_per_min.get() / 60.0 })
            }
            Command::MoveBy(m) => {
                let target = self.bench.state.axis.motion.x_ref() + m.by_mm.get() * 1e-3;
                self.go(MotionCommand::MoveTo { target, speed: m.speed_m_per_min.get() / 60.0 })
            }
            Command::Shuttle(s) => self.go(MotionCommand::Shuttle {
                from: s.from_mm.get() * 1e-3,
                to: s.to_mm.get() * 1e-3,
                speed: s.speed_m_per_min.get() / 60.0,
                dwell_s: s.dwell_s.get(),
            }),
            Command::Stop => {
                self.end_flexing();
                match self.bench.state.axis.mode {
                    DriveMode::Off | DriveMode::Tripped | DriveMode::Stopping => Ok(()),
                    _ => self.go(MotionCommand::Stop),
                }
            }
            Command::Drive(DriveSwitch::On) => {
                self.code_is_read()?;
                self.axis(AxisCommand::SwitchOn)?;
                self.bench.state.safety.drive_on();
                Ok(())
            }
            Command::Drive(DriveSwitch::Off) => self.axis(AxisCommand::SwitchOff),
            Command::Acknowledge => self.acknowledge(),
            Command::Home => {
                if self.compiled.code.is_some() {
                    return Err(
                        "the scale is absolute: its code tells the place, there is no zero to look for".to_owned()
                    );
                }
                self.no_alarm_stands()?;
                self.axis(AxisCommand::Home)?;
                self.bench.state.readout_zero_m = 0.0;
                let axis = &self.compiled.axis;
                self.pending.push(match (axis.turn_search, &axis.coded_marks) {
                    (Some(_), _) => What::TurnStarted,
                    (None, Some(_)) => What::SearchStarted,
                    (None, None) => What::HomingStarted,
                });
                Ok(())
            }
            Command::PowerCycle(p) => self.power_cycle(p.off_s.get()),
            Command::Safety(act) => self.make_safe(*act),
            Command::Look(look) => self.look(*look),
            Command::Flex(flex) => self.flex(flex),
            Command::Replace(part) => self.replace(*part),
            Command::ZeroReadout => {
                self.bench.state.readout_zero_m = self.record().counted_m;
                Ok(())
            }
        }
    }

    fn go(&mut self, command: MotionCommand) -> Result<(), String> {
        if !matches!(command, MotionCommand::Stop) {
            self.no_alarm_stands()?;
        }
        self.is_free(&command)?;
        let order = AxisCommand::Motion { command };
        let input = self.axis_input();
        let done = self.bench.state.axis.command(&self.compiled.axis, &input, order);
        if done == Err(AxisError::NotReferenced) {
            let limit = UNREFERENCED_SPEED;
            self.react(MonitorEvent {
                kind: MonitorKind::NotReferenced,
                reaction: Reaction::R0,
                value: 0.0,
                limit,
                primary: false,
            });
        }
        done.map_err(|e| e.to_string())
    }

    /// An open limit switch lets the axis go only away from it.
    fn is_free(&self, command: &MotionCommand) -> Result<(), String> {
        let Some(forbidden) = self.bench.state.watch.forbids() else { return Ok(()) };
        let here = self.bench.state.axis.motion.x_ref();
        let way = match command {
            MotionCommand::Stop => 0.0,
            MotionCommand::Jog { speed } => *speed,
            MotionCommand::MoveTo { target, .. } => target - here,
            MotionCommand::Shuttle { from, .. } => from - here,
        };
        if way * forbidden > 0.0 {
            let (end, back) = if forbidden > 0.0 { ("positive", "back") } else { ("negative", "forward") };
            return Err(format!("the limit switch at the {end} end is open; jog {back}, off the switch, first"));
        }
        Ok(())
    }

    pub(super) fn axis(&mut self, command: AxisCommand) -> Result<(), String> {
        let input = self.axis_input();
        self.bench.state.axis.command(&self.compiled.axis, &input, command).map_err(|e| e.to_string())
    }

    /// An alarm that leaves the torque on still has to be acknowledged before the axis moves again.
    fn no_alarm_stands(&self) -> Result<(), String> {
        let closed = matches!(self.bench.state.axis.mode, DriveMode::Holding | DriveMode::Moving);
        if closed && self.bench.state.watch.primary.is_some() {
            return Err("an alarm stands; acknowledge it before the axis moves".to_owned());
        }
        Ok(())
    }

    /// An absolute axis whose code cannot be read does not know where it stands.
    pub(super) fn code_is_read(&self) -> Result<(), String> {
        if self.compiled.code.is_some() && self.bench.state.zero.code_bad {
            return Err("the code cannot be read here; clean the scale or mend its line first".to_owned());
        }
        Ok(())
    }

    fn acknowledge(&mut self) -> Result<(), String> {
        if self.bench.state.axis.mode == DriveMode::Stopping {
            return Err("the axis is still stopping; wait until it stands".to_owned());
        }
        if self.bench.state.watch.primary.is_none() && self.bench.state.axis.mode != DriveMode::Tripped {
            return Err("there is no alarm to acknowledge".to_owned());
        }
        self.code_is_read()?;
        let input = self.watch_input(None);
        self.bench.state.watch.may_reset(&self.compiled.watch, &input).map_err(|why| why.to_string())?;
        self.bench.state.watch.reset();
        self.bench.state.signal.reset();
        self.bench.state.loss.reset();
        self.axis(AxisCommand::Reset)?;
        self.axis(AxisCommand::SwitchOn)?;
        self.bench.state.safety.drive_on();
        self.pending.push(What::Acknowledged);
        Ok(())
    }

    fn set(&mut self, list: &SettingList) -> Result<(), String> {
        let mut setup = self.bench.setup.clone();
        for (setting, value) in &list.0 {
            setting.set(&mut setup, value).map_err(|e| e.to_string())?;
        }
        let moving = matches!(self.bench.state.axis.mode, DriveMode::Moving | DriveMode::Homing | DriveMode::Stopping);
        if setup.servo.feedback != self.bench.setup.servo.feedback && moving {
            return Err("stop the axis before the position is taken from another encoder".to_owned());
        }
        if (setup.scale != self.bench.setup.scale || setup.motor != self.bench.setup.motor) && moving {
            return Err("stop the axis before its scale or motor encoder is exchanged".to_owned());
        }
        let state = &self.bench.state;
        params_after(&setup, &self.bench.faults, &state.dirt, &state.upkeep).check().map_err(|e| e.to_string())?;
        let encoders = setup.motor != self.bench.setup.motor;
        let before = std::mem::replace(&mut self.bench.setup, setup);
        self.note_wider_limits(&before.monitor);
        self.rebuild();
        if encoders {
            self.teach_turns();
        }
        Ok(())
    }

    /// Limits that somebody widened are noted for the talk afterwards.
    fn note_wider_limits(&mut self, before: &MonitorSetup) {
        let now = &self.bench.setup.monitor;
        let bands = [(before.moving_band_mm, now.moving_band_mm), (before.standstill_band_mm, now.standstill_band_mm)];
        for (was_mm, is_mm) in bands {
            if is_mm > was_mm {
                self.react(MonitorEvent {
                    kind: MonitorKind::LimitEdited,
                    reaction: Reaction::R0,
                    value: is_mm * 1e-3,
                    limit: was_mm * 1e-3,
                    primary: false,
                });
            }
        }
    }

    /// Works the parameters out again after a change and keeps readings where they were.
    pub(super) fn rebuild(&mut self) {
        let old = std::mem::replace(&mut self.params, params_now(&self.bench));
        let state = &self.bench.state;
        let (x_motor, motor_count) = (state.axis.x_motor(&self.compiled.axis), self.compiled.axis.servo.motor_count());
        let table_owner = self.compiled.clone();
        self.compiled = table_owner.again(&self.params);
        // Cursors belong to what was compiled before.
        (self.mark_cursor, self.code_cursor) = (MarkCursor::default(), WindowCursor::default());
        let input_changed = old.interpolate != self.params.interpolate
            || old.two_sensors != self.params.two_sensors
            || old.square != self.params.square
            || old.read_scale != self.params.read_scale
            || old.squared() != self.params.squared()
            || old.zero.absolute != self.params.zero.absolute
            || old.control.filter != self.params.control.filter
            || old.head_offset_m != self.params.head_offset_m
            || old.other_head != self.params.other_head;
        let (q_old, q_new) = (old.believed_count_m(), self.params.believed_count_m());
        if old.control.counter_bits != self.params.control.counter_bits {
            self.renumber_narrow();
        }
        let state = &mut self.bench.state;
        if q_old != q_new {
            let counted_m = q_old * (state.counter.count - state.axis.scale_zero) as f64;
            state.axis.scale_zero = state.counter.count - libm::floor(counted_m / q_new + 1e-6) as i64;
        }
        let believed = self.compiled.axis.servo.motor_count();
        if believed != motor_count {
            state.axis.motor_zero = state.axis.encoder.count - libm::round(x_motor / believed) as i64;
        }
        if q_old != q_new || old.mark.layout != self.params.mark.layout {
            state.zero.spacing = MarkSpacingState::default();
        }
        if input_changed {
            self.settle();
        }
        if input_changed || q_old != q_new {
            self.seat_code();
        }
        if old.machine.control.feedback != self.params.machine.control.feedback
            || q_old != q_new
            || believed != motor_count
        {
            self.renumbered();
        }
    }
}
