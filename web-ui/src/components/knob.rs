//! A knob that is turned: by the pointer around its middle, by the arrow keys, or exactly by a number beside it.

use super::field::use_field_value;
use super::slider_keys::asked;
use web_sys::{Element, HtmlInputElement, KeyboardEvent, PointerEvent};
use yew::prelude::*;

/// Ends of the turn, degrees from upright.
const END_DEG: f64 = 135.0;

/// Properties of [`Knob`].
#[derive(Properties, PartialEq)]
pub struct Props {
    /// What it turns ("Supply").
    pub name: AttrValue,
    /// Id of the number field.
    pub id: AttrValue,
    /// Unit.
    pub unit: AttrValue,
    /// Value now.
    pub value: f64,
    /// Smallest and largest.
    pub range: (f64, f64),
    /// Stretch in which it is good, drawn thick.
    pub good: (f64, f64),
    /// One step of the arrow keys.
    pub step: f64,
    /// Called with the value that is wanted.
    pub onchange: Callback<f64>,
}

/// Angle of a value, degrees from upright, clockwise.
fn angle_deg(value: f64, (low, high): (f64, f64)) -> f64 {
    ((value - low) / (high - low)).clamp(0.0, 1.0) * 2.0 * END_DEG - END_DEG
}

/// Value of a pointer at a place from the middle, right and down.
fn value_at(right: f64, down: f64, (low, high): (f64, f64)) -> f64 {
    let angle = right.atan2(-down).to_degrees().clamp(-END_DEG, END_DEG);
    low + (angle + END_DEG) / (2.0 * END_DEG) * (high - low)
}

/// A point on the circle of a radius, in the drawing's box of 100.
fn point(angle_deg: f64, radius: f64) -> (f64, f64) {
    let angle = angle_deg.to_radians();
    (50.0 + radius * angle.sin(), 50.0 - radius * angle.cos())
}

fn arc(from_deg: f64, to_deg: f64, radius: f64) -> String {
    let ((x0, y0), (x1, y1)) = (point(from_deg, radius), point(to_deg, radius));
    let large = i32::from(to_deg - from_deg > 180.0);
    format!("M{x0:.2} {y0:.2}A{radius} {radius} 0 {large} 1 {x1:.2} {y1:.2}")
}

/// The knob.
#[function_component(Knob)]
pub fn knob(props: &Props) -> Html {
    let (field, turning) = (use_node_ref(), use_mut_ref(|| false));
    use_field_value(&field, format!("{:.2}", props.value));
    let want = {
        let (onchange, range, step) = (props.onchange.clone(), props.range, props.step);
        move |value: f64| {
            if value.is_finite() {
                onchange.emit(((value / step).round() * step).clamp(range.0, range.1));
            }
        }
    };
    let turn = {
        let (want, range) = (want.clone(), props.range);
        move |event: &PointerEvent| {
            let Some(rect) = event.target_dyn_into::<Element>().map(|e| e.get_bounding_client_rect()) else { return };
            let right = f64::from(event.client_x()) - rect.left() - 0.5 * rect.width();
            let down = f64::from(event.client_y()) - rect.top() - 0.5 * rect.height();
            if right.hypot(down) > 4.0 {
                want(value_at(right, down, range));
            }
        }
    };
    let onpointerdown = {
        let (turning, turn) = (turning.clone(), turn.clone());
        move |event: PointerEvent| {
            if let Some(element) = event.target_dyn_into::<Element>() {
                let _ = element.set_pointer_capture(event.pointer_id());
            }
            *turning.borrow_mut() = true;
            turn(&event);
        }
    };
    let onpointermove = {
        let turning = turning.clone();
        move |event: PointerEvent| {
            if *turning.borrow() {
                turn(&event);
            }
        }
    };
    let onpointerup = move |_: PointerEvent| *turning.borrow_mut() = false;
    let onkeydown = {
        let (want, value, step, range) = (want.clone(), props.value, props.step, props.range);
        move |event: KeyboardEvent| {
            let Some(wanted) = asked(&event.key(), value, step, range.0, range.1) else { return };
            event.prevent_default();
            want(wanted);
        }
    };
    let typed = move |event: Event| {
        if let Some(input) = event.target_dyn_into::<HtmlInputElement>() {
            want(input.value_as_number());
        }
    };
    let angle = angle_deg(props.value, props.range);
    let ((x0, y0), (x1, y1)) = (point(angle, 8.0), point(angle, 30.0));
    let (good_from, good_to) = (angle_deg(props.good.0, props.range), angle_deg(props.good.1, props.range));
    let whole = (props.range.0.ceil() as i64..=props.range.1.floor() as i64).map(|tick| {
        let at = angle_deg(tick as f64, props.range);
        let ((ax, ay), (bx, by), (tx, ty)) = (point(at, 36.0), point(at, 40.0), point(at, 46.5));
        html! { <>
            <path class="thin" d={format!("M{ax:.2} {ay:.2}L{bx:.2} {by:.2}")} />
            <text x={format!("{tx:.1}")} y={format!("{:.1}", ty + 2.4)} text-anchor="middle">{ tick }</text>
        </> }
    });
    html! {
        <div class="turned">
            <div class="turner" tabindex="0" role="slider" aria-label={props.name.clone()}
                aria-valuemin={props.range.0.to_string()} aria-valuemax={props.range.1.to_string()}
                aria-valuenow={format!("{:.2}", props.value)} aria-valuetext={format!("{:.2} {}", props.value, props.unit)}
                {onpointerdown} {onpointermove} onpointerup={onpointerup.clone()} onpointercancel={onpointerup} {onkeydown}>
                <svg viewBox="0 0 100 100" aria-hidden="true">
                    <path class="thin" d={arc(-END_DEG, END_DEG, 36.0)} />
                    <path class="good" d={arc(good_from, good_to, 36.0)} />
                    { for whole }
                    <circle class="body" cx="50" cy="50" r="30" />
                    <path class="pointer" d={format!("M{x0:.2} {y0:.2}L{x1:.2} {y1:.2}")} />
                </svg>
            </div>
            <label class="field"><span>{ format!("{}, {}", props.name, props.unit) }</span>
                <input ref={field} id={props.id.clone()} type="number" min={props.range.0.to_string()} max={props.range.1.to_string()} step={props.step.to_string()} onchange={typed} /></label>
        </div>
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pointer_on_the_mark_of_a_value_gives_that_value() {
        for value in [0.0, 1.3, 3.0, 5.0, 6.0] {
            let (x, y) = point(angle_deg(value, (0.0, 6.0)), 30.0);
            assert!((value_at(x - 50.0, y - 50.0, (0.0, 6.0)) - value).abs() < 1e-9, "{value}");
        }
        assert_eq!(value_at(-1.0, 40.0, (0.0, 6.0)), 0.0, "past the end it stops at the end");
        assert_eq!(value_at(1.0, 40.0, (0.0, 6.0)), 6.0);
    }
}
