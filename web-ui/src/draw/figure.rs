//! A against B as an instrument: the points, the ellipse through them, the ideal circle.

use super::instrument_view::{FigureView, FitView};
use super::kit::Sheet;
use super::room::{Area, text_width};
use super::shape::{Anchor, Lettering, Shape, Step};
use super::tokens::{Ink, Pen};
use super::words::{ChartWords, InstrumentWords};
use super::xy::{self, Figure};
use std::f64::consts::TAU;

/// Pieces of the drawn ellipse.
const PIECES: usize = 72;
/// The ellipse's pen: a thin chain line, so that it is neither a point's trail nor the ghost.
const FITTED: Pen = Pen { ink: Ink::Ink2, width: 1.4, dash: &[8.0, 3.0], alpha: 1.0 };

/// Draws the figure into an area, with a legend under it where there is room.
pub fn draw(view: &FigureView, area: Area, k: f64, words: &ChartWords, more: &InstrumentWords) -> Vec<Shape> {
    let mut sheet = Sheet::new(k);
    let legend = if area.h > 150.0 * k { 20.0 * k } else { 0.0 };
    let (w, h) = (area.w, area.h - legend);
    xy::draw(&mut sheet, &view.xy, (area.x, area.y), w, h, words);
    let at = Figure::in_box(&view.xy, (area.x, area.y), w, h, k);
    let sound = |fit: &&FitView| {
        let numbers = [fit.offset_v[0], fit.offset_v[1], fit.radius_v[0], fit.radius_v[1], fit.phase_error_rad];
        numbers.iter().all(|v| v.abs() < 1e3)
    };
    let fitted = view.fit.as_ref().ok().filter(|_| view.xy.has_b).filter(sound);
    if let Some(fit) = fitted {
        ellipse(&mut sheet, fit, &at);
    }
    if legend > 0.0 {
        let y = area.bottom() - 5.0 * k;
        let rows = [(fitted.is_some(), FITTED, more.fitted), (view.xy.ghost, Pen::GHOST, more.healthy)];
        let shown: Vec<_> = rows.into_iter().filter(|r| r.0).collect();
        let wide: f64 = shown.iter().map(|r| text_width(r.2, Lettering::Note, k) + 42.0 * k).sum();
        let mut x = area.x + 0.5 * (area.w - wide + 14.0 * k).max(0.0);
        for (_, pen, word) in shown {
            sheet.line((x, y - 4.0 * k), (x + 22.0 * k, y - 4.0 * k), pen);
            sheet.text((x + 26.0 * k, y), word, Lettering::Note, Ink::Ink2, Anchor::Start);
            x += text_width(word, Lettering::Note, k) + 42.0 * k;
        }
    }
    sheet.finish()
}

/// The ellipse with a cross in its centre.
fn ellipse(sheet: &mut Sheet, fit: &FitView, at: &Figure) {
    let point = |i: usize| {
        let angle = i as f64 / PIECES as f64 * TAU;
        // A = o + R cos, B = o + R sin(angle + delta) (Heydemann, Appl. Opt. 20, 3382, 1981).
        let a = fit.offset_v[0] + fit.radius_v[0] * angle.cos();
        let b = fit.offset_v[1] + fit.radius_v[1] * (angle + fit.phase_error_rad).sin();
        at.at_free((a, b))
    };
    let ((cx, cy), r) = (at.centre, at.r);
    sheet.push(Shape::Clip(cx - r, cy - r, 2.0 * r, 2.0 * r));
    sheet.polyline((0..=PIECES).map(point), FITTED);
    let (x, y) = at.at_free((fit.offset_v[0], fit.offset_v[1]));
    let arm = 5.0 * sheet.k;
    let cross = [(x - arm, y), (x + arm, y), (x, y - arm), (x, y + arm)];
    let steps = cross.into_iter().enumerate().map(|(i, p)| if i % 2 == 0 { Step::Move(p) } else { Step::Line(p) });
    sheet.path(steps.collect(), None, Some(Pen::MID));
    sheet.push(Shape::Unclip);
}
