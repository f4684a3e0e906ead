//! The two-way scan: the axis goes end to end and back at one speed, and current, following error, signal and both
//! encoders are written down at each millimetre.

use super::Figure;
use super::drive::{Stopped, move_to};
use crate::bench::Sim;
use crate::num::least_squares::Normal;
use crate::num::math::{hypot, sincos_turns};
use crate::record::{Record, Tap};

/// Distance of the places, m.
const EVERY_M: f64 = 1e-3;

/// What is left out at both ends, where the axis speeds up, m.
const ENDS_M: f64 = 15e-3;

/// What was read at one place.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Place {
    /// By the control's reading, m.
    pub at_m: f64,
    /// Motor current, mean over the millimetre, A.
    pub current_a: f64,
    /// Following error, mean, m.
    pub error_m: f64,
    /// Following error less what is expected, greatest by size, m.
    pub departure_m: f64,
    /// Mean length of the vector of A and B, V.
    pub vector_v: f64,
    /// Scale less motor encoder, mean, m.
    pub mismatch_m: f64,
}

/// A scan both ways.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Scan {
    /// Places on the way up.
    pub up: Vec<Place>,
    /// Places on the way down, also in rising order.
    pub down: Vec<Place>,
    /// What ended it early.
    pub stopped: Option<Stopped>,
}

/// Gathers the records of a pass.
#[derive(Default)]
struct Pass {
    places: Vec<Place>,
    sum: Place,
    count: u32,
    cell: i64,
}

impl Pass {
    fn close(&mut self) {
        if self.count == 0 {
            return;
        }
        let n = f64::from(self.count);
        let s = self.sum;
        self.places.push(Place {
            at_m: s.at_m / n,
            current_a: s.current_a / n,
            error_m: s.error_m / n,
            departure_m: s.departure_m,
            vector_v: s.vector_v / n,
            mismatch_m: s.mismatch_m / n,
        });
        (self.sum, self.count) = (Place::default(), 0);
    }
}

impl Tap for Pass {
    const SAMPLES: bool = false;

    fn record(&mut self, r: &Record) {
        let cell = libm::floor(r.table_m / EVERY_M) as i64;
        if cell != self.cell {
            self.close();
            self.cell = cell;
        }
        let sum = &mut self.sum;
        sum.at_m += r.table_m;
        sum.current_a += r.current_a;
        sum.error_m += r.error_m;
        let departure = r.error_m - r.expected_m;
        if departure.abs() > sum.departure_m.abs() {
            sum.departure_m = departure;
        }
        sum.vector_v += hypot(r.amplitude_a_v, r.amplitude_b_v) * std::f64::consts::FRAC_1_SQRT_2;
        sum.mismatch_m += r.counted_m - r.motor_m;
        self.count += 1;
    }
}

/// Scans from `from_m` to `to_m` and back at `speed_mps`.
///
/// # Errors
/// None: what stopped it is part of the scan.
pub fn scan(sim: &mut Sim, from_m: f64, to_m: f64, speed_mps: f64) -> Scan {
    scan_with(sim, from_m, to_m, speed_mps, &mut ())
}

/// The same, with a tap that looks on.
///
/// # Errors
/// None: what stopped it is part of the scan.
pub fn scan_with<T: Tap>(sim: &mut Sim, from_m: f64, to_m: f64, speed_mps: f64, tap: &mut T) -> Scan {
    let mut scan = Scan::default();
    let mut pass = |sim: &mut Sim, target_m: f64| {
        let mut pass = Pass::default();
        let result = move_to(sim, target_m, speed_mps, &mut (&mut pass, &mut *tap));
        pass.close();
        pass.places.retain(|p| (from_m + ENDS_M..to_m - ENDS_M).contains(&p.at_m));
        (pass.places, result.err())
    };
    scan.stopped = move_to(sim, from_m, speed_mps, &mut ()).err();
    if scan.stopped.is_none() {
        (scan.up, scan.stopped) = pass(sim, to_m);
    }
    if scan.stopped.is_none() {
        (scan.down, scan.stopped) = pass(sim, from_m);
        scan.down.reverse();
    }
    scan
}

impl Scan {
    /// Its figures; `lead_m` is the way of one screw or pinion turn. Names end in `tag`'s unit; slow and fast scans are
    /// told apart by the caller.
    #[must_use]
    pub fn figures(&self, lead_m: f64) -> Vec<Figure> {
        let both = self.up.len().min(self.down.len());
        if both < 20 {
            return Vec::new();
        }
        let (up, down) = (&self.up[..both], &self.down[..both]);
        let mean = |places: &[Place], of: fn(&Place) -> f64| places.iter().map(of).sum::<f64>() / places.len() as f64;
        let (i_up, i_down) = (mean(up, |p| p.current_a), mean(down, |p| p.current_a));
        let bump = |places: &[Place], mean: f64| places.iter().map(|p| (p.current_a - mean).abs()).fold(0.0, f64::max);
        let weakest = up.iter().map(|p| p.vector_v).fold(f64::INFINITY, f64::min);
        // Slope of mismatch over the place, and how far both ways stand apart (lost motion in between).
        let mut line = Normal::<4, 1>::default();
        for p in up {
            let (sin, cos) = sincos_turns(p.at_m / lead_m);
            line.add(&[1.0, p.at_m, cos, sin], &[p.mismatch_m]);
        }
        let [of] = line.solve().unwrap_or_default();
        let apart = up.iter().zip(down).map(|(u, d)| d.mismatch_m - u.mismatch_m).sum::<f64>() / both as f64;
        vec![
            Figure::new("friction_a", 0.5 * (i_up - i_down), 0.05),
            Figure::new("weight_a", 0.5 * (i_up + i_down), 0.05),
            Figure::new("bump_up_a", bump(up, i_up), 0.2),
            Figure::new("bump_down_a", bump(down, i_down), 0.2),
            Figure::new("error_mm", mean(up, |p| p.error_m) * 1e3, 0.05),
            Figure::new("departure_mm", up.iter().map(|p| p.departure_m.abs()).fold(0.0, f64::max) * 1e3, 0.1),
            Figure::new("vector_v", mean(up, |p| p.vector_v), 0.02),
            Figure::new("weakest_v", weakest, 0.03),
            Figure::new("mismatch_um_per_m", of[1] * 1e6, 10.0),
            Figure::new("mismatch_cyclic_um", hypot(of[2], of[3]) * 1e6, 1.0),
            Figure::new("lost_motion_um", apart.abs() * 1e6, 3.0),
        ]
    }
}
