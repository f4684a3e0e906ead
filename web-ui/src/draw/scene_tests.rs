//! Tests of the pictures of machine, head and chain: what is drawn comes from the view, and stays in its box.

use super::chain::{ChainForm, chain};
use super::head_scale::{HeadScale, phase};
use super::machine::machine;
use super::machine_layout::MachineLayout;
use super::plan::{PlanLayout, plan};
use super::positions::positions;
use super::room::{Area, fixed, text_width};
use super::samples;
use super::scene_words::SceneWords;
use super::section::section;
use super::section_layout::SectionLayout;
use super::shape::{Anchor, Fill, Lettering, Point, Shape, Step};
use super::tokens::{Ink, Pen};
use super::view::{DirtView, DriveDrawing, HeadView, LinkState, MachineView};

const WORDS: SceneWords = SceneWords::ENGLISH;

/// The box around everything that is drawn, minding turns and clips (a clip holds in the frame it is set in).
fn extent(shapes: &[Shape]) -> Area {
    let (mut lo, mut hi) = ((f64::INFINITY, f64::INFINITY), (f64::NEG_INFINITY, f64::NEG_INFINITY));
    let (mut turns, mut clips): (Vec<(Point, f64)>, Vec<Area>) = (Vec::new(), Vec::new());
    for shape in shapes {
        let mut points = Vec::new();
        match shape {
            Shape::Path { steps, .. } => {
                for step in steps {
                    match *step {
                        Step::Move(p) | Step::Line(p) => points.push(p),
                        Step::Curve(a, b, p) => points.extend([a, b, p]),
                        Step::Arc(c, r, from, to) => {
                            points.extend(
                                (0..=12)
                                    .map(|i| from + (to - from) * f64::from(i) / 12.0)
                                    .map(|a| (c.0 + r * a.cos(), c.1 + r * a.sin())),
                            );
                        }
                        Step::Close => {}
                    }
                }
            }
            Shape::Text { at, .. } => {
                let face = text_face(shape, *at);
                points.extend([(face.x, face.y), (face.right(), face.bottom())]);
            }
            Shape::Clip(x, y, w, h) => clips.push(Area::new(*x, *y, *w, *h)),
            Shape::Unclip => assert!(clips.pop().is_some(), "Unclip without Clip"),
            Shape::Turn(at, angle) => turns.push((*at, *angle)),
            Shape::Unturn => assert!(turns.pop().is_some(), "Unturn without Turn"),
        }
        for mut p in points {
            assert!(p.0.is_finite() && p.1.is_finite(), "not a number in {shape:?}");
            for clip in &clips {
                p = (p.0.max(clip.x).min(clip.right()), p.1.max(clip.y).min(clip.bottom()));
            }
            for (at, angle) in turns.iter().rev() {
                let (u, v, (sin, cos)) = (p.0 - at.0, p.1 - at.1, angle.sin_cos());
                p = (at.0 + u * cos - v * sin, at.1 + u * sin + v * cos);
            }
            (lo, hi) = ((lo.0.min(p.0), lo.1.min(p.1)), (hi.0.max(p.0), hi.1.max(p.1)));
        }
    }
    assert!(turns.is_empty() && clips.is_empty(), "a Turn or Clip is left open");
    Area::new(lo.0, lo.1, hi.0 - lo.0, hi.1 - lo.1)
}

/// Face of a text at scale 1 letters (the tests that need another scale multiply widths themselves).
fn text_face(shape: &Shape, at: Point) -> Area {
    let Shape::Text { text, lettering, anchor, .. } = shape else { unreachable!("only for texts") };
    let (w, size) = (text_width(text, *lettering, 1.0), lettering.size_weight().0);
    let x = match anchor {
        Anchor::Start => at.0,
        Anchor::Middle => at.0 - w / 2.0,
        Anchor::End => at.0 - w,
    };
    Area::new(x, at.1 - size * 0.72, w, size * 0.72)
}

