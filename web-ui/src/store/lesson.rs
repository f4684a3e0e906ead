//! What the page knows of lessons: those that can be opened, the one that is open, and the learner's record.

mod shelf;

pub use shelf::{Shelf, Shelved, shipped_later};

use lessons::lesson::class::Member;
use lessons::lesson::learner::Record;
use lessons::lesson::session::{Session, Step};
use lessons::lesson::{Lesson, Numbers};
use std::rc::Rc;

/// Numbers in the words of one lesson, worked out by the model.
#[derive(Clone, Debug)]
pub struct Worked {
    /// Id of the lesson.
    pub lesson: String,
    /// The numbers.
    pub numbers: Rc<Numbers>,
}

impl PartialEq for Worked {
    fn eq(&self, other: &Self) -> bool {
        self.lesson == other.lesson && Rc::ptr_eq(&self.numbers, &other.numbers)
    }
}

/// A leaf of the course, over the whole sheet.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Leaf {
    /// The list of lessons.
    #[default]
    Lessons,
    /// What the learner can do.
    Record,
    /// The words of the trade.
    Words,
    /// The table of a class.
    Class,
    /// Notes for the instructor on the lesson at a place.
    Notes(usize),
}

impl Leaf {
    /// All leaves with their names.
    pub const ALL: [(Leaf, &'static str); 4] = [
        (Leaf::Lessons, "Lessons"),
        (Leaf::Record, "What I can do"),
        (Leaf::Words, "Words of the trade"),
        (Leaf::Class, "My class"),
    ];
}

/// Languages of lessons: their sign, and their name in themselves. A lesson that has no words in one is shown in English.
pub const LANGUAGES: [(&str, &str); 2] = [("en", "English"), ("es", "Espa\u{f1}ol")];

/// What a learner of a class handed in.
#[derive(Clone, Debug, PartialEq)]
pub enum Handed {
    /// The whole record.
    Record(Rc<Record>),
    /// A short code.
    Code(Member),
}

impl Handed {
    fn learner(&self) -> u32 {
        match self {
            Self::Record(record) => record.learner,
            Self::Code(member) => member.learner,
        }
    }
}

/// What the page knows of lessons.
#[derive(Clone, Debug, PartialEq)]
pub struct Learning {
    /// The lessons, once somebody asked for them.
    pub shelf: Option<Shelf>,
    /// The learner's record.
    pub record: Rc<Record>,
    /// The lesson that is open.
    pub session: Option<Session>,
    /// The leaf of the course that lies over the sheet.
    pub leaf: Option<Leaf>,
    /// The settings stand where the lesson stands otherwise.
    pub drawer: bool,
    /// Why the last answer could not be read.
    pub said: Option<String>,
    /// Numbers in the words of lessons.
    pub worked: Vec<Worked>,
    /// Place of the language among [`LANGUAGES`].
    pub language: usize,
    /// What a class handed in; it is not kept.
    pub class: Vec<Handed>,
    /// Grows whenever a task is begun afresh.
    pub fresh: u32,
}

impl Default for Learning {
    fn default() -> Self {
        Self {
            shelf: None,
            record: Rc::new(Record::new(0)),
            session: None,
            leaf: None,
            drawer: false,
            said: None,
            worked: Vec::new(),
            language: 0,
            class: Vec::new(),
            fresh: 0,
        }
    }
}

/// A change of it.
#[derive(Clone, Debug, PartialEq)]
pub enum LessonDeed {
    /// The lessons were read.
    Shelve(Shelf),
    /// Another record: kept, or opened from a file.
    Take(Rc<Record>),
    /// The learner's name.
    Name(String),
    /// Lays a leaf of the course over the sheet, or takes it away.
    Leaf(Option<Leaf>),
    /// Begins a lesson, or goes on with it, on a day; whether it is opened although something is missing.
    Begin(String, u32, bool),
    /// Puts the lesson away.
    Close,
    /// Shows the settings in place of the lesson.
    Drawer(bool),
    /// Goes to a step.
    Go(usize),
    /// Commits to an answer of the question.
    Commit(String),
    /// Says what the bench showed.
    Saw(String),
    /// Shows one more hint, of so many.
    Hint(usize),
    /// The goal of the task was met.
    Met,
    /// Begins the task afresh.
    Afresh,
    /// Leaves the task open.
    Leave,
    /// What was written down.
    Seen(String),
    /// Answers the item that is shown.
    Answer(String),
    /// Shows an item of the row.
    Item(usize),
    /// Takes the exit check again.
    ExitAgain,
    /// Chooses the language of the lessons by its place.
    Language(usize),
    /// Somebody of a class handed something in.
    Hand(Handed),
    /// Clears the table of the class.
    NoClass,
    /// The numbers of a lesson are there.
    Worked(Worked),
}

impl Learning {
    /// Sign of the language of the lessons.
    pub fn language(&self) -> &'static str {
        LANGUAGES.get(self.language).map_or("en", |(sign, _)| sign)
    }

