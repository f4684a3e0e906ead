//! Columns of a recorded stretch of time, at most one for each pixel of a chart.

use crate::draw::view::{MinMax, SquareColumn};
use sim_core::instrument::scope::Screen;
use sim_core::instrument::waveform::{Range, Slice, Waveform};

/// Columns of a window whose signal swings too often for a line.
const COARSE: usize = 320;

/// What was recorded, oldest first; every list is as long as `table_m`.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Columns {
    /// Moment of the right end, s of model time.
    pub end_s: f64,
    /// Time from left to right, s.
    pub window_s: f64,
    /// Columns that would fill the window.
    pub full: usize,
    /// Channel A, V.
    pub a_v: Vec<MinMax>,
    /// Channel B, V.
    pub b_v: Vec<MinMax>,
    /// Squared A.
    pub square_a: Vec<SquareColumn>,
    /// Squared B.
    pub square_b: Vec<SquareColumn>,
    /// Counts made, signed.
    pub counts: Vec<i32>,
    /// Where the count stood although the table moved.
    pub blind: Vec<bool>,
    /// Where the table was at the end of each column, m.
    pub table_m: Vec<f64>,
    /// Following error, m.
    pub error_m: Vec<MinMax>,
    /// What the control expected, m.
    pub expected_m: Vec<f64>,
    /// Alarm band, m.
    pub band_m: Vec<(f64, f64)>,
}

impl Columns {
    /// The columns of a window up to `end_s`, at most `most` of them; fewer where the signal swings so often that a
    /// line through every column would be a solid block and an envelope is seen better.
    pub fn of_wave(wave: &Waveform, end_s: f64, window_s: f64, most: usize) -> Self {
        let fine = Self::at_most(wave, end_s, window_s, most);
        if fine.full > COARSE && fine.swings() > fine.table_m.len() / 8 {
            return Self::at_most(wave, end_s, window_s, COARSE);
        }
        fine
    }

    /// How often A turns round by more than a tenth of what it spans.
    fn swings(&self) -> usize {
        let (low, high) = self.a_v.iter().fold((f64::MAX, f64::MIN), |(l, h), c| (l.min(c.min), h.max(c.max)));
        let least = 0.1 * (high - low);
        let (mut last, mut rising, mut swings) = (low, true, 0);
        for column in &self.a_v {
            let middle = 0.5 * (column.min + column.max);
            if (middle - last).abs() > least {
                swings += usize::from((middle > last) != rising);
                (rising, last) = (middle > last, middle);
            } else if (middle > last) == rising {
                last = middle;
            }
        }
        swings
    }

    fn at_most(wave: &Waveform, end_s: f64, window_s: f64, most: usize) -> Self {
        let (slice_s, slices) = wave.window(end_s, window_s);
        // Several slices to a column where there are more than a screen can show.
        let per_column = ((window_s / slice_s) / most as f64).ceil().max(1.0) as usize;
        let full = ((window_s / slice_s) / per_column as f64).ceil() as usize;
        let slices: Vec<&Slice> = slices.collect();
        let mut out = Self::with_room(end_s, window_s, full);
        for group in slices.chunks(per_column) {
            let Some(end) = group.last() else { continue };
            out.a_v.push(fold(group, |s| s.a_v));
            out.b_v.push(fold(group, |s| s.b_v));
            out.error_m.push(fold(group, |s| s.error_m));
            out.expected_m.push(f64::from(end.expected_m));
            out.band_m.push((f64::from(end.band_m.0), f64::from(end.band_m.1)));
            out.square_a.push(SquareColumn { high: end.square_a, busy: group.iter().any(|s| s.busy_a) });
            out.square_b.push(SquareColumn { high: end.square_b, busy: group.iter().any(|s| s.busy_b) });
            out.counts.push(group.iter().map(|s| s.counts).sum());
            out.blind.push(group.iter().any(|s| s.blind));
            out.table_m.push(end.table_m);
        }
        out
    }

    /// The columns of a triggered screen: a dot each, finer than the recorder keeps them. Blind stretches and the
    /// following error come from the recorder's columns of the same stretch.
    pub fn of_screen(screen: &Screen, window_s: f64, coarse: &Columns) -> Self {
        let full = screen.dots.len();
        let mut out = Self::with_room(screen.start_s + window_s, window_s, full);
        let mut last = screen.dots.first().copied().unwrap_or_default();
        let span = |from: f64, to: f64| MinMax { min: from.min(to), max: from.max(to) };
        for (i, dot) in screen.dots.iter().enumerate() {
            out.a_v.push(span(last.a_v, dot.a_v));
            out.b_v.push(span(last.b_v, dot.b_v));
            out.square_a.push(SquareColumn { high: dot.square_a, busy: dot.square_a != last.square_a });
            out.square_b.push(SquareColumn { high: dot.square_b, busy: dot.square_b != last.square_b });
            out.counts.push((dot.count - last.count) as i32);
            out.table_m.push(dot.table_m);
            let near = i * coarse.table_m.len() / full.max(1);
            out.blind.push(coarse.blind.get(near).copied().unwrap_or_default());
            out.error_m.push(coarse.error_m.get(near).copied().unwrap_or_default());
            out.expected_m.push(coarse.expected_m.get(near).copied().unwrap_or_default());
            out.band_m.push(coarse.band_m.get(near).copied().unwrap_or_default());
            last = *dot;
        }
        out
    }

    fn with_room(end_s: f64, window_s: f64, full: usize) -> Self {
        Self {
            end_s,
            window_s,
            full,
            a_v: Vec::with_capacity(full),
            b_v: Vec::with_capacity(full),
            square_a: Vec::with_capacity(full),
            square_b: Vec::with_capacity(full),
            counts: Vec::with_capacity(full),
            blind: Vec::with_capacity(full),
            table_m: Vec::with_capacity(full),
            error_m: Vec::with_capacity(full),
            expected_m: Vec::with_capacity(full),
            band_m: Vec::with_capacity(full),
        }
    }

    /// The column under a place across the window, 0 (left) to 1 (right); none where nothing was recorded.
    pub fn at_share(&self, share: f64) -> Option<usize> {
        let n = self.table_m.len();
        let from_right = ((1.0 - share.clamp(0.0, 1.0)) * self.full as f64).floor() as usize;
        (n > 0).then(|| n.saturating_sub(1).checked_sub(from_right)).flatten()
    }
}

fn fold(group: &[&Slice], pick: impl Fn(&Slice) -> Range) -> MinMax {
    let (mut min, mut max) = (f32::INFINITY, f32::NEG_INFINITY);
    for slice in group {
        let range = pick(slice);
        min = min.min(range.min);
        max = max.max(range.max);
    }
    if min > max { MinMax::default() } else { MinMax { min: f64::from(min), max: f64::from(max) } }
}
