use super::{
    GapTable, Grating, air_equivalent_gap_m, blur_argument, collected_power, disc_blur, mask_coefficient,
    normalised_distance, slit_blur, spectrum_mean, table_entry, talbot_length_m, yaw_factor,
};
use crate::num::math::{cos, exp, sin};
use crate::scale::{GratingType, ScaleId};
use proptest::prelude::{prop_assert, proptest};
use std::f64::consts::{PI, TAU};

const CHROME: Grating = Grating { duty: 0.5, bright_amplitude: 1.0, dark_amplitude: 0.0, diffuse_reflectance: 0.0 };

#[track_caller]
fn near(value: f64, expected: f64, relative: f64) {
    let error = (value / expected - 1.0).abs();
    assert!(error <= relative, "{value} is not {expected}: off by {error:e}");
}

// Source: Talbot length 2 p^2/lambda (Rayleigh 1881); the paraxial form is the limit of ours,
// 0.05 % longer at this period.
#[test]
fn signal_v01_talbot_length_of_a_20_um_grating() {
    let (p, wavelength) = (20e-6, 850e-9);
    near(2.0 * p * p / wavelength, 941.176e-6, 1e-6);
    let paraxial_excess = wavelength * wavelength / (4.0 * p * p);
    near(talbot_length_m(p, wavelength), 941.176_470_6e-6 * (1.0 - paraxial_excess), 1e-6);
}

// Source: Rayleigh's exact formula lambda/(1 - sqrt(1 - (lambda/p)^2)) (1881).
#[test]
fn signal_v02_exact_talbot_length_of_a_4_um_grating() {
    near(talbot_length_m(4e-6, 850e-9), 37.21715e-6, 1e-7);
    let ratio: f64 = 850e-9 / 4e-6;
    near(talbot_length_m(4e-6, 850e-9), 850e-9 / (1.0 - (1.0 - ratio * ratio).sqrt()), 1e-12);
}

// Source: the same formula in extended precision; the unrationalised form loses nine digits here.
#[test]
fn signal_v03_talbot_length_of_a_coarse_grating_does_not_cancel() {
    near(talbot_length_m(1e-3, 940e-9), 2.127_659_104_47, 1e-11);
}

// Source: Guigay 1971; Patorski 1989: nulls at odd quarters of the Talbot length.
#[test]
fn signal_v04_fundamental_reverses_at_a_quarter_talbot_length() {
    assert!(CHROME.coefficient(1, 0.5).abs() < 1e-9);
    assert!((CHROME.coefficient(1, 0.499) - 9.99998e-4).abs() < 1e-9);
    assert!((CHROME.coefficient(1, 0.501) + 9.99998e-4).abs() < 1e-9);
}

// Source: Rayleigh 1881, Patorski 1989: z_T/4 of effective distance, twice that of gap at kappa 1/2.
#[test]
fn signal_v05_first_null_of_the_fine_tape() {
    let spec = ScaleId::Tape40.spec();
    let tape = |gap_m: f64| {
        let zeta = normalised_distance(spec.period_m, spec.wavelength_m, spec.kappa * gap_m);
        CHROME.coefficient(1, zeta)
    };
    let (mut low, mut high) = (1.5e-3, 2.2e-3);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if tape(middle) > 0.0 { low = middle } else { high = middle }
    }
    near(low, 1.882e-3, 1e-3);
    near(spec.kappa * low, 941.18e-6, 1e-3);
}

// Source: Guigay 1971, special case of half duty: cos(pi zeta)/pi and kin.
#[test]
fn signal_v06_coefficients_of_an_ideal_grating() {
    near(CHROME.coefficient(1, 0.3), 0.187_097_9, 1e-6);
    near(CHROME.coefficient(2, 0.125), 0.159_154_9, 1e-6);
    near(CHROME.coefficient(3, 0.1), 0.100_910_2, 1e-6);
}

// Source: Guigay 1971, summed as a series of 8e5 terms.
#[test]
fn signal_v07_coefficients_of_a_general_grating() {
    let g = Grating { duty: 0.4, dark_amplitude: 0.2, ..CHROME };
    near(g.coefficient(0, 0.37), 0.424, 1e-6);
    near(g.coefficient(1, 0.37), 0.057_644_82, 1e-6);
    near(g.coefficient(2, 0.37), 0.076_604_16, 1e-6);
    near(g.coefficient(3, 0.37), -0.016_809_78, 1e-6);
}

/// Guigay's relation, summed directly: c_m are the Fourier coefficients of the lines' field,
/// `I_n = SUM_m c_{m+n} c_m exp(-i pi (2 m n + n^2) zeta)`; real by symmetry.
fn series(g: &Grating, n: u8, zeta: f64) -> f64 {
    let c = |m: i32| {
        let step = g.bright_amplitude - g.dark_amplitude;
        if m == 0 {
            g.dark_amplitude + step * g.duty
        } else {
            step * sin(PI * f64::from(m) * g.duty) / (PI * f64::from(m))
        }
    };
    let n = i32::from(n);
    (-20_000..=20_000).map(|m: i32| c(m + n) * c(m) * cos(PI * f64::from(2 * m * n + n * n) * zeta)).sum()
}

