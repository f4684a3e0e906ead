//! What must hold for any meter on any samples.

use super::edges::Edges;
use super::figure::Figure;
use super::levels::Levels;
use super::scope::{Scope, ScopeSettings, Sweep};
use super::spectrum::Spectrum;
use super::travel::Travel;
use crate::record::{Record, Sample, Tap};
use proptest::prelude::{Strategy, any, prop_assert, proptest};

/// A walk of the table with signals that need not fit it.
fn samples() -> impl Strategy<Value = Vec<Sample>> {
    let one = (-8e-6..12e-6_f64, 1e-7..60e-6_f64, -1e3..1e3_f64, -1e3..1e3_f64, any::<(bool, bool)>());
    proptest::collection::vec(one, 0..600).prop_map(|steps| {
        let (mut table_m, mut time_s) = (0.2, 0.0);
        let walk = steps.into_iter().map(|(dx, dt, a_v, b_v, (square_a, square_b))| {
            (table_m, time_s) = (table_m + dx, time_s + dt);
            Sample { time_s, table_m, a_v, b_v, square_a, square_b, count: 0 }
        });
        walk.collect()
    })
}

proptest! {
    // Law: finite samples give finite readings or a refusal in words; nothing panics.
    #[test]
    fn finite_samples_give_finite_readings_or_a_refusal(list in samples(), window_s in 1e-4..1e-2_f64) {
        let mut scope = Scope::new(ScopeSettings { window_s, sweep: Sweep::Auto, ..ScopeSettings::default() }).unwrap();
        let mut figure = Figure::new(20e-6, 16.0, [0.0; 2]).unwrap();
        let mut levels = Levels::new(20e-6, 16.0).unwrap();
        let mut spectrum = Spectrum::new(20e-6, 16.0, [0.0; 2]).unwrap();
        let mut travel = Travel::new(20e-6, 0.195, 0.205).unwrap();
        let mut edges = Edges::new(20e-6).unwrap();
        let mut taps = ((&mut scope, &mut figure), ((&mut levels, &mut spectrum), (&mut travel, &mut edges)));
        for s in &list {
            taps.sample(s);
            let photocurrent_a = [s.a_v.abs() * 1e-9, 1e-7, 0.0, s.b_v * 1e-9];
            taps.record(&Record { table_m: s.table_m, gap_m: 1e-4, photocurrent_a, ..Record::default() });
        }
        if let Ok(r) = figure.reading() {
            let e = r.ellipse;
            let all = [e.offset_v[0], e.offset_v[1], e.radius_v[0], e.radius_v[1], e.phase_error_rad];
            prop_assert!(all.iter().all(|v| v.is_finite()), "{r:?}");
            prop_assert!(r.after.peak_to_peak_m.is_finite() && r.after.rms_m.is_finite(), "{r:?}");
        }
        if let Ok(r) = levels.reading() {
            for c in [r.a, r.b] {
                let all = [c.amplitude_v, c.offset_v, c.noise_v, c.third_harmonic, c.snr.unwrap_or(0.0)];
                prop_assert!(all.iter().all(|v| v.is_finite()), "{r:?}");
            }
            let rest = [r.ratio, r.phase_error_rad, r.position_jitter_m, r.edge_jitter_s];
            prop_assert!(rest.iter().flatten().all(|v| v.is_finite()) && r.frequency_hz.is_finite(), "{r:?}");
        }
        if let Ok(visibility) = levels.visibility() {
            prop_assert!(visibility.iter().flatten().all(|v| (0.0..=1.0).contains(v)), "{visibility:?}");
        }
        if let Ok(r) = spectrum.reading(None) {
            prop_assert!(r.harmonics.iter().all(|h| h.amplitude_m.is_finite()), "{r:?}");
            prop_assert!(r.remainder_rms_m.is_finite(), "{r:?}");
        }
        if let Ok(r) = edges.reading() {
            prop_assert!((0.0..=1.0).contains(&r.duty_a) && r.square_m > 0.0, "{r:?}");
        }
        for p in travel.places().iter().flatten() {
            let all = [p.vector_v, p.shortest_v, p.phase_error_rad, p.gap_m, p.offset_v[0], p.offset_v[1]];
            prop_assert!(all.iter().all(|v| v.is_finite()), "{p:?}");
        }
        if let Some(screen) = scope.screen() {
            prop_assert!(screen.dots.iter().all(|d| d.a_v.abs() <= 1e3 && d.b_v.abs() <= 1e3));
        }
    }
}
