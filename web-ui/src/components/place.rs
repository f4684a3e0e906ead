//! An element at a place over a drawing. The place is set through the style object, not through a style attribute,
//! which the page's content security policy refuses.

use web_sys::HtmlElement;
use yew::prelude::*;

/// Keeps an element at `(x, y)` px over its picture.
#[hook]
pub fn use_placed(node: &NodeRef, x: f64, y: f64) {
    let node = node.clone();
    use_effect_with((x, y), move |&(x, y)| {
        if let Some(element) = node.cast::<HtmlElement>() {
            let style = element.style();
            let _ = style.set_property("left", &format!("{x:.1}px"));
            let _ = style.set_property("top", &format!("{y:.1}px"));
        }
    });
}
