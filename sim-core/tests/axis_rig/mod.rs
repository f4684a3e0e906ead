//! A closed loop with an ideal head: the count is the nearest of the true place, except where a
//! test breaks it on purpose.
#![allow(dead_code)]

use sim_core::axis::homing::HomingState;
use sim_core::axis::machine::{MachineId, MachineSpec};
use sim_core::axis::motion::MotionCommand;
use sim_core::axis::{AxisCommand, AxisInput, AxisParams, AxisState, PositionReadings, STEP};
use sim_core::monitor::{MonitorEvent, MonitorKind, Watch, WatchParams};

/// What the head does to the count.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Head {
    /// Counts rightly.
    Ideal,
    /// Stands still.
    Frozen,
    /// Dead between two places, m: the way through it is lost.
    Patch(f64, f64),
    /// One sensor only: every signal period adds one, whatever the direction.
    OneSensor,
}

pub struct Rig {
    pub spec: MachineSpec,
    pub p: AxisParams,
    pub w: WatchParams,
    pub s: AxisState,
    pub watch: Watch,
    pub head: Head,
    pub q: f64,
    /// Count of the scale; 0 where the axis was switched on.
    pub count: i64,
    pub events: Vec<(f64, MonitorEvent)>,
    /// Readings of the last position tick.
    pub now: PositionReadings,
    /// The mark works.
    pub mark: bool,
    latched: Option<i64>,
}

impl Rig {
    /// A machine standing at `x` m, torque off, not referenced.
    pub fn cold(id: MachineId, x: f64) -> Self {
        let spec = id.spec();
        let q = match id {
            MachineId::TeachingRail => 0.25e-3,
            MachineId::RouterGantryX => 2e-6,
            MachineId::MillX | MachineId::MillZ => 1e-6,
            MachineId::RouterGantryZ => 5e-6,
            MachineId::RotaryTable => 0.1e-6,
        };
        let p = AxisParams::from_spec(&spec, q);
        let s = AxisState::at_rest(&p, x, nearest(x, q));
        Self {
            w: WatchParams::from_spec(&spec),
            spec,
            p,
            s,
            watch: Watch::default(),
            head: Head::Ideal,
            q,
            count: nearest(x, q),
            events: Vec::new(),
            now: PositionReadings::default(),
            mark: true,
            latched: None,
        }
    }

    /// A machine holding at `x` m, its zero known.
    pub fn ready(id: MachineId, x: f64) -> Self {
        let mut rig = Self::cold(id, x);
        rig.s.scale_zero = 0;
        rig.s.motor_zero = 0;
        rig.s.homing.state = HomingState::Referenced { switch_to_mark: 9.2e-3 };
        rig.order(AxisCommand::SwitchOn);
        rig.run(0.01);
        rig
    }

    pub fn order(&mut self, command: AxisCommand) {
        let input = AxisInput { scale_count: self.count, latched: None };
        self.s.command(&self.p, &input, command).unwrap();
    }

    pub fn motion(&mut self, command: MotionCommand) {
        self.order(AxisCommand::Motion { command });
    }

    pub fn jog(&mut self, speed: f64) {
        self.motion(MotionCommand::Jog { speed });
    }

    pub fn step(&mut self) {
        let input = AxisInput { scale_count: self.count, latched: self.latched.take() };
        let out = self.s.control(&self.p, &input);
        if let Some(r) = out.position {
            self.now = r;
        }
        let time = self.s.step as f64 * STEP;
        let (events, p, s) = (&mut self.events, &self.p, &mut self.s);
        self.watch.step(&self.w, &out, |event| {
            events.push((time, event));
            if let Some(stop) = event.reaction.stop() {
                s.react(p, stop);
            }
        });
        let way = self.s.advance(&self.p);
        let (from, to) = (nearest(way.from, self.q), nearest(way.to, self.q));
        let change = match self.head {
            Head::Ideal => to - from,
            Head::Frozen => 0,
            Head::Patch(low, high) if way.from > low && way.from < high => 0,
            Head::Patch(..) => to - from,
            Head::OneSensor => (to.div_euclid(4) - from.div_euclid(4)).abs() * 4,
        };
        if self.mark && from.min(to) < 0 && from.max(to) >= 0 {
            // The count of the mark is the one of place 0, whichever way it is passed.
            self.latched = Some(self.count - from);
        }
        self.count += change;
    }

    /// Runs for `seconds`.
    pub fn run(&mut self, seconds: f64) {
        self.run_with(seconds, |_| {});
    }

    /// Runs for `seconds` and shows the rig after each step.
    pub fn run_with(&mut self, seconds: f64, mut see: impl FnMut(&Self)) {
        for _ in 0..(seconds / STEP).round() as u64 {
            self.step();
            see(self);
        }
    }

    pub fn kinds(&self) -> Vec<MonitorKind> {
        self.events.iter().map(|(_, e)| e.kind).collect()
    }

    pub fn first_fault(&self) -> (f64, MonitorKind) {
        let (t, e) = self.events.iter().find(|(_, e)| e.primary).expect("a fault");
        (*t, e.kind)
    }
}

fn nearest(x: f64, q: f64) -> i64 {
    (x / q).round() as i64
}

pub fn near(value: f64, expected: f64, tolerance: f64) {
    assert!((value - expected).abs() <= tolerance * expected.abs(), "{value} is not {expected}");
}
