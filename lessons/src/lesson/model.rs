//! A lesson, read and checked.

use super::expr::Expr;
use super::goal::Goal;
use super::ids::{Competency, Misconception};
use super::text::Text;
use super::units::Unit;
use sim_core::scene::{Scene, Timed};
use std::collections::BTreeMap;

/// A lesson.
#[derive(Clone, Debug)]
pub struct Lesson {
    /// Name of its folder: the stable id. Lessons come in the order of their ids.
    pub id: String,
    /// Version of its content: `1.0.0`.
    pub version: String,
    /// How long it takes, minutes.
    pub minutes: f64,
    /// Competencies that it teaches.
    pub teaches: Vec<&'static Competency>,
    /// Competencies that it builds on.
    pub needs: Vec<&'static Competency>,
    /// Scene with which it opens.
    pub bench: String,
    /// Questions to be answered before anything is done.
    pub predicts: Vec<Predict>,
    /// What is done on the bench.
    pub tasks: Vec<Task>,
    /// What the exit check draws from.
    pub exits: Vec<Exit>,
    /// Its words by language; `en` is always there.
    pub texts: BTreeMap<String, Text>,
    /// Its scenes by name.
    pub scenes: BTreeMap<String, Scene>,
}

impl Lesson {
    /// Its words in a language, or in English.
    pub fn text(&self, language: &str) -> &Text {
        static NONE: std::sync::LazyLock<Text> = std::sync::LazyLock::new(Text::default);
        self.texts.get(language).or_else(|| self.texts.get("en")).unwrap_or(&NONE)
    }

    /// Its title in English.
    pub fn title(&self) -> &str {
        self.text("en").title("title")
    }

    /// Everything that answers a wrong answer, with the id of its words.
    pub fn answers(&self) -> impl Iterator<Item = (String, &Wrong)> {
        let predicts = self.predicts.iter().flat_map(|p| p.wrongs.iter().map(|w| (format!("{}.{}", p.id, w.id), w)));
        let exits = self.exits.iter().flat_map(|e| e.wrongs().map(|w| (format!("{}.{}", e.id, w.id), w)));
        predicts.chain(exits)
    }

    /// The competencies that are checked here, with the part that does it.
    pub fn checks(&self) -> impl Iterator<Item = (&'static Competency, &str)> {
        let predicts = self.predicts.iter().map(|p| (&p.checks, p.id.as_str()));
        let tasks = self.tasks.iter().map(|t| (&t.checks, t.id.as_str()));
        let exits = self.exits.iter().map(|e| (&e.checks, e.id.as_str()));
        predicts.chain(tasks).chain(exits).flat_map(|(checks, id)| checks.iter().map(move |k| (*k, id)))
    }
}

/// A question that is answered before the bench is touched.
#[derive(Clone, Debug)]
pub struct Predict {
    /// Id within the lesson.
    pub id: String,
    /// Competencies that it checks.
    pub checks: Vec<&'static Competency>,
    /// Scene that shows the right answer.
    pub show: String,
    /// Wrong answers.
    pub wrongs: Vec<Wrong>,
}

/// A wrong answer and what answers it. Its words stand below `part.id`.
#[derive(Clone, Debug)]
pub struct Wrong {
    /// Id within its part.
    pub id: String,
    /// The belief behind it.
    pub believes: Option<&'static Misconception>,
    /// Scene that breaks the belief.
    pub show: Option<String>,
}

/// Something to be done on the bench.
#[derive(Clone, Debug)]
pub struct Task {
    /// Id within the lesson.
    pub id: String,
    /// Competencies that it checks.
    pub checks: Vec<&'static Competency>,
    /// Scene that it starts from.
    pub scene: String,
    /// What must be measured.
    pub goal: Goal,
    /// How long its scripts run, s.
    pub run_s: f64,
    /// A script that meets the goal.
    pub solution: Vec<Timed>,
    /// A script that does something and does not.
    pub attempt: Vec<Timed>,
}

/// A number that is drawn for each learner.
#[derive(Clone, Debug, PartialEq)]
pub struct Param {
    /// Its name in sums and words.
    pub name: String,
    /// All values that it may take.
    pub values: Vec<f64>,
}

/// An item of the exit check.
#[derive(Clone, Debug)]
pub struct Exit {
    /// Id within the lesson.
    pub id: String,
    /// Competencies that it checks.
    pub checks: Vec<&'static Competency>,
    /// What is drawn.
    pub params: Vec<Param>,
    /// What is asked for.
    pub kind: ExitKind,
}

/// What an item asks for.
#[derive(Clone, Debug)]
pub enum ExitKind {
    /// A number.
    Number {
        /// The right one.
        answer: Expr,
        /// Its unit.
        unit: &'static Unit,
        /// How far an answer may be off.
        tolerance: Tolerance,
        /// Wrong numbers that tell of a belief.
        wrongs: Vec<(Wrong, Expr)>,
    },
    /// One of several answers; the one whose condition holds is right.
    Choice(Vec<(Wrong, Expr)>),
}

impl Exit {
    /// Everything that answers a wrong answer; of a choice every option does, when it is not the right one.
    pub fn wrongs(&self) -> impl Iterator<Item = &Wrong> {
        match &self.kind {
            ExitKind::Number { wrongs, .. } => wrongs,
            ExitKind::Choice(options) => options,
        }
        .iter()
        .map(|(wrong, _)| wrong)
    }
}

/// How far an answer may be off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Tolerance {
    /// By this share of the right number.
    Share(f64),
    /// By this much, in the unit of the item.
    Absolute(f64),
}

impl Tolerance {
    /// Whether an answer is near enough.
    pub fn takes(self, answer: f64, right: f64) -> bool {
        let most = match self {
            Self::Share(share) => share * right.abs(),
            Self::Absolute(most) => most,
        };
        (answer - right).abs() <= most + 1e-9 * right.abs().max(1e-9)
    }
}
