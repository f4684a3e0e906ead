//! The preset table, row by row, against the model.
//!
//! Source of every number: the preset table of the signal specification, computed there with
//! an independent program; tolerances are half a unit of the last printed digit, where not
//! said otherwise.

use super::{OutputKind, ScaleId, ScaleSpec};
use crate::chain::light::{GapTable, table_entry, yaw_factor};
use std::f64::consts::PI;

/// One row: what the table prints.
struct Row {
    id: ScaleId,
    /// Modulation `C_1 = 2 J_1/J_0` at the nominal gap, and half its last digit.
    modulation: (f64, f64),
    /// Gap window, mm, and half its last digit.
    window_mm: (f64, f64, f64),
    /// Range of gaps covered, mm.
    range_mm: (f64, f64),
    /// Yaw that takes a tenth of the amplitude, degrees, and half its last digit.
    yaw_deg: (f64, f64),
}

const ROWS: [Row; 7] = [
    Row {
        id: ScaleId::Tape1000,
        modulation: (0.8069, 0.5e-4),
        window_mm: (0.0, 3.1, 0.05),
        range_mm: (0.0, 4.0),
        yaw_deg: (3.6, 0.05),
    },
    Row {
        id: ScaleId::Disc100,
        modulation: (0.7134, 0.5e-4),
        window_mm: (0.0, 1.6, 0.05),
        range_mm: (0.0, 4.0),
        yaw_deg: (6.0, 0.05),
    },
    Row {
        id: ScaleId::Tape100,
        modulation: (0.7652, 0.5e-4),
        window_mm: (0.30, 1.13, 0.005),
        range_mm: (0.0, 2.0),
        yaw_deg: (0.72, 0.005),
    },
    Row {
        id: ScaleId::Tape40,
        modulation: (0.6043, 0.5e-4),
        window_mm: (0.62, 0.96, 0.005),
        range_mm: (0.0, 2.2),
        yaw_deg: (0.38, 0.005),
    },
    Row {
        id: ScaleId::Glass20,
        modulation: (0.7989, 0.5e-4),
        window_mm: (0.06, 0.13, 0.005),
        range_mm: (0.0, 0.4),
        yaw_deg: (0.24, 0.005),
    },
    Row {
        id: ScaleId::Disc2500,
        modulation: (0.9548, 0.5e-4),
        window_mm: (0.0, 0.36, 0.005),
        range_mm: (0.0, 1.2),
        yaw_deg: (0.54, 0.005),
    },
    Row {
        id: ScaleId::Glass4,
        modulation: (1.029, 0.5e-3),
        window_mm: (0.093, 0.103, 0.0005),
        range_mm: (0.07, 0.13),
        yaw_deg: (0.11, 0.005),
    },
];

fn modulation(id: ScaleId) -> f64 {
    let s = id.spec();
    2.0 * table_entry(&s, 1, s.gap_nominal_m) / table_entry(&s, 0, s.gap_nominal_m)
}

/// Widest span of gaps around the nominal one, mm, where the modulation (the amplitude at
/// constant mean light, as a brightness loop keeps it) stays within 20 %.
fn window_mm(id: ScaleId) -> (f64, f64) {
    let spec = id.spec();
    let table = GapTable::build(&spec);
    let modulation = |gap_m: f64| table.at(gap_m)[1] / table.at(gap_m)[0];
    let nominal = modulation(spec.gap_nominal_m);
    let good = |gap_m: f64| (modulation(gap_m) / nominal - 1.0).abs() <= 0.2;
    let step = (spec.gap_max_m - spec.gap_min_m) / 4000.0;
    let walk = |direction: f64| {
        let mut gap_m = spec.gap_nominal_m;
        while gap_m >= spec.gap_min_m && gap_m <= spec.gap_max_m && good(gap_m) {
            gap_m += direction * step;
        }
        (gap_m - direction * step) * 1e3
    };
    (walk(-1.0), walk(1.0))
}

/// Yaw where the fundamental has lost a tenth, degrees.
fn yaw_deg(id: ScaleId) -> f64 {
    let spec = id.spec();
    let field = &spec.fields[0];
    let (mut low, mut high) = (0.0, spec.period_m / field.height_m);
    for _ in 0..60 {
        let middle: f64 = 0.5 * (low + high);
        let left = yaw_factor(1, middle, field.length_m, field.height_m, spec.period_m);
        if left > 0.9 { low = middle } else { high = middle }
    }
    low.to_degrees()
}

/// First gap beyond the nominal one where the fundamental changes its sign, mm.
fn null_mm(spec: &ScaleSpec) -> Option<f64> {
    let table = GapTable::build(spec);
    let part = |i: u32| f64::from(i) / 20_000.0;
    let gap_m = |i: u32| spec.gap_nominal_m + part(i) * (spec.gap_max_m - spec.gap_nominal_m);
    let sign = table.at(spec.gap_nominal_m)[1] > 0.0;
    (1..=20_000).map(gap_m).find(|gap_m| (table.at(*gap_m)[1] > 0.0) != sign).map(|gap_m| gap_m * 1e3)
}

