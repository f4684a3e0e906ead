//! The verb-less call: build the page and serve it on this machine.

pub mod answer;
mod follow;
pub mod server;

use std::time::Duration;

use tokio::runtime::Builder;

use crate::progress::Progress;
use crate::workspace::Workspace;
use crate::{Error, Result, build};
use server::Server;

/// How long open connections may finish after Ctrl-C.
const GRACE: Duration = Duration::from_secs(2);

/// Options of serving.
#[derive(Debug, clap::Args)]
pub struct Args {
    /// Port on 127.0.0.1 for the page; 0 takes any free one.
    #[arg(long, value_name = "N", default_value_t = 8117)]
    pub port: u16,
}

/// Builds and serves the page until Ctrl-C.
///
/// # Errors
/// The port is in use, or the page cannot be built.
pub fn run(args: &Args, progress: Progress) -> Result<()> {
    // The port is taken before the build, which may take minutes: a busy one is told at once.
    let server = Server::bind(args.port)?.following(Workspace::locate()?.lessons());
    let site = build::page(progress)?;
    let runtime = Builder::new_current_thread().enable_all().build().map_err(|e| server::failed(&e))?;
    runtime.block_on(async {
        let end = watch_for_the_end()?;
        println!("Countlight is at {}   (Ctrl-C ends it)", server.url());
        let (asked, told) = tokio::sync::oneshot::channel::<()>();
        let serving = server.serve(&site, async {
            let _ = told.await;
        });
        let stop = async {
            end.await?;
            let _ = asked.send(());
            tokio::time::sleep(GRACE).await;
            Ok(())
        };
        tokio::select! {
            ended = serving => ended,
            stopped = stop => stopped,
        }
    })
}

/// Watches from now on for Ctrl-C and for the system's wish that the program end; what comes back ends with either.
/// Inside the runtime only. To be called before the address is printed: who can read it may press Ctrl-C.
fn watch_for_the_end() -> Result<impl Future<Output = Result<()>>> {
    let fail = |e: &std::io::Error| Error::new(format!("cannot watch for Ctrl-C: {e}"), "signals", "start it again");
    #[cfg(unix)]
    {
        use tokio::signal::unix::{SignalKind, signal};
        let mut interrupt = signal(SignalKind::interrupt()).map_err(|e| fail(&e))?;
        let mut terminate = signal(SignalKind::terminate()).map_err(|e| fail(&e))?;
        Ok(async move {
            tokio::select! {
                _ = interrupt.recv() => Ok(()),
                _ = terminate.recv() => Ok(()),
            }
        })
    }
    #[cfg(not(unix))]
    Ok(async move { tokio::signal::ctrl_c().await.map_err(|e| fail(&e)) })
}
