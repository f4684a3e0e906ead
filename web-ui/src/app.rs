//! The root of the page: one store, one stage, the parts of the sheet.

use crate::components::actions::Actions;
use crate::components::call::calls_later;
use crate::components::chain_strip::ChainStrip;
use crate::components::charts::ChartsPanel;
use crate::components::course::course_later;
use crate::components::drawer::Drawer;
use crate::components::hand::hand_later;
use crate::components::header::Header;
use crate::components::help::help_later;
use crate::components::instrument_count::InstrumentCount;
use crate::components::instrument_figure::InstrumentFigure;
use crate::components::instrument_loop::InstrumentLoop;
use crate::components::instrument_traces::InstrumentTraces;
use crate::components::instrument_travel::InstrumentTravel;
use crate::components::job_card::JobCard;
use crate::components::later::{Fetch, Later};
use crate::components::lesson::lesson_later;
use crate::components::log_list::LogList;
use crate::components::machine::Machine;
use crate::components::notice::Notice;
use crate::components::optics::Optics;
use crate::components::panel::Panel;
use crate::components::pen::pen_later;
use crate::components::present::{first_present, present_later};
use crate::components::side::Side;
use crate::components::tabs::Tabs;
use crate::components::toolbar::Toolbar;
use crate::components::tour::{Tour, is_due};
use crate::components::wiring::wiring_later;
use crate::keep::{browser, record};
use crate::keys;
use crate::lab::Lab;
use crate::later::Missing;
use crate::layout::{Layout, Part};
use crate::stage::{self, Stage, StageHandle};
use crate::store::calls::CallDeed;
use crate::store::lesson::{LANGUAGES, Learning, LessonDeed};
use crate::store::pen::PenState;
use crate::store::present::PresentDeed;
use crate::store::{Action, LabHandle, Store, Ui};
use crate::units::Units;
use crate::web;
use std::cell::RefCell;
use std::rc::Rc;
use wasm_bindgen::JsCast;
use wasm_bindgen::closure::Closure;
use yew::prelude::*;

/// The scene that the page opens with.
pub const FIRST_SCENE: &str = "first-look";

/// The lab as the page opens it.
///
/// # Panics
/// When the first scene is missing or broken; [`crate::take_content`] refuses such a library before.
fn first_lab() -> (LabHandle, Option<String>) {
    let shipped = lessons::shipped_by_name(FIRST_SCENE).expect("the first scene is shipped");
    let scene = lessons::read(shipped.id, shipped.text).expect("shipped scenes are readable");
    let mut lab = Lab::new(shipped.id, scene);
    lab.clock.running = true;
    let said = crate::recovery::take_up(&mut lab);
    (LabHandle(Rc::new(RefCell::new(lab))), said)
}

/// What is known of the learner from earlier visits, and what must be said of it.
fn first_learning() -> (Learning, Option<String>) {
    // Any number will do: it makes the learner's own numbers.
    let new = (js_sys::Math::random() * f64::from(u32::MAX)) as u32;
    let (record, said) = match browser::shelf() {
        Some(shelf) => record::kept(&shelf, new),
        None => (lessons::lesson::learner::Record::new(new), None),
    };
    let sign = crate::web::kept("language").or_else(web::first_language);
    let language = LANGUAGES.iter().position(|(of, _)| Some(*of) == sign.as_deref()).unwrap_or(0);
    (Learning { record: Rc::new(record), language, ..Learning::default() }, said)
}

/// The page.
#[function_component(App)]
pub fn app() -> Html {
    let first = use_state(first_lab);
    let (lab, said) = (first.0.clone(), first.1.clone());
    let ui = use_reducer(|| {
        let (learning, broken) = first_learning();
        Ui {
            theme: web::first_theme(),
            layout: web::kept("layout").and_then(|key| Layout::by_key(&key)).unwrap_or_default(),
            single_keys: web::kept("single-keys").as_deref() != Some("off"),
            units: web::kept("units").and_then(|key| Units::by_key(&key)).unwrap_or_default(),
            notice: said.or(broken),
            learning,
            tour: is_due().then_some(0),
            present: first_present(),
            ..Ui::default()
        }
    });
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
        let stage = stage.clone();
        use_effect_with((*ui).clone(), move |_| stage.0.touch());
    }
    {
        let stage = stage.clone();
        use_effect_with(ui.learning.language(), move |sign| {
            crate::language::choose(sign);
            stage.0.touch();
        });
    }
    {
        let stage = stage.clone();
        use_effect_with(ui.present.on, move |on| {
            web::show_present(*on);
            stage.0.measure_again();
        });
    }
    {
        let stage = stage.clone();
        use_effect_with(ui.cover, move |cover| {
            stage.0.cover.set(*cover);
            stage.0.touch();
        });
    }
    {
        let ui = ui.clone();
        use_effect_with(ui.learning.record.clone(), move |kept| {
            // A learner who has done nothing leaves nothing behind.
            let begun = !kept.lessons.is_empty() || !kept.name.is_empty();
            if begun && browser::shelf().is_some_and(|shelf| !record::keep(&shelf, kept)) {
                let said = "The browser has no room for your record of lessons. Save it as a file, or delete benches that you kept.";
                ui.dispatch(Action::Notice(said.to_owned()));
            }
        });
    }
    use_keys(&store);
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
                <main class="sheet" data-page={(!ui.present.on).then(|| ui.page.key())} data-present={ui.present.on.then_some("1")} data-layout={ui.layout.key()} data-enlarged={ui.enlarged.map(Part::key)} data-lesson={(ui.learning.session.is_some() && !ui.present.on).then_some("1")} data-course={(is_course(&ui) || is_call(&ui)).then_some("1")} {ondragover} {ondragleave} {ondrop}>
                    { upon(&ui) }
                    <Later key="pen" view={pen_later as Fetch} when={ui.pen.on} lost={lost(&ui, Action::Pen(PenState { on: false, ..ui.pen }))} />
                </main>
                <Notice />
                <Later view={help_later as Fetch} when={ui.help} lost={lost(&ui, Action::Help(false))} />
                <Tour />
                { if ui.dropping { html! { <div class="drop">{ "Drop the file to open it" }</div> } } else { Html::default() } }
            </ContextProvider<StageHandle>>
        </ContextProvider<Store>>
    }
}

