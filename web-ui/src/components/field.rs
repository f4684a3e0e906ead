//! Numbers that are typed. The page is drawn anew ten times a second while the bench runs; a field that a person is
//! writing in must not be written over by that.

use web_sys::HtmlInputElement;
use yew::prelude::*;

/// Keeps a field at `value` as long as nobody writes in it; also after a number was refused. The field itself gets no
/// `value`.
#[hook]
pub fn use_field_value(node: &NodeRef, value: String) {
    let node = node.clone();
    use_effect(move || {
        let Some(input) = node.cast::<HtmlInputElement>() else { return };
        let focus = web_sys::window().and_then(|w| w.document()).and_then(|d| d.active_element());
        if focus.as_ref() != Some(input.as_ref()) && input.value() != value {
            input.set_value(&value);
        }
    });
}

/// Gives a field its first value; from then on it is the person's.
#[hook]
pub fn use_first_value(node: &NodeRef, value: &'static str) {
    let node = node.clone();
    use_effect_with((), move |()| {
        if let Some(input) = node.cast::<HtmlInputElement>() {
            input.set_value(value);
        }
    });
}
