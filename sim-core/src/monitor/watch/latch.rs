//! The latch: which faults there were, which came first, and when they may be acknowledged.

use super::{BusLowState, HeadSupplyState, MotorHotState, OverspeedState, Watch, WatchInput, WatchParams};
use crate::monitor::{MonitorEvent, MonitorKind, Reset, ResetRefusal};
use serde::{Deserialize, Serialize};

/// Within this time of the first fault others are its consequences, s.
const TOGETHER: f64 = 50e-3;
/// Kinds that are kept, at most: each once.
const MOST: usize = 32;

/// Where a fault stands among those since the last reset.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Rank {
    /// Stops nothing.
    #[default]
    Note,
    /// The first.
    Primary,
    /// Within 50 ms of the first: one of its consequences as a rule.
    Secondary,
    /// Later than that.
    Later,
}

/// A fault that is kept until it is reset.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub(super) struct Latched {
    kind: MonitorKind,
    /// When, s.
    time: f64,
}

impl Watch {
    /// Keeps an event that stops the axis, and tells its rank. `time` is the model's, s.
    pub fn latch(&mut self, event: &MonitorEvent, time: f64) -> Rank {
        if !event.alarms() {
            return Rank::Note;
        }
        let first = self.faults.first().map(|f| f.time);
        if self.faults.len() < MOST && self.faults.iter().all(|f| f.kind != event.kind) {
            self.faults.push(Latched { kind: event.kind, time });
        }
        match first {
            None => Rank::Primary,
            Some(first) if time - first <= TOGETHER => Rank::Secondary,
            Some(_) => Rank::Later,
        }
    }

