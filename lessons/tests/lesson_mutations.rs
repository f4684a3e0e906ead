//! Whatever becomes of the bytes of a lesson file, the reader gives a lesson that can be graded or an error that says
//! where; whatever is typed as a goal, a sum or an answer is read or refused.

mod mutation;

use lessons::lesson::expr::Expr;
use lessons::lesson::{Goal, draw, folders, read, units};
use mutation::{mutate, mutation};
use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::Index;

proptest! {
    #![proptest_config(ProptestConfig { cases: 1500, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_mutation_gives_a_lesson_or_an_error_with_a_place(
        which in any::<Index>(),
        file in any::<Index>(),
        mutations in vec(mutation(), 1..4),
    ) {
        let folders = folders();
        let (name, mut files) = which.get(&folders).clone();
        // Mostly the lesson itself, sometimes one of its scenes.
        let lesson = files.iter().position(|f| f.name == "lesson.en.md").expect("a lesson");
        let index = if file.index(4) > 0 { lesson } else { file.index(files.len()) };
        for one in &mutations {
            mutate(&mut files[index].bytes, one);
        }
        match read(&name, &files) {
            Ok(lesson) => {
                for item in draw::items(&lesson, 3, 0) {
                    // Any judgement will do; it must not break anything.
                    let _ = (item.judge("1"), item.right(), item.right_option());
                }
            }
            Err(error) => {
                let text = error.to_string();
                prop_assert!(text.starts_with(&name), "{}", text);
                prop_assert!(text.contains("  To mend it: "), "{}", text);
                let most = files.iter().map(|f| f.bytes.iter().filter(|b| **b == b'\n').count() + 1).max();
                prop_assert!(error.at.is_none_or(|(line, column)| (1..=most.unwrap_or(1)).contains(&line) && column >= 1), "{}", text);
            }
        }
    }

    #[test]
    fn any_goal_sum_or_answer_is_read_or_refused_within_its_text(text in "[ -~µé]{0,60}", words in vec(
        prop_oneof!["[a-z_]{1,8}", Just("pulses(A)".to_owned()), Just("=".to_owned()), Just("in".to_owned()), Just("5".to_owned()),
            Just("4..6".to_owned()), Just("mm".to_owned()), Just("after".to_owned()), Just("move".to_owned()), Just("and".to_owned()),
            Just("over travel".to_owned()), Just("no fault".to_owned()), Just("for".to_owned()), Just("s".to_owned())], 1..12)) {
        for text in [text.clone(), words.join(" ")] {
            if let Err(slip) = Goal::parse(&text) {
                prop_assert!(slip.at.start <= slip.at.end && slip.at.end <= text.len() && !slip.mend.is_empty(), "{:?}", slip);
                prop_assert!(text.is_char_boundary(slip.at.start), "{:?}", slip);
            }
            if let Err(slip) = Expr::parse(&text) {
                prop_assert!(slip.at.start <= slip.at.end && slip.at.end <= text.len() && !slip.mend.is_empty(), "{:?}", slip);
                prop_assert!(text.is_char_boundary(slip.at.start), "{:?}", slip);
            }
            let unit = units::by_name("mm").expect("a unit");
            prop_assert!(draw::number(&text, unit).is_ok_and(f64::is_finite) || draw::number(&text, unit).is_err());
        }
    }

    /// A number that is written out is read back, with point or comma, in any unit of its kind.
    #[test]
    fn typed_numbers_are_read(value in -1e6..1e6_f64) {
        let mm = units::by_name("mm").expect("a unit");
        let typed = format!("{value}");
        prop_assert_eq!(draw::number(&typed, mm), Ok(value));
        prop_assert_eq!(draw::number(&format!(" {} mm ", typed.replace('.', ",")), mm), Ok(value));
        let metres = draw::number(&format!("{} m", value / 1000.0), mm).expect("a number");
        prop_assert!((metres - value).abs() <= 1e-9 * value.abs().max(1.0));
    }
}

#[test]
fn answers_that_are_none_are_told_why() {
    let mm = units::by_name("mm").expect("a unit");
    let why = |typed: &str| draw::number(typed, mm).expect_err(typed);
    assert_eq!(why(""), "Type a number.");
    assert!(why("1,234.5").contains("nothing between the thousands"));
    assert_eq!(why("5 V"), "The answer is wanted in mm.");
    assert!(why("5 furlongs").contains("no unit that is known here"));
    assert!(why("-").contains("no number"));
    assert_eq!(draw::number("1 234,5", mm), Ok(1234.5));
    assert_eq!(draw::number("\u{2212}5", mm), Ok(-5.0));
    assert!((draw::number("25 \u{3bc}m", mm).unwrap() - 0.025).abs() < 1e-12);
    // Source: the inch is 25.4 mm exactly.
    assert_eq!(draw::number("2in", mm).map(|n| (n * 1e9).round() / 1e9), Ok(50.8));
}
