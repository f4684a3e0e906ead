//! Squared channels and what the counter makes of them: one stroke per counted edge.

use super::axes::{TimeAxis, rough_width};
use super::channels::levels_v;
use super::kit::Sheet;
use super::numbers::fixed;
use super::shape::{Anchor, Fill, Lettering, Step};
use super::tokens::{Ink, Pen};
use super::trace::{alarm_line, grid, hatch_blind};
use super::view::{Levels, MinMax, SquareColumn, TraceView};
use super::words::ChartWords;

/// So many columns in a row that all switch are a band instead of single edges.
const BAND_FROM: usize = 4;
/// Width of the boxes in which close counts are summed, px at scale 1.
const BOX_PX: f64 = 4.0;

/// Heights of the rows, px: upper and lower level of A and of B, line of the counts and the height of their strokes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rows {
    /// High and low of A.
    pub a: (f64, f64),
    /// High and low of B; none with one sensor.
    pub b: Option<(f64, f64)>,
    /// Line that the counts stand on.
    pub counts: f64,
    /// Height of a count's stroke, up and down.
    pub stroke: f64,
}

/// Divides the height among the rows.
pub fn rows(has_b: bool, top: f64, height: f64) -> Rows {
    // Shares of the height: level, gap, level, gap, strokes up, strokes down.
    let unit = height / if has_b { 5.1 } else { 3.6 };
    let (level, gap) = (unit, 0.5 * unit);
    let a = (top + 0.1 * unit, top + 0.1 * unit + level);
    let b = has_b.then_some((a.1 + gap, a.1 + gap + level));
    let stroke = 0.9 * unit;
    Rows { a, b, counts: b.unwrap_or(a).1 + gap + stroke, stroke }
}

/// Draws the squared channels and the counts between `top` and `top + height`.
pub fn draw(sheet: &mut Sheet, view: &TraceView, axis: &TimeAxis, (top, height): (f64, f64), words: &ChartWords) {
    let k = sheet.k;
    let rows = rows(!view.square_b.is_empty() || view.square_a.is_empty(), top, height);
    grid(sheet, axis, top, top + height);
    hatch_blind(sheet, axis, &view.blind, top, top + height);
    for (levels, columns, letter, ink) in
        [(Some(rows.a), &view.square_a, "A", Ink::A), (rows.b, &view.square_b, "B", Ink::B)]
    {
        let Some((high, low)) = levels else { continue };
        let ghost = if letter == "A" { &view.ghost_a_v } else { &view.ghost_b_v };
        if !ghost.is_empty() {
            square(sheet, axis, &squared(ghost, view.levels), (high, low), Pen::GHOST);
        }
        square(sheet, axis, columns, (high, low), Pen { ink, width: 1.6, dash: &[], alpha: 1.0 });
        let at = (axis.left - 5.0 * k, 0.5 * (high + low) + 4.0 * k);
        sheet.text(at, letter, Lettering::Strong, ink, Anchor::End);
    }
    counts(sheet, axis, &view.counts, &rows);
    alarm_line(sheet, axis, top, top + height);
    last_edge(sheet, view, axis, &rows, words);
    direction(sheet, view, axis, &rows, words);
}

/// What the input would make of the healthy channel: high where it is above the middle of the levels.
fn squared(ghost: &[MinMax], levels: Levels) -> Vec<SquareColumn> {
    let (low, high) = levels_v(levels);
    let middle = 0.5 * (low + high);
    let column =
        |c: &MinMax| SquareColumn { high: c.min + c.max > 2.0 * middle, busy: c.min < middle && c.max > middle };
    ghost.iter().map(column).collect()
}

