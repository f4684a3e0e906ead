//! The count strip: every edge of the squared channels with its way, where each manner of counting counts, and what
//! the counter could not tell.

use super::axes::{TimeAxis, rough_width};
use super::instrument_view::{CountEvent, CountView};
use super::kit::Sheet;
use super::numbers::fixed;
use super::room::Area;
use super::ruler;
use super::shape::{Anchor, Fill, Lettering, Point, Shape, Step};
use super::tokens::{Ink, Pen};
use super::trace::{alarm_line, grid};
use super::words::{ChartWords, InstrumentWords};
use std::f64::consts::{FRAC_PI_2, TAU};

/// Boxes at least this wide carry the wheel of states, px at scale 1.
const WIDE: f64 = 560.0;
/// Width of the wheel with its words, px at scale 1.
const WHEEL: f64 = 128.0;

/// Rows of the strip, px: tops and one height.
struct Rows {
    a: (f64, f64),
    b: (f64, f64),
    arrows: f64,
    ticks: [f64; 3],
    healthy: Option<f64>,
    unit: f64,
}

impl Rows {
    fn new(view: &CountView, top: f64, height: f64) -> Self {
        // Levels of A and B one unit each with half a unit between, arrows, three rows of counts, the healthy row.
        let units = 5.3 + if view.ghost { 0.8 } else { 0.0 };
        let unit = height / units;
        let y = |u: f64| top + u * unit;
        Self {
            a: (y(0.1), y(0.9)),
            b: (y(1.2), y(2.0)),
            arrows: y(2.55),
            ticks: [y(3.7), y(4.45), y(5.2)],
            healthy: view.ghost.then(|| y(6.0)),
            unit,
        }
    }
}

/// Draws the strip into an area.
pub fn draw(view: &CountView, area: Area, k: f64, words: &ChartWords, more: &InstrumentWords) -> Vec<Shape> {
    let mut sheet = Sheet::new(k);
    let wheel_w = if area.w >= WIDE * k && area.h >= 110.0 * k { WHEEL * k } else { 0.0 };
    let head = if wheel_w > 0.0 { 0.0 } else { 16.0 * k };
    let w = area.w - wheel_w;
    // No room on the right for labels: the rows carry them at the left.
    let axis = TimeAxis {
        labels_outside: false,
        ..TimeAxis::in_box(area.x + 14.0 * k, w.min(1e4), k, (view.now_s, view.window_s), view.columns)
    };
    let axis = TimeAxis { width: (area.x + w - axis.left - 6.0 * k).max(1.0), ..axis }.with_alarm(view.alarm_s);
    let foot = ruler::HEIGHT * k;
    let rows = Rows::new(view, area.y + head, (area.h - foot - head - 2.0).max(30.0));
    let bottom = area.bottom() - foot;
    grid(&mut sheet, &axis, area.y + head, bottom);
    match &view.events {
        Some(events) => {
            edges(&mut sheet, view, events, &axis, &rows, more);
            healthy(&mut sheet, view, &axis, &rows, more);
        }
        None => crowd(&mut sheet, view, &axis, &rows, more),
    }
    row_names(&mut sheet, view, &axis, &rows);
    alarm_line(&mut sheet, &axis, area.y + head, bottom);
    ruler::draw(&mut sheet, &axis, bottom, words);
    if wheel_w > 0.0 {
        let centre = (area.right() - 0.5 * wheel_w + 4.0 * k, area.y + 0.44 * (area.h - foot));
        wheel(&mut sheet, view, centre, (0.26 * (area.h - foot)).clamp(18.0 * k, 40.0 * k), words);
    } else {
        sheet.text((axis.left, area.y + 12.0 * k), state_words(view, words), Lettering::Text, Ink::Ink, Anchor::Start);
    }
    sheet.finish()
}

/// The names of the rows at the left, the manner that the control uses in bold.
fn row_names(sheet: &mut Sheet, view: &CountView, axis: &TimeAxis, rows: &Rows) {
    let k = sheet.k;
    let x = axis.left - 5.0 * k;
    for (letter, (high, low), ink, on) in [("A", rows.a, Ink::A, true), ("B", rows.b, Ink::B, view.has_b)] {
        if on {
            sheet.text((x, 0.5 * (high + low) + 4.0 * k), letter, Lettering::Strong, ink, Anchor::End);
        }
    }
    for (y, per_period) in rows.ticks.into_iter().zip([4, 2, 1]).filter(|_| view.events.is_some()) {
        let used = per_period == view.per_period;
        let (lettering, ink) = if used { (Lettering::Strong, Ink::Ink) } else { (Lettering::Note, Ink::Ink2) };
        sheet.text((x, y), format!("\u{d7}{per_period}"), lettering, ink, Anchor::End);
    }
}

