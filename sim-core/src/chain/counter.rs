//! Quadrature counter with mark latch.
//!
//! Two levels make a state `k = (A xor B) + 2 B`, so 00, 10, 11, 01 are 0, 1, 2, 3 and `k` rises
//! for positive motion (A leads B). A count belongs to a *boundary* between neighbouring states and
//! is added when it is crossed upwards, taken off when it is crossed downwards; so a signal that
//! dithers on an edge never drifts. Both levels changing between two samples is illegal.

use serde::{Deserialize, Serialize};

/// The two squared channels at one instant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Levels {
    /// Channel A.
    pub a: bool,
    /// Channel B, a quarter period later than A in positive motion.
    pub b: bool,
}

impl Levels {
    /// State number 0..3, rising in positive motion: 00, 10, 11, 01.
    #[must_use]
    pub fn state(self) -> u8 {
        u8::from(self.a != self.b) + 2 * u8::from(self.b)
    }

    /// The levels of state `k` modulo 4.
    #[must_use]
    pub fn of_state(k: i64) -> Self {
        let k = k.rem_euclid(4);
        Self { a: k == 1 || k == 2, b: k >= 2 }
    }
}

/// Which boundaries count.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum CountMode {
    /// One count per signal period: boundary 00|10 only.
    X1,
    /// Two counts per period: both edges of A.
    X2,
    /// Four counts per period: every edge.
    X4,
    /// Teaching case: each rising edge of A, sign from the level of B. Drifts when A dithers.
    NaiveX1,
    /// Teaching case, one sensor only: each rising edge of A is +1 whatever the direction.
    OneChannel,
}

impl CountMode {
    /// Counts per signal period.
    #[must_use]
    pub fn per_period(self) -> u32 {
        match self {
            Self::X1 | Self::NaiveX1 | Self::OneChannel => 1,
            Self::X2 => 2,
            Self::X4 => 4,
        }
    }

    /// Whether the boundary between states `k` and `k + 1` counts.
    fn counts_boundary(self, k: u8) -> bool {
        match self {
            Self::X4 => true,
            Self::X2 => k == 0 || k == 2,
            Self::X1 => k == 0,
            Self::NaiveX1 | Self::OneChannel => false,
        }
    }
}

/// What happens to the count at an illegal transition. It is flagged in every case.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum IllegalPolicy {
    /// Leave the count; afterwards count and state disagree by two edges.
    #[default]
    Hold,
    /// Suppose two edges in the direction of the last count.
    LastDirection,
    /// Count no more until the counter is reset.
    Freeze,
}

/// Settings of the counter.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct CounterParams {
    /// Which boundaries count.
    pub mode: CountMode,
    /// What an illegal transition does to the count.
    pub policy: IllegalPolicy,
    /// State 0..3 that gates the mark; 2 (both channels high) is the usual one.
    pub mark_state: u8,
}

impl Default for CounterParams {
    fn default() -> Self {
        Self { mode: CountMode::X4, policy: IllegalPolicy::Hold, mark_state: 2 }
    }
}

/// What the counter carries from sample to sample.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct CounterState {
    /// The count, in units of the mode.
    pub count: i64,
    /// Illegal transitions since the last reset.
    pub illegal_count: u64,
    /// Direction of the last count: +1, -1, or 0 before the first.
    pub direction: i8,
    /// True from an illegal transition to the next reset: the position is not to be trusted.
    pub unsure: bool,
    /// The last two latched counts, newest first.
    pub latches: [Option<i64>; 2],
    /// How many times the mark was latched; a reader sees a new latch by this number.
    pub latch_number: u64,
    levels: Option<Levels>,
    gate: bool,
    frozen: bool,
}

/// What one sample did.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct CountStep {
    /// Change of the count, -2..=2.
    pub change: i64,
    /// Both channels changed at once.
    pub illegal: bool,
    /// The count latched by this sample.
    pub latched: Option<i64>,
}

