//! Checks of the commanded path.

use proptest::prelude::*;

use super::*;

const LIMITS: MotionLimits = MotionLimits { speed: 0.25, acceleration: 2.0, jerk: 40.0 };
const DT: f64 = 1e-3;

fn run(m: &mut Motion, seconds: f64) -> Vec<PathPoint> {
    let n = libm::round(seconds / DT) as u32;
    (0..n)
        .map(|_| {
            m.tick(DT, &LIMITS);
            m.point
        })
        .collect()
}

#[test]
fn jog_reaches_its_speed_and_the_place_is_its_integral() {
    let mut m = Motion::at_rest(0.0);
    m.command(MotionCommand::Jog { speed: -0.2 }, &LIMITS).unwrap();
    let points = run(&mut m, 1.0);
    assert_eq!(m.v_cmd(), -0.2);
    let mut v_before = 0.0;
    let mut integral = 0.0;
    for p in &points {
        integral += 0.5 * (v_before + p.v) * DT;
        v_before = p.v;
    }
    assert!((integral - m.x_ref()).abs() < 1e-7, "{integral} {}", m.x_ref());
}

#[test]
fn stop_ends_at_rest_where_it_said() {
    let mut m = Motion::at_rest(0.0);
    m.command(MotionCommand::MoveTo { target: 0.4, speed: 0.25 }, &LIMITS).unwrap();
    run(&mut m, 0.083);
    m.command(MotionCommand::Stop, &LIMITS).unwrap();
    let place = m.stopping_point(&LIMITS);
    run(&mut m, 1.0);
    assert!(m.done());
    assert_eq!((m.v_cmd(), m.x_ref()), (0.0, place));
}

#[test]
fn a_new_target_while_moving_is_reached_exactly() {
    let mut m = Motion::at_rest(0.0);
    m.command(MotionCommand::MoveTo { target: 0.4, speed: 0.25 }, &LIMITS).unwrap();
    run(&mut m, 0.5);
    m.command(MotionCommand::MoveTo { target: -0.1, speed: 0.1 }, &LIMITS).unwrap();
    run(&mut m, 5.0);
    assert!(m.done());
    assert_eq!((m.x_ref(), m.v_cmd()), (-0.1, 0.0));
}

#[test]
fn shuttle_visits_both_ends_and_rests_there() {
    let mut m = Motion::at_rest(0.0);
    m.command(MotionCommand::Shuttle { from: 0.05, to: 0.1, speed: 0.25, dwell_s: 0.2 }, &LIMITS).unwrap();
    let points = run(&mut m, 6.0);
    let rests = |x: f64| points.iter().filter(|p| p.x == x && p.v == 0.0).count();
    assert!(rests(0.05) > 400 && rests(0.1) > 400, "{} {}", rests(0.05), rests(0.1));
    assert!(points.iter().all(|p| (0.0..=0.1 + 1e-12).contains(&p.x)));
    assert!(!m.done());
    m.command(MotionCommand::Stop, &LIMITS).unwrap();
    run(&mut m, 1.0);
    assert!(m.done());
}

#[test]
fn the_origin_can_be_moved_under_a_running_path() {
    let mut m = Motion::at_rest(0.0);
    m.command(MotionCommand::Jog { speed: 0.1 }, &LIMITS).unwrap();
    run(&mut m, 0.5);
    let mut shifted = m.clone();
    shifted.shift(-1.0);
    run(&mut m, 0.5);
    run(&mut shifted, 0.5);
    assert!((m.x_ref() - shifted.x_ref() - 1.0).abs() < 1e-12);
}

#[test]
fn bad_commands_are_refused_with_a_reason() {
    let mut m = Motion::at_rest(0.0);
    let before = m.clone();
    let nan = m.command(MotionCommand::Jog { speed: f64::NAN }, &LIMITS);
    assert_eq!(nan, Err(MotionError::NotFinite { field: "speed" }));
    let fast = m.command(MotionCommand::MoveTo { target: 0.1, speed: 0.3 }, &LIMITS).unwrap_err();
    assert!(fast.to_string().contains("speed is 0.3; it must be between"), "{fast}");
    assert_eq!(m, before);
}

fn any_command() -> impl Strategy<Value = MotionCommand> {
    let speed = 0.001f64..0.25;
    prop_oneof![
        (-0.25f64..0.25).prop_map(|speed| MotionCommand::Jog { speed }),
        (-0.5f64..0.5, speed.clone()).prop_map(|(target, speed)| MotionCommand::MoveTo { target, speed }),
        (-0.5f64..0.5, -0.5f64..0.5, speed, 0.0f64..0.1)
            .prop_map(|(from, to, speed, dwell_s)| { MotionCommand::Shuttle { from, to, speed, dwell_s } }),
        Just(MotionCommand::Stop),
    ]
}

proptest! {
    // Law: whatever is commanded when, speed and acceleration keep their limits and place has no jump.
    #[test]
    fn any_commands_make_a_smooth_path(list in prop::collection::vec((any_command(), 1u32..600), 1..12)) {
        let mut m = Motion::at_rest(0.0);
        for (command, ticks) in list {
            m.command(command, &LIMITS).unwrap();
            for _ in 0..ticks {
                let before = m.point;
                m.tick(DT, &LIMITS);
                prop_assert!(m.point.v.abs() <= LIMITS.speed + 0.06, "{}", m.point.v);
                prop_assert!((m.point.v - before.v).abs() <= LIMITS.acceleration * DT + 1e-9);
                prop_assert!((m.point.x - before.x).abs() <= (LIMITS.speed + 0.06) * DT);
            }
        }
    }
}
