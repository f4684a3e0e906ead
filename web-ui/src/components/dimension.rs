//! A dimension that is a control: drag its knob, use the arrow keys, or type the exact number.

use super::slider_keys::asked;
use crate::components::place::use_placed;
use web_sys::{Element, HtmlInputElement, KeyboardEvent, PointerEvent};
use yew::prelude::*;

/// Properties of [`Dimension`].
#[derive(Properties, PartialEq)]
pub struct Props {
    /// What it is ("Gap").
    pub name: AttrValue,
    /// Unit on the sheet.
    pub unit: AttrValue,
    /// Value in that unit.
    pub value: f64,
    /// Smallest and largest.
    pub range: (f64, f64),
    /// Nominal value, for the Home key.
    pub nominal: f64,
    /// One step of the arrow keys.
    pub step: f64,
    /// Decimals shown.
    pub decimals: usize,
    /// Where the knob is, px over the picture.
    pub knob: (f64, f64),
    /// Left middle of the number, px over the picture.
    pub field: (f64, f64),
    /// True when it goes up and down, false when it turns.
    pub upright: bool,
    /// The value that belongs to a pointer at a place, px over the picture.
    pub at: Callback<(f64, f64), f64>,
    /// Called with the value that is wanted.
    pub onchange: Callback<f64>,
}

/// A drag of the knob that is going on.
#[derive(Clone, Copy)]
struct Drag {
    /// Value when it began, for Escape.
    start: f64,
    /// By how much the pointer's value was off the knob's.
    off: f64,
    /// Where the pointer was then.
    place: (f64, f64),
}

fn text_of(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    if text.trim_start_matches('-').chars().all(|c| matches!(c, '0' | '.')) {
        text.trim_start_matches('-').to_owned()
    } else {
        text.replace('-', "\u{2212}")
    }
}

/// The control.
#[function_component(Dimension)]
pub fn dimension(props: &Props) -> Html {
    let knob = use_node_ref();
    let field = use_node_ref();
    let input = use_node_ref();
    let typing = use_state(|| false);
    let dragging = use_mut_ref(|| None::<Drag>);
    use_placed(&knob, props.knob.0, props.knob.1);
    use_placed(&field, props.field.0, props.field.1);
    {
        let (input, text) = (input.clone(), text_of(props.value, props.decimals));
        use_effect_with(*typing, move |typing| {
            if let (true, Some(input)) = (*typing, input.cast::<HtmlInputElement>()) {
                // Once: a value given with each drawing would write over what is being typed.
                input.set_value(&text);
                let _ = input.focus();
                input.select();
            }
        });
    }
    let want = {
        let (onchange, range) = (props.onchange.clone(), props.range);
        move |value: f64| {
            if value.is_finite() {
                onchange.emit(value.clamp(range.0, range.1));
            }
        }
    };
    // Where the pointer is over the picture, which is the knob's offset parent.
    let over = |event: &PointerEvent, element: &Element| {
        let parent = element.parent_element().map(|p| p.get_bounding_client_rect());
        parent.map(|r| (f64::from(event.client_x()) - r.left(), f64::from(event.client_y()) - r.top()))
    };
    let onpointerdown = {
        let (dragging, at, value) = (dragging.clone(), props.at.clone(), props.value);
        move |event: PointerEvent| {
            let Some(element) = event.target_dyn_into::<Element>() else { return };
            let Some(place) = over(&event, &element) else { return };
            let _ = element.set_pointer_capture(event.pointer_id());
            // The knob keeps its distance from the finger, so that taking hold moves nothing.
            *dragging.borrow_mut() = Some(Drag { start: value, off: at.emit(place) - value, place });
            event.prevent_default();
            if let Ok(html) = wasm_bindgen::JsCast::dyn_into::<web_sys::HtmlElement>(element) {
                let _ = html.focus();
            }
        }
    };
    let onpointermove = {
        let (dragging, at, want) = (dragging.clone(), props.at.clone(), want.clone());
        move |event: PointerEvent| {
            let Some(Drag { off, place: (x0, y0), .. }) = *dragging.borrow() else { return };
            let Some(element) = event.target_dyn_into::<Element>() else { return };
            if let Some((x, y)) = over(&event, &element) {
                // Shift: a tenth of the way.
                let fine = if event.shift_key() { 0.1 } else { 1.0 };
                want(at.emit((x0 + (x - x0) * fine, y0 + (y - y0) * fine)) - off);
            }
        }
    };
    let onpointerup = {
        let dragging = dragging.clone();
        move |_: PointerEvent| *dragging.borrow_mut() = None
    };
    let onkeydown = {
        let (want, typing, dragging) = (want.clone(), typing.clone(), dragging);
        let (value, step, nominal, range) = (props.value, props.step, props.nominal, props.range);
        move |event: KeyboardEvent| {
            let wanted = match event.key().as_str() {
                "Escape" => match dragging.borrow_mut().take() {
                    Some(drag) => drag.start,
                    None => return,
                },
                "Enter" => {
                    typing.set(true);
                    event.prevent_default();
                    return;
                }
                key => match asked(key, value, step, nominal, range.1) {
                    Some(wanted) => wanted,
                    None => return,
                },
            };
            event.prevent_default();
            want(wanted);
        }
    };
    let text = text_of(props.value, props.decimals);
    let spoken = format!("{} {text} {}", props.name, props.unit);
    let entry = if *typing {
        let finish = {
            let (typing, want) = (typing.clone(), want.clone());
            move |text: String| {
                typing.set(false);
                let plain = text.trim().replace('\u{2212}', "-").replace(',', ".");
                if let Ok(value) = plain.parse::<f64>() {
                    want(value);
                }
            }
        };
        let onblur = {
            let (finish, input) = (finish.clone(), input.clone());
            move |_: FocusEvent| finish(input.cast::<HtmlInputElement>().map(|i| i.value()).unwrap_or_default())
        };
        let onkeydown = {
            let (input, typing) = (input.clone(), typing.clone());
            move |event: KeyboardEvent| match event.key().as_str() {
                "Enter" => finish(input.cast::<HtmlInputElement>().map(|i| i.value()).unwrap_or_default()),
                "Escape" => typing.set(false),
                _ => {}
            }
        };
        let label = format!("{} in {}", props.name, props.unit);
        html! { <input ref={input} inputmode="decimal" aria-label={label} {onblur} {onkeydown} /> }
    } else {
        let onclick = {
            let typing = typing.clone();
            move |_| typing.set(true)
        };
        let title = format!("{}: type an exact number", props.name);
        html! { <button type="button" {onclick} {title}>{ text }<span class="unit">{ props.unit.clone() }</span></button> }
    };
    html! {
        <>
            <div
                ref={knob} class={classes!("knob", if props.upright { "gap" } else { "turn" })} tabindex="0" role="slider"
                aria-label={props.name.clone()} aria-valuemin={props.range.0.to_string()} aria-valuemax={props.range.1.to_string()}
                aria-valuenow={format!("{:.*}", props.decimals, props.value)} aria-valuetext={spoken}
                aria-orientation={if props.upright { "vertical" } else { "horizontal" }}
                {onpointerdown} {onpointermove} onpointerup={onpointerup.clone()} onpointercancel={onpointerup} {onkeydown}
            />
            <span ref={field} class="dimension">{ entry }</span>
        </>
    }
}
