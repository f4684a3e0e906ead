//! What lies on the scale and what is missing from it.
//!
//! A [`SurfaceMap`] is a sparse, piecewise-constant map along the scale: films that absorb
//! and scatter, and places without lines. It is part of the saved bench. The chain reads it
//! through its compiled form, [`SurfaceIndex`], which averages it over a field's window in
//! constant time. Where the dirt lies across the track is left out.

use crate::num::math::{exp, ln};
use serde::{Deserialize, Serialize};

mod index;
mod saved;
pub use index::{SurfaceCursor, SurfaceGains, SurfaceIndex, WindowCursor};
pub use saved::SurfaceError;

/// Largest optical depth per pass kept: exp(-20) is darkness.
const DEPTH_MAX: f64 = 20.0;
/// Largest scattered share kept, below 1 so that its logarithm stays finite.
const SCATTER_MAX: f64 = 0.999_999;
/// Places further out than this are not on any scale, m.
const REACH_M: f64 = 1e3;
/// A map keeps at most this many segments; beyond it the cheapest neighbours are joined.
const SEGMENTS_MAX: usize = 4096;
/// Steps in each feathered edge of a smear.
const FEATHER_STEPS: u32 = 10;

/// A film as it is put on: what one stroke adds.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Film {
    /// Optical depth per pass, absorption coefficient x thickness (Beer-Lambert), 0 to 20.
    pub mu_t: f64,
    /// Share of the light scattered per pass, 0 to 1.
    pub scatter: f64,
    /// Share of the scattered light that still lands on the field, 0 to 1.
    pub kappa_s: f64,
}

impl Film {
    /// Dust or a chip: opaque.
    pub const OPAQUE: Self = Self { mu_t: DEPTH_MAX, scatter: 0.0, kappa_s: 0.0 };
    /// A fingerprint or wiped smear.
    pub const FINGERPRINT: Self = Self { mu_t: 0.1, scatter: 0.25, kappa_s: 0.4 };
    /// A thin, even film of oil.
    pub const THIN_OIL: Self = Self { mu_t: 0.02, scatter: 0.03, kappa_s: 0.5 };
    /// A droplet of coolant.
    pub const DROPLET: Self = Self { mu_t: 0.05, scatter: 0.8, kappa_s: 0.3 };
    /// The heaviest smear [`SurfaceMap::smear`] lays, at strength 1: grease with swarf in it,
    /// 3 % of the signal left on a mirror tape, 18 % through glass (own).
    pub const HEAVY_SMEAR: Self = Self { mu_t: 1.0, scatter: 0.5, kappa_s: 0.4 };

    fn scaled(self, strength: f64) -> Self {
        Self { mu_t: self.mu_t * strength, scatter: self.scatter * strength, kappa_s: self.kappa_s }
    }
}

/// One stretch of the scale with the same surface all along.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Segment {
    /// Where it begins, scale coordinate, m.
    pub from_m: f64,
    /// Where it ends, scale coordinate, m, beyond `from_m`.
    pub to_m: f64,
    /// Optical depth per pass, 0 to 20.
    pub mu_t: f64,
    /// Share of the light scattered per pass, 0 to 1.
    pub scatter: f64,
    /// Share of the scattered light that still lands on the field, 0 to 1.
    pub kappa_s: f64,
    /// Share of the lines that is there: 1 all, 0 none.
    pub lines: f64,
}

impl Segment {
    const fn clean(from_m: f64, to_m: f64) -> Self {
        Self { from_m, to_m, mu_t: 0.0, scatter: 0.0, kappa_s: 0.0, lines: 1.0 }
    }

    fn is_clean(&self) -> bool {
        self.mu_t == 0.0 && self.scatter == 0.0 && self.lines == 1.0
    }

