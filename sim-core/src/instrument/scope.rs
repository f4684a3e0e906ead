//! The scope: A and B (and their squares) over time around a trigger.
//!
//! Samples of the bench come at unequal distances; the scope draws straight lines between them onto an even raster of
//! a thousand dots, moved so that the trigger stands exactly at its place. Squares and mark are held, not sloped. All
//! memory is taken when the scope is made. Left out: the bandwidth and the resolution of a real instrument; what
//! happens between two samples of the bench.

use super::track::check_period;
use crate::numbers::{FieldError, check_field};
use crate::record::{Sample, Tap};

mod trigger;
use trigger::Trigger;
pub use trigger::{Edge, Source};

/// Dots on a screen.
pub const DOTS: usize = 1000;
/// Raster points kept: a screen, and the ends of the lines that cross its border.
const RING: usize = DOTS + 4;
/// A gap in the samples that is longer than this is a new start, s (ten steps of the model).
const GAP_S: f64 = 0.5e-3;
/// The free-running sweep waits at least this long for a trigger, s (own).
const PATIENCE_S: f64 = 0.02;

/// When a new screen is taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sweep {
    /// At every trigger; without one, after a wait, all the same.
    Auto,
    /// At every trigger, else the last screen stays.
    OnTrigger,
    /// At the next trigger, then the screen stays until the scope is armed again.
    Once,
}

/// What is set on the scope.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ScopeSettings {
    /// What the trigger looks at.
    pub source: Source,
    /// Level of the trigger for A and B, V, -20 to 20; squares and mark need none.
    pub level_v: f64,
    /// How far the signal must have been on the other side of the level before it can trigger, V, 0 to 5: keeps noise
    /// from triggering on the wrong edge.
    pub hysteresis_v: f64,
    /// Which edge.
    pub edge: Edge,
    /// When a new screen is taken.
    pub sweep: Sweep,
    /// Time after a trigger in which none is taken, s, 0 to 10.
    pub hold_off_s: f64,
    /// Time across the screen, s, 100e-6 to 100.
    pub window_s: f64,
    /// Share of the screen before the trigger, 0 to 1.
    pub pre_share: f64,
}

impl Default for ScopeSettings {
    fn default() -> Self {
        Self {
            source: Source::A,
            level_v: 0.0,
            hysteresis_v: 0.02,
            edge: Edge::Rising,
            sweep: Sweep::Auto,
            hold_off_s: 0.0,
            window_s: 10e-3,
            pre_share: 0.5,
        }
    }
}

impl ScopeSettings {
    /// Checks every number.
    ///
    /// # Errors
    /// The first that is not finite or outside its range.
    pub fn check(&self) -> Result<(), FieldError> {
        check_field("level_v", self.level_v, (-20.0, 20.0), "V")?;
        check_field("hysteresis_v", self.hysteresis_v, (0.0, 5.0), "V")?;
        check_field("hold_off_s", self.hold_off_s, (0.0, 10.0), "s")?;
        check_field("window_s", self.window_s, (100e-6, 100.0), "s")?;
        check_field("pre_share", self.pre_share, (0.0, 1.0), "1")?;
        if let Source::Mark { at_m, width_m } = self.source {
            check_field("mark.at_m", at_m, (-10.0, 10.0), "m")?;
            check_period(width_m)?;
        }
        Ok(())
    }
}

/// The signals at one dot.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Dot {
    /// Channel A, V.
    pub a_v: f64,
    /// Channel B, V.
    pub b_v: f64,
    /// Squared A.
    pub square_a: bool,
    /// Squared B.
    pub square_b: bool,
    /// Where the table is, m from machine zero.
    pub table_m: f64,
    /// Count so far.
    pub count: i64,
}

/// A captured screen.
#[derive(Clone, Debug, PartialEq)]
pub struct Screen {
    /// The dots, oldest first, [`DOTS`] of them.
    pub dots: Vec<Dot>,
    /// Time of the first dot, s of model time.
    pub start_s: f64,
    /// Time from dot to dot, s.
    pub dot_s: f64,
    /// Time of the trigger, s of model time (of the end of the wait, without one).
    pub trigger_s: f64,
    /// Whether there was a trigger.
    pub triggered: bool,
    /// Number of the screen since the scope was made, from 1.
    pub number: u64,
}

