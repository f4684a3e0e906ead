//! The acts of making safe on the running bench. They can be done in any order that a person can do them in; what came of
//! each is noted, and who judges looks there.

use super::command::{Command, DriveSwitch, SafetyAct};
use super::safety::{SAFE_LINK_V, SHOP_S_PER_BENCH_S};
use super::sim::Sim;
use super::state::Bench;
use crate::axis::{AxisCommand, DriveMode};
use crate::event::{Hands, What};
use crate::monitor::Watch;
use crate::params::{Params, params_after};
use crate::record::{Sample, Tap};

/// Parameters in force: those of set-up, faults, dirt and upkeep; with the disconnector open nothing has a supply.
pub(super) fn params_now(bench: &Bench) -> Params {
    let state = &bench.state;
    if !state.safety.isolated() {
        return params_after(&bench.setup, &bench.faults, &state.dirt, &state.upkeep);
    }
    let mut dark = bench.setup.clone();
    dark.cable.supply_v = 0.0;
    params_after(&dark, &bench.faults, &state.dirt, &state.upkeep)
}

impl Sim {
    /// Whether the table of this bench can fall.
    #[must_use]
    pub fn hangs(&self) -> bool {
        self.params.machine.mechanics.incline > 0.0
    }

    /// Whether the machine is locked out by the book: all acts stand, in their order, a hanging table on its prop.
    #[must_use]
    pub fn locked_out(&self) -> bool {
        self.bench.state.safety.locked_out(self.hangs())
    }

    /// Voltage of the drive's DC link, V.
    #[must_use]
    pub fn link_v(&self) -> f64 {
        let full_v = self.compiled.axis.train.bus.voltage(0.0);
        self.bench.state.safety.link_v(full_v, self.bench.state.axis.step)
    }

    /// Whether a command needs power, or a table that is free to move, and has not got it.
    pub(super) fn can_go(&self, command: &Command) -> Result<(), String> {
        let safety = &self.bench.state.safety;
        let moves = matches!(
            command,
            Command::Jog(_)
                | Command::MoveTo(_)
                | Command::MoveBy(_)
                | Command::Shuttle(_)
                | Command::Home
                | Command::Acknowledge
                | Command::Drive(DriveSwitch::On)
        );
        if safety.isolated() && (moves || matches!(command, Command::PowerCycle(_) | Command::ZeroReadout)) {
            let lock = if safety.stands(SafetyAct::Lock) { "take the lock off and " } else { "" };
            return Err(format!("the machine is isolated; {lock}close the disconnector first"));
        }
        if moves && safety.propped() {
            return Err("the table stands on its prop; take the prop out before the drive is switched on".to_owned());
        }
        if moves && self.bench.state.flexing.is_some() && !matches!(command, Command::Drive(_) | Command::Acknowledge) {
            return Err("the cable is being bent with the tool; wait until that is done, or stop it".to_owned());
        }
        Ok(())
    }

