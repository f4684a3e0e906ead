//! The position loop: speeds, the counted and the true place against the command, and the following error.

use super::axes::{Scale, TimeAxis, round_step, ticks};
use super::error;
use super::instrument_view::{LoopPoint, LoopView};
use super::kit::Sheet;
use super::numbers::{decimals_for, fixed, signed};
use super::room::{Area, text_width};
use super::ruler;
use super::shape::{Anchor, Lettering, Shape, Step};
use super::tokens::{Ink, Pen};
use super::trace::{alarm_line, grid};
use super::words::{ChartWords, InstrumentWords};

/// Pen of the true table: long dashes, so that it parts from the count without colour.
const TABLE: Pen = Pen { ink: Ink::Ink, width: 1.5, dash: &[7.0, 3.0], alpha: 1.0 };
/// Pen of what the count says.
const COUNTED: Pen = Pen::ERROR;

/// Draws the loop into an area; the lanes share one ruler.
pub fn draw(view: &LoopView, area: Area, k: f64, words: &ChartWords, more: &InstrumentWords) -> Vec<Shape> {
    let mut sheet = Sheet::new(k);
    let error = &view.error;
    let axis = TimeAxis::in_box(area.x, area.w, k, (error.now_s, error.window_s), view.columns);
    let axis = axis.with_alarm(error.alarm_s);
    let name = 16.0 * k;
    let free = (area.h - ruler::HEIGHT * k - 3.0 * name - 4.0).max(30.0);
    let heights = [0.24 * free, 0.38 * free, 0.38 * free];
    let mut y = area.y + 1.0;
    let mut lane = |height: f64| {
        let top = y + name;
        y = top + height;
        (top, height)
    };
    let (speed, place, follow) = (lane(heights[0]), lane(heights[1]), lane(heights[2]));
    speeds(&mut sheet, view, &axis, speed, more);
    places(&mut sheet, view, &axis, place, more);
    title(&mut sheet, &axis, follow.0, more.following_error, &[]);
    error::draw(&mut sheet, error, &axis, follow, words, 1e3);
    ruler::draw(&mut sheet, &axis, y, words);
    sheet.finish()
}

/// Name of a lane, and its lines after a stroke of their pens, as far as there is room.
fn title(sheet: &mut Sheet, axis: &TimeAxis, top: f64, name: &str, lines: &[(Pen, &str)]) {
    let (k, y) = (sheet.k, top - 4.0 * sheet.k);
    sheet.text((axis.left, y), name, Lettering::Note, Ink::Ink2, Anchor::Start);
    let mut x = axis.left + text_width(name, Lettering::Note, k) + 16.0 * k;
    for (pen, word) in lines {
        let wide = text_width(word, Lettering::Note, k) + 26.0 * k;
        if x + wide > axis.right() {
            return;
        }
        sheet.line((x, y - 4.0 * k), (x + 20.0 * k, y - 4.0 * k), *pen);
        sheet.text((x + 24.0 * k, y), *word, Lettering::Note, pen.ink, Anchor::Start);
        x += wide + 14.0 * k;
    }
}

/// Points of a value, thinned to pixels: of those that fall on one pixel the first and the extreme ones are kept.
fn line(
    sheet: &mut Sheet,
    points: &[LoopPoint],
    axis: &TimeAxis,
    scale: &Scale,
    pen: Pen,
    value: impl Fn(&LoopPoint) -> f64,
) {
    let mut steps: Vec<Step> = Vec::with_capacity(points.len().min(2048));
    let (mut pixel, mut low, mut high) = (f64::NAN, f64::NAN, f64::NAN);
    for point in points {
        let x = axis.x(point.time_s);
        if !x.is_finite() {
            continue;
        }
        let y = scale.y(value(point));
        if (x - pixel).abs() < 0.7 && y >= low && y <= high {
            continue;
        }
        if (x - pixel).abs() >= 0.7 {
            (pixel, low, high) = (x, y, y);
        }
        (low, high) = (low.min(y), high.max(y));
        steps.push(if steps.is_empty() { Step::Move((x, y)) } else { Step::Line((x, y)) });
    }
    if steps.len() > 1 {
        sheet.push(Shape::Clip(axis.left, scale.top - 2.0, axis.width, scale.bottom - scale.top + 4.0));
        sheet.path(steps, None, Some(pen));
        sheet.push(Shape::Unclip);
    }
}

