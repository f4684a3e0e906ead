//! A signal of known faults on a table that moves evenly: what the meters are tested on.

use crate::num::random::Stream;
use crate::record::{Record, Sample, Tap};
use std::f64::consts::TAU;

/// The signal, made with libm so that no kernel of the meters checks itself.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Rig {
    pub(crate) period_m: f64,
    pub(crate) start_m: f64,
    pub(crate) offset_v: [f64; 2],
    pub(crate) radius_v: [f64; 2],
    pub(crate) phase_error_rad: f64,
    /// Third harmonic of both channels against the fundamental, `cos + h cos 3t`, `sin - h sin 3t`.
    pub(crate) third: f64,
    pub(crate) noise_v: f64,
    /// Growth of both amplitudes along the travel, 1/m.
    pub(crate) growth_per_m: f64,
    pub(crate) exchanged: bool,
    pub(crate) sample_s: f64,
    /// Switching levels of the squares, V.
    pub(crate) threshold_v: [f64; 2],
}

impl Default for Rig {
    fn default() -> Self {
        Self {
            period_m: 20e-6,
            start_m: 0.123_456_7,
            offset_v: [0.0; 2],
            radius_v: [0.5; 2],
            phase_error_rad: 0.0,
            third: 0.0,
            noise_v: 0.0,
            growth_per_m: 0.0,
            exchanged: false,
            sample_s: 1e-6,
            threshold_v: [0.0; 2],
        }
    }
}

impl Rig {
    /// Voltages of A and B at a place.
    pub(crate) fn at(&self, table_m: f64) -> (f64, f64) {
        let t = TAU * (table_m / self.period_m - libm::floor(table_m / self.period_m));
        let grown = 1.0 + self.growth_per_m * (table_m - self.start_m);
        let a = libm::cos(t) + self.third * libm::cos(3.0 * t);
        let b = libm::sin(t + self.phase_error_rad) - self.third * libm::sin(3.0 * t);
        let v = (
            self.offset_v[0] + grown * self.radius_v[0] * a, //
            self.offset_v[1] + grown * self.radius_v[1] * b,
        );
        if self.exchanged { (v.1, v.0) } else { v }
    }
}

/// Moves the table by so many periods in steps of `step` periods; a record follows every sample. Ends where it ends.
pub(crate) fn travel(rig: &Rig, periods: f64, step: f64, tap: &mut impl Tap) {
    let steps = libm::round(periods.abs() / step) as u32;
    let mut noise = Stream::named(17, "fixture");
    for i in 0..=steps {
        let table_m = rig.start_m + f64::from(i) * step * rig.period_m * if periods < 0.0 { -1.0 } else { 1.0 };
        let (a_v, b_v) = rig.at(table_m);
        let (a_v, b_v) = (a_v + rig.noise_v * noise.normal(), b_v + rig.noise_v * noise.normal());
        let time_s = f64::from(i) * rig.sample_s;
        tap.sample(&Sample {
            time_s,
            table_m,
            a_v,
            b_v,
            square_a: a_v > rig.threshold_v[0],
            square_b: b_v > rig.threshold_v[1],
            count: 0,
        });
        tap.record(&Record { time_s, table_m, gap_m: 1e-4, ..Record::default() });
    }
}
