//! Input filter against closed forms and against sampling tick by tick.

use proptest::prelude::*;

use super::*;
use crate::chain::count_limits::counting_speed_limit;
use crate::chain::counter::{CounterParams, CounterState};
use crate::num::random::uniform_at;

const CLOCK: f64 = 10e6;
const LOW: Levels = Levels { a: false, b: false };

fn filter(samples: u32) -> EdgeFilterParams {
    EdgeFilterParams { clock_hz: CLOCK, samples }
}

fn edge(line: InputLine, ticks: f64) -> InputEdge {
    InputEdge { line, at_s: ticks / CLOCK }
}

/// Edges of an ideal square signal running forward, one every `a` ticks.
fn square(n: u32, a: f64, start: f64) -> impl Iterator<Item = InputEdge> {
    (0..n).map(move |i| {
        let line = if i % 2 == 0 { InputLine::A } else { InputLine::B };
        edge(line, start + a * f64::from(i))
    })
}

/// Counts what comes through.
fn count(p: &EdgeFilterParams, ticks: f64, edges: impl Iterator<Item = InputEdge>) -> CounterState {
    let (mut f, mut c) = (EdgeFilterState::at(LOW, false), CounterState::default());
    c.step(&CounterParams::default(), LOW, false);
    f.step(p, ticks / CLOCK, edges, |e| {
        c.step(&CounterParams::default(), e.levels, e.mark);
    });
    c
}

// Source: closed form w/T - (N - 1), and 20 000 pulses of random phase.
#[test]
fn axis_v08_a_pulse_passes_by_its_width() {
    for (width, probability) in [(2.0, 0.0), (2.5, 0.5), (3.0, 1.0)] {
        let p = filter(3);
        assert!((p.pass_probability(width / CLOCK) - probability).abs() < 1e-9);
        let n = 20_000;
        let passed = (0..n).filter(|i| {
            let start = 5.0 + uniform_at(17, *i);
            let mut f = EdgeFilterState::at(LOW, false);
            let mut out = 0;
            f.step(&p, 30.0 / CLOCK, [edge(InputLine::A, start), edge(InputLine::A, start + width)], |_| out += 1);
            assert!(out == 0 || out == 2);
            out == 2
        });
        let share = passed.count() as f64 / n as f64;
        assert!((share - probability).abs() <= 0.02, "{width} {share}");
    }
}

// Source: closed form 1 - a/T.
#[test]
fn axis_v09_too_fast_for_the_clock_is_partly_illegal() {
    let n = 50_000;
    let c = count(&filter(1), 40_000.0, square(n, 0.6, 0.123));
    let share = c.illegal_count as f64 / f64::from(n);
    assert!((share - 0.400).abs() <= 0.005, "{share}");
}

// Source: width of a level, 2 a, against N T: 3 T is enough, 2 T is not, and nothing tells.
#[test]
fn axis_v10_too_fast_for_the_filter_is_silent() {
    let n = 10_000;
    let c = count(&filter(3), 16_000.0, square(n, 1.5, 0.37));
    assert_eq!((c.count, c.illegal_count), (i64::from(n), 0));
    let c = count(&filter(3), 11_000.0, square(n, 1.0, 0.37));
    assert!(c.count.abs() < i64::from(n / 100), "{}", c.count);
    assert!(c.illegal_count <= 1, "{}", c.illegal_count);
}

// Source: the formula of the speed limit, by width for N = 3: every edge is counted just below it.
#[test]
fn nothing_is_lost_up_to_the_speed_limit() {
    let (period, v_count) = (20e-6, counting_speed_limit(20e-6, 5.0, CLOCK, 3, 0.0, 0.0));
    let a_ticks = |v: f64| period / (4.0 * 5.0 * v) * CLOCK;
    let at = |v: f64| count(&filter(3), 20_000.0, square(10_000, a_ticks(v), 0.2)).count;
    assert_eq!(at(v_count * 0.9999), 10_000);
    assert!(at(v_count * 1.2) < 10_000);
}

#[test]
fn the_output_comes_two_and_n_ticks_late_at_most() {
    let p = filter(3);
    let mut seen = Vec::new();
    let mut f = EdgeFilterState::at(LOW, false);
    f.step(&p, 20.0 / CLOCK, [edge(InputLine::Mark, 4.01)], |e| seen.push((e.at_s, e.mark)));
    let delay = seen[0].0 - 4.01 / CLOCK;
    assert!(seen[0].1 && delay <= p.delay_s() && delay > p.delay_s() - 1.1 / CLOCK, "{delay}");
}

/// Sampling tick by tick: level at each tick, then N equal samples. Gives the tick and levels of each change.
fn brute_force(p: &EdgeFilterParams, ticks: i64, edges: &[InputEdge]) -> Vec<(i64, [bool; 3])> {
    let mut output = [false; 3];
    let mut run = [0u32; 3];
    let mut out = Vec::new();
    for tick in 1..=ticks {
        let before = output;
        for (line, (output, run)) in output.iter_mut().zip(&mut run).enumerate() {
            let passed = edges.iter().filter(|e| e.line as usize == line && e.at_s * CLOCK <= tick as f64).count();
            let level = passed % 2 == 1;
            *run = if level == *output { 0 } else { *run + 1 };
            if *run == p.samples {
                (*output, *run) = (level, 0);
            }
        }
        if output != before {
            out.push((tick, output));
        }
    }
    out
}

proptest! {
    // Law: working from edges gives what sampling gives, whatever the train and wherever steps cut it.
    #[test]
    fn edges_give_what_sampling_gives(
        gaps in prop::collection::vec((0.0f64..6.0, 0u8..3), 0..60),
        samples in 1u32..6,
        cut in 3.0f64..50.0,
    ) {
        let p = filter(samples);
        let mut t = 0.0;
        let lines = [InputLine::A, InputLine::B, InputLine::Mark];
        let edges: Vec<InputEdge> = gaps.iter().map(|(gap, line)| {
            t += gap;
            edge(lines[usize::from(*line)], t)
        }).collect();
        let total = 400.0;
        let expected = brute_force(&p, total as i64, &edges);
        let mut found = Vec::new();
        let mut f = EdgeFilterState::at(LOW, false);
        let mut start = 0.0;
        while start < total {
            let end = f64::min(start + cut, total);
            let inside = edges.iter().filter(|e| e.at_s * CLOCK > start && e.at_s * CLOCK <= end
                || start == 0.0 && e.at_s == 0.0);
            let shifted = inside.map(|e| InputEdge { at_s: e.at_s - start / CLOCK, ..*e });
            f.step(&p, (end - start) / CLOCK, shifted, |e| {
                let tick = start + e.at_s * CLOCK - 2.0;
                prop_assert_tick(tick, &mut found, e);
            });
            start = end;
        }
        // An edge right on a tick may fall to either side by rounding: such trains say nothing.
        prop_assume!(edges.iter().all(|e| {
            let ticks = e.at_s * CLOCK;
            (ticks - ticks.round()).abs() > 1e-6
        }));
        prop_assert_eq!(found, expected);
    }
}

fn prop_assert_tick(tick: f64, found: &mut Vec<(i64, [bool; 3])>, e: FilteredEdge) {
    assert!((tick - tick.round()).abs() < 1e-6, "{tick}");
    found.push((tick.round() as i64, [e.levels.a, e.levels.b, e.mark]));
}