/// Single edges: levels, an arrow each, strokes where they count, and crosses.
fn edges(
    sheet: &mut Sheet,
    view: &CountView,
    events: &[CountEvent],
    axis: &TimeAxis,
    rows: &Rows,
    words: &InstrumentWords,
) {
    let k = sheet.k;
    let b_pen = Pen { width: 1.6, ..Pen::TRACE_B };
    for (first, (high, low), pen, on) in [
        (true, rows.a, Pen { width: 1.6, ..Pen::TRACE_A }, true),
        (false, rows.b, Pen { dash: &[], ..b_pen }, view.has_b),
    ] {
        if on {
            level(sheet, view, events, axis, |levels| if first { levels.0 } else { levels.1 }, (high, low), pen);
        }
    }
    let tall = 0.62 * rows.unit;
    for (y, per_period) in rows.ticks.into_iter().zip([4, 2, 1]) {
        let used = per_period == view.per_period;
        sheet.line((axis.left, y), (axis.right(), y), if used { Pen::MID } else { Pen::HAIR });
        let mut steps = Vec::new();
        for event in events.iter().filter(|e| e.counts_at(per_period) != 0) {
            let x = axis.x(event.time_s);
            steps.push(Step::Move((x, y)));
            steps.push(Step::Line((x, y - tall)));
        }
        sheet.path(steps, None, Some(if used { Pen::THICK } else { Pen::THIN }));
    }
    // Arrows: up while the count rises. Closer than their width only every so many are drawn.
    let least = 9.0 * k;
    let mut last = f64::NEG_INFINITY;
    for event in events.iter().filter(|e| e.way() != 0) {
        let x = axis.x(event.time_s);
        if x - last >= least {
            let (up, half) = (event.way() > 0, 0.3 * rows.unit);
            let (tail, tip) = if up { (half, -half) } else { (-half, half) };
            sheet.line((x, rows.arrows + tail), (x, rows.arrows + tip), Pen::THIN);
            let angle = if up { -FRAC_PI_2 } else { FRAC_PI_2 };
            sheet.arrow((x, rows.arrows + tip), angle, 6.0, Ink::Ink);
            last = x;
        }
    }
    let mut named = f64::NEG_INFINITY;
    for event in events.iter().filter(|e| e.illegal) {
        let x = axis.x(event.time_s);
        sheet.line((x, rows.a.0), (x, rows.ticks[2]), Pen::FAULT_THIN);
        sheet.cross((x, rows.arrows), 5.0);
        let width = rough_width(words.both_at_once, Lettering::Strong.size_weight().0 * k);
        let from = (x + 8.0 * k).min(axis.right() - width);
        if from - named >= 8.0 * k {
            sheet.text_over(
                (from, rows.arrows + 4.5 * k),
                words.both_at_once,
                Lettering::Strong,
                Ink::Fault,
                Anchor::Start,
            );
            named = from + width;
        }
    }
}

/// One squared channel from its changes.
fn level(
    sheet: &mut Sheet,
    view: &CountView,
    events: &[CountEvent],
    axis: &TimeAxis,
    pick: impl Fn((bool, bool)) -> bool,
    (high, low): (f64, f64),
    pen: Pen,
) {
    let y = |level: bool| if level { high } else { low };
    let first = events.first().map_or(pick(view.state), |e| pick(e.before));
    let mut steps = vec![Step::Move((axis.left, y(first)))];
    let mut now = first;
    for event in events.iter().filter(|e| pick(e.before) != pick(e.after)) {
        let x = axis.x(event.time_s).clamp(axis.left, axis.right());
        steps.push(Step::Line((x, y(now))));
        now = pick(event.after);
        steps.push(Step::Line((x, y(now))));
    }
    steps.push(Step::Line((axis.right(), y(now))));
    sheet.path(steps, None, Some(pen));
}

/// Too many edges to tell apart: bars whose height is the rate, up for plus and down for minus.
fn crowd(sheet: &mut Sheet, view: &CountView, axis: &TimeAxis, rows: &Rows, words: &InstrumentWords) {
    let k = sheet.k;
    let n = view.counts.len();
    let middle = 0.5 * (rows.ticks[0] + rows.ticks[2]);
    let tall = 1.1 * rows.unit;
    let most = view.counts.iter().map(|c| c.unsigned_abs()).max().unwrap_or(0).max(1);
    sheet.line((axis.left, middle), (axis.right(), middle), Pen::MID);
    let mut steps = Vec::new();
    for i in (axis.first(n)..n).filter(|i| view.counts[*i] != 0) {
        let size = f64::from(view.counts[i]) / f64::from(most) * tall;
        let (left, right) = (axis.edge(i, n), axis.edge(i + 1, n));
        steps.push(Step::Move((left, middle)));
        steps.extend([(left, middle - size), (right, middle - size), (right, middle)].map(Step::Line));
        steps.push(Step::Close);
    }
    sheet.path(steps, Some(Fill::Flat(Ink::Ink, 0.55)), None);
    if !view.healthy_counts.is_empty() {
        let n = view.healthy_counts.len();
        let top = |i: usize| middle - (view.healthy_counts[i] / f64::from(most)).clamp(-1.0, 1.0) * tall;
        sheet.polyline((axis.first(n)..n).map(|i| (axis.middle(i, n), top(i))), Pen::GHOST);
        let y = middle + tall + 12.0 * k;
        sheet.text_over((axis.left + 4.0 * k, y), words.healthy, Lettering::Note, Ink::Ink2, Anchor::Start);
    }
    for ((high, low), ink, on) in [(rows.a, Ink::A, true), (rows.b, Ink::B, view.has_b)] {
        if on {
            sheet.rect((axis.left, high), axis.width, low - high, Some(Fill::Flat(ink, 0.18)), None);
        }
    }
    sheet.text_over(
        (axis.left + 4.0 * k, rows.arrows + 4.0 * k),
        words.too_many,
        Lettering::Note,
        Ink::Ink2,
        Anchor::Start,
    );
}

