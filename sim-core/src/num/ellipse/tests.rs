use super::{
    Ellipse, EllipseError, fit, metres_of_rad, offset_peak_rad, phase_peak_rad, phase_second_harmonic_rad,
    ratio_peak_rad,
};
use crate::num::harmonics::{HarmonicFit, Series};
use crate::num::math::{atan2_turns, nearest};
use crate::num::random::Stream;
use proptest::prelude::{prop_assert, proptest};
use std::f64::consts::{PI, TAU};

const GLASS_M: f64 = 20e-6;
const DEGREE: f64 = PI / 180.0;

#[track_caller]
fn near(value: f64, expected: f64, relative: f64) {
    let error = (value / expected - 1.0).abs();
    assert!(error <= relative, "{value} is not {expected}: off by {error:e}");
}

fn points(e: Ellipse, n: u32) -> impl Iterator<Item = (f64, f64)> + Clone {
    // libm, not the ellipse's own curve, so that the test does not lean on what it tests.
    (0..n).map(move |i| {
        let t = TAU * f64::from(i) / f64::from(n);
        (e.offset_v[0] + e.radius_v[0] * libm::cos(t), e.offset_v[1] + e.radius_v[1] * libm::sin(t + e.phase_error_rad))
    })
}

/// Error of the plain arctangent, rad, at 36 000 places of the period: its harmonics and its largest value (which a
/// second harmonic misses by at most 1.5e-8 at that density).
fn arctangent_error(signal: impl Fn(f64) -> (f64, f64)) -> (Series<17>, f64) {
    let mut fit = HarmonicFit::<17, 1>::default();
    let mut peak: f64 = 0.0;
    for i in 0..36_000 {
        let turns = f64::from(i) / 36_000.0;
        let (a, b) = signal(TAU * turns);
        let e = atan2_turns(b, a) - turns;
        let e = (e - nearest(e)) * TAU;
        peak = peak.max(e.abs());
        fit.add(turns, &[e]);
    }
    (fit.solve().unwrap()[0], peak)
}

// Source: Heydemann 1981; Kuntz et al. 2022: first harmonic o/R, peak asin(o/R).
#[test]
fn signal_v48_offset_makes_a_first_harmonic() {
    let (e, peak) = arctangent_error(|t| (0.05 + 0.5 * libm::cos(t), 0.5 * libm::sin(t)));
    near(metres_of_rad(e.amplitude(1), GLASS_M), 0.318_310e-6, 1e-5);
    near(metres_of_rad(peak, GLASS_M), 0.318_843e-6, 1e-5);
    let ellipse = Ellipse { offset_v: [0.05, 0.0], radius_v: [0.5; 2], phase_error_rad: 0.0 };
    near(metres_of_rad(ellipse.first_harmonic_rad([0.0; 2]), GLASS_M), 0.318_310e-6, 1e-5);
    near(metres_of_rad(offset_peak_rad(0.1), GLASS_M), 0.318_843e-6, 1e-5);
    // Both offsets combine to the length of the vector.
    let (e, _) = arctangent_error(|t| (0.03 + 0.5 * libm::cos(t), -0.04 + 0.5 * libm::sin(t)));
    near(e.amplitude(1), 0.1, 1e-9);
}

// Source: Heydemann 1981; Kuntz et al. 2022: peak asin((r - 1)/(r + 1)).
#[test]
fn signal_v49_amplitude_ratio_makes_a_second_harmonic() {
    let (e, peak) = arctangent_error(|t| (1.1 * libm::cos(t), libm::sin(t)));
    near(peak, 0.047_637_1, 1e-6);
    near(ratio_peak_rad(1.1), 0.047_637_1, 1e-6);
    // In metres the table cuts after six digits (0.1516336 um): its last digit is the tolerance.
    assert!((metres_of_rad(peak, GLASS_M) - 0.151_633e-6).abs() < 1e-12);
    assert!((metres_of_rad(ratio_peak_rad(1.1), GLASS_M) - 0.151_633e-6).abs() < 1e-12);
    assert!(e.amplitude(1) < 1e-9 && e.amplitude(3) < 1e-9);
    near(ratio_peak_rad(1.0 / 1.1), ratio_peak_rad(1.1), 1e-12);
}

