//! Marks on their scale, compiled for the question asked at every sample: is one seen here?

use super::{CELLS, MarkLayout, MarkParams, SurfaceIndex, WindowCursor, correlate};
use crate::limits::FieldError;
use crate::num::math::nearest;

/// The mark nearest to a place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NearestMark {
    /// Number along the scale from 0; on a disc the number of the turn.
    pub number: i64,
    /// Place of the mark, m, without its adjustment error.
    pub at_m: f64,
}

/// Which mark was nearest last: makes the next question cheap, never changes its answer. Not
/// part of the bench state; a fresh one for every new [`MarkTrack`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MarkCursor {
    low_m: f64,
    high_m: f64,
    middle_m: f64,
}

impl Default for MarkCursor {
    fn default() -> Self {
        // An empty stretch: the first question looks for its mark.
        Self { low_m: f64::INFINITY, high_m: f64::NEG_INFINITY, middle_m: 0.0 }
    }
}

/// The marks of a scale with their dirt. Rebuilt when parameters or surface change; not saved.
#[derive(Clone, Debug, PartialEq)]
pub struct MarkTrack {
    layout: MarkLayout,
    period_m: f64,
    per_cell: f64,
    /// From a mark's place to the middle of its pattern, m.
    centre_m: f64,
    meeting: [f64; CELLS],
    /// Signal above which a mark is seen, one slit's light.
    level: f64,
    light: f64,
    /// Farthest from the middle of a pattern where any light passes, m.
    reach_m: f64,
    sharpness: f64,
    /// What the surface leaves of each mark, 0 to 1.
    gains: Vec<f64>,
    false_mark_m: Option<f64>,
}

impl MarkTrack {
    /// Works the marks out.
    ///
    /// # Errors
    /// As [`MarkParams::check`].
    pub fn new(params: &MarkParams, surface: &SurfaceIndex) -> Result<Self, FieldError> {
        params.check()?;
        let meeting = params.code.meeting();
        let length_m = f64::from(params.code.cells()) * params.cell_m;
        let mut track = Self {
            layout: params.layout,
            period_m: params.period_m,
            per_cell: 1.0 / params.cell_m,
            centre_m: params.period_m / 8.0 + params.adjustment_m,
            meeting,
            level: params.threshold * meeting[0],
            light: params.light,
            reach_m: length_m,
            sharpness: params.sharpness(),
            gains: Vec::new(),
            false_mark_m: params.false_mark_m,
        };
        let mut cursor = WindowCursor::default();
        track.gains = (0..track.count())
            .map(|number| {
                let middle_m = track.place_m(number) + track.centre_m;
                params.amplitude * surface.mean(middle_m - length_m / 2.0, middle_m + length_m / 2.0, &mut cursor).ac
            })
            .collect();
        Ok(track)
    }

    /// Follows the brightness `u q`: one number, so that a brightness loop can move it in every step.
    #[inline]
    pub fn set_light(&mut self, light: f64) {
        self.light = light;
    }

    /// Number of marks on the scale; 1 on a disc.
    #[must_use]
    pub fn count(&self) -> u32 {
        match self.layout {
            MarkLayout::Single { .. } | MarkLayout::Ring { .. } => 1,
            MarkLayout::Periodic { count, .. } => count,
            MarkLayout::DistanceCoded { plan, .. } => plan.count(),
        }
    }

    /// Place of a mark by its number from 0, m, without its adjustment error.
    #[must_use]
    pub fn place_m(&self, number: u32) -> f64 {
        match self.layout {
            MarkLayout::Single { at_m } | MarkLayout::Ring { at_m, .. } => at_m,
            MarkLayout::Periodic { first_m, every_m, .. } => first_m + f64::from(number) * every_m,
            MarkLayout::DistanceCoded { zero_m, plan } => {
                zero_m + plan.place_periods(plan.mark(number)) as f64 * self.period_m
            }
        }
    }

