//! The trace recorder: channels and following error over time, kept at several resolutions at once.
//!
//! Each level holds a ring of slices of equal length; four slices of one level make one slice of the next. So a window
//! of a few light periods and a window of twenty seconds cost the same to draw, short spikes stay visible in long
//! windows (a slice keeps smallest and largest), and zooming after a stop needs no second run.

use crate::record::{Record, Sample, Tap};

/// Length of the shortest slice, s.
pub const FINEST_S: f64 = 2.5e-6;
/// Slices kept at each level.
pub const RING: usize = 2048;
/// How many slices of one level make one of the next.
const MERGE: u32 = 4;
/// Number of levels: the longest window is RING * FINEST_S * 4^8 = 335 s.
pub const LEVELS: usize = 9;

/// Smallest and largest value in a slice.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    /// Smallest.
    pub min: f32,
    /// Largest.
    pub max: f32,
}

impl Range {
    const EMPTY: Range = Range { min: f32::INFINITY, max: f32::NEG_INFINITY };

    fn add(&mut self, value: f64) {
        let value = value as f32;
        self.min = self.min.min(value);
        self.max = self.max.max(value);
    }

    fn merge(&mut self, other: Range) {
        self.min = self.min.min(other.min);
        self.max = self.max.max(other.max);
    }
}

/// What happened in one slice of time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Slice {
    /// Channel A, V.
    pub a_v: Range,
    /// Channel B, V.
    pub b_v: Range,
    /// Following error, m.
    pub error_m: Range,
    /// Expected following error at the end, m.
    pub expected_m: f32,
    /// Alarm band at the end (lower, upper), m.
    pub band_m: (f32, f32),
    /// Table position at the end, m.
    pub table_m: f64,
    /// Net counts.
    pub counts: i32,
    /// Squared A at the end.
    pub square_a: bool,
    /// Squared B at the end.
    pub square_b: bool,
    /// A switched within the slice.
    pub busy_a: bool,
    /// B switched within the slice.
    pub busy_b: bool,
    /// The count stood although the table moved.
    pub blind: bool,
}

impl Slice {
    const EMPTY: Slice = Slice {
        a_v: Range::EMPTY,
        b_v: Range::EMPTY,
        error_m: Range::EMPTY,
        expected_m: 0.0,
        band_m: (0.0, 0.0),
        table_m: 0.0,
        counts: 0,
        square_a: false,
        square_b: false,
        busy_a: false,
        busy_b: false,
        blind: false,
    };

    fn merge(&mut self, later: &Slice) {
        self.a_v.merge(later.a_v);
        self.b_v.merge(later.b_v);
        self.error_m.merge(later.error_m);
        self.expected_m = later.expected_m;
        self.band_m = later.band_m;
        self.table_m = later.table_m;
        self.counts += later.counts;
        self.square_a = later.square_a;
        self.square_b = later.square_b;
        self.busy_a |= later.busy_a;
        self.busy_b |= later.busy_b;
        self.blind |= later.blind;
    }
}

#[derive(Clone, Debug)]
struct Level {
    ring: Vec<Slice>,
    next: usize,
    open: Slice,
    merged: u32,
}

impl Level {
    fn new() -> Self {
        Self { ring: Vec::with_capacity(RING), next: 0, open: Slice::EMPTY, merged: 0 }
    }

    fn push(&mut self, slice: Slice) {
        if self.ring.len() < RING {
            self.ring.push(slice);
        } else {
            self.ring[self.next] = slice;
        }
        self.next = (self.next + 1) % RING;
    }
}

/// The recorder. Feed it as a tap; read windows from it at any time.
#[derive(Clone, Debug)]
pub struct Waveform {
    levels: Vec<Level>,
    /// Slices finished at the finest level since the start.
    finished: u64,
    open: Slice,
    open_used: bool,
    last: Sample,
    started: bool,
    record: Record,
}

impl Default for Waveform {
    fn default() -> Self {
        Self {
            levels: (0..LEVELS).map(|_| Level::new()).collect(),
            finished: 0,
            open: Slice::EMPTY,
            open_used: false,
            last: Sample::default(),
            started: false,
            record: Record::default(),
        }
    }
}

impl Waveform {
    /// Slices that cover a window of time up to `end_s`, oldest first, with the length of one slice, s. The window may
    /// be longer than what has been recorded, and its end later; then fewer slices come back.
    pub fn window(&self, end_s: f64, window_s: f64) -> (f64, impl Iterator<Item = &Slice>) {
        let mut slice_s = FINEST_S;
        let mut level = 0;
        let mut finished = self.finished;
        // A level whose ring still holds the start of the window.
        let back_s = window_s + (self.now_s() - end_s).max(0.0);
        while level + 1 < LEVELS && slice_s * (RING as f64) < back_s {
            slice_s *= f64::from(MERGE);
            finished /= u64::from(MERGE);
            level += 1;
        }
        let wanted = libm::ceil(window_s / slice_s).clamp(1.0, RING as f64) as usize;
        let level = &self.levels[level];
        let have = level.ring.len();
        // Slices that lie after the end of the window.
        let later = finished.saturating_sub((end_s / slice_s) as u64).min(have as u64) as usize;
        let take = wanted.min(have - later);
        let oldest = if have < RING { 0 } else { level.next };
        let start = oldest + have - later - take;
        (slice_s, (0..take).map(move |i| &level.ring[(start + i) % have.max(1)]))
    }

