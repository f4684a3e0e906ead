use super::{Activity, DOTS, Dot, Edge, RING, Scope, ScopeSettings, Source, Sweep};
use crate::num::random::Stream;
use crate::record::{Sample, Tap};
use proptest::prelude::{prop_assert, proptest};
use std::f64::consts::TAU;

/// A and B turning at `hz`, sampled every `dt` from `from_s` on for `length_s`.
fn turn(scope: &mut Scope, hz: f64, dt: f64, from_s: f64, length_s: f64) {
    let n = libm::round(length_s / dt) as u32;
    for i in 1..=n {
        let time_s = from_s + f64::from(i) * dt;
        let t = TAU * hz * time_s;
        let (a_v, b_v) = (0.5 * libm::cos(t), 0.5 * libm::sin(t));
        let table_m = time_s * hz * 20e-6;
        scope.sample(&Sample { time_s, table_m, a_v, b_v, square_a: a_v > 0.0, square_b: b_v > 0.0, count: 0 });
    }
}

fn scope(settings: ScopeSettings) -> Scope {
    Scope::new(settings).unwrap()
}

// Source: the signal itself: A = cos crosses 0.25 V on the way down at a sixth of a period.
#[test]
fn the_trigger_stands_at_its_place_on_its_edge() {
    for (edge, phase, pre_share) in
        [(Edge::Falling, 1.0 / 6.0, 0.5), (Edge::Rising, 5.0 / 6.0, 0.0), (Edge::Rising, 5.0 / 6.0, 1.0)]
    {
        let mut s = scope(ScopeSettings { level_v: 0.25, edge, pre_share, ..ScopeSettings::default() });
        turn(&mut s, 1013.0, 1.7e-6, 0.0, 0.05);
        let screen = s.screen().unwrap();
        assert!(screen.triggered && screen.dots.len() == DOTS && screen.dot_s == 10e-6);
        let turns = screen.trigger_s * 1013.0;
        // A straight line of 1.7 us misses a cosine by less than a hundredth of a dot.
        assert!((turns - libm::floor(turns) - phase).abs() < 1e-4, "{turns}");
        assert!((screen.trigger_s - screen.start_s - pre_share * 10e-3).abs() < 1e-12);
        for (i, dot) in screen.dots.iter().enumerate() {
            let t = TAU * 1013.0 * (screen.start_s + i as f64 * screen.dot_s);
            // Straight lines over a dot of 10 us: 0.5 (2 pi f dt)^2/8 = 0.25 mV.
            assert!((dot.a_v - 0.5 * libm::cos(t)).abs() < 0.3e-3, "dot {i}: {dot:?}");
            assert!((dot.b_v - 0.5 * libm::sin(t)).abs() < 0.3e-3, "dot {i}: {dot:?}");
            // Squares are known to a dot.
            assert!(dot.square_a == (libm::cos(t) > 0.0) || libm::cos(t).abs() < TAU * 1013.0 * 15e-6, "dot {i}");
        }
    }
}

#[test]
fn every_source_triggers_where_it_changes() {
    // Squared A rises at 3/4, squared B at 0 turns; the mark's gate opens at 300 um, 15 turns.
    let sources = [
        (Source::B, 0.0),
        (Source::SquareA, 0.75),
        (Source::SquareB, 0.0),
        (Source::Mark { at_m: 305e-6, width_m: 10e-6 }, 0.0),
    ];
    for (source, phase) in sources {
        let mut s = scope(ScopeSettings { source, sweep: Sweep::Once, ..ScopeSettings::default() });
        turn(&mut s, 1000.0, 1.7e-6, 0.0, 0.05);
        let turns = s.screen().unwrap().trigger_s * 1000.0;
        let off = turns - phase - libm::round(turns - phase);
        assert!((-1e-4..2e-3).contains(&off), "{source:?}: {turns}");
        if matches!(source, Source::Mark { .. }) {
            assert!((turns - 15.0).abs() < 2e-3, "{turns}");
        }
        assert_eq!(s.activity(), Activity::Held);
    }
}

#[test]
fn a_single_shot_stays_until_armed_again() {
    let mut s = scope(ScopeSettings { sweep: Sweep::Once, ..ScopeSettings::default() });
    assert!(s.screen().is_none());
    turn(&mut s, 1000.0, 5e-6, 0.0, 0.1);
    let first = s.screen().unwrap().clone();
    assert_eq!((first.number, s.activity()), (1, Activity::Held));
    turn(&mut s, 1000.0, 5e-6, 0.1, 0.1);
    assert_eq!(*s.screen().unwrap(), first);
    s.arm();
    assert_eq!(s.activity(), Activity::Waiting);
    turn(&mut s, 1000.0, 5e-6, 0.2, 0.1);
    assert_eq!(s.screen().unwrap().number, 2);
    assert!(s.screen().unwrap().trigger_s > 0.2);
}

#[test]
fn without_a_trigger_only_the_free_sweep_draws() {
    let level_v = 0.9;
    let mut auto = scope(ScopeSettings { level_v, ..ScopeSettings::default() });
    let mut waiting = scope(ScopeSettings { level_v, sweep: Sweep::OnTrigger, ..ScopeSettings::default() });
    for s in [&mut auto, &mut waiting] {
        turn(s, 1000.0, 5e-6, 0.0, 0.2);
    }
    let screen = auto.screen().unwrap();
    assert!(!screen.triggered && screen.number >= 4, "{}", screen.number);
    assert!(waiting.screen().is_none());
    assert_eq!(waiting.activity(), Activity::Waiting);
}