fn inside(shapes: &[Shape], area: &Area, slack: f64, what: &str) {
    let extent = extent(shapes);
    let ok = extent.x >= area.x - slack
        && extent.y >= area.y - slack
        && extent.right() <= area.right() + slack
        && extent.bottom() <= area.bottom() + slack;
    assert!(ok, "{what}: drawn {extent:?} leaves {area:?}");
}

fn texts(shapes: &[Shape]) -> Vec<(&str, Point, Ink)> {
    shapes
        .iter()
        .filter_map(|s| match s {
            Shape::Text { text, at, ink, .. } => Some((text.as_str(), *at, *ink)),
            _ => None,
        })
        .collect()
}

fn apart(shapes: &[Shape], what: &str) {
    let faces: Vec<(Area, &Shape)> = shapes
        .iter()
        .filter_map(|s| match s {
            Shape::Text { at, .. } => Some((text_face(s, *at), s)),
            _ => None,
        })
        .collect();
    for (i, (a, shape)) in faces.iter().enumerate() {
        for (b, other) in &faces[..i] {
            assert!(!a.meets(b), "{what}: {shape:?} over {other:?}");
        }
    }
}

fn machines() -> Vec<MachineView> {
    let mut out = Vec::new();
    for base in [samples::gantry(), samples::mill()] {
        let (lo, hi) = base.stops_m;
        for table in [lo, 0.0, base.home_switch_m, base.travel_m * 0.4, base.travel_m, hi] {
            for (lag, off) in
                [(0.0, 0.0), (0.003, 0.0), (-0.0004, 2e-6), (0.5, -0.2), (1e-7, 9.0), (f64::NAN, f64::INFINITY)]
            {
                out.push(MachineView {
                    table_m: table,
                    command_m: table + lag,
                    counted_m: table + off,
                    ..base.clone()
                });
            }
        }
        let everywhere = vec![
            DirtView { from_m: -1e9, to_m: 1e9, blocked: 2.0 },
            DirtView { from_m: 1.0, to_m: 1.0, blocked: -1.0 },
        ];
        out.push(MachineView { dirt: everywhere, light: f64::NAN, ..base.clone() });
        out.push(MachineView {
            travel_m: 0.0,
            stops_m: (f64::NAN, f64::NEG_INFINITY),
            home_switch_m: f64::NAN,
            ..base.clone()
        });
        out.push(MachineView { table_m: f64::NAN, mark_m: f64::INFINITY, gap_ends: (f64::NAN, 3.0), ..base });
    }
    out
}

fn head_views() -> Vec<HeadView> {
    let mut out = Vec::new();
    for (_, base) in samples::heads(0.0123) {
        for gap in [base.gap_range_m.0, base.gap_nominal_m, base.gap_range_m.1, 0.0, 1.0] {
            for turn in [-0.2, -0.02, 0.0, 0.02, 0.2] {
                out.push(HeadView { gap_m: gap, tilt_rad: turn, yaw_rad: -turn, ..base.clone() });
            }
        }
        let dirt = vec![
            DirtView { from_m: -1.0, to_m: 1.0, blocked: 1.0 },
            DirtView { from_m: 1e-4, to_m: 1e-4, blocked: 0.5 },
        ];
        out.push(HeadView { dirt, contrast: 0.0, ..base.clone() });
        out.push(HeadView {
            gap_m: f64::NAN,
            tilt_rad: f64::NAN,
            x_m: f64::INFINITY,
            lamp: f64::NAN,
            contrast: f64::NAN,
            ..base.clone()
        });
        out.push(HeadView {
            period_m: 0.0,
            gap_range_m: (f64::NAN, 0.0),
            gap_nominal_m: 0.0,
            fields: Vec::new(),
            ..base
        });
    }
    out
}

