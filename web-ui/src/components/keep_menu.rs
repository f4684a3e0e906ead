//! Keep and share: the button in the head, and the sheet that it opens.

use super::call::go;
use super::keep_offer::KeepOffer;
use super::keep_sheet::{Dialog, keep_later};
use super::later::{Fetch, Later};
use crate::keep::{autosave, browser, open};
use crate::store::use_store;
use web_sys::HtmlDialogElement;
use yew::prelude::*;

/// The button, its sheet, and what goes on without them: opening by link, keeping by itself, the offer to go on.
#[function_component(KeepMenu)]
pub fn keep_menu() -> Html {
    let store = use_store();
    let dialog = use_node_ref();
    let opened = use_state(|| false);
    // Whether the clock ran when the sheet was opened, and is to run again.
    let ran = use_mut_ref(|| false);
    {
        let store = store.clone();
        use_effect_with((), move |()| {
            open::address(&store);
            go::address(&store);
            autosave::run(store.lab.clone());
            browser::listen("hashchange", move || {
                open::address(&store);
                go::address(&store);
            });
        });
    }
    {
        let dialog = dialog.clone();
        use_effect_with(*opened, move |opened| {
            if let Some(dialog) = dialog.cast::<HtmlDialogElement>().filter(|d| *opened && !d.open()) {
                let _ = dialog.show_modal();
            }
        });
    }
    let onclick = {
        let (store, opened, ran) = (store.clone(), opened.clone(), ran.clone());
        move |_: MouseEvent| {
            // The bench stands while it is kept: what is saved is what was seen.
            *ran.borrow_mut() = store.change(|lab| std::mem::replace(&mut lab.clock.running, false));
            opened.set(true);
        }
    };
    let onclose = {
        let (store, opened, ran, dialog) = (store.clone(), opened.clone(), ran.clone(), dialog.clone());
        move |event: Event| {
            // Sheets within this one close too; their word travels up to here.
            if event.target_dyn_into::<HtmlDialogElement>() != dialog.cast::<HtmlDialogElement>() {
                return;
            }
            if std::mem::take(&mut *ran.borrow_mut()) {
                store.change(|lab| lab.clock.running = true);
            }
            opened.set(false);
        }
    };
    let leave = {
        let (dialog, ran) = (dialog.clone(), ran);
        Callback::from(move |()| {
            *ran.borrow_mut() = false;
            if let Some(dialog) = dialog.cast::<HtmlDialogElement>() {
                dialog.close();
            }
        })
    };
    let close = {
        let dialog = dialog.clone();
        Callback::from(move |_: MouseEvent| {
            if let Some(dialog) = dialog.cast::<HtmlDialogElement>() {
                dialog.close();
            }
        })
    };
    html! {
        <>
            <button type="button" class="plain" id="keep" aria-haspopup="dialog" {onclick}>{ "Keep and share" }</button>
            <dialog class="keep" ref={dialog} aria-labelledby="keep-title" {onclose}>
                { if *opened { html! { <ContextProvider<Dialog> context={Dialog { leave, close }}><Later view={keep_later as Fetch} /></ContextProvider<Dialog>> } } else { Html::default() } }
            </dialog>
            <KeepOffer />
        </>
    }
}
