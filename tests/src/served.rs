//! Our page, built once per test program and served from this process.

use std::sync::OnceLock;
use std::thread::{self, JoinHandle};

use countlight_host::progress::Progress;
use countlight_host::serve::server::Server;
use countlight_host::site::Site;
use tokio::sync::oneshot;

use crate::Result;

/// A server in a thread of its own; it ends when this is dropped.
#[derive(Debug)]
pub struct Served {
    url: String,
    port: u16,
    stop: Option<oneshot::Sender<()>>,
    thread: Option<JoinHandle<()>>,
}

impl Served {
    /// The page's address, with a slash at its end.
    pub fn url(&self) -> &str {
        &self.url
    }

    /// The port on 127.0.0.1.
    pub fn port(&self) -> u16 {
        self.port
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        if let Some(stop) = self.stop.take() {
            let _ = stop.send(());
        }
        if let Some(thread) = self.thread.take() {
            let _ = thread.join();
        }
    }
}

/// Our page's files, built by the same code that `cargo run` uses.
pub fn site() -> Result<Site> {
    static BUILT: OnceLock<std::result::Result<Site, countlight_host::Error>> = OnceLock::new();
    Ok(BUILT.get_or_init(|| countlight_host::build::page(Progress::on_stderr())).clone()?)
}

/// Serves some files on a free port.
pub fn serve(site: Site) -> Result<Served> {
    let server = Server::bind(0)?;
    let (url, port) = (server.url(), server.port());
    let (stop, stopped) = oneshot::channel();
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build()?;
    let thread = thread::spawn(move || {
        let stopped = async {
            let _ = stopped.await;
        };
        // The socket was bound above; whatever fails later shows as a failed request in the test.
        let serving = async {
            tokio::select! {
                _ = server.serve(&site, std::future::pending()) => {}
                () = stopped => {}
            }
        };
        runtime.block_on(serving);
    });
    Ok(Served { url, port, stop: Some(stop), thread: Some(thread) })
}

/// The server that the tests of one program share.
pub(crate) fn shared() -> Result<&'static Served> {
    static SHARED: OnceLock<std::result::Result<Served, String>> = OnceLock::new();
    let start = || site().and_then(serve).map_err(|e| e.to_string());
    SHARED.get_or_init(start).as_ref().map_err(|e| e.clone().into())
}
