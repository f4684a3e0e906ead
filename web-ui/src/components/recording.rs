//! The recording: a ruler over the last minutes; its knob goes back to any moment.

use crate::store::use_store;
use sim_core::event::Weight;
use web_sys::HtmlInputElement;
use yew::prelude::*;

/// Places on the ruler.
const PLACES: f64 = 2000.0;

/// The ruler.
#[function_component(Recording)]
pub fn recording() -> Html {
    let store = use_store();
    let lab = store.lab.0.borrow();
    let (first_s, last_s) = lab.recorded_s();
    let span_s = (last_s - first_s).max(1e-9);
    let at_s = lab.sim().time_s().clamp(first_s, last_s);
    let place = ((at_s - first_s) / span_s * PLACES).round();
    let past = lab.in_past();
    let alarm_s = lab.newest_alarm_s().filter(|alarm_s| *alarm_s >= first_s);
    let marks: Vec<f64> = {
        let mut seen = Vec::new();
        for event in lab.whole_log().filter(|event| event.weight() == Weight::Alarm && event.time_s >= first_s) {
            seen.push((event.time_s - first_s) / span_s);
        }
        seen
    };
    let words = if past {
        format!("{at_s:.4} s, {} before now{}", ago(last_s - at_s), if lab.is_filling() { ", computing" } else { "" })
    } else {
        format!("now, {at_s:.3} s")
    };
    drop(lab);
    let look = {
        let store = store.clone();
        move |event: InputEvent| {
            let Some(input) = event.target_dyn_into::<HtmlInputElement>() else { return };
            let place = input.value_as_number();
            store.change(|lab| {
                let (first_s, last_s) = lab.recorded_s();
                lab.look_at(if place >= PLACES { last_s } else { first_s + (last_s - first_s) * place / PLACES });
            });
        }
    };
    let to_alarm = {
        let store = store.clone();
        move |_: MouseEvent| {
            if let Some(alarm_s) = alarm_s {
                store.change(|lab| lab.look_at(alarm_s));
            }
        }
    };
    let (now, here) = {
        let (a, b) = (store.clone(), store.clone());
        (
            move |_: MouseEvent| a.change(|lab| lab.leave_past()),
            move |_: MouseEvent| b.change(|lab| lab.go_on_from_here()),
        )
    };
    html! {
        <div class={classes!("recording", past.then_some("past"))} role="group" aria-label="Recording">
            { if past { Html::default() } else { html! { <span class="note">{ "recording" }</span> } } }
            <div class="rail">
                <svg viewBox="0 0 100 8" preserveAspectRatio="none" aria-hidden="true">
                    { for marks.iter().map(|x| html! { <path d={format!("M{0:.2} 0l0 8", 0.6 + 98.8 * x)} /> }) }
                </svg>
                <input id="recording" type="range" min="0" max={PLACES.to_string()} step="1" value={place.to_string()}
                    aria-label="Moment that is shown" aria-valuetext={words.clone()} oninput={look} />
            </div>
            <output id="moment" title={words.clone()}>{ if past { format!("\u{2212}{}", ago(last_s - at_s)) } else { words.clone() } }</output>
            { if past {
                html! { <>
                    <button type="button" onclick={now}>{ "Back to now" }</button>
                    <button type="button" onclick={here}>{ "Go on from here" }</button>
                </> }
            } else if alarm_s.is_some() {
                html! { <button type="button" onclick={to_alarm}>{ "To the alarm" }</button> }
            } else {
                Html::default()
            } }
        </div>
    }
}

/// A stretch of time in words.
fn ago(seconds: f64) -> String {
    if seconds < 1.0 { format!("{:.1} ms", seconds * 1e3) } else { format!("{seconds:.1} s") }
}