    /// The mark nearest to a place, m.
    #[inline]
    #[must_use]
    pub fn nearest(&self, x_m: f64) -> NearestMark {
        // `max` before `min` lets a broken place answer with the first mark.
        let whole = |x: f64, low: f64, high: f64| nearest(x).max(low).min(high);
        match self.layout {
            MarkLayout::Single { at_m } => NearestMark { number: 0, at_m },
            MarkLayout::Periodic { first_m, every_m, count } => {
                let number = whole((x_m - first_m) / every_m, 0.0, f64::from(count) - 1.0);
                NearestMark { number: number as i64, at_m: first_m + number * every_m }
            }
            MarkLayout::Ring { at_m, circumference_m } => {
                let turn = whole((x_m - at_m) / circumference_m, -1e12, 1e12);
                NearestMark { number: turn as i64, at_m: at_m + turn * circumference_m }
            }
            MarkLayout::DistanceCoded { zero_m, plan } => {
                let x = (x_m - zero_m) / self.period_m;
                let (basic, step) = (f64::from(plan.basic_periods), f64::from(plan.step_periods));
                let marks = f64::from(plan.coded_marks);
                let fixed = whole(x / basic, 1.0, marks + 1.0);
                let coded = whole((x - basic / 2.0) / (basic + step), 1.0, marks);
                let (at_fixed, at_coded) = (fixed * basic, coded * (basic + step) + basic / 2.0);
                let is_fixed = (x - at_fixed).abs() <= (x - at_coded).abs();
                let (number, at) = if is_fixed { (2.0 * fixed - 2.0, at_fixed) } else { (2.0 * coded - 1.0, at_coded) };
                NearestMark { number: number as i64, at_m: zero_m + at * self.period_m }
            }
        }
    }

    /// Signal of the mark track, in units of one slit's light when clean, sharp and bright:
    /// peak 8 (eight slits) or 1 (one).
    #[inline]
    #[must_use]
    pub fn signal(&self, x_m: f64) -> f64 {
        // A pattern's middle is what counts, so ask with the centre taken off.
        let from_m = x_m - self.centre_m;
        let mark = self.nearest(from_m);
        let mut signal = 0.0;
        let offset_m = from_m - mark.at_m;
        if offset_m.abs() < self.reach_m {
            let gain = match self.layout {
                MarkLayout::Ring { .. } => self.gains[0],
                _ => self.gains[mark.number as usize],
            };
            signal = gain * correlate(&self.meeting, offset_m * self.per_cell);
        }
        if let Some(false_m) = self.false_mark_m
            && (x_m - false_m).abs() < self.reach_m
        {
            signal = signal.max(correlate(&self.meeting, (x_m - false_m) * self.per_cell));
        }
        self.light * self.sharpness * signal
    }

    /// Whether the mark track's signal is above its threshold; still to be gated with A and B.
    /// The cursor remembers the mark that is nearest, so that continuous motion costs one
    /// comparison away from it.
    #[inline]
    #[must_use]
    pub fn seen(&self, x_m: f64, cursor: &mut MarkCursor) -> bool {
        if x_m < cursor.low_m || x_m >= cursor.high_m {
            *cursor = self.around(x_m);
        }
        let near = (x_m - cursor.middle_m).abs() < self.reach_m
            || self.false_mark_m.is_some_and(|false_m| (x_m - false_m).abs() < self.reach_m);
        near && self.signal(x_m) > self.level
    }

    /// Whether a mark is seen inside its gate: the one squared period of `square_m` that stands at
    /// the beginning of each signal period of the lines, taken half its length wide around the
    /// state that latches. Marks sit on whole signal periods, and what is seen of one reaches no
    /// second gate (see [`super::MarkParams::tolerance_m`]), so this holds for every layout.
    #[inline]
    #[must_use]
    pub fn gated(&self, x_m: f64, square_m: f64, cursor: &mut MarkCursor) -> bool {
        self.seen(x_m, cursor) && in_gate(x_m, nearest(x_m / self.period_m) * self.period_m, square_m)
    }

    /// The stretch around a place where the same mark is nearest.
    fn around(&self, x_m: f64) -> MarkCursor {
        let here = self.nearest(x_m - self.centre_m);
        let middle_m = here.at_m + self.centre_m;
        let half_way_m = |other_m: f64| 0.5 * (here.at_m + other_m) + self.centre_m;
        let (low_m, high_m) = match self.layout {
            MarkLayout::Ring { circumference_m, .. } => {
                (middle_m - circumference_m / 2.0, middle_m + circumference_m / 2.0)
            }
            _ => {
                let (number, last) = (here.number as u32, self.count() - 1);
                let low_m = if number == 0 { f64::NEG_INFINITY } else { half_way_m(self.place_m(number - 1)) };
                let high_m = if number == last { f64::INFINITY } else { half_way_m(self.place_m(number + 1)) };
                (low_m, high_m)
            }
        };
        MarkCursor { low_m, high_m, middle_m }
    }
}

/// Whether a place is in the gate of a period that begins at `at_m`.
#[inline]
fn in_gate(x_m: f64, at_m: f64, square_m: f64) -> bool {
    (x_m - at_m - square_m / 8.0).abs() < square_m / 4.0
}
