//! Looks at the machine and takes the steps that [`decide`] asks for.

use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;
use std::{env, fs};

use super::{DEBIAN_PACKAGES, Facts, RUSTUP_COMMAND, Step, TARGET, Toolchain, debian_command, decide};
use crate::compile::clean;
use crate::nested;
use crate::progress::Progress;
use crate::{Error, Result};

/// Longest time given to rustup or apt-get; without a network both fail at once, with a dead one they may hang.
const LIMIT: Duration = Duration::from_secs(15 * 60);
/// The linker version that Debian's compiler is known to work with; taken when several are installed.
const KNOWN_LINKER: &str = "wasm-ld-22";

/// Finds a toolchain for WebAssembly, installing one where the machine's owner allows it.
///
/// # Errors
/// None is there and none could be installed; the message holds the commands to run by hand.
pub fn ready(progress: Progress) -> Result<Toolchain> {
    let mut facts = facts();
    let mut failures = String::new();
    loop {
        match decide(&facts) {
            Step::Use(toolchain) => return Ok(toolchain),
            Step::AddTarget => {
                let outcome = add_target(progress);
                failures.extend(outcome.err().map(|e| format!("\n{e}")));
                facts.target_installed = target_installed();
                facts.rustup_failed = !facts.target_installed;
            }
            Step::InstallPackages => {
                let outcome = install_packages(progress, &DEBIAN_PACKAGES);
                failures.extend(outcome.err().map(|e| format!("\n{e}")));
                facts.debian_linker = debian_linker(Path::new("/"));
                facts.apt_failed = facts.debian_linker.is_none();
            }
            Step::GiveUp => return Err(give_up(&facts, &failures)),
        }
    }
}

/// What this machine has.
pub fn facts() -> Facts {
    Facts {
        target_installed: target_installed(),
        debian_linker: debian_linker(Path::new("/")),
        rustup: answers("rustup", &["--version"]).is_some(),
        rustup_forbidden: env::var_os("RUSTUP_AUTO_INSTALL").is_some_and(|value| value == "0"),
        rustup_failed: false,
        root_with_apt: may_install_packages(),
        apt_failed: false,
    }
}

/// Whether we are root on a machine with `apt-get`.
pub fn may_install_packages() -> bool {
    Path::new("/usr/bin/apt-get").is_file() && answers("id", &["-u"]).is_some_and(|id| id.trim() == "0")
}

/// Installs Debian packages, asking nothing.
///
/// # Errors
/// `apt-get` fails, most often because there is no network.
pub fn install_packages(progress: Progress, packages: &[&str]) -> Result<()> {
    let step = progress.step(format!("installing {} with apt-get", packages.join(", ")));
    let mend = "check the network and the package sources in /etc/apt, then run the command by hand";
    let apt = || {
        let mut command = Command::new("apt-get");
        command.env("DEBIAN_FRONTEND", "noninteractive");
        command
    };
    nested::run(apt().arg("update"), &step, LIMIT, mend)?;
    let mut install = apt();
    install.args(["install", "-y", "--no-install-recommends"]).args(packages);
    nested::run(&mut install, &step, LIMIT, mend)?;
    step.done();
    Ok(())
}

fn add_target(progress: Progress) -> Result<()> {
    let step = progress.step("adding the WebAssembly target with rustup");
    let mut words = RUSTUP_COMMAND.split(' ');
    let mut command = Command::new(words.next().unwrap_or_default());
    nested::run(command.args(words), &step, LIMIT, "check the network")?;
    step.done();
    Ok(())
}

fn give_up(facts: &Facts, failures: &str) -> Error {
    let rustup =
        if facts.rustup_forbidden { "  (RUSTUP_AUTO_INSTALL=0 is set here, so it was not run for you)" } else { "" };
    Error::new(
        format!("this machine has no Rust compiler for WebAssembly{failures}"),
        format!("target {TARGET}"),
        format!(
            "run one of these commands, then start again:\n      {RUSTUP_COMMAND}{rustup}\n      {}  (Debian, as root)",
            debian_command()
        ),
    )
}

/// Whether the `rustc` on the path can compile for the target without building its standard library.
fn target_installed() -> bool {
    answers("rustc", &["--print", "target-libdir", "--target", TARGET])
        .and_then(|folder| fs::read_dir(folder.trim()).ok())
        .is_some_and(|entries| entries.flatten().any(|entry| entry.file_name().to_string_lossy().starts_with("libstd")))
}

/// The linker's name when Debian's toolchain is complete below `root`.
fn debian_linker(root: &Path) -> Option<String> {
    let files = ["usr/bin/rustc", "usr/bin/cargo"];
    let complete =
        files.iter().all(|file| root.join(file).is_file()) && root.join("usr/lib/rustlib/src/rust/library").is_dir();
    if !complete {
        return None;
    }
    let mut linkers: Vec<String> = fs::read_dir(root.join("usr/bin"))
        .ok()?
        .flatten()
        .map(|entry| entry.file_name().to_string_lossy().into_owned())
        .filter(|name| name == "wasm-ld" || name.starts_with("wasm-ld-"))
        .collect();
    linkers.sort();
    if linkers.iter().any(|name| name == KNOWN_LINKER) {
        return Some(KNOWN_LINKER.to_owned());
    }
    linkers.pop()
}

/// What a program prints, if it is there and succeeds. Compiler variables of an outer cargo are kept from it.
fn answers(program: &str, args: &[&str]) -> Option<String> {
    let mut command = Command::new(program);
    clean(&mut command);
    let output = command.args(args).stdin(Stdio::null()).output().ok()?;
    (output.status.success()).then(|| String::from_utf8_lossy(&output.stdout).into_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn machine(files: &[&str]) -> tempfile::TempDir {
        let root = tempfile::tempdir().unwrap();
        for file in files {
            let path = root.path().join(file);
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            fs::write(path, "").unwrap();
        }
        root
    }

    const COMPLETE: [&str; 3] = ["usr/bin/rustc", "usr/bin/cargo", "usr/lib/rustlib/src/rust/library/x"];

    #[test]
    fn debians_toolchain_needs_all_its_parts() {
        for missing in COMPLETE {
            let mut files = vec!["usr/bin/wasm-ld-22"];
            files.extend(COMPLETE.iter().filter(|file| **file != missing));
            assert_eq!(debian_linker(machine(&files).path()), None, "without {missing}");
        }
        assert_eq!(debian_linker(machine(&COMPLETE).path()), None);
    }

    #[test]
    fn the_known_linker_is_preferred() {
        let with = |linkers: &[&str]| {
            let files: Vec<&str> = COMPLETE.iter().chain(linkers).copied().collect();
            debian_linker(machine(&files).path())
        };
        assert_eq!(with(&["usr/bin/wasm-ld-22", "usr/bin/wasm-ld-30"]).as_deref(), Some("wasm-ld-22"));
        assert_eq!(with(&["usr/bin/wasm-ld-19", "usr/bin/wasm-ld"]).as_deref(), Some("wasm-ld-19"));
    }

    #[test]
    fn giving_up_names_both_commands() {
        let text = give_up(&Facts::default(), "").to_string();
        assert!(text.contains(RUSTUP_COMMAND) && text.contains("apt-get install -y"), "{text}");
        assert!(text.contains("rustc-web cargo-web rust-web-src lld-22"), "{text}");
        assert!(!text.contains("RUSTUP_AUTO_INSTALL"));
        let forbidden = Facts { rustup_forbidden: true, ..Facts::default() };
        assert!(give_up(&forbidden, "").to_string().contains("RUSTUP_AUTO_INSTALL=0"));
    }
}
