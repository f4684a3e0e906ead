//! All readings of a run by name: what a scene may claim, what the summary prints, what tells two faults apart.
//!
//! The signal readings (amplitude, offset, phase, position error) are those of the last 16 periods that the table
//! went; the readings of the travel cover the whole run, and those at rest the last standing.

mod rows;

use super::figure::{Figure, FigureReading};
use super::levels::{Levels, LevelsReading};
use super::still::Still;
use super::summary::Summary;
use super::track::PERIODS_MAX;
use super::travel::Travel;
use crate::event::{Event, Hands, What};
use crate::params::Params;
use crate::record::{Record, Sample, Tap};

pub use rows::{READINGS, ReadingRow};

/// The tap that takes every reading.
#[derive(Clone, Debug)]
pub struct Readings {
    /// Figures of the axis and the count, and the log.
    pub summary: Summary,
    /// Level meter of the channels; `None` on a scale whose period it does not cover.
    levels: Option<Levels>,
    figure: Option<Figure>,
    travel: Option<Travel>,
    still: Still,
    more: More,
}

/// Extremes that the summary does not have.
#[derive(Clone, Copy, Debug, Default)]
struct More {
    started: bool,
    amplitude_b_v: (f64, f64),
    head_supply_v: (f64, f64),
    lamp_used: f64,
    light: (f64, f64),
    contrast_low: f64,
    gap_m: (f64, f64),
    /// Gap at the first and at the last step, m.
    gap_ends_m: (f64, f64),
    /// Highest speed so far, m/s, and amplitude of A there, V.
    fastest: (f64, f64),
    /// Count that the last homing corrected, m.
    homed_m: Option<f64>,
    homing_failures: u32,
    count_stands: u32,
    /// Motor encoder less table, and scale less motor encoder, at the last step, m.
    motor_off_m: f64,
    mismatch_m: f64,
    /// How often the signal let go while the cable was bent.
    dropouts: Option<u32>,
}

impl Readings {
    /// A tap for a run with these parameters at its start.
    #[must_use]
    pub fn new(params: &Params) -> Self {
        let period_m = params.scale.period_m;
        let zero_v = [params.square.threshold_v; 2];
        Self {
            summary: Summary::default(),
            levels: Levels::new(period_m, PERIODS_MAX).ok(),
            figure: Figure::new(period_m, PERIODS_MAX, zero_v).ok(),
            travel: Travel::new(period_m, -0.02, params.machine.travel + 0.02).ok(),
            still: Still::new(params.interference.mains.hz),
            more: More::default(),
        }
    }

    /// Works everything out.
    #[must_use]
    pub fn figures(&self) -> Figures<'_> {
        Figures {
            of: self,
            levels: self.levels.as_ref().and_then(|levels| levels.reading().ok()),
            figure: self.figure.as_ref().and_then(|figure| figure.reading().ok()),
        }
    }
}

/// The readings of a run, worked out.
#[derive(Clone, Debug)]
pub struct Figures<'a> {
    of: &'a Readings,
    levels: Option<LevelsReading>,
    figure: Option<FigureReading>,
}

impl Figures<'_> {
    /// The reading of that name; `None` where the run did not give it (the table never moved, the figure does not go
    /// round), or there is no such reading.
    #[must_use]
    pub fn get(&self, name: &str) -> Option<f64> {
        READINGS.iter().find(|row| row.name == name).and_then(|row| (row.of)(self))
    }

    /// All readings that the run gave, in the order of the table.
    pub fn all(&self) -> impl Iterator<Item = (&'static ReadingRow, f64)> {
        READINGS.iter().filter_map(|row| (row.of)(self).map(|value| (row, value)))
    }
}

impl Tap for Readings {
    fn sample(&mut self, sample: &Sample) {
        if let Some(levels) = &mut self.levels {
            levels.sample(sample);
        }
        if let Some(figure) = &mut self.figure {
            figure.sample(sample);
        }
        if let Some(travel) = &mut self.travel {
            travel.sample(sample);
        }
        self.still.sample(sample);
    }

    fn record(&mut self, r: &Record) {
        self.summary.record(r);
        if let Some(levels) = &mut self.levels {
            levels.record(r);
        }
        if let Some(travel) = &mut self.travel {
            travel.record(r);
        }
        self.still.record(r);
        self.more.see(r);
    }

    fn event(&mut self, event: &Event) {
        self.summary.event(event);
        match event.what {
            What::Homed { corrected_m } => self.more.homed_m = Some(corrected_m),
            What::HomingFailed { .. } => self.more.homing_failures += 1,
            What::CountStands { .. } => self.more.count_stands += 1,
            What::Hands(Hands::Flexed { dropouts, .. }) => {
                self.more.dropouts = Some(self.more.dropouts.unwrap_or(0) + dropouts);
            }
            _ => {}
        }
    }
}

impl More {
    fn see(&mut self, r: &Record) {
        if !self.started {
            self.started = true;
            self.amplitude_b_v = (r.amplitude_b_v, r.amplitude_b_v);
            self.head_supply_v = (r.head_supply_v, r.head_supply_v);
            self.light = (r.light, r.light);
            self.contrast_low = r.contrast;
            self.gap_m = (r.gap_m, r.gap_m);
            self.gap_ends_m.0 = r.gap_m;
        }
        let reach = |range: &mut (f64, f64), value: f64| *range = (range.0.min(value), range.1.max(value));
        reach(&mut self.amplitude_b_v, r.amplitude_b_v);
        reach(&mut self.head_supply_v, r.head_supply_v);
        reach(&mut self.light, r.light);
        reach(&mut self.gap_m, r.gap_m);
        self.contrast_low = self.contrast_low.min(r.contrast);
        self.lamp_used = self.lamp_used.max(r.lamp_used);
        self.gap_ends_m.1 = r.gap_m;
        (self.motor_off_m, self.mismatch_m) = (r.motor_m - r.table_m, r.counted_m - r.motor_m);
        if r.speed_mps.abs() > self.fastest.0 {
            self.fastest = (r.speed_mps.abs(), r.amplitude_a_v);
        }
    }
}