    fn add(&mut self, film: &Film) {
        self.mu_t = (self.mu_t + film.mu_t).min(DEPTH_MAX);
        // Scattering adds in the exponent, so its logarithm is the fair weight of two films'
        // kappa_s: the order of strokes does not matter.
        let weight = |s: f64| -ln(1.0 - s);
        let (old, new) = (weight(self.scatter), weight(film.scatter));
        if old + new > 0.0 {
            self.kappa_s = (old * self.kappa_s + new * film.kappa_s) / (old + new);
        }
        self.scatter = (1.0 - (1.0 - self.scatter) * (1.0 - film.scatter)).min(SCATTER_MAX);
    }

    /// Same surface, wherever it lies.
    fn same_surface(&self, other: &Self) -> bool {
        self.mu_t == other.mu_t
            && self.scatter == other.scatter
            && self.kappa_s == other.kappa_s
            && self.lines == other.lines
    }

    /// One segment over both and what lies between, as dirty as the dirtier.
    fn join(&self, next: &Self) -> Self {
        Self {
            from_m: self.from_m,
            to_m: next.to_m,
            mu_t: self.mu_t.max(next.mu_t),
            scatter: self.scatter.max(next.scatter),
            kappa_s: self.kappa_s.min(next.kappa_s),
            lines: self.lines.min(next.lines),
        }
    }

    /// Signal that one pass leaves, 0 to 1.
    fn clarity(&self) -> f64 {
        self.lines * exp(-self.mu_t) * (1.0 - self.scatter)
    }

    fn length_m(&self) -> f64 {
        self.to_m - self.from_m
    }
}

/// Films and missing lines along the scale: sorted segments that do not overlap; everything
/// between them is clean. Saved as the list of its segments.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "Vec<Segment>", into = "Vec<Segment>")]
pub struct SurfaceMap {
    segments: Vec<Segment>,
}

impl SurfaceMap {
    /// A clean scale.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Whether nothing lies on the scale and nothing is missing from it.
    #[must_use]
    pub fn is_clean(&self) -> bool {
        self.segments.is_empty()
    }

    /// The segments, sorted, not overlapping, at most 4096.
    #[must_use]
    pub fn segments(&self) -> &[Segment] {
        &self.segments
    }

    /// Puts a film on `from_m..to_m`, on top of what is there: depths add, unscattered shares
    /// multiply. Values outside their range are brought to its end; a stroke with a number
    /// that is not finite, or that runs backwards, leaves the map as it is.
    pub fn paint(&mut self, from_m: f64, to_m: f64, film: Film) {
        let numbers = [film.mu_t, film.scatter, film.kappa_s];
        if !numbers.iter().all(|x| x.is_finite()) {
            return;
        }
        let film = Film {
            mu_t: film.mu_t.clamp(0.0, DEPTH_MAX),
            scatter: film.scatter.clamp(0.0, SCATTER_MAX),
            kappa_s: film.kappa_s.clamp(0.0, 1.0),
        };
        self.edit(from_m, to_m, |segment| segment.add(&film));
    }

    /// Lays a smear of the given full width, m, around a place: a core of half the width and
    /// two feathered edges (raised cosine, ten steps each). `strength` 0 to 1 scales
    /// [`Film::HEAVY_SMEAR`].
    pub fn smear(&mut self, centre_m: f64, width_m: f64, strength: f64) {
        if !(centre_m.is_finite() && width_m.is_finite() && width_m > 0.0 && strength > 0.0) {
            return;
        }
        let film = Film::HEAVY_SMEAR.scaled(strength.min(1.0));
        let (quarter, half) = (width_m / 4.0, width_m / 2.0);
        self.paint(centre_m - quarter, centre_m + quarter, film);
        let edge = |i: u32| quarter * f64::from(i) / f64::from(FEATHER_STEPS);
        for i in 0..FEATHER_STEPS {
            let middle = (f64::from(i) + 0.5) / f64::from(FEATHER_STEPS);
            let (_, c) = crate::num::math::sincos_turns(0.5 * middle);
            let step = film.scaled(0.5 - 0.5 * c);
            let (near, far) = (half - edge(i + 1), half - edge(i));
            self.paint(centre_m - far, centre_m - near, step);
            self.paint(centre_m + near, centre_m + far, step);
        }
    }

