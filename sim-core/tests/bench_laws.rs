//! Laws of the whole bench: what must hold on every bench, whatever the numbers.

mod bench_rig;

use bench_rig::{Log, count_m, give, healthy, kept, off_counts, run_until, steps};
use proptest::prelude::*;
use sim_core::axis::machine::FeedbackSource;
use sim_core::bench::Sim;
use sim_core::event::What;
use sim_core::fault::{Group, TABLE};
use sim_core::instrument::digest::Digest;
use sim_core::instrument::summary::Summary;
use sim_core::instrument::table::{Row, Table};
use sim_core::record::{Doing, STEP_S};
use sim_core::setup::{BenchId, Setup};

/// A smear, a move over it and a homing: enough for every instrument to have something to see.
fn lively(sim: &mut Sim, tap: &mut impl sim_core::record::Tap) {
    give(sim, r#"{"smear":{"from_mm":60,"to_mm":62,"blocked_percent":95}}"#);
    give(sim, r#"{"jog":{"direction":"forward","speed_m_per_min":4}}"#);
    sim.advance(steps(0.6), tap);
    give(sim, r#""stop""#);
    sim.advance(steps(0.5), tap);
}

#[test]
fn looking_changes_nothing() {
    for bench in BenchId::ALL {
        let (mut unseen, mut seen) = (healthy(bench, 40.0), healthy(bench, 40.0));
        lively(&mut unseen, &mut ());
        let mut rows = 0;
        let mut taps = ((Summary::default(), Digest::default()), (Log::default(), Table::new(7, |_: &Row| rows += 1)));
        lively(&mut seen, &mut taps);
        assert!(kept(&unseen) == kept(&seen), "{bench:?}");
        assert_eq!(unseen.record(), seen.record());
        let ((summary, _), (log, _)) = taps;
        assert!(summary.time_s > 1.0 && !log.0.is_empty() && rows > 100, "the taps saw nothing");
    }
}

#[test]
fn a_fault_at_severity_nought_gives_the_same_bits() {
    for bench in BenchId::ALL {
        let run = |faults: &[&str]| {
            let (mut sim, mut digest) = (healthy(bench, 40.0), Digest::default());
            for name in faults {
                give(&mut sim, &format!(r#"{{"break":{{"fault":"{name}","severity_percent":0,"at_mm":50}}}}"#));
            }
            lively(&mut sim, &mut digest);
            (kept(&sim), digest.hex())
        };
        let healthy = run(&[]);
        for row in &TABLE {
            assert!(run(&[row.name]) == healthy, "{} on {bench:?}", row.name);
        }
        assert!(run(&TABLE.each_ref().map(|row| row.name)) == healthy, "all on {bench:?}");
    }
}

/// Putting a fault in and taking it out at standstill leaves the parameters that were there.
#[test]
fn a_mended_fault_leaves_no_trace() {
    for bench in BenchId::ALL {
        for row in &TABLE {
            let mut sim = healthy(bench, 40.0);
            let before = sim.params().clone();
            give(&mut sim, &format!(r#"{{"break":{{"fault":"{}","severity_percent":70}}}}"#, row.name));
            // What drives the table is not alike on all machines; the signal chain is.
            if row.group < Group::DriveTrain {
                assert_ne!(*sim.params(), before, "{} does nothing", row.name);
            }
            give(&mut sim, &format!(r#"{{"mend":"{}"}}"#, row.name));
            assert_eq!(*sim.params(), before, "{}", row.name);
        }
    }
}

/// Resolution by hand: period over four counts times interpolation. 1 mm / 4 = 250 um on the teaching rail (no
/// interpolation), 40 um / (4 x 5) = 2 um on the gantry, 20 um / (4 x 5) = 1 um on the mill.
#[test]
fn resolution_is_period_over_four_times_interpolation() {
    for (bench, by_hand_m) in
        [(BenchId::TeachingRail, 250e-6), (BenchId::RouterGantry, 2e-6), (BenchId::SmallMill, 1e-6)]
    {
        let mut sim = healthy(bench, 100.0);
        assert!((count_m(&sim) - by_hand_m).abs() < 1e-12, "{bench:?}: {} m", count_m(&sim));
        // And that is what the count does: 10 mm are that many counts.
        let from = sim.record().count;
        give(&mut sim, r#"{"move_by":{"by_mm":10,"speed_m_per_min":3}}"#);
        sim.advance(steps(2.0), &mut ());
        let wanted = (10e-3 / by_hand_m).round() as i64;
        assert!((sim.record().count - from - wanted).abs() <= 1, "{bench:?}: {}", sim.record().count - from);
    }
}

/// Following error in steady motion with velocity feed-forward: v (1 - kff) / Kv (textbook formula of a proportional
/// position loop). Gantry at 20 m/min: 0.3333 m/s x (1 - 0.8) / 20 1/s = 3.333 mm.
#[test]
fn following_error_is_speed_over_gain() {
    let mut sim = healthy(BenchId::RouterGantry, 200.0);
    give(&mut sim, r#"{"jog":{"direction":"forward","speed_m_per_min":20}}"#);
    sim.advance(steps(1.5), &mut ());
    let mut sum = 0.0;
    for _ in 0..steps(0.5) {
        sim.step(&mut ());
        sum += sim.record().error_m;
        assert!((sim.record().expected_m - 3.3333e-3).abs() < 0.01e-3, "expected {}", sim.record().expected_m);
    }
    let mean_mm = sum / steps(0.5) as f64 * 1e3;
    // Two counts of 2 um, and the hold of a position period of 1 ms adds no lag to what the control itself sees.
    assert!((mean_mm - 3.333).abs() < 0.02, "{mean_mm} mm");
}

/// Most that a sound count may be off: half a count to either side, the hysteresis of the input (a quarter count of
/// the interpolation; thresholds off centre and hysteresis of the comparators about as much), and the lag of the
/// amplifier, v / (2 pi f) (first-order low-pass).
fn allowed_counts(sim: &Sim) -> f64 {
    let lag_m = sim.record().speed_mps.abs() / (std::f64::consts::TAU * sim.params().scale.bandwidth_hz);
    0.5 + 0.35 + lag_m / count_m(sim)
}

fn benches() -> impl Strategy<Value = BenchId> {
    prop::sample::select(BenchId::ALL.to_vec())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn on_a_clean_scale_no_count_is_lost_at_any_legal_speed_and_the_way_back_leads_back(
        bench in benches(),
        share in 0.02..1.0_f64,
        by_mm in 5.0..150.0_f64,
        start_mm in 50.0..200.0_f64,
        seed in any::<u32>(),
    ) {
        let setup = Setup::healthy(bench);
        let speed = share * setup.machine().spec().limits.speed * 60.0;
        let mut sim = Sim::start(setup, seed, start_mm * 1e-3);
        let from = sim.record().count;
        for way in [by_mm, -by_mm] {
            give(&mut sim, &format!(r#"{{"move_by":{{"by_mm":{way},"speed_m_per_min":{speed}}}}}"#));
            for _ in 0..steps(60.0) {
                sim.step(&mut ());
                let (off, allowed) = (off_counts(&sim), allowed_counts(&sim));
                prop_assert!(off.abs() <= allowed, "{} counts off at {} m, {} allowed", off, sim.record().table_m, allowed);
                if sim.record().doing == Doing::Holding {
                    break;
                }
            }
            sim.advance(steps(0.4), &mut ());
        }
        // The control may come to rest in the neighbouring count; the count itself was checked against the table. A loop
        // that is closed on the motor leaves the play and the wind-up of the drive.
        let masses = &sim.compiled().axis.plant;
        let lost = match sim.params().machine.control.feedback {
            FeedbackSource::Motor => (masses.lost_motion(masses.table_dry_n(0.1, 0.0)) / count_m(&sim)).ceil() as i64,
            FeedbackSource::Scale => 0,
        };
        prop_assert!((sim.record().count - from).abs() <= 1 + lost, "{} counts after the way back", sim.record().count - from);
        prop_assert_eq!(sim.record().illegal, 0);
        prop_assert!(!sim.record().alarm);
    }

    #[test]
    fn after_any_loss_homing_makes_the_readout_right_again(
        bench in benches(),
        width_mm in 0.5..18.0_f64,
        blocked in 80.0..100.0_f64,
        speed in 1.0..12.0_f64,
    ) {
        let mut sim = healthy(bench, 40.0);
        let speed = speed.min(0.9 * 60.0 * sim.params().machine.limits.speed);
        let to_mm = 60.0 + width_mm;
        give(&mut sim, &format!(r#"{{"smear":{{"from_mm":60,"to_mm":{to_mm},"blocked_percent":{blocked}}}}}"#));
        give(&mut sim, &format!(r#"{{"jog":{{"direction":"forward","speed_m_per_min":{speed}}}}}"#));
        sim.advance(steps(0.045 / (speed / 60.0)), &mut ());
        give(&mut sim, r#""stop""#);
        sim.advance(steps(1.0), &mut ());
        give(&mut sim, r#""wipe_all""#);
        if sim.record().alarm {
            give(&mut sim, r#""acknowledge""#);
        }
        give(&mut sim, r#""home""#);
        sim.step(&mut ());
        run_until(&mut sim, Doing::Holding, 60.0, &mut ());
        prop_assert!(sim.record().referenced, "not homed");
        prop_assert!(off_counts(&sim).abs() <= 1.0, "{} counts off after homing", off_counts(&sim));
        prop_assert!(!sim.record().alarm);
    }

    /// The log tells as many counts as are missing: whole periods, since the input loses nothing else.
    #[test]
    fn the_narrator_tells_the_loss_that_happened(
        width_mm in 1.2..2.2_f64,
        from_mm in 150.0..200.0_f64,
        speed in 14.0..20.0_f64,
    ) {
        let mut sim = healthy(BenchId::RouterGantry, 100.0);
        let mut log = Log::default();
        let to_mm = from_mm + width_mm;
        give(&mut sim, &format!(r#"{{"smear":{{"from_mm":{from_mm},"to_mm":{to_mm},"blocked_percent":90}}}}"#));
        give(&mut sim, &format!(r#"{{"move_to":{{"to_mm":300,"speed_m_per_min":{speed}}}}}"#));
        sim.step(&mut log);
        run_until(&mut sim, Doing::Holding, 10.0, &mut log);
        prop_assert!(!sim.record().alarm, "the smear is not narrow");
        let told: Vec<(i64, f64)> = log.0.iter().filter_map(|e| match e.what {
            What::CountResumes { lost_counts, lost_m } => Some((lost_counts, lost_m)),
            _ => None,
        }).collect();
        let missing = -off_counts(&sim);
        let told_counts: i64 = told.iter().map(|(counts, _)| counts).sum();
        prop_assert!((told_counts as f64 - missing).abs() <= 1.0, "told {:?}, missing {}", told, missing);
        if let Some((_, lost_m)) = told.last() {
            prop_assert!((lost_m / count_m(&sim) - missing).abs() <= 1.0, "told {} m, missing {}", lost_m, missing);
        }
        let periods = missing / 20.0;
        prop_assert!((periods - periods.round()).abs() * 20.0 <= 1.0, "{} counts are no whole periods", missing);
    }
}

/// 2 mm at 90 %: 26 periods of 40 um do not reach the input's least signal, 520 counts of 2 um. (At the head itself it
/// would be 25; the resistance of 15 m of cable takes the rest.)
#[test]
fn the_narrow_smear_is_told_with_its_size() {
    let mut sim = healthy(BenchId::RouterGantry, 1400.0);
    let mut log = Log::default();
    give(&mut sim, r#"{"smear":{"from_mm":1514,"to_mm":1516,"blocked_percent":90}}"#);
    give(&mut sim, r#"{"move_to":{"to_mm":1700,"speed_m_per_min":20}}"#);
    sim.advance(steps(3.0), &mut log);
    let told: Vec<String> = log.0.iter().map(|e| e.words()).collect();
    let line = told.iter().find(|w| w.starts_with("Counting again")).expect("it is told");
    assert!(line.contains("520 counts were lost: the readout is off by 1.040 mm"), "{told:#?}");
    assert!((sim.time_s() - 3.0).abs() < STEP_S);
}
