//! Following error: how far the count lags the command, against what the control expects and allows.

use super::axes::{Scale, TimeAxis, rough_width, round_step};
use super::channels::WASH;
use super::kit::Sheet;
use super::numbers::{decimals_for, fixed};
use super::shape::{Anchor, Fill, Hatch, Lettering, Point, Step};
use super::tokens::{Ink, Pen};
use super::trace::{Plot, alarm_line, grid};
use super::view::ErrorView;
use super::words::ChartWords;

/// The chart shows at most so many half-widths of the band beyond it; a greater error stands on the edge.
const BEYOND: f64 = 2.0;

/// The mapping of following error (m) between two heights: zero, the whole band, and the error as far as it leaves
/// the band readable, ending on round values so that it does not creep.
pub fn metres(view: &ErrorView, top: f64, height: f64) -> Scale {
    let finite = |v: &f64| v.is_finite();
    let low = view.band_m.iter().map(|b| b.0).filter(finite).reduce(f64::min).unwrap_or(0.0);
    let high = view.band_m.iter().map(|b| b.1).filter(finite).reduce(f64::max).unwrap_or(0.0);
    let half = view.band_m.last().map_or(0.0, |b| 0.5 * (b.1 - b.0).abs());
    let half = if half.is_normal() { half } else { 0.5 * (high - low) };
    let data_low = view.error_m.iter().map(|c| c.min).filter(finite).reduce(f64::min).unwrap_or(0.0);
    let data_high = view.error_m.iter().map(|c| c.max).filter(finite).reduce(f64::max).unwrap_or(0.0);
    let (lo, hi) = if half.is_normal() {
        (
            data_low.min(low.min(0.0) - 0.1 * half).max(low - BEYOND * half),
            data_high.max(high + 0.6 * half).min(high + BEYOND * half),
        )
    } else {
        (data_low.min(0.0), data_high.max(0.0))
    };
    let step = round_step(hi - lo, 10);
    Scale::new(((lo / step).floor() * step, (hi / step).ceil() * step), top, top + height)
}

/// Draws the chart between `top` and `top + height`; numbers are written in a unit of which one metre has `per_metre`.
pub fn draw(
    sheet: &mut Sheet,
    view: &ErrorView,
    axis: &TimeAxis,
    (top, height): (f64, f64),
    words: &ChartWords,
    per_metre: f64,
) {
    let scale = metres(view, top, height);
    grid(sheet, axis, top, top + height);
    band(sheet, view, axis, &scale);
    let n = view.expected_m.len();
    let expected = (axis.first(n)..n).map(|i| (axis.middle(i, n), scale.y(view.expected_m[i])));
    if view.ghost {
        sheet.path(corners(expected), None, Some(Pen::GHOST));
    }

    let plot = Plot { axis, scale: &scale, columns: &view.error_m };
    let n = view.error_m.len();
    let split = axis.alarm_s.map_or(n, |t| (axis.first(n)..n).find(|i| axis.time_of(*i, n) >= t).unwrap_or(n));
    plot.line(sheet, axis.first(n)..split, Pen::ERROR);
    plot.line(sheet, split.saturating_sub(1).max(axis.first(n))..if split < n { n } else { 0 }, Pen::FAULT);
    alarm_line(sheet, axis, top, top + height);
    if let (Some(x), true) = (axis.alarm_x(), split < n) {
        let tripped = view.error_m[split];
        let worst = if tripped.max.abs() >= tripped.min.abs() { tripped.max } else { tripped.min };
        sheet.cross((x, scale.y(worst)), 5.0);
    }
    numbers(sheet, view, axis, &scale, words, per_metre);
}

/// The band washed, its limits drawn, and what is beyond them hatched.
fn band(sheet: &mut Sheet, view: &ErrorView, axis: &TimeAxis, scale: &Scale) {
    let n = view.band_m.len();
    let side = |pick: fn(&(f64, f64)) -> f64| {
        corners((axis.first(n)..n).map(|i| (axis.middle(i, n), scale.y(pick(&view.band_m[i])))))
    };
    let (upper, lower) = (side(|b| b.1), side(|b| b.0));
    if upper.len() < 2 {
        return;
    }
    let back = lower.iter().rev().map(|s| as_line(*s));
    let face: Vec<Step> = upper.iter().copied().chain(back).chain([Step::Close]).collect();
    sheet.path(face, Some(Fill::Flat(Ink::Ink, WASH)), None);
    for (limit, edge) in [(upper, scale.top), (lower, scale.bottom)] {
        let mut over = limit.clone();
        if let (Some(Step::Line(end)), Some(Step::Move(start))) = (limit.last(), limit.first()) {
            over.extend([Step::Line((end.0, edge)), Step::Line((start.0, edge)), Step::Close]);
            sheet.path(over, Some(Fill::Hatch(Hatch::Over)), None);
        }
        sheet.path(limit, None, Some(Pen::MID));
    }
}