#[test]
fn machine_stays_in_its_box_for_any_view() {
    for (i, view) in machines().iter().enumerate() {
        for (w, h, k) in [(340.0, 150.0, 1.0), (340.0, 200.0, 1.6), (700.0, 180.0, 1.0), (1200.0, 320.0, 1.6)] {
            let area = Area::new(11.0, 7.0, w, h);
            let at = MachineLayout::new(view, area, k, None);
            inside(&machine(view, &at, &WORDS), &area, 2.0, &format!("machine {i} at {w} x {h}, {k}"));
            for jog in [at.jog.0, at.jog.1] {
                assert!(jog.x >= area.x - 1e-9 && jog.right() <= area.right() + 1e-9, "jog of machine {i}");
            }
        }
    }
}

#[test]
fn texts_of_the_machine_keep_apart() {
    for (i, view) in machines().iter().enumerate() {
        for w in [340.0, 520.0, 760.0, 1200.0] {
            let at = MachineLayout::new(view, Area::new(0.0, 0.0, w, 220.0), 1.0, None);
            let shapes = machine(view, &at, &WORDS);
            // The two words of the position belong together.
            let shapes: Vec<Shape> = shapes
                .into_iter()
                .filter(|s| !matches!(s, Shape::Text { text, .. } if text == WORDS.counted))
                .collect();
            apart(&shapes, &format!("machine {i} at {w}"));
        }
    }
}

#[test]
fn places_on_the_axis_work_both_ways() {
    let view = samples::gantry();
    let at = MachineLayout::new(&view, Area::new(20.0, 0.0, 900.0, 220.0), 1.0, None);
    for m in [-0.012, 0.0, 1.3, 3.2] {
        assert!((at.m_of(at.x_of(m)) - m).abs() < 1e-12);
    }
    assert!((at.table_x - at.x_of(view.table_m)).abs() < 1e-9);
    assert!((at.carriage.middle().0 - at.table_x).abs() < 1e-9);
}

#[test]
fn lag_is_drawn_with_the_stated_factor_and_seen() {
    for lag in [0.0, 2e-6, 40e-6, 0.5e-3, 3.3e-3, -3.3e-3, 20e-3] {
        let view = MachineView { command_m: 1.5 + lag, table_m: 1.5, counted_m: 1.5, ..samples::gantry() };
        let at = MachineLayout::new(&view, Area::new(0.0, 0.0, 1100.0, 220.0), 1.0, None);
        let drawn = at.ghost_x - at.table_x;
        assert!((drawn - lag * at.px_per_m * at.factor).abs() < 1e-6, "{lag}");
        assert!([1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0].contains(&at.factor));
        if lag.abs() > 0.1e-3 {
            assert!((7.0..=45.0).contains(&drawn.abs()), "lag {lag} drawn {drawn} px at x{}", at.factor);
        }
    }
}

#[test]
fn a_held_factor_stays_until_it_no_longer_fits() {
    let area = Area::new(0.0, 0.0, 1100.0, 220.0);
    let lagging = |lag: f64| MachineView { command_m: 1.5 + lag, table_m: 1.5, counted_m: 1.5, ..samples::gantry() };
    assert_eq!(MachineLayout::new(&lagging(1e-4), area, 1.0, Some(20.0)).factor, 20.0);
    assert_eq!(MachineLayout::new(&lagging(0.0), area, 1.0, Some(20.0)).factor, 20.0);
    assert!(MachineLayout::new(&lagging(30e-3), area, 1.0, Some(20.0)).factor < 20.0);
}

#[test]
fn the_arrow_ends_at_the_counted_place_in_fault_ink_when_it_is_off() {
    for off in [0.0, -5.94e-3, 12e-3] {
        let view = MachineView { counted_m: 1.5 + off, table_m: 1.5, command_m: 1.5, ..samples::gantry() };
        let at = MachineLayout::new(&view, Area::new(0.0, 0.0, 1100.0, 220.0), 1.0, None);
        assert!((at.counted_x - (at.x_of(1.5) + off * at.px_per_m * at.factor)).abs() < 1e-6);
        let ink = if off == 0.0 { Ink::Ink } else { Ink::Fault };
        let shapes = machine(&view, &at, &WORDS);
        let tip = shapes.iter().any(|s| match s {
            Shape::Path { steps, fill: Some(Fill::Flat(colour, _)), pen: None } => {
                *colour == ink && matches!(steps.first(), Some(Step::Move(p)) if (p.0 - at.counted_x).abs() < 1e-9 && (p.1 - at.dimension_y).abs() < 1e-9)
            }
            _ => false,
        });
        assert!(tip, "no arrow tip at the counted place for {off}");
        let number = fixed(view.counted_m * 1e3, 2);
        assert!(texts(&shapes).iter().any(|(text, _, colour)| *text == number && *colour == ink));
    }
}

