//! The verbs `trace`, `check` and `causes` as a person uses them: exit codes, texts, files.

use std::fs;
use std::io::Read;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

fn countlight(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_countlight")).args(args).output().expect("the program starts")
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

fn files(dir: &Path) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(dir)
        .expect("the folder")
        .map(|entry| entry.expect("an entry").file_name().into_string().expect("a name"))
        .collect();
    names.sort();
    names
}

const BROKEN: &str = "format = 1\ntitle = \"x\"\nabout = \"\"\nbench = \"teaching-rail\"\nduration_s = -1\n";

#[test]
fn a_trace_is_told_and_written() {
    let dir = tempfile::tempdir().expect("a folder");
    let path = |name: &str| dir.path().join(name).to_str().expect("a plain path").to_owned();
    let (csv_path, json_path) = (path("run.csv"), path("run.json"));
    let output = countlight(&["trace", "five-lines", "--out", &csv_path, "--summary", &json_path, "--every", "10"]);
    let told = text(&output.stdout);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    assert!(text(&output.stderr).contains("running \"Five lines, five pulses\", 4 s of model time"));
    let reading = |name: &str| {
        let line = told.lines().find(|line| line.trim_start().starts_with(&format!("{name} ")));
        line.unwrap_or_else(|| panic!("{name}: {told}")).split_whitespace().collect::<Vec<_>>().join(" ")
    };
    assert_eq!(reading("count"), "count count at the end 5");
    assert_eq!(reading("readout_mm"), "readout_mm readout at the end 5.000 mm");
    assert!(told.contains("log                 no alarm") || told.contains("nothing happened"), "{told}");
    assert_eq!(files(dir.path()), ["run.csv", "run.json"]);

    let table = fs::read_to_string(&csv_path).expect("the table");
    assert!(table.starts_with("time_s,table_mm,readout_mm,") && table.ends_with("\r\n"));
    // RFC 4180: lines end with CR LF, every line has as many fields as the heading; 4 s are 400 rows of 10 ms.
    let mut reader = csv::ReaderBuilder::new().terminator(csv::Terminator::CRLF).from_reader(table.as_bytes());
    let rows: Vec<Vec<f64>> = reader
        .records()
        .map(|row| row.expect("a row").iter().map(|cell| cell.parse().expect("a number")).collect())
        .collect();
    assert_eq!(rows.len(), 400);
    assert_eq!((rows[0][0], rows[399][0]), (0.01, 4.0));
    assert_eq!((rows[399][2], rows[399][12]), (5.0, 5.0), "readout and count of the last row");

    let json: serde_json::Value =
        serde_json::from_str(&fs::read_to_string(&json_path).expect("the summary")).expect("JSON");
    assert_eq!((&json["format"], &json["title"]), (&1.into(), &"Five lines, five pulses".into()));
    assert_eq!((&json["summary"]["count"], &json["readings"]["count"]), (&5.into(), &5.0.into()));
    let digest = json["digest"].as_str().expect("a fingerprint");
    assert!(digest.len() == 16 && told.contains(&format!("fingerprint         {digest}")), "{digest}: {told}");
    // Asking for a table does not change the run.
    assert!(text(&countlight(&["trace", "five-lines"]).stdout).contains(digest));
}

#[test]
fn a_scene_file_is_taken_before_a_shipped_scene_and_errors_name_file_and_line() {
    let dir = tempfile::tempdir().expect("a folder");
    let scene = dir.path().join("mine.toml");
    fs::write(&scene, BROKEN).expect("room");
    let output = countlight(&["trace", scene.to_str().expect("a plain path")]);
    assert_eq!(output.status.code(), Some(1));
    let said = text(&output.stderr);
    assert!(said.contains("error: -1 is outside the allowed range 0 to 3600"), "{said}");
    assert!(said.contains("mine.toml:5:14") && said.contains("  to mend: choose a number inside the range."), "{said}");
    assert_eq!(text(&output.stdout), "");
}

#[test]
fn an_unknown_scene_names_the_shipped_ones() {
    let output = countlight(&["trace", "wide_smear"]);
    assert_eq!(output.status.code(), Some(1));
    for shipped in lessons::shipped() {
        assert!(text(&output.stderr).contains(shipped.id), "{}", text(&output.stderr));
    }
}

