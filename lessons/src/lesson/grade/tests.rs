use super::*;
use crate::lesson::trial::play;
use sim_core::scene::Scene;

fn scene(steps: &str) -> Scene {
    let text = format!(
        "format = 1\ntitle = \"T\"\nabout = \"T\"\nbench = \"teaching-rail\"\nduration_s = 60\n[set]\nservo.feedback = \"motor\"\n{steps}"
    );
    crate::read("t.toml", &text).unwrap_or_else(|e| panic!("{e}"))
}

fn state(goal: &str, steps: &str, run_s: f64) -> (Option<f64>, Vec<Standing>) {
    let goal = Goal::parse(goal).unwrap_or_else(|e| panic!("{e:?}"));
    let played = play(&goal, &scene(steps), &[], run_s);
    assert_eq!(played.refused, Vec::<String>::new());
    (played.met_s, played.state.conditions)
}

const OUT_AND_BACK: &str =
    "[[step]]\nat_s = 0.2\ndo = { shuttle = { from_mm = 100, to_mm = 140, speed_m_per_min = 6, dwell_s = 0.3 } }\n";

#[test]
fn pulses_of_a_move_are_counted_and_another_move_is_told() {
    let step = "[[step]]\nat_s = 0.2\ndo = { move_by = { by_mm = 5, speed_m_per_min = 0.6 } }\n";
    let (met_s, _) = state("pulses(A) = 5 after move 5 mm", step, 3.0);
    assert!(met_s.is_some_and(|s| (0.5..2.0).contains(&s)), "{met_s:?}");
    let (met_s, conditions) = state("pulses(A) = 6 after move 6 mm", step, 3.0);
    assert_eq!((met_s, conditions[0].now.as_str()), (None, "the last move was 5.0 mm"));
    let (met_s, conditions) = state("pulses(A) = 5 after move 5 mm at 2 m/min", step, 3.0);
    assert_eq!((met_s, conditions[0].now.as_str()), (None, "the move went at 0.60 m/min"));
    let (met_s, _) = state("count < 0 after move -5 mm", step, 3.0);
    assert_eq!(met_s, None, "the other way");
}

#[test]
fn strokes_out_and_back_come_to_nothing() {
    let (met_s, conditions) =
        state("count = 0 after 2 strokes and count_error = 0 counts after 2 strokes", OUT_AND_BACK, 8.0);
    assert!(met_s.is_some(), "{conditions:?}");
    let (met_s, conditions) = state("count_error = 0 after 90 strokes", OUT_AND_BACK, 6.0);
    assert!(met_s.is_none() && conditions[0].now.contains("of 90 strokes"), "{conditions:?}");
}

#[test]
fn a_dirty_place_shows_over_the_travel_and_not_beside_it() {
    let smeared = "[[step]]\nat_s = 0.1\ndo = { smear = { from_mm = 300, to_mm = 320, blocked_percent = 80 } }\n\
        [[step]]\nat_s = 0.2\ndo = { move_to = { to_mm = 0, speed_m_per_min = 20 } }\n\
        [[step]]\nat_s = 2\ndo = { move_to = { to_mm = 600, speed_m_per_min = 20 } }\n";
    let (met_s, conditions) = state("amplitude(A) > 0.9 V over travel", smeared, 6.0);
    assert!(
        met_s.is_none() && conditions[0].now.starts_with("0.") && conditions[0].now.ends_with("V measured"),
        "{conditions:?}"
    );
    let (met_s, conditions) = state("amplitude(A) > 0.9 V over 20..280 mm", smeared, 6.0);
    assert!(met_s.is_some(), "{conditions:?}");
    let (_, conditions) = state("amplitude(A) > 0.9 V over travel", "", 1.0);
    assert!(conditions[0].now.contains("0 % of the way"), "{conditions:?}");
}

#[test]
fn no_fault_needs_motion_and_homing_is_seen() {
    assert_eq!(state("no fault for 2 s", "", 5.0).0, None);
    assert!(state("no fault for 2 s", OUT_AND_BACK, 5.0).0.is_some());
    let home = "[[step]]\nat_s = 0.2\ndo = \"home\"\n";
    assert!(state("referenced and done home and not done wipe_all", home, 40.0).0.is_some());
    assert_eq!(state("referenced", "", 2.0).0, None);
}

#[test]
fn a_change_begins_the_measuring_afresh() {
    let changed = format!("{OUT_AND_BACK}[[step]]\nat_s = 4\ndo = {{ set = {{ head = {{ lamp_percent = 90 }} }} }}\n");
    let (met_s, conditions) = state("phase(A,B) in 89..91 deg and count_error = 0 after 50 strokes", &changed, 4.005);
    assert!(met_s.is_none() && !conditions[0].met, "{conditions:?}");
    let (_, conditions) = state("phase(A,B) in 89..91 deg and count_error = 0 after 50 strokes", OUT_AND_BACK, 4.1);
    assert!(conditions[0].met && conditions[0].now.ends_with(" deg measured"), "{conditions:?}");
}

/// What is asked of one move cannot be collected from several.
#[test]
fn conditions_on_one_move_are_met_by_one_move() {
    let step = |at: f64, by: f64, speed: f64| {
        format!("[[step]]\nat_s = {at}\ndo = {{ move_by = {{ by_mm = {by}, speed_m_per_min = {speed} }} }}\n")
    };
    let goal = "count > 0 after move 5 mm and speed > 1 m/min after move 5 mm";
    let apart = step(0.2, 5.0, 0.5) + &step(2.0, -5.0, 1.5);
    let (met_s, conditions) = state(goal, &apart, 4.0);
    assert_eq!(met_s, None, "{conditions:?}");
    let (met_s, conditions) = state(goal, &(apart + &step(4.0, 5.0, 1.5)), 6.0);
    assert!(met_s.is_some_and(|s| s > 4.0), "{conditions:?}");
}
