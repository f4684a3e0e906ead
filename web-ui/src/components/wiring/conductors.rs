//! The conductors: rows of pins with lines between them. A line is laid elsewhere by dragging from one terminal of the
//! control to another, or with the keyboard: take a terminal, then choose the one to lay it on.

use super::harness::{FAR_MM, Harness, NEAR_MM, Trouble, Wire, laid_on, near_percent};
use super::plug::is_out;
use crate::components::field::use_field_value;
use crate::store::{Action, Store, use_store};
use sim_core::bench::command::{Break, Command, Percent, SettingList};
use sim_core::fault::FaultId;
use sim_core::names::{Setting, Value};
use wasm_bindgen::JsCast;
use web_sys::{Element, HtmlInputElement, PointerEvent};
use yew::prelude::*;

/// Rows of the drawing: a conductor each, the motor cable below.
const ROWS: f64 = 9.0;

/// The rows.
#[function_component(Conductors)]
pub fn conductors() -> Html {
    let store = use_store();
    let taken = use_state(|| None::<Wire>);
    // A drag ends with a click on the terminal that it began at; that click is not another taking.
    let dragged = use_mut_ref(|| false);
    let lab = store.lab.0.borrow();
    let harness = Harness::of(lab.sim());
    let (record, two, at_input) = (*lab.sim().record(), lab.sim().params().two_sensors, lab.at_input_v());
    let shield = Setting::CableShield.get(&lab.sim().bench().setup);
    let shield = if let Value::Word(word) = shield { word } else { String::new() };
    drop(lab);
    let out = is_out(&store);
    let lay = {
        let (store, taken) = (store.clone(), taken.clone());
        Callback::from(move |(from, onto): (Wire, Wire)| {
            taken.set(None);
            if from != onto {
                lay_on(&store, from, onto);
            }
        })
    };
    let lines = Wire::ALL.iter().map(|(wire, _)| line(&harness, *wire, out, &shield));
    let head = Wire::ALL.iter().map(|(wire, name)| {
        let cut = *wire == Wire::APlus;
        let open = harness.trouble(*wire) == Some(Trouble::Open);
        if !cut {
            return html! { <li key={*name}>{ *name }</li> };
        }
        let onclick = {
            let store = store.clone();
            move |_: MouseEvent| toggle(&store, FaultId::ConductorOpen)
        };
        let words = if open { "A+: join the conductor again" } else { "A+: cut the conductor" };
        html! { <li key={*name}><button type="button" class="cut" id="cut-a" aria-label={words} title={words} aria-pressed={open.to_string()} {onclick}>{ *name }</button></li> }
    });
    let control = Wire::ALL.iter().map(|(wire, name)| {
        let pressed = *taken == Some(*wire);
        let onclick = {
            let (taken, lay, wire, dragged) = (taken.clone(), lay.clone(), *wire, dragged.clone());
            move |_: MouseEvent| match *taken {
                _ if std::mem::take(&mut *dragged.borrow_mut()) => {}
                None => taken.set(Some(wire)),
                Some(from) => lay.emit((from, wire)),
            }
        };
        let onpointerdown = {
            let (wire, dragged) = (*wire, dragged.clone());
            move |event: PointerEvent| {
                *dragged.borrow_mut() = false;
                // A click takes or lays; a drag to another terminal lays at once.
                if let Some(element) = event.target_dyn_into::<Element>() {
                    let _ = element.set_attribute("data-dragging", wire.name());
                    let _ = element.set_pointer_capture(event.pointer_id());
                }
            }
        };
        let onpointerup = {
            let (lay, wire, dragged) = (lay.clone(), *wire, dragged.clone());
            move |event: PointerEvent| {
                if let Some(element) = event.target_dyn_into::<Element>() {
                    let _ = element.remove_attribute("data-dragging");
                }
                if let Some(onto) = terminal_at(&event).filter(|onto| *onto != wire) {
                    *dragged.borrow_mut() = true;
                    lay.emit((wire, onto));
                }
            }
        };
        let label = match *taken {
            None => format!("Terminal {name}: take its conductor"),
            Some(from) if from == *wire => format!("Terminal {name}: leave it where it is"),
            Some(from) => format!("Terminal {name}: lay {} here", from.name()),
        };
        html! {
            <li key={*name}><button type="button" class="terminal" data-wire={wire.row().to_string()} aria-label={label} aria-pressed={pressed.to_string()}
                {onclick} {onpointerdown} {onpointerup}>{ *name }</button></li>
        }
    });
    let pair = |name: &str, (low, high): (f64, f64), ok: bool| {
        let verdict = if ok { "switches" } else { "\u{d7} does not switch" };
        format!("{name} {low:.2} to {high:.2} V, {:.2} V peak to peak, {verdict}", high - low)
    };
    html! {
        <>
            <div class="harness">
                <span class="note">{ "head" }</span><span class="note middle">{ screen_words(&shield) }</span><span class="note">{ "control" }</span>
                <ul class="pins" aria-label="Pins of the head">{ for head }</ul>
                <svg class="lines" viewBox="0 0 100 90" preserveAspectRatio="none" aria-hidden="true">{ for lines }</svg>
                <ul class="pins" aria-label="Terminals of the control">{ for control }</ul>
            </div>
            <p class="note" id="at-the-input">
                { pair("At the input: A", at_input[0], record.a_ok) }
                { if two { format!("; {}", pair("B", at_input[1], record.b_ok)) } else { "; B is not plugged in".to_owned() } }
                { if harness.terminated { "" } else { "; \u{d7} no termination" } }
            </p>
            <Screen {shield} />
            <MotorCable mm={harness.motor_cable_mm} />
        </>
    }
}

