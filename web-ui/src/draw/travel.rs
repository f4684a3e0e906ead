//! Amplitude of A and B over the travel: it builds up as the axis goes, with what the input needs and where dirt lies.

use super::axes::{Scale, ticks};
use super::instrument_view::TravelView;
use super::kit::Sheet;
use super::numbers::{decimals_for, fixed};
use super::room::{Area, finite_or, text_width};
use super::shape::{Anchor, Fill, Hatch, Lettering, Shape, Step};
use super::tokens::{Ink, Pen};
use super::words::InstrumentWords;

/// Room under the plot for dirt, head and numbers, px at scale 1.
const BELOW: f64 = 44.0;
/// Places that the table has not passed: wide hatching in ink, since nothing is wrong there.
const NOT_PASSED: Fill = Fill::Hatch(Hatch::Housing);

/// Where the plot is.
struct Plot {
    left: f64,
    width: f64,
    scale: Scale,
    span_m: (f64, f64),
    outside: bool,
}

impl Plot {
    fn x(&self, m: f64) -> f64 {
        let share = (finite_or(m, 0.0) - self.span_m.0) / (self.span_m.1 - self.span_m.0).max(1e-6);
        self.left + share.clamp(0.0, 1.0) * self.width
    }
}

/// Draws amplitude over travel into an area.
pub fn draw(view: &TravelView, area: Area, k: f64, words: &InstrumentWords) -> Vec<Shape> {
    let mut sheet = Sheet::new(k);
    let outside = area.w >= 440.0 * k;
    let right = if outside { 98.0 * k } else { 6.0 * k };
    let highest = view.cells.iter().flatten().flatten().copied().filter(|v| v.is_finite());
    let highest = highest.fold(view.need_v.max(view.healthy_v) * 1.2, f64::max);
    let plot = Plot {
        left: area.x + 30.0 * k,
        width: (area.w - 30.0 * k - right).max(1.0),
        scale: Scale::new(
            (0.0, highest.max(0.01)),
            area.y + 18.0 * k,
            (area.bottom() - BELOW * k).max(area.y + 30.0 * k),
        ),
        span_m: view.span_m,
        outside,
    };
    ground(&mut sheet, view, &plot, words);
    if view.has_b {
        channel(&mut sheet, view, &plot, 1, Pen { width: 1.6, ..Pen::TRACE_B });
    }
    channel(&mut sheet, view, &plot, 0, Pen { width: 1.6, ..Pen::TRACE_A });
    levels(&mut sheet, view, &plot, words);
    below(&mut sheet, view, &plot, words);
    sheet.finish()
}

/// Left and right end of a column of pixels, and lowest and highest amplitude in it where there is one.
type Column = (f64, f64, Option<(f64, f64)>);

/// Cells joined by column of pixels, for A (0) or B (1).
fn columns(view: &TravelView, plot: &Plot, channel: usize) -> Vec<Column> {
    let n = view.cells.len();
    let per = ((n as f64 / plot.width).ceil() as usize).max(1);
    let x = |i: usize| plot.left + i as f64 / n.max(1) as f64 * plot.width;
    let column = |(i, cells): (usize, &[Option<[f64; 2]>])| {
        let range = cells.iter().flatten().map(|v| (v[channel], v[channel]));
        (x(i * per), x((i * per + per).min(n)), range.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1))))
    };
    view.cells.chunks(per).enumerate().map(column).collect()
}

