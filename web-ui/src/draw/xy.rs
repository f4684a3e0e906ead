//! A against B: a healthy head draws a circle, and the figure must stay clear of the switching levels.

use super::axes::bounded;
use super::channels::WASH;
use super::kit::Sheet;
use super::shape::{Anchor, Fill, Lettering, Point, Step};
use super::tokens::{Ink, Pen};
use super::view::{Levels, XyView};
use super::words::ChartWords;

/// At most so many points of the trail are drawn.
const POINTS: usize = 800;
/// The trail ages in so many steps.
const AGES: usize = 6;
/// Points that are on average further apart than this share of the figure's half width are not joined.
const FAR: f64 = 0.4;

/// Mapping of volts on the figure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Figure {
    /// Middle, px.
    pub centre: Point,
    /// Half the width, px.
    pub r: f64,
    /// Volts in the middle.
    pub centre_v: f64,
    /// Volts from the middle to the edge.
    pub half_range_v: f64,
}

impl Figure {
    /// The largest square figure in a box, with room for the letters at the ends of the axes.
    pub fn in_box(view: &XyView, (x, y): Point, w: f64, h: f64, k: f64) -> Self {
        let r = (0.5 * w.min(h) - 14.0 * k).max(4.0);
        let half = view.half_range_v.abs();
        Self {
            centre: (x + 0.5 * w, y + 0.5 * h),
            r,
            centre_v: if view.centre_v.is_finite() { view.centre_v } else { 0.0 },
            half_range_v: if half.is_normal() { half } else { 1.0 },
        }
    }

    /// Px per volt.
    pub fn px_per_v(&self) -> f64 {
        self.r / self.half_range_v
    }

    /// A value against the middle, px, never outside the figure.
    fn offset(&self, v: f64) -> f64 {
        bounded((v - self.centre_v) / self.half_range_v, -1.0, 1.0) * self.r
    }

    /// As [`Figure::at`], also for what lies outside the figure.
    pub fn at_free(&self, (a, b): (f64, f64)) -> Point {
        let px = self.px_per_v();
        (self.centre.0 + (a - self.centre_v) * px, self.centre.1 - (b - self.centre_v) * px)
    }

    /// The point for A to the right and B upward, px.
    pub fn at(&self, (a, b): (f64, f64)) -> Point {
        (self.centre.0 + self.offset(a), self.centre.1 - self.offset(b))
    }
}

/// Draws the figure into the box from `corner`.
pub fn draw(sheet: &mut Sheet, view: &XyView, corner: Point, w: f64, h: f64, words: &ChartWords) {
    let figure = Figure::in_box(view, corner, w, h, sheet.k);
    if view.has_b {
        circle(sheet, view, &figure);
    } else {
        line(sheet, view, &figure, words);
    }
    if view.blind {
        let at = (figure.centre.0 + figure.r, figure.centre.1 + figure.r + 2.0 * sheet.k);
        sheet.text_over(at, words.too_weak, Lettering::Strong, Ink::Fault, Anchor::End);
    }
}

fn circle(sheet: &mut Sheet, view: &XyView, figure: &Figure) {
    let k = sheet.k;
    let (cx, cy) = figure.centre;
    let reach = figure.r + 3.0 * k;
    sheet.line((cx - reach, cy), (cx + reach, cy), Pen::CENTRE);
    sheet.line((cx, cy + reach), (cx, cy - reach), Pen::CENTRE);
    let wash = Some(Fill::Flat(Ink::Ink, WASH));
    match view.levels {
        Levels::Comparator { centre_v, half_v } => {
            let (left, top) = figure.at((centre_v - half_v, centre_v + half_v));
            let (right, bottom) = figure.at((centre_v + half_v, centre_v - half_v));
            sheet.rect((left, top), right - left, bottom - top, wash, Some(Pen::LEVEL));
        }
        Levels::Vector { hold_v } => {
            sheet.circle(figure.centre, px_radius(figure, hold_v), wash, Some(Pen::LEVEL));
        }
    }
    if view.ghost {
        sheet.circle(figure.centre, px_radius(figure, view.ideal_v), None, Some(Pen::GHOST));
    }
    trail(sheet, view, figure, |p| figure.at(p));
    if let Some(p) = view.points_v.last() {
        head(sheet, figure.at(*p), view.blind);
    }
    sheet.text_over((cx + reach, cy - 5.0 * k), "A", Lettering::Strong, Ink::A, Anchor::End);
    sheet.text_over((cx + 5.0 * k, cy - reach + 8.0 * k), "B", Lettering::Strong, Ink::B, Anchor::Start);
}

fn px_radius(figure: &Figure, volts: f64) -> f64 {
    bounded(volts.abs() * figure.px_per_v(), 0.0, figure.r)
}

