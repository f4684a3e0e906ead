//! Room on the sheet: boxes, how wide a text will be, and round factors.

use super::shape::{Lettering, Point, THIN_GAP, THIN_GAP_EM};

/// A rectangle of the sheet, CSS pixels, y down.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Area {
    /// Left edge.
    pub x: f64,
    /// Upper edge.
    pub y: f64,
    /// Width.
    pub w: f64,
    /// Height.
    pub h: f64,
}

impl Area {
    /// A rectangle from its corner and size.
    pub fn new(x: f64, y: f64, w: f64, h: f64) -> Self {
        Self { x, y, w, h }
    }

    /// A rectangle around a point.
    pub fn around((x, y): Point, w: f64, h: f64) -> Self {
        Self { x: x - w / 2.0, y: y - h / 2.0, w, h }
    }

    /// Right edge.
    pub fn right(&self) -> f64 {
        self.x + self.w
    }

    /// Lower edge.
    pub fn bottom(&self) -> f64 {
        self.y + self.h
    }

    /// Middle.
    pub fn middle(&self) -> Point {
        (self.x + self.w / 2.0, self.y + self.h / 2.0)
    }

    /// Whether two rectangles have a common face.
    pub fn meets(&self, other: &Area) -> bool {
        self.x < other.right() && other.x < self.right() && self.y < other.bottom() && other.y < self.bottom()
    }
}

/// Width of a text in px, on the safe side for the sheet's typeface and near for its fallback.
pub fn text_width(text: &str, lettering: Lettering, k: f64) -> f64 {
    let (size, weight) = lettering.size_weight();
    let em: f64 = text
        .chars()
        .map(|c| match c {
            THIN_GAP => THIN_GAP_EM,
            '.' | ',' | 'i' | 'l' | 'I' | '\'' | ':' => 0.27,
            ' ' | 'f' | 't' | 'r' | 'j' => 0.36,
            'm' | 'w' | 'M' | 'W' => 0.82,
            c if c.is_uppercase() => 0.62,
            _ => 0.53,
        })
        .sum();
    em * size * k * if weight >= 600 { 1.05 } else { 1.0 }
}

/// The largest of 1, 2, 5 times a power of ten that is not above `x`; 1 where `x` is no positive number.
pub fn round_down_125(x: f64) -> f64 {
    round_down(x, &[1.0, 2.0, 5.0])
}

/// The largest of 1, 1.5, 2, 2.5, 3, 4, 5, 6, 8 times a power of ten that is not above `x`; 1 where `x` is no
/// positive number. For factors that are chosen once per bench and need not step evenly.
pub fn round_down_fine(x: f64) -> f64 {
    round_down(x, &[1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0])
}

fn round_down(x: f64, steps: &[f64]) -> f64 {
    if !x.is_normal() || x < 0.0 {
        return 1.0;
    }
    let power = 10f64.powf((x.log10() + 1e-9).floor());
    steps.iter().rev().map(|s| s * power).find(|s| *s <= x * (1.0 + 1e-9)).unwrap_or(power)
}

/// The value if it is a number, else a stand-in: a broken view must still give a drawing.
pub fn finite_or(value: f64, stand_in: f64) -> f64 {
    if value.is_finite() { value } else { stand_in }
}

/// As `f64::clamp`, but limits in the wrong order give their middle instead of a panic.
pub fn between(value: f64, lo: f64, hi: f64) -> f64 {
    if lo > hi { (lo + hi) / 2.0 } else { finite_or(value, lo).clamp(lo, hi) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn factors_are_round_and_never_above_what_was_asked() {
        for (x, want) in [(1.0, 1.0), (1.99, 1.0), (4.9, 2.0), (55.0, 50.0), (0.3, 0.2), (f64::NAN, 1.0)] {
            assert!((round_down_125(x) - want).abs() < 1e-12, "{x}");
        }
        assert_eq!(round_down_fine(3.6), 3.0);
    }
}
