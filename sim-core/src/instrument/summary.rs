//! The summary of a run: what an instructor would write on the back of the scene.

use crate::event::{Event, Weight};
use crate::record::{Record, Tap};
use serde::Serialize;

/// Figures of a run. Lengths in mm and volts as shown on the sheet, since this is for people and tests to read.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Summary {
    /// Length of the run, s.
    pub time_s: f64,
    /// Where the table is at the end, mm.
    pub table_mm: f64,
    /// What the readout says at the end, mm.
    pub readout_mm: f64,
    /// Largest difference of readout and table, mm.
    pub worst_readout_error_mm: f64,
    /// Difference of readout and table at the end, mm.
    pub readout_error_mm: f64,
    /// Count at the end.
    pub count: i64,
    /// Smallest and largest count.
    pub count_range: (i64, i64),
    /// Illegal transitions.
    pub illegal_transitions: u64,
    /// Largest following error, mm.
    pub following_error_mm: f64,
    /// Largest departure from the expected following error, mm.
    pub following_departure_mm: f64,
    /// Smallest and largest amplitude of A, V.
    pub amplitude_a_v: (f64, f64),
    /// Amplitude of A at the first and at the last step, V.
    pub amplitude_ends_v: (f64, f64),
    /// Largest motor current, A.
    pub current_a: f64,
    /// Alarms.
    pub alarms: u32,
    /// Warnings.
    pub warnings: u32,
    /// When the first alarm came, s.
    pub first_alarm_s: Option<f64>,
    /// Where the table was at the first alarm, mm.
    pub first_alarm_mm: Option<f64>,
    /// The log in words.
    pub log: Vec<String>,
    #[serde(skip)]
    started: bool,
}

impl Tap for Summary {
    const SAMPLES: bool = false;

    fn record(&mut self, r: &Record) {
        if !self.started {
            self.started = true;
            self.count_range = (r.count, r.count);
            self.amplitude_a_v = (r.amplitude_a_v, r.amplitude_a_v);
            self.amplitude_ends_v.0 = r.amplitude_a_v;
        }
        self.time_s = r.time_s;
        self.table_mm = r.table_m * 1e3;
        self.readout_mm = r.readout_m * 1e3;
        self.readout_error_mm = (r.counted_m - r.table_m) * 1e3;
        self.worst_readout_error_mm = self.worst_readout_error_mm.max(self.readout_error_mm.abs());
        self.count = r.count;
        self.count_range = (self.count_range.0.min(r.count), self.count_range.1.max(r.count));
        self.illegal_transitions = r.illegal;
        self.following_error_mm = self.following_error_mm.max(r.error_m.abs() * 1e3);
        self.following_departure_mm = self.following_departure_mm.max((r.error_m - r.expected_m).abs() * 1e3);
        let a = r.amplitude_a_v;
        self.amplitude_a_v = (self.amplitude_a_v.0.min(a), self.amplitude_a_v.1.max(a));
        self.amplitude_ends_v.1 = a;
        self.current_a = self.current_a.max(r.current_a.abs());
    }

    fn event(&mut self, event: &Event) {
        match event.weight() {
            Weight::Alarm => {
                self.alarms += 1;
                if self.first_alarm_s.is_none() {
                    self.first_alarm_s = Some(event.time_s);
                    self.first_alarm_mm = Some(event.place_m * 1e3);
                }
            }
            Weight::Warning => self.warnings += 1,
            Weight::Note => {}
        }
        if self.log.len() < 1000 {
            self.log.push(format!("{:.4} s  {}", event.time_s, event.words()));
        }
    }
}
