//! The exit check: numbers drawn for each learner, and answers judged.

use super::model::{Exit, ExitKind, Lesson, Wrong};
use super::units::{self, Unit};
use sim_core::num::random::Stream;
use std::collections::BTreeMap;

/// Items of one exit check.
pub const ITEMS: usize = 5;
/// Right answers that open the next lesson.
pub const ENOUGH: usize = 4;
/// How often numbers are drawn again where a wrong answer would be as good as the right one.
const REDRAWS: u32 = 100;

/// The numbers drawn for one item.
pub type Drawn = BTreeMap<String, f64>;

/// An item with its numbers.
#[derive(Clone, Debug)]
pub struct Item<'a> {
    /// What it was drawn from.
    pub exit: &'a Exit,
    /// Its numbers.
    pub drawn: Drawn,
}

/// What an answer is.
#[derive(Clone, Debug)]
pub enum Judged<'a> {
    /// Right.
    Right,
    /// Wrong, in a way that tells why.
    Known(&'a Wrong),
    /// Wrong.
    Wrong,
    /// Not an answer; why, in words.
    Unreadable(String),
}

/// The five items of a learner's exit check; the same learner and attempt give the same numbers everywhere.
pub fn items<'a>(lesson: &'a Lesson, learner: u32, attempt: u32) -> Vec<Item<'a>> {
    let item = |i: usize| {
        let exit = &lesson.exits[(i + attempt as usize) % lesson.exits.len()];
        let name = format!("{}/{}/{i}/{attempt}", lesson.id, exit.id);
        Item { exit, drawn: draw(exit, learner, &name) }
    };
    if lesson.exits.is_empty() { Vec::new() } else { (0..ITEMS).map(item).collect() }
}

/// One item alone, for recall in a later lesson.
pub fn item<'a>(lesson: &Lesson, exit: &'a Exit, learner: u32, day: u32) -> Item<'a> {
    let name = format!("{}/{}/recall/{day}", lesson.id, exit.id);
    Item { exit, drawn: draw(exit, learner, &name) }
}

fn draw(exit: &Exit, learner: u32, name: &str) -> Drawn {
    let mut stream = Stream::named(u64::from(learner), name);
    let mut drawn = Drawn::new();
    for _ in 0..REDRAWS {
        drawn = exit
            .params
            .iter()
            .map(|p| {
                let i = (stream.uniform() * p.values.len() as f64) as usize;
                (p.name.clone(), p.values[i.min(p.values.len() - 1)])
            })
            .collect();
        // An answer out of several is right or not, whatever is drawn: that is no matter of luck.
        if matches!(exit.kind, ExitKind::Choice(_)) || is_clear(exit, &drawn) {
            break;
        }
    }
    drawn
}

/// Whether right and wrong are apart with these numbers.
fn is_clear(exit: &Exit, drawn: &Drawn) -> bool {
    let of = |name: &str| drawn.get(name).copied();
    match &exit.kind {
        ExitKind::Number { answer, tolerance, wrongs, .. } => answer.value(&of).is_ok_and(|right| {
            wrongs.iter().all(|(_, sum)| sum.value(&of).is_ok_and(|wrong| !tolerance.takes(wrong, right)))
        }),
        ExitKind::Choice(options) => {
            options.iter().filter(|(_, when)| when.value(&of).is_ok_and(|holds| holds != 0.0)).count() == 1
        }
    }
}

/// What is wrong with an item whatever is drawn: numbers that never come apart, or an option that is never right.
pub fn fault_of(exit: &Exit) -> Option<String> {
    if exit.params.is_empty() {
        return Some("nothing is drawn, so every learner would get the same item".to_owned());
    }
    let draws: Vec<Drawn> = (0..200).map(|i| draw(exit, i, "check")).collect();
    let clear = draws.iter().filter(|drawn| is_clear(exit, drawn)).count();
    if clear < draws.len() {
        return Some(match &exit.kind {
            ExitKind::Number { .. } => "with some drawn numbers a wrong value is as good as the right one".to_owned(),
            ExitKind::Choice(_) => "with some drawn numbers not exactly one of the answers is right".to_owned(),
        });
    }
    let ExitKind::Choice(options) = &exit.kind else { return None };
    let never = options.iter().find(|(_, when)| {
        !draws.iter().any(|drawn| when.value(&|name| drawn.get(name).copied()).is_ok_and(|holds| holds != 0.0))
    });
    never.map(|(option, _)| format!("the answer \"{}\" is never right", option.id))
}

