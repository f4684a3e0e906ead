//! The input filter and the counter on the whole bench: what is counted, and what too long a filter or too narrow a
//! counter do.

mod bench_rig;

use bench_rig::square::{bench, break_it, move_by};
use bench_rig::{Log, count_m, give, kept, off_counts, resumed, steps};
use proptest::prelude::*;
use sim_core::bench::Sim;
use sim_core::chain::count_limits::counting_speed_limit;
use sim_core::event::What;
use sim_core::monitor::MonitorKind;
use sim_core::params::INPUT_CLOCK_HZ;
use sim_core::setup::{BenchId, Counting, Feedback, HeadOutput, Setup};

/// A bench whose loop is closed over the motor encoder, so that a count that goes wrong leads nothing astray.
fn start(id: BenchId, output: HeadOutput, samples: f64, interpolation: f64) -> Sim {
    let change = |setup: &mut Setup| {
        setup.servo.feedback = Feedback::Motor;
        setup.input.filter_samples = samples;
        setup.input.interpolation = interpolation;
    };
    bench(id, output, change, 100.0)
}

/// Highest speed that the filter passes, m/s (axis model 1.6), with room for a phase error.
fn legal_mps(sim: &Sim, samples: f64) -> f64 {
    let (period, factor) = (sim.params().scale.period_m, f64::from(sim.params().factor()));
    counting_speed_limit(period, factor, INPUT_CLOCK_HZ, (samples as u32).max(1), 20.0, 0.05)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    /// Source: axis model 1.6: no loss is guaranteed while a >= T_c and w >= N T_c. Sine and square, filtered or not, out
    /// and back at any speed that is legal: the count is where the table is.
    #[test]
    fn the_count_is_the_place_while_the_signals_are_legal(
        mill in any::<bool>(), square in any::<bool>(),
        samples in prop_oneof![Just(0.0), Just(1.0), Just(3.0), (2..60_u32).prop_map(f64::from)],
        interpolation in prop::sample::select(vec![1.0, 5.0, 20.0]),
        share in 0.05..0.95_f64, mm in 3.0..20.0_f64,
    ) {
        let id = if mill { BenchId::SmallMill } else { BenchId::RouterGantry };
        let output = if square { HeadOutput::Square } else { HeadOutput::Sine };
        let mut sim = start(id, output, samples, interpolation);
        let most = legal_mps(&sim, samples).min(sim.params().machine.limits.speed);
        let speed = (share * most).max(1e-3);
        // What the line, the amplifier and the filter let the count lag in motion.
        let lag = 2.0 + speed * (2e-6 + 1e-7 * (2.0 + samples)) / count_m(&sim);
        for way in [mm, -mm] {
            move_by(&mut sim, way, speed * 60.0);
            let moving = steps((mm * 1e-3 / speed).min(2.0) + 0.3);
            for _ in 0..moving {
                sim.step(&mut ());
                prop_assert!(off_counts(&sim).abs() <= lag, "{} counts at {speed} m/s", off_counts(&sim));
            }
            give(&mut sim, r#""stop""#);
            sim.advance(steps(0.3), &mut ());
            prop_assert!(off_counts(&sim).abs() <= 1.0, "{} counts at rest", off_counts(&sim));
        }
        prop_assert_eq!(sim.record().illegal, 0);
        // Kept in the middle of it, the bench goes on to the bit.
        move_by(&mut sim, mm, speed * 60.0);
        sim.advance(1237, &mut ());
        let mut again = resumed(&kept(&sim));
        sim.advance(500, &mut ());
        again.advance(500, &mut ());
        prop_assert!(kept(&again) == kept(&sim));
    }
}

/// Source: axis model 1.6 and the fault's row: at full severity counts are lost from 0.3 v_max on, slower all is right,
/// and no illegal transition tells of it.
#[test]
fn too_long_a_filter_loses_counts_only_fast_and_says_nothing() {
    for output in [HeadOutput::Sine, HeadOutput::Square] {
        let run = |speed_mps: f64| {
            let mut sim = start(BenchId::RouterGantry, output, 0.0, 5.0);
            break_it(&mut sim, "filter-long", 100.0);
            move_by(&mut sim, 150.0, speed_mps * 60.0);
            sim.advance(steps(0.15 / speed_mps + 0.8), &mut ());
            assert!((sim.record().table_m - 0.25).abs() < 1e-4, "{}", sim.record().table_m);
            (off_counts(&sim).abs(), sim.record().illegal)
        };
        let limit = 0.3 * 0.8;
        let (slow, fast) = (run(0.9 * limit), run(1.3 * limit));
        assert!(slow.0 <= 1.0 && slow.1 == 0, "{output:?} {slow:?}");
        assert!(fast.0 > 1000.0 && fast.1 <= 2, "{output:?} {fast:?}");
    }
}

/// Source: axis model 1.8 and the fault's row: the jump is 2^16 counts, at one place, and stops the axis.
#[test]
fn a_narrow_counter_jumps_by_its_width() {
    let mut sim = bench(BenchId::RouterGantry, HeadOutput::Sine, |_| {}, 100.0);
    break_it(&mut sim, "counter-narrow", 100.0);
    let mut log = Log::default();
    move_by(&mut sim, 100.0, 10.0);
    sim.advance(steps(0.8), &mut log);
    assert!((off_counts(&sim) + 65_536.0).abs() <= 1.0, "{}", off_counts(&sim));
    let alarm = log.0.iter().find_map(|e| match e.what {
        What::Monitor { kind, warning: false, value, .. } => Some((kind, value, e.place_m)),
        _ => None,
    });
    let (kind, value, place) = alarm.expect("it is told");
    assert_eq!(kind, MonitorKind::PositionJump);
    // From 0 up, signed: 32 768 counts of 2 um after the place where it was switched on.
    assert!((value - 65_536.0 * 2e-6).abs() < 1e-3 && (place - 0.1655).abs() < 1e-3, "{value} {place}");
    assert!(!sim.record().referenced);
}

/// Source: axis model 1.2 and V05: rising edges of A with the level of B for a sign count right where A and B are clean.
#[test]
fn the_naive_counting_is_right_on_a_clean_way() {
    let mut sim = bench(BenchId::TeachingRail, HeadOutput::Sine, |s| s.input.counting = Counting::X1Naive, 100.0);
    move_by(&mut sim, 20.0, 3.0);
    sim.advance(steps(2.0), &mut ());
    assert_eq!(sim.record().count, 20);
    move_by(&mut sim, -20.0, 3.0);
    sim.advance(steps(2.0), &mut ());
    assert!(sim.record().count.abs() <= 1, "{}", sim.record().count);
}