/// With one sensor there is only a place on a line.
fn line(sheet: &mut Sheet, view: &XyView, figure: &Figure, words: &ChartWords) {
    let k = sheet.k;
    let (cx, cy) = figure.centre;
    let x = |v: f64| cx + figure.offset(v);
    let tall = 16.0 * k;
    sheet.line((cx - figure.r, cy), (cx + figure.r, cy), Pen::CENTRE);
    if let Levels::Comparator { centre_v, half_v } = view.levels {
        let (low, high) = (x(centre_v - half_v), x(centre_v + half_v));
        sheet.rect((low, cy - tall), high - low, 2.0 * tall, Some(Fill::Flat(Ink::Ink, WASH)), None);
        for level in [low, high] {
            sheet.line((level, cy - tall), (level, cy + tall), Pen::LEVEL);
        }
    }
    let ends = [view.centre_v - view.ideal_v, view.centre_v + view.ideal_v];
    for end in ends.map(x).into_iter().filter(|_| view.ghost) {
        sheet.line((end, cy - 9.0 * k), (end, cy + 9.0 * k), Pen::GHOST);
    }
    trail(sheet, view, figure, |p| (x(p.0), cy));
    if let Some(p) = view.points_v.last() {
        head(sheet, (x(p.0), cy), view.blind);
    }
    sheet.text_over((cx + figure.r, cy - 8.0 * k), "A", Lettering::Strong, Ink::A, Anchor::End);
    let under = (cx, cy + tall + 18.0 * k);
    sheet.text_over(under, words.one_sensor, Lettering::Note, Ink::Ink2, Anchor::Middle);
}

/// The way of the point, older pieces fainter and thinner.
fn trail(sheet: &mut Sheet, view: &XyView, figure: &Figure, at: impl Fn((f64, f64)) -> Point) {
    let (n, dot) = (view.points_v.len(), 1.1 * sheet.k);
    let stride = n.div_ceil(POINTS).max(1);
    let shown: Vec<Point> = view.points_v.iter().rev().step_by(stride).map(|p| at(*p)).collect();
    // Points too far apart to tell the way between them stay points.
    let way: f64 = shown.windows(2).map(|w| (w[1].0 - w[0].0).hypot(w[1].1 - w[0].1)).sum();
    let apart = way > FAR * figure.r * shown.len() as f64;
    // The newest come first; each age shares its end with the next one.
    let piece = shown.len().div_ceil(AGES).max(1);
    for age in (0..AGES).rev() {
        let (from, to) = (age * piece, ((age + 1) * piece + 1).min(shown.len()));
        if to.saturating_sub(from) < 2 {
            continue;
        }
        let fresh = 1.0 - age as f64 / AGES as f64;
        let pen = Pen { ink: Ink::Ink, width: if age == 0 { 2.0 } else { 1.3 }, dash: &[], alpha: 0.15 + 0.85 * fresh };
        if apart {
            let dots = shown[from..to]
                .iter()
                .flat_map(|p| [Step::Move((p.0 + dot, p.1)), Step::Arc(*p, dot, 0.0, std::f64::consts::TAU)]);
            sheet.path(dots.collect(), Some(Fill::Flat(pen.ink, pen.alpha)), None);
            continue;
        }
        let mut steps = Vec::with_capacity(to - from);
        for (i, p) in shown[from..to].iter().enumerate() {
            steps.push(if i == 0 { Step::Move(*p) } else { Step::Line(*p) });
        }
        sheet.path(steps, None, Some(pen));
    }
}

/// The point now; crossed while it is too weak, so that colour does not tell it alone.
fn head(sheet: &mut Sheet, at: Point, blind: bool) {
    if blind {
        sheet.circle(at, 4.5 * sheet.k, Some(Fill::Flat(Ink::Paper, 1.0)), None);
        sheet.cross(at, 4.0);
    } else {
        sheet.circle(at, 4.0 * sheet.k, Some(Fill::Flat(Ink::Ink, 1.0)), None);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn volts_become_px_from_the_middle() {
        let view = XyView {
            points_v: vec![],
            centre_v: 2.5,
            ideal_v: 0.5,
            levels: Levels::Vector { hold_v: 0.1 },
            half_range_v: 1.0,
            has_b: true,
            blind: false,
            ghost: true,
        };
        let figure = Figure::in_box(&view, (10.0, 20.0), 228.0, 300.0, 1.0);
        assert_eq!((figure.centre, figure.r), ((124.0, 170.0), 100.0));
        assert_eq!(figure.at((2.5, 2.5)), (124.0, 170.0));
        assert_eq!(figure.at((3.0, 2.0)), (174.0, 220.0));
        assert_eq!(figure.at((99.0, f64::NAN)), (224.0, 270.0));
    }
}
