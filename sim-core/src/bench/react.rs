//! From what the monitors say to what the axis does, and to the log.

use super::compiled::STEP_S;
use super::sim::Sim;
use crate::axis::machine::FeedbackSource;
use crate::axis::{ControlOutput, DriveMode, StopKind};
use crate::event::{Circumstances, What};
use crate::monitor::signal::{SignalMonitor, event_of};
use crate::monitor::{MonitorEvent, MonitorKind, Reaction, Reset, WatchInput};

impl Sim {
    /// Lets all monitors look at a step; `out` is what the control did at its start.
    pub(super) fn watch(&mut self, out: &ControlOutput) {
        let input = self.watch_input(out.position.map(|r| r.dt));
        let mut raised: Vec<MonitorEvent> = Vec::new();
        // What surrounds the control first: of causes and consequences seen at one tick the causes are there.
        self.bench.state.watch.look(&self.compiled.watch, &input, |event| raised.push(event));
        self.bench.state.watch.step(&self.compiled.watch, out, |event| raised.push(event));
        for event in raised {
            self.react(event);
        }
        let led = matches!(self.bench.state.axis.mode, DriveMode::Moving | DriveMode::Homing);
        if self.bench.state.watch.stop.step(led, input.speed, STEP_S) {
            self.pending.push(What::StopOverdue);
            self.bench.state.axis.react(&self.compiled.axis, StopKind::TorqueOff);
        }
    }

    /// What the monitors look at beside the control itself. Winding, bus and brake stay unknown here.
    pub(super) fn watch_input(&self, position_dt: Option<f64>) -> WatchInput {
        let (state, p) = (&self.bench.state, &self.compiled.axis);
        let count = match p.feedback {
            FeedbackSource::Scale if self.compiled.code.is_some() => None,
            FeedbackSource::Scale => Some((state.counter.count, p.scale_count)),
            FeedbackSource::Motor => Some((state.axis.encoder.count, p.servo.motor_count())),
        };
        let told = state.signal.told().filter(|fault| !fault.is_warning());
        WatchInput {
            time: self.time_s(),
            position_dt,
            dt: STEP_S,
            powered: state.axis.powered(),
            current: state.axis.plant.current,
            speed: state.axis.servo.speed(&p.servo),
            place: state.axis.plant.x,
            count,
            illegal: state.counter.illegal_count,
            head_supply: Some(self.compiled.head_v),
            signal: told
                .filter(|_| self.params.signal_monitor == SignalMonitor::Trip)
                .map(|fault| event_of(fault, 0.0, 0.0).kind),
            ..WatchInput::default()
        }
    }

    /// Answers what a monitor raised and puts it into the log.
    pub(super) fn react(&mut self, event: MonitorEvent) {
        let rank = self.bench.state.watch.latch(&event, self.time_s());
        let (kind, value, limit, warning) = (event.kind, event.value, event.limit, !event.alarms());
        self.pending.push(What::Monitor { kind, value, limit, warning, rank, at: self.circumstances() });
        let Some(stop) = self.reaction_to(&event).stop() else { return };
        let axis = &mut self.bench.state.axis;
        if stop == StopKind::OnPath && axis.powered() && axis.mode != DriveMode::Stopping {
            self.bench.state.watch.stop.begin(axis.motion.v_cmd(), &self.compiled.axis.limits);
        }
        axis.react(&self.compiled.axis, stop);
        // An absolute code knows its place again as soon as it can be read; turns are looked after where they are lost.
        let withdraws = kind.reset() == Reset::Home && kind != MonitorKind::TurnsLost && self.compiled.code.is_none();
        if withdraws && self.bench.state.axis.referenced() {
            self.bench.state.axis.homing.withdraw();
            self.pending.push(What::ReferenceLost);
        }
    }

    /// A stop on the path needs the feedback of the position: where that is what is wrong, the torque goes off. (A stop by
    /// the speed loop needs the motor encoder alone; the axis itself sees when that gets faster instead of slower.)
    fn reaction_to(&self, event: &MonitorEvent) -> Reaction {
        let state = &self.bench.state;
        let blind = match self.compiled.axis.feedback {
            FeedbackSource::Scale if self.compiled.code.is_some() => state.zero.code_bad,
            FeedbackSource::Scale => state.signal.told().is_some_and(|fault| fault.is_loss()),
            FeedbackSource::Motor => false,
        };
        if event.reaction == Reaction::R1 && blind { Reaction::R3 } else { event.reaction }
    }

    /// Where the axis stands and what it is asked.
    fn circumstances(&self) -> Circumstances {
        let (axis, p) = (&self.bench.state.axis, &self.compiled.axis);
        Circumstances {
            x_ref_m: axis.motion.x_ref(),
            x_fb_m: axis.x_feedback(p, self.bench.state.counter.count),
            x_motor_m: axis.x_motor(p),
            v_cmd_mps: axis.motion.v_cmd(),
            current_a: axis.plant.current,
        }
    }
}
