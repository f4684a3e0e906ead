//! The Countlight page: one store, a stage that paints pictures of the running bench, and controls over them.

pub mod app;
pub mod components;
pub mod debug;
pub mod draw;
pub mod jobs;
pub mod keep;
pub mod keys;
pub mod lab;
pub mod language;
pub mod later;
pub mod layout;
pub mod pictures;
pub mod proof;
pub mod recovery;
pub mod stage;
pub mod store;
pub mod units;
pub mod web;

use wasm_bindgen::prelude::*;

/// Takes the scenes and lessons over: the text of the site's `content.json`. To be called before [`start`].
///
/// # Errors
/// Why the page could not start with them, in words: what is wrong, where, and how to mend it.
#[wasm_bindgen]
pub fn take_content(json: &str) -> Result<(), JsValue> {
    let refuse = |why: String| JsValue::from_str(&why);
    lessons::take(json).map_err(|why| refuse(format!("the scenes and lessons (content.json) are damaged: {why}")))?;
    let first = app::FIRST_SCENE;
    match lessons::shipped_by_name(first) {
        Some(scene) => lessons::read(scene.id, scene.text).map(|_| ()).map_err(|why| refuse(why.to_string())),
        None => {
            Err(refuse(format!("the scene that the page opens with, scenes/{first}.toml, is not among its scenes")))
        }
    }
}

/// Starts the page in the document's body.
#[wasm_bindgen]
pub async fn start() {
    recovery::note_panics();
    recovery::prepare().await;
    yew::Renderer::<app::App>::new().render();
}
