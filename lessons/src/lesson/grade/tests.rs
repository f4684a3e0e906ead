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
    assert!(conditions[0].met && conditions[0].now.ends_with("\u{b0} measured"), "{conditions:?}");
}

#[test]
fn both_ways_wants_a_move_out_and_one_back() {
    let step = |at: f64, by: f64, speed: f64| {
        format!("[[step]]\nat_s = {at}\ndo = {{ move_by = {{ by_mm = {by}, speed_m_per_min = {speed} }} }}\n")
    };
    let goal = "following_error < limit after move 10 mm at 1 m/min both ways and overshoot < 0.5 mm after move 10 mm \
                at 1 m/min both ways";
    let (met_s, conditions) = state(goal, &step(0.2, 10.0, 1.0), 3.0);
    assert_eq!((met_s, conditions[0].now.as_str()), (None, "a move down is still missing"));
    let (met_s, conditions) = state(goal, &(step(0.2, 10.0, 1.0) + &step(2.0, -10.0, 0.5)), 5.0);
    assert_eq!((met_s, conditions[0].now.as_str()), (None, "the move went at 0.50 m/min"));
    let (met_s, conditions) = state(goal, &(step(0.2, 10.0, 1.0) + &step(2.0, -10.0, 1.0)), 5.0);
    assert!(met_s.is_some_and(|s| s > 2.0) && conditions[0].now.ends_with(" % of the limit"), "{conditions:?}");
    let (met_s, conditions) = state("following_error > limit after move 10 mm", &step(0.2, 10.0, 1.0), 3.0);
    assert!(met_s.is_none(), "{conditions:?}");
    let (met_s, conditions) = state("following_error < limit", "", 3.0);
    assert_eq!((met_s, conditions[0].now.as_str()), (None, "nothing has moved by command yet"));
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

fn script(lines: &[(f64, &str)]) -> String {
    lines.iter().map(|(at, what)| format!("[[step]]\nat_s = {at}\ndo = {what}\n")).collect()
}

const LOCKED: [(f64, &str); 5] = [
    (0.2, "{ safety = \"switch-off\" }"),
    (0.4, "{ safety = \"isolate\" }"),
    (0.6, "{ safety = \"lock\" }"),
    (0.8, "{ safety = \"try-start\" }"),
    (6.0, "{ safety = \"verify-dead\" }"),
];

#[test]
fn locking_out_takes_all_acts_in_their_order_and_the_time_of_the_label() {
    assert!(state("done lockout", &script(&LOCKED), 7.0).0.is_some_and(|s| s >= 6.0));
    for left_out in 0..5 {
        let mut lines = LOCKED.to_vec();
        if left_out == 1 {
            // No lock goes on what is not open.
            lines.truncate(1);
        } else {
            lines.remove(left_out);
        }
        assert_eq!(state("done lockout", &script(&lines), 7.0).0, None, "without act {left_out}");
    }
    let mut early = LOCKED;
    early[4].0 = 1.0;
    assert_eq!(state("done lockout", &script(&early), 7.0).0, None);
}

#[test]
fn a_scan_is_the_whole_travel_in_one_go() {
    let whole = [
        (0.2, "{ move_to = { to_mm = 0, speed_m_per_min = 20 } }"),
        (2.5, "{ move_to = { to_mm = 600, speed_m_per_min = 20 } }"),
    ];
    assert!(state("done amp-scan", &script(&whole), 7.0).0.is_some_and(|s| s > 3.5));
    let half = [whole[0], (2.5, "{ move_to = { to_mm = 300, speed_m_per_min = 20 } }")];
    assert_eq!(state("done amp-scan", &script(&half), 7.0).0, None);
    let in_two = [whole[0], half[1], (5.0, whole[1].1)];
    assert_eq!(state("done amp-scan", &script(&in_two), 9.0).0, None, "a stop on the way");
}

#[test]
fn cleaning_is_told_by_its_method() {
    let wipe =
        |method: &str| script(&[(0.2, &format!("{{ wipe = {{ from_mm = 1, to_mm = 9, method = \"{method}\" }} }}"))]);
    let goal = "done clean-right and not done clean-dry";
    assert!(state(goal, &wipe("permitted-solvent"), 1.0).0.is_some());
    for wrong in ["dry-cloth", "wrong-solvent", "air-blast"] {
        assert_eq!(state(goal, &wipe(wrong), 1.0).0, None, "{wrong}");
    }
    assert!(state("done clean-dry", &wipe("dry-cloth"), 1.0).0.is_some());
}

#[test]
fn looks_bending_parts_and_the_neighbour_are_steps() {
    let mut lines = LOCKED.to_vec();
    lines.extend([(6.2, "{ look = \"ohm\" }"), (6.4, "{ replace = \"head\" }")]);
    let (met_s, _) = state("done ohm and done replace-head and not done replace-cable", &script(&lines), 7.0);
    assert!(met_s.is_some_and(|s| s > 6.3));
    let bent = script(&[(0.2, "{ flex = { from_mm = 100, to_mm = 150 } }")]);
    let (met_s, _) = state("done flex", &bent, 3.0);
    assert!(met_s.is_some_and(|s| (1.0..1.6).contains(&s)), "{met_s:?}");
    let inverter = |volts: f64| format!("{{ set = {{ cable = {{ inverter_v = {volts} }} }} }}");
    let (off, on) = (inverter(0.0), inverter(20.0));
    assert!(state("done neighbour", &script(&[(0.2, &off), (0.4, &on)]), 1.0).0.is_some());
    assert_eq!(state("done neighbour", &script(&[(0.2, &on)]), 1.0).0, None);
}

/// A look does not begin the measuring afresh; minutes are those of the shop and of the work.
#[test]
fn looking_changes_nothing_and_takes_its_minutes() {
    let looked = format!("{OUT_AND_BACK}{}", script(&[(4.0, "{ look = \"meter-supply\" }")]));
    let goal = "count_error = 0 after 2 strokes and minutes in 6..6.5 min and supply(drive) in 4.9..5.1 V";
    assert!(state(goal, &looked, 6.0).0.is_some_and(|s| s > 4.0));
    // Five minutes of the label and the acts themselves.
    let (met_s, conditions) = state("done lockout and minutes in 10..14 min", &script(&LOCKED), 7.0);
    assert!(met_s.is_some(), "{conditions:?}");
}
