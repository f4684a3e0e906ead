//! Closed formulas about counting: what a count means, how fast a counter may be driven, what an
//! unseen stretch of edges does.

use core::f64::consts::PI;

/// Length of one count at x4, m (or rad): `period / (4 interpolation)`.
#[must_use]
pub fn count_length(period: f64, interpolation: f64) -> f64 {
    period / (4.0 * interpolation)
}

/// Length of one motor-encoder count at the table, m per count: `2 pi r / (4 lines)`, with `ratio`
/// the table travel per radian of the motor, m/rad.
#[must_use]
pub fn motor_count_length(ratio: f64, lines: u32) -> f64 {
    2.0 * PI * ratio / (4.0 * f64::from(lines))
}

/// Frequency of the (interpolated) signal, Hz, at speed `v` m/s: `interpolation v / period`.
#[must_use]
pub fn signal_frequency(period: f64, interpolation: f64, v: f64) -> f64 {
    interpolation * v / period
}

/// Highest speed at which a signal of at most `frequency_hz` keeps up, m/s (turns/s with a period in turns): `f period`.
#[must_use]
pub fn frequency_speed_limit(period: f64, frequency_hz: f64) -> f64 {
    frequency_hz * period
}

/// Highest speed at which neighbouring edges stay at least `edge_s` apart, m/s: `period / (4 interpolation t)`.
#[must_use]
pub fn edge_speed_limit(period: f64, interpolation: f64, edge_s: f64) -> f64 {
    count_length(period, interpolation) / edge_s
}

/// Shortest time between neighbouring edges of A and B, s, with a phase error of `eps_deg` degrees
/// (0..25): `(1/4 - eps/360) period / (interpolation v)`.
#[must_use]
pub fn edge_separation(period: f64, interpolation: f64, v: f64, eps_deg: f64) -> f64 {
    (0.25 - eps_deg / 360.0) * period / (interpolation * v)
}

/// Highest speed without lost counts, m/s, for a sampling clock of `clock_hz`, a filter that wants
/// `filter` equal samples (1..255), phase error `eps_deg` and duty error `delta` (fraction):
/// `(period/interpolation) min((1/4 - eps/360) f, (1/2 - delta) f / filter)`.
#[must_use]
pub fn counting_speed_limit(
    period: f64,
    interpolation: f64,
    clock_hz: f64,
    filter: u32,
    eps_deg: f64,
    delta: f64,
) -> f64 {
    let by_separation = (0.25 - eps_deg / 360.0) * clock_hz;
    let by_width = (0.5 - delta) * clock_hz / f64::from(filter);
    period / interpolation * by_separation.min(by_width)
}

/// Difference of two readings of a hardware counter `bits` wide (1..=62), extended over the wrap:
/// right while the true difference is under half the counter's range.
#[must_use]
pub fn extended_difference(old: i64, new: i64, bits: u32) -> i64 {
    let half = 1i64 << (bits - 1);
    (new - old + half).rem_euclid(2 * half) - half
}

/// What a decoder makes of edges that passed while it did not look.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct UnseenEdges {
    /// Counts it sees, -1..=1, or `None`: an illegal transition.
    pub seen: Option<i64>,
    /// Counts missing afterwards (under the policy Hold).
    pub lost: i64,
}

/// Edges `n_true` (signed) that passed unseen: the decoder sees them modulo four, so a silent loss
/// is always a whole number of signal periods.
#[must_use]
pub fn unseen_edges(n_true: i64) -> UnseenEdges {
    let seen = (n_true + 1).rem_euclid(4) - 1;
    if seen == 2 {
        UnseenEdges { seen: None, lost: n_true }
    } else {
        UnseenEdges { seen: Some(seen), lost: n_true - seen }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // Source: v = f p (plain kinematics) and the definition of edge separation. Tolerance of the row: 1e-9.
    #[test]
    fn signal_v43_speed_limits_of_frequency_and_edges() {
        let near = |value: f64, expected: f64| assert!((value / expected - 1.0).abs() < 1e-9, "{value} {expected}");
        near(frequency_speed_limit(20e-6, 200e3), 4.0);
        near(60.0 * frequency_speed_limit(1.0 / 2500.0, 300e3), 7200.0);
        near(edge_speed_limit(20e-6, 10.0, 0.125e-6), 4.0);
        near(edge_separation(20e-6, 10.0, 4.0, 0.0), 0.125e-6);
    }

    fn near(value: f64, expected: f64) {
        assert!((value - expected).abs() <= 1e-3 * expected.abs(), "{value} is not {expected}");
    }

    // Sources: definitions of period, count and edge separation (common practice), by hand.
    #[test]
    fn axis_v11_frequency_edges_and_separation() {
        near(signal_frequency(20e-6, 1.0, 1.0), 50e3);
        near(1.0 / count_length(20e-6, 1.0), 200_000.0);
        near(edge_separation(20e-6, 1.0, 1.0, 0.0), 5.000e-6);
        near(edge_separation(20e-6, 1.0, 1.0, 20.0), 3.889e-6);
    }

    // Source: closed form of both limits, by hand (axis model 1.6).
    #[test]
    fn axis_v12_speed_limit_of_the_counter() {
        near(counting_speed_limit(20e-6, 5.0, 10e6, 3, 20.0, 0.0), 6.667);
        near(counting_speed_limit(40e-6, 5.0, 4e6, 3, 15.0, 0.0), 5.333);
    }

    // Source: arithmetic modulo 2^n (axis model 1.8).
    #[test]
    fn axis_v13_extension_over_the_wrap() {
        assert_eq!(extended_difference(65_530, 12, 16), 18);
        assert_eq!(extended_difference(5, 65_500, 16), -41);
        assert_eq!(extended_difference(16_777_200, 40, 24), 56);
    }

    // Source: plain kinematics of screw and rack, by hand.
    #[test]
    fn axis_v14_counts_to_millimetres() {
        let screw = 5e-3 / (2.0 * PI);
        near(123_456.0 * motor_count_length(screw, 2048), 75.3516e-3);
        near(motor_count_length(2.0e-3, 2500), 1.2566e-6);
    }
}
