//! The helper beside the page: a Web Worker that runs `assets/worker.js` with the page's own compiled module.

use js_sys::{Object, Reflect};
use wasm_bindgen::prelude::*;
use web_sys::{Blob, MessageEvent, Url, WorkerOptions, WorkerType};

/// The helper's script on a web server.
const SCRIPT: &str = "worker.js";
/// Where the single file has left it instead, with the page's code.
const INSIDE: &str = "countlightHelper";
/// Time for the page to show itself before it works alone, ms.
const SHOW_MS: i32 = 60;

/// What a helper says.
pub enum Said {
    /// Share of the job that is done.
    Share(f64),
    /// What came of it, as JSON.
    Outcome(String),
    /// Why it cannot be done, in words.
    Refused(String),
    /// The module broke off; the helper is of no more use.
    Broke(String),
    /// The helper never came up.
    NoStart,
}

/// A helper; dropping it ends it, whatever it is doing.
pub struct Worker {
    worker: web_sys::Worker,
    _heard: [Closure<dyn FnMut(JsValue)>; 2],
}

impl Drop for Worker {
    fn drop(&mut self) {
        self.worker.set_onmessage(None);
        self.worker.set_onerror(None);
        self.worker.terminate();
    }
}

impl Worker {
    /// Starts a helper; `None` when the browser refuses. What it says goes to `hear`.
    pub fn start(hear: impl Fn(Said) + Clone + 'static) -> Option<Self> {
        let worker = make().ok()?;
        let ready = std::rc::Rc::new(std::cell::Cell::new(false));
        let (up, told) = (ready.clone(), hear.clone());
        let onmessage = Closure::<dyn FnMut(JsValue)>::new(move |event: JsValue| {
            let data = event.unchecked_into::<MessageEvent>().data();
            let field = |name: &str| Reflect::get(&data, &name.into()).ok().filter(|value| !value.is_undefined());
            let text = |name: &str| field(name).and_then(|value| value.as_string());
            if field("ready").is_some() {
                up.set(true);
            } else if let Some(share) = field("share").and_then(|value| value.as_f64()) {
                told(Said::Share(share));
            } else if let Some(outcome) = text("outcome") {
                told(Said::Outcome(outcome));
            } else if let Some(why) = text("refused") {
                told(Said::Refused(why));
            } else if let Some(why) = text("broke") {
                told(if up.get() { Said::Broke(why) } else { Said::NoStart });
            }
        });
        let onerror = Closure::<dyn FnMut(JsValue)>::new(move |event: JsValue| {
            let why = Reflect::get(&event, &"message".into()).ok().and_then(|value| value.as_string());
            let why = why.unwrap_or_else(|| "the helper ended without a word".to_owned());
            hear(if ready.get() { Said::Broke(why) } else { Said::NoStart });
        });
        worker.set_onmessage(Some(onmessage.as_ref().unchecked_ref()));
        worker.set_onerror(Some(onerror.as_ref().unchecked_ref()));
        let first = message("module", &wasm_bindgen::module());
        worker.post_message(&first).ok()?;
        Some(Self { worker, _heard: [onmessage, onerror] })
    }

    /// Gives it a job, as JSON.
    pub fn send(&self, job: &str) {
        // Text can always be sent.
        let _ = self.worker.post_message(&message("job", &JsValue::from_str(job)));
    }
}

fn message(name: &str, value: &JsValue) -> Object {
    let message = Object::new();
    let _ = Reflect::set(&message, &name.into(), value);
    message
}

fn make() -> Result<web_sys::Worker, JsValue> {
    let Ok(inside) = Reflect::get(&js_sys::global(), &INSIDE.into())?.dyn_into::<Blob>() else {
        let options = WorkerOptions::new();
        options.set_type(WorkerType::Module);
        return web_sys::Worker::new_with_options(SCRIPT, &options);
    };
    let address = Url::create_object_url_with_blob(&inside)?;
    let worker = web_sys::Worker::new(&address);
    // The worker has taken hold of its script when it was made (HTML standard, "fetch a classic worker script").
    let _ = Url::revoke_object_url(&address);
    worker
}

/// Does something after the page has had time to show itself.
pub fn later(act: impl FnOnce() + 'static) {
    let Some(window) = web_sys::window() else { return };
    let act = Closure::once_into_js(act);
    let _ = window.set_timeout_with_callback_and_timeout_and_arguments_0(act.unchecked_ref(), SHOW_MS);
}
