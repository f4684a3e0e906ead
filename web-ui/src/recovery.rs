//! Nothing is lost when the program breaks off: the bench is kept as it goes, outside the module, where the recovery
//! page (`assets/recovery.js`) finds it without the module; and a kept bench is opened again.

use crate::lab::Lab;
use crate::store::{Action, Store};
use lessons::kept::{self, Around};
use sim_core::bench::Bench;
use sim_core::numbers::Within;
use sim_core::scene::Scene;
use std::cell::Cell;
use std::sync::Once;
use wasm_bindgen::{JsCast, JsValue};

/// Between two keepings while the model runs, ms: with a frame on top less than 0.1 s of model time is lost.
const EVERY_MS: f64 = 50.0;
/// Largest file of a bench that is read, bytes.
const LARGEST_FILE: usize = 8 << 20;

/// Names shared with `recovery.js`: globals of the page.
const KEPT: [&str; 2] = ["countlightBench", "countlightAround"];
/// And what the browser keeps over a reload.
const STORED: [&str; 2] = ["countlight.bench", "countlight.around"];
/// There while the person wants the kept bench at the next load.
const REOPEN: &str = "countlight.reopen";

fn around(lab: &Lab) -> Around {
    Around {
        time_s: lab.sim().time_s(),
        scene_id: lab.scene_id().to_owned(),
        scene: lab.scene().clone(),
        waiting: lab.waiting(),
        pace: lab.clock.pace(),
    }
}

/// Around a bench that came alone, as a file.
fn alone(name: &str, bench: &Bench) -> Around {
    let scene = Scene {
        format: sim_core::scene::FORMAT,
        title: format!("Saved bench: {name}"),
        about: "A bench that was saved. Starting it again begins with its healthy bench.".to_owned(),
        bench: bench.setup.bench,
        seed: 0,
        duration_s: Within::nearest(60.0),
        start_mm: Within::nearest(100.0),
        set: Default::default(),
        steps: Vec::new(),
        expects: Vec::new(),
        look_alikes: Vec::new(),
    };
    Around { time_s: 0.0, scene_id: name.to_owned(), scene, waiting: 0, pace: 0 }
}

/// The two texts that are kept.
pub fn texts(lab: &Lab) -> Option<[String; 2]> {
    Some([kept::write_bench(lab.sim().bench()).ok()?, kept::write_around(&around(lab)).ok()?])
}

/// Opens what was kept: the lab stands at the same time and place, paused.
///
/// # Errors
/// Why it cannot be, in words; the lab is as it was.
pub fn open(lab: &mut Lab, bench: &str, around: &str) -> Result<(), String> {
    let refuse = |why: String| format!("The kept bench cannot be opened: {why}");
    let bench = kept::read_bench(bench).map_err(refuse)?;
    let around = kept::read_around(around).map_err(refuse)?;
    put(lab, bench, around).map_err(refuse)
}

fn put(lab: &mut Lab, bench: Bench, around: Around) -> Result<(), String> {
    lab.open_bench(&around.scene_id, around.scene, bench, around.waiting).map_err(|why| why.to_string())?;
    lab.clock.set_pace(around.pace);
    Ok(())
}

thread_local! {
    static KEPT_MS: Cell<f64> = const { Cell::new(f64::NEG_INFINITY) };
    static KEPT_S: Cell<f64> = const { Cell::new(f64::NAN) };
}

/// At each frame: keeps the bench if it has gone on and the last keeping is a while ago.
pub fn frame(now_ms: f64, lab: &Lab) {
    crate::debug::perhaps_break();
    if now_ms - KEPT_MS.get() >= EVERY_MS && lab.sim().time_s() != KEPT_S.get() {
        KEPT_MS.set(now_ms);
        keep(lab);
    }
}

/// Keeps the bench now, as after each command.
pub fn keep(lab: &Lab) {
    KEPT_S.set(lab.sim().time_s());
    let Some(texts) = texts(lab) else { return };
    let global = js_sys::global();
    for ((kept, stored), text) in KEPT.iter().zip(STORED).zip(texts) {
        let _ = js_sys::Reflect::set(&global, &JsValue::from_str(kept), &JsValue::from_str(&text));
        if let Some(storage) = storage() {
            // Full, or forbidden: then the page's own copy has to do.
            let _ = storage.set_item(stored, &text);
        }
    }
}

fn storage() -> Option<web_sys::Storage> {
    web_sys::window()?.session_storage().ok().flatten()
}

/// At the start: opens the kept bench in the lab if the person asked for it, and says so in words.
pub fn take_up(lab: &mut Lab) -> Option<String> {
    let storage = storage()?;
    let text = |name| storage.get_item(name).ok().flatten();
    text(REOPEN)?;
    let _ = storage.remove_item(REOPEN);
    let (bench, around) = (text(STORED[0])?, text(STORED[1])?);
    Some(match open(lab, &bench, &around) {
        Ok(()) => format!(
            "The bench is open again as it stood at {:.2} s. It is paused: Run goes on.\nIf it breaks off at the same place once more, save the bench and start afresh.",
            lab.sim().time_s()
        ),
        Err(why) => format!("{why}\nThe page has started afresh."),
    })
}

/// Opens a saved bench that was dropped on the page; false when the file is something else.
pub fn dropped(store: &Store, name: &str, bytes: &[u8]) -> bool {
    // No scene file begins with a brace.
    if bytes.iter().find(|byte| !byte.is_ascii_whitespace()) != Some(&b'{') {
        return false;
    }
    if let Err(why) = store.change(|lab| open_file(lab, name, bytes)) {
        store.ui.dispatch(Action::Notice(why));
    }
    true
}

fn open_file(lab: &mut Lab, name: &str, bytes: &[u8]) -> Result<(), String> {
    let mend = "\n  To mend it: choose a bench that this page has saved, or a scene file (.toml).";
    if bytes.len() > LARGEST_FILE {
        return Err(format!("{name}: the file has {} bytes; a bench has at most {LARGEST_FILE}{mend}", bytes.len()));
    }
    let text = std::str::from_utf8(bytes).map_err(|why| why.to_string());
    let bench = text.and_then(kept::read_bench).map_err(|why| format!("{name}: not a saved bench: {why}{mend}"))?;
    let around = alone(name, &bench);
    put(lab, bench, around).map_err(|why| format!("{name}: {why}{mend}"))
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
