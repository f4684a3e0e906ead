//! A page in a browser of its own.

use std::time::{Duration, Instant};

use fantoccini::{Client, Locator};
use serde::de::DeserializeOwned;
use serde_json::{Value, json};

use crate::command::Extension;
use crate::driver::Driver;
use crate::{Element, Key, Result, served};

/// How long a condition may take to come true. Far above what it takes, so that only a real fault reaches it.
const PATIENCE: Duration = Duration::from_secs(30);
/// Time between two looks at a condition.
const INTERVAL: Duration = Duration::from_millis(30);

/// A page in a browser of its own; both end when it is dropped.
#[derive(Debug)]
pub struct Page {
    client: Client,
    _driver: Driver,
}

impl Page {
    /// Builds and serves our page, opens it and waits until it has started.
    pub async fn open() -> Result<Self> {
        Self::open_at("").await
    }

    /// Like [`Page::open`], at an address below the page's own, such as `#/help`.
    pub async fn open_at(below: &str) -> Result<Self> {
        let served = served::shared()?;
        let page = Self::blank(&[]).await?;
        page.goto(&format!("{}{below}", served.url())).await?;
        page.ready().await?;
        Ok(page)
    }

    /// An empty window, started with extra options of the browser. Pages in it take the person for one who has been here
    /// before, so that no tour stands in the way.
    pub async fn blank(options: &[&str]) -> Result<Self> {
        let page = Self::new_profile(options).await?;
        let source = "try { localStorage['countlight.tour'] ??= 'seen' } catch {}";
        page.cdp("Page.addScriptToEvaluateOnNewDocument", json!({ "source": source })).await?;
        Ok(page)
    }

    /// Like [`Page::open`], for somebody who has never been here.
    pub async fn first_visit() -> Result<Self> {
        let served = served::shared()?;
        let page = Self::new_profile(&[]).await?;
        page.goto(served.url()).await?;
        page.ready().await?;
        Ok(page)
    }

    async fn new_profile(options: &[&str]) -> Result<Self> {
        let driver = Driver::start()?;
        let client = driver.open(options).await?;
        Ok(Self { client, _driver: driver })
    }

    /// Loads an address and waits for its `load` event.
    pub async fn goto(&self, url: &str) -> Result<()> {
        Ok(self.client.goto(url).await?)
    }

    /// Waits until the start script has started the page.
    pub async fn ready(&self) -> Result<()> {
        let script =
            "const { ready, failed } = document.documentElement.dataset; return ready === '1' || failed === '1'";
        self.until_js("the page has started", script).await?;
        if self.js::<bool>("return document.documentElement.dataset.failed === '1'").await? {
            let text: String = self.js("return document.body.innerText").await?;
            return Err(format!("the page could not start; it says: {text}").into());
        }
        Ok(())
    }

    /// The WebDriver client below, for what is not here.
    pub fn client(&self) -> &Client {
        &self.client
    }

    /// Runs the body of a function in the page and returns what it returns.
    pub async fn js<T: DeserializeOwned>(&self, body: &str) -> Result<T> {
        self.js_with(body, vec![]).await
    }

    /// Like [`Page::js`]; the body sees `args` as `arguments[0]` and so on.
    pub async fn js_with<T: DeserializeOwned>(&self, body: &str, args: Vec<Value>) -> Result<T> {
        Ok(serde_json::from_value(self.client.execute(body, args).await?)?)
    }

    /// Waits until `condition` holds. `what` names it in the error.
    pub async fn until(&self, what: &str, condition: impl AsyncFn() -> Result<bool>) -> Result<()> {
        let deadline = Instant::now() + PATIENCE;
        while !condition().await? {
            if Instant::now() > deadline {
                return Err(format!("waited {} s in vain until {what}", PATIENCE.as_secs()).into());
            }
            tokio::time::sleep(INTERVAL).await;
        }
        Ok(())
    }

    /// Waits until the body of a function returns `true` in the page.
    pub async fn until_js(&self, what: &str, body: &str) -> Result<()> {
        self.until(what, async || self.js(body).await).await
    }

    /// Waits until no part of the page that was asked for is still on its way.
    pub async fn settled(&self) -> Result<()> {
        self.until_js("every part is here", "return document.querySelector('.later[role=status]') === null").await
    }

    /// The first element that matches a CSS selector, waiting until there is one.
    pub async fn css(&self, selector: &str) -> Result<Element> {
        let find = async || Ok(!self.all(selector).await?.is_empty());
        self.until(&format!("there is an element `{selector}`"), find).await?;
        Ok(self.client.find(Locator::Css(selector)).await?)
    }

    /// All elements that match a CSS selector now.
    pub async fn all(&self, selector: &str) -> Result<Vec<Element>> {
        Ok(self.client.find_all(Locator::Css(selector)).await?)
    }

    /// Presses keys in the element that has the focus: text, or [`Key`]s, or both.
    pub async fn press(&self, keys: impl Into<Keys>) -> Result<()> {
        let focus = self.client.active_element().await?;
        Ok(focus.send_keys(&keys.into().0).await?)
    }

    /// Runs a command of the browser's debugging protocol.
    pub async fn cdp(&self, command: &str, params: Value) -> Result<Value> {
        self.extension("goog/cdp/execute", json!({ "cmd": command, "params": params })).await
    }

    pub(crate) async fn extension(&self, path: &'static str, body: Value) -> Result<Value> {
        Ok(self.client.issue_cmd(Extension { path, body }).await?)
    }
}

/// Text to type.
#[derive(Debug, Clone)]
pub struct Keys(String);

impl From<&str> for Keys {
    fn from(text: &str) -> Self {
        Self(text.to_owned())
    }
}

impl From<Key> for Keys {
    fn from(key: Key) -> Self {
        Self(char::from(key).to_string())
    }
}