    /// Takes lines away on `from_m..to_m`: `left` is the share that stays, 0 to 1. Wiping does
    /// not bring them back.
    pub fn scratch(&mut self, from_m: f64, to_m: f64, left: f64) {
        if left.is_finite() {
            let left = left.clamp(0.0, 1.0);
            self.edit(from_m, to_m, |segment| segment.lines = segment.lines.min(left));
        }
    }

    /// Wipes `from_m..to_m`: every film goes, missing lines stay missing.
    pub fn wipe(&mut self, from_m: f64, to_m: f64) {
        self.edit(from_m, to_m, |segment| {
            let lines = segment.lines;
            *segment = Segment::clean(segment.from_m, segment.to_m);
            segment.lines = lines;
        });
    }

    /// Changes everything between two places, clean stretches included.
    fn edit(&mut self, from_m: f64, to_m: f64, change: impl Fn(&mut Segment)) {
        if !(from_m.is_finite() && to_m.is_finite()) {
            return;
        }
        let (from_m, to_m) = (from_m.clamp(-REACH_M, REACH_M), to_m.clamp(-REACH_M, REACH_M));
        if from_m >= to_m {
            return;
        }
        let old = std::mem::take(&mut self.segments);
        let changed = |from_m: f64, to_m: f64, like: &Segment| {
            let mut segment = Segment { from_m, to_m, ..*like };
            change(&mut segment);
            segment
        };
        let clean = Segment::clean(0.0, 0.0);
        let mut done_m = from_m;
        for segment in &old {
            let (low, high) = (segment.from_m.max(from_m), segment.to_m.min(to_m));
            if segment.from_m >= to_m && done_m < to_m {
                self.push(changed(done_m, to_m, &clean));
                done_m = to_m;
            }
            if low >= high {
                self.push(*segment);
                continue;
            }
            if segment.from_m < from_m {
                self.push(Segment { to_m: from_m, ..*segment });
            }
            if done_m < low {
                self.push(changed(done_m, low, &clean));
            }
            self.push(changed(low, high, segment));
            done_m = high;
            if segment.to_m > to_m {
                self.push(Segment { from_m: to_m, ..*segment });
            }
        }
        if done_m < to_m {
            self.push(changed(done_m, to_m, &clean));
        }
        if self.segments.len() > SEGMENTS_MAX {
            self.coarsen();
        }
    }

    /// Appends a segment, dropping it when clean and joining it to an equal neighbour.
    fn push(&mut self, segment: Segment) {
        if segment.is_clean() || segment.from_m >= segment.to_m {
            return;
        }
        if let Some(last) = self.segments.last_mut()
            && last.to_m == segment.from_m
            && last.same_surface(&segment)
        {
            last.to_m = segment.to_m;
            return;
        }
        self.segments.push(segment);
    }

    /// Joins the neighbours whose union adds the least dirt, down to three quarters of the
    /// limit. Joining never makes a place cleaner.
    fn coarsen(&mut self) {
        let old = std::mem::take(&mut self.segments);
        let mut cost: Vec<(f64, usize)> = old
            .windows(2)
            .enumerate()
            .map(|(i, pair)| {
                let (a, b) = (&pair[0], &pair[1]);
                let joined = a.join(b).clarity();
                let added = (a.clarity() - joined) * a.length_m()
                    + (b.clarity() - joined) * b.length_m()
                    + (1.0 - joined) * (b.from_m - a.to_m);
                (added, i)
            })
            .collect();
        cost.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        let mut joined_to_next = vec![false; old.len()];
        for (_, i) in cost.iter().take(old.len() - SEGMENTS_MAX * 3 / 4) {
            joined_to_next[*i] = true;
        }
        let mut open: Option<Segment> = None;
        for (segment, joins) in old.iter().zip(joined_to_next) {
            let current = open.take().map_or(*segment, |first| first.join(segment));
            if joins {
                open = Some(current);
            } else {
                self.push(current);
            }
        }
    }
}

#[cfg(test)]
mod tests;
