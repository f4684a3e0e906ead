//! The only door to mathematics in the model.
//!
//! The kernels in this file use `+ - * /`, comparisons and bit casts on `f64`, all of which
//! IEEE 754 and the WebAssembly core specification define to the last bit; Rust never fuses
//! a multiplication with an addition by itself. What is not on the per-sample path goes
//! through the `libm` crate, which is plain Rust and so is equally portable.
//!
//! The order of operations is pinned by hashes in the tests: changing it changes every
//! recorded run.

/// 2^52 + 2^51: adding and subtracting it rounds to the nearest integer, ties to even.
const ROUNDING: f64 = 6_755_399_441_055_744.0;

const SIN: [f64; 7] = [
    std::f64::consts::TAU,
    -41.34170224039976,
    81.60524927607506,
    -76.70585975306139,
    42.058693944897655,
    -15.09464257682299,
    3.819952584848282,
];

const COS: [f64; 8] = [
    1.0,
    -19.739208802178716,
    64.9393940226683,
    -85.45681720669373,
    60.24464137187666,
    -26.4262567833744,
    7.903536371318469,
    -1.714390711088672,
];

const ATAN: [f64; 7] = [
    0.159154943088,
    -0.0530516457306,
    0.0318308037708,
    -0.022729854491,
    0.0175714844021,
    -0.013458449162,
    0.00749197744628,
];

/// Polynomial with the constant term first, evaluated by Horner's rule.
#[inline]
fn horner<const N: usize>(x: f64, coefficients: &[f64; N]) -> f64 {
    let mut sum = coefficients[N - 1];
    for c in coefficients[..N - 1].iter().rev() {
        sum = sum * x + c;
    }
    sum
}

/// Nearest integer, ties to even. Valid for `|x| < 2^51`.
#[inline]
#[must_use]
pub fn nearest(x: f64) -> f64 {
    (x + ROUNDING) - ROUNDING
}

/// Largest whole number not above `x`. Valid for `|x| < 2^51`; unlike the general function it calls nothing.
#[inline]
#[must_use]
pub fn floor(x: f64) -> f64 {
    let near = nearest(x);
    near - f64::from(u8::from(near > x))
}

/// Sine and cosine of an angle in turns: `(sin 2 pi t, cos 2 pi t)`.
///
/// Valid for `|t| < 2^49`; error at most 2.1e-14 (the tests compare with `libm` to 3e-14).
/// Polynomials on an eighth of a turn to either side, after exact reduction.
#[inline]
#[must_use]
pub fn sincos_turns(t: f64) -> (f64, f64) {
    let r = t - nearest(t);
    let q = nearest(4.0 * r);
    let f = r - 0.25 * q;
    let g = f * f;
    let s = f * horner(g, &SIN);
    let c = horner(g, &COS);
    match (q as i32) & 3 {
        0 => (s, c),
        1 => (c, -s),
        2 => (-s, -c),
        _ => (-c, s),
    }
}

/// Direction of the vector `(x, y)` in turns, in `[-1/2, 1/2]`; 0 for the null vector.
///
/// Error at most 1.4e-12 turn. Used for interpolation, where a period is one turn.
#[inline]
#[must_use]
pub fn atan2_turns(y: f64, x: f64) -> f64 {
    let (ay, ax) = (y.abs(), x.abs());
    let (small, large) = if ay > ax { (ax, ay) } else { (ay, ax) };
    let t = if large == 0.0 { 0.0 } else { small / large };
    // A branch around the division would be guessed wrong every other time; a shift of zero changes no bit.
    let shift = f64::from(u8::from(t > 0.414213562373095));
    let r = (t - shift) / (1.0 + shift * t);
    let mut w = r * horner(r * r, &ATAN) + 0.125 * shift;
    if ay > ax {
        w = 0.25 - w;
    }
    if x < 0.0 {
        w = 0.5 - w;
    }
    if y < 0.0 { -w } else { w }
}

/// Natural logarithm. Relative error 5e-16.
///
/// `-inf` for zero, NaN for negative arguments and NaN.
#[must_use]
pub fn ln(x: f64) -> f64 {
    if x.is_nan() || x < 0.0 {
        return f64::NAN;
    }
    if x == 0.0 {
        return f64::NEG_INFINITY;
    }
    if x == f64::INFINITY {
        return x;
    }
    // Subnormal numbers are lifted by 2^54 first.
    let (x, lift) = if x < f64::MIN_POSITIVE { (x * 18_014_398_509_481_984.0, -54) } else { (x, 0) };
    let bits = x.to_bits();
    let mut e = ((bits >> 52) as i32) - 1023 + lift;
    let mut m = f64::from_bits((bits & 0x000f_ffff_ffff_ffff) | 0x3ff0_0000_0000_0000);
    if m > std::f64::consts::SQRT_2 {
        m /= 2.0;
        e += 1;
    }
    let s = (m - 1.0) / (m + 1.0);
    let g = s * s;
    let mut w = 1.0 / 23.0;
    let mut k = 21.0;
    while k >= 1.0 {
        w = w * g + 1.0 / k;
        k -= 2.0;
    }
    2.0 * s * w + f64::from(e) * std::f64::consts::LN_2
}

/// Exponential function. Relative error 3e-16.
///
/// Results below the smallest normal number are returned as 0, results above the largest
/// as infinity.
#[must_use]
pub fn exp(x: f64) -> f64 {
    if x.is_nan() {
        return x;
    }
    if x < -708.0 {
        return 0.0;
    }
    if x > 709.0 {
        return f64::INFINITY;
    }
    // log2(e) in the digits the prototype used, so that the hashes stay comparable.
    let k = nearest(std::f64::consts::LOG2_E * x);
    let r = (x - k * 0.6931471803691238) - k * 1.9082149292705877e-10;
    let mut w = 1.0;
    let mut n = 14.0;
    while n >= 1.0 {
        w = w * r / n + 1.0;
        n -= 1.0;
    }
    let scale = f64::from_bits(((1023 + k as i64) as u64) << 52);
    w * scale
}

