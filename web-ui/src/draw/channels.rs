//! Channels A and B as they reach the input: volts over time.

use super::axes::{Scale, TimeAxis, rough_width};
use super::kit::Sheet;
use super::numbers::{decimals_for, fixed, signed};
use super::shape::{Anchor, Fill, Lettering};
use super::tokens::{Ink, Pen};
use super::trace::{Plot, Run, alarm_line, grid, hatch_blind, stretches};
use super::view::{Levels, MinMax, TraceView};
use super::words::{ChartWords, TraceNotes};

/// Opacity of a band that is washed with ink.
pub const WASH: f64 = 0.055;
/// Columns that span less than this are a line whatever they hold, px at scale 1.
const LEAST_DENSE: f64 = 5.0;
/// A ghost is drawn where it is further from the trace than this share of the range.
const GHOST_APART: f64 = 0.03;

/// Height of the strip above the traces in which they are named, px at scale 1.
pub const NAME_STRIP: f64 = 18.0;

/// The voltage mapping of a chart between two heights at pen scale `k`: the names stand above it.
pub fn volts(view: &TraceView, top: f64, height: f64, k: f64) -> Scale {
    let strip = (NAME_STRIP * k).min(height * 0.4);
    Scale::new(view.range_v, top + strip, top + height - (2.0 * k).min(height * 0.1))
}

/// The switching levels as (lower, upper), V. A vector of a least length is shown as that far from 0 V on each side.
pub fn levels_v(levels: Levels) -> (f64, f64) {
    match levels {
        Levels::Comparator { centre_v, half_v } => (centre_v - half_v, centre_v + half_v),
        Levels::Vector { hold_v } => (-hold_v, hold_v),
    }
}

/// Draws the chart between `top` and `top + height`.
pub fn draw(
    sheet: &mut Sheet,
    view: &TraceView,
    axis: &TimeAxis,
    (top, height): (f64, f64),
    words: &ChartWords,
    notes: &TraceNotes,
) {
    let scale = volts(view, top, height, sheet.k);
    grid(sheet, axis, top, top + height);
    switching_band(sheet, view, axis, &scale);
    hatch_blind(sheet, axis, &view.blind, top, top + height);
    for (ghost, real) in [(&view.ghost_a_v, &view.a_v), (&view.ghost_b_v, &view.b_v)] {
        draw_ghost(sheet, axis, &scale, ghost, real);
    }
    traces(sheet, view, axis, &scale);
    alarm_line(sheet, axis, top, top + height);
    names(sheet, view, axis, top, words, notes);
    if let (Some(last), false) = (view.a_v.last(), notes.now.is_empty()) {
        let under = scale.y(last.min).max(scale.y(levels_v(view.levels).0)) + 15.0 * sheet.k;
        let at = (axis.right() - 5.0 * sheet.k, under.min(scale.bottom - 3.0 * sheet.k));
        sheet.text_over(at, notes.now, Lettering::Strong, Ink::Fault, Anchor::End);
    }
}

/// Both traces: first what fills, then lines, B under A; where both are envelopes the broken edge of B lies over the
/// solid edge of A, so that equal ones show as both colours in turn.
fn traces(sheet: &mut Sheet, view: &TraceView, axis: &TimeAxis, scale: &Scale) {
    let k = sheet.k;
    let a = Plot { axis, scale, columns: &view.a_v };
    let b = Plot { axis, scale, columns: &view.b_v };
    let (runs_a, runs_b) = (a.runs(LEAST_DENSE * k), b.runs(LEAST_DENSE * k));
    let edge = |pen: Pen| Pen { width: 1.5, ..pen };
    for run in dense(&runs_a) {
        a.face(sheet, run.columns.clone(), Ink::A, 0.16);
    }
    for run in dense(&runs_b) {
        b.strokes(sheet, run.columns.clone(), 5.0 * k, Pen { width: 1.0, dash: &[], alpha: 0.6, ..Pen::TRACE_B });
    }
    for run in runs_b.iter().filter(|r| !r.dense) {
        b.line(sheet, run.columns.clone(), Pen::TRACE_B);
    }
    for run in runs_a.iter().filter(|r| !r.dense) {
        a.line(sheet, run.columns.clone(), Pen::TRACE_A);
    }
    for run in dense(&runs_a) {
        a.edges(sheet, run.columns.clone(), edge(Pen::TRACE_A));
    }
    for run in dense(&runs_b) {
        b.edges(sheet, run.columns.clone(), Pen { dash: &[7.0, 7.0], ..edge(Pen::TRACE_B) });
    }
}

fn dense(runs: &[Run]) -> impl Iterator<Item = &Run> {
    runs.iter().filter(|r| r.dense)
}

/// The healthy trace, dotted, only where the real one has left it.
fn draw_ghost(sheet: &mut Sheet, axis: &TimeAxis, scale: &Scale, ghost: &[MinMax], real: &[MinMax]) {
    let apart = GHOST_APART * (scale.hi - scale.lo);
    let n = ghost.len();
    // Both end with the newest column.
    let differs = |i: usize| match (real.len() + i).checked_sub(n).and_then(|j| real.get(j)) {
        Some(r) => (ghost[i].min - r.min).abs() > apart || (ghost[i].max - r.max).abs() > apart,
        None => false,
    };
    let plot = Plot { axis, scale, columns: ghost };
    for run in plot.runs(LEAST_DENSE * sheet.k) {
        let Some(start) = run.columns.clone().find(|i| differs(*i)) else { continue };
        let end = run.columns.clone().rev().find(|i| differs(*i)).map_or(start, |i| i + 1);
        if run.dense {
            plot.edges(sheet, start..end, Pen::GHOST);
        } else {
            plot.line(sheet, start..end, Pen::GHOST);
        }
    }
}

