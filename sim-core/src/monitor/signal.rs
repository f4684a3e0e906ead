//! Monitor of the signal at the control: tells when it goes bad and when it is good again, and in trip mode stops the
//! axis (axis model, section 4: `signal-low`, `signal-high`, `signal-lost`).
//!
//! What single samples are judged by is [`crate::chain::loss`]; here it becomes one story. A finding is told once, a
//! worse one again; "good again" is told when it lasts, so that a vector that dips once a period does not fill the log.
//! One more loss is found here because it takes the motor encoder: one channel makes 8 edges, the other none, and the
//! motor has moved more than two signal periods. Heads with square outputs hide a weak light: their levels stay good.

use super::{MonitorEvent, MonitorKind, Reaction};
use crate::chain::loss::SignalFault;
use crate::chain::wiring::Pair;
use serde::{Deserialize, Serialize};

/// Edges of one channel without one of the other.
const LONELY_EDGES: u64 = 8;
/// Signal periods that the motor must have moved meanwhile.
const LONELY_PERIODS: f64 = 2.0;
/// The signal must be good for so long, s, and so many signal periods ...
const GOOD_S: f64 = 0.1;
const GOOD_PERIODS: f64 = 2.0;
/// ... or for so long at any motion, s (own).
const GOOD_AT_REST_S: f64 = 1.0;

/// What the control makes of a bad signal.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum SignalMonitor {
    /// It does not look.
    Off,
    /// It tells.
    #[default]
    Log,
    /// It tells and takes the torque off.
    Trip,
}

/// News of the signal.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SignalNews {
    /// This is wrong, for the first time or worse than what was told.
    Bad(SignalFault),
    /// In order again.
    Good,
}

/// Readings of one step.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SignalReading {
    /// The worst finding within the step.
    pub seen: Option<SignalFault>,
    /// Edges of A and B at the counter so far; `None` where only one sensor is plugged in.
    pub edges: Option<[u64; 2]>,
    /// Place by the motor encoder, m.
    pub motor_m: f64,
    /// Length of the step, s.
    pub dt_s: f64,
    /// Signal period, m.
    pub period_m: f64,
}

/// What the monitor carries from step to step.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct SignalWatch {
    told: Option<SignalFault>,
    good_s: f64,
    good_from_m: f64,
    /// Edges and motor place where both channels had last switched.
    both_edges: [u64; 2],
    both_m: f64,
}

impl SignalWatch {
    /// What is wrong, as told.
    #[must_use]
    pub fn told(&self) -> Option<SignalFault> {
        self.told
    }

    /// Forgets what was told; what lasts is told again.
    pub fn reset(&mut self) {
        self.told = None;
    }

    /// One step.
    pub fn step(&mut self, r: &SignalReading) -> Option<SignalNews> {
        let stands = r.edges.and_then(|edges| self.stands(edges, r));
        match SignalFault::worse(r.seen, stands) {
            Some(fault) => {
                (self.good_s, self.good_from_m) = (0.0, r.motor_m);
                if self.told.is_some_and(|told| told.rank() >= fault.rank()) {
                    return None;
                }
                self.told = Some(fault);
                Some(SignalNews::Bad(fault))
            }
            None => {
                self.told?;
                self.good_s += r.dt_s;
                let moved = (r.motor_m - self.good_from_m).abs() > GOOD_PERIODS * r.period_m;
                if self.good_s < GOOD_S || !(moved || self.good_s >= GOOD_AT_REST_S) {
                    return None;
                }
                self.told = None;
                Some(SignalNews::Good)
            }
        }
    }

    fn stands(&mut self, edges: [u64; 2], r: &SignalReading) -> Option<SignalFault> {
        let made = [0, 1].map(|k: usize| edges[k].wrapping_sub(self.both_edges[k]));
        if made[0] > 0 && made[1] > 0 {
            (self.both_edges, self.both_m) = (edges, r.motor_m);
            return None;
        }
        let moved = (r.motor_m - self.both_m).abs() > LONELY_PERIODS * r.period_m;
        match made {
            [0, b] if moved && b >= LONELY_EDGES => Some(SignalFault::ChannelStands(Pair::A)),
            [a, 0] if moved && a >= LONELY_EDGES => Some(SignalFault::ChannelStands(Pair::B)),
            _ => None,
        }
    }
}

