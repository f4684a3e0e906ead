//! Tests of the side view and the three positions: what is drawn comes from the view, and stays in its box.

use super::check::{apart, inside, texts};
use super::machine::machine;
use super::machine_layout::MachineLayout;
use super::numbers::fixed;
use super::positions::positions;
use super::room::Area;
use super::samples;
use super::scene_words::SceneWords;
use super::shape::{Fill, Shape, Step};
use super::tokens::Ink;
use super::view::{DirtView, DriveDrawing, MachineView};

const WORDS: SceneWords = SceneWords::ENGLISH;

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

#[test]
fn machine_stays_in_its_box_for_any_view() {
    for (i, view) in machines().iter().enumerate() {
        for (w, h, k) in [(340.0, 150.0, 1.0), (340.0, 200.0, 1.6), (700.0, 180.0, 1.0), (1200.0, 320.0, 1.6)] {
            let area = Area::new(11.0, 7.0, w, h);
            let at = MachineLayout::new(view, area, k, None);
            inside(&machine(view, &at, &WORDS), &area, k, 2.0, &format!("machine {i} at {w} x {h}, {k}"));
            for jog in [at.jog.0, at.jog.1] {
                assert!(jog.x >= area.x - 1e-9 && jog.right() <= area.right() + 1e-9, "jog of machine {i}");
            }
        }
    }
}

#[test]
fn texts_of_the_machine_keep_apart() {
    for (i, view) in machines().iter().enumerate() {
        for (w, k) in [(340.0, 1.0), (520.0, 1.0), (760.0, 1.0), (1200.0, 1.0), (340.0, 1.6), (1200.0, 1.6)] {
            let at = MachineLayout::new(view, Area::new(0.0, 0.0, w, 220.0 * k), k, None);
            let shapes = machine(view, &at, &WORDS);
            // The two words of the position belong together.
            let shapes: Vec<Shape> = shapes
                .into_iter()
                .filter(|s| !matches!(s, Shape::Text { text, .. } if text == WORDS.counted))
                .collect();
            apart(&shapes, k, &format!("machine {i} at {w}"));
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
            inside(&shapes, &area, k, 3.0 * k, "positions");
            let mantissa = at.factor / 10f64.powf(at.factor.log10().floor());
            assert!([1.0, 2.0, 5.0].iter().any(|m| (mantissa - m).abs() < 1e-6), "factor {}", at.factor);
        }
    }
}

#[test]
fn both_drives_are_told_apart() {
    let shapes = |drive| {
        let view = MachineView { drive, ..samples::mill() };
        machine(&view, &MachineLayout::new(&view, Area::new(0.0, 0.0, 900.0, 220.0), 1.0, None), &WORDS)
    };
    assert_ne!(shapes(DriveDrawing::Rack), shapes(DriveDrawing::Screw));
}
