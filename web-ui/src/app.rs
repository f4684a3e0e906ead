//! The root of the page: one store, one stage, the parts of the sheet.

use crate::components::chain_strip::ChainStrip;
use crate::components::charts::ChartsPanel;
use crate::components::drawer::Drawer;
use crate::components::header::Header;
use crate::components::machine::Machine;
use crate::components::notice::Notice;
use crate::components::optics::Optics;
use crate::components::side::Side;
use crate::components::tabs::Tabs;
use crate::lab::Lab;
use crate::stage::{self, Stage, StageHandle};
use crate::store::{Action, LabHandle, Store, Ui};
use crate::web;
use std::cell::RefCell;
use std::rc::Rc;
use yew::prelude::*;

/// The scene that the page opens with.
const FIRST_SCENE: &str = "first-look";

/// The lab as the page opens it.
///
/// # Panics
/// When the first scene is missing or broken; a test of the lessons sees to it that it is not.
fn first_lab() -> (LabHandle, Option<String>) {
    let shipped = lessons::shipped_by_name(FIRST_SCENE).expect("the first scene is shipped");
    let scene = lessons::read(shipped.id, shipped.text).expect("shipped scenes are readable");
    let mut lab = Lab::new(shipped.id, scene);
    lab.clock.running = true;
    let said = crate::recovery::take_up(&mut lab);
    (LabHandle(Rc::new(RefCell::new(lab))), said)
}

/// The page.
#[function_component(App)]
pub fn app() -> Html {
    let first = use_state(first_lab);
    let (lab, said) = (first.0.clone(), first.1.clone());
    let ui = use_reducer(|| Ui { theme: web::first_theme(), notice: said, ..Ui::default() });
    let stage = use_state(|| StageHandle(Rc::new(Stage::default())));
    let store = Store { ui: ui.clone(), lab: lab.clone() };
    {
        let (stage, lab, tell) = (stage.0.clone(), lab, ui.dispatcher());
        use_effect_with((), move |()| {
            crate::debug::offer(lab.clone());
            stage::run(stage, lab, tell);
        });
    }
    {
        let stage = stage.clone();
        use_effect_with(ui.theme, move |theme| {
            web::show_theme(*theme);
            stage.0.theme.set(*theme);
            stage.0.touch();
        });
    }
    {
        // Whatever changed on the page, the pictures follow at the next frame even if the model stands.
        let (stage, ui) = (stage.clone(), ui.clone());
        use_effect_with((ui.tick, ui.page), move |_| stage.0.touch());
    }
    let ondragover = {
        let ui = ui.clone();
        move |event: DragEvent| {
            event.prevent_default();
            if !ui.dropping {
                ui.dispatch(Action::Dropping(true));
            }
        }
    };
    let ondragleave = {
        let ui = ui.clone();
        move |event: DragEvent| {
            if event.related_target().is_none() {
                ui.dispatch(Action::Dropping(false));
            }
        }
    };
    let ondrop = {
        let store = store.clone();
        move |event: DragEvent| web::dropped(&store, &event)
    };
    html! {
        <ContextProvider<Store> context={store}>
            <ContextProvider<StageHandle> context={(*stage).clone()}>
                <main class="sheet" data-page={ui.page.key()} {ondragover} {ondragleave} {ondrop}>
                    <Header />
                    <Machine />
                    <ChainStrip />
                    <div class="lower"><Optics /><ChartsPanel /><Side /></div>
                    <Drawer />
                    <Tabs />
                </main>
                <Notice />
                { if ui.dropping { html! { <div class="drop">{ "Drop the scene file to open it" }</div> } } else { Html::default() } }
            </ContextProvider<StageHandle>>
        </ContextProvider<Store>>
    }
}