/// The alarm or warning that a finding is in trip mode, with the value that was seen and its limit, V.
#[must_use]
pub fn event_of(fault: SignalFault, value: f64, limit: f64) -> MonitorEvent {
    let kind = match fault {
        SignalFault::AmplitudeFalling | SignalFault::AmplitudeLow => MonitorKind::SignalLow,
        SignalFault::AmplitudeRising | SignalFault::AmplitudeHigh => MonitorKind::SignalHigh,
        SignalFault::SignalLost
        | SignalFault::PairMissing(_)
        | SignalFault::CommonMode(_)
        | SignalFault::ChannelStands(_) => MonitorKind::SignalLost,
    };
    let reaction = if fault.is_warning() { Reaction::R0 } else { Reaction::R3 };
    MonitorEvent { kind, reaction, value, limit, primary: false }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn reading(seen: Option<SignalFault>, motor_m: f64) -> SignalReading {
        SignalReading { seen, edges: None, motor_m, dt_s: 50e-6, period_m: 40e-6 }
    }

    #[test]
    fn a_finding_is_told_once_and_a_worse_one_again() {
        use SignalFault::{AmplitudeFalling, AmplitudeLow, SignalLost};
        let mut w = SignalWatch::default();
        let mut say = |seen| w.step(&reading(seen, 0.0));
        assert_eq!(say(None), None);
        assert_eq!(say(Some(AmplitudeFalling)), Some(SignalNews::Bad(AmplitudeFalling)));
        assert_eq!(say(Some(AmplitudeFalling)), None);
        assert_eq!(say(Some(SignalLost)), Some(SignalNews::Bad(SignalLost)));
        assert_eq!(say(Some(AmplitudeLow)), None);
        assert_eq!(w.told(), Some(SignalLost));
    }

    #[test]
    fn good_again_must_last_over_some_way_or_for_a_second_at_rest() {
        let steps_until_good = |mps: f64| {
            let mut w = SignalWatch::default();
            w.step(&reading(Some(SignalFault::SignalLost), 0.0));
            (1..40_000_u32).find(|i| w.step(&reading(None, mps * 50e-6 * f64::from(*i))) == Some(SignalNews::Good))
        };
        // Adding up may take one step more.
        assert!(steps_until_good(0.0).is_some_and(|n| n.abs_diff(20_000) <= 1));
        // 0.1 s in quick motion; 80 um at 0.2 mm/s are 0.4 s.
        assert!(steps_until_good(0.1).is_some_and(|n| n.abs_diff(2000) <= 1));
        assert!(steps_until_good(0.2e-3).is_some_and(|n| n.abs_diff(8000) <= 2));
        // A dip every 50 ms is one story.
        let mut w = SignalWatch::default();
        let dips = |i: u32| i.is_multiple_of(1000).then_some(SignalFault::AmplitudeLow);
        let told = (0..20_000).filter(|i| w.step(&reading(dips(*i), 1e-5 * f64::from(*i))).is_some()).count();
        assert_eq!(told, 1);
    }

    // Source: axis model, section 4, signal-lost: 8 edges of one, none of the other, the motor more than 2 P further.
    #[test]
    fn one_channel_that_stands_is_a_loss_only_when_the_motor_moves() {
        let seen = |edges: [u64; 2], motor_m: f64| {
            let mut w = SignalWatch::default();
            w.step(&SignalReading { edges: Some(edges), ..reading(None, motor_m) })
        };
        let lost = |pair| Some(SignalNews::Bad(SignalFault::ChannelStands(pair)));
        assert_eq!(seen([8, 0], 81e-6), lost(Pair::B));
        assert_eq!(seen([0, 9], -81e-6), lost(Pair::A));
        assert_eq!(seen([7, 0], 81e-6), None);
        assert_eq!(seen([8, 1], 81e-6), None);
        // Dither at rest.
        assert_eq!(seen([1000, 0], 79e-6), None);
    }

    #[test]
    fn warnings_do_not_stop_and_losses_take_the_torque_off() {
        assert_eq!(event_of(SignalFault::AmplitudeFalling, 0.3, 0.35).reaction, Reaction::R0);
        let lost = event_of(SignalFault::PairMissing(Pair::A), 0.0, 0.2);
        assert_eq!((lost.kind, lost.reaction), (MonitorKind::SignalLost, Reaction::R3));
        assert_eq!(event_of(SignalFault::AmplitudeHigh, 0.8, 0.75).kind, MonitorKind::SignalHigh);
    }
}