    /// Kinds that are latched, in their order.
    pub fn latched(&self) -> impl Iterator<Item = MonitorKind> + '_ {
        self.faults.iter().map(|f| f.kind)
    }

    /// Whether what is latched may be acknowledged.
    ///
    /// # Errors
    /// The first kind that may not, and why: it wants the cabinet switched off and on, or its condition stands. An open
    /// limit switch may: the axis has to be jogged off it.
    pub fn may_reset(&self, p: &WatchParams, r: &WatchInput) -> Result<(), ResetRefusal> {
        for kind in self.latched() {
            if kind.reset() == Reset::PowerCycle {
                return Err(ResetRefusal::PowerCycle { kind });
            }
            if let Some(value) = self.stands(kind, p, r) {
                return Err(ResetRefusal::Stands { kind, value });
            }
        }
        Ok(())
    }

    /// The value of a condition that stands.
    fn stands(&self, kind: MonitorKind, p: &WatchParams, r: &WatchInput) -> Option<f64> {
        match kind {
            MonitorKind::Overload => (!self.overload.may_reset()).then_some(self.overload.level),
            MonitorKind::MotorHot => r.winding_c.filter(|c| MotorHotState::stands(*c)),
            MonitorKind::BusLow => r.bus.filter(|v| BusLowState::stands(p.bus_nominal, *v)),
            MonitorKind::HeadSupplyLow if p.head_supply == Some(true) => {
                r.head_supply.filter(|v| HeadSupplyState::stands(*v))
            }
            MonitorKind::Overspeed if p.speed => OverspeedState::stands(p.v_max, r.speed).then_some(r.speed.abs()),
            MonitorKind::IllegalEdges => {
                self.illegal.filter(|i| p.illegal && i.stands(r.time)).map(|i| i.within(r.time) as f64)
            }
            MonitorKind::SignalLow | MonitorKind::SignalHigh | MonitorKind::SignalLost => r.signal.map(|_| 0.0),
            _ => None,
        }
    }

    /// Forgets the faults; conditions that last speak again. What is a matter of the machine and not of the log stays:
    /// the heat in the motor, an open limit switch that was told.
    pub fn reset(&mut self) {
        let mut overload = self.overload;
        overload.reset();
        *self = Self { overload, hard_limit: self.hard_limit, ..Self::default() };
    }

    /// As after the cabinet was off for some time, s: the motor cooled meanwhile, the rest is forgotten.
    pub fn power_cycled(&mut self, p: &WatchParams, off: f64) {
        let kept = p.overload.map_or(0.0, |o| libm::exp(-off / o.time));
        let mut overload = self.overload;
        overload.reset();
        overload.level *= kept;
        *self = Self { overload, ..Self::default() };
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::axis::machine::MachineId;
    use crate::monitor::Reaction;

    fn event(kind: MonitorKind, reaction: Reaction) -> MonitorEvent {
        MonitorEvent { kind, reaction, value: 1.0, limit: 0.5, primary: false }
    }

    fn params() -> WatchParams {
        WatchParams::from_spec(&MachineId::MillX.spec())
    }

    // Source: axis model, section 4, latch: others within 50 ms are secondary, none is suppressed.
    #[test]
    fn the_first_is_primary_and_what_follows_at_once_is_secondary() {
        let mut w = Watch::default();
        let mut at = |kind, reaction, time| w.latch(&event(kind, reaction), time);
        assert_eq!(at(MonitorKind::FollowingWarn, Reaction::R0, 0.9), Rank::Note);
        assert_eq!(at(MonitorKind::FollowingMoving, Reaction::R2, 1.0), Rank::Primary);
        assert_eq!(at(MonitorKind::FollowingCap, Reaction::R3, 1.04), Rank::Secondary);
        assert_eq!(at(MonitorKind::Overspeed, Reaction::R3, 1.06), Rank::Later);
        let kinds: Vec<MonitorKind> = w.latched().collect();
        assert_eq!(kinds, [MonitorKind::FollowingMoving, MonitorKind::FollowingCap, MonitorKind::Overspeed]);
    }

    // Source: axis model, section 4, column Reset.
    #[test]
    fn what_stands_and_what_wants_the_cabinet_off_is_not_acknowledged() {
        let (p, r) = (params(), WatchInput::default());
        let mut w = Watch::default();
        w.latch(&event(MonitorKind::FollowingMoving, Reaction::R2), 0.0);
        assert_eq!(w.may_reset(&p, &r), Ok(()));
        w.latch(&event(MonitorKind::Overload, Reaction::R2), 0.0);
        w.overload.level = 0.8;
        assert_eq!(w.may_reset(&p, &r), Err(ResetRefusal::Stands { kind: MonitorKind::Overload, value: 0.8 }));
        // 30 s of the mill's motor in 30 s are a third left.
        w.power_cycled(&p, 30.0);
        assert!((w.overload() - 0.8 * libm::exp(-1.0)).abs() < 1e-12);
        assert_eq!(w.may_reset(&p, &r), Ok(()));
        w.latch(&event(MonitorKind::Overspeed, Reaction::R3), 0.0);
        let coasting = WatchInput { speed: 0.4, ..r };
        assert!(w.may_reset(&p, &coasting).is_err() && w.may_reset(&p, &r).is_ok());
        w.latch(&event(MonitorKind::Runaway, Reaction::R3), 0.0);
        assert_eq!(w.may_reset(&p, &r), Err(ResetRefusal::PowerCycle { kind: MonitorKind::Runaway }));
    }

    #[test]
    fn the_heat_and_an_open_switch_outlive_a_reset() {
        let p = params();
        let mut w = Watch::default();
        let beyond = WatchInput { position_dt: Some(1e-3), place: 0.55, ..WatchInput::default() };
        let mut seen = Vec::new();
        for _ in 0..20 {
            w.look(&p, &beyond, |e| seen.push(e.kind));
        }
        w.overload.level = 0.5;
        w.reset();
        for _ in 0..20 {
            w.look(&p, &beyond, |e| seen.push(e.kind));
        }
        assert_eq!(seen, [MonitorKind::HardLimit]);
        assert!(w.overload() > 0.49 && w.forbids() == Some(1.0) && w.primary.is_none());
    }

    // A default input is an axis of which nothing is known.
    #[test]
    fn nothing_known_says_nothing() {
        let p = WatchParams { illegal: true, head_supply: Some(true), ..params() };
        let mut w = Watch::default();
        for _ in 0..2000 {
            let r = WatchInput { position_dt: Some(1e-3), dt: 50e-6, ..WatchInput::default() };
            w.look(&p, &r, |e| panic!("{e:?}"));
        }
    }
}