    /// Sign of the language in which a lesson is shown.
    pub fn shown_in(&self, lesson: &Lesson) -> &'static str {
        if lesson.texts.contains_key(self.language()) { self.language() } else { "en" }
    }

    /// The lessons; none before they were read.
    pub fn lessons(&self) -> &[Lesson] {
        self.shelf.as_ref().map_or(&[], |shelf| shelf.0.lessons.as_slice())
    }

    /// A lesson by its id.
    pub fn lesson(&self, id: &str) -> Option<&Lesson> {
        self.lessons().iter().find(|lesson| lesson.id == id)
    }

    /// The lesson that is open, with its session.
    pub fn open(&self) -> Option<(&Lesson, &Session)> {
        let session = self.session.as_ref()?;
        Some((self.lesson(&session.lesson)?, session))
    }

    /// Whether the bench waits for an answer.
    pub fn locks_bench(&self) -> bool {
        self.leaf.is_none() && self.session.as_ref().is_some_and(Session::locks_bench)
    }

    /// Numbers in the words of a lesson, once they are worked out.
    pub fn numbers(&self, lesson: &str) -> Option<Rc<Numbers>> {
        self.worked.iter().find(|worked| worked.lesson == lesson).map(|worked| worked.numbers.clone())
    }

    /// The state after a change.
    #[must_use]
    pub fn after(mut self, deed: LessonDeed) -> Self {
        match deed {
            LessonDeed::Shelve(shelf) => (self.shelf, self.worked) = (Some(shelf), Vec::new()),
            LessonDeed::Take(record) => (self.record, self.session) = (record, None),
            LessonDeed::Name(name) => Rc::make_mut(&mut self.record).name = name,
            LessonDeed::Leaf(leaf) => self.leaf = leaf,
            LessonDeed::Begin(id, day, anyway) => {
                if let Some(engine) = self.shelf.as_ref().map(Shelf::engine) {
                    (engine.begin)(&mut self, &id, day, anyway);
                }
            }
            LessonDeed::Close => (self.session, self.drawer, self.said) = (None, false, None),
            LessonDeed::Drawer(drawer) => self.drawer = drawer,
            LessonDeed::NoClass => self.class.clear(),
            LessonDeed::Language(at) => self.language = at.min(LANGUAGES.len() - 1),
            LessonDeed::Hand(handed) => {
                // Who hands in again takes the place of what was there.
                self.class.retain(|other| other.learner() != handed.learner());
                self.class.push(handed);
            }
            LessonDeed::Worked(worked) => {
                self.worked.retain(|other| other.lesson != worked.lesson);
                self.worked.push(worked);
            }
            // Without lessons there is no session.
            deed => {
                if let Some(engine) = self.shelf.as_ref().map(Shelf::engine) {
                    (engine.in_session)(&mut self, deed);
                }
            }
        }
        self
    }

    fn begin(&mut self, id: &str, day: u32, anyway: bool) {
        let lessons = self.shelf.clone();
        let Some(lesson) = lessons.as_ref().and_then(|shelf| shelf.0.lessons.iter().find(|lesson| lesson.id == id))
        else {
            return;
        };
        if anyway {
            Rc::make_mut(&mut self.record).opened_anyway(lesson);
        }
        self.session = Some(Session::new(self.lessons(), lesson, &self.record, day));
        (self.leaf, self.drawer, self.said) = (None, false, None);
        self.fresh += 1;
    }

    fn in_session(&mut self, deed: LessonDeed) {
        let (Some(shelf), Some(session)) = (self.shelf.clone(), &mut self.session) else { return };
        let Some(lesson) = shelf.0.lessons.iter().find(|lesson| lesson.id == session.lesson) else { return };
        let record = Rc::make_mut(&mut self.record);
        self.said = None;
        match deed {
            LessonDeed::Go(at) => session.go(at),
            LessonDeed::Commit(answer) => session.commit(record, lesson, &answer),
            LessonDeed::Saw(answer) => session.saw(&answer),
            LessonDeed::Hint(of) => session.hint(record, lesson, of),
            LessonDeed::Met => session.met(record, lesson),
            LessonDeed::Afresh => {
                if matches!(session.step(), Step::Task(i) if session.tasks[i].done) {
                    session.begin_again(record, lesson);
                }
                self.fresh += 1;
            }
            LessonDeed::Leave => session.leave(),
            LessonDeed::Seen(text) => session.seen = text,
            LessonDeed::Answer(text) => self.said = session.answer(record, &shelf.0.lessons, &text).err(),
            LessonDeed::Item(at) => session.show_item(at),
            LessonDeed::ExitAgain => session.exit_again(lesson),
            LessonDeed::Shelve(_)
            | LessonDeed::Take(_)
            | LessonDeed::Name(_)
            | LessonDeed::Leaf(_)
            | LessonDeed::Begin(..)
            | LessonDeed::Close
            | LessonDeed::Hand(_)
            | LessonDeed::NoClass
            | LessonDeed::Language(_)
            | LessonDeed::Drawer(_)
            | LessonDeed::Worked(_) => {}
        }
    }
}