/// Goes back to the bench from what lies over it.
fn leave(ui: &UseReducerHandle<Ui>, action: Action) -> Callback<MouseEvent> {
    let tell = ui.dispatcher();
    Callback::from(move |_| tell.dispatch(action.clone()))
}

/// Says that a part did not arrive, and takes the wish for it back.
fn lost(ui: &UseReducerHandle<Ui>, back: Action) -> Callback<Missing> {
    let tell = ui.dispatcher();
    Callback::from(move |missing: Missing| {
        tell.dispatch(back.clone());
        tell.dispatch(Action::Notice(missing.to_string()));
    })
}

/// What lies upon the sheet: the view for a room, call-outs, the course, or the bench.
fn upon(ui: &UseReducerHandle<Ui>) -> Html {
    if ui.present.on {
        let leave = leave(ui, Action::Present(PresentDeed::On(false)));
        html! { <Later key="present" view={present_later as Fetch} {leave} /> }
    } else if is_call(ui) {
        let leave = leave(ui, Action::Call(CallDeed::Leaf(None)));
        html! { <Later key="calls" view={calls_later as Fetch} {leave} /> }
    } else if is_course(ui) {
        let leave = leave(ui, Action::Lesson(LessonDeed::Leaf(None)));
        html! { <Later key="course" view={course_later as Fetch} {leave} /> }
    } else {
        whole_sheet(ui)
    }
}

/// The sheet of a person at a bench.
fn whole_sheet(ui: &Ui) -> Html {
    let layout = ui.layout;
    // While a question is open the bench waits.
    let waits = ui.learning.locks_bench();
    html! {
        <>
            <div class="bench-parts" inert={waits}>
                <Header />
                <Toolbar />
                <Machine />
                <ChainStrip />
                <div class="lower" data-layout={layout.key()}>{ for layout.parts().iter().map(|part| part_of(*part)) }</div>
            </div>
            { if ui.learning.session.is_some() { html! { <Later key="lesson" view={lesson_later as Fetch} /> } } else { html! { <Drawer /> } } }
            <Tabs />
        </>
    }
}

/// Whether a leaf of the course lies over the sheet.
fn is_course(ui: &Ui) -> bool {
    ui.learning.leaf.is_some() && !ui.present.on
}

/// Whether call-outs lie over the sheet.
fn is_call(ui: &Ui) -> bool {
    ui.calls.leaf.is_some() && !ui.present.on
}

/// The component of a part.
pub(crate) fn part_of(part: Part) -> Html {
    match part {
        Part::Machine => html! { <Machine key={part.key()} /> },
        Part::Optics => html! { <Optics key={part.key()} /> },
        Part::Charts => html! { <ChartsPanel key={part.key()} /> },
        Part::Side => html! { <Side key={part.key()} /> },
        Part::Wiring => html! { <Later key={part.key()} view={wiring_later as Fetch} /> },
        Part::Hand => html! { <Later key={part.key()} view={hand_later as Fetch} /> },
        Part::Traces => html! { <Panel key={part.key()} {part}><InstrumentTraces /></Panel> },
        Part::Count => html! { <Panel key={part.key()} {part}><InstrumentCount /></Panel> },
        Part::Figure => html! { <Panel key={part.key()} {part}><InstrumentFigure /></Panel> },
        Part::Loop => html! { <Panel key={part.key()} {part}><InstrumentLoop /></Panel> },
        Part::Travel => html! { <Panel key={part.key()} {part}><InstrumentTravel /></Panel> },
        Part::Log => html! { <Panel key={part.key()} {part}><LogList /><Actions /><JobCard /></Panel> },
    }
}

/// Listens for the keys of the page as long as it lives.
#[hook]
fn use_keys(store: &Store) {
    // The listener is made once; what it acts on is the newest store.
    let newest = use_mut_ref(|| store.clone());
    *newest.borrow_mut() = store.clone();
    use_effect_with((), move |()| {
        let listener = Closure::<dyn FnMut(web_sys::KeyboardEvent)>::new(move |event: web_sys::KeyboardEvent| {
            let store = newest.borrow().clone();
            keys::on_key(&store, &event);
        });
        let document = web_sys::window().and_then(|w| w.document());
        if let Some(document) = &document {
            let _ = document.add_event_listener_with_callback("keydown", listener.as_ref().unchecked_ref());
        }
        move || {
            if let Some(document) = document {
                let _ = document.remove_event_listener_with_callback("keydown", listener.as_ref().unchecked_ref());
            }
        }
    });
}
