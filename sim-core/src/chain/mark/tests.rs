use super::{MarkCursor, MarkLayout, MarkParams, MarkTrack, SlitCode, blur_m, gate, gate_step};
use crate::chain::counter::{CounterParams, CounterState, Levels};
use crate::chain::distance_code::DistancePlan;
use crate::num::math::sincos_turns;
use crate::scale::{ScaleId, ScaleSpec};
use crate::surface::{Film, SurfaceIndex, SurfaceMap};
use proptest::prelude::{Just, Strategy, prop_assert, prop_assert_eq, prop_oneof, proptest};

fn clean() -> SurfaceIndex {
    SurfaceIndex::new(&SurfaceMap::new(), 1, 0.0)
}

/// A sharp mark of the 20 um glass at 0.1 m.
fn sharp() -> MarkParams {
    let spec = ScaleId::Glass20.spec();
    MarkParams { blur_m: 0.0, ..MarkParams::nominal(&spec, MarkLayout::Single { at_m: 0.1 }) }
}

fn track(params: &MarkParams) -> MarkTrack {
    MarkTrack::new(params, &clean()).expect("in range")
}

fn seen(track: &MarkTrack, x_m: f64) -> bool {
    track.seen(x_m, &mut MarkCursor::default())
}

/// Gated pulses around the mark: start and width in periods from the mark's place.
fn pulses(params: &MarkParams) -> Vec<(f64, f64)> {
    let t = track(params);
    let n = 8000;
    let mut out: Vec<(f64, f64)> = Vec::new();
    let mut before = false;
    let mut cursor = MarkCursor::default();
    for i in -3 * n..3 * n {
        let theta = (f64::from(i) + 0.5) / f64::from(n);
        let (b, a) = sincos_turns(theta);
        let now = gate(a, b) && t.seen(0.1 + theta * params.period_m, &mut cursor);
        match out.last_mut() {
            Some(last) if now && before => last.1 += 1.0 / f64::from(n),
            _ if now => out.push((theta, 1.0 / f64::from(n))),
            _ => {}
        }
        before = now;
    }
    out
}

// Source: brute force over all pairs of slits; peak and side lobe of a ruler with distinct
// differences (Golomb ruler, from memory).
#[test]
fn signal_v47_reference_mark_peak_width_and_tolerance() {
    let brute = |u: f64| -> f64 {
        let slits = SlitCode::Ruler.slits();
        let term = |i: u8, j: u8| (1.0 - (u - (f64::from(j) - f64::from(i))).abs()).max(0.0);
        slits.iter().flat_map(|i| slits.iter().map(move |j| term(*i, *j))).sum()
    };
    for i in -4000..4000 {
        let u = f64::from(i) / 100.0;
        assert!((SlitCode::Ruler.correlation(u) - brute(u)).abs() < 1e-12, "at {u}");
        if u.abs() >= 1.0 {
            assert!(SlitCode::Ruler.correlation(u) <= 1.0 + 1e-12, "side lobe at {u}");
        }
    }
    assert_eq!(SlitCode::Ruler.correlation(0.0), 8.0);
    let p = sharp();
    assert_eq!(p.cell_m / p.period_m, 0.75);
    assert!((p.pulse_width_m(1.0) / p.period_m / 0.857 - 1.0).abs() < 1e-3);
    assert!((p.pulse_width_m(1.0) / p.cell_m / 1.143 - 1.0).abs() < 1e-3);
    let tolerance = p.tolerance_m(1.0).expect("a good mark") / p.period_m;
    assert!((tolerance / 0.3035 - 1.0).abs() < 1e-3, "{tolerance}");
}

#[test]
fn all_differences_of_the_ruler_are_distinct() {
    let slits = SlitCode::Ruler.slits();
    let mut differences: Vec<u8> =
        slits.iter().flat_map(|i| slits.iter().filter(move |j| *j > i).map(move |j| j - i)).collect();
    assert_eq!(differences.len(), 28);
    differences.sort_unstable();
    differences.dedup();
    assert_eq!(differences.len(), 28);
}

