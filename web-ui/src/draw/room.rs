//! Room on the sheet: boxes, how wide a text will be, round factors and numbers as they are written.

use super::shape::{Lettering, Point};

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
            '\u{2009}' => 0.17,
            '.' | ',' | 'i' | 'l' | 'I' | '\'' | ':' => 0.27,
            ' ' | 'f' | 't' | 'r' | 'j' => 0.36,
            'm' | 'w' | 'M' | 'W' => 0.82,
            c if c.is_uppercase() => 0.62,
            _ => 0.53,
        })
        .sum();
    em * size * k * if weight >= 600 { 1.05 } else { 1.0 }
}

/// A number with so many decimals, a true minus sign and thin gaps between thousands (ISO 80000-1, 7.3.1).
/// A value that is no number is a dash.
pub fn fixed(value: f64, decimals: usize) -> String {
    if !value.is_finite() || value.abs() >= 1e12 {
        return "\u{2013}".to_owned();
    }
    let plain = format!("{:.*}", decimals, value.abs());
    let whole = plain.find('.').unwrap_or(plain.len());
    let mut out = String::with_capacity(plain.len() + 6);
    if value < 0.0 && plain.bytes().any(|b| (b'1'..=b'9').contains(&b)) {
        out.push('\u{2212}');
    }
    for (i, digit) in plain.char_indices() {
        if i > 0 && i < whole && (whole - i) % 3 == 0 {
            out.push('\u{2009}');
        }
        out.push(digit);
    }
    out
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

/// A factor as it is written: "×3.5", "×20".
pub fn factor_text(factor: f64) -> String {
    let decimals = if factor < 1.0 {
        2
    } else if (factor - factor.round()).abs() > 1e-6 {
        1
    } else {
        0
    };
    let text = fixed(factor, decimals);
    format!("\u{d7}{}", if factor < 1.0 { text.trim_end_matches('0') } else { &text })
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
        assert_eq!(factor_text(2.5), "\u{d7}2.5");
        assert_eq!(factor_text(20.0), "\u{d7}20");
        assert_eq!(factor_text(0.5), "\u{d7}0.5");
    }

    #[test]
    fn numbers_have_gaps_and_a_true_minus() {
        assert_eq!(fixed(1509.049, 2), "1\u{2009}509.05");
        assert_eq!(fixed(-0.2, 1), "\u{2212}0.2");
        assert_eq!(fixed(-0.001, 2), "0.00");
        assert_eq!(fixed(f64::NAN, 2), "\u{2013}");
    }
}
