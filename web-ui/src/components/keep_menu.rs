//! Keep and share: the button in the head, and the sheet that it opens.

use super::call::go;
use super::keep_files::KeepFiles;
use super::keep_link::KeepLink;
use super::keep_names::KeepNames;
use super::keep_offer::KeepOffer;
use super::keep_paper::KeepPaper;
use crate::keep::{autosave, browser, open};
use crate::store::use_store;
use lessons::share::scene_of_bench;
use web_sys::{HtmlDialogElement, HtmlInputElement, HtmlTextAreaElement};
use yew::prelude::*;

/// Most letters of a title: what scene files allow.
const LONGEST_TITLE: &str = "80";
/// Most letters of the words that go with a link.
const LONGEST_WORDS: &str = "600";

/// What the parts of the sheet do to it.
#[derive(Clone, PartialEq)]
pub struct Desk {
    /// Says something to the person, at the foot of the sheet.
    pub say: Callback<String>,
    /// Closes the sheet because another bench was opened: the clock then stays as that bench has it.
    pub leave: Callback<()>,
}

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
                { if *opened { html! { <KeepSheet {leave} {close} /> } } else { Html::default() } }
            </dialog>
            <KeepOffer />
        </>
    }
}

#[derive(Properties, PartialEq)]
struct SheetProps {
    leave: Callback<()>,
    close: Callback<MouseEvent>,
}

/// What is on the sheet; made anew each time that it is opened.
#[function_component(KeepSheet)]
fn keep_sheet(props: &SheetProps) -> Html {
    let store = use_store();
    let said = use_state(String::new);
    let words = use_state(|| {
        let lab = store.lab.0.borrow();
        (lab.scene().title.clone(), lab.scene().about.clone())
    });
    let scene = {
        let store = store.clone();
        use_memo((*words).clone(), move |(title, about)| {
            let lab = store.lab.0.borrow();
            // A scene wants a name; without one it keeps the old.
            let title = if title.trim().is_empty() { &lab.scene().title } else { title };
            scene_of_bench(lab.sim(), title, about, lab.scene().seed)
        })
    };
    let ontitle = {
        let words = words.clone();
        move |event: InputEvent| {
            if let Some(input) = event.target_dyn_into::<HtmlInputElement>() {
                words.set((input.value(), words.1.clone()));
            }
        }
    };
    let onabout = {
        let words = words.clone();
        move |event: InputEvent| {
            if let Some(input) = event.target_dyn_into::<HtmlTextAreaElement>() {
                words.set((words.0.clone(), input.value()));
            }
        }
    };
    let say = {
        let said = said.clone();
        Callback::from(move |text: String| said.set(text))
    };
    let desk = Desk { say, leave: props.leave.clone() };
    let machine = store.lab.0.borrow().sim().bench().setup.bench.title();
    let time = format!("{:.4} s", store.lab.0.borrow().sim().time_s());
    html! {
        <>
            <header>
                <h2 id="keep-title">{ "Keep and share" }</h2>
                <p class="note">{ format!("{machine}, at {time}. The clock stands while this sheet is open.") }</p>
                <button type="button" class="plain" onclick={props.close.clone()}>{ "Close the sheet" }</button>
            </header>
            <div class="parts">
                <section class="label">
                    <label><span>{ "Title" }</span><input id="keep-name" maxlength={LONGEST_TITLE} value={words.0.clone()} oninput={ontitle} /></label>
                    <label><span>{ "What to look at" }</span><textarea id="keep-about" rows="2" maxlength={LONGEST_WORDS} value={words.1.clone()} oninput={onabout} /></label>
                </section>
                <KeepLink desk={desk.clone()} scene={scene.clone()} />
                <KeepFiles desk={desk.clone()} {scene} />
                <KeepNames desk={desk.clone()} />
                <KeepPaper {desk} />
            </div>
            <p class="said" role="status">{ (*said).clone() }</p>
        </>
    }
}
