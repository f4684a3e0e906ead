//! The Countlight page.

pub mod draw;
pub mod lab;

use wasm_bindgen::prelude::*;

/// Starts the page in the document's body.
#[wasm_bindgen]
pub fn start() {
    console_error_panic_hook::set_once();
}