#[test]
fn the_switch_is_drawn_pressed() {
    let draw = |pressed: bool| {
        let view = MachineView { home_pressed: pressed, ..samples::mill() };
        machine(&view, &MachineLayout::new(&view, Area::new(0.0, 0.0, 900.0, 220.0), 1.0, None), &WORDS)
    };
    let differ = draw(true).iter().zip(draw(false)).filter(|(a, b)| **a != *b).count();
    assert!((3..=6).contains(&differ), "{differ} shapes of plunger, roller and contact differ");
    assert!(texts(&draw(true)).iter().any(|t| t.0 == WORDS.home_switch));
}

#[test]
fn narrow_dirt_says_how_much_wider_it_is_drawn() {
    let view = samples::gantry();
    let at = MachineLayout::new(&view, Area::new(0.0, 0.0, 1100.0, 220.0), 1.0, None);
    for (spot, place) in view.dirt.iter().zip(&at.dirt) {
        let true_px = (spot.to_m - spot.from_m) * at.px_per_m;
        assert!((place.x1 - place.x0 - true_px * place.factor).abs() < 1e-6);
        assert!(place.x1 - place.x0 >= 8.0);
    }
    assert!(at.dirt[0].factor > 1.0 && at.dirt[1].factor == 1.0);
}

#[test]
fn three_positions_stand_on_one_scale() {
    let view = samples::gantry();
    let (shapes, at) = positions(&view, Area::new(0.0, 0.0, 300.0, 110.0), 1.0, 300.0, 2, &WORDS);
    let [command, table, count] = at.tips;
    assert!((command.0 - table.0 - 3e-3 * at.px_per_m).abs() < 1e-6);
    assert!((count.0 - table.0 + 5.94e-3 * at.px_per_m).abs() < 1e-6);
    assert!((at.px_per_m - 300.0 * at.factor).abs() < 1e-6 && at.counted_off);
    let written = texts(&shapes);
    for (number, ink) in [("1\u{2009}517.99", Ink::Ink), ("1\u{2009}514.99", Ink::Ink), ("1\u{2009}509.05", Ink::Fault)]
    {
        assert!(written.iter().any(|t| t.0 == number && t.2 == ink), "{number}");
    }
    for view in machines() {
        for (w, h, k) in [(200.0, 100.0, 1.0), (340.0, 120.0, 1.0), (500.0, 200.0, 1.6)] {
            let area = Area::new(3.0, 5.0, w, h);
            let (shapes, at) = positions(&view, area, k, 0.0, 3, &WORDS);
            inside(&shapes, &area, 3.0 * k, "positions");
            let mantissa = at.factor / 10f64.powf(at.factor.log10().floor());
            assert!([1.0, 2.0, 5.0].iter().any(|m| (mantissa - m).abs() < 1e-6), "factor {}", at.factor);
        }
    }
}

fn pictures(view: &HeadView, w: f64, h: f64, low: f64, k: f64) -> (SectionLayout, PlanLayout) {
    let scale = HeadScale::fit(view, 0.0, w, k);
    let section = SectionLayout::new(view, Area::new(0.0, 0.0, w, h), scale.clone());
    (section, PlanLayout::new(view, Area::new(0.0, h, w, low), scale))
}

