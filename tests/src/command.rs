//! WebDriver commands of this browser that the standard does not have.

use fantoccini::wd::WebDriverCompatibleCommand;
use http::Method;
use serde_json::Value;
use url::{ParseError, Url};

/// A POST to `session/<id>/<path>` with a JSON body.
#[derive(Debug)]
pub struct Extension {
    /// The path below the session, such as `se/log`.
    pub path: &'static str,
    /// The body.
    pub body: Value,
}

impl WebDriverCompatibleCommand for Extension {
    fn endpoint(&self, base_url: &Url, session_id: Option<&str>) -> Result<Url, ParseError> {
        base_url.join(&format!("session/{}/{}", session_id.unwrap_or_default(), self.path))
    }

    fn method_and_body(&self, _: &Url) -> (Method, Option<String>) {
        (Method::POST, Some(self.body.to_string()))
    }
}
