//! What the control makes of a bad signal: told, taken back, tripped.

mod bench_rig;

use bench_rig::square::{bench, break_it, gantry, told};
use bench_rig::{Log, command, give, steps};
use sim_core::chain::loss::SignalFault;
use sim_core::chain::wiring::Pair;
use sim_core::event::What;
use sim_core::instrument::digest::Digest;
use sim_core::monitor::MonitorKind;
use sim_core::monitor::signal::SignalMonitor;
use sim_core::record::{Doing, Record, Sample, Tap};
use sim_core::setup::{BenchId, HeadOutput, Setup};

/// Losses are told once, and taken back once the signal has been good for a while.
#[test]
fn a_loss_is_told_and_taken_back() {
    for (output, fault) in [(HeadOutput::Sine, "supply-thin"), (HeadOutput::Square, "conductor-open")] {
        let mut sim = gantry(output);
        let mut log = Log::default();
        sim.advance(steps(0.2), &mut log);
        assert_eq!(told(&log), (vec![], 0), "{output:?}");
        if output == HeadOutput::Sine {
            give(&mut sim, r#"{"set":{"cable":{"supply_v":0}}}"#);
        } else {
            break_it(&mut sim, fault, 100.0);
        }
        sim.advance(steps(0.2), &mut log);
        let (faults, good) = told(&log);
        let wanted =
            if output == HeadOutput::Sine { SignalFault::SignalLost } else { SignalFault::PairMissing(Pair::A) };
        assert_eq!((faults.last(), good), (Some(&wanted), 0), "{output:?}");
        assert_eq!(sim.record().signal, Some(wanted));
        if output == HeadOutput::Sine {
            give(&mut sim, r#"{"set":{"cable":{"supply_v":5}}}"#);
        } else {
            give(&mut sim, r#""mend_all""#);
        }
        sim.advance(steps(0.9), &mut log);
        assert_eq!(told(&log).1, 0, "good again too early");
        sim.advance(steps(0.3), &mut log);
        assert_eq!((told(&log).1, sim.record().signal), (1, None), "{output:?}");
    }
}

/// Axis model, section 4: signal-lost takes the torque off and withdraws the reference; it cannot be acknowledged while
/// it lasts; off says nothing.
#[test]
fn the_monitor_trips_tells_or_is_silent_as_it_is_set() {
    for mode in [SignalMonitor::Off, SignalMonitor::Log, SignalMonitor::Trip] {
        let mut sim = bench(BenchId::RouterGantry, HeadOutput::Square, |setup| setup.monitor.signal = mode, 200.0);
        let mut log = Log::default();
        sim.advance(steps(0.1), &mut log);
        break_it(&mut sim, "conductor-open", 100.0);
        let at_s = sim.time_s();
        sim.advance(steps(0.01), &mut log);
        let (faults, _) = told(&log);
        let tripped = mode == SignalMonitor::Trip;
        assert_eq!(faults.is_empty(), mode == SignalMonitor::Off, "{mode:?}");
        assert_eq!((sim.record().alarm, !sim.record().referenced), (tripped, tripped), "{mode:?}");
        assert_eq!(sim.record().signal.is_some(), mode != SignalMonitor::Off);
        if tripped {
            let alarm = log.0.iter().find(|e| matches!(e.what, What::Monitor { .. })).expect("it is told");
            let What::Monitor { kind, warning, .. } = alarm.what else { panic!("{alarm:?}") };
            assert_eq!((kind, warning, sim.record().doing), (MonitorKind::SignalLost, false, Doing::Tripped));
            // 0.1 ms and the steps that it takes to see it.
            assert!((1e-4..3e-4).contains(&(alarm.time_s - at_s)), "{} s", alarm.time_s - at_s);
            let refused = sim.command(&command(r#""acknowledge""#)).expect_err("the condition stands");
            assert!(refused.starts_with("\"Signal lost\" still stands"), "{refused}");
            give(&mut sim, r#""mend_all""#);
            // At rest it is good again after a second.
            sim.advance(steps(1.1), &mut log);
            give(&mut sim, r#""acknowledge""#);
            sim.advance(steps(0.1), &mut log);
            assert!(!sim.record().alarm);
        }
    }
}

/// Everything but the log.
#[derive(Default)]
struct NoLog(Digest);

impl Tap for NoLog {
    fn sample(&mut self, s: &Sample) {
        self.0.sample(s);
    }

    fn record(&mut self, r: &Record) {
        self.0.record(r);
    }
}

/// The monitor as delivered only tells: through dirt and alarm the run has the bits of one that nobody watches.
#[test]
fn telling_changes_nothing_but_the_log() {
    let run = |mode| {
        let change = |setup: &mut Setup| setup.monitor.signal = mode;
        let mut sim = bench(BenchId::RouterGantry, HeadOutput::Sine, change, 100.0);
        let mut taps = (NoLog::default(), Log::default());
        give(&mut sim, r#"{"smear":{"from_mm":110,"to_mm":130,"blocked_percent":95}}"#);
        give(&mut sim, r#"{"jog":{"direction":"forward","speed_m_per_min":20}}"#);
        sim.advance(steps(0.6), &mut taps);
        (taps.0.0.hex(), sim.record().alarm, told(&taps.1).0.len())
    };
    let (silent, tells) = (run(SignalMonitor::Off), run(SignalMonitor::Log));
    assert_eq!((&silent.0, silent.1), (&tells.0, tells.1));
    assert!(silent.1 && silent.2 == 0 && tells.2 > 0, "{silent:?} {tells:?}");
}

/// Warned at 0.7, tripped at 0.4 of nominal.
#[test]
fn a_fading_sine_warns_first_and_trips_later() {
    let mut sim = bench(BenchId::SmallMill, HeadOutput::Sine, |s| s.monitor.signal = SignalMonitor::Trip, 100.0);
    let mut log = Log::default();
    sim.advance(steps(0.05), &mut log);
    let kinds = |log: &Log| -> Vec<(MonitorKind, bool)> {
        log.0
            .iter()
            .filter_map(|e| match e.what {
                What::Monitor { kind, warning, .. } => Some((kind, warning)),
                _ => None,
            })
            .collect()
    };
    for (percent, wanted) in [
        (80, vec![]),
        (60, vec![(MonitorKind::SignalLow, true)]),
        (35, vec![(MonitorKind::SignalLow, true), (MonitorKind::SignalLow, false)]),
    ] {
        give(&mut sim, &format!(r#"{{"set":{{"head":{{"lamp_percent":{percent}}}}}}}"#));
        sim.advance(steps(0.02), &mut log);
        assert_eq!(kinds(&log), wanted, "at {percent} %");
    }
}