// Source: Heydemann 1981; Kuntz et al. 2022: mean delta/2, second harmonic tan(delta/2).
#[test]
fn signal_v50_phase_error_makes_a_mean_and_a_second_harmonic() {
    let delta = 5.0 * DEGREE;
    let (e, peak) = arctangent_error(|t| (libm::cos(t), libm::sin(t + delta)));
    near(e.mean(), 0.043_633_2, 1e-6);
    near(e.amplitude(2), 0.043_660_9, 1e-6);
    near(peak, 0.087_308_1, 1e-6);
    near(phase_second_harmonic_rad(delta), 0.043_660_9, 1e-6);
    near(phase_peak_rad(delta), 0.087_308_1, 1e-6);
}

// Source: Kuntz et al. 2022: amplitude and phase errors combine in quadrature, to first order.
#[test]
fn amplitude_and_phase_error_combine_in_quadrature() {
    let (ratio, delta) = (1.02, 0.02);
    let (e, _) = arctangent_error(|t| (ratio * libm::cos(t), libm::sin(t + delta)));
    let ellipse = Ellipse { offset_v: [0.0; 2], radius_v: [ratio, 1.0], phase_error_rad: delta };
    near(e.amplitude(2), ellipse.second_harmonic_rad(), 1e-3);
    near(ellipse.second_harmonic_rad(), 0.5 * libm::hypot(0.02, 0.02), 1e-2);
}

// Source: Kuntz et al. 2022: a third harmonic of the channels makes a fourth in the error, its square an eighth.
#[test]
fn signal_v51_third_harmonic_makes_a_fourth() {
    let h = 0.02;
    let (e, _) = arctangent_error(|t| (libm::cos(t) + h * libm::cos(3.0 * t), libm::sin(t) - h * libm::sin(3.0 * t)));
    assert!((e.amplitude(4) - 0.0200).abs() < 1e-4 * 0.02, "{}", e.amplitude(4));
    near(metres_of_rad(e.amplitude(4), GLASS_M), 0.063_662e-6, 1e-4);
    // The table gives the eighth to one figure.
    assert!((e.amplitude(8) - 0.0002).abs() < 1e-6, "{}", e.amplitude(8));
}

// Source: Heydemann 1981: the ellipse itself comes back.
#[test]
fn signal_v52_a_known_ellipse_is_recovered() {
    let known = Ellipse { offset_v: [0.02, -0.03], radius_v: [0.48, 0.55], phase_error_rad: 4.0 * DEGREE };
    for n in [12, 60, 1000] {
        let e = fit(points(known, n)).unwrap();
        for k in 0..2 {
            assert!((e.offset_v[k] - known.offset_v[k]).abs() < 1e-12, "{e:?}");
            assert!((e.radius_v[k] - known.radius_v[k]).abs() < 1e-12, "{e:?}");
        }
        assert!((e.phase_error_rad - known.phase_error_rad).abs() < 1e-12, "{e:?}");
    }
    // Correction gives the phase back, to the precision of the arctangent kernel (1.4e-12 turn).
    let e = fit(points(known, 60)).unwrap();
    for (i, (a, b)) in points(known, 97).enumerate() {
        let error = e.phase_turns(a, b) - i as f64 / 97.0;
        assert!((error - nearest(error)).abs() < 2e-12, "{error}");
        let (x, y) = e.correction().apply(a, b);
        assert!((libm::hypot(x, y) - 1.0).abs() < 1e-12);
        let (a2, b2) = e.at(i as f64 / 97.0);
        assert!((a2 - a).abs() < 1e-12 && (b2 - b).abs() < 1e-12);
    }
}

