//! The table of broken scenes: what is in the file, the line that is wrong, and a piece of what must be said.

/// A scene with nothing wrong, from which most cases differ in one line.
pub const GOOD: &str = r#"format = 1
title = "A test"
about = "For the tests."
bench = "router-gantry"
duration_s = 10
start_mm = 1400

[set]
head.gap_um = 800

[[step]]
at_s = 0.5
do = { move_to = { to_mm = 1700, speed_m_per_min = 20 } }

[[step]]
at_s = 4
do = "stop"
"#;

/// One broken scene.
pub struct Case {
    /// Name, and of the file without its ending.
    pub name: &'static str,
    /// What is in it.
    pub bytes: Vec<u8>,
    /// Line that is wrong; none when the file as a whole is.
    pub line: Option<usize>,
    /// A piece of the message.
    pub says: &'static str,
}

/// The good scene with one line, from 1, changed.
pub fn with(line: usize, new: &str) -> String {
    let mut lines: Vec<&str> = GOOD.lines().collect();
    lines[line - 1] = new;
    lines.join("\n") + "\n"
}

fn changed(name: &'static str, line: usize, new: &str, says: &'static str) -> Case {
    Case { name, bytes: with(line, new).into_bytes(), line: Some(line), says }
}

fn whole(name: &'static str, bytes: impl Into<Vec<u8>>, line: Option<usize>, says: &'static str) -> Case {
    Case { name, bytes: bytes.into(), line, says }
}

/// The good scene without the lines that start with a word.
fn without(start: &str) -> String {
    GOOD.lines().filter(|l| !l.starts_with(start)).collect::<Vec<_>>().join("\n")
}

/// A scene on the teaching rail that ends with these lines, the first of which is line 6.
fn on_the_rail(end: &str) -> String {
    let head =
        "format = 1\ntitle = \"A test\"\nabout = \"For the tests.\"\nbench = \"teaching-rail\"\nduration_s = 10\n";
    format!("{head}{end}")
}

macro_rules! file {
    ($name:literal, $line:expr, $says:literal) => {
        whole($name, include_bytes!(concat!("../broken/", $name, ".toml")).as_slice(), $line, $says)
    };
}

/// All cases.
pub fn cases() -> Vec<Case> {
    let mut all = files();
    all.extend(head());
    all.extend(settings());
    all.extend(steps());
    all.extend(claims());
    all
}

/// The file as a whole.
fn files() -> Vec<Case> {
    vec![
        whole("empty", "", None, "the file is empty"),
        whole("only-white-space", " \n\t\r\n\n", None, "the file is empty"),
        whole("only-a-mark", "\u{feff}", None, "the file is empty"),
        file!("picture", None, "not a text file"),
        file!("utf-16", None, "UTF-16"),
        file!("zero-byte", None, "byte 21 is zero"),
        file!("latin-1", Some(2), "not UTF-8"),
        file!("another-program", Some(1), "format number is missing"),
        file!("missing-bracket", Some(10), "not closed"),
        file!("two-commands", Some(10), "exactly one thing"),
        file!("step-without-time", Some(12), "\"at_s\" is missing"),
    ]
}

/// What stands before the settings.
fn head() -> Vec<Case> {
    let long_title = format!("title = \"{}\"", "long ".repeat(20));
    let long_line = format!("title = {}", "x".repeat(200_000));
    let deep = format!("about = {}", "[".repeat(1000));
    vec![
        changed("newer-format", 1, "format = 2", "this program reads format 1"),
        changed("older-format", 1, "format = 0", "must be the whole number 1"),
        changed("format-as-text", 1, "format = \"1\"", "must be the whole number 1"),
        changed("format-as-a-fraction", 1, "format = 1.0", "must be the whole number 1"),
        whole("format-missing", without("format"), Some(1), "format number is missing"),
        whole("title-missing", without("title"), Some(1), "\"title\" is missing"),
        whole("duration-missing", without("duration"), Some(1), "\"duration_s\" is missing"),
        changed("title-empty", 2, "title = \"  \"", "0 characters; 1 to 80 are allowed"),
        changed("title-too-long", 2, &long_title, "99 characters; 1 to 80 are allowed"),
        changed("title-without-quotes", 2, "title = A test", "double quotes"),
        changed("quote-not-closed", 2, "title = \"A test", "not closed"),
        changed("equals-sign-missing", 2, "title \"A test\"", "no value"),
        changed("very-long-line", 2, &long_line, "double quotes"),
        changed("deep-nesting", 3, &deep, "too many brackets"),
        changed("name-twice", 3, "title = \"Again\"", "stands twice"),
        changed("unknown-field", 3, "abuot = \"For the tests.\"", "did you mean \"about\"?"),
        changed("unknown-field-far-off", 3, "author = \"me\"", "known here"),
        changed("unknown-bench", 4, "bench = \"lathe\"", "teaching-rail"),
        changed("unknown-bench-near", 4, "bench = \"router_gantry\"", "did you mean \"router-gantry\"?"),
        changed("duration-zero", 5, "duration_s = 0", "longer than 0 s"),
        changed("duration-negative", 5, "duration_s = -10", "range 0 to 3600"),
        changed("duration-too-long", 5, "duration_s = 3601", "range 0 to 3600"),
        changed("duration-not-a-number", 5, "duration_s = nan", "not a finite number"),
        changed("duration-infinite", 5, "duration_s = inf", "not a finite number"),
        changed("duration-as-text", 5, "duration_s = \"10 s\"", "expected a number, found the text \"10 s\""),
        changed("start-off-the-axis", 6, "start_mm = 3500", "its travel is 0 to 3200 mm"),
        changed("start-far-off", 6, "start_mm = -1e300", "range -100 to 4000"),
        changed("seed-negative", 6, "seed = -1", "0 to 4294967295"),
        changed("seed-a-fraction", 6, "seed = 1.5", "expected a whole number"),
    ]
}