#[test]
fn a_huge_file_is_refused_by_its_size() {
    let dir = tempfile::tempdir().expect("a folder");
    let path = dir.path().join("recording.toml");
    // A file with a hole: it takes no room on the disk.
    fs::File::create(&path).and_then(|file| file.set_len(100 << 20)).expect("a sparse file");
    let output = countlight(&["trace", path.to_str().expect("a plain path")]);
    assert_eq!(output.status.code(), Some(1));
    assert!(text(&output.stderr).contains("too large for a scene: 104857600 bytes"), "{}", text(&output.stderr));
}

#[test]
fn a_failed_trace_leaves_files_as_they_were() {
    let dir = tempfile::tempdir().expect("a folder");
    let (table, scene) = (dir.path().join("run.csv"), dir.path().join("broken.toml"));
    fs::write(&table, "of yesterday").expect("room");
    fs::write(&scene, BROKEN).expect("room");
    let path = |p: &Path| p.to_str().expect("a plain path").to_owned();
    let output = countlight(&["trace", &path(&scene), "--out", &path(&table)]);
    assert_eq!(output.status.code(), Some(1));
    let missing = path(&dir.path().join("missing/run.json"));
    let output = countlight(&["trace", "five-lines", "--out", &path(&table), "--summary", &missing]);
    assert_eq!(output.status.code(), Some(1));
    assert!(text(&output.stderr).contains("its folder does not exist"), "{}", text(&output.stderr));
    assert_eq!(fs::read_to_string(&table).expect("the table"), "of yesterday");
    assert_eq!(files(dir.path()), ["broken.toml", "run.csv"]);
    for same in ["-", &path(&table)] {
        let output = countlight(&["trace", "five-lines", "--out", same, "--summary", same]);
        assert_eq!(output.status.code(), Some(1));
        assert!(text(&output.stderr).contains("the same place"), "{}", text(&output.stderr));
    }
}

#[test]
fn a_dash_is_the_standard_output_and_stands_there_alone() {
    let output = countlight(&["trace", "five-lines", "--summary", "-"]);
    let json: serde_json::Value = serde_json::from_slice(&output.stdout).expect("nothing but JSON");
    assert_eq!(json["scene"], "five-lines");
    assert!(text(&output.stderr).contains("fingerprint"), "{}", text(&output.stderr));
    let output = countlight(&["trace", "five-lines", "--out", "-", "--every", "1000"]);
    assert_eq!(text(&output.stdout).lines().count(), 5, "{}", text(&output.stdout));
}

#[test]
fn a_reader_who_has_seen_enough_is_no_error() {
    let mut command = Command::new(env!("CARGO_BIN_EXE_countlight"));
    command.args(["trace", "five-lines", "--out", "-", "--every", "0.05"]);
    let mut child = command.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().expect("the program starts");
    let mut first = [0; 6];
    child.stdout.take().expect("its output").read_exact(&mut first).expect("the first bytes");
    assert_eq!(&first, b"time_s");
    let output = child.wait_with_output().expect("an end");
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
}

