//! The page judged by axe-core, the checker of accessibility rules.

use serde_json::Value;

use crate::{Page, Result};

/// The checker itself, see `tests/vendor/axe-core/README.md`.
const AXE: &str = include_str!("../vendor/axe-core/axe.min.js");

/// Runs every rule of WCAG 2.0 to 2.2, levels A and AA, and the rules of good practice.
const RUN: &str = "
    const done = arguments[0];
    const tags = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];
    axe.run(document, { runOnly: { type: 'tag', values: tags }, resultTypes: ['violations'] }).then(
        (result) => done({
            rules: result.passes.length + result.violations.length,
            found: result.violations.flatMap((v) => v.nodes.map((n) => `${v.id}: ${n.target.join(' ')}: ${n.failureSummary}`)),
        }),
        (error) => done({ rules: 0, found: [String(error)] }))";

impl Page {
    /// What the checker finds on the page as it is now. An error when it could not look.
    pub async fn access_faults(&self) -> Result<Vec<String>> {
        if !self.js::<bool>("return typeof axe === 'object'").await? {
            // As the body of a function; the checker finds the window by itself.
            self.js::<Value>(&format!("{AXE}; globalThis.axe ??= axe; return null")).await?;
        }
        let result = self.client().execute_async(RUN, vec![]).await?;
        let rules = result["rules"].as_u64().unwrap_or(0);
        let found: Vec<String> = serde_json::from_value(result["found"].clone())?;
        if rules < 20 {
            return Err(format!("the checker ran only {rules} rules: {found:?}").into());
        }
        Ok(found)
    }
}
