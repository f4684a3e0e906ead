//! Files that a person drops on the page.

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use serde_json::json;

use crate::{Page, Result};

impl Page {
    /// Drops a file on the page.
    pub async fn drop_file(&self, name: &str, bytes: &[u8]) -> Result<()> {
        self.drop_files(&[(name.to_owned(), bytes.to_vec())]).await
    }

    /// Drops several files on the page at once: name and bytes of each.
    pub async fn drop_files(&self, files: &[(String, Vec<u8>)]) -> Result<()> {
        let script = "
            const dataTransfer = new DataTransfer();
            for (const [name, text] of arguments[0]) {
                const bytes = Uint8Array.from(atob(text), (c) => c.charCodeAt(0));
                dataTransfer.items.add(new File([bytes], name));
            }
            const target = document.elementFromPoint(innerWidth / 2, innerHeight / 2);
            for (const kind of ['dragenter', 'dragover', 'drop']) {
                target.dispatchEvent(new DragEvent(kind, { dataTransfer, bubbles: true, cancelable: true }));
            }";
        let files: Vec<_> = files.iter().map(|(name, bytes)| json!([name, STANDARD.encode(bytes)])).collect();
        self.js_with(script, vec![json!(files)]).await
    }

    /// The text of the notice, waiting until there is one; then closes it.
    pub async fn read_notice(&self) -> Result<String> {
        self.css(".notice").await?;
        let text = self.text(".notice pre").await?;
        self.click("Close").await?;
        self.until_js("the notice is closed", "return document.querySelector('.notice') === null").await?;
        Ok(text)
    }
}