impl<'a> Item<'a> {
    /// The right number, in the unit of the item.
    pub fn right(&self) -> Option<f64> {
        match &self.exit.kind {
            ExitKind::Number { answer, .. } => answer.value(&|name| self.drawn.get(name).copied()).ok(),
            ExitKind::Choice(_) => None,
        }
    }

    /// The id of the right option.
    pub fn right_option(&self) -> Option<&'a str> {
        let ExitKind::Choice(options) = &self.exit.kind else { return None };
        let right = options
            .iter()
            .find(|(_, when)| when.value(&|name| self.drawn.get(name).copied()).is_ok_and(|holds| holds != 0.0));
        right.map(|(option, _)| option.id.as_str())
    }

    /// Judges an answer: a number as it was typed, or the id of an option.
    pub fn judge(&self, answer: &str) -> Judged<'a> {
        match &self.exit.kind {
            ExitKind::Choice(options) => {
                let chosen = options.iter().find(|(option, _)| option.id == answer.trim());
                match chosen {
                    None => Judged::Unreadable("Choose one of the answers.".to_owned()),
                    Some((option, _)) if self.right_option() == Some(&option.id) => Judged::Right,
                    Some((option, _)) => Judged::Known(option),
                }
            }
            ExitKind::Number { unit, tolerance, wrongs, .. } => {
                let number = match number(answer, unit) {
                    Ok(number) => number,
                    Err(why) => return Judged::Unreadable(why),
                };
                if self.right().is_some_and(|right| tolerance.takes(number, right)) {
                    return Judged::Right;
                }
                let of = |name: &str| self.drawn.get(name).copied();
                let known =
                    wrongs.iter().find(|(_, sum)| sum.value(&of).is_ok_and(|value| tolerance.takes(number, value)));
                known.map_or(Judged::Wrong, |(wrong, _)| Judged::Known(wrong))
            }
        }
    }
}

/// A typed number in the unit of the item: decimal point or comma, with or without a unit of the same kind behind it.
///
/// # Errors
/// Why it cannot be read, in words for the learner.
pub fn number(typed: &str, unit: &Unit) -> Result<f64, String> {
    let typed = typed.trim().replace('\u{2212}', "-").replace('\u{3bc}', "\u{b5}");
    let end = typed.find(|c: char| !(c.is_ascii_digit() || ".,-+ \u{a0}\u{202f}".contains(c))).unwrap_or(typed.len());
    let (digits, name) = typed.split_at(end);
    let digits: String = digits.chars().filter(|c| !c.is_whitespace()).collect();
    let marks = digits.chars().filter(|c| ".,".contains(*c)).count();
    if digits.is_empty() {
        return Err("Type a number.".to_owned());
    }
    if marks > 1 {
        return Err("Use one decimal point or comma, and nothing between the thousands.".to_owned());
    }
    let number = digits.replace(',', ".").parse::<f64>().ok().filter(|n| n.is_finite());
    let number = number.ok_or_else(|| format!("\u{201c}{digits}\u{201d} is no number."))?;
    if name.is_empty() {
        return Ok(number);
    }
    match units::by_name(name.trim()) {
        Some(given) if given == unit => Ok(number),
        Some(given) if given.of == unit.of => Ok(number * (given.factor / unit.factor)),
        Some(_) => Err(format!("The answer is wanted in {}.", unit.shown())),
        None => Err(format!(
            "\u{201c}{}\u{201d} is no unit that is known here; the answer is wanted in {}.",
            name.trim(),
            unit.name
        )),
    }
}