#[test]
fn head_stays_in_its_boxes_for_any_view() {
    for (i, view) in head_views().iter().enumerate() {
        for (w, h, low, k) in [
            (340.0, 250.0, 150.0, 1.0),
            (340.0, 420.0, 240.0, 1.6),
            (600.0, 280.0, 170.0, 1.0),
            (1200.0, 460.0, 300.0, 1.6),
        ] {
            let (at, below) = pictures(view, w, h, low, k);
            let what = format!("head {i} at {w} x {h}, {k}");
            inside(&section(view, &at, &WORDS), &at.area, 3.0, &what);
            inside(&plan(view, &below), &below.area, 3.0, &format!("plan of {what}"));
            for field in [at.gap_field, at.tilt_field, below.yaw_field] {
                let area = Area::new(0.0, 0.0, w, h + low);
                assert!(field.x >= 0.0 && field.right() <= area.right() + 0.5, "{what}: {field:?}");
                assert!(field.y >= -0.5 && field.bottom() <= area.bottom() + 0.5, "{what}: {field:?}");
                assert!((field.w - 90.0 * at.scale.k).abs() < 1e-9 && (field.h - 28.0 * at.scale.k).abs() < 1e-9);
            }
            assert!(!at.gap_field.meets(&at.tilt_field), "{what}");
            assert!(!at.gap_field.meets(&at.head), "{what}");
        }
    }
}

#[test]
fn texts_of_the_head_keep_apart() {
    for (i, view) in head_views().iter().enumerate().filter(|(_, v)| v.tilt_rad == 0.0) {
        for w in [340.0, 420.0, 600.0, 1200.0] {
            let (at, below) = pictures(view, w, 270.0, 170.0, 1.0);
            let shapes = section(view, &at, &WORDS);
            apart(&shapes, &format!("head {i} at {w}"));
            for (text, _, _) in texts(&shapes) {
                assert!(!text.contains("NaN"), "{text}");
            }
            apart(&plan(view, &below), &format!("plan {i} at {w}"));
        }
    }
}

#[test]
fn the_gap_is_drawn_to_its_scale_and_its_knob_reads_back() {
    for (name, base) in samples::heads(0.0) {
        let mut last = f64::INFINITY;
        for step in 0..=10 {
            let (lo, hi) = base.gap_range_m;
            let gap = lo + (hi - lo) * f64::from(step) / 10.0;
            let view = HeadView { gap_m: gap, ..base.clone() };
            let (at, _) = pictures(&view, 350.0, 270.0, 170.0, 1.0);
            assert!((at.gap_ends.1.1 - at.gap_ends.0.1 - gap * at.gap_px_per_m).abs() < 1e-9, "{name}");
            assert!((at.gap_px_per_m - at.gap_factor * at.scale.px_per_m).abs() < 1e-6, "{name}");
            assert!((at.gap_at(at.gap_knob.1, base.gap_range_m) - gap).abs() < 1e-12, "{name}");
            assert!((at.head.bottom() - at.gap_knob.1).abs() < 1e-9, "{name}: the head hangs at the knob's height");
            assert!(at.gap_knob.1 < last - 1.0, "{name}: each tenth of the range moves the head by more than a pixel");
            last = at.gap_knob.1;
        }
    }
}

#[test]
fn tilt_and_yaw_knobs_read_back_and_turn_the_right_way() {
    let view = HeadView { tilt_rad: 0.01, yaw_rad: 0.006, ..samples::smeared(0.0) };
    let (at, below) = pictures(&view, 350.0, 270.0, 170.0, 1.0);
    assert!((at.tilt_at(at.tilt_knob) - 0.01).abs() < 1e-12);
    assert!((below.yaw_at(below.yaw_knob) - 0.006).abs() < 1e-12);
    // Tilt up at +X: the gap grows there, by the true tilt times the stated factor.
    let rise = at.on_head(-50.0, 0.0).1 - at.on_head(50.0, 0.0).1;
    assert!((rise - 100.0 * (0.01 * at.tilt_factor).sin()).abs() < 1e-9);
    assert!((below.turn_rad + 0.006 * below.yaw_factor).abs() < 1e-12);
}

