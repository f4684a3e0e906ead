//! The lab as a whole: frames, the clock at an alarm, the log.

use super::shipped as lab;
use super::*;

#[test]
fn stepping_in_frames_gives_the_same_run_as_running_the_scene() {
    let mut lab = lab("wide-smear");
    lab.clock.running = true;
    lab.clock.set_pace(0);
    lab.clock.pause_at_alarm = false;
    while lab.now.time_s() < 2.0 - 1e-9 {
        lab.frame(0.0137, || true);
    }
    let mut short = lab.scene.clone();
    short.duration_s = sim_core::numbers::Within::new(lab.now.time_s()).unwrap();
    let whole = sim_core::bench::run(&short, &mut ());
    assert_eq!(lab.now.record(), whole.record());
}

#[test]
fn the_clock_stops_shortly_after_an_alarm() {
    let mut lab = lab("wide-smear");
    lab.clock.running = true;
    lab.clock.set_pace(7);
    for _ in 0..100_000 {
        lab.frame(0.016, || true);
        if !lab.clock.running {
            break;
        }
    }
    let alarm_s = lab.last_alarm_s().expect("the wide smear trips the axis");
    assert!(!lab.clock.running);
    let after_s = lab.now.time_s() - alarm_s;
    assert!((after_s - 0.2 * lab.window_s()).abs() < 0.01 * lab.window_s() + 2.0 * STEP_S, "{after_s}");
}

#[test]
fn a_stroke_of_the_pointer_is_one_entry_of_the_log() {
    let mut lab = lab("first-look");
    for i in 0..10 {
        let place = |mm: f64| sim_core::bench::command::PlaceMm::nearest(mm);
        let blocked_percent = sim_core::numbers::Within::nearest(90.0);
        let (from_mm, to_mm) = (place(200.0 + f64::from(i)), place(201.0 + f64::from(i)));
        lab.command(&Command::Smear(sim_core::bench::command::Smear::blocking(from_mm, to_mm, blocked_percent)))
            .unwrap();
        lab.advance(10);
    }
    let words: Vec<String> = lab.log().map(Event::words).collect();
    assert_eq!(words, ["Dirt was smeared on the scale from 200.0 to 210.0 mm."]);
}

#[test]
fn moving_the_axis_by_hand_drops_what_the_scene_had_planned() {
    let mut lab = lab("wipe-and-home");
    lab.advance(10);
    lab.command(&Command::Stop).unwrap();
    lab.advance(40_000);
    assert!(lab.log().next().is_none(), "the smear was not made");
}
