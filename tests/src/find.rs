//! Finds elements the way a screen reader tells them: by role and accessible name.

use fantoccini::Locator;
use serde_json::{Value, json};

use crate::{Element, Page, Result};

/// The attribute that carries an element from the accessibility tree over to WebDriver, for a moment.
const MARK: &str = "data-found-by-role";

impl Page {
    /// The one element with this ARIA role and exactly this accessible name, waiting until there is one. So a test
    /// that uses it also proves that the control has a name. Two such elements are an error.
    pub async fn by_role(&self, role: &str, name: &str) -> Result<Element> {
        let wanted = format!("there is a {role} named `{name}`");
        let find = async || Ok(!self.nodes(role, Some(name)).await?.is_empty());
        if let Err(error) = self.until(&wanted, find).await {
            return Err(format!("{error}; the names of that role are {:?}", self.names(role).await?).into());
        }
        match self.nodes(role, Some(name)).await?.as_slice() {
            [one] => self.element(one).await,
            several => Err(format!("{} elements are a {role} named `{name}`", several.len()).into()),
        }
    }

    /// The accessible names of all elements with a role, in the order of the page.
    pub async fn names(&self, role: &str) -> Result<Vec<String>> {
        let nodes = self.nodes(role, None).await?;
        Ok(nodes.iter().map(|node| node["name"]["value"].as_str().unwrap_or_default().to_owned()).collect())
    }

    async fn nodes(&self, role: &str, name: Option<&str>) -> Result<Vec<Value>> {
        let document = self.cdp("Runtime.evaluate", json!({ "expression": "document" })).await?;
        let mut query = json!({ "objectId": document["result"]["objectId"], "role": role });
        if let Some(name) = name {
            query["accessibleName"] = name.into();
        }
        let mut answer = self.cdp("Accessibility.queryAXTree", query).await?;
        let nodes: Vec<Value> = serde_json::from_value(answer["nodes"].take())?;
        Ok(nodes.into_iter().filter(|node| node["ignored"] != true).collect())
    }

    async fn element(&self, node: &Value) -> Result<Element> {
        let object = self.cdp("DOM.resolveNode", json!({ "backendNodeId": node["backendDOMNodeId"] })).await?;
        let call = async |function: String| {
            let params = json!({ "objectId": object["object"]["objectId"], "functionDeclaration": function });
            self.cdp("Runtime.callFunctionOn", params).await
        };
        call(format!("function() {{ this.setAttribute('{MARK}', '') }}")).await?;
        let element = self.client().find(Locator::Css(&format!("[{MARK}]"))).await;
        call(format!("function() {{ this.removeAttribute('{MARK}') }}")).await?;
        Ok(element?)
    }
}
