//! The leaf of a lesson as a room reads it: the words large, the goal live, the answers of an item.

use super::bench::use_numbers;
use super::goal::GoalRows;
use super::words::{filled, line, marked};
use crate::store::{Store, use_store};
use lessons::lesson::Lesson;
use lessons::lesson::model::ExitKind;
use lessons::lesson::room::{RoomLeaf, items, leaves};
use yew::prelude::*;

/// The lesson that is taught and its leaf.
pub fn taught(store: &Store) -> Option<(&Lesson, RoomLeaf, usize, usize)> {
    let room = store.ui.present.room.as_ref()?;
    let lesson = store.ui.learning.lesson(&room.lesson)?;
    let leaves = leaves(lesson);
    Some((lesson, leaves.get(room.at).copied()?, room.at, leaves.len()))
}

/// What a leaf is, in a word for the head of the sheet.
pub fn name_of(leaf: RoomLeaf) -> &'static str {
    match leaf {
        RoomLeaf::Opening => "what it is about",
        RoomLeaf::Ask(_) => "question: hands up",
        RoomLeaf::Show(_) => "the bench answers",
        RoomLeaf::Explain(_) => "the right answer",
        RoomLeaf::Break(..) => "a wrong answer, and what breaks it",
        RoomLeaf::Task(_) => "task",
        RoomLeaf::Solve(_) => "the task done",
        RoomLeaf::See => "what did you see?",
        RoomLeaf::Why => "why",
        RoomLeaf::Item(_) => "check",
        RoomLeaf::Answer(_) => "the answer",
    }
}

/// Heading of a leaf.
pub fn heading(store: &Store, lesson: &Lesson, leaf: RoomLeaf) -> String {
    let text = lesson.text(store.ui.learning.language());
    let all = items(lesson);
    let item = |i: usize| all.get(i);
    match leaf {
        RoomLeaf::Item(i) | RoomLeaf::Answer(i) => {
            let id = item(i).map_or("", |item| item.exit.id.as_str());
            filled(store, lesson, text.title(id), item(i))
        }
        RoomLeaf::Explain(i) => filled(store, lesson, text.title(&lesson.predicts[i].id), None),
        RoomLeaf::Break(..) => {
            format!("\u{201c}{}\u{201d}?", filled(store, lesson, text.title(&leaf.words(lesson)), None))
        }
        _ => filled(store, lesson, text.title(&leaf.words(lesson)), None),
    }
}

/// The words beside the instruments.
#[function_component(RoomPanel)]
pub fn room_panel() -> Html {
    let store = use_store();
    let named = store.ui.present.room.iter().map(|room| room.lesson.clone()).collect();
    use_numbers(&store, named);
    let Some((lesson, leaf, ..)) = taught(&store) else { return Html::default() };
    // At the question the poll stands beside the instruments and says it all; while the bench answers, it is watched.
    if matches!(leaf, RoomLeaf::Ask(_) | RoomLeaf::Show(_)) {
        return Html::default();
    }
    let text = lesson.text(store.ui.learning.language());
    let all = items(lesson);
    let item = match leaf {
        RoomLeaf::Item(i) | RoomLeaf::Answer(i) => all.get(i),
        _ => None,
    };
    let body = marked(&filled(&store, lesson, text.body(&leaf.words(lesson)), item));
    let above = match (leaf, item) {
        (RoomLeaf::Explain(_), _) => {
            html! { <h2>{ line(&filled(&store, lesson, text.title(&leaf.words(lesson)), None)) }</h2> }
        }
        (RoomLeaf::Answer(_), Some(item)) => {
            html! { <>{ marked(&filled(&store, lesson, text.body(&item.exit.id), Some(item))) }{ choices(&store, lesson, item, true) }</> }
        }
        _ => Html::default(),
    };
    let below = match (leaf, item) {
        (RoomLeaf::Task(_) | RoomLeaf::Solve(_), _) => html! { <GoalRows /> },
        (RoomLeaf::Item(_), Some(item)) => choices(&store, lesson, item, false),
        _ => Html::default(),
    };
    html! { <section class="room" aria-label="Lesson" data-leaf={if leaf == RoomLeaf::Why { "why" } else { "" }}>{ above }{ body }{ below }</section> }
}

/// The answers of an item to choose from; the right one is marked when it is told.
fn choices(store: &Store, lesson: &Lesson, item: &lessons::lesson::draw::Item<'_>, told: bool) -> Html {
    let ExitKind::Choice(options) = &item.exit.kind else { return Html::default() };
    let text = lesson.text(store.ui.learning.language());
    let right = item.right_option();
    let row = |(i, (option, _)): (usize, &(lessons::lesson::Wrong, lessons::lesson::expr::Expr))| {
        let is_right = told && right == Some(option.id.as_str());
        let words = filled(store, lesson, text.title(&format!("{}.{}", item.exit.id, option.id)), Some(item));
        html! { <li translate="no" class={if is_right { "right" } else { "" }}>{ format!("{}. {words}{}", i + 1, if is_right { " \u{2713}" } else { "" }) }</li> }
    };
    html! { <ul class="room-choices">{ for options.iter().enumerate().map(row) }</ul> }
}
