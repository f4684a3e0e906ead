//! Benches kept in this browser: under a name, with the day and the machine.

use super::keep_sheet::Desk;
use crate::keep::kept::kept_of;
use crate::keep::names::{self, About, Line};
use crate::keep::when::Wall;
use crate::keep::{browser, open};
use crate::store::{Store, use_store};
use web_sys::{HtmlInputElement, Storage};
use yew::prelude::*;

/// Properties of [`KeepNames`].
#[derive(Properties, PartialEq)]
pub struct Props {
    /// The sheet.
    pub desk: Desk,
}

/// What is being done to one line.
#[derive(Clone, PartialEq, Default)]
enum Asking {
    #[default]
    Nothing,
    Rename(String),
    Delete(String),
}

/// Named benches.
#[function_component(KeepNames)]
pub fn keep_names(props: &Props) -> Html {
    let store = use_store();
    let asking = use_state(Asking::default);
    // Grows with each change of the shelf, which tells nobody by itself.
    let turned = use_state(|| 0_u32);
    let field = use_node_ref();
    let Some(shelf) = browser::shelf() else {
        return html! {
            <section aria-labelledby="keep-here">
                <h3 id="keep-here">{ "In this browser" }</h3>
                <p>{ "This browser keeps nothing for this page. Save a file instead." }</p>
            </section>
        };
    };
    let say = props.desk.say.clone();
    let answer = {
        let (asking, turned, say) = (asking.clone(), turned.clone(), say.clone());
        Callback::from(move |text: String| {
            asking.set(Asking::Nothing);
            turned.set(*turned + 1);
            say.emit(text);
        })
    };
    let onkeep = {
        let (store, field, shelf, answer) = (store.clone(), field.clone(), shelf.clone(), answer.clone());
        move |event: SubmitEvent| {
            event.prevent_default();
            let Some(input) = field.cast::<HtmlInputElement>() else { return };
            let kept = kept_of(&store.lab.0.borrow(), browser::now_ms());
            answer.emit(match names::keep(&shelf, &input.value(), &kept) {
                Ok(name) => {
                    input.set_value("");
                    format!("Kept as \"{name}\".")
                }
                Err(why) => why,
            });
        }
    };
    let lines = names::list(&shelf);
    let broken = lines.iter().filter(|line| line.what.is_none()).count();
    let now = Wall::of(browser::now_ms());
    let rows = lines.iter().map(|line| row(&store, &shelf, line, &now, &asking, &answer, &props.desk));
    let earlier = names::earlier(&shelf).map(|(text, about)| {
        let (store, desk) = (store.clone(), props.desk.clone());
        let onclick = move |_: MouseEvent| put_on(&store, &desk, "the last visit", &text);
        html! {
            <li><span class="what"><b>{ "Where you were at the last visit" }</b><small>{ told(&about, &now) }</small></span>
                <span class="buttons"><button type="button" class="plain" {onclick}>{ "Open" }</button></span></li>
        }
    });
    html! {
        <section aria-labelledby="keep-here">
            <h3 id="keep-here">{ "In this browser" }</h3>
            <p>{ "Where you are is kept by itself. Give a moment a name to come back to it." }</p>
            <form onsubmit={onkeep}>
                <label><span class="unseen">{ "Name for this moment" }</span>
                    <input ref={field} id="keep-as" maxlength={names::LONGEST_NAME.to_string()} placeholder="Name for this moment" autocomplete="off" /></label>
                <button type="submit">{ "Keep it" }</button>
            </form>
            <ul class="kept">{ for rows }{ for earlier }</ul>
            { if broken > 0 { html! { <p class="caution">{ "What cannot be read was damaged or made by a newer Countlight. It does no harm; delete it when you like." }</p> } } else { Html::default() } }
        </section>
    }
}

fn told(about: &About, now: &Wall) -> String {
    format!("{}, {}", about.machine, Wall::of(about.saved_ms).words(now))
}

