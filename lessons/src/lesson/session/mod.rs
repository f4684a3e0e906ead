//! One learner going through one lesson: recall, predict, do, say what was seen, explain, exit check. Pure: the same
//! deeds lead to the same session; what is worth keeping goes into the [`Record`].

mod quiz;

pub use quiz::{Asked, Given, Quiz};

use super::learner::{HELP_FROM, Record};
use super::model::{Lesson, Predict};
use quiz::shuffled;

/// Id of the right answer to a question.
pub const RIGHT: &str = "right";

/// A step of a lesson.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Step {
    /// Questions on earlier competencies.
    Recall,
    /// What it is about.
    Opening,
    /// A question that is answered before the bench is touched.
    Predict(usize),
    /// Something to do on the bench.
    Task(usize),
    /// What was seen, in the learner's own words.
    See,
    /// The explanation.
    Why,
    /// The exit check.
    Exit,
    /// What was reached.
    End,
}

/// How far a question has got.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Predicted {
    /// The answer that the learner committed to.
    pub answer: Option<String>,
    /// The answer that the bench showed, as the learner saw it.
    pub seen: Option<String>,
}

/// How far a task has got.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct TaskNow {
    /// Hints that are shown.
    pub hints: usize,
    /// It was done in this session, or before.
    pub done: bool,
    /// Done without help, at some time.
    pub alone: bool,
    /// Left open for now.
    pub left: bool,
}

/// A session.
#[derive(Clone, Debug, PartialEq)]
pub struct Session {
    /// Id of the lesson.
    pub lesson: String,
    learner: u32,
    day: u32,
    steps: Vec<Step>,
    at: usize,
    /// Questions on earlier competencies.
    pub recall: Quiz,
    /// The questions.
    pub predicts: Vec<Predicted>,
    /// The tasks.
    pub tasks: Vec<TaskNow>,
    /// What the learner wrote down.
    pub seen: String,
    /// The exit check.
    pub exit: Quiz,
    attempt: u32,
}

/// Ids of the answers to a question of a lesson, in the order of a learner.
#[must_use]
pub fn options(lesson: &str, predict: &Predict, learner: u32) -> Vec<String> {
    let ids = predict.wrongs.iter().map(|wrong| wrong.id.clone()).chain([RIGHT.to_owned()]).collect();
    shuffled(ids, learner, &format!("{lesson}/{}", predict.id))
}

impl Session {
    /// Begins a lesson, or goes on where the record says that it was left. `day` counts days, by the caller.
    #[must_use]
    pub fn new(lessons: &[Lesson], lesson: &Lesson, record: &Record, day: u32) -> Self {
        let kept = record.lessons.get(&lesson.id).filter(|kept| kept.version == lesson.version);
        let attempt = kept.map_or(0, |kept| kept.exits.len() as u32);
        let predicted = |predict: &Predict| {
            let answer = kept.and_then(|kept| kept.predicted.get(&predict.id)).cloned();
            Predicted { seen: answer.as_ref().map(|_| RIGHT.to_owned()), answer }
        };
        let task = |id: &str| {
            let was = kept.and_then(|kept| kept.tasks.get(id)).copied().unwrap_or_default();
            TaskNow { done: was.alone || was.helped, alone: was.alone, ..TaskNow::default() }
        };
        // What this lesson teaches is not asked before it is taught.
        let mut recall = Quiz::recall(lessons, record, day);
        recall.items.retain(|asked| lesson.teaches.iter().all(|k| Some(k.id) != asked.asks));
        let mut steps = Vec::new();
        steps.extend((!recall.items.is_empty()).then_some(Step::Recall));
        steps.push(Step::Opening);
        steps.extend((0..lesson.predicts.len()).map(Step::Predict));
        steps.extend((0..lesson.tasks.len()).map(Step::Task));
        steps.extend([Step::See, Step::Why, Step::Exit, Step::End]);
        Self {
            lesson: lesson.id.clone(),
            learner: record.learner,
            day,
            steps,
            at: 0,
            recall,
            predicts: lesson.predicts.iter().map(predicted).collect(),
            tasks: lesson.tasks.iter().map(|t| task(&t.id)).collect(),
            seen: String::new(),
            exit: Quiz::exit(lesson, record.learner, attempt),
            attempt,
        }
    }

    /// The step that is shown.
    pub fn step(&self) -> Step {
        self.steps[self.at]
    }

    /// All steps.
    pub fn steps(&self) -> &[Step] {
        &self.steps
    }

    /// Place of the step that is shown.
    pub fn at(&self) -> usize {
        self.at
    }

    /// Whether a step has all that it asks for.
    pub fn is_done(&self, step: Step) -> bool {
        match step {
            Step::Recall => self.recall.done(),
            Step::Predict(i) => self.predicts.get(i).is_some_and(|p| p.seen.is_some()),
            Step::Task(i) => self.tasks.get(i).is_some_and(|t| t.done || t.left),
            Step::Exit => self.exit.done(),
            Step::Opening | Step::See | Step::Why | Step::End => true,
        }
    }