proptest! {
    // Source: Guigay 1971, direct summation of 40 001 orders; the tail is below 1e-5.
    #[test]
    fn closed_form_equals_the_sum_over_orders(
        duty in 0.1..0.9_f64, dark in 0.0..0.9_f64, zeta in 0.0..4.0_f64, n in 1_u8..6,
    ) {
        let g = Grating { duty, dark_amplitude: dark, ..CHROME };
        let error = g.coefficient(n, zeta) - series(&g, n, zeta);
        prop_assert!(error.abs() < 2e-5, "off by {error:e}");
    }
}

// Source: Fourier series of a rectangle train, (R_b - R_d) d sinc(d).
#[test]
fn signal_v08_contact_shadow() {
    let g = Grating { bright_amplitude: 0.9, dark_amplitude: 0.25, ..CHROME };
    near(g.coefficient(1, 0.0), 0.237_936_6, 1e-6);
}

// Source: van Cittert-Zernike theorem (Born and Wolf, ch. 10): slit null where v = pi.
#[test]
fn signal_v09_slit_source_nulls_the_signal_at_one_millimetre() {
    let v = blur_argument(1, 20e-3, 1e-3, 40e-6);
    near(v, PI, 1e-9);
    assert!(slit_blur(v).abs() < 1e-9);
}

// Source: first zero of J1 (tables; Born and Wolf, ch. 10).
#[test]
fn signal_v10_disc_source_nulls_the_signal_a_little_further_out() {
    let v = blur_argument(1, 20e-3, 1.219_669_9e-3, 40e-6);
    near(v, 3.831_706_0, 1e-7);
    assert!(disc_blur(v).abs() < 1e-7);
}

// Source: Gaussian average of a cosine; compare Sanchez-Brea et al., Appl. Opt. 47, 1470 (2008).
#[test]
fn signal_v11_bandwidth_washes_out_the_far_images() {
    let mean = spectrum_mean(&CHROME, 1, 8e-6, 650e-9, 20e-9, 400e-6);
    near(mean, 0.3079, 5e-3);
    let single = CHROME.coefficient(1, normalised_distance(8e-6, 650e-9, 400e-6));
    near(mean / single, 0.98619, 5e-3);
    // The closed form of the average, at a distance where it matters.
    let (p, sigma): (f64, f64) = (20e-6, 35e-9 / 2.354_820_045);
    for z_e in [0.3e-3, 1.0e-3, 2.5e-3] {
        let u = PI * z_e * sigma / (p * p);
        let exact = cos(PI * z_e * 860e-9 / (p * p)) / PI * exp(-0.5 * u * u);
        let mean = spectrum_mean(&CHROME, 1, p, 860e-9, 35e-9, z_e);
        // Our zeta uses the exact Talbot length, the closed form the paraxial one.
        assert!((mean - exact).abs() < 3e-3 * z_e / 1e-3, "{mean} {exact}");
    }
}

// Source: full angular-spectrum propagation gave 0.203705 (our computation); van Cittert-Zernike.
#[test]
fn signal_v12_fine_tape_with_a_real_source() {
    let with = |n| {
        let v = blur_argument(n, 20e-3, 0.4e-3, 40e-6);
        disc_blur(v) * spectrum_mean(&CHROME, n, 40e-6, 850e-9, 40e-9, 0.4e-3)
    };
    near(with(1), 0.203_743, 5e-4);
    near(with(1), 0.203_705, 5e-4);
    near(with(3), -0.001_349, 5e-4);
}

// Source: shadow limit; full propagation gave 0.212395 and -0.022356 (our computation).
#[test]
fn signal_v13_coarse_tape_is_a_blurred_shadow() {
    let g = Grating { bright_amplitude: 0.9, dark_amplitude: 0.25, ..CHROME };
    let with = |n| {
        let v = blur_argument(n, 0.1, 1.5e-3, 1e-3);
        disc_blur(v) * spectrum_mean(&g, n, 1e-3, 880e-9, 45e-9, 1.5e-3)
    };
    near(with(1), 0.212_476, 1e-4);
    near(with(3), -0.022_455, 1e-4);
}

// Source: Fourier series of a slit of one third of a period.
#[test]
fn signal_v14_one_third_mask_kills_the_third_harmonic() {
    let third = 1.0 / 3.0;
    assert!(mask_coefficient(3, third).abs() < 1e-14);
    near(mask_coefficient(1, third) / mask_coefficient(0, third), 0.826_993_3, 1e-7);
}

