//! What holds for all charts together: one time axis, everything inside its box, odd data.

use super::axes::TimeAxis;
use super::kit::Sheet;
use super::shape::{Fill, Hatch, Point, Shape, Step};
use super::tokens::{Ink, Pen};
use super::view::{ErrorView, Levels, MinMax, SquareColumn, TraceView, XyView};
use super::words::{ChartWords, TraceNotes};
use super::{channels, error, ruler, squares, svg, trace, xy};

const WORDS: ChartWords = ChartWords::ENGLISH;
const NOTES: TraceNotes = TraceNotes { a: "0.97 V", b: "a quarter period later", now: "0.12 V" };

/// A record whose columns are made by a function of their number.
fn record(n: usize, now_s: f64, window_s: f64, value: impl Fn(usize) -> f64) -> (TraceView, ErrorView) {
    let columns: Vec<MinMax> =
        (0..n).map(|i| MinMax { min: value(i).min(value(i + 1)), max: value(i).max(value(i + 1)) }).collect();
    let squares: Vec<SquareColumn> =
        (0..n).map(|i| SquareColumn { high: i % 7 < 3, busy: i % 7 == 0 || i > n / 2 }).collect();
    let alarm_s = Some(now_s - 0.25 * window_s);
    let view = TraceView {
        now_s,
        window_s,
        a_v: columns.clone(),
        b_v: columns.iter().map(|c| MinMax { min: -c.max, max: -c.min }).collect(),
        ghost_a_v: columns.iter().map(|c| MinMax { min: c.min - 0.3, max: c.max + 0.3 }).collect(),
        ghost_b_v: columns.clone(),
        square_a: squares.clone(),
        square_b: squares,
        counts: (0..n).map(|i| [0, 1, 0, -1, 3][i % 5]).collect(),
        blind: (0..n).map(|i| i > 2 * n / 3).collect(),
        range_v: (-1.2, 1.2),
        levels: Levels::Comparator { centre_v: 0.0, half_v: 0.2 },
        alarm_s,
    };
    let error = ErrorView {
        now_s,
        window_s,
        error_m: columns,
        expected_m: vec![1e-3; n],
        band_m: vec![(-2e-3, 4e-3); n],
        alarm_s,
        ghost: true,
    };
    (view, error)
}

fn swing(i: usize) -> f64 {
    (i as f64 * 0.13).sin()
}

fn drawn(k: f64, draw: impl FnOnce(&mut Sheet)) -> Vec<Shape> {
    let mut sheet = Sheet::new(k);
    draw(&mut sheet);
    sheet.finish()
}

fn points(shape: &Shape) -> Vec<Point> {
    match shape {
        Shape::Path { steps, .. } => steps
            .iter()
            .flat_map(|s| match *s {
                Step::Move(p) | Step::Line(p) => vec![p],
                Step::Curve(a, b, p) => vec![a, b, p],
                Step::Arc(c, r, from, to) => vec![(c.0 - r, c.1 - r), (c.0 + r, c.1 + r), (from, to)],
                Step::Close => vec![],
            })
            .collect(),
        Shape::Text { at, .. } => vec![*at],
        _ => vec![],
    }
}

/// Everything on one sheet, as the page sets it.
fn all_charts(view: &TraceView, error: &ErrorView, w: f64, h: f64, k: f64, columns: usize) -> [Vec<Shape>; 4] {
    let axis = TimeAxis::of(view, 0.0, w, k, columns);
    [
        drawn(k, |s| channels::draw(s, view, &axis, (0.0, h), &WORDS, &NOTES)),
        drawn(k, |s| squares::draw(s, view, &axis, (h, h), &WORDS)),
        drawn(k, |s| error::draw(s, error, &axis, (2.0 * h, h), &WORDS, 1e3)),
        drawn(k, |s| ruler::draw(s, &axis, 3.0 * h, &WORDS)),
    ]
}

fn is_data(shape: &Shape) -> bool {
    let inks = [Ink::A, Ink::B];
    match shape {
        Shape::Path { pen: Some(pen), .. } => inks.contains(&pen.ink) || *pen == Pen::GHOST || *pen == Pen::ERROR,
        Shape::Path { fill: Some(Fill::Flat(ink, _)), .. } => inks.contains(ink),
        Shape::Path { fill: Some(Fill::Hatch(Hatch::Over)), .. } => true,
        _ => false,
    }
}

