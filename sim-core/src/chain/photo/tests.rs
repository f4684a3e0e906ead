use super::frame::coverage;
use super::waves::power_series;
use super::{FieldCondition, HEALTHY_HEAD, HeadOptics, HeadPose, Illumination, detune_factor};
use crate::chain::light::{GapTable, HARMONICS, table_entry};
use crate::num::math::{atan2_turns, nearest};
use crate::scale::{Field, ScaleId, ScaleSpec};
use crate::surface::{Film, Lanes, Liquid, SurfaceCursor, SurfaceIndex, SurfaceMap};
use std::f64::consts::{PI, TAU};

pub(super) fn head(spec: &ScaleSpec, table: &GapTable, pose: &HeadPose) -> HeadOptics {
    HeadOptics::new(spec, table, pose, Illumination::NOMINAL, &HEALTHY_HEAD)
}

/// Samples of `(true phase in turns, A, B)` over one period, differences as currents.
pub(super) fn period(spec: &ScaleSpec, optics: &HeadOptics, map: &SurfaceMap) -> Vec<(f64, f64, f64)> {
    let surface = SurfaceIndex::for_scale(map, spec);
    let mut cursor = SurfaceCursor::default();
    (0..1440)
        .map(|i| {
            let theta = f64::from(i) / 1440.0;
            let i = optics.currents(theta * spec.period_m, &surface, &mut cursor).field;
            (theta, i[0] - i[2], i[1] - i[3])
        })
        .collect()
}

/// Mean, amplitude and phase (turns) of the fundamental of one channel by projection.
pub(super) fn fundamental(samples: &[(f64, f64, f64)], pick: fn(&(f64, f64, f64)) -> f64) -> (f64, f64, f64) {
    let n = samples.len() as f64;
    let (mut mean, mut re, mut im) = (0.0, 0.0, 0.0);
    for s in samples {
        let v = pick(s);
        mean += v / n;
        re += 2.0 * v * libm::cos(TAU * s.0) / n;
        im -= 2.0 * v * libm::sin(TAU * s.0) / n;
    }
    (mean, libm::hypot(re, im), libm::atan2(im, re) / TAU)
}

pub(super) const A: fn(&(f64, f64, f64)) -> f64 = |s| s.1;
pub(super) const B: fn(&(f64, f64, f64)) -> f64 = |s| s.2;

#[track_caller]
fn near(value: f64, expected: f64, relative: f64) {
    let error = (value / expected - 1.0).abs();
    assert!(error <= relative, "{value} is not {expected}: off by {error:e}");
}

/// Ideal four-field head on glass with modulation C_1 = 0.6, whatever the gap.
fn ideal_light() -> GapTable {
    GapTable::constant([1.0, 0.3, 0.0, 0.0, 0.0, 0.0])
}

#[test]
fn a_leads_b_in_the_positive_direction() {
    for id in [ScaleId::Tape40, ScaleId::Glass20] {
        let spec = id.spec();
        let optics = head(&spec, &GapTable::build(&spec), &HeadPose::nominal(&spec));
        let samples = period(&spec, &optics, &SurfaceMap::new());
        // Only the fundamental: the even harmonics of the diagonal pairs do not all cancel.
        let lead = fundamental(&samples, A).2 - fundamental(&samples, B).2;
        assert!((lead - 0.25).abs() < 1e-12, "{id:?}: {lead}");
        let turns: Vec<f64> = samples.iter().map(|s| atan2_turns(s.2, s.1)).collect();
        for pair in turns.windows(2) {
            let step = pair[1] - pair[0];
            assert!(step - nearest(step) > 0.0, "{id:?} runs forwards");
        }
    }
    let spec = ScaleId::Tape1000.spec();
    let optics = head(&spec, &GapTable::build(&spec), &HeadPose::nominal(&spec));
    let clean = SurfaceIndex::for_scale(&SurfaceMap::new(), &spec);
    let at = |turns: f64| optics.currents(turns * 1e-3, &clean, &mut SurfaceCursor::default()).field;
    // Channel A peaks first, B a quarter of a period later; the other two fields do not exist.
    near(at(0.0)[0], at(0.25)[1], 1e-12);
    assert!(at(0.0)[0] > 1.5 * at(0.25)[0] && at(0.25)[1] > 1.5 * at(0.0)[1]);
    assert_eq!(at(0.1)[2..], [0.0, 0.0]);
}

