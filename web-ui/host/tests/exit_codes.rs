//! Exit codes and messages of the built program. They are here and not in the system tests because cargo gives the
//! program's path (`CARGO_BIN_EXE_countlight`, always freshly built) only to the tests of its own package.

use std::io::{BufRead, BufReader};
use std::net::TcpListener;
use std::process::{Child, Command, Output, Stdio};

fn countlight(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_countlight")).args(args).output().expect("the program starts")
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

#[test]
fn a_busy_port_ends_at_once_with_the_way_out() {
    let holder = TcpListener::bind(("127.0.0.1", 0)).expect("a free port");
    let port = holder.local_addr().expect("an address").port();
    let output = countlight(&["--port", &port.to_string()]);
    let message = text(&output.stderr);
    assert_eq!(output.status.code(), Some(1), "{message}");
    assert!(message.contains(&format!("port {port} is in use")), "{message}");
    assert!(message.contains("cargo run -- --port 0"), "{message}");
    assert!(!message.contains("compiling"), "it built the page first: {message}");
    assert_eq!(text(&output.stdout), "");
}

#[test]
fn wrong_use_is_told_apart_from_failure() {
    for args in [&["--port", "x"][..], &["--port", "65536"], &["bundle"], &["nonsense"], &["--port", "0", "build"]] {
        let output = countlight(args);
        assert_eq!(output.status.code(), Some(2), "{args:?}: {}", text(&output.stderr));
    }
}

#[test]
fn a_file_name_that_no_browser_opens_is_refused() {
    let output = countlight(&["bundle", "page.zip"]);
    assert_eq!(output.status.code(), Some(1));
    assert!(text(&output.stderr).contains("ends in .html"), "{}", text(&output.stderr));
}

#[test]
fn help_goes_to_the_standard_output() {
    let output = countlight(&["--help"]);
    assert_eq!(output.status.code(), Some(0));
    assert!(text(&output.stdout).contains("countlight bundle countlight.html"));
}

#[cfg(unix)]
#[test]
fn ctrl_c_ends_it_cleanly() {
    /// Ends the program also when the test fails.
    struct Running(Child);
    impl Drop for Running {
        fn drop(&mut self) {
            let _ = self.0.kill();
            let _ = self.0.wait();
        }
    }
    let mut command = Command::new(env!("CARGO_BIN_EXE_countlight"));
    let child = command.args(["--port", "0"]).stdout(Stdio::piped()).stderr(Stdio::inherit()).spawn();
    let mut running = Running(child.expect("the program starts"));
    let mut lines = BufReader::new(running.0.stdout.take().expect("its output")).lines();
    let line = lines.next().expect("the address").expect("text");
    assert!(line.contains("http://127.0.0.1:"), "{line}");
    let kill = format!("kill -s INT {}", running.0.id());
    assert!(Command::new("sh").args(["-c", &kill]).status().expect("a shell").success());
    assert_eq!(running.0.wait().expect("an end").code(), Some(0));
}
