//! Runs another program as a step: its output feeds the progress line, its last lines explain a failure.

use std::collections::VecDeque;
use std::io::{BufRead, BufReader, Read};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::sync::mpsc::{RecvTimeoutError, Sender, channel};
use std::thread;
use std::time::{Duration, Instant};

use crate::progress::Step;
use crate::{Error, Result};

/// Lines of a failed program's output that are shown.
const LAST_LINES: usize = 25;
/// How often the elapsed time on the progress line is renewed.
const TICK: Duration = Duration::from_millis(500);

/// Runs `command` to its end and shows its output behind `step`.
///
/// # Errors
/// The program cannot be started, exceeds `limit`, or ends with a failure; then the message holds its last lines.
pub fn run(command: &mut Command, step: &Step, limit: Duration, mend: &str) -> Result<()> {
    let shown = shown(command);
    let program = Path::new(command.get_program()).file_name().unwrap_or_default().to_string_lossy().into_owned();
    let mut child = command
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .map_err(|e| Error::new(format!("cannot start {program}: {e}"), &shown, mend))?;

    let deadline = Instant::now() + limit;
    let mut tail = VecDeque::new();
    let (sender, lines) = channel();
    forward(child.stdout.take(), sender.clone());
    forward(child.stderr.take(), sender);
    loop {
        match lines.recv_timeout(TICK) {
            Ok(line) => {
                if tail.len() == LAST_LINES {
                    tail.pop_front();
                }
                tail.push_back(line);
            }
            Err(RecvTimeoutError::Timeout) => {}
            Err(RecvTimeoutError::Disconnected) => break,
        }
        step.tick(tail.back().map_or("", String::as_str));
        if Instant::now() > deadline {
            end(&mut child);
            let what = format!("{program} took longer than {} s and was stopped", limit.as_secs());
            return Err(Error::new(with_tail(what, &tail), &shown, mend));
        }
    }
    let status = child.wait().map_err(|e| Error::new(format!("cannot wait for {program}: {e}"), &shown, mend))?;
    if status.success() {
        return Ok(());
    }
    Err(Error::new(with_tail(format!("{program} failed ({status})"), &tail), &shown, mend))
}

/// Sends the lines of one output stream until it closes.
fn forward(stream: Option<impl Read + Send + 'static>, sender: Sender<String>) {
    if let Some(stream) = stream {
        thread::spawn(move || {
            for line in BufReader::new(stream).lines().map_while(|line| line.ok()) {
                if sender.send(line).is_err() {
                    break;
                }
            }
        });
    }
}

/// Stops a program that we started and takes its exit status off the system's list.
fn end(child: &mut Child) {
    let _ = child.kill();
    let _ = child.wait();
}

fn with_tail(what: String, tail: &VecDeque<String>) -> String {
    if tail.is_empty() {
        return what;
    }
    let lines: Vec<String> = tail.iter().map(|line| format!("    | {line}")).collect();
    format!("{what}; its last lines:\n{}", lines.join("\n"))
}

/// The command as one would type it, without its environment.
fn shown(command: &Command) -> String {
    let mut words = vec![command.get_program().to_string_lossy().into_owned()];
    words.extend(command.get_args().map(|arg| arg.to_string_lossy().into_owned()));
    words.join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::progress::Progress;

    fn shell(script: &str, limit: Duration) -> Result<()> {
        let step = Progress::Silent.step("test");
        run(Command::new("sh").args(["-c", script]), &step, limit, "mend it")
    }

    #[test]
    fn success_is_silent() {
        assert_eq!(shell("echo fine", Duration::from_secs(60)), Ok(()));
    }

    #[test]
    fn failure_shows_the_last_lines_of_both_streams() {
        let error = shell("echo out; echo err >&2; exit 3", Duration::from_secs(60)).unwrap_err();
        assert!(error.what.contains("sh failed (exit status: 3)"), "{error}");
        assert!(error.what.contains("| out") && error.what.contains("| err"), "{error}");
        assert_eq!(error.mend, "mend it");
    }

    #[test]
    fn only_the_last_lines_are_kept() {
        let error = shell("seq 1 100; exit 1", Duration::from_secs(60)).unwrap_err();
        assert!(!error.what.contains("| 75\n") && error.what.contains("| 76\n"), "{error}");
        assert!(error.what.ends_with("| 100"), "{error}");
    }

    #[test]
    fn a_program_over_its_limit_is_stopped() {
        let error = shell("exec sleep 600", Duration::ZERO).unwrap_err();
        assert!(error.what.contains("longer than 0 s"), "{error}");
    }

    #[test]
    fn a_missing_program_is_named() {
        let step = Progress::Silent.step("test");
        let error =
            run(&mut Command::new("/nonexistent/program"), &step, Duration::from_secs(1), "install it").unwrap_err();
        assert_eq!(error.place, "/nonexistent/program");
    }
}