/// Standard normal deviate from a uniform number in the open interval (0, 1).
///
/// Inverse of the normal distribution function, PPND7 of algorithm AS 241 (Wichura 1988):
/// relative error 1.2e-7, true tails, one uniform per deviate. The tails decide false
/// edges, so sums of uniforms will not do.
#[must_use]
pub fn normal_from_uniform(u: f64) -> f64 {
    const A: [f64; 4] = [3.3871327179, 50.434271938, 159.29113202, 59.109374720];
    const B: [f64; 4] = [1.0, 17.895169469, 78.757757664, 67.187563600];
    const C: [f64; 4] = [1.4234372777, 2.7568153900, 1.3067284816, 0.17023821103];
    const D: [f64; 3] = [1.0, 0.73700164250, 0.12021132975];
    const E: [f64; 4] = [6.6579051150, 3.0812263860, 0.42868294337, 0.017337203997];
    const F: [f64; 3] = [1.0, 0.24197894225, 0.012258202635];
    let q = u - 0.5;
    if q.abs() <= 0.425 {
        let r = 0.180625 - q * q;
        return q * horner(r, &A) / horner(r, &B);
    }
    let tail = if u < 1.0 - u { u } else { 1.0 - u };
    let r = (-ln(tail)).sqrt();
    let x =
        if r <= 5.0 { horner(r - 1.6, &C) / horner(r - 1.6, &D) } else { horner(r - 5.0, &E) / horner(r - 5.0, &F) };
    if q < 0.0 { -x } else { x }
}

/// `sin(pi u)/(pi u)`, 1 at zero.
#[must_use]
pub fn sinc(u: f64) -> f64 {
    if u == 0.0 {
        return 1.0;
    }
    let (s, _) = sincos_turns(0.5 * u);
    s / (std::f64::consts::PI * u)
}

/// Bessel function of the first kind, order 1. Error 1e-15 for `|v| <= 30`, meaningless beyond.
///
/// Midpoint rule on Bessel's integral `J1(v) = (1/pi) INT cos(x - v sin x) dx`, which
/// converges faster than any power for a periodic integrand.
#[must_use]
pub fn bessel_j1(v: f64) -> f64 {
    const NODES: i32 = 32;
    let mut sum = 0.0;
    for k in 0..NODES {
        let turns = (f64::from(k) + 0.5) / f64::from(2 * NODES);
        let (s, _) = sincos_turns(turns);
        let (_, c) = sincos_turns(turns - v * s / std::f64::consts::TAU);
        sum += c;
    }
    sum / f64::from(NODES)
}

/// `2 J1(v)/v`, 1 at zero: the blur of a uniform disc. Taken as 0 for `|v| > 30`, where it
/// is below 0.01.
#[must_use]
pub fn jinc(v: f64) -> f64 {
    let v = v.abs();
    if v > 30.0 {
        0.0
    } else if v < 1e-6 {
        1.0
    } else {
        2.0 * bessel_j1(v) / v
    }
}

/// Nodes of the three-point Gauss-Legendre rule on `[-1, 1]`.
pub const GAUSS3_NODES: [f64; 3] = [-0.7745966692414834, 0.0, 0.7745966692414834];
/// Weights of the three-point Gauss-Legendre rule, summing to 1 (a mean, not an integral).
pub const GAUSS3_WEIGHTS: [f64; 3] = [5.0 / 18.0, 8.0 / 18.0, 5.0 / 18.0];

/// Sine of an angle in radians.
#[must_use]
pub fn sin(x: f64) -> f64 {
    libm::sin(x)
}

/// Cosine of an angle in radians.
#[must_use]
pub fn cos(x: f64) -> f64 {
    libm::cos(x)
}

/// Tangent of an angle in radians.
#[must_use]
pub fn tan(x: f64) -> f64 {
    libm::tan(x)
}

/// Inverse sine in radians; NaN outside `[-1, 1]`.
#[must_use]
pub fn asin(x: f64) -> f64 {
    libm::asin(x)
}

/// Inverse cosine in radians; NaN outside `[-1, 1]`.
#[must_use]
pub fn acos(x: f64) -> f64 {
    libm::acos(x)
}

/// Inverse tangent in radians.
#[must_use]
pub fn atan(x: f64) -> f64 {
    libm::atan(x)
}

/// Direction of the vector `(x, y)` in radians, in `[-pi, pi]`.
#[must_use]
pub fn atan2(y: f64, x: f64) -> f64 {
    libm::atan2(y, x)
}

/// `x` to the power `y`.
#[must_use]
pub fn pow(x: f64, y: f64) -> f64 {
    libm::pow(x, y)
}

/// Length of the vector `(x, y)`, without overflow.
#[must_use]
pub fn hypot(x: f64, y: f64) -> f64 {
    libm::hypot(x, y)
}

/// Hyperbolic tangent.
#[must_use]
pub fn tanh(x: f64) -> f64 {
    libm::tanh(x)
}

/// Error function.
#[must_use]
pub fn erf(x: f64) -> f64 {
    libm::erf(x)
}

/// Base-10 logarithm.
#[must_use]
pub fn log10(x: f64) -> f64 {
    libm::log10(x)
}

#[cfg(test)]
mod tests;
