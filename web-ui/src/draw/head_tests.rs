//! Tests of the section and the plan: what is drawn comes from the view, and stays in its box.

use super::check::{apart, inside, texts};
use super::head_scale::{HeadScale, phase};
use super::numbers::fixed;
use super::plan::{PlanLayout, plan};
use super::room::Area;
use super::samples;
use super::scene_words::SceneWords;
use super::section::section;
use super::section_layout::SectionLayout;
use super::shape::{Fill, Shape, Step};
use super::tokens::{Ink, Pen};
use super::view::{DirtView, HeadView};

const WORDS: SceneWords = SceneWords::ENGLISH;

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
            inside(&section(view, &at, &WORDS), &at.area, at.scale.k, 3.0, &what);
            inside(&plan(view, &below, &WORDS), &below.area, at.scale.k, 3.0, &format!("plan of {what}"));
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
        for (w, k) in
            [(340.0, 1.0), (420.0, 1.0), (600.0, 1.0), (1200.0, 1.0), (340.0, 1.6), (560.0, 1.6), (1200.0, 1.6)]
        {
            let (at, below) = pictures(view, w, 270.0 * k, 170.0 * k, k);
            let k = at.scale.k;
            let shapes = section(view, &at, &WORDS);
            apart(&shapes, k, &format!("head {i} at {w}"));
            for (text, _, _) in texts(&shapes) {
                assert!(!text.contains("NaN"), "{text}");
            }
            apart(&plan(view, &below, &WORDS), k, &format!("plan {i} at {w}"));
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
        for shapes in [section(&view, &at, &WORDS), plan(&view, &below, &WORDS)] {
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
