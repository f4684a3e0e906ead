//! Under the head of the sheet: the views, the recording, undo and redo, and what the sheet can do besides.

use super::recording::Recording;
use super::sign::{REDO, Sign, UNDO};
use crate::keys::{Deed, act};
use crate::layout::Layout;
use crate::store::cover::scene_covered;
use crate::store::{Action, use_store};
use web_sys::HtmlSelectElement;
use yew::prelude::*;

/// The row.
#[function_component(Toolbar)]
pub fn toolbar() -> Html {
    let store = use_store();
    let choose = {
        let ui = store.ui.clone();
        move |event: Event| {
            let Some(select) = event.target_dyn_into::<HtmlSelectElement>() else { return };
            if let Some(layout) = Layout::by_key(&select.value()) {
                crate::web::keep("layout", layout.key());
                ui.dispatch(Action::Layout(layout));
            }
        }
    };
    let views = Layout::ALL.iter().map(|(layout, key, name, _)| {
        let chosen = store.ui.layout == *layout;
        let onclick = {
            let (ui, layout) = (store.ui.clone(), *layout);
            move |_: MouseEvent| {
                crate::web::keep("layout", layout.key());
                ui.dispatch(Action::Layout(layout));
            }
        };
        html! { <button type="button" key={*key} class="view" aria-pressed={chosen.to_string()} {onclick}>{ *name }</button> }
    });
    let (compare, undo, redo) = {
        let lab = store.lab.0.borrow();
        (
            lab.instruments().settings.compare,
            lab.undo_name(true).map(str::to_owned),
            lab.undo_name(false).map(str::to_owned),
        )
    };
    // What was done last may be the cause.
    let said = |name: Option<String>| name.map(|n| if scene_covered(&store) { "covered".to_owned() } else { n });
    let (undo, redo) = (said(undo), said(redo));
    let button = |deed: Deed, words: &str, name: Option<String>, sign: &'static str| {
        let store = store.clone();
        let title =
            name.as_ref().map_or_else(|| format!("Nothing to {}", words.to_lowercase()), |n| format!("{words}: {n}"));
        html! {
            <button type="button" aria-label={title.clone()} {title} disabled={name.is_none()} onclick={move |_: MouseEvent| act(&store, deed)}>
                <Sign d={sign} />
            </button>
        }
    };
    let healthy = {
        let store = store.clone();
        move |_: Event| act(&store, Deed::Compare)
    };
    let tool = |deed: Deed, words: &'static str, title: &'static str, pressed: Option<bool>| {
        let store = store.clone();
        let pressed = pressed.map(|pressed| pressed.to_string());
        html! { <button type="button" class="plain" {title} aria-pressed={pressed} onclick={move |_: MouseEvent| act(&store, deed)}>{ words }</button> }
    };
    let keys = {
        let store = store.clone();
        move |_: MouseEvent| act(&store, Deed::Help)
    };
    let lessons = {
        let store = store.clone();
        move |_: MouseEvent| act(&store, Deed::Lessons)
    };
    let calls = {
        let store = store.clone();
        move |_: MouseEvent| act(&store, Deed::Calls)
    };
    html! {
        <div class="toolbar">
            <div class="views" role="group" aria-label="View">{ for views }</div>
            <label class="view-choice"><span class="unseen">{ "View" }</span>
                <select id="view" onchange={choose}>
                    { for Layout::ALL.iter().map(|(layout, key, name, _)| html! { <option value={*key} selected={store.ui.layout == *layout}>{ *name }</option> }) }
                </select></label>
            <Recording />
            <div class="tools" role="group" aria-label="Tools">
                { button(Deed::Undo, "Undo", undo, UNDO) }
                { button(Deed::Redo, "Redo", redo, REDO) }
                <label class="switch" title="The healthy bench, dotted, in every instrument (g)"><input id="compare" type="checkbox" checked={compare} onchange={healthy} />{ "healthy bench" }</label>
                <button type="button" class="plain" id="lessons" onclick={lessons} title="Learn step by step (l)">{ "Lessons" }</button>
                <button type="button" class="plain" id="calls" onclick={calls} title="Find the fault of a stopped machine (o)">{ "Call-outs" }</button>
                <span class="roomy">
                { tool(Deed::Pen, "Pen", "Draw over the sheet (w)", Some(store.ui.pen.on)) }
                { tool(Deed::Present, "Present", "Large, for a room (p)", None) }
                </span>
                <button type="button" class="plain" onclick={keys} title="Keys and help (?)">{ "Help" }</button>
            </div>
        </div>
    }
}