/// What the scope is doing.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Phase {
    /// Waiting for a trigger since then.
    Waiting { since_s: f64 },
    /// Triggered then; the rest of the screen is coming in.
    Taking { at_s: f64, triggered: bool },
    /// The screen is taken, no trigger until then.
    HoldingOff { until_s: f64 },
    /// The one screen is taken.
    Held,
}

/// What the scope is doing, for a lamp beside it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Activity {
    /// Waiting for a trigger.
    Waiting,
    /// A screen is coming in.
    Taking,
    /// Not looking for a trigger for a while.
    HoldingOff,
    /// The one screen is taken.
    Held,
}

/// The scope.
#[derive(Clone, Debug)]
pub struct Scope {
    settings: ScopeSettings,
    dot_s: f64,
    ring: Vec<Dot>,
    /// Raster number of the newest dot of the ring; raster time is number x `dot_s`.
    newest: i64,
    phase: Phase,
    trigger: Trigger,
    last: Option<Sample>,
    screen: Screen,
}

impl Scope {
    /// A scope with these settings, armed.
    ///
    /// # Errors
    /// The first setting that is out of range.
    pub fn new(settings: ScopeSettings) -> Result<Self, FieldError> {
        settings.check()?;
        let dot_s = settings.window_s / DOTS as f64;
        Ok(Self {
            settings,
            dot_s,
            ring: Vec::with_capacity(RING),
            newest: 0,
            phase: Phase::Waiting { since_s: 0.0 },
            trigger: Trigger::default(),
            last: None,
            screen: Screen {
                dots: Vec::with_capacity(DOTS),
                start_s: 0.0,
                dot_s,
                trigger_s: 0.0,
                triggered: false,
                number: 0,
            },
        })
    }

    /// The settings in force.
    #[must_use]
    pub fn settings(&self) -> &ScopeSettings {
        &self.settings
    }

    /// Changes the settings and arms the scope. The last screen stays until the next.
    ///
    /// # Errors
    /// The first setting that is out of range; the scope is then as before.
    pub fn set(&mut self, settings: ScopeSettings) -> Result<(), FieldError> {
        settings.check()?;
        if settings.window_s != self.settings.window_s {
            self.ring.clear();
            self.last = None;
        }
        self.settings = settings;
        self.dot_s = settings.window_s / DOTS as f64;
        self.arm();
        Ok(())
    }

    /// Looks for a trigger again, after a single shot or instead of the one that is coming in.
    pub fn arm(&mut self) {
        self.trigger = Trigger::default();
        self.phase = Phase::Waiting { since_s: self.last.map_or(0.0, |s| s.time_s) };
    }

    /// The newest whole screen.
    #[must_use]
    pub fn screen(&self) -> Option<&Screen> {
        (self.screen.number > 0).then_some(&self.screen)
    }

    /// What the scope is doing.
    #[must_use]
    pub fn activity(&self) -> Activity {
        match self.phase {
            Phase::Waiting { .. } => Activity::Waiting,
            Phase::Taking { .. } => Activity::Taking,
            Phase::HoldingOff { .. } => Activity::HoldingOff,
            Phase::Held => Activity::Held,
        }
    }

    /// Time from the trigger to the right border, s.
    fn post_s(&self) -> f64 {
        (1.0 - self.settings.pre_share) * self.settings.window_s
    }

    fn restart(&mut self, sample: &Sample) {
        self.ring.clear();
        self.newest = libm::floor(sample.time_s / self.dot_s) as i64;
        self.trigger = Trigger::default();
        if self.phase != Phase::Held {
            self.phase = Phase::Waiting { since_s: sample.time_s };
        }
    }

    /// Whether the raster reaches back far enough for a trigger at this time.
    fn filled_before(&self, at_s: f64) -> bool {
        let oldest = self.newest + 1 - self.ring.len() as i64;
        let pre_s = self.settings.pre_share * self.settings.window_s;
        // The first dot may need the raster point before it.
        !self.ring.is_empty() && oldest as f64 * self.dot_s <= at_s - pre_s
    }

