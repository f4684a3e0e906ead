use super::*;

fn words(text: &str) -> String {
    let goal = Goal::parse(text).unwrap_or_else(|e| panic!("{text}: {e:?}"));
    goal.conditions.iter().map(Condition::words).collect::<Vec<_>>().join("; ")
}

#[test]
fn goals_read_as_they_are_written() {
    assert_eq!(words("pulses(A) = 5 after move 5 mm"), "pulses of A: exactly 5, after a move of 5 mm");
    assert_eq!(
        words("pulses(A) = 5 after move 5 mm at 0.1 m/min and pulses(B) = 5 counts after move 5 mm at 2 m/min"),
        "pulses of A: exactly 5, after a move of 5 mm at 0.1 m/min; pulses of B: exactly 5, after a move of 5 mm at 2 m/min"
    );
    assert_eq!(words("duty(A) in 45..55 %"), "share of the period that A is high: 45 to 55 %");
    assert_eq!(
        words("amplitude(A) in 0.8..1.2 V over travel"),
        "amplitude of A: 0.8 to 1.2 V, everywhere on the travel"
    );
    assert_eq!(
        words("count_error = 0 counts after 10 strokes and no fault for 60 s"),
        "counts missing or too many: exactly 0, after 10 strokes out and back; no alarm for 60 s"
    );
    assert_eq!(words("phase(A,B) in 85..95 deg"), "B behind A: 85 to 95\u{b0}");
    assert_eq!(
        words("home_shift = 0 +- 2 um after 5 homings"),
        "shift of zero between homings: -2 to 2 \u{b5}m, after 5 homings"
    );
    assert_eq!(words("fault(overspeed) within 2 s"), "the alarm \u{201c}Overspeed\u{201d} within 2 s");
    assert_eq!(words("done home and not done wipe_all"), "home: done; wipe all: not done");
    assert_eq!(
        words("following_error < limit after move 300 mm at 12 m/min both ways and following_error > limit"),
        "largest following error: within its limit, after a move of 300 mm out and one back at 12 m/min; largest following \
         error: past its limit"
    );
    assert_eq!(words("overshoot < 5 um"), "way past the commanded end: less than 5 \u{b5}m");
    assert_eq!(words("supply(head) >= 4.75 V"), "supply at the head: 4.75 V or more");
    assert_eq!(words("supply(drive) in 4.9..5.1 V"), "supply at the drive: 4.9 to 5.1 V");
    assert_eq!(words("backlash in 55..65 um"), "table behind the drive after reversing: 55 to 65 \u{b5}m");
    assert_eq!(words("minutes < 15 min"), "work in this task: less than 15 min");
    assert_eq!(
        words("done lockout and done scope-drive and not done replace-head"),
        "machine locked out, all acts in their order: done; scope drive: done; replace head: not done"
    );
}

#[test]
fn every_step_can_be_asked_for_and_none_has_two_meanings() {
    let names: Vec<&str> = step::names().collect();
    for (i, name) in names.iter().enumerate() {
        assert!(!names[..i].contains(name), "{name} stands twice");
        assert!(Goal::parse(&format!("done {name} and not done {name}")).is_ok(), "{name}");
    }
    let slip = Goal::parse("done lock-out").unwrap_err();
    assert!(slip.what.contains("no step \"lock-out\"; did you mean \"lockout\""), "{}", slip.what);
    assert!(Goal::parse("supply(cable) > 4 V").unwrap_err().mend.contains("supply(drive)"));
}

#[test]
fn numbers_are_kept_in_the_unit_inside() {
    let goal = Goal::parse("gap in 0.7..0.9 mm over 200..260 mm").unwrap();
    let What::Measured { test, .. } = goal.conditions[0].what else { panic!() };
    assert!((test.low - 0.7e-3).abs() < 1e-12 && (test.high - 0.9e-3).abs() < 1e-12);
    assert_eq!(goal.conditions[0].scope.over, Over::Travel(Some((0.2, 0.26))));
    assert!(test.holds(0.7e-3) && test.holds(0.9e-3) && !test.holds(0.91e-3));
    let goal = Goal::parse("count_error > 0 after 1 strokes").unwrap();
    let What::Measured { test, .. } = goal.conditions[0].what else { panic!() };
    assert!(test.holds(1.0) && !test.holds(0.0));
}
