//! The compiled surface map: window averages in constant time.

use super::coarsen::{Column, columns};
use super::lanes::{LANES, LaneShares, TrackOffset};
use super::segment::Segment;
use super::{Liquid, SurfaceMap};
use crate::scale::ScaleSpec;

/// How far a cursor walks before it searches.
const WALK: u32 = 8;
/// A column of dirt is cut where the head has moved across the lanes by this part of a lane.
const DRIFT_PARTS: f64 = 16.0;
/// Most pieces into which one column is cut.
const PIECES_MAX: f64 = 256.0;

/// What the surface under one window does to the light; 1 and 1 when clean.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SurfaceGains {
    /// Factor on the periodic part of the light (the signal), 0 to 1.
    pub ac: f64,
    /// Factor on the mean light, 0 to about 2 (bare glass can be brighter than lines).
    pub dc: f64,
}

impl SurfaceGains {
    /// A clean window.
    pub const CLEAN: Self = Self { ac: 1.0, dc: 1.0 };
}

/// Liquid under one window, averaged.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct LiquidShift {
    /// Shortening of the gap by layers thinner than it, m: mean of `t (1 - 1/n)`.
    pub film_m: f64,
    /// Shortening by liquid that fills the gap, as a share of the gap: mean of `1 - 1/n`.
    pub flooded: f64,
}

impl LiquidShift {
    /// Gap as the light sees it, m: `z - film - z flooded`. A layer cannot be thicker than the gap, so
    /// it is never below `z/n` of the densest liquid about.
    #[must_use]
    pub fn optical_gap_m(&self, gap_m: f64, densest: f64) -> f64 {
        let gap_m = gap_m.max(0.0);
        (gap_m - self.film_m - gap_m * self.flooded).max(gap_m / densest)
    }
}

/// Where one window's two ends were found last: makes the next look-up cheap, never changes
/// its result. Not part of the bench state.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct WindowCursor {
    low: u32,
    high: u32,
}

/// Cursors of the four fields of a head.
pub type SurfaceCursor = [WindowCursor; 4];

/// From here to the next knot two integrands are constant.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Knot {
    at_m: f64,
    /// The integrands here: signal and mean factor minus 1, or layer and flooded share.
    slope: [f64; 2],
    /// Integrals of both from the start of the scale to here, m.
    sum: [f64; 2],
}

/// Prefix integrals as one height of the head sees them.
#[derive(Clone, Debug, PartialEq)]
struct Row {
    /// Sorted; the first lies before every scale.
    gains: Vec<Knot>,
    /// Liquids at the same places; empty on a dry scale.
    liquid: Vec<Knot>,
}

/// Prefix integrals of a [`SurfaceMap`] for one kind of grating and head: exact for the
/// piecewise-constant map, O(1) for continuous motion. Fields at different heights see different
/// lanes; their shares of the lanes are worked in here, so that lanes cost nothing per sample.
/// Rebuilt whenever the map changes; not saved.
#[derive(Clone, Debug, PartialEq)]
pub struct SurfaceIndex {
    rows: Vec<Row>,
    /// Per field of the head its row.
    row_of: [u32; 4],
    /// Largest refractive index of a liquid about, at least 1.
    densest: f64,
}

/// How light meets the surface.
#[derive(Clone, Copy)]
struct Light {
    passes: u8,
    /// Light where lines are missing relative to the mean with lines, `rho_m/I_0`, dull and polished.
    bare: [f64; 2],
}

/// What one segment does: signal and mean factor minus 1, then layer and flooded share.
type Effect = [f64; 4];

/// Effect of a segment: `g_ac`, `g_dc` and liquid, relative to a clean one.
fn effect(segment: &Segment, light: Light) -> Effect {
    let (tau, eta) = segment.film().direct_and_scattered(light.passes);
    let bare = light.bare[0] + segment.polish * (light.bare[1] - light.bare[0]);
    let ac = tau * segment.lines;
    let dc = tau * (segment.lines + (1.0 - segment.lines) * bare) + eta;
    let (film_m, flooded) = match segment.liquid {
        Some(liquid) if liquid.floods() => (0.0, Liquid { thickness_m: 1.0, ..liquid }.shift_m()),
        Some(liquid) => (liquid.shift_m(), 0.0),
        None => (0.0, 0.0),
    };
    [ac - 1.0, dc - 1.0, film_m, flooded]
}