/// Frame, numbers and the hatching where nothing is known yet.
fn ground(sheet: &mut Sheet, view: &TravelView, plot: &Plot, words: &InstrumentWords) {
    let (k, scale) = (sheet.k, &plot.scale);
    let mut unknown: Vec<(f64, f64)> = Vec::new();
    for (from, to, range) in columns(view, plot, 0) {
        match (range, unknown.last_mut()) {
            (None, Some(last)) if (last.1 - from).abs() < 0.01 => last.1 = to,
            (None, _) => unknown.push((from, to)),
            _ => {}
        }
    }
    if view.cells.is_empty() {
        unknown.push((plot.left, plot.left + plot.width));
    }
    for (from, to) in &unknown {
        sheet.rect((*from, scale.top), to - from, scale.bottom - scale.top, Some(NOT_PASSED), None);
        // Paler than a part in section: nothing stands there.
        sheet.rect((*from, scale.top), to - from, scale.bottom - scale.top, Some(Fill::Flat(Ink::Paper, 0.62)), None);
    }
    let widest = unknown.iter().copied().reduce(|a, b| if b.1 - b.0 > a.1 - a.0 { b } else { a });
    let word = text_width(words.not_passed, Lettering::Note, k);
    if let Some((from, to)) = widest.filter(|(a, b)| b - a > word + 12.0 * k) {
        let at = (0.5 * (from + to), 0.5 * (scale.top + scale.bottom) + 4.0 * k);
        let patch = (at.0 - 0.5 * word - 4.0 * k, at.1 - 12.0 * k);
        sheet.rect(patch, word + 8.0 * k, 17.0 * k, Some(Fill::Flat(Ink::Paper, 1.0)), None);
        sheet.text(at, words.not_passed, Lettering::Note, Ink::Ink2, Anchor::Middle);
    }
    let marks = ticks(0.0, scale.hi, ((scale.bottom - scale.top) / (18.0 * k)).clamp(1.0, 5.0) as usize);
    let decimals = decimals_for(marks.get(1).copied().unwrap_or(1.0));
    for mark in marks {
        let y = scale.y(mark);
        sheet.line((plot.left - 4.0 * k, y), (plot.left, y), Pen::THIN);
        sheet.text((plot.left - 6.0 * k, y + 4.0 * k), fixed(mark, decimals), Lettering::Note, Ink::Ink2, Anchor::End);
    }
    sheet.path(
        vec![
            Step::Move((plot.left, scale.top)),
            Step::Line((plot.left, scale.bottom)),
            Step::Line((plot.left + plot.width, scale.bottom)),
        ],
        None,
        Some(Pen::MID),
    );
}

/// One channel over the places that are known; where it falls short of the need it is hatched down to the need.
fn channel(sheet: &mut Sheet, view: &TravelView, plot: &Plot, channel: usize, pen: Pen) {
    let scale = &plot.scale;
    let need = scale.y(view.need_v);
    let mut steps: Vec<Step> = Vec::new();
    let mut down = true;
    for (from, to, range) in columns(view, plot, channel) {
        let Some((low, high)) = range else {
            down = true;
            continue;
        };
        let (x, low_y) = (0.5 * (from + to), scale.y(low));
        if low < view.need_v {
            sheet.rect((from, need), to - from, low_y - need, Some(Fill::Hatch(Hatch::Over)), None);
        }
        steps.push(if down { Step::Move((from, low_y)) } else { Step::Line((x, low_y)) });
        if down {
            steps.push(Step::Line((x, low_y)));
        }
        if (scale.y(high) - low_y).abs() > 0.7 {
            steps.push(Step::Line((x, scale.y(high))));
        }
        down = false;
    }
    if steps.len() > 1 {
        sheet.path(steps, None, Some(pen));
    }
}

/// The lines of need and of the healthy bench, and the names of the channels.
fn levels(sheet: &mut Sheet, view: &TravelView, plot: &Plot, words: &InstrumentWords) {
    let (k, scale) = (sheet.k, &plot.scale);
    let right = plot.left + plot.width;
    let mut taken: Option<f64> = None;
    let rows = [
        (true, view.need_v, Pen::LEVEL, words.needed, Ink::Ink),
        (view.ghost, view.healthy_v, Pen::GHOST, words.healthy, Ink::Ink2),
    ];
    for (on, v, pen, word, ink) in rows {
        if !on || !v.is_finite() {
            continue;
        }
        let y = scale.y(v);
        sheet.line((plot.left, y), (right, y), pen);
        let text = format!("{word} {} V", fixed(v, 2));
        let text_y = y + if plot.outside { 4.0 * k } else { -4.0 * k };
        if taken.is_some_and(|t| (t - text_y).abs() < 13.0 * k) {
            continue;
        }
        taken = Some(text_y);
        if plot.outside {
            sheet.text((right + 6.0 * k, text_y), text, Lettering::Note, ink, Anchor::Start);
        } else {
            sheet.text_over((right - 2.0 * k, text_y), text, Lettering::Note, ink, Anchor::End);
        }
    }
    let y = scale.top - 6.0 * k;
    let mut x = plot.left;
    for (letter, pen, on) in [("A", Pen::TRACE_A, true), ("B", Pen::TRACE_B, view.has_b)] {
        if on {
            sheet.line((x, y - 4.0 * k), (x + 20.0 * k, y - 4.0 * k), pen);
            sheet.text((x + 24.0 * k, y), letter, Lettering::Strong, pen.ink, Anchor::Start);
            x += 48.0 * k;
        }
    }
    sheet.text((x, y), "V", Lettering::Note, Ink::Ink2, Anchor::Start);
}

