//! The tour of the first visit: a small card that points at the place with a leader line, and goes on by itself when the
//! model says that the step is done. It takes neither focus nor clicks from the page.

use super::tour_place::place;
use crate::store::tour::{STEPS, Start};
use crate::store::{Action, Store, use_store};
use wasm_bindgen::JsCast;
use wasm_bindgen::closure::Closure;
use web_sys::{Element, HtmlElement};
use yew::prelude::*;

/// Whether this is a first visit to the plain page, and notes that it was.
pub fn is_due() -> bool {
    let first = crate::web::kept("tour").is_none();
    crate::web::keep("tour", "seen");
    first && crate::web::address_says("")
}

/// Starts it on the scene that it is made for.
pub fn start(store: &Store) {
    store.ui.dispatch(Action::Help(false));
    if let Some(shipped) = lessons::shipped_by_name(crate::app::FIRST_SCENE) {
        crate::web::open_file(store, shipped.id, shipped.text.as_bytes());
    }
    store.ui.dispatch(Action::Tour(Some(0)));
}

/// The card, while a step is to be done.
#[function_component(Tour)]
pub fn tour() -> Html {
    let store = use_store();
    let shown = store.ui.tour.filter(|_| !store.ui.present.on && !store.ui.help);
    shown.map_or_else(Html::default, |step| html! { <Card {step} /> })
}

/// Properties of [`Card`].
#[derive(Properties, PartialEq)]
struct CardProps {
    step: usize,
}

#[function_component(Card)]
fn card(props: &CardProps) -> Html {
    let store = use_store();
    let step = props.step;
    let (card, line) = (use_node_ref(), use_node_ref());
    let start = use_mut_ref(|| None::<(usize, Start)>);
    let go = {
        let ui = store.ui.clone();
        move |to: usize| ui.dispatch(Action::Tour((to < STEPS.len()).then_some(to)))
    };
    {
        let (store, go) = (store.clone(), go.clone());
        use_effect(move || {
            let lab = store.lab.0.borrow();
            let mut start = start.borrow_mut();
            if start.as_ref().is_none_or(|(of, _)| *of != step) {
                *start = Some((step, Start::of(&lab)));
            }
            let done = start.as_mut().is_some_and(|(_, start)| start.done(step, &lab));
            drop(lab);
            if done {
                go(step + 1);
            }
        });
    }
    let put = {
        let (card, line) = (card.clone(), line.clone());
        move || {
            if let (Some(card), Some(line)) = (card.cast::<HtmlElement>(), line.cast::<Element>()) {
                place(&card, &line, STEPS[step].at);
            }
        }
    };
    {
        let put = put.clone();
        use_effect(put);
    }
    // The place follows when the page is scrolled.
    use_effect_with(step, move |_| {
        let listener = Closure::<dyn FnMut(web_sys::Event)>::new(move |_| put());
        let document = web_sys::window().and_then(|w| w.document());
        if let Some(document) = &document {
            let _ = document.add_event_listener_with_callback("scroll", listener.as_ref().unchecked_ref());
        }
        move || {
            if let Some(document) = document {
                let _ = document.remove_event_listener_with_callback("scroll", listener.as_ref().unchecked_ref());
            }
        }
    });
    let next = {
        let go = go.clone();
        move |_: MouseEvent| go(step + 1)
    };
    let skip = move |_: MouseEvent| go(STEPS.len());
    let show = move |_: MouseEvent| {
        let document = web_sys::window().and_then(|w| w.document());
        if let Some(target) = document.and_then(|d| d.query_selector(STEPS[step].at).ok().flatten()) {
            target.scroll_into_view();
        }
    };
    let of = &STEPS[step];
    let last = step + 1 == STEPS.len();
    html! {
        <div class="tour">
            <svg ref={line} class="leader" aria-hidden="true"><line /><circle r="4" /></svg>
            <section ref={card} class="card" aria-label="Tour">
                <p class="note">{ format!("Try it: {} of {}", step + 1, STEPS.len()) }</p>
                <div role="status"><h2>{ of.title }</h2><p>{ of.words }</p></div>
                <p class="ends">
                    <button type="button" class="plain" onclick={skip}>{ "Skip the tour" }</button>
                    <button type="button" class="plain show" onclick={show}>{ "Show it" }</button>
                    <button type="button" class="plain" onclick={next}>{ if last { "Done" } else { "Next" } }</button>
                </p>
            </section>
        </div>
    }
}
