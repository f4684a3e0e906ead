//! Each kind of mistake in a case file is told with its line and its remedy.

use lessons::callout::read;
use proptest::prelude::*;

const GOOD: &str = r#"format = 1
title = "A case"
level = 2
machine = "small-mill"
order = "It stops."
par = ["ask 1", "check traverse", "lockout", "check lamp", "remedy clean-right", "power-up", "prove"]
proof = ["traverse"]
lesson = "It was dirt."

[[say]]
ask = "Where?"
answer = "There."
trust = "true"

[[hidden]]
fault = "tape-smear"
severity_percent = [60, 90]
at_mm = [100, 300]
"#;

#[test]
fn the_good_case_is_read() {
    let case = read("cases/J99-a-case.toml", GOOD).unwrap_or_else(|why| panic!("{why}"));
    assert_eq!((case.id.as_str(), case.level, case.statements.len()), ("J99-a-case", 2, 1));
    // Ask 4, traverse 6, make safe 11, lamp 5, clean 15, power up 5, prove 8.
    assert_eq!(case.par_minutes(), 4 + 6 + (1 + 1 + 1 + 1 + 5 + 2) + 5 + 15 + (1 + 1 + 3) + 8);
    for seed in 0..50 {
        let [fault] = case.draw(seed)[..] else { panic!("one fault is hidden") };
        assert!((0.6..=0.9).contains(&fault.severity) && (0.1..=0.3).contains(&fault.at_m), "{fault:?}");
        assert_eq!(case.draw(seed), case.draw(seed));
    }
}

#[test]
fn mistakes_are_told_with_their_line() {
    let change = |from: &str, to: &str| {
        assert!(GOOD.contains(from), "{from}");
        GOOD.replace(from, to)
    };
    let cases = [
        change("format = 1\n", ""),
        change("format = 1", "format = 2"),
        change("level = 2", "level = 7"),
        change("\"A case\"", "\" \""),
        change("\"small-mill\"", "\"big-mill\""),
        change("order = \"It stops.\"\n", ""),
        change("\"ask 1\"", "\"ask 3\""),
        change("\"ask 1\"", "\"ask him\""),
        change("\"check lamp\"", "\"check lampe\""),
        change("\"remedy clean-right\"", "\"remedy hope\""),
        change("\"lockout\"", "\"lock it\""),
        change(", \"prove\"]", "]"),
        change("proof = [\"traverse\"]", "proof = []"),
        change("proof = [\"traverse\"]", "proof = [\"travers\"]"),
        change("trust = \"true\"", "trust = \"maybe\""),
        change("tape-smear", "tape-smudge"),
        change("tape-smear", "clamp-on"),
        change("[60, 90]", "[90, 60]"),
        change("[60, 90]", "[60, 900]"),
        change("at_mm = [100, 300]\n", ""),
        change("at_mm = [100, 300]", "at_mm = [100, 9000]"),
        change("at_mm = [100, 300]", "at_mm = [300, 100]"),
        change("fault = \"tape-smear\"", "fault = \"head-yaw\""),
        change("lesson = \"It was dirt.\"", "lesson = \"It was dirt.\"\nhint = \"look\""),
        change("lesson = \"It was dirt.\"", "lesson = \"It was dirt.\"\n[set.head]\ngap_um = 9000"),
    ];
    let told: Vec<String> = cases.iter().map(|text| read("a.toml", text).unwrap_err().to_string()).collect();
    insta::assert_snapshot!(told.join("\n"));
}

proptest! {
    #[test]
    fn any_mutation_gives_a_case_or_an_error(at in 0_usize..400, len in 0_usize..20, put in "[ -~\n]{0,12}") {
        let mut text = GOOD.to_owned();
        let at = at.min(text.len());
        let end = (at + len).min(text.len());
        text.replace_range(at..end, &put);
        if let Err(why) = read("a.toml", &text) {
            prop_assert!(!why.what.is_empty() && !why.mend.is_empty());
        }
    }
}
