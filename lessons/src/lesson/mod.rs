//! Lessons: predict, do, explain. A lesson is a folder with words (`lesson.en.md`) and scenes (`*.toml`); nobody needs
//! a programming language to write one.
//!
//! [`read`] turns a folder into a [`Lesson`] or says which file and line is wrong, why, and how to mend it. [`all`] are
//! the lessons that come with the program. A [`Grader`] holds a task's [`Goal`] against the running bench, [`draw`] makes
//! the exit check, [`learner`] keeps what a learner can do and when to ask again, [`trial`] runs the scripts that prove a
//! lesson, [`course`] looks at all lessons together.

pub mod class;
pub mod code;
pub mod course;
pub mod draw;
pub mod expr;
pub mod fill;
pub mod goal;
pub mod grade;
pub mod ids;
pub mod learner;
mod library;
pub mod markup;
pub mod model;
mod read;
pub mod room;
pub mod session;
pub mod slip;
pub mod text;
pub mod trial;
pub mod units;

pub use crate::error::SceneError as LessonError;
pub use fill::Numbers;
pub use goal::Goal;
pub use grade::{Grader, Standing, State};
pub use library::{all, folders};
pub use model::{Exit, ExitKind, Lesson, Predict, Task, Wrong};
pub use read::{LESSON_FORMAT, LessonFile, read};