// Source: definition of the Chebyshev polynomials, T_n(cos t) = cos(n t).
#[test]
fn power_series_is_the_sum_of_harmonics() {
    let a = [9.0, 0.5, -0.3, 0.2, 0.11, -0.07];
    let c = power_series(&a);
    for i in 0..100 {
        let t = f64::from(i) * 0.0713;
        let u = libm::cos(t);
        let powers = c.iter().rev().fold(0.0, |sum, c| sum * u + c);
        let sum: f64 = (1..HARMONICS).map(|n| a[n] * libm::cos(n as f64 * t)).sum();
        assert!((powers - sum).abs() < 1e-14);
    }
}

// Source: the field equation summed term by term, section "photocurrent of field k".
#[test]
fn fast_currents_equal_the_field_equation() {
    let spec = ScaleId::Glass20.spec();
    let (pitch_rad, roll_rad, yaw_rad) = (3e-3, -4e-3, 0.7e-3);
    let pose = HeadPose { gap_m: 0.11e-3, pitch_rad, roll_rad, yaw_rad, lateral_m: 0.1e-3, detune: 0.0 };
    let light = Illumination { drive: 1.2, ageing: 0.9 };
    let mut condition = HEALTHY_HEAD;
    condition[2] = FieldCondition { signal: 0.8, mean: 0.9, misphase_turns: 0.01, ambient_a: 5e-9 };
    let table = GapTable::build(&spec);
    let optics = HeadOptics::new(&spec, &table, &pose, light, &condition);
    let clean = SurfaceIndex::for_scale(&SurfaceMap::new(), &spec);
    let p = spec.period_m;
    for i in 0..500 {
        let x = 0.3 + f64::from(i) * 0.37e-6;
        let fast = optics.currents(x, &clean, &mut SurfaceCursor::default()).field;
        for (k, f) in spec.fields.iter().enumerate() {
            let z = pose.gap_m + f.x_m * libm::tan(pose.pitch_rad) + f.y_m * libm::tan(pose.roll_rad);
            let theta = x / p
                + (f.x_m * (libm::cos(pose.yaw_rad) - 1.0) - f.y_m * libm::sin(pose.yaw_rad)) / p
                + pose.gap_m * libm::tan(pose.pitch_rad) / p
                + condition[k].misphase_turns
                - f.phase_turns;
            let mut sum = condition[k].mean * table.at(z)[0];
            for n in 1..=3_u8 {
                let order = f64::from(n);
                let arg = PI * order * f.height_m * libm::sin(pose.yaw_rad) / p;
                let yaw = libm::sin(arg) / arg;
                sum += 2.0 * condition[k].signal * table.at(z)[n as usize] * yaw * libm::cos(TAU * order * theta);
            }
            let current = spec.photocurrent_scale_a * 1.2 * 0.9 * sum + condition[k].ambient_a + spec.dark_current_a;
            assert!((fast[k] - current).abs() < 1e-9 * spec.photocurrent_scale_a, "field {k}");
        }
    }
}

// Source: geometry: 2 mm apart along the lines at 1 mrad is a tenth of 20 um.
#[test]
fn signal_v18_yaw_splits_the_phase_of_separated_pairs() {
    let mut spec = ScaleId::Glass20.spec();
    for f in &mut spec.fields {
        f.y_m *= 5.0;
    }
    let pose = HeadPose { yaw_rad: 1e-3, ..HeadPose::nominal(&spec) };
    // The x part of the rotation is not part of this check.
    for f in &mut spec.fields {
        f.x_m = 0.0;
    }
    let samples = period(&spec, &head(&spec, &ideal_light(), &pose), &SurfaceMap::new());
    let error = fundamental(&samples, B).2 + 0.25 - fundamental(&samples, A).2;
    near(error * 360.0, 36.0, 1e-5);
}