/// A range that ends on round values and holds zero.
fn range(values: impl Iterator<Item = f64>, least: f64) -> (f64, f64) {
    let (lo, hi) = values.filter(|v| v.is_finite()).fold((0.0_f64, 0.0_f64), |(lo, hi), v| (lo.min(v), hi.max(v)));
    let span = (hi - lo).max(least);
    let step = round_step(span, 4);
    let lo = ((lo - 0.04 * span) / step).floor() * step;
    (lo.min(0.0), (((hi + 0.04 * span) / step).ceil() * step).max(lo + step))
}

fn numbers(sheet: &mut Sheet, axis: &TimeAxis, scale: &Scale, per: f64) {
    let k = sheet.k;
    let most = ((scale.bottom - scale.top) / (15.0 * k)).clamp(1.0, 4.0) as usize;
    let marks = ticks(scale.lo * per, scale.hi * per, most);
    let decimals = decimals_for(marks.windows(2).map(|w| w[1] - w[0]).next().unwrap_or(1.0));
    for mark in marks {
        let y = scale.y(mark / per);
        sheet.line((axis.left, y), (axis.right(), y), if mark == 0.0 { Pen::THIN } else { Pen::RULE });
        if axis.labels_outside {
            sheet.text(
                (axis.right() + 8.0 * k, y + 4.0 * k),
                fixed(mark, decimals),
                Lettering::Note,
                Ink::Ink2,
                Anchor::Start,
            );
        }
    }
}

fn speeds(sheet: &mut Sheet, view: &LoopView, axis: &TimeAxis, (top, height): (f64, f64), words: &InstrumentWords) {
    let values = view.points.iter().flat_map(|p| [p.command_mps, p.speed_mps]);
    let scale = Scale::new(range(values, 1e-4), top, top + height);
    title(sheet, axis, top, words.speed, &[(Pen::COMMAND, words.command), (TABLE, words.table)]);
    grid(sheet, axis, top, top + height);
    numbers(sheet, axis, &scale, 60.0);
    line(sheet, &view.points, axis, &scale, TABLE, |p| p.speed_mps);
    line(sheet, &view.points, axis, &scale, Pen { width: 1.3, ..Pen::COMMAND }, |p| p.command_mps);
    alarm_line(sheet, axis, top, top + height);
}

/// The command is the base line; what lags hangs below it. Where the count and the table part, the count is wrong.
fn places(sheet: &mut Sheet, view: &LoopView, axis: &TimeAxis, (top, height): (f64, f64), words: &InstrumentWords) {
    let k = sheet.k;
    let both = |p: &LoopPoint| [p.counted_m - p.command_m, p.table_m - p.command_m];
    let scale = Scale::new(range(view.points.iter().flat_map(both), 4.0 * view.count_m), top, top + height);
    let lines =
        [(Pen::COMMAND, words.command), (COUNTED, words.counted), (TABLE, words.table), (Pen::GHOST, words.healthy)];
    let shown = if view.error.ghost { &lines[..] } else { &lines[..3] };
    title(sheet, axis, top, words.against_command, shown);
    grid(sheet, axis, top, top + height);
    numbers(sheet, axis, &scale, 1e3);
    let zero = scale.y(0.0);
    sheet.line((axis.left, zero), (axis.right(), zero), Pen::COMMAND);
    if view.error.ghost {
        line(sheet, &view.points, axis, &scale, Pen::GHOST, |p| -p.expected_m);
    }
    line(sheet, &view.points, axis, &scale, COUNTED, |p| p.counted_m - p.command_m);
    line(sheet, &view.points, axis, &scale, TABLE, |p| p.table_m - p.command_m);
    alarm_line(sheet, axis, top, top + height);
    let Some(last) = view.points.last() else { return };
    let off_m = last.counted_m - last.table_m;
    if off_m.abs() > 2.0 * view.count_m {
        let x = axis.right() - 3.0 * k;
        let (a, b) = (scale.y(last.counted_m - last.command_m), scale.y(last.table_m - last.command_m));
        sheet.line((x, a), (x, b), Pen::FAULT);
        let text = format!("{} {} mm", words.off_by, signed(off_m * 1e3, 2));
        let y = (0.5 * (a + b) + 4.0 * k).clamp(top + 12.0 * k, (top + height - 3.0 * k).max(top + 12.0 * k));
        sheet.text_over((x - 7.0 * k, y), text, Lettering::Strong, Ink::Fault, Anchor::End);
    }
}