    pub(super) fn make_safe(&mut self, act: SafetyAct) -> Result<(), String> {
        let safety = &self.bench.state.safety;
        let (step, isolated) = (self.bench.state.axis.step, safety.isolated());
        let told = match act {
            SafetyAct::SwitchOff => {
                if matches!(self.bench.state.axis.mode, DriveMode::Moving | DriveMode::Homing | DriveMode::Stopping) {
                    return Err("stop the axis and wait until it stands before the machine is switched off".to_owned());
                }
                if !isolated {
                    self.axis(AxisCommand::SwitchOff)?;
                }
                Hands::SwitchedOff
            }
            SafetyAct::Isolate if isolated => return Err("the disconnector is open already".to_owned()),
            SafetyAct::Isolate => return self.isolate(),
            SafetyAct::Lock if !isolated => {
                return Err("no lock goes on a closed disconnector; open it first".to_owned());
            }
            SafetyAct::Lock => Hands::Locked,
            SafetyAct::TryStart => {
                let answered = !isolated && self.can_go(&Command::Drive(DriveSwitch::On)).is_ok() && self.press_start();
                self.bench.state.safety.note(act, step, !answered && isolated);
                self.pending.push(What::Hands(Hands::Tried { answered, isolated }));
                return Ok(());
            }
            SafetyAct::VerifyDead => {
                let link_v = self.link_v();
                let dead = isolated && link_v < SAFE_LINK_V;
                self.bench.state.safety.note(act, step, dead);
                self.pending.push(What::Hands(Hands::Measured { mains: !isolated, link_v, dead }));
                return Ok(());
            }
            SafetyAct::Prop => return self.prop(step),
            SafetyAct::PropOut if !safety.propped() => return Err("there is no prop to take out".to_owned()),
            SafetyAct::PropOut => Hands::PropOut,
            SafetyAct::Unlock if !safety.stands(SafetyAct::Lock) => {
                return Err("there is no lock on the disconnector".to_owned());
            }
            SafetyAct::Unlock => Hands::Unlocked,
            SafetyAct::SwitchOn if !isolated => return Err("the disconnector is closed already".to_owned()),
            SafetyAct::SwitchOn if safety.stands(SafetyAct::Lock) => {
                return Err("the disconnector is locked; the person whose lock it is takes it off first".to_owned());
            }
            SafetyAct::SwitchOn => return self.switch_on(step),
        };
        self.bench.state.safety.note(act, step, true);
        self.pending.push(What::Hands(told));
        Ok(())
    }

    /// Presses start; whether the drive answered.
    fn press_start(&mut self) -> bool {
        let on = |sim: &Self| !matches!(sim.bench.state.axis.mode, DriveMode::Off | DriveMode::Tripped);
        if !on(self) && self.code_is_read().is_ok() {
            let _ = self.axis(AxisCommand::SwitchOn);
            self.bench.state.safety.drive_on();
        }
        on(self)
    }

    fn prop(&mut self, step: u64) -> Result<(), String> {
        let axis = &self.bench.state.axis;
        if axis.powered() || axis.plant.v != 0.0 {
            return Err("switch the drive off and let the table come to rest on its brake before hands go under it \
                        with the prop"
                .to_owned());
        }
        self.bench.state.safety.note(SafetyAct::Prop, step, true);
        self.pending.push(What::Hands(Hands::Propped));
        Ok(())
    }

    /// The disconnector opens: torque and supplies go at once, whatever the axis does.
    fn isolate(&mut self) -> Result<(), String> {
        let state = &mut self.bench.state;
        let on = !matches!(state.axis.mode, DriveMode::Off | DriveMode::Tripped);
        let step = state.axis.step;
        state.flexing = None;
        if state.safety.propped() {
            state.axis.lie_on_prop();
        } else if self.compiled.axis.train.brake.is_some() {
            self.fall_into_brake();
        } else {
            let _ = state.axis.lose_power(&self.compiled.axis);
        }
        let state = &mut self.bench.state;
        state.axis.plant.current = 0.0;
        state.watch = Watch::default();
        state.safety.note(SafetyAct::Isolate, step, true);
        self.rebuild();
        self.pending.push(What::Hands(Hands::Isolated { drive_was_on: on }));
        Ok(())
    }

    /// The disconnector closes: as after the cabinet was off for as long as this took in the shop.
    fn switch_on(&mut self, step: u64) -> Result<(), String> {
        let off_s = self.bench.state.safety.open_s(step) * SHOP_S_PER_BENCH_S;
        self.bench.state.safety.note(SafetyAct::SwitchOn, step, true);
        self.rebuild();
        self.come_up(off_s);
        Ok(())
    }

    /// A step without power: the table obeys gravity and friction alone, nothing is read and nothing is counted.
    pub(super) fn step_dead<T: Tap>(&mut self, tap: &mut T) {
        let start_s = self.time_s();
        let way = self.move_table();
        self.lead_head(start_s, way);
        let light = self.place_head();
        self.at_input_v = [0.0; 2];
        if T::SAMPLES {
            let count = self.bench.state.counter.count;
            let (time_s, table_m) = (self.time_s(), way.to);
            tap.sample(&Sample { time_s, table_m, count, ..Sample::default() });
        }
        self.finish(light, tap);
    }
}
