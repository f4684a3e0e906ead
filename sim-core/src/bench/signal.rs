//! The control watches the signal: news of it go to the log, and in trip mode to the axis.

use super::sim::Sim;
use crate::chain::loss::{LossParams, LossState, SignalFault};
use crate::event::What;
use crate::monitor::signal::{SignalMonitor, SignalNews, SignalReading, SignalWatch, event_of};
use crate::num::math::hypot;
use crate::params::Params;

impl Params {
    /// Limits of the signal where there is one to judge and somebody looks.
    pub fn watched_signal(&self) -> Option<&LossParams> {
        self.loss.as_ref().filter(|_| self.signal_monitor != SignalMonitor::Off)
    }
}

impl Sim {
    /// Looks at what the step's samples showed of the signal.
    pub(super) fn watch_signal(&mut self) {
        let Some(limits) = self.params.watched_signal().copied() else {
            (self.bench.state.signal, self.bench.state.loss) = (SignalWatch::default(), LossState::default());
            return;
        };
        let state = &mut self.bench.state;
        let reading = SignalReading {
            seen: self.signal_seen.fault,
            edges: (self.params.squared() && self.params.two_sensors).then_some(state.square_line.edges),
            motor_m: state.axis.x_motor(&self.compiled.axis),
            dt_s: super::compiled::STEP_S,
            period_m: self.params.scale.period_m,
        };
        let trip = self.params.signal_monitor == SignalMonitor::Trip;
        match state.signal.step(&reading) {
            None => {}
            Some(SignalNews::Good) => self.pending.push(What::SignalGood),
            Some(SignalNews::Bad(fault)) => {
                let receiver = &self.params.receiver;
                let limit_v = limits.limit_v(fault, receiver.threshold_v, receiver.common_mode_v);
                let value_v = self.signal_value_v(fault);
                if trip {
                    let event = self.bench.state.watch.raise(event_of(fault, value_v, limit_v));
                    // Counts may be missing: what was taken from the mark is not to be trusted.
                    self.react(event);
                }
                // The alarm says what the axis does; this line says what is wrong.
                if !(trip && fault.rank() < 2) {
                    self.pending.push(What::Signal { fault, value_v, limit_v });
                }
            }
        }
    }

    fn signal_value_v(&self, fault: SignalFault) -> f64 {
        let [a_v, b_v] = self.signal_seen.v;
        match fault {
            SignalFault::PairMissing(pair) | SignalFault::ChannelStands(pair) | SignalFault::CommonMode(pair) => {
                [a_v, b_v, 0.0][pair as usize].abs()
            }
            _ => hypot(a_v, b_v),
        }
    }
}
