//! From pose and dirt to the channels, end to end, on the four-field glass scale.
//!
//! Source of the expected values: the model of the validation table evaluated by an
//! independent program (numpy), rows V55 to V59.

use sim_core::chain::analog::{AnalogParams, AnalogState, SampleTable, step};
use sim_core::chain::light::GapTable;
use sim_core::chain::photo::{HEALTHY_HEAD, HeadOptics, HeadPose, Illumination};
use sim_core::num::math::{atan2_turns, nearest};
use sim_core::scale::ScaleId;
use sim_core::surface::{Film, SurfaceCursor, SurfaceIndex, SurfaceMap};
use std::f64::consts::TAU;

/// What a measurement over one period gives.
struct Figure {
    offset_a_v: f64,
    radius_a_v: f64,
    radius_b_v: f64,
    phase_error_deg: f64,
    error_pp_nm: f64,
}

/// Slow travel over one period with the noise switched off.
fn measure(pose: impl Fn(&mut HeadPose), map: &SurfaceMap) -> Figure {
    let spec = ScaleId::Glass20.spec();
    let table = GapTable::build(&spec);
    let mut placed = HeadPose::nominal(&spec);
    pose(&mut placed);
    let optics = HeadOptics::new(&spec, &table, &placed, Illumination::NOMINAL, &HEALTHY_HEAD);
    let surface = SurfaceIndex::for_scale(map, &spec);
    let mut params = AnalogParams::nominal(&spec);
    params.noise_scale = 0.0;
    let sample = SampleTable::new(params.bandwidth_hz).of(1);
    let mut state = AnalogState::new(1);
    let mut cursor = SurfaceCursor::default();

    let n = 2000;
    let (mut mean_a, mut a, mut b) = (0.0, (0.0, 0.0), (0.0, 0.0));
    let (mut last, mut error, mut low, mut high): (Option<f64>, f64, f64, f64) = (None, 0.0, f64::MAX, f64::MIN);
    for i in 0..n {
        let theta = f64::from(i) / f64::from(n);
        let light = optics.currents(theta * spec.period_m, &surface, &mut cursor);
        state.settle(&params, &light);
        let out = step(&params, &mut state, &light, &sample);
        let (c, s) = (libm::cos(TAU * theta), libm::sin(TAU * theta));
        let weight = 2.0 / f64::from(n);
        mean_a += 0.5 * weight * out.a_v;
        a = (a.0 + weight * out.a_v * c, a.1 - weight * out.a_v * s);
        b = (b.0 + weight * out.b_v * c, b.1 - weight * out.b_v * s);
        let raw = atan2_turns(out.b_v, out.a_v) - theta;
        error = last.map_or(raw, |l: f64| error + (raw - l) - nearest(raw - l));
        last = Some(raw);
        low = low.min(error);
        high = high.max(error);
    }
    let phase = libm::atan2(b.1, b.0) / TAU + 0.25 - libm::atan2(a.1, a.0) / TAU;
    Figure {
        offset_a_v: mean_a,
        radius_a_v: libm::hypot(a.0, a.1),
        radius_b_v: libm::hypot(b.0, b.1),
        phase_error_deg: (phase - nearest(phase)) * 360.0,
        error_pp_nm: (high - low) * spec.period_m * 1e9,
    }
}

#[track_caller]
fn near(value: f64, expected: f64, relative: f64) {
    let error = (value / expected - 1.0).abs();
    assert!(error <= relative, "{value} is not {expected}: off by {error:e}");
}

#[test]
fn a_healthy_head_gives_one_volt_peak_to_peak() {
    let f = measure(|_| (), &SurfaceMap::new());
    near(f.radius_a_v, 0.5, 1e-6);
    near(f.radius_b_v, 0.5, 1e-6);
    assert!(f.phase_error_deg.abs() < 1e-9 && f.offset_a_v.abs() < 1e-12);
}

#[test]
fn signal_v55_yaw() {
    let f = measure(|pose| pose.yaw_rad = 1e-3, &SurfaceMap::new());
    near(f.radius_a_v, 0.497_044, 1e-4);
    near(f.radius_b_v, 0.497_044, 1e-4);
    near(f.phase_error_deg, 7.227, 1e-4);
    near(f.error_pp_nm, 402.31, 1e-4);
}

#[test]
fn signal_v56_pitch() {
    let f = measure(|pose| pose.pitch_rad = 5e-3, &SurfaceMap::new());
    near(f.radius_a_v, 0.476_895, 1e-3);
    near(f.radius_b_v, 0.521_699, 1e-3);
    near(f.error_pp_nm, 310.28, 1e-3);
}

#[test]
fn signal_v57_roll() {
    let f = measure(|pose| pose.roll_rad = 10e-3, &SurfaceMap::new());
    near(f.radius_a_v, 0.493_976, 1e-3);
    near(f.radius_b_v, 0.505_934, 1e-3);
}

/// 30 % of field 0, which spans 0.6 to 1.4 mm, away from its ends.
fn chip() -> SurfaceMap {
    let mut map = SurfaceMap::new();
    map.paint(0.9e-3, 1.14e-3, Film::OPAQUE);
    map
}

#[test]
fn signal_v58_chip_on_one_field() {
    let f = measure(|_| (), &chip());
    near(f.offset_a_v, -0.093_878_3, 1e-3);
    near(f.radius_a_v, 0.425, 1e-3);
    near(f.error_pp_nm, 1637.4, 1e-3);
}

#[test]
fn signal_v59_chip_yaw_and_pitch_together() {
    let f = measure(|pose| (pose.yaw_rad, pose.pitch_rad) = (0.5e-3, 5e-3), &chip());
    near(f.radius_a_v, 0.403_581, 1e-3);
    near(f.radius_b_v, 0.520_927, 1e-3);
    near(f.phase_error_deg, 3.60695, 1e-3);
    near(f.error_pp_nm, 1967.3, 1e-3);
}