// Source: reduced distance through a plane plate (Born and Wolf).
#[test]
fn signal_v15_liquid_shortens_the_gap() {
    near(air_equivalent_gap_m(100e-6, 100e-6, 1.47), 68.0272e-6, 1e-5);
    near(air_equivalent_gap_m(0.0, 30e-6, 1.47), -9.59184e-6, 1e-5);
}

// Source: moire of two gratings at an angle (Patorski 1993): H sin(psi) = p.
#[test]
fn signal_v16_yaw_null() {
    let null = libm::asin(20e-6 / 3e-3);
    near(null, 6.66667e-3, 1e-4);
    near(null * 180.0 * 60.0 / PI, 22.918, 1e-4);
    assert!(yaw_factor(1, null, 1.2e-3, 3e-3, 20e-6).abs() < 1e-9);
    assert!(yaw_factor(1, 0.9 * null, 1.2e-3, 3e-3, 20e-6) > 0.05);
    assert!(yaw_factor(1, 1.1 * null, 1.2e-3, 3e-3, 20e-6) < -0.05);
}

// Source: moire; the mean of the local phase over the field, integrated here by brute force.
#[test]
fn signal_v17_yaw_loss_is_the_mean_over_the_field() {
    let (psi, length, height, p) = (2e-3, 1.2e-3, 3e-3, 20e-6);
    let loss = yaw_factor(1, psi, length, height, p);
    near(loss, 0.858_394, 1e-5);
    let n = 400;
    let mut mean = 0.0;
    for i in 0..n {
        for j in 0..n {
            let x = length * ((f64::from(i) + 0.5) / f64::from(n) - 0.5);
            let y = height * ((f64::from(j) + 0.5) / f64::from(n) - 0.5);
            mean += cos(TAU * (x * (cos(psi) - 1.0) - y * sin(psi)) / p);
        }
    }
    near(loss, mean / f64::from(n * n), 1e-5);
}

// Source: closed forms of sections 2.2 to 2.5 and full propagation (our computation), where
// glass-20's fundamental came to 0.066569.
#[test]
fn signal_v54_harmonics_of_the_presets() {
    let tape = ScaleId::Tape40.spec();
    let j = |n| table_entry(&tape, n, tape.gap_nominal_m);
    near(j(0), 0.096_666_7, 1e-4);
    near(j(1), 0.029_205_6, 1e-4);
    near(j(2), 0.001_261_8, 1e-4);
    let glass = ScaleId::Glass20.spec();
    let j = |n| table_entry(&glass, n, glass.gap_nominal_m);
    near(j(1), 0.066_575_6, 1e-4);
    near(j(2), 0.008_309_5, 1e-4);
    near(j(1), 0.066_569, 2e-4);
}

// Measured bound of linear interpolation, relative to the mean light.
#[test]
fn table_interpolates_the_exact_coefficients() {
    for id in ScaleId::ALL {
        let spec = id.spec();
        let table = GapTable::build(&spec);
        assert!((65..=2200).contains(&table.len()), "{id:?}: {} rows", table.len());
        let bound = if spec.period_m < 30e-6 { 4e-4 } else { 1e-4 };
        let mean = table_entry(&spec, 0, spec.gap_nominal_m);
        for i in 0..=1000 {
            let part = f64::from(i) / 1000.0;
            let gap_m = spec.gap_min_m + part * (spec.gap_max_m - spec.gap_min_m);
            let row = table.at(gap_m);
            for (n, entry) in (0_u8..).zip(row).take(spec.harmonics + 1) {
                let error = (entry - table_entry(&spec, n, gap_m)).abs();
                assert!(error <= bound * mean, "{id:?} J_{n} at {gap_m}: {error:e}");
            }
            assert!(row[spec.harmonics + 1..].iter().all(|j| *j == 0.0));
        }
    }
}

#[test]
fn table_answers_outside_its_range_with_the_nearest_row() {
    let spec = ScaleId::Glass20.spec();
    let table = GapTable::build(&spec);
    assert_eq!(table.at(-1.0), table.at(spec.gap_min_m));
    assert_eq!(table.at(1.0), table.at(spec.gap_max_m));
    assert_eq!(table.at(f64::NAN), table.at(spec.gap_min_m));
}

// Own approximation: full at the nominal gap, one half at 1.5 nominal gaps away from it.
#[test]
fn collected_power_is_a_bell_around_the_nominal_gap() {
    let tape = ScaleId::Tape40.spec();
    assert_eq!(collected_power(&tape, tape.gap_nominal_m), 1.0);
    near(collected_power(&tape, 2.5 * tape.gap_nominal_m), 0.5, 1e-12);
    assert_eq!(tape.grating_type, GratingType::Reflective);
    assert_eq!(collected_power(&ScaleId::Glass20.spec(), 0.4e-3), 1.0);
}
