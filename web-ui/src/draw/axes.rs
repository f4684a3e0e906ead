//! Axes: round steps, and the two mappings from time and value to the sheet.

use super::view::TraceView;

/// Room to the left of a plot for the letters of its rows, px at scale 1.
pub const ROOM_LEFT: f64 = 16.0;
/// Room to the right of a plot for its labels, px at scale 1.
pub const ROOM_RIGHT: f64 = 74.0;
/// Narrower boxes (px at scale 1) write their labels inside the plot.
pub const ROOMY: f64 = 440.0;

/// The smallest of 1, 2, 5 times a power of ten that cuts `span` into at most `most` pieces.
/// A span that is zero or no number gives 1.
pub fn round_step(span: f64, most: usize) -> f64 {
    let raw = span.abs() / most.max(1) as f64;
    if !raw.is_normal() {
        return 1.0;
    }
    let power = 10f64.powf(raw.log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0].into_iter().map(|m| m * power).find(|s| *s >= raw * (1.0 - 1e-9));
    step.filter(|s| s.is_normal()).unwrap_or(raw)
}

/// Round values from the lower to the upper end, at most `most + 1`, ascending; the ends may come in either order.
/// A zero span gives its one value, ends that are no numbers give none.
pub fn ticks(from: f64, to: f64, most: usize) -> Vec<f64> {
    if !(from.is_finite() && to.is_finite()) {
        return Vec::new();
    }
    let (lo, hi) = (from.min(to), from.max(to));
    if lo == hi {
        return vec![lo];
    }
    multiples(lo, hi, round_step(hi - lo, most), most + 1)
}

/// Whole multiples of `step` from `lo` to `hi`, at most `most`.
fn multiples(lo: f64, hi: f64, step: f64, most: usize) -> Vec<f64> {
    let slack = step * 1e-6;
    let first = ((lo - slack) / step).ceil();
    let mut out: Vec<f64> = Vec::with_capacity(most);
    for i in 0..most {
        let value = (first + i as f64) * step;
        if value.is_nan() || value > hi + slack {
            break;
        }
        if value >= lo - slack && out.last().is_none_or(|last| value > *last) {
            // Adding zero turns a negative zero into zero.
            out.push(value + 0.0);
        }
    }
    out
}

/// Width of a text in px, near enough to find room for it (the typeface is about half an em wide).
pub fn rough_width(text: &str, size: f64) -> f64 {
    text.chars().count() as f64 * size * 0.48
}

/// A value kept within `lo..=hi`; what is no number becomes `lo`.
pub fn bounded(value: f64, lo: f64, hi: f64) -> f64 {
    if value > lo { value.min(hi) } else { lo }
}

/// Vertical mapping of a plot: values to px, always inside it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scale {
    /// Value at the bottom.
    pub lo: f64,
    /// Value at the top.
    pub hi: f64,
    /// Top, px.
    pub top: f64,
    /// Bottom, px.
    pub bottom: f64,
}

impl Scale {
    /// A mapping of `lo..hi` on `bottom..top`. Ends in the wrong order are swapped, no span is widened to one unit,
    /// ends that are no numbers are 0 and 1.
    pub fn new((lo, hi): (f64, f64), top: f64, bottom: f64) -> Self {
        let (lo, hi) = if lo.is_finite() && hi.is_finite() { (lo.min(hi), lo.max(hi)) } else { (0.0, 1.0) };
        let (lo, hi) = if (hi - lo).is_normal() { (lo, hi) } else { (lo - 0.5, lo + 0.5) };
        let (lo, hi) = if (hi - lo).is_normal() { (lo, hi) } else { (0.0, 1.0) };
        Self { lo, hi, top, bottom: bottom.max(top) }
    }

    /// Height of a value, px; values outside stand on the edge, what is no number stands at the bottom.
    pub fn y(&self, value: f64) -> f64 {
        let share = (value - self.lo) / (self.hi - self.lo);
        self.bottom - bounded(share, 0.0, 1.0) * (self.bottom - self.top)
    }

    /// Whether a value lies on the plot.
    pub fn holds(&self, value: f64) -> bool {
        (self.lo..=self.hi).contains(&value)
    }

    /// Px per unit of value.
    pub fn px_per_unit(&self) -> f64 {
        (self.bottom - self.top) / (self.hi - self.lo)
    }
}