/// Under the plot: dirt with stipple, places in mm, and the head as a triangle.
fn below(sheet: &mut Sheet, view: &TravelView, plot: &Plot, words: &InstrumentWords) {
    let (k, y) = (sheet.k, plot.scale.bottom);
    let right = plot.left + plot.width;
    for (i, spot) in view.dirt.iter().enumerate() {
        let (a, b) = (plot.x(spot.from_m.min(spot.to_m)), plot.x(spot.from_m.max(spot.to_m)));
        let (a, b) = if b - a < 3.0 * k { (0.5 * (a + b) - 1.5 * k, 0.5 * (a + b) + 1.5 * k) } else { (a, b) };
        let dense = 0.35 + 0.65 * finite_or(spot.blocked, 0.0).clamp(0.0, 1.0);
        sheet.rect((a, y + 3.0 * k), b - a, 7.0 * k, Some(Fill::Flat(Ink::Dirt, 0.5 * dense)), None);
        let count = ((b - a) / k * 0.8 * dense).clamp(3.0, 200.0) as usize;
        sheet.stipple((0.5 * (a + b), y + 6.5 * k), 0.5 * (b - a), 3.0 * k, count, 41 + i as u32, Ink::Dirt);
    }
    if !view.dirt.is_empty() && plot.outside {
        sheet.text((right + 6.0 * k, y + 11.0 * k), words.dirt, Lettering::Note, Ink::Ink2, Anchor::Start);
    }
    let x = plot.x(view.head_m);
    sheet.line((x, plot.scale.top), (x, y + 12.0 * k), Pen::CENTRE);
    let tip = (x, y + 12.0 * k);
    let foot = [tip, (x + 5.0 * k, tip.1 + 8.0 * k), (x - 5.0 * k, tip.1 + 8.0 * k)];
    sheet.polygon(foot, Some(Fill::Flat(Ink::Ink, 1.0)), None);
    let base = y + 36.0 * k;
    let most = (plot.width / (70.0 * k)).clamp(1.0, 12.0) as usize;
    let marks = ticks(view.span_m.0.max(0.0) * 1e3, view.span_m.1 * 1e3, most);
    let decimals = decimals_for(marks.windows(2).map(|w| w[1] - w[0]).next().unwrap_or(1.0));
    for (i, mark) in marks.iter().enumerate() {
        let x = plot.x(mark * 1e-3);
        sheet.line((x, y), (x, y + 4.0 * k), Pen::THIN);
        let text = if i == 0 { format!("{} mm", fixed(*mark, decimals)) } else { fixed(*mark, decimals) };
        let half = 0.5 * text_width(&text, Lettering::Note, k);
        let x = x.max(plot.left - 26.0 * k + half).min(right + if plot.outside { 40.0 * k } else { 4.0 * k } - half);
        sheet.text((x, base), text, Lettering::Note, Ink::Ink2, Anchor::Middle);
    }
    let wide = text_width(words.head, Lettering::Note, k);
    let beside = if x + 9.0 * k + wide < right { (x + 9.0 * k, Anchor::Start) } else { (x - 9.0 * k, Anchor::End) };
    sheet.text((beside.0, y + 22.0 * k), words.head, Lettering::Note, Ink::Ink, beside.1);
}
