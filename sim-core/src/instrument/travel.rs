//! The signal over the travel: how strong and how true it is at every place, where it is worst, and whether it fades
//! from one end to the other.
//!
//! The travel is cut into cells of whole periods; each is measured as a whole when the table has passed it one way,
//! and the newest pass counts. A cell that the table turns round in is not measured.

use super::track::{Follower, POINTS_PER_PERIOD, Pull, check_period};
use crate::num::harmonics::HarmonicFit;
use crate::num::least_squares::Normal;
use crate::num::math::{hypot, nearest};
use crate::numbers::{FieldError, check_field};
use crate::record::{Record, Sample, Tap};
use std::f64::consts::TAU;

/// A place at least every so many metres.
pub const EVERY_M: f64 = 1e-3;
/// At least so many places.
pub const PLACES_MIN: f64 = 500.0;
/// Longest travel, m: at one place a millimetre this is 10 000 places.
const TRAVEL_MAX_M: f64 = 10.0;
/// Coefficients of mean and three harmonics, so that they do not bend the fundamental.
const COEFFICIENTS: usize = 7;

/// The signal at one place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// Middle of the measured stretch, m from machine zero.
    pub table_m: f64,
    /// Length of the vector (A, B), V: root of the mean of both squared amplitudes.
    pub vector_v: f64,
    /// Shortest vector from zero volts within the stretch, V: what a loss-of-signal monitor sees.
    pub shortest_v: f64,
    /// Amplitudes of A and B, V.
    pub amplitude_v: [f64; 2],
    /// Offsets of A and B, V.
    pub offset_v: [f64; 2],
    /// Phase error `(arg B + 90 deg) - arg A`, rad.
    pub phase_error_rad: f64,
    /// Gap, m.
    pub gap_m: f64,
    /// When it was passed, s.
    pub time_s: f64,
}

impl Place {
    /// Amplitude ratio `R_a/R_b`; `None` when B is dead.
    #[must_use]
    pub fn ratio(&self) -> Option<f64> {
        (self.amplitude_v[1] > 0.0).then(|| self.amplitude_v[0] / self.amplitude_v[1])
    }
}

/// The line through all measured places, by least squares.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Slope {
    /// Vector length at the start of the travel on the line, V.
    pub vector_at_start_v: f64,
    /// Growth of the vector, V/m.
    pub vector_v_per_m: f64,
    /// Gap at the start of the travel on the line, m.
    pub gap_at_start_m: f64,
    /// Growth of the gap, m/m.
    pub gap_m_per_m: f64,
    /// Places that it rests on.
    pub places: u32,
}

/// What is gathered while a cell is passed.
#[derive(Clone, Copy, Debug)]
struct Cell {
    from_m: f64,
    from_travelled_m: f64,
    last_travelled_m: f64,
    fit: HarmonicFit<COEFFICIENTS, 2>,
    count: u32,
    gap_sum_m: f64,
    shortest_v: f64,
}

impl Cell {
    fn starting(table_m: f64, travelled_m: f64) -> Self {
        Self {
            from_m: table_m,
            from_travelled_m: travelled_m,
            last_travelled_m: f64::NEG_INFINITY,
            fit: HarmonicFit::default(),
            count: 0,
            gap_sum_m: 0.0,
            shortest_v: f64::INFINITY,
        }
    }
}

/// The travel recorder.
#[derive(Clone, Debug)]
pub struct Travel {
    period_m: f64,
    start_m: f64,
    length_m: f64,
    cell_m: f64,
    places: Vec<Option<Place>>,
    follower: Follower,
    cell: Option<Cell>,
    /// Gap at the end of the last step, m; nothing is measured before the first.
    gap_m: Option<f64>,
}

impl Travel {
    /// A recorder for a grating of period `period_m` between two places on the axis, m from machine zero; a place
    /// every millimetre, but 500 at least.
    ///
    /// # Errors
    /// When a number is not finite or out of range: ends within -1 to 10 m, at least a hundred periods apart.
    pub fn new(period_m: f64, start_m: f64, end_m: f64) -> Result<Self, FieldError> {
        check_period(period_m)?;
        check_field("start_m", start_m, (-1.0, TRAVEL_MAX_M), "m")?;
        check_field("end_m", end_m, (start_m + 100.0 * period_m, TRAVEL_MAX_M), "m")?;
        let length_m = end_m - start_m;
        let count = libm::ceil(length_m / EVERY_M - 1e-9).max(PLACES_MIN);
        // Whole periods, so that the harmonics of the signal do not leak into each other.
        let cell_m = libm::ceil(length_m / count / period_m - 1e-9).max(1.0) * period_m;
        Ok(Self {
            period_m,
            start_m,
            length_m,
            cell_m,
            places: vec![None; count as usize],
            follower: Follower::new(period_m),
            cell: None,
            gap_m: None,
        })
    }

