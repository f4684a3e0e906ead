//! A drawing in the making: the few strokes that every picture of the sheet is built from.

use super::shape::{Anchor, Fill, Lettering, Point, Shape, Step};
use super::tokens::{Ink, Pen};

/// Collects shapes; `k` is the scale of pens, letters and fixed details (laptop 1, projector 1.6).
#[derive(Clone, Debug)]
pub struct Sheet {
    /// Scale of pens, letters and fixed details.
    pub k: f64,
    shapes: Vec<Shape>,
}

impl Sheet {
    /// An empty sheet at scale `k`.
    pub fn new(k: f64) -> Self {
        Self { k, shapes: Vec::new() }
    }

    /// The finished drawing.
    pub fn finish(self) -> Vec<Shape> {
        self.shapes
    }

    /// Adds any shape.
    pub fn push(&mut self, shape: Shape) {
        self.shapes.push(shape);
    }

    /// An outline with filling and pen.
    pub fn path(&mut self, steps: Vec<Step>, fill: Option<Fill>, pen: Option<Pen>) {
        self.push(Shape::Path { steps, fill, pen });
    }

    /// A straight line.
    pub fn line(&mut self, a: Point, b: Point, pen: Pen) {
        self.path(vec![Step::Move(a), Step::Line(b)], None, Some(pen));
    }

    /// A line through many points; fewer than two draw nothing.
    pub fn polyline(&mut self, points: impl IntoIterator<Item = Point>, pen: Pen) {
        let steps = outline(points);
        if steps.len() > 1 {
            self.path(steps, None, Some(pen));
        }
    }

    /// A closed outline through points.
    pub fn polygon(&mut self, points: impl IntoIterator<Item = Point>, fill: Option<Fill>, pen: Option<Pen>) {
        let mut steps = outline(points);
        steps.push(Step::Close);
        self.path(steps, fill, pen);
    }

    /// A rectangle.
    pub fn rect(&mut self, (x, y): Point, w: f64, h: f64, fill: Option<Fill>, pen: Option<Pen>) {
        self.polygon([(x, y), (x + w, y), (x + w, y + h), (x, y + h)], fill, pen);
    }

    /// A circle.
    pub fn circle(&mut self, centre: Point, r: f64, fill: Option<Fill>, pen: Option<Pen>) {
        let steps =
            vec![Step::Move((centre.0 + r, centre.1)), Step::Arc(centre, r, 0.0, std::f64::consts::TAU), Step::Close];
        self.path(steps, fill, pen);
    }

    /// Text without a rim.
    pub fn text(&mut self, at: Point, text: impl Into<String>, lettering: Lettering, ink: Ink, anchor: Anchor) {
        self.push(Shape::Text { at, text: text.into(), lettering, ink, anchor, halo: false });
    }

    /// Text with a paper-coloured rim, to stand over lines.
    pub fn text_over(&mut self, at: Point, text: impl Into<String>, lettering: Lettering, ink: Ink, anchor: Anchor) {
        self.push(Shape::Text { at, text: text.into(), lettering, ink, anchor, halo: true });
    }

    /// A filled arrow head (ISO 129-1) with its tip at a point, pointing along `angle` (rad, 0 = right, clockwise).
    pub fn arrow(&mut self, tip: Point, angle: f64, size: f64, ink: Ink) {
        let s = size * self.k;
        let (sin, cos) = angle.sin_cos();
        let at = |a: f64, b: f64| (tip.0 + a * cos - b * sin, tip.1 + a * sin + b * cos);
        self.polygon([at(0.0, 0.0), at(-s, s * 0.3), at(-s, -s * 0.3)], Some(Fill::Flat(ink, 1.0)), None);
    }

    /// A dimension line with both arrow heads. Arrows stand outside where the distance is too short.
    pub fn dimension(&mut self, a: Point, b: Point, pen: Pen) {
        let angle = (b.1 - a.1).atan2(b.0 - a.0);
        let length = (b.0 - a.0).hypot(b.1 - a.1);
        let (sin, cos) = angle.sin_cos();
        self.line(a, b, pen);
        if length < 26.0 * self.k {
            let out = 20.0 * self.k;
            self.line((a.0 - out * cos, a.1 - out * sin), a, pen);
            self.line(b, (b.0 + out * cos, b.1 + out * sin), pen);
            self.arrow(a, angle, 9.0, pen.ink);
            self.arrow(b, angle + std::f64::consts::PI, 9.0, pen.ink);
        } else {
            self.arrow(a, angle + std::f64::consts::PI, 9.0, pen.ink);
            self.arrow(b, angle, 9.0, pen.ink);
        }
    }

    /// The knob that says "drag me".
    pub fn knob(&mut self, at: Point) {
        self.circle(at, 5.0 * self.k, Some(Fill::Flat(Ink::Paper, 1.0)), Some(Pen::TOUCH));
        self.circle(at, 1.7 * self.k, Some(Fill::Flat(Ink::Touch, 1.0)), None);
    }

    /// The cross on the first broken thing.
    pub fn cross(&mut self, at: Point, size: f64) {
        let s = size * self.k;
        self.line((at.0 - s, at.1 - s), (at.0 + s, at.1 + s), Pen::FAULT);
        self.line((at.0 - s, at.1 + s), (at.0 + s, at.1 - s), Pen::FAULT);
    }

    /// Seeded stipple inside an ellipse: the same dirt always looks the same.
    pub fn stipple(&mut self, centre: Point, rx: f64, ry: f64, count: usize, seed: u32, ink: Ink) {
        let mut state = seed.max(1);
        let mut unit = move || {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            f64::from(state >> 8) / f64::from(1u32 << 24)
        };
        let mut steps = Vec::with_capacity(count * 3);
        for _ in 0..count {
            let (angle, q, r) = (unit() * std::f64::consts::TAU, unit().sqrt(), self.k * (0.5 + unit()));
            let at = (centre.0 + rx * q * angle.cos(), centre.1 + ry * q * angle.sin());
            steps.push(Step::Move((at.0 + r, at.1)));
            steps.push(Step::Arc(at, r, 0.0, std::f64::consts::TAU));
        }
        self.path(steps, Some(Fill::Flat(ink, 1.0)), None);
    }
}

fn outline(points: impl IntoIterator<Item = Point>) -> Vec<Step> {
    points.into_iter().enumerate().map(|(i, p)| if i == 0 { Step::Move(p) } else { Step::Line(p) }).collect()
}