// Source: closed form of the fundamental at the two gaps (Guigay 1971).
#[test]
fn signal_v20_pitch_splits_the_amplitudes() {
    let mut spec = ScaleId::Glass20.spec();
    spec.wavelength_m = 850e-9;
    spec.fwhm_m = 0.0;
    spec.source_half_angle_rad = 0.0;
    for (f, x_m) in spec.fields.iter_mut().zip([2e-3, -2e-3, 2e-3, -2e-3]) {
        (f.x_m, f.y_m) = (x_m, 0.0);
    }
    let pose = HeadPose { pitch_rad: 5e-3, ..HeadPose::nominal(&spec) };
    let optics = head(&spec, &GapTable::build(&spec), &pose);
    let samples = period(&spec, &optics, &SurfaceMap::new());
    near(fundamental(&samples, A).1 / fundamental(&samples, B).1, 0.899_762, 2e-4);
}

// Source: geometry of two overlapping spans.
#[test]
fn signal_v21_field_hanging_over_the_track() {
    let field = Field { x_m: 0.0, y_m: 0.0, length_m: 1e-3, height_m: 3e-3, phase_turns: 0.0 };
    let (share, inside_m, centre_m) = coverage(&field, 1.5e-3, 5e-3);
    near(share, 0.833_333_333_3, 1e-9);
    near(inside_m, 2.5e-3, 1e-9);
    near(centre_m, -0.25e-3, 1e-9);
    assert_eq!(coverage(&field, 10e-3, 5e-3).0, 0.0);
    assert_eq!(coverage(&field, 0.0, 5e-3), (1.0, 3e-3, 0.0));
}

// Source: moire of image and mask of slightly different period, dR/(r p) per metre.
#[test]
fn signal_v22_radial_offset_of_a_disc_head() {
    near(detune_factor(1, 50e-6 / 18e-3, 1e-3, 45.2389e-6), 0.993_810, 1e-5);
    let spec = ScaleId::Tape40.spec();
    let amplitude = |detune| {
        let pose = HeadPose { detune, ..HeadPose::nominal(&spec) };
        fundamental(&period(&spec, &head(&spec, &ideal_light(), &pose), &SurfaceMap::new()), A).1
    };
    near(amplitude(2e-3) / amplitude(0.0), libm::sin(PI * 0.08) / (PI * 0.08), 1e-9);
}

// Source: geometry: over the 3 mm between the pairs of A and B, a mismatch of 1e-4 adds 0.3 um of 20 um.
#[test]
fn detune_splits_the_phase_of_fields_along_the_travel() {
    let spec = ScaleId::Glass20.spec();
    let pose = HeadPose { detune: 1e-4, ..HeadPose::nominal(&spec) };
    let samples = period(&spec, &head(&spec, &ideal_light(), &pose), &SurfaceMap::new());
    let error = fundamental(&samples, B).2 + 0.25 - fundamental(&samples, A).2;
    near(error, -3e-3 * 1e-4 / 20e-6, 1e-6);
}

// Source: geometry and the arctangent of a shifted, squeezed circle: closed form of 4.2.
#[test]
fn signal_v24_speck_on_one_field_against_speck_on_the_only_field() {
    let spec = ScaleId::Glass20.spec();
    let optics = head(&spec, &ideal_light(), &HeadPose::nominal(&spec));
    let clean = period(&spec, &optics, &SurfaceMap::new());
    let mut speck = SurfaceMap::new();
    // A quarter of field 0, which spans 0.6 to 1.4 mm.
    speck.paint(0.9e-3, 1.1e-3, Film::OPAQUE);
    let dirty = period(&spec, &optics, &speck);
    let amplitude = fundamental(&clean, A).1;
    near(fundamental(&dirty, A).1 / amplitude, 0.875, 1e-4);
    near(fundamental(&dirty, A).0 / amplitude, -0.208_333, 1e-4);
    near(fundamental(&dirty, B).1 / amplitude, 1.0, 1e-12);
    let worst = dirty
        .iter()
        .map(|s| {
            let e = atan2_turns(s.2, s.1) - s.0;
            (e - nearest(e)).abs() * TAU
        })
        .fold(0.0, f64::max);
    near(worst, 0.26677, 1e-4);
    near(worst * 20e-6 / TAU, 0.8492e-6, 1e-4);

    let spec = ScaleId::Tape40.spec();
    let optics = head(&spec, &ideal_light(), &HeadPose::nominal(&spec));
    let clean = period(&spec, &optics, &SurfaceMap::new());
    let mut speck = SurfaceMap::new();
    speck.paint(-0.05e-3, 0.05e-3, Film::OPAQUE);
    let dirty = period(&spec, &optics, &speck);
    near(fundamental(&dirty, A).1 / fundamental(&clean, A).1, 0.9375, 1e-4);
    assert!(fundamental(&dirty, A).0.abs() < 1e-12 * fundamental(&clean, A).1);
}

