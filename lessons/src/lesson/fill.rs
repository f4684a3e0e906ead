//! Numbers in the words: what stands in braces is worked out by the model, so that no text tells a number that the bench
//! does not show.
//!
//! `{five-lines.count}` is a reading of the run of a scene, `{bench.head.gap_um}` a setting at its start,
//! `{bench.period_mm}` a fact of its scale; sums are allowed, and `:2` behind one gives the decimals.

use super::expr::Expr;
use super::model::Lesson;
use super::slip::Slip;
use super::units::{self, Dimension, tidy};
use sim_core::bench::{self, Sim};
use sim_core::instrument::readings::{READINGS, Readings};
use sim_core::names::{ROWS, Setting, nearest_hint};
use sim_core::scene::Scene;
use std::collections::BTreeMap;
use std::ops::Range;

/// Decimals where none are asked for.
const DECIMALS: usize = 3;
/// What stands in the place of a number that nobody has worked out.
pub const UNKNOWN: char = '\u{2026}';
/// Most decimals.
const MOST: usize = 6;

/// A fact of a bench that is no setting: name, and the number at the start of a scene.
type Fact = (&'static str, fn(&Sim) -> f64);

const FACTS: [Fact; 6] = [
    ("period_mm", |sim| sim.params().scale.period_m * 1e3),
    ("period_um", |sim| sim.params().scale.period_m * 1e6),
    ("count_mm", |sim| sim.params().metres_per_count() * 1e3),
    ("count_um", |sim| sim.params().metres_per_count() * 1e6),
    ("travel_mm", |sim| sim.params().machine.travel * 1e3),
    ("switch_mv", |sim| 1e3 * (sim.params().square.threshold_v + 0.5 * sim.params().square.hysteresis_v)),
];

/// The places of a text that are worked out: the braces with what is in them.
fn braces(text: &str) -> Vec<Range<usize>> {
    let mut found = Vec::new();
    let mut at = 0;
    while let Some(open) = text[at..].find('{') {
        let start = at + open;
        let end = text[start..].find('}').map_or(text.len(), |shut| start + shut + 1);
        found.push(start..end);
        at = end;
    }
    found
}

/// The sum in braces and the decimals that are asked for.
fn inside(text: &str, at: &Range<usize>) -> Result<(Expr, Option<usize>), Slip> {
    let Some(inner) = text[at.clone()].strip_prefix('{').and_then(|t| t.strip_suffix('}')) else {
        return Err(Slip::new(at.start..at.start + 1, "this brace is not closed", "write } behind the sum."));
    };
    let (sum, decimals) = inner.split_once(':').map_or((inner, None), |(sum, decimals)| (sum, Some(decimals)));
    let decimals = match decimals.map(|d| d.trim().parse::<usize>()) {
        None => None,
        Some(Ok(decimals)) if decimals <= MOST => Some(decimals),
        Some(_) => {
            let what = "behind : stands the number of decimals";
            return Err(Slip::new(at.clone(), what, "write a whole number from 0 to 6, as in {five.readout_mm:2}."));
        }
    };
    let sum = Expr::parse(sum).map_err(|slip| {
        let from = at.start + 1;
        Slip { at: from + slip.at.start..from + slip.at.end, ..slip }
    })?;
    Ok((sum, decimals))
}

/// Whether a name in braces is one that the scenes can give.
pub fn is_known(name: &str, scenes: &BTreeMap<String, Scene>) -> bool {
    name.split_once('.').is_some_and(|(scene, of)| {
        scenes.contains_key(scene)
            && (READINGS.iter().any(|row| row.name == of)
                || Setting::by_name(of).is_ok()
                || FACTS.iter().any(|(fact, _)| *fact == of))
    })
}

/// Checks all braces of a text.
///
/// # Errors
/// The first that cannot be read, or a name that nothing stands for.
pub fn check(
    text: &str,
    known: &dyn Fn(&str) -> bool,
    drawn: &[&str],
    scenes: &BTreeMap<String, Scene>,
) -> Result<(), Slip> {
    for at in braces(text) {
        let (sum, _) = inside(text, &at)?;
        for (name, place) in sum.names() {
            if known(name) {
                continue;
            }
            let place = at.start + 1 + place..at.start + 1 + place + name.len();
            let what = match name.split_once('.') {
                None if drawn.is_empty() => format!("\"{name}\" stands for nothing here"),
                None => format!("\"{name}\" is not drawn for this item; {}", nearest_hint(name, drawn.iter().copied())),
                Some((scene, _)) if !scenes.contains_key(scene) => {
                    let hint = nearest_hint(scene, scenes.keys().map(String::as_str));
                    format!("there is no scene \"{scene}\" in this folder; {hint}")
                }
                Some((_, of)) => {
                    let names = READINGS.iter().map(|r| r.name).chain(ROWS.iter().map(|r| r.name));
                    let hint = nearest_hint(of, names.chain(FACTS.iter().map(|f| f.0)));
                    format!("there is no reading, setting or fact \"{of}\"; {hint}")
                }
            };
            return Err(Slip::new(place, what, "write SCENE.NAME with a reading, a setting or a fact of that scene."));
        }
    }
    Ok(())
}

/// Numbers that the scenes of a lesson gave.
#[derive(Clone, Debug, Default)]
pub struct Numbers {
    values: BTreeMap<String, f64>,
}

impl Numbers {
    /// Works out everything that the words of a lesson name. Scenes of which a reading is told are run, so this takes
    /// a moment.
    #[must_use]
    pub fn of(lesson: &Lesson) -> Self {
        let mut numbers = Self::default();
        for (name, scene) in &lesson.scenes {
            let wanted = names_of(lesson, name);
            if wanted.is_empty() {
                continue;
            }
            let start = Sim::of_scene(scene);
            let mut readings = None;
            for of in wanted {
                let value = number_at_start(&start, &of).or_else(|| {
                    let readings = readings.get_or_insert_with(|| {
                        let mut readings = Readings::new(start.params());
                        bench::run_watched(scene, &mut readings);
                        readings
                    });
                    readings.figures().get(&of)
                });
                if let Some(value) = value {
                    numbers.values.insert(format!("{name}.{of}"), value);
                }
            }
        }
        numbers
    }

    /// The numbers by `scene.name`.
    #[must_use]
    pub fn values(&self) -> &BTreeMap<String, f64> {
        &self.values
    }

    /// Numbers that were worked out elsewhere.
    #[must_use]
    pub fn of_values(values: BTreeMap<String, f64>) -> Self {
        Self { values }
    }

    /// A text with its numbers; `more` gives the names that do not belong to scenes, such as those drawn for an item.
    /// Braces that cannot be worked out stay as [`UNKNOWN`].
    #[must_use]
    pub fn fill(&self, text: &str, more: &dyn Fn(&str) -> Option<f64>) -> String {
        let mut filled = String::new();
        let mut done = 0;
        for at in braces(text) {
            filled.push_str(&text[done..at.start]);
            done = at.end;
            let of = |name: &str| self.values.get(name).copied().or_else(|| more(name));
            let value = inside(text, &at).ok().and_then(|(sum, d)| Some((sum.value(&of).ok()?, d)));
            match value {
                Some((value, decimals)) => {
                    filled.push_str(&tidy(value, decimals.unwrap_or(DECIMALS)));
                    if stands_with_number(&text[done..]) {
                        filled.push('\u{a0}');
                        done += 1;
                    }
                }
                None => filled.push(UNKNOWN),
            }
        }
        filled.push_str(&text[done..]);
        filled
    }
}

/// Whether a gap and the sign of a unit follow, which stay on the line of the number.
fn stands_with_number(rest: &str) -> bool {
    let word = rest.strip_prefix(' ').map(|rest| rest.split_whitespace().next().unwrap_or_default());
    let sign = word.map(|word| word.trim_end_matches(['.', ',', ';', ':', '?', '!', ')'])).unwrap_or_default();
    let of = |sign: &str| units::by_name(&sign.replace('\u{3bc}', "\u{b5}"));
    // Pieces have words for units; those may stand on another line.
    sign == "%" || of(sign).is_some_and(|unit| unit.of != Dimension::Count)
}

/// A setting or a fact at the start of a scene.
fn number_at_start(sim: &Sim, of: &str) -> Option<f64> {
    let fact = FACTS.iter().find(|(fact, _)| *fact == of).map(|(_, number)| number(sim));
    fact.or_else(|| Setting::by_name(of).ok().and_then(|setting| setting.number(&sim.bench().setup)))
}

/// What the words of a lesson ask of a scene.
fn names_of(lesson: &Lesson, scene: &str) -> Vec<String> {
    let mut names = Vec::new();
    for block in lesson.texts.values().flat_map(|text| text.blocks()) {
        for text in [&block.title, &block.body] {
            for at in braces(text) {
                let Ok((sum, _)) = inside(text, &at) else { continue };
                let of = sum.names().filter_map(|(name, _)| name.split_once('.'));
                names.extend(of.filter(|(s, _)| *s == scene).map(|(_, of)| of.to_owned()));
            }
        }
    }
    names.sort();
    names.dedup();
    names
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn braces_are_filled_and_slips_are_found() {
        let numbers = Numbers { values: BTreeMap::from([("five.count".to_owned(), 5.0)]) };
        let more = |name: &str| (name == "n").then_some(7.0);
        assert_eq!(numbers.fill("{five.count} of {n * 2.5:1} and {n/3:2}.", &more), "5 of 17.5 and 2.33.");
        assert_eq!(numbers.fill("{nothing} {", &more), "\u{2026} \u{2026}");
        assert_eq!(numbers.fill("{n} mm, {n} lines, {n} %.", &more), "7\u{a0}mm, 7 lines, 7\u{a0}%.");
        let slip = |text: &str| check(text, &|name| name == "n", &["n"], &BTreeMap::new()).unwrap_err();
        assert!(slip("a {n").what.contains("not closed"));
        assert!(slip("a {n:x}").what.contains("decimals"));
        assert_eq!(slip("a {n + m}").at, 7..8);
        assert!(slip("a {five.count}").what.contains("no scene"));
        assert_eq!(check("a {n:0} b", &|name| name == "n", &["n"], &BTreeMap::new()), Ok(()));
    }
}
