//! A head that sends square waves, and what the control makes of a bad signal: laws and signatures on the whole bench.

mod bench_rig;

use bench_rig::square::{Volts, bench, break_it, gantry, move_by, told};
use bench_rig::{Finite, Log, count_m, give, kept, off_counts, resumed, run_until, steps};
use proptest::prelude::*;
use sim_core::chain::loss::SignalFault;
use sim_core::chain::wiring::Pair;
use sim_core::instrument::digest::Digest;
use sim_core::monitor::signal::SignalMonitor;
use sim_core::record::Doing;
use sim_core::setup::{BenchId, Feedback, HeadOutput, Setup};

/// The law of the feature: the same light, the same factor, the same count, whether the head or the control squares.
/// The loop is closed by the motor encoder, so that both tables go the very same way.
#[test]
fn square_and_sine_count_the_same_way_at_any_speed_and_factor() {
    for (id, factor, speeds) in [
        (BenchId::RouterGantry, 1.0, [0.5, 7.0, 20.0]),
        (BenchId::RouterGantry, 5.0, [0.5, 7.0, 20.0]),
        (BenchId::RouterGantry, 100.0, [0.5, 7.0, 20.0]),
        (BenchId::SmallMill, 5.0, [0.2, 3.0, 10.0]),
        (BenchId::SmallMill, 25.0, [0.2, 3.0, 10.0]),
    ] {
        for speed in speeds {
            let start = |output| {
                let change = |setup: &mut Setup| {
                    setup.input.interpolation = factor;
                    setup.servo.feedback = Feedback::Motor;
                };
                bench(id, output, change, 100.0)
            };
            let (mut sine, mut square) = (start(HeadOutput::Sine), start(HeadOutput::Square));
            let mm = if speed < 1.0 { 2.0 } else { 60.0 };
            for way in [mm, -mm / 2.0] {
                move_by(&mut sine, way, speed);
                move_by(&mut square, way, speed);
                for _ in 0..steps(0.7) {
                    sine.step(&mut ());
                    square.step(&mut ());
                    let (one, other) = (sine.record(), square.record());
                    assert_eq!(one.table_m, other.table_m);
                    let off = (one.count - other.count).abs();
                    assert!(off <= 1, "{id:?}, factor {factor}, {speed} m/min at {} m: {off} apart", one.table_m);
                }
            }
            assert_eq!((sine.record().illegal, square.record().illegal), (0, 0));
            let moved = (sine.record().table_m - 0.1).abs();
            assert!(square.record().count.abs() > 1000 || moved > 1e-3 * mm / 4.0, "nothing moved");
        }
    }
}

/// 3.4 V over 15 m of AWG 26 and 120 ohm: some 2.8 V either way, at least the 2 V of TIA/EIA-422-B (from memory); by
/// hand in the tests of the line. One edge of A is two counts: 20 mm are 10 000 counts of 2 um, 5000 edges.
#[test]
fn a_scope_at_the_control_sees_the_levels_of_the_standard() {
    let mut sim = gantry(HeadOutput::Square);
    let mut volts = Volts::default();
    sim.advance(steps(0.1), &mut ());
    move_by(&mut sim, 20.0, 12.0);
    sim.advance(steps(0.8), &mut volts);
    for (low, high) in [volts.a, volts.b] {
        assert!((2.0..3.0).contains(&high) && (-3.0..-2.0).contains(&low), "{low} {high}");
    }
    assert!(volts.edges.abs_diff(5000) <= 4, "{}", volts.edges);
    assert!(sim.record().a_ok && sim.record().b_ok && sim.record().signal.is_none());
}

