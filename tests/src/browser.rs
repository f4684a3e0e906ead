//! Finds the browser and its driver, or installs them where we may.

use std::env;
use std::fs::{self, File};
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use countlight_host::progress::Progress;
use countlight_host::toolchain::setup::{install_packages, may_install_packages};
use countlight_host::workspace::Workspace;

use crate::Result;

/// Debian's packages with the browser and its driver.
const PACKAGES: [&str; 2] = ["chromium", "chromium-driver"];

/// A browser and the driver that belongs to it.
#[derive(Debug, Clone)]
pub struct Programs {
    /// The browser.
    pub browser: PathBuf,
    /// Its WebDriver server.
    pub driver: PathBuf,
}

/// The programs, looked for (and if need be installed) once per test program.
pub fn programs() -> Result<Programs> {
    static FOUND: OnceLock<std::result::Result<Programs, String>> = OnceLock::new();
    Ok(FOUND.get_or_init(|| find_or_install().map_err(|e| e.to_string())).clone()?)
}

fn find_or_install() -> Result<Programs> {
    if let Some(found) = find() {
        return Ok(found);
    }
    let command = format!("apt-get update && apt-get install -y --no-install-recommends {}", PACKAGES.join(" "));
    if !may_install_packages() {
        return Err(format!(
            "the page's tests need Chromium and its driver; install them, on Debian as root: {command}"
        )
        .into());
    }
    // One test program installs; the others wait here and then find.
    let folder = Workspace::locate()?.wasm_target();
    fs::create_dir_all(&folder)?;
    let lock = File::create(folder.join("install.lock"))?;
    lock.lock()?;
    if let Some(found) = find() {
        return Ok(found);
    }
    install_packages(Progress::on_stderr(), &PACKAGES)?;
    find().ok_or_else(|| format!("no chromium and chromedriver on the path, not even after: {command}").into())
}

fn find() -> Option<Programs> {
    Some(Programs { browser: on_path("chromium")?, driver: on_path("chromedriver")? })
}

fn on_path(name: &str) -> Option<PathBuf> {
    let path = env::var_os("PATH")?;
    env::split_paths(&path)
        .chain([Path::new("/usr/bin").to_path_buf()])
        .map(|folder| folder.join(name))
        .find(|file| file.is_file())
}
