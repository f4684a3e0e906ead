//! For tests of drawings: where everything lies, and whether texts keep apart.

use super::room::{Area, text_width};
use super::shape::{Anchor, Point, Shape, Step};
use super::tokens::Ink;

/// The box around everything that is drawn, minding turns and clips (a clip holds in the frame it is set in).
pub(super) fn extent(shapes: &[Shape], k: f64) -> Area {
    let (mut lo, mut hi) = ((f64::INFINITY, f64::INFINITY), (f64::NEG_INFINITY, f64::NEG_INFINITY));
    let (mut turns, mut clips): (Vec<(Point, f64)>, Vec<Area>) = (Vec::new(), Vec::new());
    for shape in shapes {
        let mut points = Vec::new();
        match shape {
            Shape::Path { steps, .. } => {
                for step in steps {
                    match *step {
                        Step::Move(p) | Step::Line(p) => points.push(p),
                        Step::Curve(a, b, p) => points.extend([a, b, p]),
                        Step::Arc(c, r, from, to) => {
                            points.extend(
                                (0..=12)
                                    .map(|i| from + (to - from) * f64::from(i) / 12.0)
                                    .map(|a| (c.0 + r * a.cos(), c.1 + r * a.sin())),
                            );
                        }
                        Step::Close => {}
                    }
                }
            }
            Shape::Text { at, .. } => {
                let face = text_face(shape, *at, k);
                points.extend([(face.x, face.y), (face.right(), face.bottom())]);
            }
            Shape::Clip(x, y, w, h) => clips.push(Area::new(*x, *y, *w, *h)),
            Shape::Unclip => assert!(clips.pop().is_some(), "Unclip without Clip"),
            Shape::Turn(at, angle) => turns.push((*at, *angle)),
            Shape::Unturn => assert!(turns.pop().is_some(), "Unturn without Turn"),
        }
        for mut p in points {
            assert!(p.0.is_finite() && p.1.is_finite(), "not a number in {shape:?}");
            for clip in &clips {
                p = (p.0.max(clip.x).min(clip.right()), p.1.max(clip.y).min(clip.bottom()));
            }
            for (at, angle) in turns.iter().rev() {
                let (u, v, (sin, cos)) = (p.0 - at.0, p.1 - at.1, angle.sin_cos());
                p = (at.0 + u * cos - v * sin, at.1 + u * sin + v * cos);
            }
            (lo, hi) = ((lo.0.min(p.0), lo.1.min(p.1)), (hi.0.max(p.0), hi.1.max(p.1)));
        }
    }
    assert!(turns.is_empty() && clips.is_empty(), "a Turn or Clip is left open");
    Area::new(lo.0, lo.1, hi.0 - lo.0, hi.1 - lo.1)
}

/// Face of a text.
pub(super) fn text_face(shape: &Shape, at: Point, k: f64) -> Area {
    let Shape::Text { text, lettering, anchor, .. } = shape else { unreachable!("only for texts") };
    let (w, size) = (text_width(text, *lettering, k), k * lettering.size_weight().0);
    let x = match anchor {
        Anchor::Start => at.0,
        Anchor::Middle => at.0 - w / 2.0,
        Anchor::End => at.0 - w,
    };
    Area::new(x, at.1 - size * 0.72, w, size * 0.72)
}

pub(super) fn inside(shapes: &[Shape], area: &Area, k: f64, slack: f64, what: &str) {
    let extent = extent(shapes, k);
    let ok = extent.x >= area.x - slack
        && extent.y >= area.y - slack
        && extent.right() <= area.right() + slack
        && extent.bottom() <= area.bottom() + slack;
    assert!(ok, "{what}: drawn {extent:?} leaves {area:?}");
}

pub(super) fn texts(shapes: &[Shape]) -> Vec<(&str, Point, Ink)> {
    shapes
        .iter()
        .filter_map(|s| match s {
            Shape::Text { text, at, ink, .. } => Some((text.as_str(), *at, *ink)),
            _ => None,
        })
        .collect()
}

pub(super) fn apart(shapes: &[Shape], k: f64, what: &str) {
    let faces: Vec<(Area, &Shape)> = shapes
        .iter()
        .filter_map(|s| match s {
            Shape::Text { at, .. } => Some((text_face(s, *at, k), s)),
            _ => None,
        })
        .collect();
    for (i, (a, shape)) in faces.iter().enumerate() {
        for (b, other) in &faces[..i] {
            assert!(!a.meets(b), "{what}: {shape:?} over {other:?}");
        }
    }
}
