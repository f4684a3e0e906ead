//! Made-up views for looking at the drawings and for their tests: no state of a real bench, only its range.

use super::view::{CodeView, DirtView, DriveDrawing, FieldView, HeadView, Lies, LinkState, LinkView, MachineView};
use std::f64::consts::TAU;

/// Long axis on a rack, table in mid travel with some lag, one smear under the head.
pub fn gantry() -> MachineView {
    MachineView {
        travel_m: 3.2,
        stops_m: (-0.012, 3.212),
        home_switch_m: 0.060,
        home_pressed: false,
        mark_m: 0.110,
        table_m: 1.51499,
        command_m: 1.51799,
        counted_m: 1.50905,
        count_m: 2e-6,
        speed_mps: 0.343,
        drive: DriveDrawing::Rack,
        dirt: vec![
            DirtView { from_m: 1.507, to_m: 1.521, blocked: 0.88 },
            DirtView { from_m: 2.5, to_m: 2.58, blocked: 0.4 },
        ],
        gap_ends: (1.0, 1.35),
        light: 0.9,
        tripped: true,
        healthy_m: 1.5145,
        ghost: false,
        lies: Lies::Level,
    }
}

/// Short axis on a ball screw, at rest and healthy.
pub fn mill() -> MachineView {
    MachineView {
        travel_m: 0.5,
        stops_m: (-0.008, 0.508),
        home_switch_m: 0.004,
        home_pressed: false,
        mark_m: 0.0148,
        table_m: 0.21,
        command_m: 0.21,
        counted_m: 0.21,
        count_m: 2e-6,
        speed_mps: 0.0,
        drive: DriveDrawing::Screw,
        dirt: Vec::new(),
        gap_ends: (1.0, 1.0),
        light: 1.0,
        tripped: false,
        healthy_m: 0.21,
        ghost: false,
        lies: Lies::Level,
    }
}

/// Rotary table at 75 degrees, a smear on its ring, its mark beside zero.
pub fn rotary() -> MachineView {
    MachineView {
        travel_m: 0.36,
        stops_m: (0.0, 0.36),
        home_switch_m: f64::NAN,
        mark_m: 0.012,
        table_m: 0.075,
        command_m: 0.0752,
        counted_m: 0.075,
        healthy_m: 0.078,
        drive: DriveDrawing::Ring,
        dirt: vec![DirtView { from_m: 0.09, to_m: 0.10, blocked: 0.7 }],
        lies: Lies::Turning,
        ghost: true,
        ..mill()
    }
}

const PHASES: [(&str, f64); 4] = [("A+", 0.0), ("A\u{2212}", 0.5), ("B+", 0.25), ("B\u{2212}", 0.75)];

fn field(name: &'static str, phase: f64, turns: f64, contrast: f64) -> FieldView {
    let lit = 0.5 * (1.0 + 0.9 * contrast * (TAU * (turns - phase)).cos());
    FieldView { name, x_m: 0.0, y_m: 0.0, length_m: 2e-3, height_m: 2e-3, lit, current_a: 0.62e-6 * lit, used: true }
}

/// Glass scale of 20 um, four fields in diagonal pairs.
pub fn glass(x_m: f64) -> HeadView {
    let places = [(2e-3, 0.2e-3), (1e-3, 0.2e-3), (-2e-3, -0.2e-3), (-1e-3, -0.2e-3)];
    let fields = PHASES.iter().zip(places).map(|((name, phase), (x, y))| FieldView {
        x_m: x,
        y_m: y,
        length_m: 0.8e-3,
        height_m: 1.2e-3,
        ..field(name, *phase, x_m / 20e-6, 1.0)
    });
    HeadView {
        period_m: 20e-6,
        duty: 0.5,
        transmissive: true,
        x_m,
        gap_m: 0.10e-3,
        gap_nominal_m: 0.10e-3,
        gap_range_m: (0.02e-3, 0.30e-3),
        tilt_rad: 0.0,
        yaw_rad: 0.0,
        lamp: 1.0,
        contrast: 1.0,
        fields: fields.collect(),
        dirt: Vec::new(),
        sharp: 1.0,
        haze: 0.0,
        window: 1.0,
        code: None,
        ring_m: None,
        squared: false,
        ghost: false,
    }
}

/// Reflecting tape of 100 um, four fields between each other in one window.
pub fn tape(x_m: f64) -> HeadView {
    let fields = PHASES.iter().map(|(name, phase)| field(name, *phase, x_m / 100e-6, 1.0)).collect();
    HeadView {
        period_m: 100e-6,
        transmissive: false,
        gap_m: 0.8e-3,
        gap_nominal_m: 0.8e-3,
        gap_range_m: (0.1e-3, 2.0e-3),
        fields,
        ..glass(x_m)
    }
}

