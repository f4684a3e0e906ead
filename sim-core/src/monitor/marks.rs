//! What passing reference marks tells: a mark that does not come, one that comes at another count than
//! its plan says, and a zero that is found elsewhere than the last time.

use serde::{Deserialize, Serialize};

use super::{MonitorEvent, MonitorKind, Reaction};

/// Change of the distance to the plan that is told, counts.
const SPACING_WARN: f64 = 1.0;
/// Change that stops the axis, counts.
const SPACING_TRIP: f64 = 4.0;
/// Counts by which a repeated zero may differ.
const REPEAT_WARN: f64 = 2.0;
/// Share of the marks' spacing from which on another mark was taken.
const REPEAT_OTHER: f64 = 0.3;

/// State of the comparison of marks with their plan.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct MarkSpacingState {
    /// Count at the last mark less the count that its plan gives; `None` before the first.
    last_off: Option<f64>,
}

impl MarkSpacingState {
    /// A mark was passed, `off` counts from where the plan has the nearest one. The distance between
    /// two marks is wrong by the change of this number.
    pub fn step(&mut self, off: f64) -> Option<MonitorEvent> {
        let change = self.last_off.map_or(0.0, |last| (off - last).abs());
        self.last_off = Some(off);
        // Whole counts, told through lengths: half a count is slack for their last bits.
        if change >= SPACING_TRIP - 0.5 {
            Some(event(MonitorKind::MarkSpacing, Reaction::R1, change, SPACING_TRIP))
        } else if change > SPACING_WARN + 0.5 {
            Some(event(MonitorKind::MarkSpacing, Reaction::R0, change, SPACING_WARN))
        } else {
            None
        }
    }
}

/// No mark came within a way, m, in which one must.
#[must_use]
pub fn mark_missing(within: f64) -> MonitorEvent {
    event(MonitorKind::MarkMissing, Reaction::R1, within, within)
}

/// Zero was taken again, `moved` counts from the one before, with marks `spacing` counts apart.
#[must_use]
pub fn mark_repeat(moved: i64, spacing: f64) -> Option<MonitorEvent> {
    let moved = moved.unsigned_abs() as f64;
    let limit = if moved > REPEAT_OTHER * spacing { REPEAT_OTHER * spacing } else { REPEAT_WARN };
    (moved > REPEAT_WARN).then(|| event(MonitorKind::MarkRepeat, Reaction::R0, moved, limit))
}

fn event(kind: MonitorKind, reaction: Reaction, value: f64, limit: f64) -> MonitorEvent {
    MonitorEvent { kind, reaction, value, limit, primary: false }
}

#[cfg(test)]
mod tests {
    use super::*;

    // Source: axis specification, monitors: more than 1 count warns, 4 and more trip.
    #[test]
    fn spacing_warns_above_one_count_and_trips_from_four() {
        let mut s = MarkSpacingState::default();
        let mut at = |off: f64| s.step(off).map(|e| e.reaction);
        assert_eq!([at(100.0), at(101.0), at(103.0), at(99.0)], [None, None, Some(Reaction::R0), Some(Reaction::R1)]);
        assert_eq!(at(99.0), None);
    }

    // Source: axis specification, monitors: more than 2 counts, more than 0.3 of the spacing.
    #[test]
    fn a_repeated_zero_is_compared() {
        let limit = |moved| mark_repeat(moved, 1000.0).map(|e| e.limit);
        assert_eq!([limit(2), limit(-3), limit(300), limit(-301)], [None, Some(2.0), Some(2.0), Some(300.0)]);
    }
}
