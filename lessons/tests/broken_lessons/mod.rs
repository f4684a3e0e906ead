//! The table of broken lessons: what is changed in a good one, the line that is wrong, and a piece of what must be said.

use lessons::lesson::{Lesson, LessonError, LessonFile, read};

/// A small lesson with nothing wrong.
pub const GOOD: &str = include_str!("good.en.md");

/// Its scene.
const BENCH: &str = "format = 1\ntitle = \"A test\"\nabout = \"For the tests.\"\nbench = \"teaching-rail\"\nduration_s = 3\n\
    [set]\nservo.feedback = \"motor\"\n[[step]]\nat_s = 0.2\ndo = { move_by = { by_mm = 5, speed_m_per_min = 0.3 } }\n";

/// A claim that its run bears out.
const CLAIM: &str = "[[expect]]\nreading = \"alarms\"\nto = 0\n";

/// The folder of the good lesson.
pub const FOLDER: &str = "L07-a-test";

/// What is wrong.
pub struct Case {
    /// Name, in the order of the file.
    pub name: &'static str,
    /// Words of the good lesson that are replaced.
    pub from: &'static str,
    /// What replaces them.
    pub to: &'static str,
    /// Words of the broken file whose line is named; empty when none is.
    pub at: &'static str,
    /// A piece of the message.
    pub says: &'static str,
}

/// The files of a lesson with these words.
pub fn files(text: &str) -> Vec<LessonFile> {
    let file = |name: &str, text: &str| LessonFile { name: name.to_owned(), bytes: text.as_bytes().to_vec() };
    let bench = BENCH.split("[[step]]").next().unwrap_or_default();
    vec![file("lesson.en.md", text), file("bench.toml", bench), file("shown.toml", &format!("{BENCH}{CLAIM}"))]
}

/// The good lesson, broken as a case says.
pub fn broken(case: &Case) -> (String, Result<Lesson, LessonError>) {
    assert!(
        case.from.is_empty() || GOOD.contains(case.from),
        "{}: \"{}\" is not in the good lesson",
        case.name,
        case.from
    );
    let text = GOOD.replacen(case.from, case.to, 1);
    let lesson = read(FOLDER, &files(&text));
    (text, lesson)
}

const fn case(name: &'static str, from: &'static str, to: &'static str, at: &'static str, says: &'static str) -> Case {
    Case { name, from, to, at, says }
}

const GOAL: &str = "goal = \"pulses(A) = 5 after move 5 mm at 0.3 m/min\"";