impl SurfaceIndex {
    /// The index for a scale with its head centred on the track.
    #[must_use]
    pub fn for_scale(map: &SurfaceMap, spec: &ScaleSpec) -> Self {
        Self::for_head(map, spec, TrackOffset::default())
    }

    /// The index for a scale and a head that sits off the middle of the track.
    #[must_use]
    pub fn for_head(map: &SurfaceMap, spec: &ScaleSpec, offset: TrackOffset) -> Self {
        let mean = spec.mean_reflectance();
        let light = Light {
            passes: spec.grating_type.passes(),
            bare: [spec.bare_reflectance / mean, spec.bright_reflectance / mean],
        };
        let mut heads: Vec<LaneShares> = Vec::new();
        let mut row_of = [0; 4];
        // Where all dirt covers the whole height, all fields see the same.
        if map.segments().iter().any(|s| !s.lanes.is_all()) {
            for (field, row) in spec.fields.iter().zip(&mut row_of) {
                let shares = LaneShares::of(spec, field);
                let known = heads.iter().position(|other| *other == shares);
                *row = known.unwrap_or(heads.len()) as u32;
                if known.is_none() {
                    heads.push(shares);
                }
            }
        }
        let rows = heads.iter().map(|h| Row::new(map, light, Some((h, offset)))).collect::<Vec<_>>();
        Self::of_rows(map, light, rows, row_of)
    }

    /// The index for light that passes the surface `passes` times (1 or 2) in a head that sees all
    /// lanes alike; `bare` is the mean light where lines are missing relative to where they are, 0 to
    /// about 2, dull or polished.
    #[must_use]
    pub fn new(map: &SurfaceMap, passes: u8, bare: f64) -> Self {
        Self::of_rows(map, Light { passes, bare: [bare; 2] }, Vec::new(), [0; 4])
    }

    fn of_rows(map: &SurfaceMap, light: Light, mut rows: Vec<Row>, row_of: [u32; 4]) -> Self {
        if rows.is_empty() {
            rows.push(Row::new(map, light, None));
        }
        let densest = map.segments().iter().filter_map(|s| s.liquid).fold(1.0, |n: f64, l| n.max(l.index));
        Self { rows, row_of, densest }
    }

    /// Whether the whole scale is clean, so that no look-up is needed.
    #[inline]
    #[must_use]
    pub fn is_clean(&self) -> bool {
        self.rows[0].gains.len() == 1
    }

    /// Whether there is liquid anywhere, so that the gap has to follow it.
    #[inline]
    #[must_use]
    pub fn has_liquid(&self) -> bool {
        !self.rows[0].liquid.is_empty()
    }

    /// Largest refractive index of a liquid on the scale; 1 when there is none.
    #[must_use]
    pub fn densest(&self) -> f64 {
        self.densest
    }

    /// Mean gains over the window `from_m..to_m` of the scale as the first field sees it; the
    /// cursor remembers the place. A window without width takes the value at its place.
    #[inline]
    #[must_use]
    pub fn mean(&self, from_m: f64, to_m: f64, cursor: &mut WindowCursor) -> SurfaceGains {
        self.field_mean(0, from_m, to_m, cursor)
    }

    /// Mean gains over a window as field `k` (0 to 3) of the head sees it.
    #[inline]
    #[must_use]
    pub fn field_mean(&self, k: usize, from_m: f64, to_m: f64, cursor: &mut WindowCursor) -> SurfaceGains {
        let [ac, dc] = window_mean(&self.rows[self.row_of[k] as usize].gains, from_m, to_m, cursor);
        SurfaceGains { ac: (1.0 + ac).max(0.0), dc: (1.0 + dc).max(0.0) }
    }

    /// Liquid over a window as field `k` (0 to 3) of the head sees it.
    #[must_use]
    pub fn field_liquid(&self, k: usize, from_m: f64, to_m: f64, cursor: &mut WindowCursor) -> LiquidShift {
        let knots = &self.rows[self.row_of[k] as usize].liquid;
        if knots.is_empty() {
            return LiquidShift::default();
        }
        let [film_m, flooded] = window_mean(knots, from_m, to_m, cursor).map(|x| x.max(0.0));
        LiquidShift { film_m, flooded }
    }
}