#[test]
fn light_on_a_field_is_its_opacity() {
    for (name, view) in samples::heads(0.00311) {
        let (at, below) = pictures(&view, 500.0, 270.0, 170.0, 1.0);
        for shapes in [section(&view, &at, &WORDS), plan(&view, &below)] {
            for (field, (a, b)) in view.fields.iter().zip(&at.scale.fields) {
                let found = shapes.iter().find_map(|s| match s {
                    Shape::Path { steps, fill: Some(Fill::Flat(Ink::Glow, alpha)), pen: Some(pen) }
                        if *pen == Pen::MID =>
                    {
                        match (steps.first(), steps.get(1)) {
                            (Some(Step::Move(p)), Some(Step::Line(q))) => ((p.0 - at.scale.cx - a).abs() < 1e-6
                                && (q.0 - at.scale.cx - b).abs() < 1e-6)
                                .then_some(*alpha),
                            _ => None,
                        }
                    }
                    _ => None,
                });
                if field.used {
                    let alpha = found.unwrap_or_else(|| panic!("{name}: no face for {}", field.name));
                    assert!((alpha - (0.12 + 0.88 * field.lit)).abs() < 1e-12, "{name} {}", field.name);
                } else {
                    assert_eq!(found, None, "{name}: a field that is not connected has no light");
                }
            }
        }
    }
}

#[test]
fn photocurrents_are_written_in_microamperes() {
    let view = samples::smeared(0.002);
    let (at, _) = pictures(&view, 500.0, 270.0, 170.0, 1.0);
    let shapes = section(&view, &at, &WORDS);
    for field in &view.fields {
        let number = fixed(field.current_a * 1e6, 2);
        assert!(texts(&shapes).iter().any(|t| t.0 == number), "{number}");
    }
    assert!(texts(&shapes).iter().any(|t| t.0 == "\u{b5}A"));
}

#[test]
fn lines_move_by_one_period_per_period_against_the_head() {
    for (name, base) in samples::heads(0.0) {
        let lines = |turns: f64| {
            let view = HeadView { x_m: 1.0 + turns * base.period_m, ..base.clone() };
            let scale = HeadScale::fit(&view, 0.0, 400.0, 1.0);
            let middle = scale.bright_lines(scale.cx - 30.0, scale.cx + 120.0).find(|x| *x > scale.cx - 20.0);
            (middle.expect("a bright line near the middle"), scale.period_px)
        };
        let (at_rest, p) = lines(0.0);
        let (whole, _) = lines(1.0);
        assert!((whole - at_rest).abs() < 1e-4 * p, "{name}: a whole period looks the same");
        let (tenth, _) = lines(0.1);
        let moved = (at_rest - tenth).rem_euclid(p);
        assert!((moved - 0.1 * p).abs() < 1e-4 * p, "{name}: a tenth of a period moves the lines left by a tenth");
        let scale = HeadScale::fit(&base, 0.0, 400.0, 1.0);
        assert!((scale.period_px - base.period_m * scale.px_per_m * scale.lines_factor).abs() < 1e-6);
        assert!((14.0..=64.5).contains(&scale.period_px), "{name}: {}", scale.period_px);
    }
}

#[test]
fn slots_meet_bright_lines_where_the_field_is_brightest() {
    // Signal model: field of phase f is brightest where x / period = f.
    for (name, base) in samples::heads(0.0) {
        for (i, field) in base.fields.iter().enumerate() {
            let view = HeadView { x_m: (3.0 + phase(field.name)) * base.period_m, ..base.clone() };
            let scale = HeadScale::fit(&view, 0.0, 400.0, 1.0);
            for (a, b) in scale.slots(i, field.name) {
                let whole = scale.period_px * 0.39;
                if b - a < whole - 1.0 {
                    continue; // cut off by the edge of the field
                }
                let middle = scale.cx + (a + b) / 2.0;
                let nearest = scale
                    .bright_lines(middle - 70.0, middle + 70.0)
                    .map(|x| (x - middle).abs())
                    .fold(f64::INFINITY, f64::min);
                assert!(nearest < 0.01 * scale.period_px, "{name} {}: {nearest} px off", field.name);
            }
        }
    }
}

