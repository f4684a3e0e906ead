use super::{DiscSpec, RotaryParams, RotaryScale, mean_of_opposite_m, radial_detune};
use crate::scale::ScaleId;
use proptest::prelude::{prop_assert, proptest};
use std::f64::consts::TAU;

fn off_centre(eccentricity_m: f64, radius_m: f64) -> RotaryParams {
    let disc = DiscSpec { radius_m, lines: 2500, eccentricity_m };
    RotaryParams { eccentricity_at_turns: 0.1, ..RotaryParams::nominal(&disc) }
}

fn scale(p: &RotaryParams) -> RotaryScale {
    RotaryScale::new(p).expect("in range")
}

/// The exact triangle: pattern angle seen by a fixed head at distance r from the axis, while
/// the pattern's centre goes round the axis at distance e. Angle of the head from the
/// pattern's centre, in the frame of the disc.
fn triangle_m(p: &RotaryParams, turns: f64) -> f64 {
    let u = TAU * (turns - p.eccentricity_at_turns);
    let (e, r) = (p.eccentricity_m, p.radius_m);
    r * (TAU * turns + libm::atan2(e * libm::sin(u), r - e * libm::cos(u)))
}

fn largest(p: &RotaryParams, place_m: impl Fn(f64) -> f64) -> f64 {
    let error = |turns: f64| (place_m(turns) / p.radius_m - TAU * turns).abs();
    (0..20_000).map(|i| error(f64::from(i) / 20_000.0)).fold(0.0, f64::max)
}

// Source: geometry, exact triangle: largest error asin(e/r).
#[test]
fn signal_v19_eccentric_disc_errs_once_per_turn() {
    let p = off_centre(10e-6, 18e-3);
    let near = |x: f64, y: f64| assert!((x / y - 1.0).abs() < 1e-5, "{x} {y}");
    near(p.error_amplitude_rad(), 5.555_56e-4);
    near(p.error_amplitude_rad().to_degrees() * 3600.0, 114.592);
    near(p.error_amplitude_rad() * 2500.0 / TAU, 0.221_049);
    let exact = libm::asin(p.error_amplitude_rad());
    near(largest(&p, |t| triangle_m(&p, t)), exact);
    near(largest(&p, |t| scale(&p).place(t).x_m), exact);
}

// Source: geometry; the series leaves out terms from the third on.
#[test]
fn place_follows_the_exact_triangle_to_the_third_order() {
    for (e, r) in [(5e-6, 18e-3), (50e-6, 20e-3), (50e-6, 5e-3)] {
        let p = off_centre(e, r);
        let ratio = e / r;
        for i in -300..300 {
            let turns = f64::from(i) / 97.0;
            let error_m = (scale(&p).place(turns).x_m - triangle_m(&p, turns)).abs();
            assert!(error_m < r * ratio * ratio * ratio * 0.34 + 1e-15, "{error_m} at {turns}");
        }
    }
}

// Source: radial offset changes the local period to p (1 + dR/r); Fourier window of the field.
#[test]
fn signal_v22_radial_offset_detunes() {
    let factor = radial_detune(1, 1e-3, 50e-6, 18e-3, 45.2389e-6);
    assert!((factor / 0.993_810 - 1.0).abs() < 1e-5, "{factor}");
}

// Source: odd functions of half a turn cancel in the mean of two opposite heads (trigonometry);
// what stays is of second order, e^2/(2r).
#[test]
fn two_opposite_heads_cancel_the_odd_orders() {
    let p = off_centre(50e-6, 18e-3);
    let mean = |turns: f64| mean_of_opposite_m(&scale(&p).place(turns), &scale(&p).place_opposite(turns));
    let left = largest(&p, mean);
    let second = 0.5 * p.error_amplitude_rad() * p.error_amplitude_rad();
    assert!((left / second - 1.0).abs() < 1e-3, "{left} {second}");
    assert!(left < 2e-3 * largest(&p, |t| scale(&p).place(t).x_m));
}

#[test]
fn runout_and_lean_go_once_per_turn() {
    let p = RotaryParams { tilt_rad: 1e-3, tilt_at_turns: 0.25, ..off_centre(20e-6, 20e-3) };
    let p = scale(&p);
    assert!((p.place(0.1).lateral_m - 20e-6).abs() < 1e-18);
    assert!((p.place(0.6).lateral_m + 20e-6).abs() < 1e-18);
    assert!((p.place(0.25).gap_m - 20e-6).abs() < 1e-18);
    assert!((p.place(0.75).gap_m + 20e-6).abs() < 1e-18);
}

#[test]
fn a_disc_has_its_lines_in_one_turn() {
    for (id, period_um) in [(ScaleId::Disc100, 1256.64), (ScaleId::Disc2500, 45.2389)] {
        let spec = id.spec();
        let disc = spec.disc.expect("a disc");
        assert!((spec.period_m * 1e6 / period_um - 1.0).abs() < 1e-5);
        assert!((spec.period_m * f64::from(disc.lines) / disc.circumference_m() - 1.0).abs() < 1e-12);
        RotaryParams::nominal(&disc).check().expect("a preset is in range");
    }
}

#[test]
fn wrong_discs_are_refused_by_name() {
    let good = off_centre(5e-6, 18e-3);
    let error = RotaryParams { radius_m: -1.0, ..good }.check().unwrap_err();
    assert_eq!(error.to_string(), "radius_m: -1 is outside the allowed range 0.005 to 0.1");
    for bad in [f64::NAN, f64::INFINITY, 1e9, -1e9] {
        assert_eq!(RotaryParams { eccentricity_m: bad, ..good }.check().unwrap_err().field, "eccentricity_m");
        assert_eq!(RotaryParams { tilt_rad: bad, ..good }.check().unwrap_err().field, "tilt_rad");
        assert_eq!(RotaryParams { tilt_at_turns: bad, ..good }.check().unwrap_err().field, "tilt_at_turns");
        let at = RotaryParams { eccentricity_at_turns: bad, ..good };
        assert_eq!(at.check().unwrap_err().field, "eccentricity_at_turns");
    }
}

proptest! {
    #[test]
    fn a_full_turn_comes_back_to_the_same_line(
        turns in -1000.0..1000.0_f64, e in 0.0..50e-6_f64, r in 5e-3..0.1_f64,
    ) {
        let p = scale(&off_centre(e, r));
        let (here, next) = (p.place(turns), p.place(turns + 1.0));
        prop_assert!((next.x_m - here.x_m - TAU * r).abs() < 1e-10);
        prop_assert!((next.lateral_m - here.lateral_m).abs() < 1e-12);
        let on_disc = p.on_disc_m(here.x_m);
        prop_assert!((0.0..=TAU * r).contains(&on_disc));
        prop_assert!((p.on_disc_m(next.x_m) - on_disc).abs() < 1e-9 || on_disc < 1e-9 || TAU * r - on_disc < 1e-9);
    }

    // The reading never runs backwards while the shaft goes forward: e < r.
    #[test]
    fn the_place_rises_with_the_angle(turns in -10.0..10.0_f64, step in 1e-6..0.1_f64, e in 0.0..50e-6_f64) {
        let p = scale(&off_centre(e, 5e-3));
        prop_assert!(p.place(turns + step).x_m > p.place(turns).x_m);
    }
}
