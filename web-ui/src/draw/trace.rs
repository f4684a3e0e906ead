//! Traces: recorded columns (least and greatest value in a slice of time) as strokes.
//! Where a column holds only a piece of a swing the trace is a line; where every column holds whole swings it is
//! an envelope, since a line would be a solid block that hides what lies behind it.

use super::axes::{Scale, TimeAxis};
use super::kit::Sheet;
use super::shape::{Fill, Hatch, Point, Step};
use super::tokens::{Ink, Pen};
use super::view::MinMax;
use std::ops::Range;

/// A stretch of columns that is drawn in one manner.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Run {
    /// Its columns.
    pub columns: Range<usize>,
    /// Whether it is an envelope.
    pub dense: bool,
}

/// Where one chart draws: time, value and how many columns there are.
#[derive(Clone, Copy, Debug)]
pub struct Plot<'a> {
    /// Time across.
    pub axis: &'a TimeAxis,
    /// Value upward.
    pub scale: &'a Scale,
    /// The recorded columns, the newest last.
    pub columns: &'a [MinMax],
}

impl Plot<'_> {
    /// Cuts the columns that lie in the window into lines and envelopes. Neighbouring columns of a line share only a
    /// small part of their span, those of an envelope nearly all of it; five columns decide together. Spans under
    /// `least_px` are always lines.
    pub fn runs(&self, least_px: f64) -> Vec<Run> {
        const REACH: usize = 2;
        let (n, first) = (self.columns.len(), self.axis.first(self.columns.len()));
        let px = self.scale.px_per_unit();
        let overlap = |i: usize| {
            let (a, b) = (self.columns[i], self.columns[i + 1]);
            let span = (a.max - a.min).min(b.max - b.min);
            if span * px < least_px { 0.0 } else { ((a.max.min(b.max) - a.min.max(b.min)) / span).max(0.0) }
        };
        let shared: Vec<f64> = (first..n.saturating_sub(1)).map(overlap).collect();
        let mut runs: Vec<Run> = Vec::new();
        for i in first..n {
            let at = i - first;
            let near = &shared[at.saturating_sub(REACH).min(shared.len())..(at + REACH).min(shared.len())];
            let dense = !near.is_empty() && near.iter().sum::<f64>() > 0.6 * near.len() as f64;
            match runs.last_mut() {
                Some(run) if run.dense == dense => run.columns.end = i + 1,
                _ => runs.push(Run { columns: i..i + 1, dense }),
            }
        }
        runs
    }

    /// The columns as one line: through each from the value nearer to where the line stands to the other one.
    pub fn line(&self, sheet: &mut Sheet, columns: Range<usize>, pen: Pen) {
        let n = self.columns.len();
        let columns = columns.start..columns.end.min(n);
        if columns.is_empty() {
            return;
        }
        let mut steps = Vec::with_capacity(2 * columns.len() + 1);
        // Start as the next column goes on, so that the first piece leans the right way.
        let next = self.columns[(columns.start + 1).min(n - 1)];
        let here = self.columns[columns.start];
        let mut last = if next.max + next.min > here.max + here.min { self.scale.bottom } else { self.scale.top };
        for i in columns {
            let (low, high) = (self.scale.y(self.columns[i].min), self.scale.y(self.columns[i].max));
            let (from, to) = if (last - low).abs() <= (last - high).abs() { (low, high) } else { (high, low) };
            let (left, right) = (self.axis.edge(i, n), self.axis.edge(i + 1, n));
            if steps.is_empty() {
                steps.push(Step::Move((left, from)));
            } else if (last - from).abs() > 0.3 {
                steps.push(Step::Line((left, from)));
            }
            steps.push(Step::Line((right, to)));
            last = to;
        }
        sheet.path(steps, None, Some(pen));
    }

    fn upper(&self, columns: Range<usize>) -> impl Iterator<Item = Point> {
        let n = self.columns.len();
        columns.map(move |i| (self.axis.middle(i, n), self.scale.y(self.columns[i].max)))
    }

    fn lower(&self, columns: Range<usize>) -> impl DoubleEndedIterator<Item = Point> {
        let n = self.columns.len();
        columns.map(move |i| (self.axis.middle(i, n), self.scale.y(self.columns[i].min)))
    }

    /// The face of an envelope.
    pub fn face(&self, sheet: &mut Sheet, columns: Range<usize>, ink: Ink, alpha: f64) {
        let outline = self.upper(columns.clone()).chain(self.lower(columns).rev());
        sheet.polygon(outline, Some(Fill::Flat(ink, alpha)), None);
    }

    /// Upper and lower edge of an envelope.
    pub fn edges(&self, sheet: &mut Sheet, columns: Range<usize>, pen: Pen) {
        let mut steps = Vec::with_capacity(2 * columns.len());
        for (i, p) in self.upper(columns.clone()).enumerate() {
            steps.push(if i == 0 { Step::Move(p) } else { Step::Line(p) });
        }
        for (i, p) in self.lower(columns).enumerate() {
            steps.push(if i == 0 { Step::Move(p) } else { Step::Line(p) });
        }
        sheet.path(steps, None, Some(pen));
    }

    /// An envelope as upright strokes `pitch_px` apart.
    pub fn strokes(&self, sheet: &mut Sheet, columns: Range<usize>, pitch_px: f64, pen: Pen) {
        let stride = ((pitch_px / self.axis.column_px()).ceil() as usize).max(1);
        let n = self.columns.len();
        let mut steps = Vec::new();
        // Counted from the newest column, so that the strokes stand still while the record grows.
        for i in columns.filter(|i| (n - i).is_multiple_of(stride)) {
            let x = self.axis.middle(i, n);
            steps.push(Step::Move((x, self.scale.y(self.columns[i].min))));
            steps.push(Step::Line((x, self.scale.y(self.columns[i].max))));
        }
        if !steps.is_empty() {
            sheet.path(steps, None, Some(pen));
        }
    }
}

