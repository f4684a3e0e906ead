//! Triggered sweeps of the traces: what starts one, the last ones kept, and holding what is shown.

use super::columns::Columns;
use sim_core::chain::mark::MarkTrack;
use sim_core::instrument::scope::{Edge, Scope, ScopeSettings, Source, Sweep};
use sim_core::instrument::waveform::Waveform;
use sim_core::record::{Sample, Tap};
use std::collections::VecDeque;

/// Most sweeps kept, the newest among them.
pub const MOST_SWEEPS: usize = 8;
/// Share of a sweep that lies before its trigger.
pub const BEFORE: f64 = 0.25;
/// Up to this window the dots of the scope are finer than the recorder's slices, s.
const FINE_S: f64 = 2.5e-3;
/// Longest window of the scope, s.
const LONGEST_S: f64 = 100.0;
/// How far the signal must come from before it triggers, V.
const HYSTERESIS_V: f64 = 0.02;

/// What starts a sweep.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum TriggerOn {
    /// Nothing: the traces run on with the time.
    #[default]
    Free,
    /// A rises through the level.
    A,
    /// B rises through the level.
    B,
    /// The reference mark.
    Mark,
    /// The axis was stopped.
    Alarm,
}

impl TriggerOn {
    /// All of them with their key and their words.
    pub const ALL: [(TriggerOn, &'static str, &'static str); 5] = [
        (TriggerOn::Free, "free", "free"),
        (TriggerOn::A, "a", "A rises"),
        (TriggerOn::B, "b", "B rises"),
        (TriggerOn::Mark, "mark", "mark"),
        (TriggerOn::Alarm, "alarm", "alarm"),
    ];

    /// Its words.
    pub fn words(self) -> &'static str {
        Self::ALL[self as usize].2
    }
}

/// The sweeps.
#[derive(Clone, Debug, Default)]
pub struct Sweeps {
    on: TriggerOn,
    level_v: f64,
    window_s: f64,
    mark: Option<(f64, f64)>,
    scope: Option<Scope>,
    taken: u64,
    /// Moment of an alarm whose sweep is still coming in, s.
    due_s: Option<f64>,
    kept: VecDeque<(f64, Columns)>,
    /// How many sweeps are shown, 1 to [`MOST_SWEEPS`].
    pub keep: usize,
    /// What is held, with its trigger, s.
    pub held: Option<(Option<f64>, Columns)>,
}

impl Sweeps {
    /// What starts a sweep.
    pub fn on(&self) -> TriggerOn {
        self.on
    }

    /// Level of the trigger on A or B, V.
    pub fn level_v(&self) -> f64 {
        self.level_v
    }

    /// Sweeps that are shown, oldest first, each with the moment of its trigger, s.
    pub fn shown(&self) -> impl DoubleEndedIterator<Item = &(f64, Columns)> + ExactSizeIterator {
        let show = self.keep.clamp(1, MOST_SWEEPS).min(self.kept.len());
        self.kept.range(self.kept.len() - show..)
    }

    /// Chooses what starts a sweep; the kept ones are dropped.
    pub fn trigger(&mut self, on: TriggerOn, level_v: f64) {
        self.on = on;
        self.level_v = if level_v.is_finite() { level_v.clamp(-20.0, 20.0) } else { 0.0 };
        self.arm();
    }

    /// The window and the mark as they are now; where they changed, sweeps start afresh.
    pub fn follow(&mut self, window_s: f64, mark: Option<(f64, f64)>) {
        if window_s != self.window_s || mark != self.mark {
            (self.window_s, self.mark) = (window_s, mark);
            self.arm();
        }
    }

    fn arm(&mut self) {
        self.kept.clear();
        self.due_s = None;
        self.taken = 0;
        let source = match self.on {
            TriggerOn::Free | TriggerOn::Alarm => None,
            TriggerOn::A => Some(Source::A),
            TriggerOn::B => Some(Source::B),
            TriggerOn::Mark => self.mark.map(|(at_m, width_m)| Source::Mark { at_m, width_m }),
        };
        self.scope = source.and_then(|source| {
            let settings = ScopeSettings {
                source,
                level_v: self.level_v,
                hysteresis_v: HYSTERESIS_V,
                edge: Edge::Rising,
                sweep: Sweep::OnTrigger,
                hold_off_s: 0.0,
                window_s: self.window_s.clamp(100e-6, LONGEST_S),
                pre_share: BEFORE,
            };
            Scope::new(settings).ok()
        });
    }

    /// The axis was stopped.
    pub fn alarm(&mut self, time_s: f64) {
        if self.on == TriggerOn::Alarm {
            self.due_s = Some(time_s);
        }
    }

    /// A sample, which the recorder has already taken in.
    pub fn sample(&mut self, sample: &Sample, wave: &Waveform) {
        if let Some(at_s) = self.due_s
            && sample.time_s >= at_s + (1.0 - BEFORE) * self.window_s
        {
            self.due_s = None;
            let end_s = at_s + (1.0 - BEFORE) * self.window_s;
            self.keep_one(at_s, Columns::of_wave(wave, end_s, self.window_s, super::COLUMNS));
        }
        let Some(scope) = &mut self.scope else { return };
        scope.sample(sample);
        let Some(screen) = scope.screen().filter(|s| s.number != self.taken) else { return };
        self.taken = screen.number;
        let window_s = scope.settings().window_s;
        let mut columns = Columns::of_wave(wave, screen.start_s + window_s, window_s, super::COLUMNS);
        if window_s <= FINE_S {
            columns = Columns::of_screen(screen, window_s, &columns);
        }
        let at_s = screen.trigger_s;
        self.keep_one(at_s, columns);
    }

    fn keep_one(&mut self, at_s: f64, columns: Columns) {
        if self.kept.len() == MOST_SWEEPS {
            self.kept.pop_front();
        }
        self.kept.push_back((at_s, columns));
    }
}

/// Middle and width of the first mark's pulse, m from machine zero.
pub fn mark_pulse(track: &MarkTrack, period_m: f64) -> Option<(f64, f64)> {
    let at_m = track.place_m(0) + 0.125 * period_m;
    at_m.is_finite().then_some((at_m, 0.25 * period_m))
}
