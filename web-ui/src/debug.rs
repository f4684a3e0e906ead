//! What tests ask of the page through the browser: the record of the model, jobs beside the page. What is measured of it
//! stands in [`crate::proof`].

use crate::store::LabHandle;
use std::cell::{Cell, RefCell};
use wasm_bindgen::prelude::*;

thread_local! {
    static LAB: RefCell<Option<LabHandle>> = const { RefCell::new(None) };
    static JOBS: crate::jobs::Jobs = crate::jobs::Jobs::default();
}

/// Lets [`bench_state`] see the lab of the page.
pub fn offer(lab: LabHandle) {
    LAB.with(|slot| *slot.borrow_mut() = Some(lab));
}

/// The bench as it stands, as JSON: what an exact save holds.
#[wasm_bindgen]
pub fn bench_state() -> String {
    LAB.with(|slot| {
        slot.borrow().as_ref().map_or_else(String::new, |lab| {
            lessons::kept::write_bench(lab.0.borrow().sim().bench()).unwrap_or_default()
        })
    })
}

thread_local! {
    static BREAK: Cell<bool> = const { Cell::new(false) };
}

/// Lets the next frame of the page break off, to test what the page does then.
#[wasm_bindgen]
pub fn break_next_frame() {
    BREAK.set(true);
}

/// In each frame.
///
/// # Panics
/// After [`break_next_frame`].
pub fn perhaps_break() {
    assert!(!BREAK.get(), "the frame was broken on purpose, to test what the page does then");
}

/// Does a job beside the page and calls `done` with its outcome as JSON, or with `null` and the words why not;
/// `progress` is called with the share that is done. The number cancels it.
#[wasm_bindgen]
pub fn start_job(job: String, progress: js_sys::Function, done: js_sys::Function) -> u32 {
    let on_progress = move |share: f64| {
        let _ = progress.call1(&JsValue::NULL, &share.into());
    };
    let on_done = move |result: Result<crate::jobs::Done, String>| {
        let (outcome, why) = match result {
            Ok(ended) => (JsValue::from(ended.outcome), JsValue::NULL),
            Err(why) => (JsValue::NULL, JsValue::from(why)),
        };
        let _ = done.call2(&JsValue::NULL, &outcome, &why);
    };
    JOBS.with(|jobs| jobs.start_text(job, on_progress.into(), on_done.into()))
}

/// Gives a job of [`start_job`] up.
#[wasm_bindgen]
pub fn cancel_job(id: u32) {
    JOBS.with(|jobs| jobs.cancel(id));
}

/// What keeping the bench costs here: bytes of its texts and milliseconds of one keeping.
#[wasm_bindgen]
pub fn keeping_cost(rounds: u32) -> Vec<f64> {
    let clock = web_sys::window().and_then(|window| window.performance());
    let lab = LAB.with(|slot| slot.borrow().clone());
    let (Some(clock), Some(lab)) = (clock, lab) else { return Vec::new() };
    let lab = lab.0.borrow();
    let bytes = crate::recovery::text(&lab, 0.0).len();
    let start_ms = clock.now();
    (0..rounds).for_each(|_| crate::recovery::keep(&lab));
    vec![bytes as f64, (clock.now() - start_ms) / f64::from(rounds.max(1))]
}

/// Texts that the page showed without words for them in its language.
#[wasm_bindgen]
pub fn missed_words() -> Vec<String> {
    crate::language::missed()
}

/// Figures of the running bench as JSON: time, table, readout, count, amplitude, following error, what it is doing.
#[wasm_bindgen]
pub fn bench_figures() -> String {
    LAB.with(|slot| {
        let slot = slot.borrow();
        let Some(lab) = slot.as_ref() else { return String::new() };
        let lab = lab.0.borrow();
        let r = lab.sim().record();
        serde_json::json!({
            "time_s": r.time_s,
            "table_mm": r.table_m * 1e3,
            "readout_mm": r.readout_m * 1e3,
            "counted_mm": r.counted_m * 1e3,
            "uncounted_mm": lab.uncounted_m() * 1e3,
            "command_mm": r.command_m * 1e3,
            "count": r.count,
            "amplitude_a_v": r.amplitude_a_v,
            "amplitude_b_v": r.amplitude_b_v,
            "needed_v": r.needed_v,
            "contrast": r.contrast,
            "error_mm": r.error_m * 1e3,
            "gap_mm": r.gap_m * 1e3,
            "alarm": r.alarm,
            "referenced": r.referenced,
            "doing": format!("{:?}", r.doing),
            "running": lab.clock.running,
            "scene": lab.scene_id(),
        })
        .to_string()
    })
}
