//! What the charts show as a table for other programs: CSV after RFC 4180, the unit in the heading of each column.

use crate::draw::view::MinMax;
use crate::lab::{COLUMNS, Lab};

/// A trace that can be kept as a table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Trace {
    /// Channels A and B.
    Channels,
    /// Squared channels and counts.
    Counts,
    /// Following error with what is expected and allowed.
    Error,
    /// A against B.
    Figure,
}

impl Trace {
    /// All traces: key, and name on the sheet.
    pub const ALL: [(Trace, &'static str, &'static str); 4] = [
        (Trace::Channels, "channels", "Channels A and B"),
        (Trace::Counts, "counts", "Squared channels and counts"),
        (Trace::Error, "following-error", "Following error"),
        (Trace::Figure, "a-against-b", "A against B"),
    ];

    /// Its key in file names.
    pub fn key(self) -> &'static str {
        Self::ALL[self as usize].1
    }
}

/// The table of a trace over the window that the charts show, oldest row first. Rows are slices of time; of what swings
/// within a slice its least and greatest value are given.
pub fn table(lab: &Lab, trace: Trace) -> String {
    let charts = lab.charts(COLUMNS);
    let (t, e) = (&charts.trace, &charts.error);
    let slice_s = t.window_s / charts.columns.max(1) as f64;
    let rows = t.a_v.len();
    // A slice carries the time of its end, the newest the moment that is shown.
    let time = |i: usize| number(t.now_s - (rows - 1 - i) as f64 * slice_s);
    let range = |range: Option<&MinMax>, factor: f64| {
        range.map_or([String::new(), String::new()], |m| [number(m.min * factor), number(m.max * factor)])
    };
    let level = |high: bool| if high { "1" } else { "0" }.to_owned();
    match trace {
        Trace::Channels => csv_of(&["time_s", "a_least_v", "a_greatest_v", "b_least_v", "b_greatest_v"], rows, |i| {
            [vec![time(i)], range(t.a_v.get(i), 1.0).into(), range(t.b_v.get(i), 1.0).into()].concat()
        }),
        Trace::Counts => csv_of(&["time_s", "a_level", "b_level", "counts"], rows, |i| {
            let b = t.square_b.get(i).map(|s| level(s.high)).unwrap_or_default();
            vec![time(i), level(t.square_a[i].high), b, t.counts[i].to_string()]
        }),
        Trace::Error => {
            let heading =
                ["time_s", "error_least_mm", "error_greatest_mm", "expected_mm", "allowed_from_mm", "allowed_to_mm"];
            csv_of(&heading, e.error_m.len(), |i| {
                let (low, high) = e.band_m[i];
                let line = vec![number(e.expected_m[i] * 1e3), number(low * 1e3), number(high * 1e3)];
                [vec![time(i)], range(e.error_m.get(i), 1e3).into(), line].concat()
            })
        }
        Trace::Figure => {
            let points = lab.xy().points_v;
            csv_of(&["a_v", "b_v"], points.len(), |i| vec![number(points[i].0), number(points[i].1)])
        }
    }
}

/// A number with nine decimals, without the last bits of its unit conversion.
fn number(value: f64) -> String {
    let text = format!("{value:.9}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

fn csv_of(heading: &[&str], rows: usize, row: impl Fn(usize) -> Vec<String>) -> String {
    let mut writer = csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(Vec::new());
    // Writing to memory cannot fail, and every row has as many fields as the heading.
    let _ = writer.write_record(heading);
    for i in 0..rows {
        let _ = writer.write_record(row(i));
    }
    writer.into_inner().map(|bytes| String::from_utf8_lossy(&bytes).into_owned()).unwrap_or_default()
}

#[cfg(test)]
#[path = "table_tests.rs"]
mod tests;
