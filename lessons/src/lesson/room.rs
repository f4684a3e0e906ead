//! A lesson at the front of a room: the leaves that an instructor turns, one by one, and the scene that each puts on the
//! bench.

use super::draw::{self, Item};
use super::model::Lesson;
use super::session::RIGHT;
use sim_core::scene::Scene;

/// Items of the exit check that are shown to a room.
const ITEMS: usize = 3;

/// A leaf.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RoomLeaf {
    /// What it is about.
    Opening,
    /// A question; the bench stands.
    Ask(usize),
    /// The bench shows the answer.
    Show(usize),
    /// The right answer is explained.
    Explain(usize),
    /// A wrong answer of a question, with the scene that breaks the belief.
    Break(usize, usize),
    /// A task, for somebody of the room to do.
    Task(usize),
    /// The task done by its script.
    Solve(usize),
    /// What was seen.
    See,
    /// The explanation.
    Why,
    /// An item of the exit check.
    Item(usize),
    /// Its answer.
    Answer(usize),
}

/// The leaves of a lesson in their order.
#[must_use]
pub fn leaves(lesson: &Lesson) -> Vec<RoomLeaf> {
    let mut leaves = vec![RoomLeaf::Opening];
    for (i, predict) in lesson.predicts.iter().enumerate() {
        leaves.extend([RoomLeaf::Ask(i), RoomLeaf::Show(i), RoomLeaf::Explain(i)]);
        leaves.extend((0..predict.wrongs.len()).map(|w| RoomLeaf::Break(i, w)));
    }
    leaves.extend((0..lesson.tasks.len()).flat_map(|i| [RoomLeaf::Task(i), RoomLeaf::Solve(i)]));
    leaves.extend([RoomLeaf::See, RoomLeaf::Why]);
    leaves.extend((0..items(lesson).len()).flat_map(|i| [RoomLeaf::Item(i), RoomLeaf::Answer(i)]));
    leaves
}

/// The items that a room gets: the same for everybody.
#[must_use]
pub fn items(lesson: &Lesson) -> Vec<Item<'_>> {
    let mut items = draw::items(lesson, 0, 0);
    items.truncate(ITEMS.min(lesson.exits.len()));
    items
}

impl RoomLeaf {
    /// The id of its heading and body.
    #[must_use]
    pub fn words(self, lesson: &Lesson) -> String {
        let item = |i: usize| items(lesson).get(i).map_or(String::new(), |item| item.exit.id.clone());
        match self {
            Self::Opening => "title".to_owned(),
            Self::Ask(i) | Self::Show(i) => lesson.predicts[i].id.clone(),
            Self::Explain(i) => format!("{}.{RIGHT}", lesson.predicts[i].id),
            Self::Break(i, w) => format!("{}.{}", lesson.predicts[i].id, lesson.predicts[i].wrongs[w].id),
            Self::Task(i) | Self::Solve(i) => lesson.tasks[i].id.clone(),
            Self::See => "see".to_owned(),
            Self::Why => "why".to_owned(),
            Self::Item(i) => item(i),
            Self::Answer(i) => format!("{}.answer", item(i)),
        }
    }

    /// The scene that it puts on the bench, and whether the clock runs; nothing where the bench stays as it is.
    #[must_use]
    pub fn scene(self, lesson: &Lesson) -> Option<(Scene, bool)> {
        let named = |name: &str, runs: bool| Some((lesson.scenes.get(name)?.clone(), runs));
        match self {
            Self::Opening => named(&lesson.bench, true),
            Self::Ask(_) => named(&lesson.bench, false),
            Self::Show(i) => named(&lesson.predicts[i].show, true),
            Self::Break(i, w) => named(lesson.predicts[i].wrongs[w].show.as_deref()?, true),
            Self::Task(i) => named(&lesson.tasks[i].scene, true),
            Self::Solve(i) => {
                let task = &lesson.tasks[i];
                let mut scene = lesson.scenes.get(&task.scene)?.clone();
                scene.steps.extend(task.solution.iter().cloned());
                scene.steps.sort_by(|a, b| a.at_s.get().total_cmp(&b.at_s.get()));
                Some((scene, true))
            }
            Self::Explain(_) | Self::See | Self::Why | Self::Item(_) | Self::Answer(_) => None,
        }
    }

    /// Name of its scene among the lesson's, for the bench.
    #[must_use]
    pub fn scene_name(self, lesson: &Lesson) -> String {
        match self {
            Self::Show(i) => lesson.predicts[i].show.clone(),
            Self::Break(i, w) => lesson.predicts[i].wrongs[w].show.clone().unwrap_or_default(),
            Self::Task(i) | Self::Solve(i) => lesson.tasks[i].scene.clone(),
            _ => lesson.bench.clone(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lesson::all;

    #[test]
    fn every_leaf_of_every_lesson_has_words_and_every_scene_is_there() {
        for lesson in all().unwrap() {
            let leaves = leaves(&lesson);
            for leaf in &leaves {
                let words = lesson.text("en").get(&leaf.words(&lesson));
                assert!(words.is_some(), "{} {leaf:?}", lesson.id);
                assert!(words.is_some_and(|block| !block.title.is_empty() || !block.body.is_empty()));
                let moves = !matches!(
                    leaf,
                    RoomLeaf::Explain(_) | RoomLeaf::See | RoomLeaf::Why | RoomLeaf::Item(_) | RoomLeaf::Answer(_)
                );
                assert_eq!(leaf.scene(&lesson).is_some(), moves, "{} {leaf:?}", lesson.id);
            }
            let solved = leaves.iter().filter(|leaf| matches!(leaf, RoomLeaf::Solve(_))).count();
            assert_eq!(solved, lesson.tasks.len());
        }
    }

    #[test]
    fn a_room_sees_the_solution_as_it_is_scripted() {
        let lessons = all().unwrap();
        let lesson = &lessons[0];
        let (scene, runs) = RoomLeaf::Solve(0).scene(lesson).unwrap();
        assert!(runs);
        assert_eq!(
            scene.steps.len(),
            lesson.scenes[&lesson.tasks[0].scene].steps.len() + lesson.tasks[0].solution.len()
        );
        assert!(scene.steps.windows(2).all(|pair| pair[0].at_s.get() <= pair[1].at_s.get()));
    }
}