/// The stretches of `true` in a row of flags, cut to the window.
pub fn stretches(axis: &TimeAxis, flags: &[bool]) -> Vec<Range<usize>> {
    let mut out: Vec<Range<usize>> = Vec::new();
    for i in (axis.first(flags.len())..flags.len()).filter(|i| flags[*i]) {
        match out.last_mut() {
            Some(last) if last.end == i => last.end = i + 1,
            _ => out.push(i..i + 1),
        }
    }
    out
}

/// Hatches the blind stretches between two heights.
pub fn hatch_blind(sheet: &mut Sheet, axis: &TimeAxis, blind: &[bool], top: f64, bottom: f64) {
    let n = blind.len();
    for run in stretches(axis, blind) {
        let (from, to) = (axis.edge(run.start, n), axis.edge(run.end, n));
        sheet.rect((from, top), to - from, bottom - top, Some(Fill::Hatch(Hatch::Over)), None);
    }
}

/// The rules of the time grid between two heights, as one path.
pub fn grid(sheet: &mut Sheet, axis: &TimeAxis, top: f64, bottom: f64) {
    let origin = axis.x(axis.origin_s());
    let mut steps = Vec::new();
    for mark in axis.marks_s(sheet.k) {
        let x = (origin + mark / axis.window_s * axis.width).clamp(axis.left, axis.right());
        steps.push(Step::Move((x, top)));
        steps.push(Step::Line((x, bottom)));
    }
    sheet.path(steps, None, Some(Pen::RULE));
}

/// The moment of the alarm between two heights, while it is in the window. Every chart draws its own piece; to join
/// charts under each other draw it over their whole height first, so that numbers stand over it.
pub fn alarm_line(sheet: &mut Sheet, axis: &TimeAxis, top: f64, bottom: f64) {
    if let Some(x) = axis.alarm_x() {
        sheet.line((x, top), (x, bottom), Pen::FAULT_THIN);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Columns of a sine of so many periods.
    fn sine(columns: usize, periods: f64) -> Vec<MinMax> {
        (0..columns)
            .map(|i| {
                let at = |j: usize| {
                    let t = (i as f64 + j as f64 / 32.0) / columns as f64;
                    (std::f64::consts::TAU * periods * t).sin()
                };
                let values = (0..=32).map(at);
                MinMax { min: values.clone().fold(f64::MAX, f64::min), max: values.fold(f64::MIN, f64::max) }
            })
            .collect()
    }

    fn runs_of(columns: &[MinMax]) -> Vec<Run> {
        let axis = TimeAxis::in_box(0.0, 600.0, 1.0, (0.0, 1.0), columns.len().max(1));
        let scale = Scale::new((-1.2, 1.2), 0.0, 160.0);
        Plot { axis: &axis, scale: &scale, columns }.runs(4.0)
    }

    #[test]
    fn few_swings_are_a_line_and_many_an_envelope() {
        assert_eq!(runs_of(&sine(500, 12.0)), [Run { columns: 0..500, dense: false }]);
        assert_eq!(runs_of(&sine(500, 1500.0)), [Run { columns: 0..500, dense: true }]);
        let mut both = sine(300, 900.0);
        both.extend(sine(300, 3.0));
        let runs = runs_of(&both);
        assert_eq!(runs.len(), 2, "{runs:?}");
        assert!(runs[0].dense && !runs[1].dense && (295..=305).contains(&runs[1].columns.start), "{runs:?}");
    }

    #[test]
    fn no_columns_and_one_column_are_fine() {
        assert!(runs_of(&[]).is_empty());
        assert_eq!(runs_of(&[MinMax { min: 0.1, max: 0.9 }]), [Run { columns: 0..1, dense: false }]);
    }

    #[test]
    fn a_line_reaches_the_peaks() {
        let columns = sine(500, 12.0);
        let axis = TimeAxis::in_box(0.0, 600.0, 1.0, (0.0, 1.0), 500);
        let scale = Scale::new((-1.0, 1.0), 0.0, 100.0);
        let mut sheet = Sheet::new(1.0);
        Plot { axis: &axis, scale: &scale, columns: &columns }.line(&mut sheet, 0..500, Pen::TRACE_A);
        let shapes = sheet.finish();
        let super::super::shape::Shape::Path { steps, .. } = &shapes[0] else { panic!("a path") };
        let ys = steps.iter().map(|s| match s {
            Step::Move(p) | Step::Line(p) => p.1,
            _ => f64::NAN,
        });
        assert!(ys.clone().fold(f64::MAX, f64::min) < 0.05 && ys.clone().fold(f64::MIN, f64::max) > 99.95);
        // Steep but steady: no step is longer than what the sine does in two columns.
        let all: Vec<f64> = ys.collect();
        assert!(all.windows(2).all(|w| (w[1] - w[0]).abs() < 100.0 * std::f64::consts::PI * 24.0 / 500.0));
    }

    #[test]
    fn stretches_join_neighbours_and_leave_what_is_older_than_the_window() {
        let axis = TimeAxis::in_box(0.0, 600.0, 1.0, (0.0, 1.0), 5);
        assert_eq!(stretches(&axis, &[true, true, true, false, true, true, false]), [2..3, 4..6]);
    }
}
