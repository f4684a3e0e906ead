use super::{AlignmentError, AlignmentParams, AlignmentState, Vibration, Waviness};
use crate::chain::light::GapTable;
use crate::chain::photo::{HEALTHY_HEAD, HeadOptics, HeadPose, Illumination};
use crate::scale::{ScaleId, ScaleSpec};
use crate::surface::{Bump, SurfaceCursor, SurfaceGains, SurfaceIndex, SurfaceMap};
use proptest::prelude::{prop_assert, prop_assert_eq, proptest};

fn rigid(spec: &ScaleSpec) -> AlignmentParams {
    AlignmentParams::rigid(HeadPose::nominal(spec), spec, 2.0)
}

#[track_caller]
fn near(value: f64, expected: f64, tolerance: f64) {
    assert!((value - expected).abs() <= tolerance, "{value} is not {expected}");
}

// Source: the sums of section "along travel" worked by hand.
#[test]
fn the_gap_follows_wedge_sag_wave_and_bump() {
    let spec = ScaleId::Tape40.spec();
    let mut p = rigid(&spec);
    p.wedge = 1e-4;
    near(p.free_gap_m(0.5), 0.85e-3, 1e-15);
    p.sag_m = 0.2e-3;
    near(p.free_gap_m(1.0), 0.8e-3 + 0.1e-3 + 0.2e-3, 1e-15);
    near(p.free_gap_m(0.5), 0.85e-3 + 0.15e-3, 1e-15);
    near(p.free_gap_m(2.0), 1.0e-3, 1e-15);
    p.waves.push(Waviness { amplitude_m: 10e-6, length_m: 0.4, phase_turns: 0.0 });
    near(p.free_gap_m(0.5), 1.0e-3 + 10e-6, 1e-15);
    near(p.free_gap_m(0.3), 0.8e-3 + 0.03e-3 + 0.102e-3 - 10e-6, 1e-15);
    p.bumps.push(Bump { at_m: 0.5, width_m: 10e-3, rise_m: 0.3e-3 });
    near(p.free_gap_m(0.5), 0.71e-3, 1e-15);
    near(p.free_gap_m(0.5025) - p.free_gap_m(0.5), 0.15e-3, 1e-6);
    near(p.at(0.506, 0.0).pose.gap_m, p.free_gap_m(0.506), 0.0);
    assert_eq!(p.check(), Ok(()));
}

#[test]
fn a_guide_at_an_angle_carries_the_head_off_the_track() {
    let spec = ScaleId::Tape40.spec();
    let table = GapTable::build(&spec);
    let mut p = rigid(&spec);
    p.track_angle_rad = 2e-3;
    near(p.at(0.5, 0.0).pose.lateral_m, 1e-3, 2.5e-6);
    let clean = SurfaceIndex::for_scale(&SurfaceMap::new(), &spec);
    let mut optics = HeadOptics::new(&spec, &table, &p.pose, Illumination::NOMINAL, &HEALTHY_HEAD);
    let mut amplitude = |place_m: f64| {
        let pose = p.at(place_m, 0.0).pose;
        optics.follow(&spec, &table, &pose, place_m, &clean, &mut SurfaceCursor::default());
        optics.pair_amplitude_a(0, 2, &[SurfaceGains::CLEAN; 4])
    };
    // The field is 1.5 mm high on a track of 5 mm: it leaves the track between 1.75 and 3.25 mm.
    let full = amplitude(0.0);
    near(amplitude(0.8) / full, 1.0, 1e-12);
    near(amplitude(1.25) / full, 0.5, 1e-9);
    near(amplitude(1.7) / full, 0.0, 1e-12);
}

#[test]
fn a_loose_head_lags_by_its_play_after_each_reversal() {
    let spec = ScaleId::Glass20.spec();
    let mut p = rigid(&spec);
    p.lost_motion_m = 30e-6;
    let mut state = AlignmentState::default();
    let mut x = 0.1;
    let mut go = |by_m: f64, state: &mut AlignmentState| {
        let placed = p.step(state, x, x + by_m, 0.0);
        x += by_m;
        placed.shift_m
    };
    near(go(1e-3, &mut state).1, -15e-6, 1e-18);
    near(go(1e-3, &mut state).1, -15e-6, 1e-18);
    // Reversed: nothing moves for the width of the play, then the other side takes it along.
    near(go(-10e-6, &mut state).1, -5e-6, 1e-12);
    let (from, to) = go(-30e-6, &mut state);
    near(from, -5e-6, 1e-12);
    near(to, 15e-6, 1e-12);
    near(go(-1e-3, &mut state).1, 15e-6, 1e-18);
    // Out and back to the same place from both sides differs by the whole play.
    near(go(1e-3, &mut state).1, -15e-6, 1e-18);
}

