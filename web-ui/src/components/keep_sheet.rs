//! What is on the sheet of keeping and sharing.

use super::keep_files::KeepFiles;
use super::keep_link::KeepLink;
use super::keep_names::KeepNames;
use super::keep_paper::KeepPaper;
use crate::later::later_view;
use crate::store::use_store;
use lessons::share::scene_of_bench;
use web_sys::{HtmlInputElement, HtmlTextAreaElement};
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

/// What the sheet does to the dialog that it lies in.
#[derive(Clone, PartialEq)]
pub struct Dialog {
    /// Closes it because another bench was opened.
    pub leave: Callback<()>,
    /// Closes it.
    pub close: Callback<MouseEvent>,
}

later_view! {
    /// [`KeepSheet`], fetched. It wants a [`Dialog`] by context.
    pub fn keep_later() of KeepSheet, in desk
}

/// What is on the sheet; made anew each time that it is opened.
///
/// # Panics
/// Outside a [`Dialog`], which is a mistake in the program.
#[function_component(KeepSheet)]
pub fn keep_sheet() -> Html {
    let store = use_store();
    let dialog = use_context::<Dialog>().expect("the sheet lies in its dialog");
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
    let desk = Desk { say, leave: dialog.leave.clone() };
    let machine = store.lab.0.borrow().sim().bench().setup.bench.title();
    let time = format!("{:.4} s", store.lab.0.borrow().sim().time_s());
    html! {
        <>
            <header>
                <h2 id="keep-title">{ "Keep and share" }</h2>
                <p class="note">{ format!("{machine}, at {time}. The clock stands while this sheet is open.") }</p>
                <button type="button" class="plain" onclick={dialog.close.clone()}>{ "Close the sheet" }</button>
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