#[test]
fn the_reference_mark_goes_over_the_third_pair() {
    let home = |fault: Option<&str>| {
        let mut sim = bench(BenchId::SmallMill, HeadOutput::Square, |_| {}, 60.0);
        if let Some(fault) = fault {
            give(&mut sim, fault);
        }
        give(&mut sim, r#""home""#);
        sim.step(&mut ());
        for _ in 0..steps(60.0) {
            sim.step(&mut ());
            if sim.record().doing != Doing::Homing {
                break;
            }
        }
        (sim.record().referenced, off_counts(&sim))
    };
    let (referenced, off) = home(None);
    assert!(referenced && off.abs() <= 1.0, "{referenced}, {off} counts off");
}

/// Switching over at standstill keeps the readout.
#[test]
fn switching_the_output_over_keeps_the_readout() {
    let mut sim = gantry(HeadOutput::Sine);
    for word in ["square", "sine", "square"] {
        let before_m = sim.record().counted_m;
        give(&mut sim, &format!(r#"{{"set":{{"head":{{"output":"{word}"}}}}}}"#));
        sim.advance(steps(0.2), &mut ());
        assert!((sim.record().counted_m - before_m).abs() <= 1.01 * count_m(&sim), "{word}");
        assert!(!sim.record().alarm);
    }
}

#[test]
fn kept_and_gone_on_is_the_same_run() {
    let run = |keep: bool| {
        let (mut sim, mut digest) = (gantry(HeadOutput::Square), Digest::default());
        break_it(&mut sim, "flex-break", 60.0);
        move_by(&mut sim, 30.0, 12.0);
        for step in 0..4000 {
            sim.step(&mut digest);
            if keep && step % 97 == 0 {
                sim = resumed(&kept(&sim));
            }
        }
        (kept(&sim), digest.hex())
    };
    assert!(run(false) == run(true));
}

/// What each wiring fault leaves of the channels, on a moving table in log mode: (fault, percent, flags a and b,
/// what is told first, whether the count still follows).
#[test]
fn every_wiring_fault_has_its_signature_in_square_mode() {
    use SignalFault::{ChannelStands, CommonMode, PairMissing};

    type Case = (&'static str, f64, (bool, bool), Option<SignalFault>, bool);
    let cases: [Case; 9] = [
        ("conductor-open", 100.0, (false, true), Some(PairMissing(Pair::A)), false),
        // A resistance of 500 ohm is nothing to a receiver that asks for 0.2 V.
        ("conductor-open", 50.0, (true, true), None, true),
        ("conductor-short", 100.0, (true, false), Some(ChannelStands(Pair::B)), false),
        ("conductor-supply", 100.0, (false, true), Some(ChannelStands(Pair::A)), false),
        ("contact-poor", 100.0, (true, true), None, true),
        ("supply-thin", 40.0, (true, true), None, true),
        ("termination-missing", 100.0, (true, true), None, true),
        ("ground-lift", 100.0, (true, true), Some(CommonMode(Pair::A)), false),
        ("input-damaged", 100.0, (true, false), None, false),
    ];
    for (fault, percent, flags, first, follows) in cases {
        // The drive follows the motor, so that a lost count does not stop the table.
        let mut sim =
            bench(BenchId::RouterGantry, HeadOutput::Square, |setup| setup.servo.feedback = Feedback::Motor, 200.0);
        let mut log = Log::default();
        break_it(&mut sim, fault, percent);
        sim.advance(steps(0.05), &mut log);
        move_by(&mut sim, 20.0, 6.0);
        sim.advance(steps(0.4), &mut log);
        let r = *sim.record();
        assert_eq!((r.a_ok, r.b_ok), flags, "{fault} {percent}: flags");
        let (faults, _) = told(&log);
        if let Some(first) = first {
            assert_eq!(faults.first(), Some(&first), "{fault} {percent}");
        } else if follows {
            assert!(faults.is_empty(), "{fault} {percent}: {faults:?}");
        }
        assert_eq!(off_counts(&sim).abs() <= 2.0, follows, "{fault} {percent}: {} off", off_counts(&sim));
    }
}

/// Exchanged wires: the count goes the other way (axis model 1.12), and the levels are good all the time.
#[test]
fn exchanged_wires_count_backwards_with_good_levels() {
    for fault in ["pairs-swapped", "channel-inverted"] {
        for output in [HeadOutput::Sine, HeadOutput::Square] {
            let mut sim = bench(BenchId::RouterGantry, output, |setup| setup.servo.feedback = Feedback::Motor, 200.0);
            let mut log = Log::default();
            break_it(&mut sim, fault, 100.0);
            sim.advance(steps(0.1), &mut log);
            let from = sim.record().count;
            move_by(&mut sim, 10.0, 6.0);
            sim.advance(steps(1.0), &mut log);
            let counted = sim.record().count - from;
            // Less what the play and the wind-up of the drive take, in counts of 2 um.
            let masses = &sim.compiled().axis.plant;
            let lost = (masses.lost_motion(masses.table_dry_n(0.2, 0.0)) / 2e-6) as i64;
            assert!((-5004..=-4996 + lost).contains(&counted), "{fault}, {output:?}: {counted}");
            assert!(sim.record().a_ok && sim.record().b_ok && told(&log).0.is_empty(), "{fault}, {output:?}");
        }
    }
}

/// A square head hides a weak light: at a third of the light the levels at the control are as good as new, while a
/// sine head's control tells.
#[test]
fn a_square_head_hides_weak_light_from_the_control() {
    let run = |output| {
        let mut sim = gantry(output);
        let mut log = Log::default();
        give(&mut sim, r#"{"set":{"head":{"lamp_percent":30}}}"#);
        move_by(&mut sim, 10.0, 6.0);
        sim.advance(steps(0.5), &mut log);
        assert!(off_counts(&sim).abs() <= 1.0, "{output:?} loses counts");
        told(&log).0
    };
    assert!(run(HeadOutput::Square).is_empty());
    assert_eq!(run(HeadOutput::Sine).last(), Some(&SignalFault::AmplitudeLow));
}

/// Axis model 1.6 and 7, edge-limit: the head keeps up to (1 - 0.7 s) of the top speed; above, whole squared periods
/// are lost without an illegal transition.
#[test]
fn slow_outputs_lose_whole_squared_periods_at_rapid_only() {
    let run = |speed: f64| {
        let mut sim =
            bench(BenchId::RouterGantry, HeadOutput::Square, |setup| setup.servo.feedback = Feedback::Motor, 200.0);
        break_it(&mut sim, "edge-limit", 50.0);
        move_by(&mut sim, 300.0, speed);
        sim.step(&mut ());
        run_until(&mut sim, Doing::Holding, 5.0, &mut ());
        sim.advance(steps(0.2), &mut ());
        assert_eq!(sim.record().illegal, 0);
        off_counts(&sim)
    };
    let top = Setup::healthy(BenchId::RouterGantry).machine().spec().limits.speed * 60.0;
    assert!(run(0.6 * top).abs() <= 1.0);
    let lost = run(0.9 * top);
    let periods = lost / 4.0;
    assert!(lost < -100.0 && (periods - periods.round()).abs() <= 0.25, "{lost} counts");
}

/// Axis model 7, bandwidth-low at full severity: corner 0.3 v_max/P, so the amplitude at top speed is
/// 1/sqrt(1 + (1/0.3)^2) = 0.287 of that at rest (one pole).
#[test]
fn a_slow_amplifier_takes_amplitude_with_speed() {
    let mut sim = gantry(HeadOutput::Sine);
    break_it(&mut sim, "bandwidth-low", 100.0);
    sim.step(&mut ());
    let slow = sim.record().amplitude_a_v;
    let top = Setup::healthy(BenchId::RouterGantry).machine().spec().limits.speed;
    give(&mut sim, &format!(r#"{{"jog":{{"direction":"forward","speed_m_per_min":{}}}}}"#, top * 60.0));
    while sim.record().speed_mps < 0.999 * top && sim.time_s() < 2.0 {
        sim.step(&mut ());
    }
    let (share, x) = (sim.record().amplitude_a_v / slow, sim.record().speed_mps / top / 0.3);
    assert!((share - 1.0 / (1.0 + x * x).sqrt()).abs() < 1e-3, "{share}");
}

/// One channel at 60 %: the figure is an upright ellipse and the count still right.
#[test]
fn a_weak_channel_is_seen_and_does_not_miscount() {
    let mut sim = gantry(HeadOutput::Sine);
    break_it(&mut sim, "channel-gain", 100.0);
    move_by(&mut sim, 5.0, 3.0);
    let mut volts = Volts::default();
    sim.advance(steps(0.5), &mut volts);
    let share = (volts.b.1 - volts.b.0) / (volts.a.1 - volts.a.0);
    assert!((share - 0.6).abs() < 0.01 && off_counts(&sim).abs() <= 1.0, "{share}");
    let r = sim.record();
    assert!((r.amplitude_b_v / r.amplitude_a_v - 0.6).abs() < 0.02 && r.a_ok && r.b_ok);
}

/// The page's flags see a conductor of B on the screen, whose amplitude alone looks sufficient.
#[test]
fn a_conductor_of_b_on_the_screen_shows_in_the_flags() {
    let mut sim = gantry(HeadOutput::Sine);
    assert!(sim.record().a_ok && sim.record().b_ok);
    break_it(&mut sim, "conductor-short", 100.0);
    sim.step(&mut ());
    let r = sim.record();
    assert!(r.amplitude_b_v > r.needed_v && r.a_ok && !r.b_ok, "{} {}", r.amplitude_b_v, r.needed_v);
}

/// Grounds apart: a single-ended wire carries the hum as signal, a pair does not.
#[test]
fn hum_between_the_grounds_is_signal_on_a_single_wire_and_not_on_a_pair() {
    let swing = |id, output| {
        let mut sim = bench(id, output, |_| {}, 100.0);
        sim.advance(steps(0.05), &mut ());
        break_it(&mut sim, "ground-lift", 20.0);
        let mut volts = Volts { a: (f64::MAX, f64::MIN), ..Volts::default() };
        sim.advance(steps(0.04), &mut volts);
        volts.a.1 - volts.a.0
    };
    // 20 % of 20 V, 0.3 of it through the loop: 1.2 V and its harmonics, twice that from peak to peak; 52 dB less.
    let (single, pair) =
        (swing(BenchId::TeachingRail, HeadOutput::Sine), swing(BenchId::RouterGantry, HeadOutput::Sine));
    assert!((1.8..3.0).contains(&single) && pair < 0.02 && pair > 1e-3, "{single} {pair}");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_setting_and_fault_gives_finite_numbers_with_square_output(
        mill in any::<bool>(),
        factor in 1..=100_u32,
        one_sensor in any::<bool>(),
        length_m in 0.5..100.0_f64,
        supply_v in 0.0..6.0_f64,
        lamp in 0.0..150.0_f64,
        hum in 0.0..5000.0_f64,
        inverter in 0.0..100.0_f64,
        noise in 0.0..1000.0_f64,
        faults in prop::collection::vec((0..sim_core::fault::TABLE.len(), 0.0..=100.0_f64), 0..5),
        speed in 0.1..8.0_f64,
        mode in 0..3_u8,
    ) {
        let id = if mill { BenchId::SmallMill } else { BenchId::RouterGantry };
        let mut sim = bench(id, HeadOutput::Square, |setup| {
            setup.input.interpolation = f64::from(factor);
            setup.head.lamp_percent = lamp;
            setup.head.noise_factor = noise;
            if one_sensor {
                setup.head.sensors = sim_core::setup::Sensors::OneSensor;
            }
            setup.cable.length_m = length_m;
            setup.cable.supply_v = supply_v;
            setup.cable.hum_mv = hum;
            setup.cable.inverter_v = inverter;
            setup.monitor.signal =
                [SignalMonitor::Off, SignalMonitor::Log, SignalMonitor::Trip][usize::from(mode)];
        }, 100.0);
        for (fault, percent) in faults {
            break_it(&mut sim, sim_core::fault::TABLE[fault].name, percent);
        }
        sim.advance(steps(0.02), &mut Finite);
        let json = format!(r#"{{"jog":{{"direction":"forward","speed_m_per_min":{speed}}}}}"#);
        let _ = sim.command(&bench_rig::command(&json));
        sim.advance(steps(0.2), &mut Finite);
        prop_assert!(kept(&resumed(&kept(&sim))) == kept(&sim));
    }
}
