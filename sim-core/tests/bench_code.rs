//! The code of an absolute scale on the whole bench: dirt on its track, wrong bits on its line.

mod bench_rig;

use bench_rig::{Log, absolute, give, kinds, off_counts, run_until, steps, words};
use sim_core::monitor::MonitorKind;
use sim_core::record::Doing;
use sim_core::setup::BenchId;

#[test]
fn dirt_on_the_code_track_stops_the_axis_at_its_place_and_leaves_the_lines_alone() {
    let mut sim = absolute(BenchId::SmallMill, 100.0);
    give(&mut sim, r#"{"break":{"fault":"code-dirt","severity_percent":50,"at_mm":150}}"#);
    let mut log = Log::default();
    give(&mut sim, r#"{"jog":{"direction":"forward","speed_m_per_min":3}}"#);
    run_until(&mut sim, Doing::Tripped, 3.0, &mut log);
    assert_eq!(kinds(&log), [MonitorKind::CodeRead], "{:?}", words(&log));
    assert!((140.0..153.0).contains(&(sim.record().table_m * 1e3)), "{}", sim.record().table_m);
    assert!(sim.record().contrast > 0.99 && sim.record().amplitude_a_v > 0.45);
    let why = sim.command(&bench_rig::command(r#""acknowledge""#)).unwrap_err();
    assert!(why.contains("cannot be read"), "{why}");
    give(&mut sim, r#""wipe_all""#);
    sim.advance(steps(0.01), &mut ());
    give(&mut sim, r#""acknowledge""#);
    assert!(sim.record().referenced && off_counts(&sim).abs() <= 1.0, "{}", off_counts(&sim));
}

#[test]
fn wrong_bits_on_the_line_stop_the_axis_anywhere() {
    let mut sim = absolute(BenchId::RouterGantry, 100.0);
    give(&mut sim, r#"{"break":{"fault":"code-bits","severity_percent":100}}"#);
    let mut log = Log::default();
    let mut refused = 0;
    for _ in 0..steps(20.0) {
        sim.step(&mut log);
        refused = sim.bench().state.zero.refused;
        if sim.record().alarm {
            break;
        }
    }
    assert_eq!(kinds(&log), [MonitorKind::CodeRead]);
    assert!(refused > 2, "single bad words are bridged: {refused}");
    assert!(words(&log)[1].contains("CRC"), "{:?}", words(&log));
    assert!((sim.record().table_m - 0.1).abs() < 10e-6, "a bridged word moves nothing");
}

// Binomial: at 5e-5 a bit a word of 48 bits is bad once in 417; single ones must not be felt.
#[test]
fn a_single_bad_word_in_motion_is_bridged_by_the_speed() {
    let mut sim = absolute(BenchId::RouterGantry, 100.0);
    give(&mut sim, r#"{"break":{"fault":"code-bits","severity_percent":5}}"#);
    give(&mut sim, r#"{"move_to":{"to_mm":2000,"speed_m_per_min":30}}"#);
    let (mut largest_m, mut refused) = (0.0_f64, 0);
    for _ in 0..steps(4.0) {
        sim.step(&mut ());
        largest_m = largest_m.max((sim.record().error_m - sim.record().expected_m).abs());
        refused = refused.max(sim.bench().state.zero.refused);
    }
    assert!(refused > 2 && !sim.record().alarm, "{refused}");
    // The healthy gantry stays within 0.8 mm of its model at rapid (axis model, presets).
    assert!(largest_m < 0.8e-3, "{largest_m}");
}