    /// Model time of the newest sample, s.
    pub fn now_s(&self) -> f64 {
        self.last.time_s
    }

    fn close_until(&mut self, sample: &Sample) {
        let target = (sample.time_s / FINEST_S) as u64;
        // A jump of more than a ring (a restored state) starts afresh instead of filling.
        if target < self.finished || target - self.finished > 40_000_000 {
            self.finished = target;
            return;
        }
        let missing = target - self.finished;
        for done in 0..missing {
            if !self.open_used {
                let share = (done as f64 + 1.0) / (missing as f64 + 1.0);
                self.open.a_v.add(self.last.a_v + share * (sample.a_v - self.last.a_v));
                self.open.b_v.add(self.last.b_v + share * (sample.b_v - self.last.b_v));
                self.stamp(self.last.square_a, self.last.square_b, self.last.table_m);
            }
            let slice = std::mem::replace(&mut self.open, Slice::EMPTY);
            self.open_used = false;
            self.finish(slice);
        }
    }

    fn stamp(&mut self, square_a: bool, square_b: bool, table_m: f64) {
        self.open.square_a = square_a;
        self.open.square_b = square_b;
        self.open.table_m = table_m;
        self.open.error_m.add(self.record.error_m);
        self.open.expected_m = self.record.expected_m as f32;
        self.open.band_m = (self.record.band_m.0 as f32, self.record.band_m.1 as f32);
        self.open.blind = self.record.blind;
    }

    fn finish(&mut self, slice: Slice) {
        self.finished += 1;
        let mut slice = slice;
        for index in 0..LEVELS {
            let level = &mut self.levels[index];
            level.push(slice);
            let Some(next) = self.levels.get_mut(index + 1) else { return };
            if next.merged == 0 {
                next.open = slice;
            } else {
                next.open.merge(&slice);
            }
            next.merged += 1;
            if next.merged < MERGE {
                return;
            }
            next.merged = 0;
            slice = next.open;
        }
    }
}

impl Tap for Waveform {
    fn sample(&mut self, sample: &Sample) {
        if !self.started {
            self.started = true;
            self.finished = (sample.time_s / FINEST_S) as u64;
            self.last = *sample;
        }
        self.close_until(sample);
        self.open.a_v.add(sample.a_v);
        self.open.b_v.add(sample.b_v);
        self.open.counts += (sample.count - self.last.count) as i32;
        self.open.busy_a |= sample.square_a != self.last.square_a;
        self.open.busy_b |= sample.square_b != self.last.square_b;
        self.stamp(sample.square_a, sample.square_b, sample.table_m);
        self.open_used = true;
        self.last = *sample;
    }

    fn record(&mut self, record: &Record) {
        self.record = *record;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn feed(samples: impl Iterator<Item = Sample>) -> Waveform {
        let mut waveform = Waveform::default();
        samples.for_each(|s| waveform.sample(&s));
        waveform
    }

    fn sine(count: u32, dt: f64, f: f64) -> impl Iterator<Item = Sample> {
        (0..count).map(move |i| {
            let time_s = f64::from(i) * dt;
            let a_v = libm::sin(std::f64::consts::TAU * f * time_s);
            Sample { time_s, a_v, count: i64::from(i), square_a: a_v > 0.0, ..Sample::default() }
        })
    }

    #[test]
    fn every_level_keeps_extremes_and_the_sum_of_counts() {
        let w = feed(sine(400_000, 5e-6, 1000.0));
        for window_s in [1e-3, 10e-3, 0.1, 1.0] {
            let (slice_s, slices) = w.window(w.now_s(), window_s);
            let slices: Vec<&Slice> = slices.collect();
            let length = slices.len() as f64 * slice_s;
            assert!((length - window_s).abs() <= slice_s, "{window_s}: {length}");
            let top = slices.iter().map(|s| s.a_v.max).fold(f32::MIN, f32::max);
            assert!((top - 1.0).abs() < 1e-3);
            let counts: i32 = slices.iter().map(|s| s.counts).sum();
            assert!((f64::from(counts) - window_s / 5e-6).abs() <= slice_s / 5e-6 + 1.0, "{counts}");
        }
    }

    #[test]
    fn gaps_between_samples_are_drawn_as_straight_lines() {
        let w = feed([(0.0, 0.0), (50e-6, 1.0)].into_iter().map(|(time_s, a_v)| Sample {
            time_s,
            a_v,
            ..Sample::default()
        }));
        let (_, slices) = w.window(50e-6, 45e-6);
        let values: Vec<f32> = slices.map(|s| s.a_v.min).collect();
        assert!(values.windows(2).all(|v| v[1] > v[0]), "{values:?}");
    }

    #[test]
    fn a_window_longer_than_the_record_returns_what_there_is() {
        let w = feed(sine(100, 50e-6, 100.0));
        assert!(w.window(w.now_s(), 100.0).1.count() <= 2);
        assert_eq!(Waveform::default().window(1.0, 1.0).1.count(), 0);
    }

    #[test]
    fn a_window_can_end_before_now() {
        let w =
            feed((0..1000).map(|i| Sample { time_s: f64::from(i) * 50e-6, a_v: f64::from(i), ..Sample::default() }));
        let (_, slices) = w.window(20e-3, 1e-3);
        let last = slices.last().unwrap().a_v.max;
        assert!((f64::from(last) - 400.0).abs() < 2.0, "{last}"); // 20 ms of 50 us
    }
}