    fn look(&mut self, before: &Sample, sample: &Sample) {
        let crossed_s = self.trigger.look(&self.settings, before, sample);
        if let Phase::HoldingOff { until_s } = self.phase
            && sample.time_s >= until_s
        {
            self.phase = Phase::Waiting { since_s: until_s };
        }
        let Phase::Waiting { since_s } = self.phase else { return };
        match crossed_s {
            Some(at_s) if at_s >= since_s && self.filled_before(at_s) => {
                self.phase = Phase::Taking { at_s, triggered: true };
            }
            _ => {
                let patience_s = self.settings.window_s.max(PATIENCE_S);
                let tired = sample.time_s - since_s > patience_s && self.filled_before(sample.time_s);
                if self.settings.sweep == Sweep::Auto && tired {
                    self.phase = Phase::Taking { at_s: sample.time_s, triggered: false };
                }
            }
        }
    }

    fn push(&mut self, dot: Dot) {
        self.newest += 1;
        if self.ring.len() < RING {
            // A ring that is not full starts wherever it was cleared; its places are taken in order.
            self.ring.push(dot);
            if self.ring.len() == RING {
                // From here on the place of a dot is its number.
                let first = (self.newest + 1 - RING as i64).rem_euclid(RING as i64) as usize;
                self.ring.rotate_right(first);
            }
        } else {
            let place = self.newest.rem_euclid(RING as i64) as usize;
            self.ring[place] = dot;
        }
    }

    fn dot(&self, number: i64) -> Dot {
        let place = if self.ring.len() == RING {
            number.rem_euclid(RING as i64)
        } else {
            (number - self.newest - 1 + self.ring.len() as i64).clamp(0, self.ring.len() as i64 - 1)
        };
        self.ring[place as usize]
    }

    fn finish(&mut self, at_s: f64, triggered: bool) {
        let start_s = at_s - self.settings.pre_share * self.settings.window_s;
        let first = start_s / self.dot_s;
        let whole = libm::floor(first);
        let share = first - whole;
        self.screen.dots.clear();
        for i in 0..DOTS as i64 {
            let (from, to) = (self.dot(whole as i64 + i), self.dot(whole as i64 + i + 1));
            let held = if share < 0.5 { from } else { to };
            self.screen.dots.push(Dot {
                a_v: from.a_v + share * (to.a_v - from.a_v),
                b_v: from.b_v + share * (to.b_v - from.b_v),
                table_m: from.table_m + share * (to.table_m - from.table_m),
                ..held
            });
        }
        self.screen.start_s = start_s;
        self.screen.dot_s = self.dot_s;
        self.screen.trigger_s = at_s;
        self.screen.triggered = triggered;
        self.screen.number += 1;
        self.phase = match self.settings.sweep {
            Sweep::Once => Phase::Held,
            // The next screen starts where this one ends, or later.
            _ => Phase::HoldingOff { until_s: at_s + self.post_s().max(self.settings.hold_off_s) },
        };
    }
}

impl Tap for Scope {
    fn sample(&mut self, sample: &Sample) {
        let Some(before) = self.last.replace(*sample) else {
            self.restart(sample);
            return;
        };
        let step_s = sample.time_s - before.time_s;
        if !(step_s > 0.0 && step_s <= GAP_S) {
            self.restart(sample);
            return;
        }
        self.look(&before, sample);
        loop {
            let time_s = (self.newest + 1) as f64 * self.dot_s;
            if time_s > sample.time_s {
                break;
            }
            let share = ((time_s - before.time_s) / step_s).clamp(0.0, 1.0);
            self.push(Dot {
                a_v: before.a_v + share * (sample.a_v - before.a_v),
                b_v: before.b_v + share * (sample.b_v - before.b_v),
                square_a: if share < 1.0 { before.square_a } else { sample.square_a },
                square_b: if share < 1.0 { before.square_b } else { sample.square_b },
                table_m: before.table_m + share * (sample.table_m - before.table_m),
                count: if share < 1.0 { before.count } else { sample.count },
            });
            if let Phase::Taking { at_s, triggered } = self.phase
                && time_s >= at_s + self.post_s()
            {
                self.finish(at_s, triggered);
            }
        }
    }
}

#[cfg(test)]
mod tests;
