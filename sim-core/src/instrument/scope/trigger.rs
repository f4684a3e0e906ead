//! When the scope triggers.

use super::ScopeSettings;
use crate::record::Sample;

/// What the trigger looks at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Source {
    /// Channel A at the level.
    A,
    /// Channel B at the level.
    B,
    /// Squared A.
    SquareA,
    /// Squared B.
    SquareB,
    /// The reference mark by its place: high while the table is within half the width of it.
    Mark {
        /// Middle of the mark, m from machine zero, -10 to 10.
        at_m: f64,
        /// Width of the gate, m, in the range of a period.
        width_m: f64,
    },
}

/// Which edge triggers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Edge {
    /// Upward.
    Rising,
    /// Downward.
    Falling,
    /// Either way.
    Either,
}

impl Edge {
    fn takes(self, rising: bool) -> bool {
        match self {
            Edge::Rising => rising,
            Edge::Falling => !rising,
            Edge::Either => true,
        }
    }
}

/// Which sides of the level the signal has clearly been on since it last triggered.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Trigger {
    been_below: bool,
    been_above: bool,
}

impl Trigger {
    /// Takes in a sample and gives the time of the trigger between the two, s.
    pub(super) fn look(&mut self, settings: &ScopeSettings, before: &Sample, now: &Sample) -> Option<f64> {
        match settings.source {
            Source::A => self.level(settings, (before.time_s, before.a_v), (now.time_s, now.a_v)),
            Source::B => self.level(settings, (before.time_s, before.b_v), (now.time_s, now.b_v)),
            Source::SquareA => logic(settings.edge, before.square_a, now.square_a, now.time_s),
            Source::SquareB => logic(settings.edge, before.square_b, now.square_b, now.time_s),
            Source::Mark { at_m, width_m } => {
                let high = |s: &Sample| (s.table_m - at_m).abs() < 0.5 * width_m;
                logic(settings.edge, high(before), high(now), now.time_s)
            }
        }
    }

    fn level(&mut self, settings: &ScopeSettings, before: (f64, f64), now: (f64, f64)) -> Option<f64> {
        let (level_v, hysteresis_v) = (settings.level_v, settings.hysteresis_v);
        self.side(before.1, level_v, hysteresis_v);
        let up = self.been_below && before.1 < level_v && now.1 >= level_v;
        let down = self.been_above && before.1 > level_v && now.1 <= level_v;
        if !(up || down) {
            return None;
        }
        if up {
            self.been_below = false;
        } else {
            self.been_above = false;
        }
        // The two differ, since they lie on different sides.
        let share = (level_v - before.1) / (now.1 - before.1);
        settings.edge.takes(up).then(|| before.0 + share.clamp(0.0, 1.0) * (now.0 - before.0))
    }

    fn side(&mut self, v: f64, level_v: f64, hysteresis_v: f64) {
        self.been_below |= v < level_v - hysteresis_v || (hysteresis_v == 0.0 && v < level_v);
        self.been_above |= v > level_v + hysteresis_v || (hysteresis_v == 0.0 && v > level_v);
    }
}

/// An edge of a logic signal; it is known at the sample that shows it.
fn logic(edge: Edge, before: bool, now: bool, time_s: f64) -> Option<f64> {
    (before != now && edge.takes(now)).then_some(time_s)
}