#[test]
fn every_column_lands_inside_its_box() {
    for (w, h, k) in [(300.0, 60.0, 1.0), (300.0, 60.0, 1.6), (520.0, 160.0, 1.0), (1100.0, 260.0, 1.6)] {
        for n in [1, 2, 90, 500, 1000, 1400] {
            let (view, error) = record(n, 12.0, 0.04, |i| 1.5 * swing(i));
            let axis = TimeAxis::of(&view, 0.0, w, k, 1000);
            let charts = all_charts(&view, &error, w, h, k, 1000);
            for (row, shapes) in charts.iter().take(3).enumerate() {
                let (top, bottom) = (row as f64 * h - 0.01, (row + 1) as f64 * h + 0.01);
                let mut seen = 0;
                for p in shapes.iter().filter(|s| is_data(s)).flat_map(points) {
                    assert!(
                        (axis.left - 0.01..=axis.right() + 0.01).contains(&p.0),
                        "{w} {h} {k} {n} chart {row}: {p:?}"
                    );
                    assert!((top..=bottom).contains(&p.1), "{w} {h} {k} {n} chart {row}: {p:?}");
                    seen += 1;
                }
                assert!(seen > 0, "chart {row} with {n} columns drew no data");
            }
        }
    }
}

#[test]
fn the_alarm_stands_at_one_place_in_all_charts_and_on_the_ruler() {
    let (view, error) = record(480, 12.494, 0.04, swing);
    let axis = TimeAxis::of(&view, 30.0, 700.0, 1.0, 480);
    let wanted = axis.left + 0.75 * axis.width;
    for (name, shapes) in ["channels", "squares", "error"].iter().zip(all_charts_at(&view, &error, &axis)) {
        let lines: Vec<Vec<Point>> = shapes
            .iter()
            .filter(|s| matches!(s, Shape::Path { pen: Some(pen), .. } if *pen == Pen::FAULT_THIN))
            .map(points)
            .collect();
        assert_eq!(lines.len(), 1, "{name}");
        assert!(lines[0].iter().all(|p| (p.0 - wanted).abs() < 1e-6), "{name}: {lines:?}");
    }
    let ruler = drawn(1.0, |s| ruler::draw(s, &axis, 300.0, &WORDS));
    let label =
        ruler.iter().find(|s| matches!(s, Shape::Text { text, .. } if text == "alarm")).expect("the alarm is named");
    assert!((points(label)[0].0 - wanted).abs() < 1e-6);
}

fn all_charts_at(view: &TraceView, error: &ErrorView, axis: &TimeAxis) -> [Vec<Shape>; 3] {
    [
        drawn(1.0, |s| channels::draw(s, view, axis, (0.0, 160.0), &WORDS, &NOTES)),
        drawn(1.0, |s| squares::draw(s, view, axis, (160.0, 80.0), &WORDS)),
        drawn(1.0, |s| error::draw(s, error, axis, (240.0, 100.0), &WORDS, 1e3)),
    ]
}

#[test]
fn level_lines_stand_at_the_volts_of_the_levels() {
    let (mut view, _) = record(200, 1.0, 0.04, swing);
    view.range_v = (0.0, 5.0);
    for (levels, wanted) in [
        (Levels::Comparator { centre_v: 2.5, half_v: 0.4 }, vec![2.1, 2.9]),
        (Levels::Vector { hold_v: 0.3 }, vec![0.3]),
    ] {
        view.levels = levels;
        let axis = TimeAxis::of(&view, 0.0, 700.0, 1.0, 200);
        let shapes = drawn(1.0, |s| channels::draw(s, &view, &axis, (10.0, 168.0), &WORDS, &NOTES));
        let scale = channels::volts(&view, 10.0, 168.0, 1.0);
        let mut drawn_v: Vec<f64> = shapes
            .iter()
            .filter(|s| matches!(s, Shape::Path { pen: Some(pen), .. } if *pen == Pen::LEVEL))
            .map(|s| scale.lo + (scale.bottom - points(s)[0].1) / scale.px_per_unit())
            .collect();
        drawn_v.sort_by(f64::total_cmp);
        // A level below the range has no line.
        assert_eq!(drawn_v.len(), wanted.len(), "{drawn_v:?}");
        assert!(drawn_v.iter().zip(&wanted).all(|(a, b)| (a - b).abs() < 1e-9), "{drawn_v:?}");
    }
}

