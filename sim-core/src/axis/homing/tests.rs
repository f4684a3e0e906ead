//! The run of homing, fed by hand.

use super::*;
use crate::axis::machine::MachineId;

fn home() -> HomeSpec {
    MachineId::MillX.spec().home
}

fn input(switch_pressed: bool, x_fb: f64) -> HomingInput {
    HomingInput { switch_pressed, latched: None, x_fb, motion_done: false, travel: 0.5, dt: 0.5e-3 }
}

#[test]
fn the_whole_run() {
    let home = home();
    let mut h = Homing::default();
    assert_eq!(h.start(&home, None, false, 0.2), HomingOrder::Jog(-0.04));
    assert_eq!(h.tick(&home, None, &input(false, 0.1)), None);
    assert_eq!(h.tick(&home, None, &input(true, -0.01)), Some(HomingOrder::Stop));
    assert_eq!(h.tick(&home, None, &input(true, -0.011)), None);
    let stopped = HomingInput { motion_done: true, ..input(true, -0.011) };
    assert_eq!(h.tick(&home, None, &stopped), Some(HomingOrder::Jog(0.01)));
    assert_eq!(h.tick(&home, None, &input(false, -0.009)), Some(HomingOrder::Jog(0.002)));
    let mark = HomingInput { latched: Some((77, 0.0)), ..input(false, 0.0001) };
    assert_eq!(h.tick(&home, None, &mark), Some(HomingOrder::Stop));
    let done = HomingInput { motion_done: true, ..input(false, 0.0002) };
    assert_eq!(h.tick(&home, None, &done), Some(HomingOrder::ReferTo(77)));
    assert!(!h.referenced());
    assert_eq!(h.tick(&home, None, &done), None);
    assert_eq!(h.state, HomingState::Referenced { switch_to_mark: 0.009 });
}

#[test]
fn begins_by_backing_off_when_it_stands_on_the_switch() {
    assert_eq!(Homing::default().start(&home(), None, true, -0.02), HomingOrder::Jog(0.01));
}

#[test]
fn a_mark_before_the_switch_is_released_is_not_taken() {
    let home = home();
    let mut h = Homing::default();
    h.start(&home, None, true, -0.02);
    let early = HomingInput { latched: Some((5, -0.015)), ..input(true, -0.015) };
    assert_eq!(h.tick(&home, None, &early), None);
    assert!(matches!(h.state, HomingState::BackOff { .. }));
}

#[test]
fn failures_say_what_to_check() {
    let home = home();
    let mut h = Homing::default();
    h.start(&home, None, false, 0.2);
    assert_eq!(h.tick(&home, None, &input(false, -0.36)), Some(HomingOrder::GiveUp(HomingFailure::SwitchNotMet)));
    h.start(&home, None, true, -0.02);
    assert_eq!(h.tick(&home, None, &input(true, 0.001)), Some(HomingOrder::GiveUp(HomingFailure::SwitchNotReleased)));
    h.start(&home, None, true, -0.02);
    h.tick(&home, None, &input(false, -0.009));
    assert_eq!(h.tick(&home, None, &input(false, 0.016)), Some(HomingOrder::GiveUp(HomingFailure::NoMark)));
    h.start(&home, None, false, 0.2);
    let frozen = HomingInput { dt: 121.0, ..input(false, 0.2) };
    assert_eq!(h.tick(&home, None, &frozen), Some(HomingOrder::GiveUp(HomingFailure::TooLong)));
    assert!(HomingFailure::NoMark.to_string().contains("check the mark"));
    assert!(!h.running() && h.tick(&home, None, &frozen).is_none());
}
