//! Numbers as they are written on the sheet.

use super::shape::THIN_GAP;

/// Decimals that tell neighbouring multiples of a step apart, 0..=6.
pub fn decimals_for(step: f64) -> usize {
    if !step.is_normal() {
        return 0;
    }
    (-(step.abs().log10() + 1e-9).floor()).clamp(0.0, 6.0) as usize
}

/// A number with so many decimals, a true minus sign (U+2212) and thin gaps between thousands (ISO 80000-1).
/// Never "minus zero"; a value that is no number is a dash.
pub fn fixed(value: f64, decimals: usize) -> String {
    if !value.is_finite() {
        return "–".to_owned();
    }
    if value.abs() >= 1e15 {
        return format!("{value:.2e}").replace('-', "\u{2212}");
    }
    let plain = format!("{:.*}", decimals, value.abs());
    let whole = plain.find('.').unwrap_or(plain.len());
    let mut out = String::with_capacity(plain.len() + 8);
    if value < 0.0 && plain.bytes().any(|b| (b'1'..=b'9').contains(&b)) {
        out.push('\u{2212}');
    }
    for (i, digit) in plain.char_indices() {
        if i > 0 && i < whole && (whole - i) % 3 == 0 {
            out.push(THIN_GAP);
        }
        out.push(digit);
    }
    out
}

/// As [`fixed`], with a plus sign on what is above zero.
pub fn signed(value: f64, decimals: usize) -> String {
    let text = fixed(value, decimals);
    let some = text.bytes().any(|b| (b'1'..=b'9').contains(&b));
    if value > 0.0 && some { format!("+{text}") } else { text }
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_read_as_in_a_drawing() {
        assert_eq!(fixed(1509.05, 2), "1\u{2009}509.05");
        assert_eq!(fixed(-1234567.0, 0), "\u{2212}1\u{2009}234\u{2009}567");
        assert_eq!(fixed(-0.001, 2), "0.00");
        assert_eq!(fixed(999.0, 1), "999.0");
        assert_eq!(fixed(f64::NAN, 1), "–");
        assert_eq!(fixed(-2e15, 0), "\u{2212}2.00e15");
        assert_eq!(signed(5.0, 0), "+5");
        assert_eq!(signed(0.0, 0), "0");
        assert_eq!(signed(-5.0, 0), "\u{2212}5");
    }

    #[test]
    fn decimals_tell_neighbours_apart() {
        for (step, decimals) in [(1.0, 0), (20.0, 0), (0.5, 1), (0.2, 1), (0.1, 1), (0.05, 2), (1e-9, 6), (0.0, 0)] {
            assert_eq!(decimals_for(step), decimals, "{step}");
        }
    }

    #[test]
    fn factors_carry_no_needless_digits() {
        assert_eq!(factor_text(2.5), "\u{d7}2.5");
        assert_eq!(factor_text(20.0), "\u{d7}20");
        assert_eq!(factor_text(0.5), "\u{d7}0.5");
    }
}
