//! A handle over a picture: drag it, or move it with the arrow keys.

use super::place::use_placed;
use super::slider_keys::asked;
use web_sys::{Element, KeyboardEvent, PointerEvent};
use yew::prelude::*;

/// Properties of [`Handle`].
#[derive(Properties, PartialEq)]
pub struct Props {
    /// What it is.
    pub label: AttrValue,
    /// What its value is, in words.
    pub spoken: AttrValue,
    /// Value, and its least and greatest.
    pub value: f64,
    /// Least and greatest value.
    pub range: (f64, f64),
    /// One step of the arrow keys.
    pub step: f64,
    /// Where it is, px over the picture.
    pub place: (f64, f64),
    /// True when it goes up and down.
    pub upright: bool,
    /// The value that belongs to a place over the picture.
    pub at: Callback<(f64, f64), f64>,
    /// Called with the value that is wanted.
    pub onchange: Callback<f64>,
}

/// The handle.
#[function_component(Handle)]
pub fn handle(props: &Props) -> Html {
    let node = use_node_ref();
    let held = use_mut_ref(|| None::<f64>);
    use_placed(&node, props.place.0, props.place.1);
    let want = {
        let (onchange, range) = (props.onchange.clone(), props.range);
        move |value: f64| {
            if value.is_finite() {
                onchange.emit(value.clamp(range.0, range.1));
            }
        }
    };
    let over = |event: &PointerEvent| {
        let parent = event.target_dyn_into::<Element>().and_then(|e| e.parent_element());
        let rect = parent.map(|p| p.get_bounding_client_rect());
        rect.map(|r| (f64::from(event.client_x()) - r.left(), f64::from(event.client_y()) - r.top()))
    };
    let onpointerdown = {
        let (held, at, value) = (held.clone(), props.at.clone(), props.value);
        move |event: PointerEvent| {
            if let (Some(element), Some(place)) = (event.target_dyn_into::<web_sys::HtmlElement>(), over(&event)) {
                let _ = element.set_pointer_capture(event.pointer_id());
                let _ = element.focus();
                // The handle keeps its distance from the finger.
                *held.borrow_mut() = Some(at.emit(place) - value);
                event.prevent_default();
            }
        }
    };
    let onpointermove = {
        let (held, at, want) = (held.clone(), props.at.clone(), want.clone());
        move |event: PointerEvent| {
            let off = *held.borrow();
            if let (Some(off), Some(place)) = (off, over(&event)) {
                want(at.emit(place) - off);
            }
        }
    };
    let onpointerup = {
        let held = held.clone();
        move |_: PointerEvent| *held.borrow_mut() = None
    };
    let onkeydown = {
        let (value, step, range) = (props.value, props.step, props.range);
        move |event: KeyboardEvent| {
            let Some(wanted) = asked(&event.key(), value, step, range.0, range.1) else { return };
            event.prevent_default();
            want(wanted);
        }
    };
    html! {
        <div
            ref={node} class={classes!("knob", if props.upright { "gap" } else { "along" })} tabindex="0" role="slider"
            aria-label={props.label.clone()} aria-valuetext={props.spoken.clone()} aria-valuenow={format!("{:.4}", props.value)}
            aria-valuemin={props.range.0.to_string()} aria-valuemax={props.range.1.to_string()}
            aria-orientation={if props.upright { "vertical" } else { "horizontal" }}
            {onpointerdown} {onpointermove} onpointerup={onpointerup.clone()} onpointercancel={onpointerup} {onkeydown}
        />
    }
}
