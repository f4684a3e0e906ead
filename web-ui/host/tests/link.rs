//! The verb `link` as a person uses it.

use std::io::Write;
use std::process::{Command, Output, Stdio};

fn countlight(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_countlight")).args(args).output().expect("the program starts")
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

#[test]
fn a_scene_goes_into_a_link_and_comes_out_as_the_same_file() {
    let output = countlight(&["link", "wide-smear", "--base", "file:///media/stick/countlight.html"]);
    let link = text(&output.stdout);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    assert!(link.starts_with("file:///media/stick/countlight.html#bench=1.") && link.ends_with('\n'), "{link}");
    let output = countlight(&["link", "--read", link.trim()]);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    let shipped = lessons::shipped_by_name("wide-smear").expect("it is shipped");
    let scene = lessons::read("wide-smear", shipped.text).expect("a scene");
    assert_eq!(lessons::read("printed", &text(&output.stdout)).as_ref(), Ok(&scene));

    let mut child = Command::new(env!("CARGO_BIN_EXE_countlight"))
        .args(["link", "--read", "-"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("the program starts");
    child.stdin.take().expect("its input").write_all(link.as_bytes()).expect("room");
    assert_eq!(child.wait_with_output().expect("an end").stdout, output.stdout);
}

#[test]
fn a_link_that_is_none_is_refused_in_words() {
    let output = countlight(&["link", "wide-smear"]);
    let link = text(&output.stdout).trim().to_owned();
    for (wrong, what) in [
        ("", "not a link to a bench"),
        ("https://training.example/", "not a link to a bench"),
        (&link[..link.len() - 7], "cut off"),
        (&link.replace("=1.", "=7."), "version 7"),
    ] {
        let output = countlight(&["link", "--read", wrong]);
        let said = text(&output.stderr);
        assert_eq!(output.status.code(), Some(1), "{said}");
        assert!(said.contains(what) && said.contains("to mend: "), "{said}");
        assert_eq!(text(&output.stdout), "");
    }
    assert_eq!(countlight(&["link"]).status.code(), Some(2));
    assert_eq!(countlight(&["link", "wide-smear", "--read", "x"]).status.code(), Some(2));
}
