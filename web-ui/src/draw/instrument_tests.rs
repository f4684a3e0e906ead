//! What holds for all instruments: everything inside its area, texts apart, odd data, the ghost only when asked for.

use super::check::{apart, inside, texts};
use super::instrument_view::{CountEvent, CountView, FigureView, FitView, LoopPoint, LoopView, TracesView, TravelView};
use super::room::Area;
use super::shape::{Fill, Hatch, Shape, Step};
use super::tokens::{Ink, Pen};
use super::traces::TracesLayout;
use super::view::{DirtView, ErrorView, Levels, MinMax, SquareColumn, TraceView, XyView};
use super::words::{ChartWords, InstrumentWords, TraceNotes};
use super::{count_strip, figure, loop_strip, traces, travel};

const WORDS: ChartWords = ChartWords::ENGLISH;
const MORE: InstrumentWords = InstrumentWords::ENGLISH;
const SIZES: [(f64, f64, f64); 5] =
    [(640.0, 320.0, 1.0), (1300.0, 620.0, 1.6), (344.0, 300.0, 1.08), (900.0, 220.0, 1.0), (344.0, 420.0, 1.6)];

fn columns(n: usize) -> Vec<MinMax> {
    let v = |i: usize| (i as f64 * 0.05).sin();
    (0..n).map(|i| MinMax { min: v(i).min(v(i + 1)), max: v(i).max(v(i + 1)) }).collect()
}

fn traces_view(ghost: bool) -> TracesView {
    let (n, a) = (500, columns(500));
    let squares: Vec<SquareColumn> = (0..n).map(|i| SquareColumn { high: i % 120 < 60, busy: i % 60 == 0 }).collect();
    let healthy = if ghost { columns(n) } else { Vec::new() };
    TracesView {
        trace: TraceView {
            now_s: 3.0,
            window_s: 0.02,
            a_v: a.clone(),
            b_v: a.clone(),
            ghost_a_v: healthy.clone(),
            ghost_b_v: healthy,
            square_a: squares.clone(),
            square_b: squares.clone(),
            counts: (0..n).map(|i| i32::from(i % 60 == 0)).collect(),
            blind: vec![false; n],
            range_v: (-1.2, 1.2),
            levels: Levels::Comparator { centre_v: 0.0, half_v: 0.1 },
            alarm_s: None,
        },
        columns: n,
        mark: squares,
        older: vec![(a.clone(), a.clone()), (a.clone(), a)],
        level: Some((0.3, false)),
        trigger_s: Some(2.985),
        cursors: Some([0.3, 0.6]),
        held: false,
        ghost,
    }
}

fn count_view(ghost: bool, crowded: bool) -> CountView {
    let cycle = [(false, false), (true, false), (true, true), (false, true)];
    let event = |i: usize| CountEvent {
        time_s: 2.981 + i as f64 * 1e-3,
        before: cycle[i % 4],
        after: cycle[(i + 1) % 4],
        change: 1,
        illegal: false,
    };
    let mut events: Vec<CountEvent> = (0..18).map(event).collect();
    events.push(CountEvent { time_s: 2.9995, before: (true, true), after: (false, false), change: 0, illegal: true });
    CountView {
        now_s: 3.0,
        window_s: 0.02,
        events: (!crowded).then_some(events),
        counts: (0..300).map(|i| i % 5 - 1).collect(),
        columns: 300,
        healthy: if ghost { (0..20).map(|i| (2.981 + f64::from(i) * 1e-3, 1)).collect() } else { Vec::new() },
        healthy_counts: if ghost { vec![2.0; 300] } else { Vec::new() },
        state: (true, false),
        has_b: true,
        count: -123_456,
        direction: -1,
        per_period: 4,
        count_m: 5e-6,
        illegal: 1,
        alarm_s: None,
        ghost,
    }
}

fn loop_view(ghost: bool) -> LoopView {
    let point = |i: usize| {
        let time_s = 2.0 + i as f64 / 500.0;
        let off = (i as f64 - 400.0).max(0.0) * 1e-5;
        LoopPoint {
            time_s,
            command_m: 0.1 * time_s,
            counted_m: 0.1 * time_s - 3e-3 - off,
            table_m: 0.1 * time_s - 3e-3,
            command_mps: 0.1,
            speed_mps: 0.1,
            expected_m: 3e-3,
        }
    };
    let error = ErrorView {
        now_s: 3.0,
        window_s: 1.0,
        error_m: vec![MinMax { min: 3e-3, max: 3e-3 }; 500],
        expected_m: vec![3e-3; 500],
        band_m: vec![(0.3e-3, 6e-3); 500],
        alarm_s: None,
        ghost,
    };
    LoopView { points: (0..=500).map(point).collect(), error, columns: 500, count_m: 5e-6 }
}

