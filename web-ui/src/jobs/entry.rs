//! Where the helper that runs beside the page enters: it gets a job as text and gives the outcome as text.

use super::{Run, run_later};
use std::cell::Cell;
use wasm_bindgen::prelude::*;

/// Progress is told at most this often, ms.
const TELL_MS: f64 = 40.0;

thread_local! {
    static RUN: Cell<Option<Run>> = const { Cell::new(None) };
}

/// Fetches what does jobs. To be awaited before [`run_job`].
///
/// # Errors
/// It did not arrive.
#[wasm_bindgen]
pub async fn fetch_jobs() -> Result<(), JsValue> {
    let run = run_later().await.map_err(|missing| words(&missing.to_string()))?;
    RUN.set(Some(run));
    Ok(())
}

/// Does a job from its JSON text and gives the outcome as JSON text. `progress` is called with the share that is done.
///
/// # Errors
/// Why it could not be done, in words.
#[wasm_bindgen]
pub fn run_job(job: &str, progress: &js_sys::Function) -> Result<String, JsValue> {
    crate::recovery::note_panics();
    let run = RUN.get().ok_or_else(|| words("What does jobs was not fetched."))?;
    let mut told_ms = f64::NEG_INFINITY;
    run(job, &mut |share| {
        let now_ms = js_sys::Date::now();
        if now_ms - told_ms >= TELL_MS {
            told_ms = now_ms;
            let _ = progress.call1(&JsValue::NULL, &JsValue::from_f64(share));
        }
    })
    .map_err(|why| words(&why))
}

fn words(text: &str) -> JsValue {
    JsValue::from_str(text)
}