fn switching_band(sheet: &mut Sheet, view: &TraceView, axis: &TimeAxis, scale: &Scale) {
    let k = sheet.k;
    let (low, high) = levels_v(view.levels);
    let (y_low, y_high) = (scale.y(low), scale.y(high));
    sheet.rect((axis.left, y_high), axis.width, y_low - y_high, Some(Fill::Flat(Ink::Ink, WASH)), None);
    let shown = [high, low].into_iter().filter(|v| scale.holds(*v));
    for v in shown.clone() {
        sheet.line((axis.left, scale.y(v)), (axis.right(), scale.y(v)), Pen::LEVEL);
    }
    if !axis.labels_outside {
        return;
    }
    let decimals = decimals_for((high - low).abs().max(0.01)).max(2);
    let text = |v: f64| if scale.lo < 0.0 { signed(v, decimals) } else { fixed(v, decimals) };
    let x = axis.right() + 8.0 * k;
    let label = |sheet: &mut Sheet, y: f64, words: String| {
        sheet.text((x, y + 4.0 * k), format!("{words} V"), Lettering::Note, Ink::Ink2, Anchor::Start);
    };
    if y_low - y_high >= 13.0 * k {
        for v in shown {
            label(sheet, scale.y(v), text(v));
        }
    } else if low == -high {
        label(sheet, 0.5 * (y_low + y_high), format!("±{}", fixed(high, decimals)));
    } else {
        // Too near to each other to stand at their own heights.
        label(sheet, 0.5 * (y_low + y_high) - 7.0 * k, text(high));
        label(sheet, 0.5 * (y_low + y_high) + 7.0 * k, text(low));
    }
}

/// The names of the traces with what is said about them, each after a stroke of its pen, and "too weak" over the
/// newest blind stretch.
fn names(sheet: &mut Sheet, view: &TraceView, axis: &TimeAxis, top: f64, words: &ChartWords, notes: &TraceNotes) {
    let k = sheet.k;
    let base = top + 12.0 * k;
    let note_size = Lettering::Text.size_weight().0 * k;
    let blind = stretches(axis, &view.blind).into_iter().next_back().map(|run| {
        let width = rough_width(words.too_weak, note_size) + 10.0 * k;
        let from = axis.edge(run.start, view.blind.len());
        from.min(axis.right() - width).max(axis.left)
    });
    let room = blind.unwrap_or(axis.right());
    let mut x = axis.left + 4.0 * k;
    let b_words = if view.b_v.is_empty() && !view.a_v.is_empty() {
        ("", words.one_sensor, Ink::Ink2)
    } else {
        ("B", notes.b, Ink::B)
    };
    for (letter, note, ink) in [("A", notes.a, Ink::A), b_words] {
        let pen = if letter == "A" { Pen::TRACE_A } else { Pen::TRACE_B };
        let head = if letter.is_empty() { 0.0 } else { 34.0 * k };
        if x + head > room {
            break;
        }
        if !letter.is_empty() {
            sheet.line((x, base - 4.5 * k), (x + 20.0 * k, base - 4.5 * k), pen);
            sheet.text_over((x + 24.0 * k, base), letter, Lettering::Title, ink, Anchor::Start);
            x += head + 2.0 * k;
        }
        let width = rough_width(note, note_size);
        if !note.is_empty() && x + width < room {
            sheet.text_over((x, base), note, Lettering::Text, ink, Anchor::Start);
            x += width;
        }
        x += 18.0 * k;
    }
    let ghost = rough_width(words.healthy, note_size) + 26.0 * k;
    if !view.ghost_a_v.is_empty() && x + ghost < room {
        sheet.line((x, base - 4.5 * k), (x + 20.0 * k, base - 4.5 * k), Pen::GHOST);
        sheet.text_over((x + 24.0 * k, base), words.healthy, Lettering::Note, Ink::Ink2, Anchor::Start);
    }
    if let Some(x) = blind {
        sheet.text_over((x + 6.0 * k, base), words.too_weak, Lettering::Strong, Ink::Fault, Anchor::Start);
    }
}

/// Peak-to-peak size of the newest `share` (0..1) of a record, V; none for an empty record.
pub fn peak_to_peak_v(columns: &[MinMax], share: f64) -> Option<f64> {
    let newest = ((columns.len() as f64 * share.clamp(0.0, 1.0)).ceil() as usize).clamp(1, columns.len().max(1));
    let newest = columns.get(columns.len().checked_sub(newest)?..)?;
    let low = newest.iter().map(|c| c.min).reduce(f64::min)?;
    let high = newest.iter().map(|c| c.max).reduce(f64::max)?;
    Some(high - low)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn peak_to_peak_looks_at_the_newest_share() {
        let columns = [MinMax { min: -5.0, max: 5.0 }, MinMax { min: -1.0, max: 0.5 }, MinMax { min: 0.0, max: 1.0 }];
        assert_eq!(peak_to_peak_v(&columns, 1.0), Some(10.0));
        assert_eq!(peak_to_peak_v(&columns, 0.5), Some(2.0));
        assert_eq!(peak_to_peak_v(&columns, 0.0), Some(1.0));
        assert_eq!(peak_to_peak_v(&[], 0.5), None);
    }
}
