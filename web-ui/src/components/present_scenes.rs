//! Which scenes are prepared: a list with ticks, kept as ids.

use crate::store::present::{Choosing, PresentDeed};
use crate::store::{Action, use_store};
use web_sys::{HtmlDialogElement, HtmlInputElement};
use yew::prelude::*;

/// The dialog; it is on the page while it is open.
#[function_component(PresentScenes)]
pub fn present_scenes() -> Html {
    let store = use_store();
    let node = use_node_ref();
    {
        let node = node.clone();
        use_effect_with((), move |()| {
            if let Some(dialog) = node.cast::<HtmlDialogElement>() {
                let _ = dialog.show_modal();
            }
        });
    }
    let all = use_memo((), |()| {
        let read = |shipped: lessons::Shipped| {
            lessons::read(shipped.id, shipped.text).ok().map(|scene| (shipped.group, shipped.id, scene.title))
        };
        lessons::shipped().into_iter().filter_map(read).collect::<Vec<_>>()
    });
    let chosen = store.ui.present.scenes();
    let close = {
        let ui = store.ui.clone();
        move || ui.dispatch(Action::Present(PresentDeed::Choosing(Choosing::Nothing)))
    };
    let (onclose, onclick) = {
        let again = close.clone();
        (move |_: Event| close(), move |_: MouseEvent| again())
    };
    let set = {
        let ui = store.ui.clone();
        move |ids: Vec<String>| {
            crate::web::keep("present-scenes", &ids.join(" "));
            ui.dispatch(Action::Present(PresentDeed::Prepared(ids)));
        }
    };
    let first = {
        let set = set.clone();
        move |_: MouseEvent| set(Vec::new())
    };
    let row = |id: &'static str, title: &str| {
        let (set, chosen) = (set.clone(), chosen.clone());
        let checked = chosen.iter().any(|of| of == id);
        let onchange = move |event: Event| {
            let Some(input) = event.target_dyn_into::<HtmlInputElement>() else { return };
            let mut ids: Vec<String> = chosen.iter().filter(|of| *of != id).cloned().collect();
            if input.checked() {
                ids.push(id.to_owned());
            }
            set(ids);
        };
        html! { <li key={id}><label class="switch"><input type="checkbox" value={id} {checked} {onchange} />{ title.to_owned() }</label></li> }
    };
    let of = |group: &'static str| {
        all.iter().filter(move |(of, ..)| *of == group).map(|(_, id, title)| row(id, title)).collect::<Html>()
    };
    html! {
        <dialog ref={node} class="scenes" aria-labelledby="scenes-title" {onclose}>
            <h2 id="scenes-title">{ format!("Prepared scenes: {}", chosen.len()) }</h2>
            <p class="note">{ "They are shown in the order in which they were ticked. Without a tick the first scenes are prepared." }</p>
            <p class="ends"><button type="button" {onclick}>{ "Close" }</button><button type="button" class="plain" onclick={first}>{ "The first scenes" }</button></p>
            <ul>{ of("") }</ul>
            <h3>{ "Faults and their signatures" }</h3>
            <ul>{ of("faults") }</ul>
        </dialog>
    }
}