#[test]
fn figures_that_are_not_an_ellipse_are_refused_by_name() {
    let circle = Ellipse { offset_v: [0.0; 2], radius_v: [0.5; 2], phase_error_rad: 0.0 };
    assert_eq!(fit(points(circle, 7)), Err(EllipseError::TooFewPoints { points: 7 }));
    assert_eq!(fit(points(circle, 50).map(|(a, _)| (a, f64::NAN))), Err(EllipseError::NotFinite));
    assert_eq!(fit(points(circle, 50).map(|(a, _)| (a, 0.3))), Err(EllipseError::Flat { channel: 'B' }));
    assert_eq!(fit(points(circle, 50).map(|(a, b)| (a * 0.0, b))), Err(EllipseError::Flat { channel: 'A' }));
    assert_eq!(fit(points(circle, 50).map(|(a, _)| (a, 0.7 * a + 0.1))), Err(EllipseError::Line));
    // A line with a little noise is still a line.
    let mut noise = Stream::named(1, "line");
    let noisy: Vec<(f64, f64)> = points(circle, 200).map(|(a, _)| (a, a + 1e-3 * noise.normal())).collect();
    assert_eq!(fit(noisy.iter().copied()), Err(EllipseError::Line));
    // Five twelfths of the circle.
    assert_eq!(fit(points(circle, 120).take(49)), Err(EllipseError::TooFewSectors { filled: 5 }));
    // A hyperbola.
    let branches = (0..60).map(|i| {
        let t = f64::from(i % 30) / 10.0 - 1.5;
        let side = if i < 30 { 1.0 } else { -1.0 };
        (side * libm::cosh(t), side * libm::sinh(t))
    });
    assert!(matches!(fit(branches), Err(EllipseError::NotAnEllipse { discriminant }) if discriminant <= 0.0));
    let words = fit(points(circle, 120).take(49)).unwrap_err().to_string();
    assert_eq!(words, "the points fill 5 of 12 sectors of the figure, 8 are needed; move the axis over a whole period");
}

// Eight sectors are enough, on clean data without loss.
#[test]
fn two_thirds_of_a_period_are_enough() {
    let known = Ellipse { offset_v: [0.1, 0.0], radius_v: [0.4, 0.5], phase_error_rad: -0.2 };
    let e = fit(points(known, 120).take(85)).unwrap();
    near(e.radius_v[0], 0.4, 1e-9);
    near(e.offset_v[0], 0.1, 1e-9);
}

// Noise of 1 % of the radius on 600 points: coefficients to a few standard errors of the mean (0.5 * 0.01 *
// sqrt(2/600) = 0.29 mV for a radius), and the bias of the algebraic fit, the square of 1 %.
#[test]
fn noise_moves_the_fit_by_its_standard_error_only() {
    let known = Ellipse { offset_v: [0.02, -0.03], radius_v: [0.5, 0.5], phase_error_rad: 0.05 };
    let mut noise = Stream::named(3, "fit");
    let noisy: Vec<(f64, f64)> =
        points(known, 600).map(|(a, b)| (a + 5e-3 * noise.normal(), b + 5e-3 * noise.normal())).collect();
    let e = fit(noisy.iter().copied()).unwrap();
    for k in 0..2 {
        assert!((e.radius_v[k] - 0.5).abs() < 4.0 * 0.29e-3 + 0.5e-4, "{e:?}");
        assert!((e.offset_v[k] - known.offset_v[k]).abs() < 4.0 * 0.29e-3, "{e:?}");
    }
    assert!((e.phase_error_rad - 0.05).abs() < 4.0 * 0.82e-3, "{e:?}");
}

proptest! {
    // Law: whatever the ellipse, it comes back and its correction is a circle.
    #[test]
    fn any_ellipse_is_recovered(
        offset in proptest::array::uniform2(-2.0..2.0_f64), radius in proptest::array::uniform2(1e-3..3.0_f64),
        phase_error_rad in -1.3..1.3_f64, n in 24..200_u32,
    ) {
        let known = Ellipse { offset_v: offset, radius_v: radius, phase_error_rad };
        let e = fit(points(known, n)).unwrap();
        for k in 0..2 {
            prop_assert!((e.radius_v[k] / radius[k] - 1.0).abs() < 1e-8, "{e:?}");
            prop_assert!((e.offset_v[k] - offset[k]).abs() < 1e-8 * radius[k].max(1.0), "{e:?}");
        }
        prop_assert!((e.phase_error_rad - phase_error_rad).abs() < 1e-8, "{e:?}");
    }

    // Law: any finite points give a finite ellipse or a refusal, never a panic.
    #[test]
    fn any_points_give_finite_figures_or_a_refusal(
        list in proptest::collection::vec((-1e3..1e3_f64, -1e3..1e3_f64), 0..40)
    ) {
        if let Ok(e) = fit(list.into_iter()) {
            prop_assert!(e.offset_v.iter().chain(&e.radius_v).all(|v| v.is_finite()));
            prop_assert!(e.phase_error_rad.is_finite() && e.ratio() > 0.0);
        }
    }
}