/// One squared channel: a line with its edges, and a band where it switches in every column.
pub(super) fn square(sheet: &mut Sheet, axis: &TimeAxis, columns: &[SquareColumn], (high, low): (f64, f64), pen: Pen) {
    let n = columns.len();
    let y = |level: bool| if level { high } else { low };
    let mut steps: Vec<Step> = Vec::new();
    let mut i = axis.first(n);
    let mut level = columns.get(i).map(|c| c.high != c.busy);
    while i < n {
        let busy = columns[i..].iter().take_while(|c| c.busy).count();
        let before = level.unwrap_or_default();
        if busy >= BAND_FROM {
            let (from, to) = (axis.edge(i, n), axis.edge(i + busy, n));
            if !steps.is_empty() {
                steps.push(Step::Line((from, y(before))));
            }
            if pen != Pen::GHOST {
                sheet.rect((from, high), to - from, low - high, Some(Fill::Flat(pen.ink, 0.3)), None);
            }
            steps.extend([Step::Move((from, high)), Step::Line((to, high))]);
            steps.extend([Step::Move((from, low)), Step::Line((to, low))]);
            i += busy;
            level = Some(columns[i - 1].high);
            steps.push(Step::Move((to, y(columns[i - 1].high))));
            continue;
        }
        if steps.is_empty() {
            steps.push(Step::Move((axis.edge(i, n), y(before))));
        }
        let now = columns[i].high;
        if columns[i].busy || now != before {
            let x = axis.middle(i, n);
            steps.push(Step::Line((x, y(before))));
            steps.push(Step::Line((x, y(!before))));
            if now == before {
                // There and back within the column.
                steps.push(Step::Line((x, y(now))));
            }
            level = Some(now);
        }
        i += 1;
    }
    if let (false, Some(level)) = (steps.is_empty(), level) {
        steps.push(Step::Line((axis.right(), y(level))));
        sheet.path(steps, None, Some(pen));
    }
}

/// The counts: a stroke each, up for plus and down for minus; where they stand too close, a bar per small box whose
/// height is the rate against the greatest rate in sight.
fn counts(sheet: &mut Sheet, axis: &TimeAxis, counts: &[i32], rows: &Rows) {
    let (n, first) = (counts.len(), axis.first(counts.len()));
    sheet.line((axis.left, rows.counts), (axis.right(), rows.counts), Pen::MID);
    // Boxes are counted from the newest column, so that a column stays in its box while the record grows.
    let per_box = ((BOX_PX * sheet.k / axis.column_px()).round() as usize).max(1);
    let boxes = (n - first).div_ceil(per_box);
    let mut sums = vec![(0u64, 0u64); boxes];
    for (i, count) in counts.iter().enumerate().skip(first) {
        let sum = &mut sums[(n - 1 - i) / per_box];
        let size = u64::from(count.unsigned_abs());
        if *count > 0 { sum.0 += size } else { sum.1 += size }
    }
    let most = sums.iter().map(|s| s.0.max(s.1)).max().unwrap_or(0);
    let filled = sums.iter().filter(|s| s.0 + s.1 > 0).count();
    let crowded = sums.iter().filter(|s| s.0 + s.1 > 1).count();
    if 4 * crowded <= filled {
        single_counts(sheet, axis, counts, rows);
        return;
    }
    let (up, down): (Vec<u64>, Vec<u64>) = sums.into_iter().unzip();
    for (sizes, away) in [(up, -rows.stroke), (down, rows.stroke)] {
        let mut steps = Vec::new();
        for (i, size) in sizes.iter().enumerate().filter(|(_, s)| **s > 0) {
            let right = axis.edge(n - i * per_box, n);
            let left = axis.edge((n - i * per_box).saturating_sub(per_box), n);
            let y = rows.counts + away * (0.35 + 0.65 * *size as f64 / most as f64);
            // Side by side boxes join to one face.
            if i == 0 || sizes[i - 1] == 0 {
                steps.push(Step::Move((right, rows.counts)));
            }
            steps.extend([Step::Line((right, y)), Step::Line((left, y))]);
            if sizes.get(i + 1).is_none_or(|s| *s == 0) {
                steps.extend([Step::Line((left, rows.counts)), Step::Close]);
            }
        }
        if !steps.is_empty() {
            sheet.path(steps, Some(Fill::Flat(Ink::Ink, 0.3)), Some(Pen::THIN));
        }
    }
}