/// Four fields on a reflecting tape of 40 um, apart from each other, over a smear.
pub fn smeared(x_m: f64) -> HeadView {
    let places = [-1.9e-3, -1.0e-3, 1.0e-3, 1.9e-3];
    let fields = PHASES.iter().zip(places).map(|((name, phase), x)| FieldView {
        x_m: x,
        length_m: 0.75e-3,
        height_m: 1.4e-3,
        ..field(name, *phase, x_m / 40e-6, 0.15)
    });
    HeadView {
        period_m: 40e-6,
        contrast: 0.12,
        haze: 0.5,
        yaw_rad: 0.007,
        tilt_rad: 0.01,
        fields: fields.collect(),
        dirt: vec![DirtView { from_m: -3e-3, to_m: 9e-3, blocked: 0.88 }],
        ..tape(x_m)
    }
}

/// Coarse tape of 1 mm with two windows.
pub fn two_windows(x_m: f64) -> HeadView {
    let fields = [("A", 0.0, 1.125e-3), ("B", 0.25, -1.125e-3)].map(|(name, phase, x)| FieldView {
        x_m: x,
        length_m: 0.4e-3,
        height_m: 4e-3,
        ..field(name, phase, x_m / 1e-3, 1.0)
    });
    HeadView {
        period_m: 1e-3,
        gap_m: 1.5e-3,
        gap_nominal_m: 1.5e-3,
        gap_range_m: (0.2e-3, 3.0e-3),
        fields: fields.to_vec(),
        ..tape(x_m)
    }
}

/// The simplest head: one window; the second is there but not connected.
pub fn one_sensor(x_m: f64) -> HeadView {
    let mut view = two_windows(x_m);
    view.fields[1].used = false;
    view
}

/// A single field in the middle of the head.
pub fn one_field(x_m: f64) -> HeadView {
    let mut view = two_windows(x_m);
    view.fields.truncate(1);
    view.fields[0].x_m = 0.0;
    view
}

/// Tape of 100 um with a code track beside its lines; its head sends square waves.
pub fn coded(x_m: f64) -> HeadView {
    let bits = (0..61).map(|i: u32| (i * i * 7 + i * 3) % 11 < 5).collect();
    let code = CodeView { cell_m: 200e-6, from_m: -6.1e-3, bits, read: (30, 11) };
    HeadView { code: Some(code), squared: true, ..tape(x_m) }
}

/// Ring of 20 um lines on a turning table, with a film on the head's window and the healthy head under it.
pub fn ring(x_m: f64) -> HeadView {
    let (gap_m, tilt_rad) = (0.17e-3, 0.01);
    HeadView { ring_m: Some(57.3e-3), window: 0.55, ghost: true, gap_m, tilt_rad, yaw_rad: 0.004, ..glass(x_m) }
}

/// All heads with their names.
pub fn heads(x_m: f64) -> Vec<(&'static str, HeadView)> {
    vec![
        ("coded", coded(x_m)),
        ("ring", ring(x_m)),
        ("smeared", smeared(x_m)),
        ("tape", tape(x_m)),
        ("glass", glass(x_m)),
        ("two-windows", two_windows(x_m)),
        ("one-sensor", one_sensor(x_m)),
        ("one-field", one_field(x_m)),
    ]
}

/// The chain with its channel broken and an alarm at the end.
pub fn broken_chain() -> Vec<LinkView> {
    let link = |name, words: &str, state| LinkView { name, words: words.to_owned(), state };
    vec![
        link("Light", "on, 100 %", LinkState::Good),
        link("Current", "0.31 \u{b5}A, flat", LinkState::Weak),
        link("Channel", "0.12 V, needs 0.20", LinkState::Broken),
        link("Count", "stands still", LinkState::Behind),
        link("Loop", "8.9 mm behind", LinkState::Behind),
        link("Alarm", "following error", LinkState::Alarm),
    ]
}

/// The chain with everything in order.
pub fn good_chain() -> Vec<LinkView> {
    let words = ["on, 100 %", "0.31 \u{b5}A", "0.97 V", "runs", "3.3 mm behind, as expected", "none"];
    let names = ["Light", "Current", "Channel", "Count", "Loop", "Alarm"];
    let link = |(name, words): (&'static str, &str)| LinkView { name, words: words.to_owned(), state: LinkState::Good };
    names.into_iter().zip(words).map(link).collect()
}