/// The one time axis of all charts that stand under each other.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TimeAxis {
    /// Left end of the plots, px.
    pub left: f64,
    /// Width of the plots, px.
    pub width: f64,
    /// Moment at the right end, s of model time.
    pub now_s: f64,
    /// Time from left to right, s.
    pub window_s: f64,
    /// How many columns of data fill the whole window.
    pub columns: usize,
    /// Moment of the alarm, s.
    pub alarm_s: Option<f64>,
    /// Moment of the trigger, s: the ruler counts from it.
    pub trigger_s: Option<f64>,
    /// Whether labels stand right of the plots; else they stand inside.
    pub labels_outside: bool,
}

impl TimeAxis {
    /// The axis for charts in a box from `x` of width `w` px at pen scale `k`; room for labels is taken off
    /// where there is enough. `columns` is the number of columns of a full window.
    /// Moments beyond 1e12 s and windows outside 1 ns to 1e9 s are no axis: they become 0 s and 1 s.
    pub fn in_box(x: f64, w: f64, k: f64, (now_s, window_s): (f64, f64), columns: usize) -> Self {
        let labels_outside = w >= ROOMY * k;
        let right = if labels_outside { ROOM_RIGHT * k } else { 0.0 };
        Self {
            left: x + ROOM_LEFT * k,
            width: (w - ROOM_LEFT * k - right).max(1.0),
            now_s: if now_s.abs() <= 1e12 { now_s } else { 0.0 },
            window_s: if (1e-9..=1e9).contains(&window_s) { window_s } else { 1.0 },
            columns: columns.max(1),
            alarm_s: None,
            trigger_s: None,
            labels_outside,
        }
    }

    /// The axis of a recorded trace, with its alarm.
    pub fn of(view: &TraceView, x: f64, w: f64, k: f64, columns: usize) -> Self {
        Self::in_box(x, w, k, (view.now_s, view.window_s), columns).with_alarm(view.alarm_s)
    }

    /// The same axis with a moment of alarm.
    pub fn with_alarm(mut self, alarm_s: Option<f64>) -> Self {
        self.alarm_s = alarm_s;
        self
    }

    /// Right end of the plots, px.
    pub fn right(&self) -> f64 {
        self.left + self.width
    }

    /// Place of a moment, px; outside the plot for moments outside the window.
    pub fn x(&self, t_s: f64) -> f64 {
        self.right() + (t_s - self.now_s) / self.window_s * self.width
    }

    /// Place of the alarm, px, while it is in the window.
    pub fn alarm_x(&self) -> Option<f64> {
        self.alarm_s.map(|t| self.x(t)).filter(|x| (self.left..=self.right()).contains(x))
    }

    /// Width of one column, px.
    pub fn column_px(&self) -> f64 {
        self.width / self.columns as f64
    }

    /// Left edge of column `i` of `n`, px: the newest stands at the right end. `i = n` gives the right end itself.
    /// Columns older than the window stand on the left end.
    pub fn edge(&self, i: usize, n: usize) -> f64 {
        (self.right() - (n as f64 - i as f64) * self.column_px()).clamp(self.left, self.right())
    }

    /// Middle of column `i` of `n`, px.
    pub fn middle(&self, i: usize, n: usize) -> f64 {
        0.5 * (self.edge(i, n) + self.edge(i + 1, n))
    }

    /// Moment in the middle of column `i` of `n`, s.
    pub fn time_of(&self, i: usize, n: usize) -> f64 {
        self.now_s - (n as f64 - i as f64 - 0.5) / self.columns as f64 * self.window_s
    }

    /// The first of `n` columns that lies in the window.
    pub fn first(&self, n: usize) -> usize {
        n.saturating_sub(self.columns)
    }

    /// Place of the trigger, px, while it is in the window.
    pub fn trigger_x(&self) -> Option<f64> {
        self.trigger_s.map(|t| self.x(t)).filter(|x| (self.left..=self.right()).contains(x))
    }

    /// Moment that the ruler counts from, s: the trigger or the alarm while it is in the window, else the newest
    /// moment.
    pub fn origin_s(&self) -> f64 {
        let trigger_s = self.trigger_s.filter(|_| self.trigger_x().is_some());
        if let Some(trigger_s) = trigger_s {
            return trigger_s;
        }
        self.alarm_s.filter(|_| self.alarm_x().is_some()).unwrap_or(self.now_s)
    }

    /// Step between the marks of the ruler at pen scale `k`, s.
    pub fn step_s(&self, k: f64) -> f64 {
        round_step(self.window_s, (self.width / (62.0 * k)).clamp(1.0, 24.0) as usize)
    }

