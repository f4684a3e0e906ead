//! What lies on the scale and what is missing from it.
//!
//! A [`SurfaceMap`] is a sparse, piecewise-constant map along the scale and over four lanes
//! across it: films that absorb and scatter, liquids that shorten the gap, and places without
//! lines. It is part of the saved bench. The chain reads it through its compiled form,
//! [`SurfaceIndex`], which averages it over a field's window in constant time.
//! [`SurfaceMap::lay`] puts a [`Substance`] on it by name, [`wiping::wipe`] cleans it the way a
//! person would, for better or worse.

mod bump;
mod coarsen;
mod index;
mod lanes;
mod lay;
mod merge;
mod saved;
mod segment;
mod substance;
pub mod wiping;
pub use bump::Bump;
pub use index::{LiquidShift, SurfaceCursor, SurfaceGains, SurfaceIndex, WindowCursor};
pub use lanes::{LANES, Lanes, LanesError, TrackOffset};
pub use lay::{LayError, Preset, Shape, Spot};
pub use saved::SurfaceError;
pub use segment::{Film, Liquid, Segment};
pub use substance::{Matter, Substance};

use serde::{Deserialize, Serialize};

/// Places further out than this are not on any scale, m.
const REACH_M: f64 = 1e3;
/// A map keeps at most this many segments; beyond it the cheapest neighbours are joined.
const SEGMENTS_MAX: usize = 4096;
/// Steps in each feathered edge of a smear.
const FEATHER_STEPS: u32 = 10;

