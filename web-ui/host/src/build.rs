//! The verb `build`, and the building of the page that every other verb starts with.

use std::fs;
use std::path::PathBuf;

use crate::glue::{self, Kind};
use crate::progress::Progress;
use crate::site::Site;
use crate::toolchain::setup;
use crate::workspace::Workspace;
use crate::{Error, Result, compile, content, offline, policy};

/// Builds the page into a folder that any web server can host.
#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  countlight build --out /srv/www/countlight\n\n\
    The folder then holds everything the page needs. To open the page without a server, see `countlight bundle`.")]
pub struct Args {
    /// Folder to write to; it is made if missing, and files of other names in it are left alone. Without it the page
    /// stays in the sources' own target/dist.
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
}

/// Runs the verb.
///
/// # Errors
/// The page cannot be built, or the folder cannot be written.
pub fn run(args: &Args, progress: Progress) -> Result<()> {
    let fallback = Workspace::locate()?.dist();
    let out = args.out.as_ref().unwrap_or(&fallback);
    // Before the build, which may take minutes.
    fs::create_dir_all(out).map_err(|e| Error::file("make the folder", out, &e))?;
    let site = page(progress)?;
    site.write(out)?;
    println!("{}  ({} files, {} kB)", out.display(), site.iter().count(), site.size() / 1000);
    Ok(())
}

/// Builds the page, keeps a copy in `target/dist`, and returns it. Nothing is compiled again without need.
///
/// # Errors
/// No toolchain for WebAssembly, a failed compilation, or a file that cannot be used.
pub fn page(progress: Progress) -> Result<Site> {
    let workspace = Workspace::locate()?;
    let _lock = workspace.lock_build(progress)?;
    let mut site = assemble(&workspace, Kind::Module, progress)?;
    policy::add(&mut site)?;
    offline::add(&mut site)?;
    // Afresh, so that a file dropped from the sources does not live on.
    let dist = workspace.dist();
    if dist.exists() && Site::read(&dist).ok().as_ref() != Some(&site) {
        fs::remove_dir_all(&dist).map_err(|e| Error::file("clear a folder", &dist, &e))?;
    }
    site.write(&dist)?;
    Ok(site)
}

/// Compiles and puts the loader, the module and the static files together. The caller holds the build lock.
pub(crate) fn assemble(workspace: &Workspace, kind: Kind, progress: Progress) -> Result<Site> {
    let toolchain = setup::ready(progress)?;
    let raw = compile::page(workspace, &toolchain, progress)?;
    let glue = glue::make(workspace, &raw, kind, progress)?;
    let mut site = Site::read(&workspace.assets())?;
    site.add("app.js", glue.script.into_bytes())?;
    site.add("app_bg.wasm", glue.module)?;
    for (name, bytes) in glue.parts {
        site.add(&name, bytes)?;
    }
    site.add(content::ADDRESS, content::pack(&workspace.lessons())?)?;
    Ok(site)
}
