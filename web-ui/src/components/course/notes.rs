//! For the instructor: the notes of a lesson, and the lesson on paper with numbers of a variant's own.

use super::worksheet::{Key, Worksheet};
use crate::components::choice::Choice;
use crate::components::lesson::use_numbers;
use crate::components::lesson::words::{filled, marked};
use crate::keep::browser;
use crate::keep::worksheet::VARIANTS;
use crate::store::lesson::{Leaf, LessonDeed};
use crate::store::{Action, room, use_store};
use yew::prelude::*;

/// Headings of the notes in their order.
const PARTS: [&str; 6] = ["timing", "points", "show", "ask", "trouble", "sources"];

/// What is printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Printed {
    Sheet,
    Key,
}

/// Properties of [`NotesLeaf`].
#[derive(Properties, PartialEq)]
pub struct Props {
    /// Place of the lesson among the lessons.
    pub at: usize,
}

/// The leaf.
#[function_component(NotesLeaf)]
pub fn notes_leaf(props: &Props) -> Html {
    let store = use_store();
    let variant = use_state(|| VARIANTS[0]);
    let printed = use_state(|| None::<(Printed, u32)>);
    use_effect_with(*printed, |printed| {
        if printed.is_some() {
            browser::print();
        }
    });
    let learning = &store.ui.learning;
    let lesson = learning.lessons().get(props.at);
    use_numbers(&store, lesson.map(|lesson| lesson.id.clone()).into_iter().collect());
    let Some(lesson) = lesson else { return Html::default() };
    let text = lesson.text(store.ui.learning.language());
    let ready = learning.numbers(&lesson.id).is_some();
    let choose = {
        let variant = variant.clone();
        Callback::from(move |letter: AttrValue| {
            if let Some(letter) = letter.chars().next() {
                variant.set(letter);
            }
        })
    };
    let print = |what: Printed| {
        let printed = printed.clone();
        let count = printed.map_or(0, |(_, n)| n);
        move |_: MouseEvent| printed.set(Some((what, count + 1)))
    };
    let teach = {
        let (store, id) = (store.clone(), lesson.id.clone());
        move |_: MouseEvent| {
            if let Some(lesson) = store.ui.learning.lesson(&id) {
                room::enter(&store, lesson);
            }
        }
    };
    let back = {
        let ui = store.ui.clone();
        move |_: MouseEvent| ui.dispatch(Action::Lesson(LessonDeed::Leaf(Some(Leaf::Lessons))))
    };
    let options: Vec<(AttrValue, AttrValue)> =
        VARIANTS.iter().map(|v| (v.to_string().into(), v.to_string().into())).collect();
    let part = |part: &&str| {
        let block = text.get(&format!("notes.{part}"))?;
        Some(
            html! { <section key={block.id.clone()}><h3>{ block.title.clone() }</h3>{ marked(&filled(&store, lesson, &block.body, None)) }</section> },
        )
    };
    let paper = printed.filter(|_| ready).map(|(what, count)| {
        let (lesson, variant) = (lesson.id.clone(), *variant);
        match what {
            Printed::Sheet => html! { <Worksheet key={count} {lesson} {variant} /> },
            Printed::Key => html! { <Key key={count} {lesson} {variant} /> },
        }
    });
    html! {
        <>
            <div class="course-head">
                <p><button type="button" class="plain link" onclick={back}>{ "All lessons" }</button></p>
                <h2>{ text.title("title").to_owned() }</h2>
                <p class="ends"><button type="button" class="solid" onclick={teach}>{ "Teach it" }</button></p>
            </div>
            <section class="on-desk" aria-label="On paper">
                <h3>{ "On paper" }</h3>
                <p>{ "The lesson as a sheet to write on, with numbers of its own for each variant, and the key with the working." }</p>
                <p class="ends">
                    <span>{ "Variant" }</span><Choice label="Variant" {options} value={variant.to_string()} onchoose={choose} />
                    <button type="button" id="print-sheet" disabled={!ready} onclick={print(Printed::Sheet)}>{ "Print the sheet" }</button>
                    <button type="button" id="print-key" disabled={!ready} onclick={print(Printed::Key)}>{ "Print the key" }</button>
                </p>
            </section>
            <div class="notes">{ for PARTS.iter().filter_map(part) }</div>
            { for paper }
        </>
    }
}