fn travel_view(ghost: bool) -> TravelView {
    let cell = |i: usize| match i {
        0..100 => None,
        300..320 => Some([0.05, 0.06]),
        _ => Some([0.48, 0.5]),
    };
    TravelView {
        span_m: (-0.01, 0.51),
        travel_m: 0.5,
        cells: (0..520).map(cell).collect(),
        has_b: true,
        need_v: 0.1,
        healthy_v: 0.5,
        dirt: vec![DirtView { from_m: 0.29, to_m: 0.31, blocked: 0.9 }],
        head_m: 0.35,
        ghost,
    }
}

fn figure_view(ghost: bool) -> FigureView {
    let angle = |i: usize| i as f64 * 0.05;
    let xy = XyView {
        points_v: (0..200).map(|i| (0.4 * angle(i).cos() + 0.05, 0.5 * angle(i).sin())).collect(),
        centre_v: 0.0,
        ideal_v: 0.5,
        levels: Levels::Vector { hold_v: 0.1 },
        half_range_v: 0.7,
        has_b: true,
        blind: false,
        ghost,
    };
    let fit = FitView {
        offset_v: [0.05, 0.0],
        radius_v: [0.4, 0.5],
        phase_error_rad: 0.1,
        error_m: Some(3e-7),
        left_m: 2e-8,
    };
    FigureView { xy, fit: Ok(fit) }
}

/// Every instrument at a size.
fn all(ghost: bool, (w, h, k): (f64, f64, f64)) -> Vec<(&'static str, Vec<Shape>)> {
    let area = Area::new(0.0, 0.0, w, h);
    let traces_view = traces_view(ghost);
    let at = TracesLayout::new(&traces_view, area, k);
    let notes = TraceNotes { a: "0.97 V", b: "0.96 V", now: "" };
    vec![
        ("traces", traces::draw(&traces_view, &at, &WORDS, &MORE, &notes)),
        ("count", count_strip::draw(&count_view(ghost, false), area, k, &WORDS, &MORE)),
        ("crowd", count_strip::draw(&count_view(ghost, true), area, k, &WORDS, &MORE)),
        ("loop", loop_strip::draw(&loop_view(ghost), area, k, &WORDS, &MORE)),
        ("travel", travel::draw(&travel_view(ghost), area, k, &MORE)),
        ("figure", figure::draw(&figure_view(ghost), area, k, &WORDS, &MORE)),
    ]
}

#[test]
fn every_instrument_keeps_inside_its_area_with_its_texts_apart() {
    for size in SIZES {
        for (name, shapes) in all(true, size) {
            let what = format!("{name} at {size:?}");
            inside(&shapes, &Area::new(0.0, 0.0, size.0, size.1), size.2, 8.0 * size.2, &what);
            apart(&shapes, size.2, &what);
        }
    }
}

#[test]
fn the_healthy_bench_is_drawn_dashed_and_named_once_and_only_when_asked_for() {
    let ghosts = |shapes: &[Shape]| {
        shapes.iter().filter(|s| matches!(s, Shape::Path { pen: Some(pen), .. } if pen.dash == Pen::GHOST.dash && pen.ink == Ink::Ink2)).count()
    };
    for (name, shapes) in all(true, SIZES[0]) {
        let words = texts(&shapes).iter().filter(|t| t.0.starts_with("healthy")).count();
        // The loop has two lanes with it: the places, and the control's own number in the following error.
        assert_eq!(words, if name == "loop" { 2 } else { 1 }, "{name}");
        assert!(ghosts(&shapes) > 0, "{name}");
    }
    for (name, shapes) in all(false, SIZES[0]) {
        assert!(texts(&shapes).iter().all(|t| !t.0.contains("healthy")), "{name}");
        assert_eq!(ghosts(&shapes), 0, "{name}");
    }
}