// Source: a sum of sines by definition, evaluated with the reference library libm.
#[test]
fn vibration_is_the_sum_of_its_lines_and_the_same_every_time() {
    let spec = ScaleId::Tape40.spec();
    let mut p = rigid(&spec);
    p.gap_vibration = vec![
        Vibration { amplitude_m: 20e-6, frequency_hz: 40.0, phase_turns: 0.1 },
        Vibration { amplitude_m: 5e-6, frequency_hz: 333.0, phase_turns: -0.3 },
    ];
    p.position_vibration = vec![Vibration { amplitude_m: 3e-6, frequency_hz: 120.0, phase_turns: 0.25 }];
    let mut state = AlignmentState::settled(&p, 0.0);
    let mut last = p.at(0.3, 0.0).shift_m.1;
    near(last, 3e-6, 1e-18);
    for i in 1..1000 {
        let t = 50e-6 * f64::from(i);
        let placed = p.step(&mut state, 0.3, 0.3, t);
        let wave = |f: f64, phase: f64| libm::sin(std::f64::consts::TAU * (f * t + phase));
        near(placed.pose.gap_m, 0.8e-3 + 20e-6 * wave(40.0, 0.1) + 5e-6 * wave(333.0, -0.3), 1e-16);
        near(placed.shift_m.1, 3e-6 * wave(120.0, 0.25), 1e-16);
        assert_eq!(placed.shift_m.0, last, "no jump between steps");
        near(placed.shift_at_m(0.5), 0.5 * (placed.shift_m.0 + placed.shift_m.1), 1e-20);
        last = placed.shift_m.1;
    }
}

#[test]
fn a_bump_higher_than_the_gap_is_contact_not_a_negative_gap() {
    let spec = ScaleId::Glass20.spec();
    let mut p = rigid(&spec);
    p.bumps.push(Bump { at_m: 1.0, width_m: 4e-3, rise_m: 0.2e-3 });
    let on = p.at(1.0, 0.0);
    assert!(on.contact && on.pose.gap_m == 0.0 && !on.out_of_reach);
    assert!(!p.at(0.5, 0.0).contact);
    p.bumps[0].rise_m = -1e-3;
    let over = p.at(1.0, 0.0);
    assert!(over.out_of_reach && !over.contact && over.pose.gap_m == spec.gap_max_m);
}

#[test]
fn wrong_numbers_are_refused_by_name_and_range() {
    let spec = ScaleId::Glass20.spec();
    let healthy = rigid(&spec);
    let field = |change: fn(&mut AlignmentParams)| {
        let mut p = healthy.clone();
        change(&mut p);
        match p.check().expect_err("refused") {
            AlignmentError::Number { field, .. } | AlignmentError::TooMany { field, .. } => field,
        }
    };
    assert_eq!(field(|p| p.pose.gap_m = 0.5e-3), "pose.gap_m");
    assert_eq!(field(|p| p.pose.gap_m = -1e-6), "pose.gap_m");
    assert_eq!(field(|p| p.wedge = f64::NAN), "wedge");
    assert_eq!(field(|p| p.sag_m = f64::INFINITY), "sag_m");
    assert_eq!(field(|p| p.lost_motion_m = -1e-6), "lost_motion_m");
    assert_eq!(field(|p| p.travel_m = 0.0), "travel_m");
    let flat = Bump { at_m: 0.0, width_m: 0.0, rise_m: 0.0 };
    let mut p = healthy.clone();
    p.bumps.push(flat);
    let error = p.check().expect_err("a bump without width");
    assert_eq!(error.to_string(), "alignment: bumps.width_m: 0 is outside the allowed range 0.0001 to 1");
    p.bumps = vec![Bump { width_m: 1e-3, ..flat }; 17];
    assert_eq!(p.check(), Err(AlignmentError::TooMany { field: "bumps", count: 17 }));
}

#[test]
fn the_state_goes_on_where_it_was_saved() {
    let mut p = rigid(&ScaleId::Glass20.spec());
    p.lost_motion_m = 20e-6;
    let mut state = AlignmentState::default();
    p.step(&mut state, 0.0, 3e-6, 0.0);
    let text = serde_json::to_string(&state).expect("two numbers");
    let mut back: AlignmentState = serde_json::from_str(&text).expect("what was written reads");
    assert_eq!(p.step(&mut back, 3e-6, -9e-6, 50e-6), p.step(&mut state, 3e-6, -9e-6, 50e-6));
}

proptest! {
    #[test]
    fn the_gap_stays_in_reach_and_the_shift_in_its_play(
        rise in -3e-3..3e-3_f64, width in 1e-4..1.0_f64, wedge in -0.01..0.01_f64, sag in -2e-3..2e-3_f64,
        shake in 0.0..1e-3_f64, play in 0.0..1e-3_f64, places in proptest::collection::vec(-0.1..2.1_f64, 1..40),
    ) {
        for id in ScaleId::ALL {
            let spec = id.spec();
            let mut p = rigid(&spec);
            (p.wedge, p.sag_m, p.lost_motion_m) = (wedge, sag, play);
            p.bumps.push(Bump { at_m: 1.0, width_m: width, rise_m: rise });
            let line = Vibration { amplitude_m: shake, frequency_hz: 77.0, phase_turns: 0.0 };
            p.gap_vibration.push(line);
            prop_assert_eq!(p.check(), Ok(()));
            let mut state = AlignmentState::default();
            let mut from = 1.0;
            for (i, to) in places.iter().enumerate() {
                let t = 50e-6 * i as f64;
                let placed = p.step(&mut state, from, *to, t);
                let free = p.free_gap_m(*to) + shake * libm::sin(std::f64::consts::TAU * 77.0 * t);
                let gap = placed.pose.gap_m;
                prop_assert!((spec.gap_min_m..=spec.gap_max_m).contains(&gap), "{}", gap);
                // Contact is where the gap is used up; a scale whose optics begin further off is read at their edge.
                prop_assert!(!placed.contact || gap == spec.gap_min_m, "{}", gap);
                prop_assert!(placed.contact || placed.out_of_reach || (gap - free).abs() < 1e-12);
                prop_assert!(placed.shift_m.1.abs() <= 0.5 * play);
                from = *to;
            }
        }
    }
}
