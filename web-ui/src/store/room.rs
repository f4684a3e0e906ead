//! Teaching a lesson from the front: leaf after leaf, each with its scene on the bench and its question to the room.

use super::poll::PollDeed;
use super::present::{PresentDeed, Room};
use super::{Action, Store};
use lessons::lesson::Lesson;
use lessons::lesson::room::{RoomLeaf, leaves};
use lessons::lesson::session::{RIGHT, options};

/// Begins a lesson in the presenter view.
pub fn enter(store: &Store, lesson: &Lesson) {
    store.ui.dispatch(Action::Present(PresentDeed::On(true)));
    store.ui.dispatch(Action::CoverCause(false));
    store.change(|lab| lab.clock.set_pace(0));
    turn(store, lesson, 0);
}

/// Turns to the next leaf, or back.
pub fn step(store: &Store, forward: bool) {
    let Some(room) = &store.ui.present.room else { return };
    let Some(lesson) = store.ui.learning.lesson(&room.lesson) else { return };
    let at = if forward { room.at + 1 } else { room.at.saturating_sub(1) };
    if at < leaves(lesson).len() && at != room.at {
        turn(store, lesson, at);
    }
}

/// Words of a question and of its answers as the room reads them, and which is right.
fn question(store: &Store, lesson: &Lesson, leaf: RoomLeaf) -> Option<(String, Vec<String>, usize)> {
    let (RoomLeaf::Ask(i) | RoomLeaf::Explain(i)) = leaf else { return None };
    let predict = lesson.predicts.get(i)?;
    let text = lesson.text(store.ui.learning.language());
    let ids = options(&lesson.id, predict, 0);
    let numbers = store.ui.learning.numbers(&lesson.id).unwrap_or_default();
    let words = |id: &String| numbers.fill(text.title(&format!("{}.{id}", predict.id)), &|_| None);
    let right = ids.iter().position(|id| id == RIGHT)?;
    Some((text.title(&predict.id).to_owned(), ids.iter().map(words).collect(), right))
}

fn turn(store: &Store, lesson: &Lesson, at: usize) {
    let Some(leaf) = leaves(lesson).get(at).copied() else { return };
    if let Some((scene, runs)) = leaf.scene(lesson) {
        let name = format!("{}-{}", lesson.id, leaf.scene_name(lesson));
        store.change(|lab| {
            lab.load(&name, scene);
            lab.clock.running = runs;
            if let RoomLeaf::Task(i) | RoomLeaf::Solve(i) = leaf {
                lab.pursue(&lesson.tasks[i].goal);
            }
        });
    }
    match (leaf, question(store, lesson, leaf)) {
        (RoomLeaf::Ask(_), Some((asked, answers, _))) => {
            store.ui.dispatch(Action::Poll(PollDeed::Ready(asked, answers)));
        }
        (RoomLeaf::Explain(_), Some((.., right))) if store.ui.poll.right != Some(right) => {
            store.ui.dispatch(Action::Poll(PollDeed::Right(right)));
        }
        (RoomLeaf::Show(_) | RoomLeaf::Explain(_), _) => {}
        _ => store.ui.dispatch(Action::Poll(PollDeed::Open(false))),
    }
    store.ui.dispatch(Action::Present(PresentDeed::Room(Some(Room { lesson: lesson.id.clone(), at }))));
}
