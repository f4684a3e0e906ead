//! What keeping and sharing need of the browser: files out, the clipboard, pixels, the page's own address.

use super::picture::{Drawing, PIXELS};
use crate::draw::canvas::Painter;
use crate::draw::tokens::Theme;
use js_sys::{Array, Reflect, Uint8Array};
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{Blob, BlobPropertyBag, HtmlAnchorElement, HtmlCanvasElement, Storage, Url};

/// The browser's own shelf; a page from a file, or a browser that forbids it, may have none.
pub fn shelf() -> Option<Storage> {
    web_sys::window().and_then(|w| w.local_storage().ok().flatten())
}

/// Now, milliseconds since the start of 1970 (UTC).
pub fn now_ms() -> f64 {
    js_sys::Date::now()
}

/// Today, as a count of days by the local calendar.
pub fn today() -> u32 {
    super::when::Wall::of(now_ms()).day.clamp(0, i64::from(u32::MAX)) as u32
}

/// Address of the page without what stands behind `#` and `?`.
pub fn base() -> String {
    let Some(location) = web_sys::window().map(|w| w.location()) else { return String::new() };
    // The origin of a file is the word "null".
    let origin = location.origin().ok().filter(|origin| origin != "null");
    let origin = origin.unwrap_or_else(|| location.protocol().unwrap_or_default() + "//");
    origin + &location.pathname().unwrap_or_default()
}

/// What stands behind `#` in the page's address.
pub fn fragment() -> String {
    web_sys::window().and_then(|w| w.location().hash().ok()).unwrap_or_default()
}

/// Takes away what stands behind `#`.
pub fn forget_fragment() {
    if let Some(window) = web_sys::window() {
        let _ = window.location().set_hash("");
    }
}

/// Gives the person a file.
///
/// # Errors
/// What the browser throws.
pub fn hand_out(name: &str, kind: &str, bytes: &[u8]) -> Result<(), JsValue> {
    let options = BlobPropertyBag::new();
    options.set_type(kind);
    let parts = Array::of1(&Uint8Array::from(bytes));
    hand_out_blob(name, &Blob::new_with_u8_array_sequence_and_options(&parts, &options)?)
}

fn hand_out_blob(name: &str, blob: &Blob) -> Result<(), JsValue> {
    let document = web_sys::window().and_then(|w| w.document()).ok_or("no document")?;
    let address = Url::create_object_url_with_blob(blob)?;
    let link: HtmlAnchorElement = document.create_element("a")?.unchecked_into();
    link.set_href(&address);
    link.set_download(name);
    link.click();
    // The browser has taken hold of it when the next task runs.
    let free = Closure::once_into_js(move || {
        let _ = Url::revoke_object_url(&address);
    });
    if let Some(window) = web_sys::window() {
        window.set_timeout_with_callback_and_timeout_and_arguments_0(free.unchecked_ref(), 30_000)?;
    }
    Ok(())
}

/// Paints a drawing on a canvas of its own and gives the person its pixels as a PNG file.
///
/// # Errors
/// What the browser throws.
pub fn hand_out_pixels(name: String, drawing: &Drawing, theme: Theme) -> Result<(), JsValue> {
    let document = web_sys::window().and_then(|w| w.document()).ok_or("no document")?;
    let canvas: HtmlCanvasElement = document.create_element("canvas")?.unchecked_into();
    let mut painter = Painter::new(canvas.clone())?;
    painter.paint_at(&drawing.shapes, drawing.size, drawing.k, theme, PIXELS)?;
    let done = Closure::once_into_js(move |blob: JsValue| {
        if let Ok(blob) = blob.dyn_into::<Blob>() {
            let _ = hand_out_blob(&name, &blob);
        }
    });
    canvas.to_blob(done.unchecked_ref())
}

/// Puts a text on the clipboard; false when the browser does not let the page do it.
pub async fn copy(text: String) -> bool {
    let Some(navigator) = web_sys::window().map(|w| w.navigator()) else { return false };
    // Pages without a secure address have no clipboard at all.
    let there = Reflect::get(&navigator, &"clipboard".into()).is_ok_and(|c| c.is_object());
    there && wasm_bindgen_futures::JsFuture::from(navigator.clipboard().write_text(&text)).await.is_ok()
}

/// Opens the browser's print dialog.
pub fn print() {
    if let Some(window) = web_sys::window() {
        let _ = window.print();
    }
}

/// Calls back when the page's address changed, and says when the page is hidden or left.
pub fn listen(event: &str, call: impl Fn() + 'static) {
    let closure = Closure::<dyn Fn()>::new(call).into_js_value();
    let Some(window) = web_sys::window() else { return };
    let target: web_sys::EventTarget = match (event, window.document()) {
        ("visibilitychange", Some(document)) => document.into(),
        _ => window.into(),
    };
    let _ = target.add_event_listener_with_callback(event, closure.unchecked_ref());
}

/// Calls again and again.
pub fn every(ms: i32, call: impl Fn() + 'static) {
    let closure = Closure::<dyn Fn()>::new(call).into_js_value();
    if let Some(window) = web_sys::window() {
        let _ = window.set_interval_with_callback_and_timeout_and_arguments_0(closure.unchecked_ref(), ms);
    }
}
