//! Compiles the page's Rust code to WebAssembly with a nested cargo.

use std::env;
use std::path::PathBuf;
use std::process::Command;
use std::time::Duration;

use crate::nested;
use crate::progress::Progress;
use crate::toolchain::{TARGET, Toolchain};
use crate::workspace::Workspace;
use crate::{Error, Result};

/// The cargo profile of the page: small code, the model at full speed.
const PROFILE: &str = "wasm-release";
/// Unstable options that the packaged compiler is allowed to take: a panic keeps its words, but not its place in the
/// source. A kept bench runs again natively, bit for bit, and tells the place there.
const SMALLER: &str = "target.wasm32-unknown-unknown.rustflags=[\"-Zlocation-detail=none\"]";
/// The linker keeps its relocations: without them the module cannot be taken apart, see [`crate::parts`].
const RELOCATIONS: &str = "target.wasm32-unknown-unknown.rustflags=[\"-Clink-arg=--emit-relocs\"]";
/// Longest time given to one compilation; a cold one with its standard library takes one to five minutes.
const LIMIT: Duration = Duration::from_secs(30 * 60);
/// What an outer cargo or the person's shell may set and the nested compilation must not see: each would change the
/// compiler or its options, and with them everything already built.
const FOREIGN: [&str; 9] = [
    "RUSTC",
    "RUSTDOC",
    "RUSTC_WRAPPER",
    "RUSTC_WORKSPACE_WRAPPER",
    "RUSTFLAGS",
    "CARGO_ENCODED_RUSTFLAGS",
    "CARGO_BUILD_TARGET",
    "CARGO_TARGET_DIR",
    "LD_LIBRARY_PATH",
];

/// Compiles the page and returns the path of the raw module. Cargo decides what has changed.
///
/// # Errors
/// The compilation fails; the message holds the last lines of the compiler's output.
pub fn page(workspace: &Workspace, toolchain: &Toolchain, progress: Progress) -> Result<PathBuf> {
    let step = progress.step("compiling the page to WebAssembly");
    nested::run(
        &mut command(workspace, toolchain),
        &step,
        LIMIT,
        "if the lines speak of a download or registry, connect to the network once; else mend the source line they name",
    )?;
    step.done();
    let module = workspace.wasm_target().join(TARGET).join(PROFILE).join("web_ui.wasm");
    if module.is_file() {
        return Ok(module);
    }
    Err(Error::new(
        "the compilation left no module",
        module.display(),
        "check that web-ui/Cargo.toml still says crate-type = [\"cdylib\", \"rlib\"]",
    ))
}

/// Takes the variables that would change the compiler or its options out of a command's environment.
pub fn clean(command: &mut Command) {
    for name in FOREIGN {
        command.env_remove(name);
    }
}

/// The nested cargo's command line and environment.
fn command(workspace: &Workspace, toolchain: &Toolchain) -> Command {
    let mut command = match toolchain {
        Toolchain::Installed => Command::new(env::var_os("CARGO").unwrap_or_else(|| "cargo".into())),
        Toolchain::Debian { .. } => Command::new("/usr/bin/cargo"),
    };
    clean(&mut command);
    command
        .current_dir(workspace.root())
        .args(["build", "--locked", "-p", "web-ui", "--lib", "--target", TARGET, "--profile", PROFILE, "--target-dir"])
        .arg(workspace.wasm_target())
        .args(["--config", RELOCATIONS]);
    if let Toolchain::Debian { linker } = toolchain {
        command
            .env_remove("RUSTUP_TOOLCHAIN")
            .env_remove("CARGO")
            // Building the standard library is an unstable option of an otherwise stable compiler.
            .env("RUSTC_BOOTSTRAP", "1")
            .env("RUSTC", "/usr/bin/rustc")
            .env("CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_LINKER", linker)
            .args(["-Z", "build-std=std,panic_abort", "-Z", "build-std-features=optimize_for_size"])
            .args(["--config", SMALLER]);
    }
    command
}

#[cfg(test)]
mod tests {
    use std::ffi::OsStr;

    use super::*;

    fn variable<'a>(command: &'a Command, name: &str) -> Option<Option<&'a OsStr>> {
        command.get_envs().find(|(key, _)| *key == name).map(|(_, value)| value)
    }

    fn debian() -> Command {
        let linker = "wasm-ld-22".to_owned();
        command(&Workspace::locate().unwrap(), &Toolchain::Debian { linker })
    }

    #[test]
    fn nothing_of_the_outer_cargo_gets_in() {
        let installed = command(&Workspace::locate().unwrap(), &Toolchain::Installed);
        for name in FOREIGN {
            assert_eq!(variable(&installed, name), Some(None), "{name}");
            if name != "RUSTC" {
                assert_eq!(variable(&debian(), name), Some(None), "{name}");
            }
        }
        // With the installed target the toolchain chosen by the person stays chosen.
        assert_eq!(variable(&installed, "RUSTUP_TOOLCHAIN"), None);
        // What a stable compiler would refuse.
        assert!(!installed.get_args().any(|arg| arg.to_string_lossy().contains("-Z")));
        assert!(RELOCATIONS.contains(TARGET) && installed.get_args().any(|arg| arg == RELOCATIONS));
    }

    #[test]
    fn debians_cargo_uses_debians_compiler() {
        let command = debian();
        assert_eq!(command.get_program(), "/usr/bin/cargo");
        assert_eq!(variable(&command, "RUSTC"), Some(Some(OsStr::new("/usr/bin/rustc"))));
        assert_eq!(variable(&command, "RUSTC_BOOTSTRAP"), Some(Some(OsStr::new("1"))));
        assert_eq!(variable(&command, "RUSTUP_TOOLCHAIN"), Some(None));
        assert_eq!(variable(&command, "CARGO"), Some(None));
        assert_eq!(
            variable(&command, "CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_LINKER"),
            Some(Some(OsStr::new("wasm-ld-22")))
        );
        assert!(command.get_args().any(|arg| arg == "build-std=std,panic_abort"));
        assert!(SMALLER.contains(TARGET) && command.get_args().any(|arg| arg == SMALLER));
        assert!(command.get_args().any(|arg| arg == RELOCATIONS));
    }

    #[test]
    fn the_lock_file_is_binding() {
        assert!(debian().get_args().any(|arg| arg == "--locked"));
    }
}
