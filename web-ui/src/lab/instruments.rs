//! The instruments that watch the bench: one tap for all, made for the bench's scale, and their views.

use super::count_log::CountLog;
use super::measured::Measure;
use super::strip::Strip;
use super::sweeps::{Sweeps, mark_pulse};
use crate::draw::instrument_view::LoopPoint;
use sim_core::bench::Sim;
use sim_core::event::{Event, Weight};
use sim_core::instrument::figure::Figure;
use sim_core::instrument::levels::Levels;
use sim_core::instrument::track::PERIODS_MAX;
use sim_core::instrument::travel::Travel;
use sim_core::instrument::waveform::Waveform;
use sim_core::params::Params;
use sim_core::record::{Record, Sample, Tap};

/// Periods that the figure shows and its ellipse rests on.
const FIGURE_PERIODS: f64 = 4.0;

/// What is set on the instruments; it outlives a restart of the scene.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InstrumentSettings {
    /// Whether the healthy bench is drawn under the real one.
    pub compare: bool,
    /// Places of both cursors across the window, 0..1; none while they are put away.
    pub cursors: Option<[f64; 2]>,
}

impl Default for InstrumentSettings {
    fn default() -> Self {
        Self { compare: true, cursors: None }
    }
}

/// What decides how the taps are made: period, middle of the input, travel.
type Fit = (f64, f64, f64);

/// All instruments.
#[derive(Clone, Debug, Default)]
pub struct Instruments {
    /// What is set on them.
    pub settings: InstrumentSettings,
    /// Triggered sweeps of the traces.
    pub sweeps: Sweeps,
    /// The measured values of what is held.
    pub(super) held_values: Vec<Measure>,
    pub(super) counts: CountLog,
    pub(super) figure: Option<Figure>,
    pub(super) levels: Option<Levels>,
    pub(super) travel: Option<Travel>,
    pub(super) strip: Strip<LoopPoint>,
    fit: Option<Fit>,
}

impl Instruments {
    /// Instruments for a bench that starts; what was set on the ones before stays.
    pub fn of(sim: &Sim, before: Option<&Self>) -> Self {
        let mut new = Self::default();
        if let Some(before) = before {
            new.settings = before.settings;
            new.sweeps.keep = before.sweeps.keep;
            new.sweeps.trigger(before.sweeps.on(), before.sweeps.level_v());
        } else {
            new.sweeps.keep = 1;
            new.sweeps.trigger(Default::default(), sim.params().mean_v());
        }
        new.follow(sim);
        new
    }

    /// Makes the taps anew where the bench got another scale, input or travel.
    pub fn follow(&mut self, sim: &Sim) {
        let params = sim.params();
        let fit = (params.scale.period_m, zero_v(params), params.machine.travel);
        if self.fit == Some(fit) {
            return;
        }
        self.fit = Some(fit);
        let (period_m, zero_v, travel_m) = fit;
        self.levels = Levels::new(period_m, PERIODS_MAX).ok();
        self.figure = Figure::new(period_m, FIGURE_PERIODS, [zero_v; 2]).ok();
        let (low_m, high_m) = ends_m(params, travel_m);
        self.travel = Travel::new(period_m, low_m, high_m).ok();
    }

    /// The window of the traces as it is now.
    pub fn frame(&mut self, sim: &Sim, window_s: f64) {
        let period_m = sim.params().scale.period_m;
        let pulse = sim.compiled().mark.as_ref().and_then(|track| mark_pulse(track, period_m));
        self.sweeps.follow(window_s, pulse);
    }

    /// Forgets the amplitudes over the travel.
    pub fn clear_travel(&mut self) {
        if let Some(travel) = &mut self.travel {
            travel.clear();
        }
    }

    /// A sample, which the recorder has already taken in.
    pub fn sample(&mut self, sample: &Sample, wave: &Waveform) {
        self.sweeps.sample(sample, wave);
        self.counts.sample(sample);
        if let Some(figure) = &mut self.figure {
            figure.sample(sample);
        }
        if let Some(levels) = &mut self.levels {
            levels.sample(sample);
        }
        if let Some(travel) = &mut self.travel {
            travel.sample(sample);
        }
    }

    /// The end of a step.
    pub fn record(&mut self, r: &Record) {
        self.counts.record(r);
        if let Some(levels) = &mut self.levels {
            levels.record(r);
        }
        if let Some(travel) = &mut self.travel {
            travel.record(r);
        }
        self.strip.push(LoopPoint {
            time_s: r.time_s,
            command_m: r.command_m,
            counted_m: r.counted_m,
            table_m: r.table_m,
            command_mps: r.command_mps,
            speed_mps: r.speed_mps,
            expected_m: r.expected_m,
        });
    }

    /// Something happened.
    pub fn event(&mut self, event: &Event) {
        if event.weight() == Weight::Alarm {
            self.sweeps.alarm(event.time_s);
        }
    }
}

/// What the input takes as the middle of A and B, V.
pub(super) fn zero_v(params: &Params) -> f64 {
    if params.squared() { 0.0 } else { params.square.threshold_v }
}

/// Ends of the travel with its run-out to the hard stops, m.
pub(super) fn ends_m(params: &Params, travel_m: f64) -> (f64, f64) {
    if params.machine.endless {
        return (0.0, travel_m);
    }
    let mechanics = &params.machine.mechanics;
    (mechanics.stop_low.clamp(-1.0, 0.0), mechanics.stop_high.clamp(travel_m, 10.0))
}