// Source: the mean over the field's tilted span, integrated finely from the exact coefficients.
#[test]
fn a_strongly_pitched_field_averages_over_its_own_gaps() {
    let spec = ScaleId::Tape40.spec();
    let table = GapTable::build(&spec);
    let pose = HeadPose { pitch_rad: 0.15, ..HeadPose::nominal(&spec) };
    let optics = head(&spec, &table, &pose);
    let amplitude = fundamental(&period(&spec, &optics, &SurfaceMap::new()), A).1;
    let tilt = 1.6e-3 * libm::tan(0.15);
    let n = 400;
    let mean: f64 = (0..n)
        .map(|i| {
            let part = (f64::from(i) + 0.5) / f64::from(n) - 0.5;
            table_entry(&spec, 1, spec.gap_nominal_m + part * tilt) / f64::from(n)
        })
        .sum();
    near(amplitude, 4.0 * spec.photocurrent_scale_a * mean, 1e-4);
    // Without the averaging it would be half a per cent off.
    assert!(table_entry(&spec, 1, spec.gap_nominal_m) > 1.004 * mean);
}

#[test]
fn following_the_gap_equals_building_afresh() {
    let spec = ScaleId::Glass20.spec();
    let table = GapTable::build(&spec);
    let mut pose = HeadPose { pitch_rad: 4e-3, ..HeadPose::nominal(&spec) };
    let mut followed = head(&spec, &table, &pose);
    pose.gap_m = 0.12e-3;
    followed.set_gap(&table, pose.gap_m);
    assert_eq!(followed, head(&spec, &table, &pose));
}

#[test]
fn following_a_pose_equals_building_afresh() {
    let spec = ScaleId::Glass20.spec();
    let table = GapTable::build(&spec);
    let dry = SurfaceIndex::for_scale(&SurfaceMap::new(), &spec);
    let mut followed = head(&spec, &table, &HeadPose::nominal(&spec));
    let pose =
        HeadPose { gap_m: 0.12e-3, pitch_rad: 4e-3, roll_rad: -2e-3, yaw_rad: 1e-3, lateral_m: 2e-3, detune: 1e-4 };
    followed.follow(&spec, &table, &pose, 0.1, &dry, &mut SurfaceCursor::default());
    assert_eq!(followed, head(&spec, &table, &pose));
}

// Source: reduced distance (Born and Wolf): under a flood of index n the head stands at z/n.
#[test]
fn a_flood_moves_the_focus_and_drying_brings_it_back() {
    for id in ScaleId::ALL {
        let spec = id.spec();
        let table = GapTable::build(&spec);
        let pose = HeadPose::nominal(&spec);
        let mut wet = SurfaceMap::new();
        wet.pour(0.0, 0.2, Lanes::ALL, Liquid { thickness_m: Liquid::FLOOD_M, index: Liquid::COOLANT_INDEX });
        let surface = SurfaceIndex::for_scale(&wet, &spec);
        let mut cursor = SurfaceCursor::default();
        let mut optics = head(&spec, &table, &pose);
        let dry = optics.clone();
        optics.follow(&spec, &table, &pose, 0.1, &surface, &mut cursor);
        let nearer = HeadPose { gap_m: pose.gap_m / Liquid::COOLANT_INDEX, ..pose };
        let (flooded, expected) = (optics.currents(0.1, &surface, &mut cursor), {
            head(&spec, &table, &nearer).currents(0.1, &surface, &mut cursor)
        });
        for k in 0..spec.fields.len() {
            near(flooded.field[k], expected.field[k], 1e-9);
        }
        optics.follow(&spec, &table, &pose, 0.3, &surface, &mut cursor);
        assert_eq!(optics, dry, "{id:?}");
    }
}

