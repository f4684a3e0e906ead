//! Checks of the paths.

use proptest::prelude::*;

use super::*;

fn limits(speed: f64, acceleration: f64, jerk: f64) -> MotionLimits {
    MotionLimits { speed, acceleration, jerk }
}

fn near(value: f64, expected: f64) {
    assert!((value - expected).abs() <= 1e-3 * expected.abs(), "{value} is not {expected}");
}

fn highest(path: &Path, what: impl Fn(PathPoint) -> f64) -> f64 {
    (0..=100_000).map(|i| what(path.at(path.duration() * f64::from(i) / 1e5)).abs()).fold(0.0, f64::max)
}

// Source: textbook kinematics.
#[test]
fn axis_v26_trapezoid_times() {
    let l = limits(0.25, 2.0, 1.0);
    near(Path::trapezoid(0.0, 0.5, &l).duration(), 2.125);
    near(Path::trapezoid(0.1, 0.08, &l).duration(), 0.2000);
}

// Source: Biagiotti and Melchiorri 2008, double S trajectory; figures by integrating jerk.
#[test]
fn axis_v27_s_curve_times_and_peaks() {
    let time = |d, v, a, j| Path::s_curve(0.0, d, &limits(v, a, j)).duration();
    near(time(0.5, 0.25, 2.0, 40.0), 2.1750);
    near(time(0.02, 0.25, 2.0, 40.0), 0.25616);
    near(time(0.0004, 0.25, 2.0, 40.0), 0.068_399);
    near(time(0.3, 0.05, 2.0, 20.0), 6.1000);
    near(highest(&Path::s_curve(0.0, 0.02, &limits(0.25, 2.0, 40.0)), |p| p.v), 0.156_16);
    near(highest(&Path::s_curve(0.0, 0.0004, &limits(0.25, 2.0, 40.0)), |p| p.a), 0.683_99);
}

// Source: textbook kinematics.
#[test]
fn axis_v52_stop_under_control() {
    near(stop_distance(0.25, 4.0, 2e-3), 8.3125e-3);
}

// Bug once met while trying: ending the walk at a segment of no length made x_ref jump by 50 mm.
#[test]
fn segments_of_no_length_are_skipped() {
    for (d, v, a, j) in [(0.0004, 0.25, 2.0, 40.0), (0.3, 0.05, 2.0, 20.0), (0.05, 0.05, 2.0, 20.0)] {
        let path = Path::s_curve(0.0, d, &limits(v, a, j));
        let mut x = 0.0;
        for i in 1..=4000 {
            let p = path.at(path.duration() * f64::from(i) / 4000.0);
            assert!(p.x >= x && p.x - x <= v * path.duration() / 3999.0);
            x = p.x;
        }
        assert_eq!(x, d);
    }
}

#[test]
fn no_distance_is_no_time() {
    let path = Path::s_curve(0.3, 0.3, &limits(0.25, 2.0, 40.0));
    assert_eq!((path.duration(), path.at(0.0).x), (0.0, 0.3));
}

proptest! {
    // Law: the closed form meets the target by itself, keeps its limits and its speed is the
    // derivative of its place.
    #[test]
    fn s_curve_keeps_its_limits(d in -2.0f64..2.0, v in 0.01f64..1.0, a in 0.1f64..5.0, j in 1.0f64..100.0) {
        let l = limits(v, a, j);
        let path = Path::s_curve(0.2, 0.2 + d, &l);
        prop_assert!((path.inside(path.duration()).x - (0.2 + d)).abs() < 1e-9);
        prop_assert!(path.inside(path.duration()).v.abs() < 1e-9);
        let n = 500;
        let dt = path.duration() / f64::from(n);
        for i in 0..n {
            let (p, q) = (path.at(dt * f64::from(i)), path.at(dt * f64::from(i + 1)));
            prop_assert!(p.v.abs() <= v * (1.0 + 1e-9) && p.a.abs() <= a * (1.0 + 1e-9));
            prop_assert!(((q.x - p.x) - 0.5 * (p.v + q.v) * dt).abs() <= j * dt * dt * dt + 1e-12);
        }
    }

    // Law: a ramp from any state ends at its speed with no acceleration, inside the limits.
    #[test]
    fn ramp_ends_at_its_speed(v0 in -1.0f64..1.0, a0 in -2.0f64..2.0, v1 in -1.0f64..1.0, j in 5.0f64..100.0) {
        let l = limits(1.0, 2.0, j);
        let path = Path::ramp(PathPoint { x: 0.0, v: v0, a: a0 }, v1, &l);
        let end = path.inside(path.duration());
        prop_assert!((end.v - v1).abs() < 1e-9 && end.a.abs() < 1e-9, "{end:?}");
        for i in 0..=200 {
            prop_assert!(path.at(path.duration() * f64::from(i) / 200.0).a.abs() <= 2.0 + 1e-9);
        }
    }
}
