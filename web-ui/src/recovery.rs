//! Nothing is lost when the program breaks off: the bench is kept as it goes, outside the module, where the recovery
//! page (`assets/recovery.js`) finds it without the module; and a kept bench is opened again.

use crate::keep::kept::{Read, kept_of, read_later};
use crate::lab::Lab;
use crate::later::Missing;
use std::cell::Cell;
use std::sync::Once;
use wasm_bindgen::{JsCast, JsValue};

/// Between two keepings while the model runs, ms: with a frame on top less than 0.1 s of model time is lost.
const EVERY_MS: f64 = 50.0;

/// Name shared with `recovery.js`: the kept bench as a global of the page.
const KEPT: &str = "countlightBench";
/// And what the browser keeps over a reload.
const STORED: &str = "countlight.bench";
/// There while the person wants the kept bench at the next load.
const REOPEN: &str = "countlight.reopen";

/// The bench as the file that the page saves.
pub fn text(lab: &Lab, now_ms: f64) -> String {
    kept_of(lab, now_ms).text()
}

/// Opens what was kept: the lab stands at the same time and place, paused.
///
/// # Errors
/// Why it cannot be, in words; the lab is as it was.
pub fn open(lab: &mut Lab, text: &str, read: Read) -> Result<(), String> {
    let ready = read("the kept bench", text.as_bytes()).map_err(|why| why.to_string())?;
    lab.resume(&ready.scene_id, ready.scene, ready.waiting, ready.sim);
    lab.clock.running = false;
    Ok(())
}

thread_local! {
    /// Reads a kept bench, once that was fetched.
    static READ: Cell<Option<Read>> = const { Cell::new(None) };
    static KEPT_MS: Cell<f64> = const { Cell::new(f64::NEG_INFINITY) };
    static KEPT_S: Cell<f64> = const { Cell::new(f64::NAN) };
}

/// At each frame: keeps the bench if it has gone on and the last keeping is a while ago.
pub fn frame(now_ms: f64, lab: &Lab) {
    crate::debug::perhaps_break();
    if now_ms - KEPT_MS.get() >= EVERY_MS && lab.sim_now().time_s() != KEPT_S.get() {
        KEPT_MS.set(now_ms);
        keep(lab);
    }
}

/// Keeps the bench now, as after each command.
pub fn keep(lab: &Lab) {
    KEPT_S.set(lab.sim_now().time_s());
    let text = text(lab, js_sys::Date::now());
    let _ = js_sys::Reflect::set(&js_sys::global(), &JsValue::from_str(KEPT), &JsValue::from_str(&text));
    if let Some(storage) = storage() {
        // Full, or forbidden: then the page's own copy has to do.
        let _ = storage.set_item(STORED, &text);
    }
}

fn storage() -> Option<web_sys::Storage> {
    web_sys::window()?.session_storage().ok().flatten()
}

/// Before the start: fetches what [`take_up`] needs if there is something to take up.
pub async fn prepare() {
    if storage().and_then(|storage| storage.get_item(REOPEN).ok().flatten()).is_some() {
        READ.set(read_later().await.ok());
    }
}

/// At the start: opens the kept bench in the lab if the person asked for it, and says so in words.
pub fn take_up(lab: &mut Lab) -> Option<String> {
    let storage = storage()?;
    let text = |name| storage.get_item(name).ok().flatten();
    text(REOPEN)?;
    let _ = storage.remove_item(REOPEN);
    let kept = text(STORED)?;
    let opened = READ.get().ok_or_else(|| Missing.to_string()).and_then(|read| open(lab, &kept, read));
    Some(match opened {
        Ok(()) => format!(
            "The bench is open again as it stood at {:.2} s. It is paused: Run goes on.\nIf it breaks off at the same place once more, save the bench and start afresh.",
            lab.sim().time_s()
        ),
        Err(why) => format!("{why}\nThe page has started afresh."),
    })
}

/// From now on a panic is written to the console, and its words are left where scripts find them.
pub fn note_panics() {
    static ONCE: Once = Once::new();
    ONCE.call_once(|| {
        // Through yew, which else would put its own hook in place when it renders.
        yew::set_custom_panic_hook(Box::new(|info| {
            console_error_panic_hook::hook(info);
            let (global, words) = (js_sys::global(), JsValue::from_str(&info.to_string()));
            let _ = js_sys::Reflect::set(&global, &JsValue::from_str("countlightPanic"), &words);
            // On the page, `recovery.js` takes over; beside it there is none.
            let stopped = js_sys::Reflect::get(&global, &JsValue::from_str("countlightStopped"));
            if let Some(stopped) = stopped.ok().and_then(|f| f.dyn_into::<js_sys::Function>().ok()) {
                let _ = stopped.call1(&JsValue::NULL, &words);
            }
        }));
    });
}

#[cfg(test)]
mod tests;