#[test]
fn brightness_loop_sees_the_mean_without_the_signal() {
    for id in ScaleId::ALL {
        let spec = id.spec();
        let optics = head(&spec, &GapTable::build(&spec), &HeadPose::nominal(&spec));
        let mut map = SurfaceMap::new();
        map.paint(-1.0, 1.0, Film::FINGERPRINT);
        let surface = SurfaceIndex::for_scale(&map, &spec);
        let mut cursor = SurfaceCursor::default();
        let mean = optics.mean_current_a(&optics.surface_gains(0.0, &surface, &mut cursor));
        let n = 1000;
        let mut sum = 0.0;
        for i in 0..n {
            let x = spec.period_m * f64::from(i) / f64::from(n);
            let i = optics.currents(x, &surface, &mut cursor);
            sum += i.field.iter().sum::<f64>() / (f64::from(n) * spec.fields.len() as f64);
            assert!(i.lit.iter().all(|l| (0.0..=1.0).contains(l)));
        }
        near(mean, sum, 1e-9);
    }
}

#[test]
fn brightest_place_of_a_healthy_head_is_fully_lit() {
    for id in ScaleId::ALL {
        let spec = id.spec();
        let optics = head(&spec, &GapTable::build(&spec), &HeadPose::nominal(&spec));
        let clean = SurfaceIndex::for_scale(&SurfaceMap::new(), &spec);
        let lit = optics.currents(0.0, &clean, &mut SurfaceCursor::default()).lit;
        assert!(lit[0] > 0.99, "{id:?}: {lit:?}");
        let other = spec.fields.len() - 1;
        assert!(lit[other] < 0.7 && lit[other] > 0.0, "{id:?}: {lit:?}");
    }
}

// Source: the definition; a sweep takes sines and dirt at its ends only, so over a clean scale it is the light at each
// place but for rounding, and over dirt it is that light at both ends.
#[test]
fn a_sweep_gives_the_light_of_its_places() {
    for id in ScaleId::ALL {
        let spec = id.spec();
        let optics = head(&spec, &GapTable::build(&spec), &HeadPose { pitch_rad: 2e-3, ..HeadPose::nominal(&spec) });
        let mut map = SurfaceMap::new();
        for (painted, from_m) in [(false, 0.1), (true, 0.2)] {
            if painted {
                map.paint(0.2, 0.3, Film::HEAVY_SMEAR);
            }
            let surface = SurfaceIndex::for_scale(&map, &spec);
            let mut cursor = SurfaceCursor::default();
            for (samples, periods) in [(1, 0.0), (7, 0.4), (64, -3.9)] {
                // The fastest axis, 0.8 m/s, goes 40 um in a step.
                let to_m = from_m + (periods * spec.period_m).clamp(-40e-6, 40e-6);
                let ends = [from_m, to_m].map(|x_m| optics.surface_gains(x_m, &surface, &mut cursor));
                let mut sweep = optics.sweep(from_m, to_m, [&ends[0], &ends[1]], samples);
                for i in 1..=samples {
                    let x_m = from_m + (to_m - from_m) * f64::from(i) / f64::from(samples);
                    let (swept, there) = (optics.next(&mut sweep), optics.currents(x_m, &surface, &mut cursor).field);
                    for (one, other) in swept.iter().zip(there) {
                        let off = (one - other).abs() / spec.photocurrent_scale_a;
                        assert!(i < samples && painted || off < 1e-11, "{id:?}: {one} {other}");
                        assert!(off < 2e-2, "{id:?}: {one} {other}");
                    }
                }
            }
        }
    }
}