#[test]
fn rows_closer_than_a_step_are_wrong_use() {
    let output = countlight(&["trace", "five-lines", "--every", "0.01"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(text(&output.stderr).contains("multiple of 0.05"), "{}", text(&output.stderr));
}

#[test]
fn check_without_a_folder_finds_the_shipped_scenes_in_order() {
    let output = countlight(&["check"]);
    let told = text(&output.stdout);
    assert_eq!(output.status.code(), Some(0), "{told}{}", text(&output.stderr));
    let all = lessons::shipped().len();
    assert!(told.contains(&format!("{all} scenes checked: {all} ok, 0 broken; stray files: 0")), "{told}");
}

#[test]
fn check_names_the_broken_and_the_stray_at_any_depth() {
    let dir = tempfile::tempdir().expect("a folder");
    let inner = dir.path().join("inner");
    fs::create_dir(&inner).expect("room");
    fs::write(dir.path().join("good.toml"), BROKEN.replace("-1", "1")).expect("room");
    fs::write(inner.join("bad.toml"), BROKEN).expect("room");
    fs::write(inner.join("notes.txt"), "x").expect("room");
    let output = countlight(&["check", dir.path().to_str().expect("a plain path")]);
    let told = text(&output.stdout);
    assert_eq!(output.status.code(), Some(1), "{told}");
    let starts: Vec<&str> = told.lines().filter_map(|l| l.split_whitespace().next()).collect();
    assert_eq!((starts[0], starts[1], starts[starts.len() - 2]), ("ok", "broken", "stray"), "{told}");
    assert!(told.contains("bad.toml:5:14") && told.contains("notes.txt"), "{told}");
    assert!(told.ends_with("2 scenes checked: 1 ok, 1 broken; stray files: 1\n"), "{told}");
    assert!(text(&output.stderr).contains("1 of 2 scenes is broken"), "{}", text(&output.stderr));
}

#[test]
fn check_of_a_folder_without_scenes_or_of_none_is_an_error() {
    let dir = tempfile::tempdir().expect("a folder");
    for place in [dir.path().to_owned(), dir.path().join("missing")] {
        let output = countlight(&["check", place.to_str().expect("a plain path")]);
        assert_eq!(output.status.code(), Some(1));
        assert!(text(&output.stderr).contains("to mend"), "{}", text(&output.stderr));
    }
}

/// A lesson of the source, copied so that it can be broken.
fn copied_lesson(dir: &Path) -> PathBuf {
    let (name, files) = lessons::lesson::folders().into_iter().next().expect("a lesson");
    let folder = dir.join(name);
    fs::create_dir(&folder).expect("room");
    for file in files {
        fs::write(folder.join(file.name), file.bytes).expect("room");
    }
    folder
}

#[test]
fn check_reads_lessons_and_prints_what_is_covered() {
    let dir = tempfile::tempdir().expect("a folder");
    let lesson = copied_lesson(dir.path());
    for place in [dir.path(), &lesson] {
        let output = countlight(&["check", place.to_str().expect("a plain path")]);
        let told = text(&output.stdout);
        assert_eq!(output.status.code(), Some(0), "{told}{}", text(&output.stderr));
        assert!(
            told.starts_with(
                "ok      L01-one-light-one-line  One light, one line (3 tasks, 3 items, 5 scenes, reads at grade "
            ),
            "{told}"
        );
        let row = told.lines().find(|l| l.starts_with("K02 ")).expect("a row");
        assert!(row.contains(" L01 ") && row.contains("L01/twelve"), "{row}");
        assert!(told.contains("M01 The encoder sends a distance.") && told.contains("L01/reaches.distance"), "{told}");
        assert!(told.ends_with("1 lesson checked: 1 ok, 0 broken\n"), "{told}");
    }
}

#[test]
fn check_says_where_a_lesson_is_broken_and_with_run_what_it_does_not_prove() {
    let dir = tempfile::tempdir().expect("a folder");
    let file = copied_lesson(dir.path()).join("lesson.en.md");
    let good = fs::read_to_string(&file).expect("words");
    let checked = |words: &str, run: bool| {
        fs::write(&file, words).expect("room");
        let place = dir.path().to_str().expect("a plain path").to_owned();
        let output = if run { countlight(&["check", &place, "--run"]) } else { countlight(&["check", &place]) };
        (output.status.code(), format!("{}{}", text(&output.stdout), text(&output.stderr)))
    };
    let (code, told) = checked(&good.replace("pulses(A) = 12", "pulsse(A) = 12"), false);
    assert_eq!(code, Some(1), "{told}");
    assert!(told.contains(&format!("{}:31:9", file.display())) && told.contains("did you mean \"pulses\"?"), "{told}");
    assert!(told.contains("1 of 1 lessons is broken"), "{told}");
    // A solution that does not meet its goal is only found by running it.
    let lazy = good.replacen("by_mm = 12", "by_mm = 11", 1);
    assert_eq!(checked(&lazy, false).0, Some(0));
    let (code, told) = checked(&lazy, true);
    assert_eq!(code, Some(1), "{told}");
    assert!(
        told.contains("the solution does not meet the goal") && told.contains("the last move was 11.0 mm"),
        "{told}"
    );
    assert!(told.contains("L01-one-light-one-line: twelve"), "{told}");
}

#[test]
fn causes_lists_every_fault_of_the_bench_under_its_kind() {
    let output = countlight(&["causes"]);
    let told = text(&output.stdout);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    let heads: Vec<&str> =
        told.lines().filter(|l| l.ends_with("minutes  parts")).filter_map(|l| l.split_whitespace().next()).collect();
    assert_eq!(heads, ["Optical", "Mechanical", "Electrical", "Electronic", "Parameters"]);
    for row in &sim_core::fault::TABLE {
        let line = told.lines().find(|l| l.split_whitespace().next() == Some(row.name)).expect(row.name);
        assert!(line.contains(row.title), "{line}");
    }
    // By hand, from the catalogue: minutes and class of parts.
    let of = |name: &str| {
        let line = told.lines().find(|l| l.split_whitespace().next() == Some(name)).expect(name);
        line.rsplit("  ").map(str::trim).filter(|c| !c.is_empty()).take(2).map(str::to_owned).collect::<Vec<_>>()
    };
    assert_eq!(of("window-film"), ["under 50", "15"]);
    assert_eq!(of("nut-worn"), ["over 1500", "120"]);
    assert_eq!(of("kv-halved"), ["none", "5"]);
}

#[test]
fn causes_tells_one_with_its_cautions() {
    let output = countlight(&["causes", "window-film"]);
    let told = text(&output.stdout);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    assert!(told.starts_with("window-film: Film on the window\noptical, 15 min, parts: under 50\n"), "{told}");
    for heading in ["Cause", "What is seen", "What tells it from others", "Remedy", "Cautions"] {
        assert!(told.contains(&format!("\n\n{heading}\n  ")), "{heading}: {told}");
    }
    assert!(told.contains("Do not look into the light source") && told.contains("lock out and tag"), "{told}");
    assert!(told.contains("\n\nLocal rules, the machine maker's manual"), "{told}");
    assert!(told.lines().all(|l| l.chars().count() <= 100), "{told}");
}

#[test]
fn causes_for_programs_is_json_alone_with_stable_keys() {
    let output = countlight(&["causes", "--json"]);
    let json: serde_json::Value = serde_json::from_slice(&output.stdout).expect("nothing but JSON");
    assert_eq!(json["format"], 1);
    let causes = json["causes"].as_array().expect("a list");
    assert!(causes.len() >= 92, "{}", causes.len());
    let keys = ["cause", "cautions", "kind", "minutes", "name", "parts", "remedy", "seen", "tells", "title"];
    for cause in causes {
        let mut found: Vec<&str> = cause.as_object().expect("an object").keys().map(String::as_str).collect();
        found.sort_unstable();
        assert_eq!(found, keys);
    }
    let output = countlight(&["causes", "nut-worn", "--json"]);
    let json: serde_json::Value = serde_json::from_slice(&output.stdout).expect("nothing but JSON");
    let nut = &json["causes"][0];
    assert_eq!((&nut["name"], &nut["kind"], &nut["minutes"]), (&"nut-worn".into(), &"mechanical".into(), &120.into()));
    assert_eq!(nut["parts"], serde_json::json!({ "from": 1500, "to": null }));
    assert_eq!(nut["cautions"], serde_json::json!(["lockout", "hanging-axis", "moving-axis"]));
    // Each caution that is named is told, and no other.
    let told = json["cautions"].as_array().expect("a list");
    assert_eq!(told.iter().map(|c| &c["name"]).collect::<Vec<_>>(), ["lockout", "hanging-axis", "moving-axis"]);
    assert!(json["closing"].as_str().is_some_and(|text| text.contains("maker's manual")));
}

#[test]
fn an_unknown_cause_names_the_nearest_and_where_the_list_is() {
    let output = countlight(&["causes", "window-flim"]);
    let said = text(&output.stderr);
    assert_eq!(output.status.code(), Some(1), "{said}");
    assert!(said.contains("error: there is no cause \"window-flim\"; did you mean \"window-film\""), "{said}");
    assert!(said.contains("  to mend: ") && said.contains("countlight causes"), "{said}");
    assert_eq!(text(&output.stdout), "");
    assert_eq!(countlight(&["causes", "tape-smear", "window-film"]).status.code(), Some(2));
}

#[test]
fn signatures_of_one_cause_come_from_a_survey_of_its_bench() {
    let output = countlight(&["causes", "supply-thin", "--signatures"]);
    let told = text(&output.stdout);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    assert!(told.contains("supply-thin  (mill)") && told.contains(" -rest.supply_at_head_v"), "{told}");
    assert!(told.contains("purge-lost and lips-worn: "), "{told}");
    let output = countlight(&["causes", "gap-wide", "--signatures", "--json"]);
    let json: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
    assert_eq!((&json["format"], &json["signatures"][0]["readings"]["gauge.gap_middle_um"]), (&1.into(), &1.into()));
}
