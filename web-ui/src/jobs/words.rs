//! What came of a job, as a short table of words and numbers.

use super::{Outcome, Recorded, Scanned, ScannedPlace, Surveyed, read_outcome};
use crate::later::later;

/// A row: what, and how much with its unit.
pub type Row = (String, String);

/// Names of readings end in their unit; this is how it is written on the sheet.
const UNITS: [(&str, &str); 17] = [
    ("_ohm", "Ω"),
    ("_bar", "bar"),
    ("_um_per_m", "µm/m"),
    ("_per_s", "1/s"),
    ("_percent", "%"),
    ("_deg", "°"),
    ("_mm", "mm"),
    ("_um", "µm"),
    ("_nm", "nm"),
    ("_mv", "mV"),
    ("_khz", "kHz"),
    ("_hz", "Hz"),
    ("_v", "V"),
    ("_a", "A"),
    ("_m", "m"),
    ("_s", "s"),
    ("_n", "N"),
];

later! {
    /// Reads an outcome and makes its table, fetched.
    pub fn table_later() -> fn(&str) -> Result<Vec<Row>, String>, in desk = |text| Ok(table(&read_outcome(text)?))
}

/// The table of an outcome.
pub fn table(outcome: &Outcome) -> Vec<Row> {
    match outcome {
        Outcome::Scanned(scanned) => of_scan(scanned),
        Outcome::Surveyed(surveyed) => of_survey(surveyed),
        Outcome::Recorded(recorded) => of_recording(recorded),
        // Call-outs have views of their own.
        Outcome::Call(_) => Vec::new(),
        Outcome::Lesson(numbers) => vec![row("numbers", numbers.values.len().to_string())],
    }
}

fn row(what: &str, how_much: String) -> Row {
    (what.to_owned(), how_much)
}

fn of_scan(scanned: &Scanned) -> Vec<Row> {
    let mut rows = vec![row("places measured", scanned.places.len().to_string())];
    let place = |p: &ScannedPlace| format!("{:.3} V at {:.1} mm", p.vector_v, p.at_mm);
    let by_vector = |a: &&ScannedPlace, b: &&ScannedPlace| a.vector_v.total_cmp(&b.vector_v);
    if let Some(weakest) = &scanned.weakest {
        rows.push(row("weakest signal", place(weakest)));
    }
    if let Some(strongest) = scanned.places.iter().max_by(by_vector) {
        rows.push(row("strongest signal", place(strongest)));
    }
    if let Some(slope) = scanned.slope_v_per_m {
        rows.push(row("growth along the travel", format!("{slope:+.3} V/m")));
    }
    for (name, what) in [("friction_a", "friction, as current"), ("lost_motion_um", "lost motion")] {
        if let Some(value) = scanned.figures.get(name) {
            rows.push(row(what, with_unit(name, *value)));
        }
    }
    rows.push(row("ended", scanned.stopped.clone().unwrap_or_else(|| "as planned".to_owned())));
    rows
}

fn of_survey(surveyed: &Surveyed) -> Vec<Row> {
    let (all, off) = (surveyed.figures.len(), surveyed.shifts.len());
    let mut rows = vec![row("readings", all.to_string()), row("unlike a healthy bench", off.to_string())];
    rows.extend(surveyed.shifts.iter().map(|(name, sign)| {
        let read = |of: &std::collections::BTreeMap<String, f64>| {
            of.get(name).map_or_else(|| "none".to_owned(), |value| with_unit(name, *value))
        };
        let words = if *sign == '!' && !surveyed.healthy.contains_key(name) {
            "ended differently".to_owned()
        } else {
            format!("{} instead of {}", read(&surveyed.figures), read(&surveyed.healthy))
        };
        (plain(name), words)
    }));
    rows.extend(surveyed.stops.iter().map(|(stage, words)| (format!("{stage}: ended by"), words.clone())));
    rows
}

fn of_recording(recorded: &Recorded) -> Vec<Row> {
    let mut rows = vec![row("rows", recorded.rows.to_string()), row("recorded to", format!("{:.3} s", recorded.end_s))];
    rows.extend(recorded.refused.iter().map(|why| row("refused", why.clone())));
    rows
}

fn unit_of(name: &str) -> Option<(&'static str, &'static str)> {
    UNITS.into_iter().find(|(ending, _)| name.ends_with(ending))
}

/// A reading's name in words: `slow.vector_v` is "slow: vector".
/// A reading's name in words, without its unit.
pub fn plain(name: &str) -> String {
    let name = unit_of(name).map_or(name, |(ending, _)| name.trim_end_matches(ending));
    name.replace('.', ": ").replace('_', " ")
}

/// A value to four digits with its unit.
pub fn with_unit(name: &str, value: f64) -> String {
    let whole_digits = value.abs().max(1e-9).log10().floor() as i32 + 1;
    let decimals = (4 - whole_digits).clamp(0, 4) as usize;
    let number = sim_core::event::fixed(value, decimals);
    unit_of(name).map_or_else(|| number.clone(), |(_, unit)| format!("{number} {unit}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_and_values_read_as_on_a_sheet() {
        assert_eq!(plain("slow.vector_v"), "slow: vector");
        assert_eq!(plain("motor.mismatch_um_per_m"), "motor: mismatch");
        assert_eq!(plain("home.referenced"), "home: referenced");
        assert_eq!(with_unit("slow.vector_v", 0.48123), "0.4812 V");
        assert_eq!(with_unit("mismatch_um_per_m", -1234.56), "-1235 µm/m");
        assert_eq!(with_unit("illegal_transitions", 3.0), "3.000");
        assert_eq!(with_unit("lost_motion_um", 0.0), "0.0000 µm");
    }
}
