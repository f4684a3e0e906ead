//! The driver's process, and with it the browser's.

use std::io::{BufRead, BufReader};
use std::os::unix::process::CommandExt;
use std::process::{Child, Command, Stdio};
use std::sync::mpsc::channel;
use std::thread;
use std::time::{Duration, Instant};

use fantoccini::wd::TimeoutConfiguration;
use fantoccini::{Client, ClientBuilder};
use hyper_util::client::legacy::connect::HttpConnector;
use serde_json::json;
use tempfile::TempDir;

use crate::Result;
use crate::browser::{Programs, programs};

/// How long the driver may take to say its port; it takes 0.04 s on an idle machine.
const START: Duration = Duration::from_secs(60);
/// How often a driver is started before the test is given up.
const STARTS: u32 = 3;
/// How long a load or a script may take, so that a page that never loads fails its test and does not hold it up.
const LIMIT: Duration = Duration::from_secs(60);
/// Options of every browser here: no window, nothing sent anywhere, the same size and language on each machine.
const ARGS: [&str; 16] = [
    "--headless=new",
    "--no-sandbox", // The browser's own sandbox refuses to work for root, who runs tests in a container.
    "--disable-gpu",
    "--disable-dev-shm-usage",
    "--disable-quic",
    "--no-first-run",
    "--no-default-browser-check",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-default-apps",
    "--disable-extensions",
    "--metrics-recording-only",
    "--window-size=1280,900",
    "--force-device-scale-factor=1",
    "--lang=en",
];

/// A running driver. Dropping it ends the driver and its browser, also when a test panics.
#[derive(Debug)]
pub struct Driver {
    child: Child,
    port: u16,
    browser: String,
    profile: TempDir,
}

impl Driver {
    /// Starts a driver on a free port. A driver finds one port for both families of addresses, and ends without a word
    /// when somebody took it meanwhile: then another one is started.
    pub fn start() -> Result<Self> {
        (1..STARTS).find_map(|_| Self::start_once().ok()).map_or_else(Self::start_once, Ok)
    }

    fn start_once() -> Result<Self> {
        let Programs { browser, driver } = programs()?;
        let profile = tempfile::Builder::new().prefix("countlight-browser-").tempdir()?;
        let mut child = Command::new(&driver)
            .arg("--port=0")
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            // A group of its own: a killed driver leaves its browser behind, a killed group does not.
            .process_group(0)
            .spawn()
            .map_err(|e| format!("cannot start {}: {e}", driver.display()))?;
        let lines = child.stdout.take();
        let mut started = Self { child, port: 0, browser: browser.to_string_lossy().into_owned(), profile };
        let (sender, received) = channel();
        thread::spawn(move || {
            // Reads on to the end, so that the driver never waits for a full pipe.
            for line in lines.into_iter().flat_map(|out| BufReader::new(out).lines().map_while(|line| line.ok())) {
                let _ = sender.send(line);
            }
        });
        let deadline = Instant::now() + START;
        loop {
            let left = deadline.saturating_duration_since(Instant::now());
            let line = received.recv_timeout(left).map_err(|_| format!("{} did not say its port", driver.display()))?;
            if let Some(port) = port_in(&line) {
                started.port = port;
                return Ok(started);
            }
        }
    }

    /// Opens a browser window with `extra` options.
    pub async fn open(&self, extra: &[&str]) -> Result<Client> {
        let mut args: Vec<String> = ARGS.iter().chain(extra).map(|arg| (*arg).to_owned()).collect();
        args.push(format!("--user-data-dir={}", self.profile.path().display()));
        let wanted = json!({
            "goog:chromeOptions": { "binary": self.browser, "args": args },
            "goog:loggingPrefs": { "browser": "ALL" },
        });
        let capabilities = wanted.as_object().cloned().unwrap_or_default();
        let address = format!("http://127.0.0.1:{}", self.port);
        let client = ClientBuilder::new(HttpConnector::new()).capabilities(capabilities).connect(&address).await?;
        let limits = TimeoutConfiguration::new(Some(LIMIT), Some(LIMIT), None);
        client.update_timeouts(limits).await?;
        Ok(client)
    }
}

/// The port in the driver's line `... was started successfully on port 12345.`
fn port_in(line: &str) -> Option<u16> {
    let (_, port) = line.split_once("successfully on port ")?;
    port.trim_end_matches('.').parse().ok()
}

impl Drop for Driver {
    fn drop(&mut self) {
        // The shell's own `kill`: a bare machine may lack the program of that name.
        let kill = format!("kill -s KILL -- -{}", self.child.id());
        let _ = Command::new("sh").args(["-c", &kill]).status();
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

#[cfg(test)]
mod tests {
    use super::port_in;

    #[test]
    fn the_port_is_read_from_the_drivers_line() {
        assert_eq!(port_in("ChromeDriver was started successfully on port 43521."), Some(43521));
        assert_eq!(port_in("Starting ChromeDriver 1.2.3 on port 0"), None);
    }
}