// The tolerance says exactly when the gated pulse is one whole quarter period.
#[test]
fn an_adjustment_error_shortens_doubles_and_shifts_the_pulse() {
    let p = sharp();
    let tolerance = p.tolerance_m(1.0).expect("a good mark") / p.period_m;
    let at = |periods: f64| pulses(&MarkParams { adjustment_m: periods * p.period_m, ..p });
    for inside in [-0.99, -0.5, 0.0, 0.5, 0.99] {
        let found = at(inside * tolerance);
        assert_eq!(found.len(), 1, "{inside}: {found:?}");
        assert!(found[0].0.abs() < 1e-3 && (found[0].1 - 0.25).abs() < 1e-3, "{found:?}");
    }
    let short = at(tolerance + 0.1);
    assert!(short.len() == 1 && (short[0].1 - 0.15).abs() < 2e-3, "{short:?}");
    let double = at(0.5);
    assert_eq!(double.len(), 2, "{double:?}");
    // One period off: a whole pulse again, at a neighbouring place, every time.
    let next = at(1.0);
    assert!(next.len() == 1 && (next[0].0 - 1.0).abs() < 1e-3 && (next[0].1 - 0.25).abs() < 1e-3, "{next:?}");
}

// Coarse scales have one slit; the same rules hold with its own numbers.
#[test]
fn a_single_slit_marks_the_coarse_scales() {
    for id in [ScaleId::Tape1000, ScaleId::Disc100, ScaleId::CodeDisc10] {
        let p = MarkParams::nominal(&id.spec(), MarkLayout::Single { at_m: 0.1 });
        assert_eq!(p.code, SlitCode::Single);
        let found = pulses(&p);
        assert!(found.len() == 1 && (found[0].1 - 0.25).abs() < 1e-3, "{id:?}: {found:?}");
    }
}

#[test]
fn every_scale_has_a_good_mark_over_its_gap_window() {
    for id in ScaleId::ALL {
        let spec = id.spec();
        let nominal = MarkParams::nominal(&spec, MarkLayout::Single { at_m: 0.0 });
        nominal.check().expect("a preset is in range");
        assert!(nominal.tolerance_m(nominal.sharpness()).expect("a good mark") > 0.15 * spec.period_m, "{id:?}");
    }
}

// Source: blur law of the specification, peak x (1 - b/(2 w_c)): half the peak at b = w_c, so
// the mark is lost while the lines still give a signal.
#[test]
fn a_wide_gap_loses_the_mark() {
    let spec = ScaleId::Tape40.spec();
    let at_gap = |gap_m: f64| {
        let p = MarkParams { blur_m: blur_m(&spec, gap_m), ..sharp_on(&spec) };
        track(&p).signal(0.1 + spec.period_m / 8.0)
    };
    assert_eq!(at_gap(0.0), 8.0);
    assert!((at_gap(0.8e-3) - 8.0 * (1.0 - 8e-6 / 60e-6)).abs() < 1e-9);
    assert!((at_gap(3e-3) - 4.0).abs() < 1e-9);
    assert!((at_gap(9e-3) - 4.0).abs() < 1e-9, "no blur beyond a cell");
}

fn sharp_on(spec: &ScaleSpec) -> MarkParams {
    MarkParams::nominal(spec, MarkLayout::Single { at_m: 0.1 })
}

#[test]
fn dirt_on_a_mark_takes_that_mark_alone() {
    let layout = MarkLayout::Periodic { first_m: 0.0, every_m: 20e-3, count: 10 };
    let p = MarkParams { layout, ..sharp() };
    let mut map = SurfaceMap::new();
    map.paint(0.0395, 0.0405, Film { mu_t: 1.0, scatter: 0.0, kappa_s: 0.0 });
    let t = MarkTrack::new(&p, &SurfaceIndex::new(&map, 1, 0.0)).expect("in range");
    let at = |k: f64| t.signal(k * 20e-3 + p.period_m / 8.0);
    assert!((at(2.0) - 8.0 * libm::exp(-1.0)).abs() < 1e-9);
    assert!(!seen(&t, 0.04 + p.period_m / 8.0));
    assert_eq!((at(0.0), at(1.0), at(3.0), at(9.0)), (8.0, 8.0, 8.0, 8.0));
    // Less light from the source takes all of them.
    let mut dim = t;
    dim.set_light(0.49);
    assert!((0..10).all(|k| !seen(&dim, f64::from(k) * 20e-3 + p.period_m / 8.0)));
}

