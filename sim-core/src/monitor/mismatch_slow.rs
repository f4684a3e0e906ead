//! Slow disagreement of scale and motor encoder: what the quick comparison takes for heat and removes. It stops nothing;
//! it asks for a look at screw, coupling and bracket.

use serde::{Deserialize, Serialize};

use super::{MonitorEvent, MonitorKind, Persistence, Reaction};

/// Limit against that of the quick comparison.
const SHARE: f64 = 5.0;

/// State of the monitor.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct MismatchSlowState(Persistence);

impl MismatchSlowState {
    /// One position tick of `dt` s: the removed part, m, with the limit of the quick comparison, m.
    pub fn step(&mut self, quick_limit: f64, removed: f64, dt: f64) -> Option<MonitorEvent> {
        let limit = SHARE * quick_limit;
        self.0.step(removed.abs() > limit, 0.0, dt).then_some(MonitorEvent {
            kind: MonitorKind::MismatchSlow,
            reaction: Reaction::R0,
            value: removed.abs(),
            limit,
            primary: false,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::super::mismatch::MismatchState;
    use super::*;

    // Source: axis model, section 4: the removed part against five times the quick limit. 1 um/s is followed, so the
    // quick part stays at rate times time constant = 120 um/s s, below a limit of 200 um; 1 mm is reached after 1120 s.
    #[test]
    fn slow_growth_is_noted_at_five_times_the_quick_limit() {
        let (mut quick, mut slow) = (MismatchState::default(), MismatchSlowState::default());
        let (limit, dt) = (0.2e-3, 0.1);
        let told = (0..20_000_u32).find(|i| {
            assert_eq!(quick.step(limit, 1e-6 * dt * f64::from(*i), dt), None);
            slow.step(limit, quick.removed(), dt).is_some_and(|e| e.reaction == Reaction::R0)
        });
        let seconds = told.map(|i| f64::from(i) * dt).unwrap();
        assert!((seconds - 1120.0).abs() < 2.0, "{seconds}");
    }
}
