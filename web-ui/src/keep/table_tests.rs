use super::*;
use crate::lab::Lab;
use sim_core::bench::Sim;

/// RFC 4180 read back by the crate csv: heading, and rows of numbers (empty fields are `None`).
fn read(text: &str) -> (Vec<String>, Vec<Vec<Option<f64>>>) {
    assert!(text.ends_with("\r\n") && text.matches('\n').count() == text.matches("\r\n").count(), "lines end in CR LF");
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let heading = reader.headers().expect("a heading").iter().map(str::to_owned).collect();
    let number = |cell: &str| if cell.is_empty() { None } else { Some(cell.parse().expect("a number")) };
    let rows = reader.records().map(|row| row.expect("a row").iter().map(number).collect()).collect();
    (heading, rows)
}

fn lab(id: &str) -> Lab {
    let shipped = lessons::shipped_by_name(id).expect("it is shipped");
    let mut lab = Lab::new(id, lessons::read(id, shipped.text).expect("a scene"));
    lab.clock.pause_at_alarm = false;
    lab.clock.set_pace(0);
    lab
}

#[test]
fn tables_hold_what_the_model_recorded() {
    let mut lab = lab("wide-smear");
    lab.advance(19_000);
    let (record, charts) = (*lab.sim().record(), lab.charts(COLUMNS));
    let (heading, rows) = read(&table(&lab, Trace::Channels));
    assert_eq!(heading, ["time_s", "a_least_v", "a_greatest_v", "b_least_v", "b_greatest_v"]);
    assert_eq!(rows.len(), charts.trace.a_v.len());
    for (row, (a, b)) in rows.iter().zip(charts.trace.a_v.iter().zip(&charts.trace.b_v)) {
        for (cell, value) in row[1..].iter().zip([a.min, a.max, b.min, b.max]) {
            assert!((cell.expect("a value") - value).abs() < 1e-9);
        }
    }
    let last_s = rows.last().and_then(|row| row[0]).expect("a time");
    assert!((last_s - lab.shown_s()).abs() < 1e-9, "{last_s}");

    let (heading, rows) = read(&table(&lab, Trace::Error));
    assert_eq!(heading[1..3], ["error_least_mm", "error_greatest_mm"]);
    let last = rows.last().expect("a row");
    let error_mm = record.error_m * 1e3;
    assert!(
        last[1].expect("least") - 0.05 <= error_mm && error_mm <= last[2].expect("greatest") + 0.05,
        "{last:?} {error_mm}"
    );

    // From standing to now the counts of all rows are the count, but for those of the slice that is not full yet.
    let (_, rows) = read(&table(&lab, Trace::Counts));
    let counted: f64 = rows.iter().map(|row| row[3].expect("counts")).sum();
    let made = (record.count - Sim::of_scene(lab.scene()).record().count) as f64;
    let in_a_slice = lab.window_s() / charts.columns as f64 * 20.0 / 60.0 / lab.sim().params().metres_per_count();
    assert!(made > 10.0 * in_a_slice && (made - counted).abs() <= in_a_slice, "{made} {counted} {in_a_slice}");
    assert!(rows.iter().all(|row| row[1..3].iter().all(|level| matches!(level, Some(l) if *l == 0.0 || *l == 1.0))));

    let (heading, rows) = read(&table(&lab, Trace::Figure));
    assert_eq!((heading, rows.len()), (vec!["a_v".to_owned(), "b_v".to_owned()], lab.xy().points_v.len()));
}

#[test]
fn a_channel_that_is_not_there_has_empty_fields() {
    let mut lab = lab("one-sensor");
    lab.advance(4000);
    for (trace, column) in [(Trace::Channels, 3), (Trace::Counts, 2)] {
        let (_, rows) = read(&table(&lab, trace));
        assert!(!rows.is_empty() && rows.iter().all(|row| row[column].is_none()));
    }
}