#[test]
fn nominal_modulations_are_those_of_the_preset_table() {
    for row in &ROWS {
        let (expected, tolerance) = row.modulation;
        let found = modulation(row.id);
        // 1e-4 is the tolerance of the coefficients themselves (validation row V54).
        assert!((found - expected).abs() < tolerance + 1e-4 * expected, "{:?}: {found}", row.id);
    }
}

#[test]
fn gap_windows_are_those_of_the_preset_table() {
    for row in &ROWS {
        let (low_mm, high_mm, tolerance) = row.window_mm;
        let spec = row.id.spec();
        let (low, high) = window_mm(row.id);
        let slack = tolerance + (spec.gap_max_m - spec.gap_min_m) * 1e3 / 4000.0;
        assert!((low - low_mm).abs() <= slack, "{:?} from {low} mm", row.id);
        assert!((high - high_mm).abs() <= slack, "{:?} to {high} mm", row.id);
        let range = (spec.gap_min_m * 1e3, spec.gap_max_m * 1e3);
        assert!((range.0 - row.range_mm.0).abs() < 1e-9 && (range.1 - row.range_mm.1).abs() < 1e-9, "{:?}", row.id);
    }
}

#[test]
fn yaw_for_a_tenth_is_that_of_the_preset_table() {
    for row in &ROWS {
        let (expected, tolerance) = row.yaw_deg;
        let found = yaw_deg(row.id);
        assert!((found - expected).abs() <= tolerance, "{:?}: {found} deg", row.id);
    }
}

// The table prints the nulls of diffraction, a quarter Talbot length away. On the 2500-line
// disc the source's own blur has its null before that, at the first zero of J1, 3.8317060
// (Born and Wolf): 1.1035 mm.
#[test]
fn gap_nulls_are_those_of_the_preset_table() {
    for (id, expected, tolerance) in
        [(ScaleId::Tape40, 1.882, 0.0005), (ScaleId::Glass20, 0.2325, 0.00005), (ScaleId::Disc2500, 1.163, 0.0005)]
    {
        let pinpoint = ScaleSpec { source_half_angle_rad: 1e-6, ..id.spec() };
        let found = null_mm(&pinpoint).expect("a null in range");
        assert!((found - expected).abs() <= tolerance + 1e-4 * expected, "{id:?}: {found} mm");
        let spec = id.spec();
        let blur = 3.831_706 * spec.period_m / (2.0 * PI * spec.source_half_angle_rad * spec.kappa) * 1e3;
        let real = null_mm(&spec).expect("a null in range");
        assert!((real / expected.min(blur) - 1.0).abs() < 1e-3, "{id:?}: {real} mm");
    }
    for id in [ScaleId::Tape1000, ScaleId::Disc100] {
        let pinpoint = ScaleSpec { source_half_angle_rad: 1e-6, ..id.spec() };
        assert_eq!(null_mm(&pinpoint), None, "{id:?}: none reachable for coarse scales");
    }
    assert_eq!(null_mm(&ScaleId::Tape1000.spec()), None);
    // The slotted disc's blur does have a null just inside its range.
    let blur = null_mm(&ScaleId::Disc100.spec()).expect("a null in range");
    assert!((blur - 3.832).abs() < 1e-3, "{blur} mm");
}

// Source: Talbot effect; the planes of the 4 um glass repeat every half Talbot length, 24 um.
#[test]
fn fine_glass_shows_a_null_every_24_um() {
    let spec = ScaleId::Glass4.spec();
    let table = GapTable::build(&spec);
    let gap_m = |i: u32| spec.gap_min_m + f64::from(i) * 1e-9;
    let sign = |i: u32| table.at(gap_m(i))[1] > 0.0;
    let nulls: Vec<f64> = (1..60_000).filter(|i| sign(*i) != sign(i - 1)).map(gap_m).collect();
    assert!(nulls.len() >= 2, "{nulls:?}");
    for pair in nulls.windows(2) {
        assert!((pair[1] - pair[0] - 24e-6).abs() < 0.5e-6, "{nulls:?}");
    }
}

#[test]
fn code_scales_are_what_the_table_says() {
    let (tape, plain) = (ScaleId::CodeTape11.spec(), ScaleId::Tape100.spec());
    assert_eq!((tape.period_m, tape.gap_nominal_m, &tape.fields), (plain.period_m, plain.gap_nominal_m, &plain.fields));
    let Some(super::CodeSpec::Sequence { bits, cell_m, .. }) = tape.code else { panic!("a code track") };
    // 409.4 mm unique.
    assert!((((1_u32 << bits) - 1) as f64 * cell_m - 0.4094).abs() < 1e-9);
    let Some(super::CodeSpec::Gray { tracks, inner_m, outer_m }) = ScaleId::CodeDisc10.spec().code else {
        panic!("Gray tracks")
    };
    assert_eq!((tracks, inner_m, outer_m), (10, 12e-3, 22e-3));
    assert_eq!(ScaleId::Tape100.spec().squares_per_period, Some(5));
    assert_eq!(ScaleId::Disc2500.spec().squares_per_period, Some(1));
    assert_eq!(ScaleId::Glass4.spec().output, OutputKind::Differential1Vpp);
}
