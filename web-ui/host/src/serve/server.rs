//! The listening socket and what it is connected to.

use std::future::Future;
use std::io::ErrorKind;
use std::net::{Ipv4Addr, TcpListener};
use std::path::PathBuf;
use std::sync::Arc;

use axum::Router;
use axum::extract::State;
use axum::http::{HeaderMap, Method, Uri};

use super::answer::Answers;
use crate::site::Site;
use crate::{Error, Result};

/// A port that is ours. Connections wait until [`Server::serve`] answers them.
#[derive(Debug)]
pub struct Server {
    listener: TcpListener,
    port: u16,
    lessons: Option<PathBuf>,
}

impl Server {
    /// Takes `port` on 127.0.0.1; 0 takes any free one.
    ///
    /// # Errors
    /// The port is in use or not allowed to us.
    pub fn bind(port: u16) -> Result<Self> {
        let bound = TcpListener::bind((Ipv4Addr::LOCALHOST, port)).and_then(|listener| {
            listener.set_nonblocking(true)?;
            let port = listener.local_addr()?.port();
            Ok(Self { listener, port, lessons: None })
        });
        bound.map_err(|e| match e.kind() {
            ErrorKind::AddrInUse => Error::new(
                format!("port {port} is in use"),
                format!("127.0.0.1:{port}"),
                "perhaps Countlight runs already; else take any free port: `cargo run -- --port 0`",
            ),
            ErrorKind::PermissionDenied => Error::new(
                format!("port {port} is not allowed to you"),
                format!("127.0.0.1:{port}"),
                "take a port from 1024 upwards, or any free one: `cargo run -- --port 0`",
            ),
            _ => failed(&e),
        })
    }

    /// Serves scenes and lessons as they stand in this package's folders at each request, not as they were at the start.
    #[must_use]
    pub fn following(mut self, lessons: PathBuf) -> Self {
        self.lessons = Some(lessons);
        self
    }

    /// The page's address.
    pub fn url(&self) -> String {
        format!("http://127.0.0.1:{}/", self.port)
    }

    /// The port taken.
    pub fn port(&self) -> u16 {
        self.port
    }

    /// Answers requests until `stop` ends, then lets open connections finish. Needs a tokio runtime.
    ///
    /// # Errors
    /// The socket fails.
    pub async fn serve(self, site: &Site, stop: impl Future<Output = ()> + Send + 'static) -> Result<()> {
        let answers = Arc::new(Answers::new(site, self.port, self.lessons));
        let router = Router::new().fallback(handle).with_state(answers);
        let listener = tokio::net::TcpListener::from_std(self.listener).map_err(|e| failed(&e))?;
        axum::serve(listener, router).with_graceful_shutdown(stop).await.map_err(|e| failed(&e))
    }
}

async fn handle(
    State(answers): State<Arc<Answers>>,
    method: Method,
    uri: Uri,
    headers: HeaderMap,
) -> axum::response::Response {
    answers.to(&method, uri.path(), &headers)
}

pub(crate) fn failed(cause: &std::io::Error) -> Error {
    Error::new(format!("the server cannot work: {cause}"), "127.0.0.1", "try another port: `cargo run -- --port 0`")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_busy_port_is_named_with_the_way_out() {
        let first = Server::bind(0).unwrap();
        let error = Server::bind(first.port()).unwrap_err();
        assert_eq!(error.what, format!("port {} is in use", first.port()));
        assert!(error.mend.contains("cargo run -- --port 0"));
    }
}