fn screen_words(shield: &str) -> &'static str {
    match shield {
        "both-ends" => "screen bonded at both ends",
        "one-end" => "screen bonded at the control only",
        _ => "screen open",
    }
}

/// The line of a conductor.
fn line(harness: &Harness, wire: Wire, out: bool, shield: &str) -> Html {
    let y = |row: usize| (row as f64 + 0.5) * 90.0 / ROWS;
    let (from, to) = (y(wire.row()), y(harness.ends[wire.row()].row()));
    let start = if out { 14.0 } else { 0.0 };
    let straight = format!("M{start} {from}H30C50 {from} 50 {to} 70 {to}H100");
    let class = match wire {
        Wire::APlus | Wire::AMinus => "wire a",
        Wire::BPlus | Wire::BMinus => "wire b",
        Wire::Screen => "wire screen",
        _ => "wire",
    };
    let moved = harness.ends[wire.row()] != wire;
    if wire == Wire::Screen {
        let (left, right) = match shield {
            "both-ends" => (0.0, 100.0),
            "one-end" => (8.0, 100.0),
            _ => (8.0, 92.0),
        };
        return html! { <path {class} d={format!("M{left} {from}H{right}")} /> };
    }
    match harness.trouble(wire) {
        Some(Trouble::Open) => html! { <>
            <path {class} d={format!("M{start} {from}H44M56 {to}H100")} />
            <path class="cross" d={format!("M47 {0}L53 {1}M47 {1}L53 {0}", from - 2.5, from + 2.5)} />
        </> },
        Some(Trouble::Poor) => html! { <>
            <path {class} d={straight} />
            <path class="cross" d={format!("M44 {from}l2 -3l3 6l3 -6l3 6l2 -3")} />
        </> },
        Some(Trouble::Touches(other)) => html! { <>
            <path {class} d={straight} />
            <path class="cross" d={format!("M62 {from}V{}", y(other.row()))} />
        </> },
        None => html! { <path class={classes!(class, moved.then_some("moved"))} d={straight} /> },
    }
}

