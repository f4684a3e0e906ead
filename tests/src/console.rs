//! What the page has written to the browser's console, breaches of the security policy and failed loads included.

use serde::Deserialize;
use serde_json::json;

use crate::{Page, Result};

/// One line of the console.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct Entry {
    /// `SEVERE`, `WARNING`, `INFO` or `DEBUG`.
    pub level: String,
    /// The text, with its place in the source.
    pub message: String,
    /// Where it comes from: `console-api`, `javascript`, `network`, `security`, ...
    #[serde(default)]
    pub source: String,
}

impl Entry {
    /// Whether a page that works would not have written this.
    pub fn is_trouble(&self) -> bool {
        self.level == "SEVERE" || self.level == "WARNING"
    }
}

impl Page {
    /// The lines written since the last call.
    pub async fn console(&self) -> Result<Vec<Entry>> {
        let lines = self.extension("se/log", json!({ "type": "browser" })).await?;
        Ok(serde_json::from_value(lines)?)
    }

    /// Fails when the page has written an error or a warning since the last look at its console.
    pub async fn expect_quiet_console(&self) -> Result<()> {
        let lines = self.console().await?;
        let trouble: Vec<String> = lines
            .iter()
            .filter(|line| line.is_trouble())
            .map(|line| format!("  {} ({}): {}", line.level, line.source, line.message))
            .collect();
        if trouble.is_empty() {
            return Ok(());
        }
        Err(format!("the page's console is not quiet:\n{}", trouble.join("\n")).into())
    }
}
