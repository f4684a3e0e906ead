//! What the instruments show, in words with numbers, for people who cannot see the pictures.

use super::Lab;
use super::measured::{Verdict, time_text, way_text};
use super::sweeps::TriggerOn;
use crate::draw::instrument_view::{CountView, FigureView, TravelView};
use crate::draw::numbers::{fixed, signed};

impl Lab {
    /// The traces: sizes with what is needed, trigger, cursors.
    pub fn traces_words(&self) -> String {
        let mut out = String::from("Channels A and B over time.");
        for m in self.measures() {
            let said = match m.verdict {
                Verdict::Enough(need) => format!(", enough, needs {need}"),
                Verdict::Short(need) => format!(", too little, needs {need}"),
                Verdict::Plain => String::new(),
            };
            out.push_str(&format!(" {}: {}{said}.", m.name, m.value));
        }
        let sweeps = &self.instruments().sweeps;
        match sweeps.on() {
            TriggerOn::Free => out.push_str(" The traces run on with the time."),
            on => {
                out.push_str(&format!(" Each sweep starts at: {}; {} of them kept.", on.words(), sweeps.shown().len()))
            }
        }
        if sweeps.held.is_some() {
            out.push_str(" Held.");
        }
        if let Some(c) = self.cursors() {
            let way = c.dx_m.map_or(String::new(), |x| format!(", the table went {}", way_text(x)));
            out.push_str(&format!(" Between the cursors {}{way}.", time_text(c.dt_s)));
        }
        out
    }

    /// Following error, count and table.
    pub fn loop_words(&self) -> String {
        let r = self.shown();
        let mm = |m: f64| fixed(m * 1e3, 2);
        format!(
            "Command {} mm, count {} mm, table {} mm. Following error {} mm, on the healthy bench {} mm, allowed {} to {} mm. Speed {} m/min, commanded {} m/min.",
            mm(r.command_m),
            mm(r.counted_m),
            mm(r.table_m),
            mm(r.error_m),
            mm(r.expected_m),
            mm(r.band_m.0),
            mm(r.band_m.1),
            fixed(r.speed_mps * 60.0, 2),
            fixed(r.command_mps * 60.0, 2)
        )
    }
}

/// The count strip: count, way, levels, what could not be told.
pub fn count_words(view: &CountView) -> String {
    let level = |high: bool| if high { "high" } else { "low" };
    let way = match view.direction {
        1.. => "up",
        0 => "not moved yet",
        _ => "down",
    };
    let b = if view.has_b { format!(", B {}", level(view.state.1)) } else { ", B is not plugged in".to_owned() };
    format!(
        "Count {}, {way}. A {}{b}. {} counts a squared period, {} each. {}",
        fixed(view.count as f64, 0),
        level(view.state.0),
        view.per_period,
        way_text(view.count_m).trim_start_matches('+'),
        illegal_words(view.illegal)
    )
}

/// How often both channels changed at once.
pub fn illegal_words(illegal: u64) -> String {
    match illegal {
        0 => "Both never changed at once.".to_owned(),
        1 => "Once both changed at once: which way could not be told.".to_owned(),
        n => format!("{n} times both changed at once: which way could not be told."),
    }
}

/// The figure: its numbers with their units, one after the other; or why there are none.
pub fn figure_rows(view: &FigureView) -> Result<Vec<(&'static str, String)>, String> {
    let fit = view.fit.as_ref().map_err(Clone::clone)?;
    let error = fit.error_m.map_or_else(
        || "the figure does not go round the middle".to_owned(),
        |m| format!("{} peak to peak", way_text(m).trim_start_matches('+')),
    );
    Ok(vec![
        ("offset", format!("A {} V, B {} V", signed(fit.offset_v[0], 3), signed(fit.offset_v[1], 3))),
        ("amplitude", format!("A {} V, B {} V", fixed(fit.radius_v[0], 3), fixed(fit.radius_v[1], 3))),
        ("A to B", fixed(fit.radius_v[0] / fit.radius_v[1], 3)),
        ("phase error", format!("{}\u{b0}", signed(fit.phase_error_rad.to_degrees(), 2))),
        ("position error in a period", error),
        ("left when corrected", format!("{} peak to peak", way_text(fit.left_m).trim_start_matches('+'))),
    ])
}

/// The travel: how much of it was passed, the weakest place, what is needed.
pub fn travel_words(view: &TravelView) -> String {
    let n = view.cells.len();
    let passed = view.cells.iter().flatten().count();
    let weakest = view.cells.iter().enumerate().filter_map(|(i, c)| {
        let c = (*c)?;
        Some((i, if view.has_b { c[0].min(c[1]) } else { c[0] }))
    });
    let weakest = weakest.min_by(|a, b| a.1.total_cmp(&b.1));
    let share = if n == 0 { 0.0 } else { passed as f64 / n as f64 * 100.0 };
    let need =
        format!("The input needs {} V, the healthy bench has {} V.", fixed(view.need_v, 2), fixed(view.healthy_v, 2));
    match weakest {
        None => format!("Amplitude over the travel: nothing travelled yet. {need}"),
        Some((i, v)) => {
            let at_m = view.span_m.0 + (i as f64 + 0.5) / n as f64 * (view.span_m.1 - view.span_m.0);
            let verdict = if v < view.need_v { "too weak" } else { "enough" };
            format!(
                "Amplitude over the travel: {} % travelled; weakest {} V at {} mm, {verdict}. {need}",
                fixed(share, 0),
                fixed(v, 2),
                fixed(at_m * 1e3, 0)
            )
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_words_tell_what_the_pictures_show() {
        let shipped = lessons::shipped_by_name("wide-smear").unwrap();
        let mut lab = Lab::new("wide-smear", lessons::read("wide-smear", shipped.text).unwrap());
        lab.clock.pause_at_alarm = false;
        assert!(travel_words(&lab.travel_view()).contains("nothing travelled yet"));
        lab.advance((0.95 / 50e-6) as u64);
        let rows = figure_rows(&lab.figure_view()).expect("a figure");
        assert_eq!(rows.len(), 6);
        assert!(rows[2].1.starts_with("1.0") || rows[2].1.starts_with("0.9"), "{rows:?}");
        lab.advance((0.1 / 50e-6) as u64);
        let travel = travel_words(&lab.travel_view());
        assert!(travel.contains("too weak") && travel.contains("mm"), "{travel}");
        let count = count_words(&lab.count_view(600));
        assert!(count.contains("4 counts a squared period") && count.contains("never changed at once"), "{count}");
        assert!(lab.loop_words().contains("Following error"));
        assert!(lab.traces_words().contains("peak to peak"));
    }
}
