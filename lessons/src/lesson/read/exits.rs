//! Exit items, made from the front matter.

use super::front::{FrontExit, FrontParam, FrontWrong, Word};
use super::{Around, Read};
use crate::lesson::draw;
use crate::lesson::expr::Expr;
use crate::lesson::model::{Exit, ExitKind, Param, Tolerance, Wrong};
use crate::lesson::units::{self, UNITS, Unit};
use crate::tree::Spanned;
use sim_core::names::nearest_hint;

/// Most values of one drawn number.
const MOST_VALUES: usize = 1000;

impl Around<'_> {
    pub fn exit(&self, e: &FrontExit) -> Read<Exit> {
        let params = e.param.iter().map(|(name, param)| self.param(name, param)).collect::<Read<Vec<Param>>>()?;
        let kind = match (&e.answer, e.option.is_empty()) {
            (Some(answer), true) => self.number(e, answer, &params)?,
            (None, false) => self.choice(e, &params)?,
            _ => {
                let what =
                    format!("the item \"{}\" must ask for a number or offer answers, one of the two", e.id.get_ref());
                return Err(self.fault(
                    e.id.span(),
                    what,
                    "write answer = \"...\", or two or more tables [[exit.option]].",
                ));
            }
        };
        let exit = Exit { id: e.id.get_ref().clone(), checks: self.competencies(&e.checks)?, params, kind };
        match draw::fault_of(&exit) {
            Some(why) => Err(self.fault(e.id.span(), why, "change the drawn numbers or the sums.")),
            None => Ok(exit),
        }
    }

    fn param(&self, name: &str, param: &Spanned<FrontParam>) -> Read<Param> {
        let fault = |what: &str, mend: &str| Err(self.fault(param.span(), format!("{name}: {what}"), mend));
        let good = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_';
        if !name.starts_with(|c: char| c.is_ascii_lowercase()) || !name.chars().all(good) || name == "answer" {
            return fault("this is no name for a drawn number", "use small letters, digits and _, as pitch_mm.");
        }
        let p = param.get_ref();
        let values = match (p.from, p.to, p.step, p.choice.is_empty()) {
            (None, None, None, false) => p.choice.clone(),
            (Some(from), Some(to), Some(step), true) => {
                let count = ((to - from) / step + 1e-6).floor();
                if step <= 0.0 || !(1.0..MOST_VALUES as f64).contains(&count) {
                    return fault(
                        "from, to and step give no range",
                        "write from below to, and a step that fits in between, 999 times at most.",
                    );
                }
                (0..=count as u32).map(|i| from + f64::from(i) * step).collect()
            }
            _ => {
                return fault(
                    "what it may be is not said",
                    "write { from = 1, to = 9, step = 1 } or { choice = [1, 2] }.",
                );
            }
        };
        if values.iter().any(|n| !n.is_finite()) || values.len() > MOST_VALUES {
            return fault("a value is no finite number, or there are too many", "write up to 1000 plain numbers.");
        }
        Ok(Param { name: name.to_owned(), values })
    }

    fn number(&self, e: &FrontExit, answer: &Word, params: &[Param]) -> Read<ExitKind> {
        let (Some(unit), Some(tolerance)) = (&e.unit, &e.tolerance) else {
            let what = format!("the item \"{}\" does not say in which unit and how exactly", e.id.get_ref());
            return Err(self.fault(e.id.span(), what, "write unit = \"mm\" and tolerance = \"1 %\"."));
        };
        let unit = self.unit(unit)?;
        let wrongs = e.wrong.iter().map(|w| {
            let Some(value) = &w.value else {
                let what = format!("the wrong answer \"{}\" has no value", w.id.get_ref());
                return Err(self.fault(w.id.span(), what, "write value = \"...\" with the sum that leads to it."));
            };
            Ok((self.wrong(w, &e.wrong)?, self.sum(value, params)?))
        });
        Ok(ExitKind::Number {
            answer: self.sum(answer, params)?,
            unit,
            tolerance: self.tolerance(tolerance, unit)?,
            wrongs: wrongs.collect::<Read<_>>()?,
        })
    }

    fn choice(&self, e: &FrontExit, params: &[Param]) -> Read<ExitKind> {
        if let Some(word) = e.unit.as_ref().or(e.tolerance.as_ref()).or(e.wrong.first().map(|w| &w.id)) {
            let what = "this belongs to an item that asks for a number";
            return Err(self.fault(word.span(), what, "take it out, or ask for a number with answer."));
        }
        if e.option.len() < 2 {
            let what = format!("the item \"{}\" offers only one answer", e.id.get_ref());
            return Err(self.fault(e.id.span(), what, "write a table [[exit.option]] for each answer."));
        }
        let option = |o: &FrontWrong| -> Read<(Wrong, Expr)> {
            let Some(when) = &o.when else {
                let what = format!("nothing says when the answer \"{}\" is right", o.id.get_ref());
                return Err(self.fault(o.id.span(), what, "write when = \"...\" with a comparison, such as n > 5."));
            };
            Ok((self.wrong(o, &e.option)?, self.sum(when, params)?))
        };
        Ok(ExitKind::Choice(e.option.iter().map(option).collect::<Read<_>>()?))
    }

    fn unit(&self, word: &Word) -> Read<&'static Unit> {
        units::by_name(word.get_ref()).ok_or_else(|| {
            let hint = nearest_hint(word.get_ref(), UNITS.iter().map(|u| u.name));
            self.fault(
                word.span(),
                format!("there is no unit \"{}\"; {hint}", word.get_ref()),
                "use one of these units.",
            )
        })
    }

    fn tolerance(&self, word: &Word, unit: &Unit) -> Read<Tolerance> {
        let (number, what) = word.get_ref().trim().split_once(' ').unwrap_or((word.get_ref(), unit.name));
        let number = number.parse::<f64>().ok().filter(|n| n.is_finite() && *n >= 0.0);
        match (number, what.trim()) {
            (Some(n), "%") if n <= 50.0 && unit.name != "%" => Ok(Tolerance::Share(n / 100.0)),
            (Some(n), of) if of == unit.name => Ok(Tolerance::Absolute(n)),
            _ => {
                let what = format!("\"{}\" is no tolerance", word.get_ref());
                let mend = format!(
                    "write a share up to 50 % as \"1 %\", or a number in the item's unit as \"0.1 {}\".",
                    unit.name
                );
                Err(self.fault(word.span(), what, &mend))
            }
        }
    }

    fn sum(&self, word: &Word, params: &[Param]) -> Read<Expr> {
        let sum = Expr::parse(word.get_ref()).map_err(|slip| self.inner(word, &slip))?;
        let unknown = sum.names().find(|(name, _)| !params.iter().any(|p| p.name == *name));
        match unknown {
            None => Ok(sum),
            Some((name, at)) => {
                let hint = if params.is_empty() {
                    "nothing is drawn for this item".to_owned()
                } else {
                    nearest_hint(name, params.iter().map(|p| p.name.as_str()))
                };
                let what = format!("\"{name}\" is not drawn here; {hint}");
                let mend = "use the names that stand behind param.";
                Err(self.inner(word, &crate::lesson::slip::Slip::new(at..at + name.len(), what, mend)))
            }
        }
    }
}
