//! The reader's messages in plain words. The parser speaks to programmers ("invalid type", "unknown variant"); this
//! says the same to somebody who writes a scene, with a remedy.

use crate::slips;
use sim_core::names::nearest_hint;

/// What is wrong, and how to mend it.
pub type Told = (String, String);

/// A message of the parser in plain words; `line` is the line that it marks.
pub fn plain(message: &str, line: &str) -> Told {
    let message = message.trim().replace('\n', "; ");
    unknown_name(&message)
        .or_else(|| missing_line(&message))
        .or_else(|| wrong_kind(&message))
        .or_else(|| two_at_once(&message, line))
        .or_else(|| own_words(&message))
        .unwrap_or_else(|| slips::plain(&message))
}

/// The text between the first pair of backquotes, and what follows it.
fn quoted(text: &str) -> Option<(&str, &str)> {
    let (_, rest) = text.split_once('`')?;
    rest.split_once('`')
}

fn unknown_name(message: &str) -> Option<Told> {
    let field = message.starts_with("unknown field");
    if !field && !message.starts_with("unknown variant") {
        return None;
    }
    let (name, mut rest) = quoted(message)?;
    let mut known = Vec::new();
    while let Some((word, more)) = quoted(rest) {
        known.push(word);
        rest = more;
    }
    if known.is_empty() {
        return Some((format!("\"{name}\" has no place here"), "remove it.".to_owned()));
    }
    let hint = nearest_hint(name, known.iter().copied());
    let what = format!("\"{name}\" is not known here; {hint}");
    let mend = match (hint.starts_with("did you mean"), field) {
        (true, _) => "correct the spelling.",
        (false, true) => "use one of these names, or remove the line.",
        (false, false) => "use one of these words.",
    };
    Some((what, mend.to_owned()))
}

fn missing_line(message: &str) -> Option<Told> {
    let (name, _) = quoted(message.strip_prefix("missing field")?)?;
    let example = match name {
        "title" => "title = \"My scene\"",
        "about" => "about = \"What it shows and what to look at.\"",
        "bench" => "bench = \"teaching-rail\"",
        "duration_s" => "duration_s = 10",
        "at_s" => "at_s = 0.5",
        "do" => "do = \"home\"",
        "from_mm" => "from_mm = 200",
        "to_mm" => "to_mm = 400",
        "by_mm" => "by_mm = 20",
        "speed_m_per_min" => "speed_m_per_min = 3",
        "direction" => "direction = \"forward\"",
        "substance" => "substance = \"fingerprint\"",
        "strength_percent" => "strength_percent = 100",
        "method" => "method = \"permitted-solvent\"",
        "hours" => "hours = 100",
        "blocked_percent" => "blocked_percent = 90",
        "fault" => "fault = \"tape-smear\"",
        "reading" => "reading = \"amplitude_a_v\"",
        "scene" => "scene = \"gap-wide\"",
        "severity_percent" => "severity_percent = 50",
        _ => return Some((format!("\"{name}\" is missing"), format!("add {name} with its value."))),
    };
    Some((format!("\"{name}\" is missing"), format!("add it, for example {example}")))
}

fn wrong_kind(message: &str) -> Option<Told> {
    if message.contains("unit variant, expected") {
        let what = "this command needs its parts".to_owned();
        return Some((
            what,
            "write them in { }, as in { jog = { direction = \"forward\", speed_m_per_min = 3 } }".into(),
        ));
    }
    if message.contains("expected empty table") || message.contains("expected unit variant") {
        return Some(("this command has no parts".to_owned(), "write its name alone, in quotes.".to_owned()));
    }
    let rest = message.strip_prefix("invalid type: ").or_else(|| message.strip_prefix("invalid value: "))?;
    let (found, expected) = rest.split_once(", expected ")?;
    let found = match found.split_once(' ') {
        Some(("string", text)) => format!("the text {text}"),
        Some(("integer" | "floating", number)) => {
            format!("the number {}", number.trim_start_matches("point ").trim_matches('`'))
        }
        Some(("boolean", word)) => word.trim_matches('`').to_owned(),
        _ => match found {
            "map" => "a table".to_owned(),
            "sequence" => "a list in [ ]".to_owned(),
            other => other.to_owned(),
        },
    };
    let (expected, mend) = match expected {
        "f64" => ("a number", "write the bare number, without quotes and without a unit; the unit is in the name."),
        "u32" => ("a whole number from 0 to 4294967295", "write a whole number, such as 1."),
        "a string" => ("a text in quotes", "put the text in double quotes."),
        "string or table" | "map" => ("a name in quotes or a table in { }", "compare with a scene that works."),
        "a number or a word in quotes" => (expected, "write one value, such as 800 or \"x4\"."),
        of if of.starts_with("settings of ") => (of, "write one line for each setting, or a table in { }."),
        "a sequence" => ("a list of steps", "begin each step with a line [[step]]."),
        other if other.starts_with("struct ") => {
            ("a table of names and values", "write the parts in { }, as in { to_mm = 400, speed_m_per_min = 3 }.")
        }
        other => (other, "write it in the form that is expected."),
    };
    Some((format!("expected {expected}, found {found}"), mend.to_owned()))
}

fn two_at_once(message: &str, line: &str) -> Option<Told> {
    if message.contains("duplicate key") && line.contains("[step") {
        let what = "one step begins with [step], another with [[step]]".to_owned();
        return Some((what, "begin every step with [[step]].".to_owned()));
    }
    if message.contains("duplicate key") {
        let what = "this name stands twice in the same table".to_owned();
        return Some((what, "keep one of the two lines.".to_owned()));
    }
    if message.starts_with("wanted exactly 1 element") {
        let what = "a step does exactly one thing".to_owned();
        return Some((what, "write one command after do; give the other a [[step]] of its own.".to_owned()));
    }
    None
}

/// Messages of the bench's own types: they say what is allowed and often the remedy; where they do not, it is added.
fn own_words(message: &str) -> Option<Told> {
    if let Some((what, mend)) = message.split_once("; write ") {
        return Some((what.to_owned(), format!("write {mend}.")));
    }
    let mend = if message.contains("outside the allowed range") {
        "choose a number inside the range."
    } else if message.contains("there is no setting") {
        "correct the name; its ending is the unit."
    } else if message.contains("there is no group") {
        "correct the part before the dot."
    } else if message.contains("must be a whole number") {
        "round it."
    } else {
        return None;
    };
    Some((message.to_owned(), mend.to_owned()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_parser_is_put_into_plain_words() {
        let what = |message| plain(message, "").0;
        assert_eq!(
            what("unknown field `sped`, expected one of `from_mm`, `speed`"),
            "\"sped\" is not known here; did you mean \"speed\"?"
        );
        assert_eq!(what("unknown variant `dance`, expected `stop`"), "\"dance\" is not known here; there is only stop");
        assert_eq!(what("missing field `title`"), "\"title\" is missing");
        assert_eq!(
            what("invalid type: string \"0.8 mm\", expected f64"),
            "expected a number, found the text \"0.8 mm\""
        );
        assert_eq!(
            what("invalid value: integer `-1`, expected u32"),
            "expected a whole number from 0 to 4294967295, found the number -1"
        );
    }
}
