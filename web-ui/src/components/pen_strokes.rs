//! What the pen has drawn: strokes and arrows at places relative to the sheet, so that they stay where they are when the
//! window changes its size.

use crate::store::pen::PenInk;
use std::fmt::Write;
use std::rc::Rc;

/// Places run over the sheet from 0 to this, both ways.
pub const FULL: f64 = 1000.0;

/// A place of a stroke.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dot {
    /// Across, 0 to [`FULL`].
    pub x: f64,
    /// Down, 0 to [`FULL`].
    pub y: f64,
    /// Pressure, 0..1; a half where none is offered.
    pub press: f64,
}

/// Something that was drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// Its colour.
    pub ink: PenInk,
    /// Its width.
    pub width: u8,
    /// Places of a stroke; a single one for an arrow.
    pub dots: Vec<Dot>,
    /// An arrow that points at its place.
    pub arrow: bool,
}

/// All marks, with what they were before each change.
#[derive(Clone, Debug, Default)]
pub struct Drawing {
    marks: Rc<Vec<Rc<Mark>>>,
    before: Vec<Rc<Vec<Rc<Mark>>>>,
}

impl Drawing {
    /// The marks, oldest first.
    pub fn marks(&self) -> &[Rc<Mark>] {
        &self.marks
    }

    /// Whether there is something to take back.
    pub fn can_undo(&self) -> bool {
        !self.before.is_empty()
    }

    fn change(&mut self, marks: Vec<Rc<Mark>>) {
        let before = std::mem::replace(&mut self.marks, Rc::new(marks));
        self.before.push(before);
    }

    /// Begins a mark.
    pub fn begin(&mut self, mark: Mark) {
        let mut marks = (*self.marks).clone();
        marks.push(Rc::new(mark));
        self.change(marks);
    }

    /// Draws the newest mark on.
    pub fn go_on(&mut self, dot: Dot) {
        if let Some(mark) = Rc::make_mut(&mut self.marks).last_mut() {
            let far = mark.dots.last().is_none_or(|last| (last.x - dot.x).abs() + (last.y - dot.y).abs() > 0.8);
            if far && !mark.arrow {
                Rc::make_mut(mark).dots.push(dot);
            }
        }
    }

    /// Rubs out every mark that comes within `reach` (across, down) of a place; true when there was one.
    pub fn rub(&mut self, x: f64, y: f64, reach: (f64, f64)) -> bool {
        let near = |mark: &Mark| touches(&mark.dots, (x, y), reach);
        let left: Vec<Rc<Mark>> = self.marks.iter().filter(|mark| !near(mark)).cloned().collect();
        let gone = left.len() < self.marks.len();
        if gone {
            self.change(left);
        }
        gone
    }

    /// Takes everything off.
    pub fn clear(&mut self) {
        if !self.marks.is_empty() {
            self.change(Vec::new());
        }
    }

    /// Takes the last change back.
    pub fn undo(&mut self) {
        if let Some(before) = self.before.pop() {
            self.marks = before;
        }
    }
}

/// Whether a line through places comes within reach of a place.
fn touches(dots: &[Dot], (x, y): (f64, f64), (rx, ry): (f64, f64)) -> bool {
    // In units of the reach, so that it is a circle on the screen.
    let at = |d: &Dot| ((d.x - x) / rx, (d.y - y) / ry);
    let near = |(ax, ay): (f64, f64), (bx, by): (f64, f64)| {
        let (dx, dy) = (bx - ax, by - ay);
        let long = dx * dx + dy * dy;
        let t = if long > 0.0 { (-(ax * dx + ay * dy) / long).clamp(0.0, 1.0) } else { 0.0 };
        (ax + t * dx).powi(2) + (ay + t * dy).powi(2) < 1.0
    };
    dots.first().is_some_and(|first| near(at(first), at(first))) || dots.windows(2).any(|w| near(at(&w[0]), at(&w[1])))
}

/// Classes of pressure: a stroke is drawn in pieces of about equal pressure.
const CLASSES: f64 = 5.0;

/// The pieces of a stroke: width as a multiple of its own, and its path; a smooth curve through the middles between places.
pub fn paths(mark: &Mark) -> Vec<(f64, String)> {
    let class = |dot: &Dot| (dot.press * CLASSES).round() / CLASSES;
    let dots = &mark.dots;
    let Some(first) = dots.first() else { return Vec::new() };
    if dots.len() == 1 {
        return vec![(0.5 + class(first), format!("M{:.1} {:.1}h0.01", first.x, first.y))];
    }
    let mut found: Vec<(f64, String)> = Vec::new();
    let (mut x, mut y) = (first.x, first.y);
    for (i, pair) in dots.windows(2).enumerate() {
        let width = 0.5 + class(&pair[1]);
        let last = i + 2 == dots.len();
        let (mx, my) =
            if last { (pair[1].x, pair[1].y) } else { ((pair[0].x + pair[1].x) / 2.0, (pair[0].y + pair[1].y) / 2.0) };
        if found.last().is_none_or(|(of, _)| (of - width).abs() > 1e-9) {
            found.push((width, format!("M{x:.1} {y:.1}")));
        }
        if let Some((_, path)) = found.last_mut() {
            let _ = write!(path, "Q{:.1} {:.1} {mx:.1} {my:.1}", pair[0].x, pair[0].y);
        }
        (x, y) = (mx, my);
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn dot(x: f64, y: f64) -> Dot {
        Dot { x, y, press: 0.5 }
    }

    fn stroke(dots: Vec<Dot>) -> Mark {
        Mark { ink: PenInk::Ink, width: 2, dots, arrow: false }
    }

    #[test]
    fn a_stroke_is_one_smooth_path_and_pressure_makes_pieces() {
        let even = paths(&stroke(vec![dot(0.0, 0.0), dot(10.0, 0.0), dot(20.0, 10.0)]));
        assert_eq!(even.len(), 1);
        assert_eq!(even[0].1, "M0.0 0.0Q0.0 0.0 5.0 0.0Q10.0 0.0 20.0 10.0");
        let mut pressed = stroke(vec![dot(0.0, 0.0), dot(10.0, 0.0), dot(20.0, 0.0)]);
        pressed.dots[2].press = 1.0;
        let pieces = paths(&pressed);
        assert_eq!(pieces.len(), 2);
        assert!(pieces[1].0 > pieces[0].0 && pieces[1].1.starts_with("M5.0 0.0"), "{pieces:?}");
        assert!(paths(&stroke(vec![dot(3.0, 4.0)]))[0].1.starts_with("M3.0 4.0"), "a tap is a dot");
    }

    #[test]
    fn undo_takes_back_strokes_rubbing_and_clearing() {
        let mut drawing = Drawing::default();
        drawing.begin(stroke(vec![dot(0.0, 0.0)]));
        drawing.go_on(dot(100.0, 0.0));
        drawing.go_on(dot(100.1, 0.0));
        assert_eq!(drawing.marks()[0].dots.len(), 2, "what stands still is one place");
        drawing.begin(stroke(vec![dot(0.0, 500.0), dot(100.0, 500.0)]));
        assert!(!drawing.rub(50.0, 100.0, (10.0, 10.0)));
        assert!(drawing.rub(50.0, 4.0, (10.0, 10.0)), "between its places, too");
        assert_eq!(drawing.marks().len(), 1);
        drawing.clear();
        assert!(drawing.marks().is_empty());
        drawing.undo();
        drawing.undo();
        assert_eq!(drawing.marks().len(), 2);
        drawing.undo();
        drawing.undo();
        assert!(drawing.marks().is_empty() && !drawing.can_undo());
    }
}
