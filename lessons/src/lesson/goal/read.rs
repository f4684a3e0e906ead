//! From the line to the goal.

use super::measure::{MEASURES, Measure, Takes};
use super::step;
use super::tokens::Tokens;
use super::{Condition, Goal, Over, Scope, Test, What};
use crate::lesson::slip::Slip;
use crate::lesson::units::{self, Dimension, Unit};
use crate::words;
use sim_core::monitor::MonitorKind;
use sim_core::names::nearest_hint;

type Read<T> = Result<T, Slip>;

pub(super) fn goal(text: &str) -> Read<Goal> {
    let mut tokens = Tokens::new(text);
    let mut conditions = vec![condition(&mut tokens)?];
    while tokens.take("and") {
        conditions.push(condition(&mut tokens)?);
    }
    if !tokens.rest().is_empty() {
        let span = tokens.next_span();
        let word = &text[span.clone()];
        let known = ["and", "after", "over", "both", "at", "within", "for"];
        let what = format!("\"{word}\" does not fit here; {}", nearest_hint(word, known.into_iter()));
        return Err(Slip::new(
            span,
            what,
            "join conditions with and; say on which run with after, over, both ways, at, within or for.",
        ));
    }
    Ok(Goal { text: text.to_owned(), conditions })
}

fn condition(tokens: &mut Tokens<'_>) -> Read<Condition> {
    let start = tokens.at();
    let what = what(tokens)?;
    let scope = scopes(tokens, &what)?;
    let fits = match (&what, scope.over) {
        (_, over) if scope.both_ways && !matches!(over, Over::Move(length_m) if length_m > 0.0) => {
            let mend = "write after move 5 mm both ways, the distance without a sign.";
            return Err(Slip::new(start..tokens.at(), "both ways is said of a move", mend));
        }
        (_, Over::Now) => Ok(()),
        (What::Measured { measure, .. } | What::Limit { measure, .. }, over) => fits(measure, over),
        _ => Err("only a measured quantity can be asked after a move, after strokes or over the travel"),
    };
    match fits {
        Ok(()) => Ok(Condition { what, scope }),
        Err(why) => Err(Slip::new(start..tokens.at(), why, "choose another measure, or leave this part out.")),
    }
}

/// Whether a measure can be judged over such a run.
fn fits(measure: &Measure, over: Over) -> Result<(), &'static str> {
    let home = measure.row.name == "home_shift";
    match over {
        Over::Travel(_) if !measure.row.along => Err("this is not measured at every place of the travel"),
        Over::Homings(_) if !home => Err("only home_shift is measured after homings"),
        Over::Move(_) | Over::Strokes(_) if home => Err("home_shift is measured after homings"),
        _ => Ok(()),
    }
}

fn what(tokens: &mut Tokens<'_>) -> Read<What> {
    if tokens.take("no fault") {
        return Ok(What::NoFault);
    }
    if tokens.take("referenced") {
        return Ok(What::Referenced);
    }
    if tokens.take("not done") {
        return Ok(What::Done { step: done(tokens)?, not: true });
    }
    if tokens.take("done") {
        return Ok(What::Done { step: done(tokens)?, not: false });
    }
    if tokens.take("fault (") {
        return fault(tokens);
    }
    let measure = measure(tokens)?;
    if let Some(passed) = limit(tokens, &measure)? {
        return Ok(What::Limit { measure, passed });
    }
    let (test, unit) = test(tokens, &measure)?;
    Ok(What::Measured { measure, test, unit })
}