#[test]
fn a_square_channel_changes_level_where_its_column_says() {
    let (mut view, _) = record(100, 1.0, 0.1, swing);
    view.square_a = (0..100).map(|i| SquareColumn { high: (40..70).contains(&i), busy: i == 40 || i == 70 }).collect();
    view.square_b.clear();
    let axis = TimeAxis::of(&view, 0.0, 700.0, 1.0, 100);
    let shapes = drawn(1.0, |s| squares::draw(s, &view, &axis, (0.0, 80.0), &WORDS));
    let rows = squares::rows(false, 0.0, 80.0);
    let line = shapes.iter().find(|s| matches!(s, Shape::Path { pen: Some(pen), .. } if pen.ink == Ink::A)).map(points);
    let (up, down) = (axis.middle(40, 100), axis.middle(70, 100));
    let wanted = [
        (axis.left, rows.a.1),
        (up, rows.a.1),
        (up, rows.a.0),
        (down, rows.a.0),
        (down, rows.a.1),
        (axis.right(), rows.a.1),
    ];
    assert_eq!(line.expect("A is drawn"), wanted);
}

#[test]
fn counts_stand_up_and_down_and_the_last_edge_is_named_while_blind() {
    let (mut view, _) = record(100, 10.0, 1.0, swing);
    view.counts = (0..100).map(|i| i32::from(i == 20) - i32::from(i == 50)).collect();
    view.blind = (0..100).map(|i| i >= 55).collect();
    let axis = TimeAxis::of(&view, 0.0, 700.0, 1.0, 100);
    let shapes = drawn(1.0, |s| squares::draw(s, &view, &axis, (0.0, 80.0), &WORDS));
    let rows = squares::rows(true, 0.0, 80.0);
    let ticks: Vec<Point> = shapes
        .iter()
        .filter(|s| matches!(s, Shape::Path { pen: Some(p), .. } if *p == Pen::MID))
        .flat_map(points)
        .collect();
    assert!(ticks.contains(&(axis.middle(20, 100), rows.counts - rows.stroke)), "{ticks:?}");
    assert!(ticks.contains(&(axis.middle(50, 100), rows.counts + rows.stroke)), "{ticks:?}");
    let texts: Vec<&str> = shapes
        .iter()
        .filter_map(|s| if let Shape::Text { text, .. } = s { Some(text.as_str()) } else { None })
        .collect();
    assert!(texts.contains(&"last edge 9.5050 s"), "{texts:?}");
    view.blind[99] = false;
    let seeing = drawn(1.0, |s| squares::draw(s, &view, &axis, (0.0, 80.0), &WORDS));
    assert!(!seeing.iter().any(|s| matches!(s, Shape::Text { text, .. } if text.starts_with("last edge"))));
}

#[test]
fn the_direction_is_told_only_where_two_sensors_see_it() {
    let (mut view, _) = record(100, 10.0, 1.0, swing);
    view.blind.fill(false);
    let axis = TimeAxis::of(&view, 0.0, 700.0, 1.0, 100);
    let says = |view: &TraceView, word: &str| {
        let shapes = drawn(1.0, |s| squares::draw(s, view, &axis, (0.0, 80.0), &WORDS));
        shapes.iter().any(|s| matches!(s, Shape::Text { text, .. } if text == word))
    };
    assert!(says(&view, "up") && !says(&view, "down"));
    view.counts.iter_mut().for_each(|c| *c = -*c);
    assert!(says(&view, "down") && !says(&view, "up"));
    view.square_b.clear();
    assert!(!says(&view, "down") && !says(&view, "up"));
}