/// Films, liquids and missing lines: segments sorted by their start, of which no two share a
/// place in the same lane; everything between them is clean. Saved as the list of its segments.
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

    /// The segments, sorted by their start, at most 4096. Those over different lanes can overlap.
    #[must_use]
    pub fn segments(&self) -> &[Segment] {
        &self.segments
    }

    /// Puts a film on `from_m..to_m`, on top of what is there: depths add, unscattered shares
    /// multiply. Values outside their range are brought to its end; a stroke with a number
    /// that is not finite, or that runs backwards, leaves the map as it is.
    pub fn paint(&mut self, from_m: f64, to_m: f64, film: Film) {
        self.paint_lanes(from_m, to_m, Lanes::ALL, film);
    }

    /// As [`Self::paint`], over some of the lanes.
    pub fn paint_lanes(&mut self, from_m: f64, to_m: f64, lanes: Lanes, film: Film) {
        self.put(from_m, to_m, lanes, film, Matter::NONE);
    }

    /// Puts a film of a known substance on some lanes.
    fn put(&mut self, from_m: f64, to_m: f64, lanes: Lanes, film: Film, matter: Matter) {
        if let Some(film) = film.bounded() {
            self.edit(from_m, to_m, lanes, |segment| {
                segment.add(&film);
                segment.matter = segment.matter.with(matter);
            });
        }
    }

    /// Covers `from_m..to_m` with a layer of clear liquid, on top of what is there. Values outside
    /// their range are brought to its end; numbers that are not finite leave the map as it is.
    pub fn pour(&mut self, from_m: f64, to_m: f64, lanes: Lanes, liquid: Liquid) {
        if let Some(liquid) = liquid.bounded() {
            self.edit(from_m, to_m, lanes, |segment| segment.pour(liquid));
        }
    }

    /// Lays a smear of the given full width, m, around a place: a core of half the width and
    /// two feathered edges (raised cosine, ten steps each). `strength` 0 to 1 scales
    /// [`Film::HEAVY_SMEAR`].
    pub fn smear(&mut self, centre_m: f64, width_m: f64, strength: f64) {
        if strength > 0.0 {
            let film = Film::HEAVY_SMEAR.scaled(strength.min(1.0));
            self.feathered(centre_m, width_m, Lanes::ALL, film, Matter::NONE);
        }
    }

    /// Lays a film with soft edges: a core of half the width and raised-cosine flanks.
    fn feathered(&mut self, centre_m: f64, width_m: f64, lanes: Lanes, film: Film, matter: Matter) {
        if !(centre_m.is_finite() && width_m.is_finite() && width_m > 0.0) {
            return;
        }
        let (quarter, half) = (width_m / 4.0, width_m / 2.0);
        self.put(centre_m - quarter, centre_m + quarter, lanes, film, matter);
        let edge = |i: u32| quarter * f64::from(i) / f64::from(FEATHER_STEPS);
        for i in 0..FEATHER_STEPS {
            let middle = (f64::from(i) + 0.5) / f64::from(FEATHER_STEPS);
            let (_, c) = crate::num::math::sincos_turns(0.5 * middle);
            let step = film.scaled(0.5 - 0.5 * c);
            let (near, far) = (half - edge(i + 1), half - edge(i));
            self.put(centre_m - far, centre_m - near, lanes, step, matter);
            self.put(centre_m + near, centre_m + far, lanes, step, matter);
        }
    }

    /// Takes lines away on `from_m..to_m`: `left` is the share that stays, 0 to 1. The place is
    /// as dull as the bare scale; wiping does not bring the lines back.
    pub fn scratch(&mut self, from_m: f64, to_m: f64, left: f64) {
        self.strip_lanes(from_m, to_m, Lanes::ALL, left, 0.0);
    }

    /// As [`Self::scratch`], over some of the lanes; `polish` says how bright the place is then,
    /// from 0, as dull as the bare scale, to 1, as bright as the bright lines.
    pub fn strip_lanes(&mut self, from_m: f64, to_m: f64, lanes: Lanes, left: f64, polish: f64) {
        if left.is_finite() && polish.is_finite() {
            let (left, polish) = (left.clamp(0.0, 1.0), polish.clamp(0.0, 1.0));
            self.edit(from_m, to_m, lanes, |segment| segment.strip(left, polish));
        }
    }

    /// Wipes `from_m..to_m` perfectly: every film and liquid goes, missing lines stay missing.
    pub fn wipe(&mut self, from_m: f64, to_m: f64) {
        self.edit(from_m, to_m, Lanes::ALL, |segment| segment.thin(0.0));
    }

    /// Changes everything between two places in some lanes, clean stretches included.
    fn edit(&mut self, from_m: f64, to_m: f64, lanes: Lanes, change: impl Fn(&mut Segment)) {
        if !(from_m.is_finite() && to_m.is_finite()) {
            return;
        }
        let (from_m, to_m) = (from_m.clamp(-REACH_M, REACH_M), to_m.clamp(-REACH_M, REACH_M));
        if from_m >= to_m {
            return;
        }
        let old = std::mem::take(&mut self.segments);
        let mut new: Vec<Segment> = Vec::with_capacity(old.len() + 8);
        let changed = |like: &Segment, from_m: f64, to_m: f64, lanes: Lanes| {
            let mut segment = Segment { from_m, to_m, lanes, ..*like };
            change(&mut segment);
            segment
        };
        let clean = Segment::clean(0.0, 0.0);
        for lane in lanes.indices() {
            let mut done_m = from_m;
            for segment in old.iter().filter(|s| s.lanes.has(lane)).take_while(|s| s.from_m < to_m) {
                if segment.from_m > done_m {
                    new.push(changed(&clean, done_m, segment.from_m, Lanes::single(lane)));
                }
                done_m = done_m.max(segment.to_m);
            }
            if done_m < to_m {
                new.push(changed(&clean, done_m, to_m, Lanes::single(lane)));
            }
        }
        for segment in &old {
            let (low_m, high_m) = (segment.from_m.max(from_m), segment.to_m.min(to_m));
            let Some(hit) = segment.lanes.common(lanes).filter(|_| low_m < high_m) else {
                new.push(*segment);
                continue;
            };
            // Parts without length are dropped when the list is put in order.
            new.push(Segment { to_m: low_m, ..*segment });
            new.push(Segment { from_m: high_m, ..*segment });
            if let Some(rest) = segment.lanes.without(lanes) {
                new.push(Segment { from_m: low_m, to_m: high_m, lanes: rest, ..*segment });
            }
            new.push(changed(segment, low_m, high_m, hit));
        }
        self.segments = coarsen::arrange(new);
        if self.segments.len() > SEGMENTS_MAX {
            self.segments = coarsen::coarsen(std::mem::take(&mut self.segments));
        }
    }
}

#[cfg(test)]
mod laws;
#[cfg(test)]
mod tests;