impl CounterState {
    /// Takes the levels and the mark of one sample. The first sample only sets the state.
    ///
    /// The mark is gated with the state `mark_state` and latched on entering it, *after* the count
    /// is updated: then both directions latch the same number.
    pub fn step(&mut self, p: &CounterParams, levels: Levels, mark: bool) -> CountStep {
        let mut out = CountStep::default();
        if let Some(old) = self.levels {
            (out.change, out.illegal) = self.transition(p, old, levels);
        }
        self.levels = Some(levels);
        if out.illegal {
            self.illegal_count += 1;
            self.unsure = true;
            self.frozen |= p.policy == IllegalPolicy::Freeze;
        }
        if self.frozen {
            out.change = 0;
        }
        self.count = self.count.saturating_add(out.change);
        if out.change != 0 {
            self.direction = if out.change > 0 { 1 } else { -1 };
        }
        let gate = mark && levels.state() == p.mark_state;
        if gate && !self.gate {
            self.latches = [Some(self.count), self.latches[0]];
            self.latch_number += 1;
            out.latched = Some(self.count);
        }
        self.gate = gate;
        out
    }

    /// Goes from one state to another through all states between, away from any mark: the same as [`Self::step`] with
    /// each of them, in one reckoning. State numbers run on past 3 and below 0. `false`, and nothing done, where only
    /// the single steps tell: in the teaching modes, and when the levels are not those of `from`.
    #[inline]
    pub fn pass(&mut self, p: &CounterParams, (from, to): (i64, i64)) -> bool {
        // How many boundaries below a state count, but for a constant.
        let counted = |state: i64| match p.mode {
            CountMode::X2 => (state + 1) >> 1,
            CountMode::X1 => (state + 3) >> 2,
            _ => state,
        };
        let teaching = matches!(p.mode, CountMode::NaiveX1 | CountMode::OneChannel);
        if teaching || self.frozen || self.levels != Some(Levels::of_state(from)) {
            return false;
        }
        let change = counted(to) - counted(from);
        self.count = self.count.saturating_add(change);
        self.direction = if change == 0 { self.direction } else { change.signum() as i8 };
        self.levels = Some(Levels::of_state(to));
        self.gate &= from == to;
        true
    }

    /// Change of the count and whether the transition is illegal.
    fn transition(&self, p: &CounterParams, old: Levels, new: Levels) -> (i64, bool) {
        let rising_a = i64::from(new.a && !old.a);
        let k = old.state();
        let turn = (new.state() + 4 - k) % 4;
        match p.mode {
            CountMode::OneChannel => return (rising_a, false),
            CountMode::NaiveX1 => return (if new.b { -rising_a } else { rising_a }, turn == 2),
            _ => {}
        }
        let up = |k: u8| i64::from(p.mode.counts_boundary(k % 4));
        match turn {
            1 => (up(k), false),
            3 => (-up(k + 3), false),
            2 => {
                let change = match (p.policy, self.direction) {
                    (IllegalPolicy::LastDirection, 1) => up(k) + up(k + 1),
                    (IllegalPolicy::LastDirection, -1) => -(up(k + 3) + up(k + 2)),
                    _ => 0,
                };
                (change, true)
            }
            _ => (0, false),
        }
    }

    /// The levels of the last sample, if there was one.
    #[must_use]
    pub fn levels(&self) -> Option<Levels> {
        self.levels
    }

    /// Starts afresh with a count, as after the input was changed: levels unknown, no flags, no latches.
    #[must_use]
    pub fn at(count: i64) -> Self {
        Self { count, ..Self::default() }
    }

    /// Sets the count to zero and forgets flags and latches; keeps the levels, so the next sample
    /// counts from where the signals stand.
    pub fn reset(&mut self) {
        *self = Self { levels: self.levels, gate: self.gate, latch_number: self.latch_number, ..Self::default() };
    }
}

#[cfg(test)]
#[path = "counter_tests.rs"]
mod tests;
