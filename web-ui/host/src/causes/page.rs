//! The catalogue for people: a list, and one entry in full.

use std::fmt::Write as _;

use sim_core::fault::service::{DEFER, Kind, Service};

/// No line is longer, so that it fits a terminal beside another window.
const COLUMNS: usize = 100;

/// All causes by kind: name, title, minutes and parts of each.
pub fn list(services: &[Service]) -> String {
    let title = |s: &Service| s.row().map_or("", |row| row.title);
    let width = |of: fn(&Service) -> &'static str| services.iter().map(|s| of(s).chars().count()).max().unwrap_or(0);
    let (names, titles) = (width(|s| s.name), width(|s| s.row().map_or("", |row| row.title)));
    let mut text = String::new();
    for kind in Kind::ALL {
        let head = kind.title();
        // Writing to a string cannot fail.
        let _ = writeln!(text, "{head:<0$}{1:<titles$}  minutes  parts", names + 4, "on the bench");
        for service in services.iter().filter(|s| s.kind == kind) {
            let (name, title) = (service.name, title(service));
            let (minutes, parts) = (service.minutes, service.parts.words());
            let _ = writeln!(text, "  {name:<names$}  {title:<titles$}  {minutes:>7}  {parts}");
        }
        text.push('\n');
    }
    let on_bench = services.iter().filter(|s| s.row().is_some()).count();
    let count = services.len();
    let note = format!(
        "{count} causes; the {on_bench} with a name on the bench can be put in there. Minutes are those of the remedy, \
         parts are money in any currency. `countlight causes NAME` tells all about one."
    );
    wrap(&mut text, "", "", &note);
    text
}

/// All about one cause.
pub fn entry(service: &Service) -> String {
    let mut text = String::new();
    let _ = match service.row() {
        Some(row) => writeln!(text, "{}: {}", service.name, row.title),
        None => writeln!(text, "{} (cannot be put in on the bench)", service.name),
    };
    let _ = writeln!(text, "{}, {} min, parts: {}", service.kind.name(), service.minutes, service.parts.words());
    section(&mut text, "Cause", &[service.cause]);
    section(&mut text, "What is seen", service.seen);
    section(&mut text, "What tells it from others", service.tells);
    section(&mut text, "Remedy", &[service.remedy]);
    let cautions: Vec<&str> = service.cautions.iter().map(|c| c.text()).collect();
    section(&mut text, "Cautions", &cautions);
    text.push('\n');
    wrap(&mut text, "", "", DEFER);
    text
}

/// A heading and its sentences, with a dash each when there are several.
fn section(text: &mut String, heading: &str, sentences: &[&str]) {
    let _ = writeln!(text, "\n{heading}");
    let (first, next) = if sentences.len() > 1 { ("  - ", "    ") } else { ("  ", "  ") };
    for sentence in sentences {
        wrap(text, first, next, sentence);
    }
}

/// Adds a sentence in lines of at most [`COLUMNS`]: what the first line begins with, and what the next ones do.
fn wrap(text: &mut String, first: &str, next: &str, sentence: &str) {
    let mut line = first.to_owned();
    let mut begun = false;
    for word in sentence.split(' ') {
        if begun && line.chars().count() + 1 + word.chars().count() > COLUMNS {
            text.push_str(&line);
            text.push('\n');
            line.clear();
            line.push_str(next);
            begun = false;
        }
        if begun {
            line.push(' ');
        }
        line.push_str(word);
        begun = true;
    }
    text.push_str(&line);
    text.push('\n');
}

#[cfg(test)]
mod tests {
    use sim_core::fault::service::SERVICES;

    use super::*;

    #[test]
    fn nothing_is_wider_than_the_page_and_no_word_is_lost() {
        for service in &SERVICES {
            let told = entry(service);
            assert!(told.lines().all(|l| l.chars().count() <= COLUMNS && l.trim_end() == l), "{told}");
            let words = |text: &str| text.split_whitespace().map(str::to_owned).collect::<Vec<_>>();
            let found = words(&told).join(" ");
            for text in [service.cause, service.remedy, DEFER] {
                assert!(found.contains(&words(text).join(" ")), "{text}\n{told}");
            }
            let rows = service.seen.iter().chain(service.tells).copied();
            for text in rows.chain(service.cautions.iter().map(|c| c.text())) {
                assert!(found.contains(text), "{text}\n{told}");
            }
        }
        let told = list(&SERVICES);
        assert!(told.lines().all(|l| l.chars().count() <= COLUMNS), "{told}");
    }

    #[test]
    fn a_line_breaks_at_the_last_word_that_fits() {
        let mut text = String::new();
        // 4 + 96 columns fill the line to the last one; one letter more does not fit.
        wrap(&mut text, "  - ", "    ", &format!("{} {}", "a".repeat(48), "b".repeat(47)));
        wrap(&mut text, "  - ", "    ", &format!("{} {}", "a".repeat(48), "b".repeat(48)));
        let lines: Vec<usize> = text.lines().map(str::len).collect();
        assert_eq!(lines, [100, 52, 52]);
    }

    #[test]
    fn columns_stand_below_each_other() {
        let told = list(&SERVICES);
        let at: Vec<usize> = told.lines().filter_map(|l| l.find("minutes  parts")).collect();
        assert_eq!(at.len(), Kind::ALL.len());
        assert!(at.iter().all(|column| *column == at[0]), "{told}");
        let row = told.lines().find(|l| l.trim_start().starts_with("window-film")).expect("its row");
        assert!(row.contains("Film on the window"), "{row}");
        assert_eq!(row.get(at[0]..at[0] + 7), Some("     15"), "{row}");
    }
}