/// Opens a kept bench and closes the sheet; what cannot be opened is said on the sheet.
fn put_on(store: &Store, desk: &Desk, name: &str, text: &str) {
    let desk = desk.clone();
    open::bench(store, name, text.as_bytes(), move |opened| match opened {
        Ok(()) => desk.leave.emit(()),
        Err(why) => desk.say.emit(why),
    });
}

fn row(
    store: &Store,
    shelf: &Storage,
    line: &Line,
    now: &Wall,
    asking: &UseStateHandle<Asking>,
    answer: &Callback<String>,
    desk: &Desk,
) -> Html {
    let name = line.name.clone();
    let ask = |what: fn(String) -> Asking| {
        let (asking, name) = (asking.clone(), name.clone());
        move |_: MouseEvent| asking.set(what(name.clone()))
    };
    let never_mind = {
        let asking = asking.clone();
        move |_: MouseEvent| asking.set(Asking::Nothing)
    };
    if **asking == Asking::Delete(name.clone()) {
        let delete = {
            let (shelf, name, answer) = (shelf.clone(), name.clone(), answer.clone());
            move |_: MouseEvent| {
                names::delete(&shelf, &name);
                answer.emit(format!("\"{name}\" is deleted."));
            }
        };
        return html! {
            <li key={name.clone()} class="asks"><span class="what">{ format!("Delete \"{name}\" for good?") }</span>
                <span class="buttons"><button type="button" onclick={delete}>{ "Delete it" }</button>
                <button type="button" class="plain" onclick={never_mind}>{ "Leave it" }</button></span></li>
        };
    }
    if **asking == Asking::Rename(name.clone()) {
        let rename = {
            let (shelf, name, answer) = (shelf.clone(), name.clone(), answer.clone());
            move |event: SubmitEvent| {
                event.prevent_default();
                let form: web_sys::Element = event.target_unchecked_into();
                let input = form.query_selector("input").ok().flatten().map(wasm_bindgen::JsCast::unchecked_into);
                let wanted = input.map(|input: HtmlInputElement| input.value()).unwrap_or_default();
                answer.emit(match names::rename(&shelf, &name, &wanted) {
                    Ok(to) => format!("\"{name}\" is now \"{to}\"."),
                    Err(why) => why,
                });
            }
        };
        return html! {
            <li key={name.clone()} class="asks"><form onsubmit={rename}>
                <label><span class="unseen">{ "New name" }</span><input id="keep-rename" value={name.clone()} maxlength={names::LONGEST_NAME.to_string()} /></label>
                <button type="submit">{ "Rename it" }</button>
                <button type="button" class="plain" onclick={never_mind}>{ "Leave it" }</button></form></li>
        };
    }
    let put = {
        let (store, shelf, desk, name) = (store.clone(), shelf.clone(), desk.clone(), name.clone());
        move |_: MouseEvent| match names::text_of(&shelf, &name) {
            Some(text) => put_on(&store, &desk, &name, &text),
            None => desk.say.emit(format!("\"{name}\" is no longer kept here.")),
        }
    };
    let says = line.what.as_ref().map_or_else(|| "cannot be read".to_owned(), |about| told(about, now));
    let button = |what: &str, onclick: Callback<MouseEvent>| {
        html! { <button type="button" class="plain" aria-label={format!("{what} {name}")} {onclick}>{ what.to_owned() }</button> }
    };
    let sound = line.what.is_some();
    html! {
        <li key={name.clone()}><span class="what"><b translate="no">{ name.clone() }</b><small class={classes!((!sound).then_some("wrong"))}>{ says }</small></span>
            <span class="buttons">
                { if sound { html! { <>{ button("Open", Callback::from(put)) }{ button("Rename", Callback::from(ask(Asking::Rename))) }</> } } else { Html::default() } }
                { button("Delete", Callback::from(ask(Asking::Delete))) }
            </span></li>
    }
}
