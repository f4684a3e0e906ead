//! The instruments as the page's text, rendered without a browser: titles, tools, and what the pictures say in words.

use super::instrument_count::InstrumentCount;
use super::instrument_figure::InstrumentFigure;
use super::instrument_loop::InstrumentLoop;
use super::instrument_traces::InstrumentTraces;
use super::instrument_travel::InstrumentTravel;
use crate::lab::{Lab, TriggerOn};
use crate::store::{LabHandle, Store, Ui};
use std::cell::RefCell;
use std::rc::Rc;
use yew::prelude::*;

/// A bench that ran into a wide smear, with trigger and cursors set.
fn smeared_lab() -> Lab {
    let shipped = lessons::shipped_by_name("wide-smear").expect("shipped");
    let mut lab = Lab::new(shipped.id, lessons::read(shipped.id, shipped.text).expect("readable"));
    lab.clock.pause_at_alarm = false;
    lab.clock.set_pace(6);
    lab.instruments_mut().sweeps.trigger(TriggerOn::A, 0.1);
    lab.instruments_mut().settings.cursors = Some([0.2, 0.7]);
    lab.advance((1.0 / 50e-6) as u64);
    lab
}

#[function_component(All)]
fn all() -> Html {
    let ui = use_reducer(Ui::default);
    let lab = use_state(|| LabHandle(Rc::new(RefCell::new(smeared_lab()))));
    let store = Store { ui, lab: (*lab).clone() };
    html! {
        <ContextProvider<Store> context={store}>
            <InstrumentTraces /><InstrumentCount /><InstrumentFigure /><InstrumentLoop /><InstrumentTravel />
        </ContextProvider<Store>>
    }
}

/// The opening tags of an element; its attributes come in any order.
fn tags<'a>(page: &'a str, name: &str) -> impl Iterator<Item = &'a str> {
    let start = format!("<{name}");
    page.split(&start).skip(1).filter_map(|rest| rest.split('>').next()).collect::<Vec<_>>().into_iter()
}

#[tokio::test]
async fn every_instrument_says_in_words_with_numbers_what_it_shows() {
    let page = yew::LocalServerRenderer::<All>::new().hydratable(false).render().await;
    for title in ["Traces", "Count strip", "A against B", "Position loop", "Amplitude over the travel"] {
        let named = tags(&page, "section").any(|tag| tag.contains(&format!("aria-label=\"{title}\"")));
        assert!(named, "{title}: {page}");
    }
    let label = |tag: &str| tag.split("aria-label=\"").nth(1).and_then(|t| t.split('"').next()).map(str::to_owned);
    let labels: Vec<String> = tags(&page, "canvas").filter_map(label).collect();
    assert_eq!(labels.len(), 5, "one picture each");
    for label in labels {
        assert!(label.chars().filter(char::is_ascii_digit).count() >= 2, "no numbers in: {label}");
    }
    // The tools of the traces can be reached and tell their state.
    for tool in ["hold", "cursors", "values"] {
        assert!(page.contains(&format!(">{tool}</button>")), "{tool}");
    }
    assert!(page.contains("aria-label=\"Level of the trigger, V\""));
    assert!(page.contains("aria-label=\"Cursor 1, ms\"") && page.contains("aria-label=\"Cursor 2, ms\""));
    assert!(page.contains("\u{394}t") && page.contains("1/\u{394}t") && page.contains("\u{394}x"));
    assert!(page.contains("too weak"), "the travel tells of the smear: {page}");
}
