//! Checks of the counter against its state table and its laws.

use proptest::prelude::*;

use super::*;
use crate::chain::count_limits::unseen_edges;

/// "00 10 11" to levels; the first digit is A.
fn train(text: &str) -> Vec<Levels> {
    text.split_whitespace().map(|t| Levels { a: t.as_bytes()[0] == b'1', b: t.as_bytes()[1] == b'1' }).collect()
}

fn params(mode: CountMode) -> CounterParams {
    CounterParams { mode, ..CounterParams::default() }
}

/// Running counts after each sample but the first.
fn counts(p: &CounterParams, text: &str) -> (Vec<i64>, CounterState) {
    let mut s = CounterState::default();
    let list = train(text).into_iter().map(|l| (s.step(p, l, false), s.count).1).skip(1).collect();
    (list, s)
}

fn last(mode: CountMode, text: &str) -> i64 {
    counts(&params(mode), text).1.count
}

// V01..V07: source is the state table of a two-channel quadrature decoder (common practice).
#[test]
fn axis_v01_two_periods_forward() {
    let t = "00 10 11 01 00 10 11 01 00";
    assert_eq!(last(CountMode::X1, t), 2);
    assert_eq!(last(CountMode::X2, t), 4);
    let (_, s) = counts(&params(CountMode::X4), t);
    assert_eq!((s.count, s.illegal_count, s.direction), (8, 0, 1));
}

// Source: the state table of quadrature counting, by hand.
#[test]
fn axis_v02_running_counts_with_reversal() {
    let t = "00 10 11 01 11 10 00 01 00 10";
    assert_eq!(counts(&params(CountMode::X4), t).0, [1, 2, 3, 2, 1, 0, -1, 0, 1]);
    assert_eq!(counts(&params(CountMode::X2), t).0, [1, 1, 2, 1, 1, 0, 0, 0, 1]);
    assert_eq!(counts(&params(CountMode::X1), t).0, [1, 1, 1, 1, 1, 0, 0, 0, 1]);
}

// Source: the state table, by hand (axis model 1.3).
#[test]
fn axis_v03_illegal_transition_by_policy() {
    let t = "00 10 11 00 10 11";
    let run = |policy| counts(&CounterParams { policy, ..params(CountMode::X4) }, t).1;
    let hold = run(IllegalPolicy::Hold);
    assert_eq!((hold.count, hold.illegal_count, hold.unsure), (4, 1, true));
    let last = run(IllegalPolicy::LastDirection);
    assert_eq!((last.count, last.illegal_count), (6, 1));
    assert_eq!(run(IllegalPolicy::Freeze).count, 2);
}

// Source: the state table, by hand (axis model 1.7).
#[test]
fn axis_v04_glitch_over_an_edge_loses_a_period() {
    let glitch = last(CountMode::X4, "10 00 01 11");
    let clean = last(CountMode::X4, "10 11");
    assert_eq!((glitch, clean, clean - glitch), (-3, 1, 4));
}

// Source: the state table, by hand (axis model 1.2).
#[test]
fn axis_v05_dither_drifts_only_when_counted_naively() {
    let t = "00 10 00 10 00 10 00";
    assert_eq!(last(CountMode::NaiveX1, t), 3);
    assert_eq!(last(CountMode::X1, t), 0);
    assert_eq!(last(CountMode::X4, t), 0);
    assert_eq!(last(CountMode::X4, "10 00 10 11"), 1);
}

// Source: the state table, by hand (axis model 1.7).
#[test]
fn axis_v06_skewed_bursts_walk_the_count() {
    assert_eq!(last(CountMode::X4, "00 10 11 01 00"), 4);
    assert_eq!(last(CountMode::X4, "00 01 11 10 00"), -4);
    assert_eq!(last(CountMode::X4, "00 10 11 10 00"), 0);
}

// Source: arithmetic modulo 4 (axis model 1.4).
#[test]
fn axis_v07_unseen_edges() {
    for (n_true, change, illegal) in [(27, -1, false), (26, 0, true), (45, 1, false), (-29, -1, false)] {
        let p = params(CountMode::X4);
        let mut s = CounterState::default();
        s.step(&p, Levels::of_state(0), false);
        let seen = s.step(&p, Levels::of_state(n_true), false);
        assert_eq!((seen.change, seen.illegal), (change, illegal), "{n_true} edges");
        let formula = unseen_edges(n_true);
        assert_eq!(formula.seen, if illegal { None } else { Some(change) });
        assert_eq!(formula.lost, n_true - change);
    }
}

