//! The front matter of a lesson file as it stands, with places for messages.

use crate::tree::Spanned;
use serde::Deserialize;
use sim_core::numbers::Within;
use sim_core::scene::Timed;
use std::collections::BTreeMap;

/// A word with its place.
pub type Word = Spanned<String>;

/// The front matter of `lesson.en.md`: all that is graded.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Front {
    #[serde(rename = "format")]
    pub _format: u32,
    pub version: Word,
    pub minutes: Within<5, 120>,
    pub teaches: Vec<Word>,
    #[serde(default)]
    pub needs: Vec<Word>,
    pub bench: Word,
    #[serde(default)]
    pub predict: Vec<FrontPredict>,
    #[serde(default)]
    pub task: Vec<FrontTask>,
    #[serde(default)]
    pub exit: Vec<FrontExit>,
}

/// The front matter of another language: which version was translated.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Translated {
    #[serde(rename = "format")]
    pub _format: u32,
    pub of: Word,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FrontPredict {
    pub id: Word,
    #[serde(default)]
    pub checks: Vec<Word>,
    pub show: Word,
    #[serde(default)]
    pub wrong: Vec<FrontWrong>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FrontWrong {
    pub id: Word,
    pub believes: Option<Word>,
    pub show: Option<Word>,
    /// Of an exit item: the wrong number.
    pub value: Option<Word>,
    /// Of a choice: when this option is right.
    pub when: Option<Word>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FrontTask {
    pub id: Word,
    #[serde(default)]
    pub checks: Vec<Word>,
    pub scene: Option<Word>,
    pub goal: Word,
    pub run_s: Spanned<Within<1, 3600>>,
    #[serde(default)]
    pub solution: Vec<Spanned<Timed>>,
    #[serde(default)]
    pub attempt: Vec<Spanned<Timed>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FrontExit {
    pub id: Word,
    #[serde(default)]
    pub checks: Vec<Word>,
    #[serde(default)]
    pub param: BTreeMap<String, Spanned<FrontParam>>,
    pub answer: Option<Word>,
    pub unit: Option<Word>,
    pub tolerance: Option<Word>,
    #[serde(default)]
    pub wrong: Vec<FrontWrong>,
    #[serde(default)]
    pub option: Vec<FrontWrong>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FrontParam {
    pub from: Option<f64>,
    pub to: Option<f64>,
    pub step: Option<f64>,
    #[serde(default)]
    pub choice: Vec<f64>,
}