/// `[set]`.
fn settings() -> Vec<Case> {
    vec![
        changed("unknown-group", 9, "heat.gap_um = 800", "did you mean \"head\"?"),
        changed("unknown-setting", 9, "head.height = 800", "head.gap_um"),
        changed("wrong-unit", 9, "head.gap_mm = 0.8", "did you mean \"head.gap_um\"?"),
        changed("value-with-unit", 9, "head.gap_um = \"0.8 mm\"", "takes a number of um"),
        changed("gap-out-of-range", 9, "head.gap_um = 9000", "range 0 to 4000 um"),
        changed("gap-past-the-scale", 9, "head.gap_um = 3000", "range 0 to 2200 um of the tape-40 scale"),
        changed("gap-not-a-number", 9, "head.gap_um = nan", "not a finite number"),
        changed("gap-minus-infinite", 9, "head.gap_um = -inf", "not a finite number"),
        changed("interpolation-a-fraction", 9, "input.interpolation = 2.5", "whole number"),
        changed("counting-unknown", 9, "input.counting = \"x3\"", "\"x1\" or \"x2\" or \"x4\""),
        changed("counting-a-number", 9, "input.counting = 4", "\"x1\" or \"x2\" or \"x4\""),
        changed("setting-a-list", 9, "head.gap_um = [800]", "expected a number or a word in quotes"),
        changed("setting-true", 9, "head.gap_um = true", "expected a number or a word in quotes"),
        changed("group-a-number", 9, "head = 800", "settings of head"),
        whole(
            "square-on-the-rail",
            on_the_rail("[set]\nhead.output = \"square\"\n"),
            Some(7),
            "does not fit this bench",
        ),
        whole(
            "square-on-the-rail-in-a-step",
            on_the_rail("[[step]]\nat_s = 1\ndo = { set = { head.output = \"square\" } }\n"),
            Some(8),
            "does not fit this bench",
        ),
    ]
}

