use super::{
    GAUSS3_NODES, GAUSS3_WEIGHTS, atan2_turns, bessel_j1, exp, floor, jinc, ln, nearest, normal_from_uniform, sinc,
    sincos_turns,
};
use crate::num::random::uniform_at;
use std::f64::consts::{PI, TAU};

/// One step of FNV-1a over whole words.
fn fold(h: u64, x: f64) -> u64 {
    (h ^ x.to_bits()).wrapping_mul(0x0000_0100_0000_01b3)
}

// Source: the hashes of an independent prototype in JavaScript doubles and in Rust at several
// optimisation levels; they pin the order of operations, not the truth of the values.
#[test]
fn signal_v60_kernels_give_the_pinned_bits() {
    let mut h = [0xcbf2_9ce4_8422_2325_u64; 6];
    for i in 0..200_000_u64 {
        let fi = i as f64;
        let t = fi * 0.37 - 31234.5 + fi * fi * 1e-7;
        let (s, c) = sincos_turns(t);
        let w = uniform_at(42, i);
        let values = [s, c, atan2_turns(s * 1.1 + 0.01, c - 0.02), normal_from_uniform(w), ln(w), exp(-30.0 * w)];
        for (h, v) in h.iter_mut().zip(values) {
            *h = fold(*h, v);
        }
    }
    let expected = [
        0x55aa_adac_4882_ebfb,
        0xace2_8d7c_b4eb_11d9,
        0x47cc_d1f2_c575_8ca0,
        0x96c7_4f90_f781_cb5c,
        0x98dc_4e21_a016_faaa,
        0x0471_eb6a_4c0e_d3c0,
    ];
    assert_eq!(h, expected, "sin, cos, atan2, normal, ln, exp");
}

// Source: the libm crate (a port of musl's mathematics library), within 1 ulp itself.
#[test]
fn kernels_agree_with_a_reference_library() {
    for i in -20_000..20_000 {
        let t = f64::from(i) * 0.000_373_1;
        let (s, c) = sincos_turns(t);
        let r = t - nearest(t);
        assert!((s - libm::sin(TAU * r)).abs() < 3e-14, "sin at {t}");
        assert!((c - libm::cos(TAU * r)).abs() < 3e-14, "cos at {t}");
        let (y, x) = (s * 1.3 - 0.1, c + 0.2);
        let a = libm::atan2(y, x) / TAU;
        assert!((atan2_turns(y, x) - a).abs() < 2e-12, "atan2 at {t}");
        assert_eq!(floor(t * 100.0), libm::floor(t * 100.0), "floor of {t}");
        let e = f64::from(i) * 0.03;
        let reference = libm::exp(e);
        assert!((exp(e) / reference - 1.0).abs() < 2e-15, "exp at {e}");
        let back = libm::log(reference);
        assert!((ln(reference) - back).abs() <= 1e-15 * back.abs().max(1e-3), "ln of {reference}");
        let v = f64::from(i) * 0.0014;
        assert!((bessel_j1(v) - libm::j1(v)).abs() < 2e-14, "J1 at {v}");
    }
}

#[test]
fn kernels_answer_at_the_edges() {
    assert_eq!(atan2_turns(0.0, 0.0), 0.0);
    assert_eq!(atan2_turns(0.0, -1.0), 0.5);
    assert_eq!(atan2_turns(1.0, 0.0), 0.25);
    assert_eq!(atan2_turns(-1.0, 0.0), -0.25);
    assert_eq!(ln(0.0), f64::NEG_INFINITY);
    assert!(ln(-1.0).is_nan() && ln(f64::NAN).is_nan() && exp(f64::NAN).is_nan());
    assert_eq!(ln(f64::INFINITY), f64::INFINITY);
    let tiny = f64::from_bits(1);
    assert!((ln(tiny) / libm::log(tiny) - 1.0).abs() < 1e-15);
    assert_eq!(exp(-1000.0), 0.0);
    assert_eq!(exp(1000.0), f64::INFINITY);
    assert_eq!(exp(0.0), 1.0);
    assert_eq!((sinc(0.0), jinc(0.0)), (1.0, 1.0));
    assert!(sinc(1.0).abs() < 1e-14);
}

// Source: tables of the normal distribution and the check values of algorithm AS 241
// (Wichura 1988), from memory.
#[test]
fn normal_deviate_has_the_tabulated_quantiles() {
    for (u, x) in [(0.25, -0.674_489_750_2), (0.001, -3.090_232_306), (1e-20, -9.262_340_090), (0.975, 1.959_963_985)] {
        assert!((normal_from_uniform(u) / x - 1.0).abs() < 2e-7, "u = {u}");
    }
    assert_eq!(normal_from_uniform(0.5), 0.0);
}

// Source: Abramowitz and Stegun, table 9.5: first zeros of J1.
#[test]
fn disc_blur_has_its_zeros_where_the_tables_say() {
    assert!(jinc(3.831_705_970).abs() < 1e-9);
    assert!(jinc(7.015_586_670).abs() < 1e-9);
}

// A three-point Gauss rule is exact up to the fifth power (textbook).
#[test]
fn gauss_rule_is_exact_to_the_fifth_power() {
    let mean =
        |f: &dyn Fn(f64) -> f64| -> f64 { GAUSS3_NODES.iter().zip(GAUSS3_WEIGHTS).map(|(x, w)| w * f(*x)).sum() };
    assert!((mean(&|_| 1.0) - 1.0).abs() < 1e-15);
    assert!((mean(&|x| x * x) - 1.0 / 3.0).abs() < 1e-15);
    assert!((mean(&|x| x * x * x * x) - 0.2).abs() < 1e-15);
    assert!((sinc(0.5) - 2.0 / PI).abs() < 1e-14);
}