#[test]
fn weak_contrast_spreads_the_light_evenly() {
    let glow = |contrast: f64| {
        let view = HeadView { contrast, dirt: Vec::new(), ..samples::tape(0.0) };
        let (at, _) = pictures(&view, 400.0, 270.0, 170.0, 1.0);
        let y = at.scale_y;
        section(&view, &at, &WORDS)
            .iter()
            .filter_map(|s| match s {
                Shape::Path { fill: Some(Fill::Fade(Ink::Glow, from, _)), steps, .. }
                    if from.0 == y && matches!((steps.first(), steps.get(1)), (Some(Step::Move(p)), Some(Step::Line(q))) if p.0 == q.0) =>
                {
                    Some(from.1)
                }
                _ => None,
            })
            .fold(0.0, f64::max)
    };
    assert!((glow(1.0) - 0.62).abs() < 1e-12);
    assert!((glow(0.25) - 0.155).abs() < 1e-12);
    assert_eq!(glow(0.0), 0.0);
}

#[test]
fn section_and_plan_stand_on_one_x_scale() {
    for (_, view) in samples::heads(0.4) {
        let (at, below) = pictures(&view, 500.0, 270.0, 170.0, 1.0);
        assert_eq!(at.scale, below.scale);
        assert_eq!((at.strip.x, at.strip.w), (below.strip.x, below.strip.w));
        assert_eq!(at.head.x, below.head.x);
    }
}

#[test]
fn chain_marks_the_first_broken_link_and_the_alarm() {
    let links = samples::broken_chain();
    let (shapes, at) = chain(&links, Area::new(0.0, 0.0, 1130.0, 48.0), 1.0, None);
    assert_eq!(at.form, ChainForm::Beside);
    let crosses =
        shapes.iter().filter(|s| matches!(s, Shape::Path { pen: Some(pen), .. } if *pen == Pen::FAULT)).count();
    assert_eq!(crosses, 2, "one cross of two strokes");
    let red: Vec<&str> = texts(&shapes).iter().filter(|t| t.2 == Ink::Fault).map(|t| t.0).collect();
    assert_eq!(red, ["Channel", "0.12 V, needs 0.20", "Alarm", "following error"]);
    let dead =
        shapes.iter().filter(|s| matches!(s, Shape::Path { pen: Some(pen), .. } if *pen == Pen::DEAD_CHAIN)).count();
    let behind = links.iter().filter(|l| l.state == LinkState::Behind).count();
    assert_eq!(dead, 2 * behind, "mark and line of each link behind the break");
    let (good, _) = chain(&samples::good_chain(), Area::new(0.0, 0.0, 1130.0, 48.0), 1.0, None);
    assert!(texts(&good).iter().all(|t| t.2 != Ink::Fault));
}

#[test]
fn chain_takes_the_form_that_fits() {
    for links in [samples::broken_chain(), samples::good_chain(), Vec::new()] {
        for w in [340.0, 420.0, 560.0, 700.0, 900.0, 1200.0] {
            for h in [44.0, 80.0] {
                let area = Area::new(5.0, 5.0, w, h);
                let (shapes, at) = chain(&links, area, 1.0, None);
                assert_eq!(at.marks.len(), links.len());
                apart(&shapes, &format!("chain at {w} x {h}, {:?}", at.form));
                if !links.is_empty() {
                    inside(&shapes, &area, 1.0, &format!("chain at {w} x {h}, {:?}", at.form));
                }
            }
        }
    }
    assert_eq!(ChainForm::fitting(&samples::broken_chain(), &Area::new(0.0, 0.0, 340.0, 44.0), 1.0), ChainForm::Names);
}

#[test]
fn both_drives_are_told_apart() {
    let shapes = |drive| {
        let view = MachineView { drive, ..samples::mill() };
        machine(&view, &MachineLayout::new(&view, Area::new(0.0, 0.0, 900.0, 220.0), 1.0, None), &WORDS)
    };
    assert_ne!(shapes(DriveDrawing::Rack), shapes(DriveDrawing::Screw));
    assert!(text_width("0", Lettering::Note, 1.0) > 0.0);
}