#[test]
fn a_scratch_can_look_like_a_mark() {
    let p = MarkParams { false_mark_m: Some(0.123), ..sharp() };
    let t = track(&p);
    assert!(seen(&t, 0.123) && seen(&t, 0.1 + p.period_m / 8.0) && !seen(&t, 0.11));
}

// Source: axis specification 1.10, gate then latch on entering the state: both directions
// latch the same count; a mark one period off latches 4 counts away.
#[test]
fn both_directions_latch_the_same_count() {
    let p = sharp();
    let run = |p: &MarkParams, up: bool| {
        let t = track(p);
        let mut counter = CounterState::default();
        let mut latched = None;
        let mut cursor = MarkCursor::default();
        let n = 1000_i32;
        for i in -3 * n..3 * n {
            let theta = (f64::from(i) + 0.5) / f64::from(if up { n } else { -n });
            let (b, a) = sincos_turns(theta);
            let levels = Levels { a: a > 0.0, b: b > 0.0 };
            let seen = t.seen(0.1 + theta * p.period_m, &mut cursor);
            latched = counter.step(&CounterParams::default(), levels, seen).latched.or(latched);
        }
        // Relative to the count at the upper end.
        let end = if up { counter.count } else { 0 };
        latched.map(|count| count - end)
    };
    assert!(run(&p, true).is_some());
    assert_eq!(run(&p, true), run(&p, false));
    let off = MarkParams { adjustment_m: p.period_m, ..p };
    assert_eq!(run(&off, true), run(&p, true).map(|c| c + 4));
}

#[test]
fn an_interpolated_input_has_one_gate_step_per_period() {
    for factor in [1_u32, 2, 5, 25, 1024] {
        let steps = 4 * i64::from(factor);
        let open: Vec<i64> = (0..steps).filter(|step| gate_step(*step, factor)).collect();
        assert_eq!(open.len(), 1);
        // It holds phase 1/8 turn, where the mark's pattern is centred.
        let (low, high) = (open[0] as f64 / steps as f64, (open[0] + 1) as f64 / steps as f64);
        assert!(low <= 0.125 && 0.125 <= high, "{factor}: {low}");
        assert!(gate_step(open[0] - 7 * steps, factor));
    }
}

#[test]
fn wrong_marks_are_refused_by_name() {
    let p = sharp();
    let field = |p: MarkParams| p.check().unwrap_err().field;
    assert_eq!(field(MarkParams { period_m: -1.0, ..p }), "period_m");
    assert_eq!(field(MarkParams { cell_m: f64::NAN, ..p }), "cell_m");
    assert_eq!(field(MarkParams { blur_m: -1.0, ..p }), "blur_m");
    assert_eq!(field(MarkParams { light: 9.0, ..p }), "light");
    assert_eq!(field(MarkParams { threshold: 0.0, ..p }), "threshold");
    assert_eq!(field(MarkParams { adjustment_m: 1.0, ..p }), "adjustment_m");
    assert_eq!(field(MarkParams { false_mark_m: Some(f64::NAN), ..p }), "false_mark_m");
    let with = |layout| field(MarkParams { layout, ..p });
    assert_eq!(with(MarkLayout::Single { at_m: f64::INFINITY }), "at_m");
    assert_eq!(with(MarkLayout::Periodic { first_m: 0.0, every_m: 1e-6, count: 3 }), "every_m");
    assert_eq!(with(MarkLayout::Periodic { first_m: 0.0, every_m: 0.02, count: 0 }), "count");
    assert_eq!(with(MarkLayout::Ring { at_m: 0.0, circumference_m: 0.0 }), "circumference_m");
    let plan = DistancePlan { basic_periods: 999, step_periods: 1, coded_marks: 3 };
    assert_eq!(with(MarkLayout::DistanceCoded { zero_m: 0.0, plan }), "basic_periods");
    let plan = DistancePlan::longest(1000, 1);
    assert_eq!(with(MarkLayout::DistanceCoded { zero_m: 0.0, plan }), "plan.closest_m");
}