    /// Whether a step can be gone to: everything before it is done.
    pub fn is_open(&self, at: usize) -> bool {
        at < self.steps.len() && self.steps[..at].iter().all(|step| self.is_done(*step))
    }

    /// Goes to a step, if it is open.
    pub fn go(&mut self, at: usize) {
        if self.is_open(at) {
            self.at = at;
        }
    }

    /// Whether the bench waits for an answer.
    pub fn locks_bench(&self) -> bool {
        matches!(self.step(), Step::Predict(i) if self.predicts[i].answer.is_none())
    }

    /// Ids of the answers to a question, in the order of this learner.
    pub fn options(&self, predict: &Predict) -> Vec<String> {
        options(&self.lesson, predict, self.learner)
    }

    /// Commits to an answer of the question that is shown. It cannot be changed afterwards.
    pub fn commit(&mut self, record: &mut Record, lesson: &Lesson, answer: &str) {
        let Step::Predict(i) = self.step() else { return };
        let (Some(now), Some(predict)) = (self.predicts.get_mut(i), lesson.predicts.get(i)) else { return };
        if now.answer.is_none() {
            now.answer = Some(answer.to_owned());
            record.predicted(lesson, &predict.id, answer);
        }
    }

    /// Says what the bench showed.
    pub fn saw(&mut self, answer: &str) {
        let Step::Predict(i) = self.step() else { return };
        if let Some(now) = self.predicts.get_mut(i).filter(|now| now.answer.is_some() && now.seen.is_none()) {
            now.seen = Some(answer.to_owned());
        }
    }

    /// Shows one more hint of the task that is shown, of so many that there are.
    pub fn hint(&mut self, record: &mut Record, lesson: &Lesson, of: usize) {
        let Step::Task(i) = self.step() else { return };
        if let (Some(now), Some(task)) = (self.tasks.get_mut(i), lesson.tasks.get(i))
            && now.hints < of
        {
            now.hints += 1;
            record.hinted(lesson, &task.id);
        }
    }

    /// The goal of the task that is shown was met on the bench.
    pub fn met(&mut self, record: &mut Record, lesson: &Lesson) {
        let Step::Task(i) = self.step() else { return };
        if let (Some(now), Some(task)) = (self.tasks.get_mut(i), lesson.tasks.get(i)) {
            now.alone |= now.hints < HELP_FROM as usize;
            (now.done, now.left) = (true, false);
            record.done(lesson, &task.id);
        }
    }

    /// Begins the task that is shown once more, without hints.
    pub fn begin_again(&mut self, record: &mut Record, lesson: &Lesson) {
        let Step::Task(i) = self.step() else { return };
        if let (Some(now), Some(task)) = (self.tasks.get_mut(i), lesson.tasks.get(i)) {
            now.hints = 0;
            record.begun_again(lesson, &task.id);
        }
    }

    /// Leaves the task that is shown open for now.
    pub fn leave(&mut self) {
        let Step::Task(i) = self.step() else { return };
        if let Some(now) = self.tasks.get_mut(i) {
            now.left = !now.done;
        }
        self.go(self.at + 1);
    }

    /// The row of items that is shown.
    pub fn quiz(&self) -> Option<&Quiz> {
        match self.step() {
            Step::Recall => Some(&self.recall),
            Step::Exit => Some(&self.exit),
            _ => None,
        }
    }

    /// Answers the item that is shown. With the last one the record learns how it went.
    ///
    /// # Errors
    /// Why this is no answer, in words for the learner.
    pub fn answer(&mut self, record: &mut Record, lessons: &[Lesson], text: &str) -> Result<(), String> {
        let step = self.step();
        let quiz = match step {
            Step::Recall => &mut self.recall,
            Step::Exit => &mut self.exit,
            _ => return Ok(()),
        };
        if quiz.now().is_none_or(|asked| asked.given.is_some()) {
            return Ok(());
        }
        quiz.answer(lessons, text)?;
        if !quiz.done() {
            return Ok(());
        }
        for (competency, right) in quiz.competencies(lessons) {
            record.recalled(competency, self.day, right);
        }
        if step == Step::Exit
            && let Some(lesson) = lessons.iter().find(|lesson| lesson.id == self.lesson)
        {
            record.exited(lesson, self.day, self.exit.kept(lessons));
        }
        Ok(())
    }

    /// Shows another item of the row.
    pub fn show_item(&mut self, at: usize) {
        let quiz = match self.step() {
            Step::Recall => &mut self.recall,
            Step::Exit => &mut self.exit,
            _ => return,
        };
        if at < quiz.items.len() {
            quiz.at = at;
        }
    }

    /// Takes the exit check again, with fresh numbers.
    pub fn exit_again(&mut self, lesson: &Lesson) {
        self.attempt += 1;
        self.exit = Quiz::exit(lesson, self.learner, self.attempt);
        if let Some(at) = self.steps.iter().position(|step| *step == Step::Exit) {
            self.go(at);
        }
    }
}
