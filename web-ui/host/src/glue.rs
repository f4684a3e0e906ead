//! Makes the loader script, the module to start with and the parts from the raw module, with wasm-bindgen as a library.

use std::fmt::Write as _;
use std::fs;
use std::path::Path;

use sha2::{Digest, Sha256};
use wasm_bindgen_cli_support::Bindgen;

use crate::parts;
use crate::progress::Progress;
use crate::site::Site;
use crate::workspace::Workspace;
use crate::{Error, Result};

/// The loader's name without its ending.
const NAME: &str = "app";

/// How the loader is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// A module script that exports its functions: for a page from a web server.
    Module,
    /// A classic script that defines `wasm_bindgen`: for one file, as `file://` loads no module scripts.
    Classic,
}

impl Kind {
    fn folder(self) -> &'static str {
        match self {
            Self::Module => "module",
            Self::Classic => "classic",
        }
    }
}

/// A loader and the module it loads.
#[derive(Debug, Clone)]
pub struct Glue {
    /// The loader script.
    pub script: String,
    /// The final module, to be loaded only by that script.
    pub module: Vec<u8>,
    /// Parts of the module that are fetched later, by name, with the script that loads them if it is one of its own.
    pub parts: Vec<(String, Vec<u8>)>,
}

/// Makes the loader for the raw module at `raw`. The result is kept below `target/` and reused while `raw` is the same.
///
/// # Errors
/// The module was not made for our wasm-bindgen, asks for script snippets, or a file cannot be used.
pub fn make(workspace: &Workspace, raw: &Path, kind: Kind, progress: Progress) -> Result<Glue> {
    let folder = workspace.wasm_target().join("glue").join(kind.folder());
    let stamp = folder.join("made-from");
    let bytes = fs::read(raw).map_err(|e| Error::file("read the compiled module", raw, &e))?;
    let tools = ["wasm-bindgen-cli-support", "wasm_split_cli_support"].map(version_of);
    let own = hex(include_bytes!("parts.rs"));
    let made_from = format!("{} {} {own}", hex(&bytes), tools.join(" "));
    if fs::read_to_string(&stamp).is_ok_and(|text| text == made_from)
        && let Ok(glue) = read(&folder)
    {
        return Ok(glue);
    }

    let step = progress.step("writing the page's loader");
    // Removed first: an interrupted run must not leave a stamp beside half a result.
    if folder.exists() {
        fs::remove_dir_all(&folder).map_err(|e| Error::file("clear a folder", &folder, &e))?;
    }
    let main = parts::split(raw, &folder)?;
    generate(&main, &folder).map_err(|cause| {
        Error::new(
            format!("cannot make the page's loader: {cause:#}"),
            raw.display(),
            "wasm-bindgen and wasm-bindgen-cli-support must have one version in Cargo.lock; then delete target/wasm and retry",
        )
    })?;
    fs::remove_file(&main).map_err(|e| Error::file("remove a file", &main, &e))?;
    if kind == Kind::Classic {
        join(&folder)?;
    }
    if folder.join("snippets").exists() {
        return Err(Error::new(
            "a dependency of the page brings script files along, which the single file cannot hold",
            folder.join("snippets").display(),
            "use a dependency without #[wasm_bindgen(module = ...)] or inline_js",
        ));
    }
    let glue = read(&folder)?;
    fs::write(&stamp, made_from).map_err(|e| Error::file("write a file", &stamp, &e))?;
    step.done();
    Ok(glue)
}

fn generate(main: &Path, folder: &Path) -> std::result::Result<(), impl std::fmt::Display> {
    let mut bindgen = Bindgen::new();
    // The parts ask for what the linker exports: memory, table, stack.
    bindgen.input_path(main).out_name(NAME).typescript(false).keep_lld_exports(true);
    bindgen.web(true)?.remove_name_section(true).remove_producers_section(true).generate(folder)
}

/// Makes one classic script of the two module scripts.
fn join(folder: &Path) -> Result<()> {
    let (loader, parts) = (folder.join(format!("{NAME}.js")), folder.join(parts::SCRIPT));
    let text = |path: &Path| fs::read_to_string(path).map_err(|e| Error::file("read the loader", path, &e));
    let script = parts::classic(&text(&loader)?, &text(&parts)?)?;
    fs::write(&loader, script).map_err(|e| Error::file("write the loader", &loader, &e))?;
    fs::remove_file(&parts).map_err(|e| Error::file("remove a file", &parts, &e))
}

fn read(folder: &Path) -> Result<Glue> {
    let script = folder.join(format!("{NAME}.js"));
    let module = folder.join(format!("{NAME}_bg.wasm"));
    let mut parts = Vec::new();
    for (name, bytes) in Site::read(folder)?.iter() {
        if (name.ends_with(".wasm") && !module.ends_with(name)) || name == parts::SCRIPT {
            parts.push((name.to_owned(), bytes.to_vec()));
        }
    }
    Ok(Glue {
        parts,
        script: fs::read_to_string(&script).map_err(|e| Error::file("read the loader", &script, &e))?,
        module: fs::read(&module).map_err(|e| Error::file("read the module", &module, &e))?,
    })
}

/// The version of a tool in our own lock file; a new one makes every loader anew.
fn version_of(tool: &str) -> &'static str {
    include_str!("../../../Cargo.lock")
        .split("[[package]]")
        .find(|entry| entry.contains(&format!("name = \"{tool}\"")))
        .and_then(|entry| entry.split("version = \"").nth(1))
        .and_then(|rest| rest.split('"').next())
        .unwrap_or("unknown")
}

/// The SHA-256 of some bytes in hexadecimal.
pub fn hex(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().fold(String::new(), |mut text, byte| {
        let _ = write!(text, "{byte:02x}");
        text
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_digest_is_sha_256() {
        // FIPS 180-2, appendix B.1: the message "abc".
        assert_eq!(hex(b"abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    }

    #[test]
    fn the_versions_are_read_from_the_lock_file() {
        assert!(version_of("wasm-bindgen-cli-support").starts_with("0.2."));
        assert!(version_of("wasm_split_cli_support").starts_with("0.2."));
    }
}