    /// The marks of the ruler as time from [`TimeAxis::origin_s`], s.
    pub fn marks_s(&self, k: f64) -> Vec<f64> {
        let end = self.now_s - self.origin_s();
        multiples(end - self.window_s, end, self.step_s(k), 26)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_one_two_five() {
        assert_eq!(round_step(10.0, 10), 1.0);
        assert_eq!(round_step(11.0, 10), 2.0);
        assert_eq!(round_step(30.0, 10), 5.0);
        assert_eq!(round_step(51.0, 10), 10.0);
        assert!((round_step(40e-6, 8) - 5e-6).abs() < 1e-18);
        for span in [0.0, f64::NAN, f64::INFINITY, 1e-320] {
            assert_eq!(round_step(span, 5), 1.0, "{span}");
        }
    }

    #[test]
    fn ticks_cover_the_span_and_survive_odd_ends() {
        assert_eq!(ticks(0.0, 1.0, 5), [0.0, 0.2, 0.4, 0.6000000000000001, 0.8, 1.0]);
        assert_eq!(ticks(1.0, -1.0, 4), [-1.0, -0.5, 0.0, 0.5, 1.0]);
        assert_eq!(ticks(3.0, 3.0, 4), [3.0]);
        assert!(ticks(f64::NAN, 1.0, 4).is_empty());
        assert!(ticks(0.0, f64::INFINITY, 4).is_empty());
        for (lo, hi) in [(-1e300, 1e300), (1e17, 1e17 + 64.0), (0.0, 1e-300), (-1e-9, 2e-9), (f64::MIN, f64::MAX)] {
            for most in [1, 2, 7] {
                let all = ticks(lo, hi, most);
                assert!(all.len() <= most + 1, "{lo} {hi}: {all:?}");
                assert!(all.windows(2).all(|w| w[0] < w[1]), "{lo} {hi}: {all:?}");
                assert!(all.iter().all(|v| v.is_finite()));
            }
        }
    }

    #[test]
    fn time_goes_from_the_left_end_to_now() {
        let axis = TimeAxis::in_box(100.0, 600.0, 1.0, (12.5, 0.04), 400);
        assert_eq!(axis.left, 116.0);
        assert_eq!(axis.right(), 626.0);
        assert!((axis.x(12.46) - axis.left).abs() < 1e-6);
        assert_eq!(axis.x(12.5), axis.right());
        assert!((axis.x(12.48) - 371.0).abs() < 1e-6);
        assert!((axis.middle(399, 400) - (626.0 - 0.5 * 510.0 / 400.0)).abs() < 1e-9);
        assert!((axis.x(axis.time_of(17, 400)) - axis.middle(17, 400)).abs() < 1e-6);
        assert_eq!(axis.edge(0, 10), axis.edge(390, 400), "short records stand at the right end");
        assert_eq!(axis.first(1000), 600);
    }

    #[test]
    fn marks_count_from_the_alarm_while_it_is_in_the_window() {
        let axis = TimeAxis::in_box(0.0, 600.0, 1.0, (12.508, 0.04), 400);
        assert_eq!(axis.origin_s(), 12.508);
        let marks = axis.with_alarm(Some(12.5)).marks_s(1.0);
        let wanted = [-0.03, -0.025, -0.02, -0.015, -0.01, -0.005, 0.0, 0.005];
        assert_eq!(marks.len(), wanted.len(), "{marks:?}");
        assert!(marks.iter().zip(wanted).all(|(a, b)| (a - b).abs() < 1e-9), "{marks:?}");
        assert_eq!(axis.with_alarm(Some(11.0)).origin_s(), 12.508);
        assert_eq!(axis.with_alarm(Some(11.0)).alarm_x(), None);
    }

    #[test]
    fn a_scale_keeps_every_value_inside() {
        let scale = Scale::new((-1.0, 1.0), 10.0, 110.0);
        assert_eq!((scale.y(1.0), scale.y(0.0), scale.y(-1.0)), (10.0, 60.0, 110.0));
        assert_eq!((scale.y(9.0), scale.y(f64::NEG_INFINITY), scale.y(f64::NAN)), (10.0, 110.0, 110.0));
        for range in [(0.0, 0.0), (2.0, -2.0), (f64::NAN, 1.0), (1e300, 1e300), (f64::MIN, f64::MAX)] {
            let scale = Scale::new(range, 0.0, 50.0);
            for v in [0.0, 1e300, -1e300, 1e-300] {
                assert!((0.0..=50.0).contains(&scale.y(v)), "{range:?} {v}");
            }
        }
    }
}