/// Where the healthy bench would count while the table goes the same way.
fn healthy(sheet: &mut Sheet, view: &CountView, axis: &TimeAxis, rows: &Rows, words: &InstrumentWords) {
    let (k, Some(y)) = (sheet.k, rows.healthy) else { return };
    let tall = 0.5 * rows.unit;
    sheet.line((axis.left, y), (axis.right(), y), Pen::GHOST);
    let inside = |t: f64| (axis.left..=axis.right()).contains(&axis.x(t));
    let mut steps = Vec::new();
    for (time_s, _) in view.healthy.iter().filter(|(t, _)| inside(*t)) {
        let x = axis.x(*time_s);
        steps.push(Step::Move((x, y)));
        steps.push(Step::Line((x, y - tall)));
    }
    sheet.path(steps, None, Some(Pen::GHOST));
    sheet.text_over((axis.left + 4.0 * k, y - 2.0 * k), words.healthy, Lettering::Note, Ink::Ink2, Anchor::Start);
}

/// Levels now, way and count, in words.
pub fn state_words(view: &CountView, words: &ChartWords) -> String {
    let bit = |level: bool| if level { '1' } else { '0' };
    let way = match view.direction {
        1.. => words.up,
        0 => "",
        _ => words.down,
    };
    let b = if view.has_b { format!(" B {}", bit(view.state.1)) } else { String::new() };
    format!("A {}{b}   {} {way}", bit(view.state.0), fixed(view.count as f64, 0))
}

/// The four states as a wheel that turns clockwise while the count rises; the present one is filled.
fn wheel(sheet: &mut Sheet, view: &CountView, (cx, cy): Point, r: f64, words: &ChartWords) {
    let k = sheet.k;
    let dot = 11.0 * k;
    sheet.circle((cx, cy), r, None, Some(Pen::HAIR));
    for (state, levels) in [(false, false), (true, false), (true, true), (false, true)].into_iter().enumerate() {
        let angle = -FRAC_PI_2 - TAU / 8.0 + state as f64 * TAU / 4.0;
        let at = (cx + r * angle.cos(), cy + r * angle.sin());
        let here = levels == view.state;
        let fill = if here { Ink::Ink } else { Ink::Paper };
        sheet.circle(at, dot, Some(Fill::Flat(fill, 1.0)), Some(if here { Pen::THICK } else { Pen::THIN }));
        let bits = format!("{}{}", u8::from(levels.0), u8::from(levels.1));
        let ink = if here { Ink::Paper } else { Ink::Ink2 };
        sheet.text((at.0, at.1 + 4.2 * k), bits, Lettering::Note, ink, Anchor::Middle);
    }
    if view.direction != 0 && view.has_b {
        // An arrow on the inside of the wheel.
        let (from, to) = if view.direction > 0 { (-2.2, -0.9) } else { (-0.9, -2.2) };
        let inner = 0.5 * r;
        let start = (cx + inner * f64::cos(from), cy + inner * f64::sin(from));
        sheet.path(vec![Step::Move(start), Step::Arc((cx, cy), inner, from, to)], None, Some(Pen::MID));
        let tip = (cx + inner * f64::cos(to), cy + inner * f64::sin(to));
        let turn = if view.direction > 0 { FRAC_PI_2 } else { -FRAC_PI_2 };
        sheet.arrow(tip, to + turn, 7.0, Ink::Ink);
    }
    let below = cy + r + dot + 17.0 * k;
    sheet.text((cx, below), fixed(view.count as f64, 0), Lettering::Value, Ink::Ink, Anchor::Middle);
    let way = match view.direction {
        1.. => words.up,
        0 => "",
        _ => words.down,
    };
    sheet.text((cx, below + 15.0 * k), way, Lettering::Note, Ink::Ink2, Anchor::Middle);
}