#[test]
fn odd_data_never_draws_what_is_no_number() {
    let odd = [0.0, -0.0, f64::NAN, f64::INFINITY, f64::NEG_INFINITY, f64::MAX, f64::MIN, 1e-320, 1e300, -7.5];
    let mut seed = 1u32;
    let mut pick = move || {
        seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        odd[(seed >> 16) as usize % odd.len()]
    };
    for round in 0..400 {
        let n = [0, 1, 2, 3, 50, 1200][round % 6];
        let values: Vec<f64> = (0..=n).map(|_| pick()).collect();
        let (mut view, mut error) = record(n, pick(), pick(), |i| values[i]);
        view.range_v = (pick(), pick());
        view.alarm_s = Some(pick());
        error.alarm_s = view.alarm_s;
        view.levels = if round % 2 == 0 {
            Levels::Vector { hold_v: pick() }
        } else {
            Levels::Comparator { centre_v: pick(), half_v: pick() }
        };
        for i in 0..n {
            (error.expected_m[i], error.band_m[i]) = (pick(), (pick(), pick()));
            view.counts[i] = [i32::MAX, i32::MIN, 0, 1][i % 4];
        }
        let figure = XyView {
            points_v: (0..n).map(|i| (values[i], pick())).collect(),
            centre_v: pick(),
            ideal_v: pick(),
            levels: view.levels,
            half_range_v: pick(),
            has_b: round % 3 > 0,
            blind: round % 5 == 0,
            ghost: true,
        };
        if round % 4 == 0 {
            view.b_v.clear();
            view.square_b.clear();
        }
        let mut charts = all_charts(&view, &error, 300.0 + round as f64, 60.0, 1.0, [1, 50, 1000][round % 3]).to_vec();
        charts.push(drawn(1.0, |s| xy::draw(s, &figure, (0.0, 0.0), 200.0, 150.0, &WORDS)));
        for (chart, shapes) in charts.iter().enumerate() {
            for shape in shapes {
                let all = points(shape);
                assert!(
                    all.iter().all(|p| p.0.is_finite() && p.1.is_finite()),
                    "round {round} chart {chart}: {shape:?}"
                );
                assert!(
                    all.iter().all(|p| p.0.abs() < 1e5 && p.1.abs() < 1e5),
                    "round {round} chart {chart}: {shape:?}"
                );
            }
        }
    }
}

#[test]
fn a_picture_of_nothing_has_its_axes_and_no_trace() {
    let (view, error) = record(0, 0.0, 0.04, swing);
    let [channels, squares, error, ruler] = all_charts(&view, &error, 520.0, 120.0, 1.0, 500);
    assert!(channels.iter().any(|s| matches!(s, Shape::Path { pen: Some(p), .. } if *p == Pen::LEVEL)));
    assert!(!error.iter().any(|s| matches!(s, Shape::Path { pen: Some(p), .. } if *p == Pen::ERROR)));
    assert!(squares.iter().any(|s| matches!(s, Shape::Path { pen: Some(p), .. } if *p == Pen::MID)));
    assert!(ruler.len() > 3);
}

#[test]
fn a_frame_stays_small() {
    let (view, error) = record(1000, 12.0, 40.0, |i| if i % 2 == 0 { 1.0 } else { -1.0 });
    for shapes in all_charts(&view, &error, 1100.0, 200.0, 1.0, 1000) {
        let steps: usize = shapes.iter().map(|s| points(s).len()).sum();
        assert!(steps < 16_000 && shapes.len() < 80, "{steps} points in {} shapes", shapes.len());
    }
}

#[test]
fn every_ink_sits_at_its_own_place_in_the_table() {
    for (i, row) in Ink::TABLE.iter().enumerate() {
        assert_eq!(row.0 as usize, i, "{:?}", row.0);
        for hex in [row.2, row.3] {
            assert!(hex.len() == 7 && hex.starts_with('#') && u32::from_str_radix(&hex[1..], 16).is_ok(), "{hex}");
        }
    }
}

#[test]
fn a_thin_gap_is_empty_paper_in_a_picture() {
    let shapes = drawn(1.0, |s| {
        let text = super::numbers::fixed(1509.05, 2);
        s.text((0.0, 20.0), text, super::shape::Lettering::Value, Ink::Ink, super::shape::Anchor::Start);
    });
    let picture = svg::document(&shapes, 100.0, 30.0, 1.0, super::tokens::Theme::Light);
    assert!(picture.contains(">1<tspan dx=\"0.17em\">509.05</tspan></text>"), "{picture}");
}

#[test]
fn joined_charts_share_one_line() {
    let (view, _) = record(10, 1.0, 1.0, swing);
    let axis = TimeAxis::of(&view, 0.0, 700.0, 1.0, 10);
    let shapes = drawn(1.0, |s| trace::alarm_line(s, &axis, 5.0, 400.0));
    assert_eq!(points(&shapes[0]), [(axis.x(0.75), 5.0), (axis.x(0.75), 400.0)]);
}
