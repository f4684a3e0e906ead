//! The Countlight page.

pub mod draw;

use wasm_bindgen::prelude::*;

/// Starts the page in the document's body.
#[wasm_bindgen]
pub fn start() {
    console_error_panic_hook::set_once();
}