    /// All places from start to end; `None` where the table has not passed yet.
    #[must_use]
    pub fn places(&self) -> &[Option<Place>] {
        &self.places
    }

    /// Middle of place number `index`, m from machine zero.
    #[must_use]
    pub fn middle_m(&self, index: usize) -> f64 {
        self.start_m + (index as f64 + 0.5) * self.length_m / self.places.len() as f64
    }

    /// The place with the shortest vector.
    #[must_use]
    pub fn worst(&self) -> Option<Place> {
        self.measured().min_by(|p, q| p.vector_v.total_cmp(&q.vector_v)).copied()
    }

    /// The line through all places; `None` with fewer than two.
    #[must_use]
    pub fn slope(&self) -> Option<Slope> {
        let mut normal = Normal::<2, 2>::default();
        for p in self.measured() {
            // Scaled to the travel, so that the columns are of one size.
            normal.add(&[1.0, (p.table_m - self.start_m) / self.length_m], &[p.vector_v, p.gap_m]);
        }
        let [vector, gap] = normal.solve()?;
        Some(Slope {
            vector_at_start_v: vector[0],
            vector_v_per_m: vector[1] / self.length_m,
            gap_at_start_m: gap[0],
            gap_m_per_m: gap[1] / self.length_m,
            places: normal.rows(),
        })
    }

    /// Forgets what was measured.
    pub fn clear(&mut self) {
        self.places.fill(None);
        self.cell = None;
    }

    fn measured(&self) -> impl Iterator<Item = &Place> {
        self.places.iter().flatten()
    }

    fn finish(&mut self, cell: &Cell, sample: &Sample) {
        let (low_m, high_m) = (cell.from_m.min(sample.table_m), cell.from_m.max(sample.table_m));
        let place = cell.fit.solve().ok().map(|[a, b]| {
            let lead = b.phase_turns(1) + 0.25 - a.phase_turns(1);
            let amplitude_v = [a.amplitude(1), b.amplitude(1)];
            Place {
                table_m: 0.5 * (low_m + high_m),
                vector_v: hypot(amplitude_v[0], amplitude_v[1]) * std::f64::consts::FRAC_1_SQRT_2,
                shortest_v: cell.shortest_v,
                amplitude_v,
                offset_v: [a.mean(), b.mean()],
                phase_error_rad: (lead - nearest(lead)) * TAU,
                gap_m: cell.gap_sum_m / f64::from(cell.count),
                time_s: sample.time_s,
            }
        });
        // Every place whose middle was passed; neighbours share a border, so none is left out.
        let per_m = self.places.len() as f64 / self.length_m;
        let index = |m: f64| libm::ceil((m - self.start_m) * per_m - 0.5).clamp(0.0, self.places.len() as f64) as usize;
        let (from, to) = (index(low_m), index(high_m));
        self.places[from..to].fill(place);
    }
}

impl Tap for Travel {
    fn sample(&mut self, sample: &Sample) {
        let Some(gap_m) = self.gap_m else { return };
        match self.follower.go(sample.table_m) {
            Pull::Slack => return,
            Pull::Along => {}
            Pull::Started | Pull::Reversed => self.cell = None,
        }
        let travelled_m = self.follower.travelled_m();
        let mut cell = self.cell.unwrap_or_else(|| Cell::starting(sample.table_m, travelled_m));
        if travelled_m - cell.from_travelled_m >= self.cell_m {
            self.finish(&cell, sample);
            cell = Cell::starting(sample.table_m, travelled_m);
        }
        if travelled_m - cell.last_travelled_m >= self.period_m / POINTS_PER_PERIOD {
            cell.last_travelled_m = travelled_m;
            cell.fit.add(sample.table_m / self.period_m, &[sample.a_v, sample.b_v]);
            cell.count += 1;
            cell.gap_sum_m += gap_m;
            cell.shortest_v = cell.shortest_v.min(hypot(sample.a_v, sample.b_v));
        }
        self.cell = Some(cell);
    }

    fn record(&mut self, record: &Record) {
        self.gap_m = Some(record.gap_m);
    }
}

#[cfg(test)]
mod tests {
    use super::Travel;
    use crate::instrument::fixture::{Rig, travel};

    const PERIOD_M: f64 = 100e-6;

