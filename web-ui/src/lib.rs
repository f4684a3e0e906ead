//! The Countlight page: one store, a stage that paints pictures of the running bench, and controls over them.

pub mod app;
pub mod components;
pub mod debug;
pub mod draw;
pub mod jobs;
pub mod keep;
pub mod keys;
pub mod lab;
pub mod layout;
pub mod pictures;
pub mod recovery;
pub mod stage;
pub mod store;
pub mod units;
pub mod web;

use wasm_bindgen::prelude::*;

/// Starts the page in the document's body.
#[wasm_bindgen]
pub fn start() {
    recovery::note_panics();
    yew::Renderer::<app::App>::new().render();
}
