//! The Countlight page.
use wasm_bindgen::prelude::*;

/// Starts the page in the document's body.
#[wasm_bindgen]
pub fn start() {
    console_error_panic_hook::set_once();
}