fn done(tokens: &mut Tokens<'_>) -> Read<&'static str> {
    let at = tokens.at();
    let name = tokens.name();
    step::names().find(|step| *step == name).ok_or_else(|| {
        let what = format!("there is no step \"{name}\"; {}", nearest_hint(name, step::names()));
        Slip::new(at..at + name.len(), what, "write the name of a command or of a step.")
    })
}

fn fault(tokens: &mut Tokens<'_>) -> Read<What> {
    let at = tokens.at();
    let name = tokens.name();
    // Letters, digits and hyphens only, so the name needs no escape.
    let kind = serde_json::from_str::<MonitorKind>(&format!("\"{name}\"")).map_err(|why| {
        let (what, mend) = words::plain(&why.to_string(), "");
        Slip::new(at..at + name.len(), what, mend)
    })?;
    close(tokens, at)?;
    Ok(What::Fault(kind))
}

fn close(tokens: &mut Tokens<'_>, opened: usize) -> Read<()> {
    if tokens.take(")") {
        return Ok(());
    }
    Err(Slip::new(opened..tokens.at(), "the bracket is not closed", "write ) behind the name."))
}

fn measure(tokens: &mut Tokens<'_>) -> Read<Measure> {
    let at = tokens.at();
    let name = tokens.name();
    let Some(row) = MEASURES.iter().find(|row| row.name == name) else {
        let names = MEASURES.iter().map(|row| row.name).chain(["no fault", "done", "referenced"]);
        let what = if name.is_empty() {
            "a condition is expected here".to_owned()
        } else {
            format!("there is no measure \"{name}\"; {}", nearest_hint(name, names))
        };
        return Err(Slip::new(at..at + name.len(), what, "begin a condition with the name of a measure."));
    };
    let bracket = tokens.at();
    let open = tokens.take("(");
    let wanted = match row.takes {
        Takes::Nothing if !open => return Ok(Measure { row, channel: 0 }),
        Takes::Nothing => {
            return Err(Slip::new(
                bracket..bracket + 1,
                format!("{name} takes nothing in brackets"),
                "take the brackets away.",
            ));
        }
        Takes::Channel => format!("{name}(A) or {name}(B)"),
        Takes::Both => format!("{name}(A,B)"),
        Takes::End => format!("{name}(head) or {name}(drive)"),
    };
    let taken = match row.takes {
        _ if !open => None,
        Takes::Both => (tokens.take("A") && tokens.take(",") && tokens.take("B")).then_some(0),
        Takes::End if tokens.take("head") => Some(0),
        Takes::End => tokens.take("drive").then_some(1),
        _ if tokens.take("A") => Some(0),
        _ => tokens.take("B").then_some(1),
    };
    match taken {
        Some(channel) => {
            close(tokens, bracket)?;
            Ok(Measure { row, channel })
        }
        None => Err(Slip::new(at..tokens.at(), format!("{name} needs to know of what"), format!("write {wanted}."))),
    }
}

/// The word `limit` in place of a number; whether the limit must be passed.
fn limit(tokens: &mut Tokens<'_>, measure: &Measure) -> Read<Option<bool>> {
    let at = tokens.at();
    let passed = if tokens.take("< limit") || tokens.take("<= limit") {
        false
    } else if tokens.take("> limit") || tokens.take(">= limit") {
        true
    } else {
        return Ok(None);
    };
    if measure.has_limit() {
        return Ok(Some(passed));
    }
    let with: Vec<&str> =
        MEASURES.iter().filter(|row| Measure { row, channel: 0 }.has_limit()).map(|row| row.name).collect();
    let what = format!("the control watches no limit of {}; it watches one of {}", measure.row.name, with.join(", "));
    Err(Slip::new(at..tokens.at(), what, "write a number with its unit behind the sign."))
}

fn test(tokens: &mut Tokens<'_>, measure: &Measure) -> Read<(Test, &'static Unit)> {
    let at = tokens.at();
    let of = measure.row.of;
    let open = |low, high, low_in, high_in| Test { low, high, low_in, high_in };
    let raw = if tokens.take("in") {
        let (low, high) = range(tokens)?;
        open(low, high, true, true)
    } else if tokens.take("<=") {
        open(f64::NEG_INFINITY, tokens.number()?, true, true)
    } else if tokens.take("<") {
        open(f64::NEG_INFINITY, tokens.number()?, true, false)
    } else if tokens.take(">=") {
        open(tokens.number()?, f64::INFINITY, true, true)
    } else if tokens.take(">") {
        open(tokens.number()?, f64::INFINITY, false, true)
    } else if tokens.take("=") {
        let middle = tokens.number()?;
        let off = if tokens.take("+-") { tokens.number()?.abs() } else { 0.0 };
        open(middle - off, middle + off, true, true)
    } else {
        let span = tokens.next_span();
        let what = format!("{} is measured, but nothing says what it must be", measure.row.name);
        return Err(Slip::new(at..span.end.max(at), what, "write = 5, < 5, > 5 or in 4..6 behind it, with the unit."));
    };
    let unit = unit(tokens, of)?;
    let f = unit.factor;
    Ok((Test { low: raw.low * f, high: raw.high * f, ..raw }, unit))
}

fn range(tokens: &mut Tokens<'_>) -> Read<(f64, f64)> {
    let at = tokens.at();
    let low = tokens.number()?;
    if !tokens.take("..") {
        return Err(Slip::new(at..tokens.at(), "a range needs two ends", "write it as 45..55."));
    }
    let high = tokens.number()?;
    if low > high {
        return Err(Slip::new(
            at..tokens.at(),
            format!("the range runs from {low} down to {high}"),
            "write the smaller number first.",
        ));
    }
    Ok((low, high))
}

/// The unit behind a number; plain numbers need none.
fn unit(tokens: &mut Tokens<'_>, of: Dimension) -> Read<&'static Unit> {
    let rest = tokens.rest();
    let words = ["and", "after", "over", "both", "at", "within", "for"];
    let next = rest.split_whitespace().next().unwrap_or_default();
    if of == Dimension::Count && (next.is_empty() || words.contains(&next)) {
        return Ok(units::usual(of));
    }
    let at = tokens.at();
    let name = tokens.unit();
    let names = units::names_of(of);
    let allowed = if names.len() == 1 { names[0].to_owned() } else { format!("one of {}", names.join(", ")) };
    match units::by_name(name) {
        Some(unit) if unit.of == of => Ok(unit),
        _ if name.is_empty() || words.contains(&name) => Err(Slip::new(
            at..at + name.len(),
            "the unit is missing behind this number",
            format!("write {allowed} behind the number."),
        )),
        _ => Err(Slip::new(
            at..at + name.len(),
            format!("\"{name}\" is no unit of this"),
            format!("write {allowed} behind the number."),
        )),
    }
}

fn scopes(tokens: &mut Tokens<'_>, what: &What) -> Read<Scope> {
    let mut scope = Scope::default();
    loop {
        let at = tokens.at();
        let twice = |set: bool| if set { Err(at) } else { Ok(()) };
        let told = |at: usize| {
            Slip::new(
                at..at,
                "this part stands twice in one condition",
                "keep one of them, or join two conditions with and.",
            )
        };
        let over_set = scope.over != Over::Now;
        if matches!(what, What::Done { .. }) {
            return Ok(scope);
        }
        if tokens.take("after move") {
            twice(over_set).map_err(told)?;
            scope.over = Over::Move(with_unit(tokens, Dimension::Length)?);
        } else if tokens.take("after") {
            twice(over_set).map_err(told)?;
            scope.over = after(tokens)?;
        } else if tokens.take("over travel") {
            twice(over_set).map_err(told)?;
            scope.over = Over::Travel(None);
        } else if tokens.take("over") {
            twice(over_set).map_err(told)?;
            let (low, high) = range(tokens)?;
            let f = unit(tokens, Dimension::Length)?.factor;
            scope.over = Over::Travel(Some((low * f, high * f)));
        } else if tokens.take("both ways") {
            twice(scope.both_ways).map_err(told)?;
            scope.both_ways = true;
        } else if tokens.take("at") {
            twice(scope.at_mps.is_some()).map_err(told)?;
            scope.at_mps = Some(positive(tokens, Dimension::Speed)?);
        } else if tokens.take("within") {
            twice(scope.within_s.is_some()).map_err(told)?;
            scope.within_s = Some(positive(tokens, Dimension::Time)?);
        } else if tokens.take("for") {
            twice(scope.for_s.is_some()).map_err(told)?;
            scope.for_s = Some(positive(tokens, Dimension::Time)?);
        } else {
            return Ok(scope);
        }
    }
}

fn after(tokens: &mut Tokens<'_>) -> Read<Over> {
    let at = tokens.at();
    let number = tokens.number()?;
    if number.fract() != 0.0 || !(1.0..=1000.0).contains(&number) {
        return Err(Slip::new(
            at..tokens.at(),
            format!("{number} is not a number of times"),
            "write a whole number from 1 to 1000.",
        ));
    }
    let times = number as u32;
    if tokens.take("strokes") || tokens.take("stroke") {
        return Ok(Over::Strokes(times));
    }
    if tokens.take("homings") || tokens.take("homing") {
        return Ok(Over::Homings(times));
    }
    let span = tokens.next_span();
    Err(Slip::new(span, "after what?", "write after 10 strokes, after 3 homings or after move 5 mm."))
}

fn with_unit(tokens: &mut Tokens<'_>, of: Dimension) -> Read<f64> {
    let number = tokens.number()?;
    Ok(number * unit(tokens, of)?.factor)
}

fn positive(tokens: &mut Tokens<'_>, of: Dimension) -> Read<f64> {
    let at = tokens.at();
    let number = with_unit(tokens, of)?;
    if number > 0.0 {
        return Ok(number);
    }
    Err(Slip::new(at..tokens.at(), "this must be more than nothing", "write a number above 0."))
}