/// The scene that a step wants on the bench, and whether its clock runs.
pub fn scene_of(lesson: &Lesson, session: &Session) -> Option<(String, bool)> {
    match session.step() {
        Step::Opening => Some((lesson.bench.clone(), true)),
        Step::Predict(i) => match &session.predicts[i].answer {
            None => Some((lesson.bench.clone(), false)),
            Some(_) => Some((lesson.predicts[i].show.clone(), true)),
        },
        Step::Task(i) => Some((lesson.tasks[i].scene.clone(), true)),
        Step::Recall | Step::See | Step::Why | Step::Exit | Step::End => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn opened() -> Learning {
        let shelf = Shelf::shipped().unwrap();
        let id = shelf.0.lessons[0].id.clone();
        Learning::default().after(LessonDeed::Shelve(shelf)).after(LessonDeed::Begin(id, 0, false))
    }

    #[test]
    fn a_lesson_opens_on_its_bench_and_the_question_holds_it_still() {
        let learning = opened();
        let (lesson, session) = learning.open().unwrap();
        assert_eq!(scene_of(lesson, session), Some(("bench".to_owned(), true)));
        let asked = learning.clone().after(LessonDeed::Go(1));
        assert!(asked.locks_bench());
        let (lesson, session) = asked.open().unwrap();
        assert_eq!(scene_of(lesson, session), Some(("bench".to_owned(), false)));
        let told = asked.after(LessonDeed::Commit("distance".into()));
        let (lesson, session) = told.open().unwrap();
        assert!(!told.locks_bench());
        assert_eq!(scene_of(lesson, session), Some(("five".to_owned(), true)));
        assert_eq!(told.record.lessons[&lesson.id].predicted["reaches"], "distance");
        assert_eq!(learning.record.lessons.len(), 0, "the state before is as it was");
        assert!(told.after(LessonDeed::Close).open().is_none());
    }

    #[test]
    fn a_task_begun_afresh_wants_its_scene_again_and_strange_answers_are_told() {
        let learning = opened()
            .after(LessonDeed::Go(1))
            .after(LessonDeed::Commit("right".into()))
            .after(LessonDeed::Saw("right".into()))
            .after(LessonDeed::Go(2));
        let fresh = learning.fresh;
        let again = learning.after(LessonDeed::Met).after(LessonDeed::Afresh);
        assert_eq!(again.fresh, fresh + 1);
        assert!(again.open().unwrap().1.tasks[0].done);
        let at_exit = (2..8).fold(again, |learning, at| learning.after(LessonDeed::Met).after(LessonDeed::Go(at)));
        assert_eq!(at_exit.open().unwrap().1.step(), Step::Exit);
        let said = at_exit.after(LessonDeed::Answer("no number at all".into())).said.unwrap();
        assert!(said.contains("number") || said.contains("Choose"), "{said}");
    }
}