#[test]
fn an_illegal_change_carries_a_cross_and_words() {
    let shapes = count_strip::draw(&count_view(false, false), Area::new(0.0, 0.0, 640.0, 300.0), 1.0, &WORDS, &MORE);
    assert!(texts(&shapes).iter().any(|t| t.0 == MORE.both_at_once && t.2 == Ink::Fault));
    let crosses = shapes.iter().filter(|s| matches!(s, Shape::Path { pen: Some(p), .. } if *p == Pen::FAULT)).count();
    assert_eq!(crosses, 2, "the two strokes of one cross");
}

#[test]
fn what_is_not_travelled_is_hatched_and_what_is_too_weak_too() {
    let shapes = travel::draw(&travel_view(true), Area::new(0.0, 0.0, 640.0, 300.0), 1.0, &MORE);
    let hatched = |hatch: Hatch| {
        let is = |s: &&Shape| matches!(s, Shape::Path { fill: Some(Fill::Hatch(h)), .. } if *h == hatch);
        shapes.iter().filter(is).count()
    };
    assert_eq!(hatched(Hatch::Housing), 1, "one stretch at the start");
    assert!(hatched(Hatch::Over) >= 10, "the weak cells of both channels");
    let fresh = TravelView { cells: vec![None; 520], ..travel_view(true) };
    let shapes = travel::draw(&fresh, Area::new(0.0, 0.0, 640.0, 300.0), 1.0, &MORE);
    assert!(texts(&shapes).iter().any(|t| t.0 == MORE.not_passed));
}

#[test]
fn a_cursor_and_a_level_read_back_where_they_are_drawn() {
    let view = traces_view(false);
    for (w, h, k) in SIZES {
        let at = TracesLayout::new(&view, Area::new(0.0, 0.0, w, h), k);
        let [one, two] = at.knobs.expect("cursors");
        assert!((at.share_at(one.0) - 0.3).abs() < 1e-9 && (at.share_at(two.0) - 0.6).abs() < 1e-9);
        assert!((at.level_at(at.level_knob.expect("a level").1) - 0.3).abs() < 1e-9);
        assert_eq!((at.share_at(-1e9), at.share_at(1e9)), (0.0, 1.0));
    }
}

/// Whether every place of a shape is a number.
fn finite(shape: &Shape) -> bool {
    let point = |p: &(f64, f64)| p.0.is_finite() && p.1.is_finite();
    match shape {
        Shape::Path { steps, .. } => steps.iter().all(|s| match s {
            Step::Move(p) | Step::Line(p) => point(p),
            Step::Curve(a, b, p) => point(a) && point(b) && point(p),
            Step::Arc(c, r, from, to) => point(c) && r.is_finite() && from.is_finite() && to.is_finite(),
            Step::Close => true,
        }),
        Shape::Text { at, .. } => point(at),
        _ => true,
    }
}

#[test]
fn odd_data_still_gives_drawings() {
    let area = Area::new(0.0, 0.0, 500.0, 250.0);
    let nan = f64::NAN;
    let mut travel_nan = travel_view(true);
    travel_nan.cells[5] = Some([nan, f64::INFINITY]);
    (travel_nan.head_m, travel_nan.need_v, travel_nan.healthy_v) = (nan, nan, nan);
    let empty = TravelView { cells: Vec::new(), ..travel_view(true) };
    let mut loop_nan = loop_view(true);
    loop_nan.points[3].table_m = nan;
    loop_nan.points[4].speed_mps = f64::INFINITY;
    let none = LoopView { points: Vec::new(), ..loop_view(true) };
    let mut figure_nan = figure_view(true);
    figure_nan.fit =
        Ok(FitView { offset_v: [nan; 2], radius_v: [1e300; 2], phase_error_rad: nan, error_m: None, left_m: nan });
    let mut count = count_view(true, false);
    count.events = Some(Vec::new());
    count.window_s = 0.0;
    for shapes in [
        travel::draw(&travel_nan, area, 1.0, &MORE),
        travel::draw(&empty, area, 1.0, &MORE),
        loop_strip::draw(&loop_nan, area, 1.0, &WORDS, &MORE),
        loop_strip::draw(&none, area, 1.0, &WORDS, &MORE),
        figure::draw(&figure_nan, area, 1.0, &WORDS, &MORE),
        count_strip::draw(&count, area, 1.0, &WORDS, &MORE),
    ] {
        assert!(!shapes.is_empty());
        assert!(shapes.iter().all(finite), "{shapes:?}");
    }
}