/// `[[step]]`.
fn steps() -> Vec<Case> {
    let command = |name, text: &str, says| changed(name, 13, &format!("do = {text}"), says);
    let before = GOOD.split_once("[[step]]").map_or(GOOD, |(before, _)| before);
    let many = format!("{before}{}", "[[step]]\nat_s = 1\ndo = \"stop\"\n".repeat(20_000));
    // Three lines a step; the first step that is too many is marked at its second line.
    let many_line = before.lines().count() + 3 * 10_000 + 2;
    let single = format!("{before}[step]\nat_s = 1\ndo = \"stop\"\n");
    vec![
        whole("too-many-steps", many, Some(many_line), "this scene has 20000 steps; 10000 are allowed"),
        whole("step-not-a-list", single, Some(before.lines().count() + 1), "expected a list"),
        whole("step-list-and-table", with(11, "[step]"), Some(15), "begins with [step]"),
        changed("step-after-the-end", 16, "at_s = 11", "the run ends at 10 s"),
        changed("steps-out-of-order", 16, "at_s = 0.25", "stands after a step at 0.5 s"),
        changed("step-before-the-start", 12, "at_s = -1", "range 0 to 3600"),
        changed("step-unknown-part", 12, "at_ms = 500", "\"at_ms\" is not known here"),
        command("unknown-command", "\"halt\"", "home"),
        command("unknown-command-near", "\"hoem\"", "did you mean \"home\"?"),
        command("command-without-its-parts", "\"jog\"", "needs its parts"),
        command("command-with-needless-parts", "{ home = { fast = true } }", "no parts"),
        command("part-missing", "{ move_to = { to_mm = 1700 } }", "\"speed_m_per_min\" is missing"),
        command("part-unknown", "{ move_to = { to_mm = 1700, speed = 20 } }", "\"speed_m_per_min\""),
        command("direction-unknown", "{ jog = { direction = \"left\", speed_m_per_min = 5 } }", "forward"),
        command("place-off-the-axis", "{ move_to = { to_mm = 3300, speed_m_per_min = 20 } }", "travel is 0 to 3200 mm"),
        command("too-fast", "{ jog = { direction = \"back\", speed_m_per_min = 55 } }", "it reaches 48.0 m/min"),
        command("speed-zero", "{ jog = { direction = \"back\", speed_m_per_min = 0 } }", "a speed above 0 m/min"),
        command(
            "shuttle-ends-equal",
            "{ shuttle = { from_mm = 400, to_mm = 400, speed_m_per_min = 5 } }",
            "at least 1 mm apart",
        ),
        command(
            "smear-backwards",
            "{ smear = { from_mm = 500, to_mm = 400, blocked_percent = 90 } }",
            "from_mm = 500 must be less than to_mm = 400",
        ),
        command(
            "smear-too-much",
            "{ smear = { from_mm = 400, to_mm = 500, blocked_percent = 120 } }",
            "range 0 to 100",
        ),
        command(
            "fault-unknown",
            "{ break = { fault = \"rust\", severity_percent = 50 } }",
            "is not known here; there are ",
        ),
        command("fault-unknown-near", "{ mend = \"gap-wides\" }", "did you mean \"gap-wide\"?"),
        command("smear-of-nothing", "{ smear = { from_mm = 400, to_mm = 500 } }", "does not say what is smeared"),
        command(
            "smear-of-both",
            "{ smear = { from_mm = 400, to_mm = 500, blocked_percent = 90, substance = \"dust\" } }",
            "blocked_percent or substance, not both",
        ),
        command(
            "substance-unknown",
            "{ smear = { from_mm = 400, to_mm = 500, substance = \"finger-print\" } }",
            "did you mean \"fingerprint\"?",
        ),
        command(
            "method-unknown",
            "{ wipe = { from_mm = 400, to_mm = 500, method = \"dry-clot\" } }",
            "did you mean \"dry-cloth\"?",
        ),
        command("method-missing", "{ wipe_all_with = {} }", "\"method\" is missing"),
        command(
            "gap-past-the-scale-in-a-step",
            "{ set = { head.gap_um = 3000 } }",
            "0 to 2200 um of the tape-40 scale",
        ),
        command("setting-in-a-step", "{ set = { head.gap_um = 9000 } }", "range 0 to 4000 um"),
    ]
}

/// `[[expect]]` and `[[look_alike]]`, below the good scene.
fn claims() -> Vec<Case> {
    let line = GOOD.lines().count() + 1;
    let below = |name, text: &str, at: usize, says| whole(name, format!("{GOOD}{text}\n"), Some(line + at), says);
    let expect = "[[expect]]\nreading = \"ratio\"\nfrom = 0.9\n";
    vec![
        below(
            "reading-unknown",
            "[[expect]]\nreading = \"amplitude_c_v\"\nto = 1",
            0,
            "did you mean \"amplitude_a_v\"?",
        ),
        below("expect-without-bounds", "[[expect]]\nreading = \"ratio\"", 0, "nothing says where it lies"),
        below("expect-upside-down", "[[expect]]\nreading = \"ratio\"\nfrom = 2\nto = 1", 0, "greater than"),
        below("expect-infinite", "[[expect]]\nreading = \"ratio\"\nto = inf", 0, "no finite number"),
        below("expect-as-text", "[[expect]]\nreading = \"ratio\"\nto = \"1.1\"", 2, "expected a number"),
        below("expect-misspelt", "[[expect]]\nreading = \"ratio\"\nupto = 1", 2, "known here"),
        below("expect-without-reading", "[[expect]]\nto = 1", 0, "\"reading\" is missing"),
        below(
            "look-alike-not-claimed",
            "[[look_alike]]\nscene = \"gap-wide\"\nreading = \"ratio\"",
            0,
            "does not say where",
        ),
        below(
            "look-alike-without-scene",
            &format!("{expect}[[look_alike]]\nreading = \"ratio\""),
            3,
            "\"scene\" is missing",
        ),
    ]
}
