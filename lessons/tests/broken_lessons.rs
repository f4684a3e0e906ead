//! Broken lessons. Each is refused with the file, the right line, what is wrong and a remedy; the snapshot shows all
//! messages together, so that a reader can judge whether they help.

#[path = "broken_lessons/mod.rs"]
mod table;

use lessons::lesson::{LessonFile, read};
use std::fmt::Write;
use table::{CASES, FOLDER, GOOD, broken, files};

#[test]
fn every_broken_lesson_is_refused_with_place_reason_and_remedy() {
    let mut unhelpful = Vec::new();
    for case in &CASES {
        let (text, lesson) = broken(case);
        let error = lesson.err().unwrap_or_else(|| panic!("{} was read", case.name));
        let told = error.to_string();
        let at = text.find(case.at).unwrap_or_else(|| panic!("{}: \"{}\" is not there", case.name, case.at));
        // The words to look for may span lines: the last of them is meant.
        let line = 1 + text[..at + case.at.len()].matches('\n').count();
        let place = format!("{FOLDER}/lesson.en.md:{line}:");
        let good = told.starts_with(&place)
            && told.contains(case.says)
            && told.contains("\n  To mend it: ")
            && error.mend.len() > 8
            && !told.chars().any(|c| c == '`' || (c.is_control() && c != '\n'))
            && told.lines().all(|l| l.chars().count() <= 270);
        if !good {
            unhelpful.push(format!("{}: wanted {place} and \"{}\" in\n{told}", case.name, case.says));
        }
    }
    assert!(unhelpful.is_empty(), "{}", unhelpful.join("\n"));
}

#[test]
fn the_messages_read_well() {
    let mut all = String::new();
    for case in &CASES {
        let error = broken(case).1.err().unwrap_or_else(|| panic!("{} was read", case.name));
        writeln!(all, "{}\n{error}\n", case.name).unwrap();
    }
    insta::assert_snapshot!(all);
}

#[test]
fn the_table_starts_from_a_good_lesson_and_no_case_stands_twice() {
    read(FOLDER, &files(GOOD)).unwrap_or_else(|e| panic!("{e}"));
    read(FOLDER, &files(&format!("\u{feff}{}", GOOD.replace('\n', "\r\n")))).unwrap_or_else(|e| panic!("{e}"));
    for (i, case) in CASES.iter().enumerate() {
        assert!(CASES[..i].iter().all(|other| other.name != case.name), "{}", case.name);
    }
}

#[test]
fn folders_files_and_translations_are_checked() {
    let told = |folder: &str, files: &[LessonFile]| read(folder, files).expect_err("refused").to_string();
    let file = |name: &str, text: &str| LessonFile { name: name.to_owned(), bytes: text.as_bytes().to_vec() };
    let with = |more: LessonFile| [files(GOOD), vec![more]].concat();
    let words = GOOD.split_once("\n+++\n").unwrap().1;
    let spanish =
        |of: &str, words: &str| file("lesson.es.md", &format!("+++\nformat = 1\nof = \"{of}\"\n+++\n{words}"));
    read(FOLDER, &with(spanish("1.0.0", words))).unwrap_or_else(|e| panic!("{e}"));
    let mut all = String::new();
    for text in [
        told("my lesson", &files(GOOD)),
        told(FOLDER, &files(GOOD)[1..]),
        told(FOLDER, &with(file("notes.md", "x"))),
        told(FOLDER, &with(LessonFile { name: "lesson.es.md".to_owned(), bytes: vec![0xff, 0xfe] })),
        told(FOLDER, &with(LessonFile { name: "lesson.es.md".to_owned(), bytes: vec![b'x'; 2 << 20] })),
        told(FOLDER, &with(file("more.toml", "format = 1\n"))),
        told(FOLDER, &with(spanish("0.9.0", words))),
        told(FOLDER, &with(spanish("1.0.0", &words.replace("{#why}", "{#wy}")))),
        told(FOLDER, &with(spanish("1.0.0", words.split("## For the instructor").next().unwrap()))),
        told(FOLDER, &with(spanish("1.0.0", &words.replace("{pitch_mm}", "{pitsh_mm}")))),
    ] {
        assert!(text.contains("\n  To mend it: "), "{text}");
        writeln!(all, "{text}\n").unwrap();
    }
    insta::assert_snapshot!(all);
}