impl Row {
    /// Integrates a map over the shares of the lanes; without shares all lanes count alike.
    fn new(map: &SurfaceMap, light: Light, head: Option<(&LaneShares, TrackOffset)>) -> Self {
        let segments = map.segments();
        let effects: Vec<Effect> = segments.iter().map(|s| effect(s, light)).collect();
        let mut row = Self { gains: vec![Knot { at_m: -1e9, slope: [0.0; 2], sum: [0.0; 2] }], liquid: Vec::new() };
        if segments.iter().any(|s| s.liquid.is_some()) {
            row.liquid = row.gains.clone();
        }
        let mut end_m = -1e9;
        for column in columns(segments) {
            let pieces = head.map_or(1.0, |(shares, offset)| pieces(&column, shares, offset));
            let piece_m = (column.to_m - column.from_m) / pieces;
            for i in 0..pieces as u32 {
                let from_m = column.from_m + f64::from(i) * piece_m;
                end_m = if f64::from(i) + 1.0 < pieces { from_m + piece_m } else { column.to_m };
                let middle_m = 0.5 * (from_m + end_m);
                let shares = head.map_or([0.25; LANES], |(shares, offset)| shares.at(offset.at_m(middle_m)));
                row.go_on(from_m, mix(&column, &effects, &shares));
            }
        }
        if !segments.is_empty() {
            row.go_on(end_m, [0.0; 4]);
        }
        row
    }

    /// From `at_m` on the integrands are these.
    fn go_on(&mut self, at_m: f64, effect: Effect) {
        let [ac, dc, film_m, flooded] = effect;
        for (knots, slope) in [(&mut self.gains, [ac, dc]), (&mut self.liquid, [film_m, flooded])] {
            if let Some(last) = knots.last() {
                let length_m = at_m - last.at_m;
                let sum = [last.sum[0] + last.slope[0] * length_m, last.sum[1] + last.slope[1] * length_m];
                knots.push(Knot { at_m, slope, sum });
            }
        }
    }
}

/// In how many pieces a column is cut because the head drifts across the lanes along it.
fn pieces(column: &Column, shares: &LaneShares, offset: TrackOffset) -> f64 {
    if column.lanes.iter().all(|lane| *lane == column.lanes[0]) {
        return 1.0;
    }
    let drift_m = (offset.slope * (column.to_m - column.from_m)).abs();
    (DRIFT_PARTS * drift_m / shares.lane_height_m()).ceil().clamp(1.0, PIECES_MAX)
}

/// Effect of a column on a field that sees its lanes with these shares.
fn mix(column: &Column, effects: &[Effect], shares: &[f64; LANES]) -> Effect {
    let first = column.lanes[0];
    if column.lanes.iter().all(|lane| *lane == first) {
        return first.map_or([0.0; 4], |i| effects[i]);
    }
    let mut sum = [0.0; 4];
    for (lane, share) in column.lanes.iter().zip(shares) {
        if let Some(i) = lane {
            for (total, part) in sum.iter_mut().zip(effects[*i]) {
                *total += share * part;
            }
        }
    }
    sum
}

/// Mean of both integrands between two places; the cursor remembers their knots. Inlined by force:
/// left to itself the compiler calls it, and a four-field sample takes 28 ns instead of 20 (measured).
#[inline(always)]
fn window_mean(knots: &[Knot], from_m: f64, to_m: f64, cursor: &mut WindowCursor) -> [f64; 2] {
    let (i, j) = (find(knots, from_m, cursor.low), find(knots, to_m, cursor.high));
    *cursor = WindowCursor { low: i, high: j };
    let (low, high) = (&knots[i as usize], &knots[j as usize]);
    if i >= j {
        return low.slope;
    }
    let (past_high_m, past_low_m, width_m) = (to_m - high.at_m, from_m - low.at_m, to_m - from_m);
    let mean = |n: usize| {
        let to_high = high.sum[n] + high.slope[n] * past_high_m;
        let to_low = low.sum[n] + low.slope[n] * past_low_m;
        (to_high - to_low) / width_m
    };
    [mean(0), mean(1)]
}

/// Last knot at or before a place, starting from a guess.
#[inline(always)]
fn find(knots: &[Knot], x_m: f64, guess: u32) -> u32 {
    let last = knots.len() as u32 - 1;
    let at = |i: u32| knots[i as usize].at_m;
    let mut i = guess.min(last);
    for _ in 0..WALK {
        if i > 0 && at(i) > x_m {
            i -= 1;
        } else if i < last && at(i + 1) <= x_m {
            i += 1;
        } else {
            return i;
        }
    }
    let after = knots.partition_point(|knot| knot.at_m <= x_m);
    (after as u32).saturating_sub(1)
}