/// What is written: limits and the expected value right of the plot, the error at its newest end.
fn numbers(sheet: &mut Sheet, view: &ErrorView, axis: &TimeAxis, scale: &Scale, words: &ChartWords, per_metre: f64) {
    let k = sheet.k;
    let decimals = decimals_for(round_step((scale.hi - scale.lo) * per_metre, 50));
    let mut taken: Vec<f64> = Vec::new();
    if let (Some((low, high)), true) = (view.band_m.last(), axis.labels_outside) {
        let rows = [
            (*high, words.limit, Lettering::Note, Ink::Ink),
            (*low, words.limit, Lettering::Note, Ink::Ink),
            (
                view.expected_m.last().copied().filter(|_| view.ghost).unwrap_or(f64::NAN),
                words.normal,
                Lettering::Note,
                Ink::Ink2,
            ),
        ];
        for (value, word, lettering, ink) in rows {
            let y = scale.y(value);
            if value.is_finite() && taken.iter().all(|t| (t - y).abs() >= 12.0 * k) {
                let text = format!("{word} {}", fixed(value * per_metre, decimals));
                sheet.text((axis.right() + 8.0 * k, y + 4.0 * k), text, lettering, ink, Anchor::Start);
                taken.push(y);
            }
        }
    }
    let Some(last) = view.error_m.last() else { return };
    let value = if last.max.abs() >= last.min.abs() { last.max } else { last.min };
    let ink = if axis.alarm_s.is_some_and(|t| t <= axis.now_s) { Ink::Fault } else { Ink::Ink };
    let text = fixed(value * per_metre, decimals + 1);
    let width = rough_width(&text, Lettering::Strong.size_weight().0 * k);
    let y = scale.y(value);
    // Above the line, below it where there is no room above.
    let base = if y - 20.0 * k > scale.top { y - 7.0 * k } else { y + 19.0 * k };
    let off_chart = !scale.holds(value) && value.is_finite();
    let x = axis.right() - if off_chart { 14.0 * k } else { 4.0 * k };
    if off_chart {
        let (tip, angle) = if value > scale.hi { (scale.top, -1.0) } else { (scale.bottom, 1.0) };
        sheet.arrow((axis.right() - 6.0 * k, tip), angle * std::f64::consts::FRAC_PI_2, 8.0, ink);
    }
    let x = x.max(axis.left + width);
    sheet.text_over(
        (x, base.clamp(scale.top + 12.0 * k, scale.bottom.max(scale.top + 12.0 * k))),
        text,
        Lettering::Strong,
        ink,
        Anchor::End,
    );
}

/// A line with only its corners: points on one level between two others of that level are left out.
fn corners(points: impl Iterator<Item = Point>) -> Vec<Step> {
    let mut out: Vec<Step> = Vec::new();
    let mut level = (f64::NAN, false);
    for p in points {
        if level.0 == p.1 && level.1 {
            out.pop();
        }
        level = (p.1, level.0 == p.1);
        out.push(if out.is_empty() { Step::Move(p) } else { Step::Line(p) });
    }
    out
}

fn as_line(step: Step) -> Step {
    match step {
        Step::Move(p) => Step::Line(p),
        other => other,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn level_stretches_keep_only_their_ends() {
        let steps = corners([(0.0, 5.0), (1.0, 5.0), (2.0, 5.0), (3.0, 7.0), (4.0, 7.0), (5.0, 8.0)].into_iter());
        let wanted = [
            Step::Move((0.0, 5.0)),
            Step::Line((2.0, 5.0)),
            Step::Line((3.0, 7.0)),
            Step::Line((4.0, 7.0)),
            Step::Line((5.0, 8.0)),
        ];
        assert_eq!(steps, wanted);
    }
}