/// The terminal under the pointer.
fn terminal_at(event: &PointerEvent) -> Option<Wire> {
    let document = web_sys::window()?.document()?;
    let under = document.element_from_point(event.client_x() as f32, event.client_y() as f32)?;
    let row: usize = under.closest("[data-wire]").ok().flatten()?.get_attribute("data-wire")?.parse().ok()?;
    Wire::ALL.get(row).map(|(wire, _)| *wire)
}

fn lay_on(store: &Store, from: Wire, onto: Wire) {
    match laid_on(from, onto) {
        Ok(id) => toggle(store, id),
        Err(why) => store.ui.dispatch(Action::Notice(why.to_owned())),
    }
}

/// Puts a fault of the wiring in as a whole, or takes it out.
fn toggle(store: &Store, id: FaultId) {
    let is_in = store.lab.0.borrow().sim().faults().iter().any(|f| f.id == id);
    store.command(if is_in {
        Command::Mend(id)
    } else {
        Command::Break(Break { fault: id, severity_percent: Percent::nearest(100.0), at_mm: None })
    });
}

/// Properties of [`Screen`].
#[derive(Properties, PartialEq)]
struct ScreenProps {
    shield: String,
}

/// Where the screen is bonded: a switch at each end.
#[function_component(Screen)]
fn screen(props: &ScreenProps) -> Html {
    let store = use_store();
    let (at_head, at_control) = (props.shield == "both-ends", props.shield != "open");
    let set = |word: &'static str| {
        let store = store.clone();
        move |_: Event| {
            store.command(Command::Set(SettingList(vec![(Setting::CableShield, Value::Word(word.to_owned()))])));
        }
    };
    // A screen that ends nowhere at the control is bonded nowhere.
    let (head, control) = (if at_head { "one-end" } else { "both-ends" }, if at_control { "open" } else { "one-end" });
    html! {
        <div class="bonds" role="group" aria-label="Screen bonded">
            <span>{ "Screen bonded" }</span>
            <label class="switch"><input type="checkbox" id="bond-head" checked={at_head} onchange={set(head)} />{ "at the head" }</label>
            <label class="switch"><input type="checkbox" id="bond-control" checked={at_control} onchange={set(control)} />{ "at the control" }</label>
        </div>
    }
}

/// Properties of [`MotorCable`].
#[derive(Properties, PartialEq)]
struct MotorCableProps {
    mm: f64,
}

/// The motor cable beside the encoder cable: shifted nearer or farther.
#[function_component(MotorCable)]
fn motor_cable(props: &MotorCableProps) -> Html {
    let (store, field) = (use_store(), use_node_ref());
    use_field_value(&field, format!("{:.0}", props.mm));
    let shift = {
        let store = store.clone();
        Callback::from(move |mm: f64| {
            if mm.is_finite() {
                let severity_percent = Percent::nearest(near_percent(mm));
                store.command(Command::Break(Break { fault: FaultId::PowerCableNear, severity_percent, at_mm: None }));
            }
        })
    };
    let value = |event: &web_sys::Event| {
        let input = event.target().and_then(|t| t.dyn_into::<HtmlInputElement>().ok());
        input.map_or(f64::NAN, |input| input.value_as_number())
    };
    let (slide, typed) = {
        let (a, b) = (shift.clone(), shift);
        (move |event: InputEvent| a.emit(value(&event)), move |event: Event| b.emit(value(&event)))
    };
    let (low, high) = (NEAR_MM.to_string(), FAR_MM.to_string());
    html! {
        <div class="motor-cable">
            <label for="motor-cable">{ "Motor cable, distance" }</label>
            <input id="motor-cable" type="range" min={low.clone()} max={high.clone()} step="5" value={props.mm.to_string()} aria-valuetext={format!("{:.0} mm", props.mm)} oninput={slide} />
            <label class="field"><input ref={field} id="motor-cable-mm" type="number" aria-label="Distance of the motor cable in mm" min={low} max={high} step="5" onchange={typed} />{ " mm" }</label>
        </div>
    }
}