    fn rig() -> Rig {
        Rig {
            period_m: PERIOD_M,
            start_m: 0.01,
            offset_v: [0.02, -0.03],
            radius_v: [0.48, 0.55],
            phase_error_rad: 0.07,
            growth_per_m: -2.0,
            ..Rig::default()
        }
    }

    #[test]
    fn there_is_a_place_every_millimetre_and_500_at_least() {
        let count = |end| Travel::new(20e-6, 0.0, end).unwrap().places().len();
        assert_eq!((count(0.3), count(0.5), count(0.6), count(3.2)), (500, 500, 600, 3200));
        let t = Travel::new(1e-3, 0.0, 0.6).unwrap();
        assert!((t.middle_m(0) - 0.5e-3).abs() < 1e-12 && (t.middle_m(599) - 0.5995).abs() < 1e-12);
        let told = Travel::new(20e-6, 0.5, 0.4).unwrap_err().to_string();
        assert!(told.starts_with("end_m: 0.4 is outside the allowed range 0.502 to 10"), "{told}");
        assert!(Travel::new(f64::NAN, 0.0, 0.4).is_err());
    }

    // Source: the injected values; amplitude falls by 2 per metre, 0.1 m is passed.
    #[test]
    fn every_place_reads_what_was_put_there() {
        for way in [1.0, -1.0] {
            let mut rig = rig();
            rig.start_m = if way > 0.0 { 0.01 } else { 0.11 };
            rig.growth_per_m *= way;
            let mut t = Travel::new(PERIOD_M, 0.0, 0.12).unwrap();
            travel(&rig, way * 1000.0, 0.0213, &mut t);
            let measured: Vec<_> = t.places().iter().enumerate().filter_map(|(i, p)| p.map(|p| (i, p))).collect();
            // 500 places on 120 mm: 0.24 mm each; 100 mm of them passed, less the ends.
            assert!((412..=417).contains(&measured.len()), "{}", measured.len());
            assert!(measured.windows(2).all(|w| w[1].0 == w[0].0 + 1), "no holes between");
            for (index, p) in measured {
                assert!((p.table_m - t.middle_m(index)).abs() <= 0.15e-3 + 1e-9, "{p:?}");
                let grown = 1.0 + rig.growth_per_m * (p.table_m - rig.start_m);
                // The amplitude changes by 0.06 % over a cell.
                for k in 0..2 {
                    assert!((p.amplitude_v[k] / (rig.radius_v[k] * grown) - 1.0).abs() < 2e-4, "{p:?}");
                    assert!((p.offset_v[k] - rig.offset_v[k]).abs() < 2e-4, "{p:?}");
                }
                assert!((p.phase_error_rad - 0.07).abs() < 5e-4, "{p:?}");
                assert!((p.ratio().unwrap() * 0.55 / 0.48 - 1.0).abs() < 4e-4, "{p:?}");
                assert!((p.gap_m - 1e-4).abs() < 1e-12);
                assert!(p.shortest_v < p.vector_v && p.shortest_v > 0.7 * p.vector_v, "{p:?}");
            }
            let slope = t.slope().unwrap();
            let vector_v = ((0.48 * 0.48 + 0.55 * 0.55) / 2.0_f64).sqrt();
            assert!((slope.vector_v_per_m / (rig.growth_per_m * vector_v) - 1.0).abs() < 1e-3, "{slope:?}");
            assert!(slope.gap_m_per_m.abs() < 1e-12 && (slope.gap_at_start_m - 1e-4).abs() < 1e-12);
            // Faded at the far end of the way in either direction: growth is by place.
            let worst = t.worst().unwrap();
            let end_m = if way > 0.0 { 0.11 } else { 0.01 };
            assert!((worst.table_m - end_m).abs() < 0.5e-3, "{worst:?}");
        }
    }

    #[test]
    fn a_newer_pass_counts_and_places_never_passed_stay_empty() {
        let mut t = Travel::new(PERIOD_M, 0.0, 0.12).unwrap();
        assert_eq!((t.worst(), t.slope()), (None, None));
        travel(&Rig { growth_per_m: 0.0, ..rig() }, 500.0, 0.0213, &mut t);
        let first = t.places().iter().flatten().count();
        let weak = Rig { radius_v: [0.1; 2], growth_per_m: 0.0, start_m: 0.03, ..rig() };
        travel(&weak, 100.0, 0.0213, &mut t);
        assert_eq!(t.places().iter().flatten().count(), first);
        let worst = t.worst().unwrap();
        assert!((worst.vector_v - 0.1).abs() < 1e-9 && (0.03..0.04).contains(&worst.table_m), "{worst:?}");
        t.clear();
        assert_eq!(t.places().iter().flatten().count(), 0);
    }
}