fn layouts() -> impl Strategy<Value = MarkLayout> {
    prop_oneof![
        (-1.0..1.0_f64).prop_map(|at_m| MarkLayout::Single { at_m }),
        (-1.0..1.0_f64, 0.01..0.1_f64, 1_u32..40).prop_map(|(first_m, every_m, count)| MarkLayout::Periodic {
            first_m,
            every_m,
            count
        }),
        (-1.0..1.0_f64, Just(DistancePlan { basic_periods: 1000, step_periods: 2, coded_marks: 30 }))
            .prop_map(|(zero_m, plan)| MarkLayout::DistanceCoded { zero_m, plan }),
    ]
}

proptest! {
    #[test]
    fn the_nearest_mark_is_the_nearest(layout in layouts(), x in -2.0..4.0_f64) {
        let t = track(&MarkParams { layout, ..sharp() });
        let found = t.nearest(x);
        let best = (0..t.count()).map(|k| (x - t.place_m(k)).abs()).fold(f64::INFINITY, f64::min);
        prop_assert!(((x - found.at_m).abs() - best).abs() < 1e-12);
        prop_assert!((t.place_m(found.number as u32) - found.at_m).abs() < 1e-12);
    }

    // A cursor never changes an answer.
    #[test]
    fn seen_is_the_signal_against_its_level(layout in layouts(), places in proptest::collection::vec(-0.5..1.5_f64, 1..30)) {
        let t = track(&MarkParams { layout, false_mark_m: Some(0.25), ..sharp() });
        let mut cursor = MarkCursor::default();
        for x in places {
            // Anywhere, and around the nearest mark.
            for x in [x, t.nearest(x).at_m + (x - 0.5) * 40e-6, 0.25 + (x - 0.5) * 20e-6] {
                prop_assert_eq!(t.seen(x, &mut cursor), t.signal(x) > 4.0);
            }
        }
    }

    #[test]
    fn a_ring_shows_its_mark_on_every_turn(turn in -1000_i32..1000, offset in -40e-6..40e-6_f64) {
        let layout = MarkLayout::Ring { at_m: 0.03, circumference_m: 0.113 };
        let t = track(&MarkParams { layout, ..sharp() });
        let x = 0.03 + f64::from(turn) * 0.113;
        prop_assert!((t.signal(x + offset) - t.signal(0.03 + offset)).abs() < 1e-5);
        prop_assert_eq!(t.nearest(x).number, i64::from(turn));
    }

    #[test]
    fn added_film_never_raises_the_mark(
        from in 0.09..0.11_f64, length in 1e-4..5e-3_f64, mu_t in 0.0..3.0_f64, x in 0.0995..0.1005_f64,
    ) {
        let mut map = SurfaceMap::new();
        map.paint(from, from + length, Film { mu_t, scatter: 0.1, kappa_s: 0.4 });
        let dirty = MarkTrack::new(&sharp(), &SurfaceIndex::new(&map, 2, 0.0)).expect("in range");
        prop_assert!(dirty.signal(x) <= track(&sharp()).signal(x) + 1e-12);
    }

    #[test]
    fn any_place_gives_a_finite_signal(layout in layouts(), x in proptest::num::f64::ANY) {
        let signal = track(&MarkParams { layout, ..sharp() }).signal(x);
        prop_assert!((0.0..=8.0).contains(&signal));
    }
}
