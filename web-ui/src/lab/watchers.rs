//! What watches the bench for the page: traces, the trail of the figure, the log.

use super::instruments::Instruments;
use super::trail::Trail;
use sim_core::event::{Event, Weight, What};
use sim_core::instrument::waveform::Waveform;
use sim_core::record::{Record, Tap};
use std::collections::VecDeque;

/// Entries that the log keeps.
const LOG_LENGTH: usize = 200;

/// What watches the bench for the page.
#[derive(Clone, Default)]
pub struct Watchers {
    /// Channels and following error over time.
    pub wave: Waveform,
    /// Points of the figure.
    pub trail: Trail,
    /// All instruments.
    pub instruments: Instruments,
    /// What happened, newest first.
    pub log: VecDeque<Event>,
    /// Events since the start, so that a reader of the log can see what is new.
    pub told: u64,
    /// Moment of the last alarm, s.
    pub last_alarm_s: Option<f64>,
    /// The step before the last one.
    pub before: Record,
}

impl Tap for Watchers {
    fn sample(&mut self, sample: &sim_core::record::Sample) {
        self.wave.sample(sample);
        self.trail.sample(sample);
        self.instruments.sample(sample, &self.wave);
    }

    fn record(&mut self, record: &Record) {
        self.wave.record(record);
        self.instruments.record(record);
    }

    fn event(&mut self, event: &Event) {
        self.instruments.event(event);
        if event.weight() == Weight::Alarm {
            self.last_alarm_s = Some(event.time_s);
        }
        // A stroke of the pointer smears bit by bit; the log tells it once.
        if let Some(last) = self.log.front_mut()
            && extend_smear(last, event)
        {
            return;
        }
        self.told += 1;
        self.log.push_front(event.clone());
        self.log.truncate(LOG_LENGTH);
    }
}

/// Joins a smear to the one before it when they touch and follow each other; false when they are two.
fn extend_smear(last: &mut Event, event: &Event) -> bool {
    let (What::Smeared { from_m, to_m }, What::Smeared { from_m: from, to_m: to }) = (&mut last.what, &event.what)
    else {
        return false;
    };
    let touching = *from <= *to_m + 1e-9 && *to >= *from_m - 1e-9;
    if !touching || event.time_s - last.time_s > 1.0 {
        return false;
    }
    (*from_m, *to_m) = (from_m.min(*from), to_m.max(*to));
    true
}
