//! The bench as a file: its exact moment, or a scene that starts from it; and opening either.

use super::keep_sheet::Desk;
use crate::keep::kept::kept_of;
use crate::keep::{browser, picture};
use crate::store::use_store;
use sim_core::scene::Scene;
use std::rc::Rc;
use web_sys::HtmlInputElement;
use yew::prelude::*;

/// Properties of [`KeepFiles`].
#[derive(Properties, PartialEq)]
pub struct Props {
    /// The sheet.
    pub desk: Desk,
    /// The bench as a scene.
    pub scene: Rc<Scene>,
}

/// Files.
#[function_component(KeepFiles)]
pub fn keep_files(props: &Props) -> Html {
    let store = use_store();
    let moment = {
        let (store, say, scene) = (store.clone(), props.desk.say.clone(), props.scene.clone());
        move |_: MouseEvent| {
            let lab = store.lab.0.borrow();
            let (name, mut kept) = (picture::file_name(&lab, "", "json"), kept_of(&lab, browser::now_ms()));
            kept.title.clone_from(&scene.title);
            say.emit(handed_out(&name, browser::hand_out(&name, "application/json", kept.text().as_bytes()).is_ok()));
        }
    };
    let as_scene = {
        let (store, say, scene) = (store.clone(), props.desk.say.clone(), props.scene.clone());
        move |_: MouseEvent| {
            let name = picture::file_name(&store.lab.0.borrow(), "", "toml");
            say.emit(handed_out(
                &name,
                browser::hand_out(&name, "application/toml", lessons::write(&scene).as_bytes()).is_ok(),
            ));
        }
    };
    let choose = {
        let (store, leave) = (store.clone(), props.desk.leave.clone());
        move |event: Event| {
            let input = event.target_dyn_into::<HtmlInputElement>();
            if let Some(file) = input.and_then(|input| input.files()).and_then(|files| files.get(0)) {
                // What the file has to say is said on the page.
                leave.emit(());
                crate::web::read_file(store.clone(), file);
            }
        }
    };
    html! {
        <section aria-labelledby="keep-file">
            <h3 id="keep-file">{ "As a file" }</h3>
            <dl>
                <dt><button type="button" onclick={moment}>{ "Save this moment" }</button></dt>
                <dd>{ "The exact bench with everything that moves and was counted. It goes on where it stood." }</dd>
                <dt><button type="button" onclick={as_scene}>{ "Save as a scene" }</button></dt>
                <dd>{ "A text file that starts from this bench at rest. Add your own steps in any editor." }</dd>
                <dt><label class="button file">{ "Open a file" }<input type="file" id="keep-open" accept=".json,.toml" onchange={choose} /></label></dt>
                <dd>{ "Of either kind. You can also drop it on the page." }</dd>
            </dl>
        </section>
    }
}

/// What is said after a file went out, or did not.
pub fn handed_out(name: &str, well: bool) -> String {
    if well {
        format!("{name} went to your downloads.")
    } else {
        format!("The browser did not take {name}. Look whether it lets this page save files.")
    }
}
