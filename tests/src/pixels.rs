//! Whether the pictures are painted.

use serde_json::json;

use crate::{Page, Result};

impl Page {
    /// How many different colours each canvas on the screen has, in the order of the page; one means that nothing is
    /// painted.
    pub async fn colours(&self, css: &str) -> Result<Vec<usize>> {
        // Read from a copy: reading a canvas back makes the browser warn, and slows its painting down.
        let script = "
            const shown = [...document.querySelectorAll(arguments[0])].filter((c) => c.clientWidth > 8 && c.clientHeight > 8);
            return shown.map((canvas) => {
                const copy = new OffscreenCanvas(canvas.width, canvas.height);
                const pen = copy.getContext('2d', { willReadFrequently: true });
                pen.drawImage(canvas, 0, 0);
                return new Set(new Uint32Array(pen.getImageData(0, 0, copy.width, copy.height).data.buffer)).size;
            })";
        self.js_with(script, vec![json!(css)]).await
    }
}