// Without hold-off a screen of 10 ms, half of it before the trigger, comes about every 5 ms; with 30 ms every 30.
#[test]
fn hold_off_spaces_the_screens() {
    let count = |hold_off_s| {
        let mut s = scope(ScopeSettings { hold_off_s, ..ScopeSettings::default() });
        turn(&mut s, 1000.0, 5e-6, 0.0, 1.0);
        s.screen().unwrap().number
    };
    assert!((160..=200).contains(&count(0.0)), "{}", count(0.0));
    assert!((31..=34).contains(&count(0.0299)), "{}", count(0.0299));
}

// Noise of 10 mV on a slow rise: without hysteresis the falling edge triggers on the rise, with 60 mV never.
#[test]
fn hysteresis_keeps_noise_from_triggering_on_the_wrong_edge() {
    let wrong = |hysteresis_v| {
        let settings = ScopeSettings {
            edge: Edge::Falling,
            hysteresis_v,
            sweep: Sweep::OnTrigger,
            window_s: 1e-3,
            ..ScopeSettings::default()
        };
        let mut s = scope(settings);
        let mut noise = Stream::named(5, "scope");
        let mut wrong = 0;
        let mut seen = 0;
        for i in 0..400_000 {
            let time_s = f64::from(i) * 5e-6;
            let t = TAU * 5.0 * time_s;
            s.sample(&Sample { time_s, a_v: 0.5 * libm::cos(t) + 0.01 * noise.normal(), ..Sample::default() });
            if let Some(screen) = s.screen()
                && screen.number > seen
            {
                seen = screen.number;
                let turns = screen.trigger_s * 5.0;
                wrong += u32::from(turns - libm::floor(turns) > 0.5);
            }
        }
        assert!(seen >= 9, "{seen}");
        wrong
    };
    assert!(wrong(0.0) > 3);
    assert_eq!(wrong(0.06), 0);
}

#[test]
fn no_memory_is_taken_while_running_and_a_jump_starts_afresh() {
    let mut s = scope(ScopeSettings { window_s: 1e-3, ..ScopeSettings::default() });
    turn(&mut s, 2000.0, 5e-6, 0.0, 0.1);
    let (ring, dots) = (s.ring.as_ptr(), s.screen.dots.as_ptr());
    turn(&mut s, 2000.0, 50e-6, 7.0, 0.1);
    turn(&mut s, 2000.0, 1e-6, 0.0, 0.1);
    assert_eq!((s.ring.as_ptr(), s.screen.dots.as_ptr()), (ring, dots));
    assert_eq!((s.ring.capacity(), s.screen.dots.len()), (RING, DOTS));
    // No screen ever mixes the times before and after the jump.
    let screen = s.screen().unwrap();
    for (i, dot) in screen.dots.iter().enumerate() {
        let t = TAU * 2000.0 * (screen.start_s + i as f64 * screen.dot_s);
        assert!((dot.a_v - 0.5 * libm::cos(t)).abs() < 1e-3, "dot {i}: {dot:?}");
    }
}

#[test]
fn settings_out_of_range_are_refused_and_change_nothing() {
    let mut s = scope(ScopeSettings::default());
    let told = |s: &mut Scope, settings| s.set(settings).unwrap_err().to_string();
    let base = ScopeSettings::default();
    assert_eq!(
        told(&mut s, ScopeSettings { window_s: 0.0, ..base }),
        "window_s: 0 is outside the allowed range 0.0001 to 100 (unit: s)"
    );
    assert!(told(&mut s, ScopeSettings { level_v: f64::NAN, ..base }).starts_with("level_v: NaN"));
    assert!(told(&mut s, ScopeSettings { pre_share: 1.1, ..base }).starts_with("pre_share: 1.1"));
    assert!(told(&mut s, ScopeSettings { hold_off_s: -1.0, ..base }).starts_with("hold_off_s: -1"));
    let mark = Source::Mark { at_m: f64::INFINITY, width_m: 1e-5 };
    assert!(told(&mut s, ScopeSettings { source: mark, ..base }).starts_with("mark.at_m: inf"));
    assert_eq!(*s.settings(), base);
    s.set(ScopeSettings { window_s: 0.1, ..base }).unwrap();
    turn(&mut s, 1000.0, 5e-6, 0.0, 0.5);
    assert!((s.screen().unwrap().dot_s - 1e-4).abs() < 1e-18);
}

proptest! {
    // Law: a straight line stays a straight line whatever the raster and the sampling.
    #[test]
    fn a_ramp_comes_back_as_the_same_ramp(
        window_s in 1e-4..0.05_f64, dt in 1e-6..50e-6_f64, pre_share in 0.0..1.0_f64, level_v in 0.3..0.7_f64,
    ) {
        let mut s = scope(ScopeSettings {
            window_s, pre_share, level_v, hysteresis_v: 0.0, sweep: Sweep::Once, ..ScopeSettings::default()
        });
        let slope = 1.0 / 0.3;
        for i in 0..(0.3 / dt) as u32 {
            let time_s = f64::from(i) * dt;
            s.sample(&Sample { time_s, a_v: slope * time_s, b_v: 3.0 - slope * time_s, ..Sample::default() });
        }
        let screen = s.screen().unwrap();
        prop_assert!((screen.trigger_s - level_v / slope).abs() < 1e-9);
        for (i, Dot { a_v, b_v, .. }) in screen.dots.iter().enumerate() {
            let exact = slope * (screen.start_s + i as f64 * screen.dot_s);
            prop_assert!((a_v - exact).abs() < 1e-9 && (b_v - 3.0 + exact).abs() < 1e-9, "dot {i}");
        }
    }
}