#[test]
fn one_channel_counts_up_in_both_directions() {
    let there_and_back = "00 10 11 01 00 10 11 01 00 01 11 10 00 01 11 10 00";
    assert_eq!(last(CountMode::OneChannel, there_and_back), 4);
    assert_eq!(last(CountMode::X4, there_and_back), 0);
    assert_eq!(last(CountMode::OneChannel, "00 01 11 10 00"), 1);
}

#[test]
fn mark_is_latched_after_the_update_so_both_directions_agree() {
    let p = params(CountMode::X4);
    let mut s = CounterState::default();
    let mark_at = |n: i64| (4..=8).contains(&n);
    for n in (0..=12).chain((0..12).rev()) {
        s.step(&p, Levels::of_state(n), mark_at(n));
    }
    assert_eq!((s.latch_number, s.latches), (2, [Some(6), Some(6)]));
}

#[test]
fn reset_keeps_the_signal_state_and_the_latch_number() {
    let p = params(CountMode::X4);
    let mut s = CounterState::default();
    for n in 0..=6 {
        s.step(&p, Levels::of_state(n), true);
    }
    s.reset();
    assert_eq!((s.count, s.latches, s.latch_number), (0, [None, None], 2));
    s.step(&p, Levels::of_state(7), false);
    assert_eq!(s.count, 1);
}

const BOUNDARY_MODES: [CountMode; 3] = [CountMode::X1, CountMode::X2, CountMode::X4];

proptest! {
    // Source: the definition of `pass`.
    #[test]
    fn many_steps_at_once_are_the_same_as_one_by_one(
        moves in prop::collection::vec(-9_i64..9, 1..30),
        mode in prop::sample::select(vec![CountMode::X1, CountMode::X2, CountMode::X4]),
    ) {
        let p = params(mode);
        let start = CounterState { levels: Some(Levels::of_state(1)), ..CounterState::at(5) };
        let (mut one_by_one, mut at_once, mut at) = (start.clone(), start, 1);
        for way in moves {
            let to = at + way;
            prop_assert!(at_once.pass(&p, (at, to)));
            while at != to {
                at += way.signum();
                one_by_one.step(&p, Levels::of_state(at), false);
            }
            prop_assert_eq!(&one_by_one, &at_once);
        }
        prop_assert!(!at_once.pass(&p, (at + 1, at)), "the levels are those of another state");
        prop_assert!(!at_once.pass(&params(CountMode::NaiveX1), (at, at + 1)));
    }
}

proptest! {
    // Law: a walk of single edges that returns to its start returns every count to zero.
    #[test]
    fn round_trip_returns_exactly(start in 0i64..4, walk in prop::collection::vec(any::<bool>(), 0..300)) {
        let mut path = vec![start];
        for up in walk {
            path.push(path[path.len() - 1] + if up { 1 } else { -1 });
        }
        let end = path[path.len() - 1];
        let home: Vec<i64> = if end > start { (start..end).rev().collect() } else { (end + 1..=start).collect() };
        path.extend(home);
        for mode in BOUNDARY_MODES {
            let mut s = CounterState::default();
            for n in &path {
                s.step(&params(mode), Levels::of_state(*n), false);
            }
            prop_assert_eq!((s.count, s.illegal_count), (0, 0));
        }
    }

    // Law: x4 equals the number of boundaries crossed, x2 and x1 the number of theirs.
    #[test]
    fn count_is_the_number_of_boundaries(start in -20i64..20, end in -400i64..400) {
        let step = if end >= start { 1 } else { -1 };
        for (mode, spacing) in [(CountMode::X4, 1), (CountMode::X2, 2), (CountMode::X1, 4)] {
            let mut s = CounterState::default();
            let mut n = start;
            s.step(&params(mode), Levels::of_state(n), false);
            while n != end {
                n += step;
                s.step(&params(mode), Levels::of_state(n), false);
            }
            // Boundaries lie above every state that is a multiple of `spacing`.
            let below = |n: i64| (n - 1).div_euclid(spacing);
            prop_assert_eq!(s.count, below(end) - below(start));
        }
    }

    // Law: under Hold an illegal transition never changes the count.
    #[test]
    fn illegal_never_changes_the_count_under_hold(states in prop::collection::vec(0i64..4, 1..200)) {
        for mode in BOUNDARY_MODES {
            let mut s = CounterState::default();
            for k in &states {
                let before = s.count;
                let illegal_before = s.illegal_count;
                let out = s.step(&params(mode), Levels::of_state(*k), false);
                prop_assert_eq!(out.illegal, s.illegal_count > illegal_before);
                prop_assert!(!out.illegal || s.count == before);
                prop_assert!((s.count - before).abs() <= 1);
            }
        }
    }
}
