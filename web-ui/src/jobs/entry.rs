//! Where the helper that runs beside the page enters: it gets a job as text and gives the outcome as text.

use super::{Job, run};
use wasm_bindgen::prelude::*;

/// Progress is told at most this often, ms.
const TELL_MS: f64 = 40.0;

/// Does a job from its JSON text and gives the outcome as JSON text. `progress` is called with the share that is done.
///
/// # Errors
/// Why it could not be done, in words.
#[wasm_bindgen]
pub fn run_job(job: &str, progress: &js_sys::Function) -> Result<String, JsValue> {
    crate::recovery::note_panics();
    let job: Job = lessons::kept::read(job).map_err(|why| words(&format!("The job was not understood: {why}.")))?;
    let mut told_ms = f64::NEG_INFINITY;
    let outcome = run(job, &mut |share| {
        let now_ms = js_sys::Date::now();
        if now_ms - told_ms >= TELL_MS {
            told_ms = now_ms;
            let _ = progress.call1(&JsValue::NULL, &JsValue::from_f64(share));
        }
    });
    let outcome = outcome.map_err(|why| words(&why))?;
    serde_json::to_string(&outcome).map_err(|why| words(&format!("The outcome cannot be written: {why}.")))
}

fn words(text: &str) -> JsValue {
    JsValue::from_str(text)
}