/// A stroke for each count; several of one column stand side by side within it.
fn single_counts(sheet: &mut Sheet, axis: &TimeAxis, counts: &[i32], rows: &Rows) {
    const MOST: u32 = 16;
    let n = counts.len();
    let mut steps = Vec::new();
    for (i, count) in counts.iter().enumerate().skip(axis.first(n)).filter(|(_, c)| **c != 0) {
        let (left, right) = (axis.edge(i, n), axis.edge(i + 1, n));
        let strokes = count.unsigned_abs().min(MOST);
        for j in 0..strokes {
            let x = left + (right - left) * (f64::from(j) + 0.5) / f64::from(strokes);
            steps.push(Step::Move((x, rows.counts)));
            steps.push(Step::Line((x, rows.counts - f64::from(count.signum()) * rows.stroke)));
        }
    }
    sheet.path(steps, None, Some(Pen::MID));
}

/// The newest column with a count, if there is one in the window.
fn newest_count(view: &TraceView, axis: &TimeAxis) -> Option<usize> {
    let first = axis.first(view.counts.len());
    view.counts.iter().rposition(|c| *c != 0).filter(|i| *i >= first)
}

/// Where the counts ended, if the trace has been blind ever since and still is.
fn last_edge(sheet: &mut Sheet, view: &TraceView, axis: &TimeAxis, rows: &Rows, words: &ChartWords) {
    let k = sheet.k;
    if view.blind.last() != Some(&true) {
        return;
    }
    let Some(i) = newest_count(view, axis) else { return };
    let n = view.counts.len();
    let x = axis.middle(i, n);
    let text = format!("{} {} s", words.last_edge, fixed(axis.time_of(i, n), 4));
    let width = rough_width(&text, Lettering::Strong.size_weight().0 * k);
    sheet.line((x, rows.counts + 4.0 * k), (x, rows.counts - rows.stroke - 3.0 * k), Pen::FAULT);
    // Under the line where there is no room beside the mark.
    let beside = x + 8.0 * k + width < axis.right();
    let at = if beside {
        (x + 8.0 * k, rows.counts - 0.5 * rows.stroke + 4.5 * k)
    } else {
        ((axis.right() - width - 4.0 * k).max(axis.left), rows.counts + 14.0 * k)
    };
    sheet.text_over(at, text, Lettering::Strong, Ink::Fault, Anchor::Start);
}

/// Which way the newest counts went: an arrow, right for up as the axis is drawn.
fn direction(sheet: &mut Sheet, view: &TraceView, axis: &TimeAxis, rows: &Rows, words: &ChartWords) {
    let k = sheet.k;
    let recent = view.counts.len().saturating_sub((axis.columns / 8).max(1));
    let sum: i64 = view.counts[recent..].iter().map(|c| i64::from(*c)).sum();
    // One sensor counts, but cannot tell which way.
    if sum == 0 || view.square_b.is_empty() || view.blind.last() == Some(&true) {
        return;
    }
    let word = if sum > 0 { words.up } else { words.down };
    // Inside the plot it stands on the side of the line where the counts do not.
    let side = if axis.labels_outside || sum < 0 { -0.5 } else { 0.5 };
    let y = rows.counts + side * rows.stroke;
    let x = if axis.labels_outside { axis.right() + 8.0 * k } else { axis.right() - 56.0 * k };
    let (tail, tip, angle) = if sum > 0 { (x, x + 16.0 * k, 0.0) } else { (x + 16.0 * k, x, std::f64::consts::PI) };
    sheet.line((tail, y), (tip, y), Pen::MID);
    sheet.arrow((tip, y), angle, 8.0, Ink::Ink);
    sheet.text_over((x + 22.0 * k, y + 4.0 * k), word, Lettering::Note, Ink::Ink2, Anchor::Start);
}
