//! The traces: channels, squares and mark over one ruler, with older sweeps, trigger and cursors.

use super::axes::TimeAxis;
use super::instrument_view::TracesView;
use super::kit::Sheet;
use super::room::Area;
use super::shape::{Anchor, Fill, Lettering, Point, Shape};
use super::tokens::{Ink, Pen};
use super::trace::Plot;
use super::words::{ChartWords, InstrumentWords, TraceNotes};
use super::{channels, ruler, squares};

/// Height of the mark's lane, px at scale 1.
const MARK: f64 = 16.0;
/// Gap between lanes, px at scale 1.
const GAP: f64 = 6.0;
/// Room over the lanes for the cursors' knobs, px at scale 1.
const KNOBS: f64 = 16.0;

/// Places of the traces, px.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TracesLayout {
    /// Scale of pens and letters.
    pub k: f64,
    /// Time across.
    pub axis: TimeAxis,
    /// Top and height of the channels.
    pub channels: (f64, f64),
    /// Top and height of the squares.
    pub squares: (f64, f64),
    /// Top and height of the mark's lane; none where the scale has no mark.
    pub mark: Option<(f64, f64)>,
    /// Line of the ruler.
    pub ruler_y: f64,
    /// Knobs of the cursors.
    pub knobs: Option<[Point; 2]>,
    /// Knob of the trigger's level.
    pub level_knob: Option<Point>,
    volts: super::axes::Scale,
}

impl TracesLayout {
    /// Works out the places for a view in an area.
    pub fn new(view: &TracesView, area: Area, k: f64) -> Self {
        let mut axis = TimeAxis::of(&view.trace, area.x, area.w, k, view.columns);
        axis.trigger_s = view.trigger_s;
        let mark = if view.mark.is_empty() { 0.0 } else { (MARK + GAP) * k };
        let knobs = if view.cursors.is_some() { KNOBS * k } else { 0.0 };
        let free = (area.h - ruler::HEIGHT * k - GAP * k - knobs - mark - 2.0).max(20.0);
        let channels = (area.y + knobs + 1.0, 0.66 * free);
        let squares = (channels.0 + channels.1 + GAP * k, 0.34 * free);
        let below = squares.0 + squares.1;
        let volts = channels::volts(&view.trace, channels.0, channels.1, k);
        let across = |share: f64| axis.left + share.clamp(0.0, 1.0) * axis.width;
        Self {
            k,
            axis,
            channels,
            squares,
            mark: (mark > 0.0).then_some((below + GAP * k, MARK * k)),
            ruler_y: below + mark,
            knobs: view.cursors.map(|c| c.map(|share| (across(share), area.y + 0.5 * KNOBS * k))),
            level_knob: view.level.map(|(v, _)| (axis.left + 6.0 * k, volts.y(v))),
            volts,
        }
    }

    /// Place across the window that belongs to a pointer, 0..1.
    pub fn share_at(&self, x: f64) -> f64 {
        ((x - self.axis.left) / self.axis.width).clamp(0.0, 1.0)
    }

    /// Level that belongs to a pointer, V, within the range of the picture.
    pub fn level_at(&self, y: f64) -> f64 {
        let share = ((self.volts.bottom - y) / (self.volts.bottom - self.volts.top)).clamp(0.0, 1.0);
        self.volts.lo + share * (self.volts.hi - self.volts.lo)
    }
}

/// Draws the traces in the places that the layout found for the same view.
pub fn draw(
    view: &TracesView,
    at: &TracesLayout,
    words: &ChartWords,
    more: &InstrumentWords,
    notes: &TraceNotes,
) -> Vec<Shape> {
    let mut sheet = Sheet::new(at.k);
    older(&mut sheet, view, at);
    channels::draw(&mut sheet, &view.trace, &at.axis, at.channels, words, notes);
    squares::draw(&mut sheet, &view.trace, &at.axis, at.squares, words);
    if let Some(lane) = at.mark {
        mark(&mut sheet, view, at, lane, more);
    }
    ruler::draw(&mut sheet, &at.axis, at.ruler_y, words);
    trigger(&mut sheet, view, at);
    cursors(&mut sheet, at);
    sheet.finish()
}

/// Sweeps before the newest, the older the fainter; the newest is drawn over them.
fn older(sheet: &mut Sheet, view: &TracesView, at: &TracesLayout) {
    let n = view.older.len() as f64;
    for (i, (a, b)) in view.older.iter().enumerate() {
        let alpha = 0.12 + 0.3 * (i as f64 + 1.0) / (n + 1.0);
        let columns = a.len().max(1);
        let axis = TimeAxis { columns, ..at.axis };
        for (columns, ink, on) in [(b, Ink::B, !view.trace.b_v.is_empty()), (a, Ink::A, true)] {
            let plot = Plot { axis: &axis, scale: &at.volts, columns };
            for run in plot.runs(5.0 * at.k).into_iter().filter(|_| on) {
                let pen = Pen { ink, width: 1.0, dash: &[], alpha };
                if run.dense {
                    plot.edges(sheet, run.columns, pen);
                } else {
                    plot.line(sheet, run.columns, pen);
                }
            }
        }
    }
}

/// The pulse of the reference mark in its own lane.
fn mark(sheet: &mut Sheet, view: &TracesView, at: &TracesLayout, (top, height): (f64, f64), words: &InstrumentWords) {
    let (k, axis) = (at.k, &at.axis);
    let pen = Pen { ink: Ink::Ink, width: 1.6, dash: &[], alpha: 1.0 };
    squares::square(sheet, axis, &view.mark, (top + 1.5 * k, top + height - 1.0 * k), pen);
    if axis.labels_outside {
        let at = (axis.right() + 8.0 * k, top + height - 3.0 * k);
        sheet.text(at, words.mark, Lettering::Note, Ink::Ink2, Anchor::Start);
    } else {
        let at = (axis.left + 2.0 * k, top + height - 4.0 * k);
        sheet.text_over(at, words.mark, Lettering::Note, Ink::Ink2, Anchor::Start);
    }
}

/// Where the trigger is: a line in time, and its level on the channel that it looks at.
fn trigger(sheet: &mut Sheet, view: &TracesView, at: &TracesLayout) {
    let (k, axis) = (at.k, &at.axis);
    if let Some(x) = axis.trigger_x().filter(|_| view.trigger_s != axis.alarm_s) {
        sheet.line((x, at.channels.0), (x, at.ruler_y), Pen::LEVEL);
    }
    let Some((x, y)) = at.level_knob else { return };
    sheet.line((x, y), (axis.right(), y), Pen { alpha: 0.55, ..Pen::TOUCH });
    sheet.knob((x, y));
    let letter = if view.level.is_some_and(|(_, b)| b) { "B" } else { "A" };
    sheet.text_over((x + 9.0 * k, y - 5.0 * k), letter, Lettering::Note, Ink::Touch, Anchor::Start);
}

/// The two cursors: a line each with its knob and number.
fn cursors(sheet: &mut Sheet, at: &TracesLayout) {
    let Some(knobs) = at.knobs else { return };
    let k = at.k;
    for (number, (x, y)) in ["1", "2"].into_iter().zip(knobs) {
        sheet.line((x, y), (x, at.ruler_y), Pen::TOUCH);
        sheet.circle((x, y), 7.0 * k, Some(Fill::Flat(Ink::Paper, 1.0)), Some(Pen::TOUCH));
        sheet.text((x, y + 4.2 * k), number, Lettering::Note, Ink::Touch, Anchor::Middle);
    }
}
