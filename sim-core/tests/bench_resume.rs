//! Law: to stop, keep the bench as JSON and go on from it gives the same bits as not stopping.

mod bench_rig;

use bench_rig::{command, give, healthy, kept, resumed, steps};
use sim_core::bench::Sim;
use sim_core::instrument::digest::Digest;
use sim_core::setup::BenchId;

/// What is done when, s.
type Script = &'static [(f64, &'static str)];

/// Dirt, alarm, wiping, acknowledging, homing, faults and settings under way.
const MIXED: Script = &[
    (0.05, r#"{"smear":{"from_mm":60,"to_mm":72,"blocked_percent":95}}"#),
    (0.10, r#"{"jog":{"direction":"forward","speed_m_per_min":5}}"#),
    (1.20, r#""wipe_all""#),
    (1.30, r#""acknowledge""#),
    (1.40, r#""home""#),
    (13.00, r#"{"break":{"fault":"drag-spot","severity_percent":20,"at_mm":50}}"#),
    (13.01, r#"{"set":{"head":{"noise_factor":20}}}"#),
    (13.10, r#"{"shuttle":{"from_mm":20,"to_mm":60,"speed_m_per_min":3,"dwell_s":0.1}}"#),
    (15.0, r#"{"mend":"drag-spot"}"#),
    (15.2, r#""stop""#),
    (15.5, r#"{"drive":"off"}"#),
    (15.6, r#""zero_readout""#),
    (15.7, r#"{"drive":"on"}"#),
    (15.8, r#"{"move_by":{"by_mm":-7,"speed_m_per_min":2}}"#),
];

const SECONDS: f64 = 16.5;

/// Runs the script and, after every so many steps, goes on from what was kept; the end as JSON and the fingerprint.
fn run(bench: BenchId, keep_every: Option<u64>) -> (String, String) {
    let mut sim = healthy(bench, 40.0);
    let mut digest = Digest::default();
    let mut script = MIXED.iter().map(|(at_s, json)| (steps(*at_s), *json)).peekable();
    for step in 0..steps(SECONDS) {
        while let Some((_, json)) = script.next_if(|(due, _)| *due == step) {
            give_if_fitting(&mut sim, json);
        }
        sim.step(&mut digest);
        if keep_every.is_some_and(|every| step % every == 0) {
            let text = kept(&sim);
            sim = resumed(&text);
            assert_eq!(kept(&sim), text, "going on changes the bench itself, step {step}");
        }
    }
    (kept(&sim), digest.hex())
}

/// Some benches do not trip on this smear; there is then nothing to acknowledge.
fn give_if_fitting(sim: &mut Sim, json: &str) {
    // Going round to the one mark of a ring takes longer than the script leaves for it.
    if sim.params().machine.endless {
        let _ = sim.command(&command(json));
    } else if json != r#""acknowledge""# || sim.record().alarm {
        give(sim, json);
    }
}

#[test]
fn to_keep_and_go_on_is_the_same_as_not_to_stop() {
    for bench in BenchId::ALL {
        let straight = run(bench, None);
        // A prime, so that the stops fall on every phase of the control's periods.
        assert!(run(bench, Some(997)) == straight, "{bench:?}: kept and gone on every 997 steps");
    }
}

#[test]
fn to_keep_at_every_single_step_through_dirt_and_alarm_changes_nothing() {
    let start = |sim: &mut Sim| {
        give(sim, r#"{"smear":{"from_mm":41,"to_mm":52,"blocked_percent":95}}"#);
        give(sim, r#"{"jog":{"direction":"forward","speed_m_per_min":20}}"#);
        sim.advance(steps(0.2), &mut ());
    };
    let (mut straight, mut stopped) = (healthy(BenchId::RouterGantry, 40.0), healthy(BenchId::RouterGantry, 40.0));
    start(&mut straight);
    start(&mut stopped);
    let (mut a, mut b) = (Digest::default(), Digest::default());
    let mut alarms = 0;
    for step in 0..600 {
        straight.step(&mut a);
        stopped.step(&mut b);
        stopped = resumed(&kept(&stopped));
        assert!(kept(&straight) == kept(&stopped), "first different after step {step}");
        alarms += u32::from(straight.record().alarm);
    }
    assert_eq!(a.hex(), b.hex());
    assert!(alarms > 0, "the stretch holds no alarm");
}

#[test]
fn a_kept_bench_that_cannot_be_is_refused() {
    let sim = healthy(BenchId::SmallMill, 100.0);
    let with = |change: &dyn Fn(&mut sim_core::bench::Bench)| {
        let mut bench = sim.bench().clone();
        change(&mut bench);
        Sim::resume(bench).err().map(|e| e.to_string()).unwrap_or_default()
    };
    assert_eq!(with(&|_| {}), "");
    assert!(with(&|b| b.format = 3).contains("format 3; this program reads format 2"));
    assert!(with(&|b| b.setup.head.gap_um = f64::NAN).contains("head.gap_um"));
    assert!(with(&|b| b.state.axis.plant.x = f64::INFINITY).contains("place of the table"));
    assert!(with(&|b| b.state.axis.plant.v = 1e9).contains("speed of the table"));
    assert!(with(&|b| b.state.readout_zero_m = -11.0).contains("zero of the readout"));
}