/// All broken lessons.
pub static CASES: [Case; 88] = [
    case("no fence", "+++\nformat", "format", "format = 1", "does not begin with +++"),
    case("no second fence", "\n+++\n# A", "\n# A", "+++", "have no end"),
    case("no format", "format = 1\n", "", "+++", "format number is missing"),
    case("newer format", "format = 1", "format = 2", "format = 2", "this lesson has format 2"),
    case("toml", "minutes = 20", "minutes 20", "minutes 20", "has no value"),
    case("unknown key", "minutes = 20", "minuts = 20", "minuts", "did you mean \"minutes\""),
    case("no minutes", "minutes = 20\n", "", "+++", "\"minutes\" is missing"),
    case(
        "minutes out of range",
        "minutes = 20",
        "minutes = 500",
        "minutes = 500",
        "outside the allowed range 5 to 120",
    ),
    case("version", "\"1.0.0\"", "\"1.0\"", "version = \"1.0\"", "no version"),
    case("unknown competency", "[\"K01\"]\nneeds", "[\"K99\"]\nneeds", "K99", "no competency \"K99\""),
    case("teaches nothing", "teaches = [\"K01\"]", "teaches = []", "version", "must teach something"),
    case(
        "taught and not checked",
        "teaches = [\"K01\"]",
        "teaches = [\"K01\", \"K03\"]",
        "\"K03\"",
        "no part of the lesson checks it",
    ),
    case("unknown misconception", "believes = \"M01\"", "believes = \"M91\"", "M91", "no misconception \"M91\""),
    case("belief not named", "believes = \"M01\"\n", "", "id = \"distance\"", "does not say what is believed"),
    case(
        "nothing shows it",
        "believes = \"M01\"\nshow = \"shown\"\n\n[[task]]",
        "believes = \"M01\"\n\n[[task]]",
        "id = \"distance\"",
        "nothing shows",
    ),
    case("no such scene", "bench = \"bench\"", "bench = \"bensh\"", "bensh", "did you mean \"bench\""),
    case(
        "scene without a claim",
        "show = \"shown\"",
        "show = \"bench\"",
        "show = \"bench\"",
        "does not say what it shows",
    ),
    case(
        "scene that nobody uses",
        "bench = \"bench\"",
        "bench = \"shown\"",
        "bench = \"shown\"",
        "uses the scene \"bench\"",
    ),
    case("id", "id = \"do\"", "id = \"Do it\"", "Do it", "\"Do it\" is no id"),
    case("id twice", "id = \"do\"", "id = \"ask\"", "[[task]]\nid", "is taken"),
    case("id that is kept", "id = \"do\"", "id = \"why\"", "[[task]]\nid", "is taken"),
    case("answer id twice", "id = \"many\"", "id = \"few\"", "[[exit.option]]\nid = \"few\"", "stands twice"),
    case(
        "answer id that is kept",
        "id = \"lines\"",
        "id = \"answer\"",
        "[[exit.wrong]]\nid",
        "is kept for other words",
    ),
    case(
        "question without wrong answers",
        "[[predict.wrong]]\nid = \"distance\"\nbelieves = \"M01\"\nshow = \"shown\"\n",
        "",
        "id = \"ask\"",
        "no wrong answers",
    ),
    case(
        "wrong prediction with a value",
        "believes = \"M01\"\nshow",
        "believes = \"M01\"\nvalue = \"1\"\nshow",
        "value = \"1\"",
        "has no value",
    ),
    case("goal: unknown measure", GOAL, "goal = \"pulsess(A) = 5\"", "pulsess", "did you mean \"pulses\""),
    case("goal: no channel", GOAL, "goal = \"pulses = 5\"", "goal =", "write pulses(A) or pulses(B)"),
    case("goal: wrong channel", GOAL, "goal = \"pulses(C) = 5\"", "goal =", "needs to know of what"),
    case("goal: bracket", GOAL, "goal = \"pulses(A = 5\"", "goal =", "bracket is not closed"),
    case("goal: nothing in brackets", GOAL, "goal = \"count(A) = 5\"", "goal =", "takes nothing in brackets"),
    case("goal: no test", GOAL, "goal = \"pulses(A) after move 5 mm\"", "goal =", "nothing says what it must be"),
    case("goal: no number", GOAL, "goal = \"pulses(A) = many\"", "goal =", "a number is expected here, found \"many\""),
    case("goal: half a range", GOAL, "goal = \"duty(A) in 45 %\"", "goal =", "a range needs two ends"),
    case("goal: range backwards", GOAL, "goal = \"duty(A) in 55..45 %\"", "goal =", "from 55 down to 45"),
    case("goal: no unit", GOAL, "goal = \"duty(A) in 45..55\"", "goal =", "the unit is missing"),
    case("goal: wrong unit", GOAL, "goal = \"duty(A) in 45..55 mm\"", "goal =", "\"mm\" is no unit of this"),
    case("goal: unknown scope", GOAL, "goal = \"pulses(A) = 5 during 3 s\"", "goal =", "no unit of this"),
    case(
        "goal: goes on",
        GOAL,
        "goal = \"duty(A) in 45..55 % andd no fault\"",
        "goal =",
        "\"andd\" does not fit here; did you mean \"and\"",
    ),
    case("goal: after what", GOAL, "goal = \"count = 0 after 3 times\"", "goal =", "after what?"),
    case("goal: half a stroke", GOAL, "goal = \"count = 0 after 0.5 strokes\"", "goal =", "not a number of times"),
    case("goal: scope twice", GOAL, "goal = \"count = 0 after 3 strokes after 4 strokes\"", "goal =", "stands twice"),
    case(
        "goal: not along the travel",
        GOAL,
        "goal = \"count = 0 over travel\"",
        "goal =",
        "not measured at every place",
    ),
    case("goal: not after homings", GOAL, "goal = \"count = 0 after 3 homings\"", "goal =", "only home_shift"),
    case("goal: no alarm over travel", GOAL, "goal = \"no fault over travel\"", "goal =", "only a measured quantity"),
    case("goal: no limit", GOAL, "goal = \"speed < limit\"", "goal =", "watches no limit of speed"),
    case("goal: exactly the limit", GOAL, "goal = \"following_error = limit\"", "goal =", "a number is expected here"),
    case("goal: both ways of what", GOAL, "goal = \"overshoot < 5 um both ways\"", "goal =", "said of a move"),
    case(
        "goal: both ways with a sign",
        GOAL,
        "goal = \"overshoot < 5 um after move -5 mm both ways\"",
        "goal =",
        "said of a move",
    ),
    case("goal: unknown alarm", GOAL, "goal = \"fault(overspeeed)\"", "goal =", "did you mean \"overspeed\""),
    case(
        "goal: unknown command",
        GOAL,
        "goal = \"done clean\"",
        "goal =",
        "there is no step \"clean\"; did you mean \"clean-right\"",
    ),
    case("goal: no time", GOAL, "goal = \"no fault for 0 s\"", "goal =", "more than nothing"),
    case("goal: empty", GOAL, "goal = \"\"", "goal =", "a condition is expected"),
    case(
        "no solution",
        "[[task.solution]]\nat_s = 0.5\ndo = { move_by = { by_mm = 5, speed_m_per_min = 0.3 } }\n",
        "",
        "id = \"do\"",
        "has no solution",
    ),
    case(
        "no wrong attempt",
        "[[task.attempt]]\nat_s = 0.5\ndo = { move_by = { by_mm = 4, speed_m_per_min = 0.3 } }\n",
        "",
        "id = \"do\"",
        "has no attempt",
    ),
    case(
        "step after the end",
        "at_s = 0.5\ndo = { move_by = { by_mm = 4",
        "at_s = 9\ndo = { move_by = { by_mm = 4",
        "[[task.attempt]]",
        "the script ends at 3 s",
    ),
    case(
        "step that the bench cannot do",
        "by_mm = 4, speed_m_per_min = 0.3",
        "by_mm = 4, speed_m_per_min = 50",
        "[[task.attempt]]",
        "too fast for this axis",
    ),
    case(
        "step that is no command",
        "{ move_by = { by_mm = 4",
        "{ move_off = { by_mm = 4",
        "move_off",
        "\"move_off\" is not known here",
    ),
    case("neither number nor choice", "answer = \"n * pitch_mm\"\n", "", "id = \"far\"", "one of the two"),
    case("no tolerance", "tolerance = \"1 %\"\n", "", "id = \"far\"", "in which unit and how exactly"),
    case("tolerance", "tolerance = \"1 %\"", "tolerance = \"a bit\"", "a bit", "is no tolerance"),
    case("unit", "unit = \"mm\"", "unit = \"mn\"", "unit = \"mn\"", "no unit \"mn\""),
    case("sum", "answer = \"n * pitch_mm\"", "answer = \"n * \"", "answer = \"n * \"", "ends too early"),
    case(
        "sum with a bracket",
        "answer = \"n * pitch_mm\"",
        "answer = \"(n * pitch_mm\"",
        "answer =",
        "bracket is not closed",
    ),
    case(
        "sum with an unknown name",
        "answer = \"n * pitch_mm\"",
        "answer = \"n * pitch\"",
        "answer =",
        "did you mean \"pitch_mm\"",
    ),
    case(
        "sum with an unknown function",
        "answer = \"n * pitch_mm\"",
        "answer = \"root(n)\"",
        "answer =",
        "no function \"root\"",
    ),
    case(
        "wrong value that is right",
        "value = \"n\"",
        "value = \"pitch_mm * n\"",
        "id = \"far\"",
        "as good as the right one",
    ),
    case("wrong value missing", "value = \"n\"\n", "", "id = \"lines\"", "has no value"),
    case(
        "nothing drawn",
        "param = { n = { from = 1, to = 9, step = 1 } }\n",
        "",
        "when = \"n < 5\"",
        "nothing is drawn",
    ),
    case(
        "param without a range",
        "{ from = 3, to = 9, step = 1 }",
        "{ from = 3 }",
        "param =",
        "what it may be is not said",
    ),
    case(
        "param backwards",
        "{ from = 3, to = 9, step = 1 }",
        "{ from = 9, to = 3, step = 1 }",
        "param =",
        "give no range",
    ),
    case("param name", "n = { from = 3", "N = { from = 3", "param =", "no name for a drawn number"),
    case("two options right", "when = \"n >= 5\"", "when = \"n > 3\"", "id = \"more\"", "not exactly one"),
    case("option without a condition", "when = \"n >= 5\"\n", "", "id = \"many\"", "nothing says when"),
    case(
        "option never right",
        "when = \"n >= 5\"",
        "when = \"n >= 5\"\n[[exit.option]]\nid = \"none\"\nwhen = \"n > 50\"",
        "id = \"more\"",
        "\"none\" is never right",
    ),
    case("heading without id", "## Why {#why}", "## Why", "## Why", "has no id"),
    case("heading with a bad id", "{#why}", "{#Why not}", "Why not", "\"Why not\" is no id"),
    case("heading id twice", "{#why}", "{#see}", "## Why", "stands behind two headings"),
    case("heading for nothing", "{#do.hints}", "{#do.hnts}", "do.hnts", "did you mean \"do.hints\""),
    case("no explanation", "## Why {#why}\n\nSo.\n", "", "version", "the explanation is missing"),
    case(
        "no answer to a wrong answer",
        "### Wrong {#ask.distance}\n\nBecause it is not.\n",
        "",
        "id = \"distance\"",
        "with what is said to it is missing",
    ),
    case("empty answer to a wrong answer", "Because it is not.\n", "", "### Wrong", "nothing stands below"),
    case(
        "option without a label",
        "### Wrong {#ask.distance}",
        "### {#ask.distance}",
        "{#ask.distance}",
        "has no heading",
    ),
    case(
        "words before the first heading",
        "+++\n# A lesson",
        "+++\nHello.\n# A lesson",
        "Hello.",
        "before the first heading",
    ),
    case("too few hints", "2. Compare.\n3. Do.\n", "", "do.hints", "has 1 hints"),
    case("glossary", "- **pitch**: from line to line.", "pitch is from line to line", "## Words", "a list of words"),
    case(
        "claim without a source",
        "One count a line: Common practice.",
        "One count a line.",
        "notes.sources",
        "anything that backs it",
    ),
    case("sum in the words", "{shown.count:0}", "{shown.cuont:0}", "shown.cuont", "did you mean \"count\""),
    case("brace in the words", "{n} of them.", "{n of them.", "{n of them", "brace is not closed"),
];
