//! The compiled surface map: window averages in constant time.

use super::{Segment, SurfaceMap};
use crate::num::math::exp;
use crate::scale::ScaleSpec;

/// How far a cursor walks before it searches.
const WALK: u32 = 8;

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

/// Where one window's two ends were found last: makes the next look-up cheap, never changes
/// its result. Not part of the bench state.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct WindowCursor {
    low: u32,
    high: u32,
}

/// Cursors of the four fields of a head.
pub type SurfaceCursor = [WindowCursor; 4];

/// From here to the next knot the integrands are constant.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Knot {
    at_m: f64,
    /// Signal and mean factor here, minus 1.
    slope: [f64; 2],
    /// Integrals of both from the start of the scale to here, m.
    sum: [f64; 2],
}

/// Prefix integrals of a [`SurfaceMap`] for one kind of grating: exact for the piecewise-constant
/// map, O(1) for continuous motion. Rebuilt whenever the map changes; not saved.
#[derive(Clone, Debug, PartialEq)]
pub struct SurfaceIndex {
    /// Sorted; the first lies before every scale.
    knots: Vec<Knot>,
}

/// Direct and scattered light of a segment relative to a clean one: `(g_ac, g_dc)`.
///
/// `passes` is 1 or 2; `bare` is the light where lines are missing relative to the mean with
/// lines, `rho_m/I_0`. Absorption after Beer-Lambert; scattered light carries no lines.
fn gains(segment: &Segment, passes: u8, bare: f64) -> [f64; 2] {
    let unscattered = 1.0 - segment.scatter;
    let (absorbed, direct) = if passes == 2 {
        (exp(-2.0 * segment.mu_t), unscattered * unscattered)
    } else {
        (exp(-segment.mu_t), unscattered)
    };
    let tau = absorbed * direct;
    let eta = absorbed * (1.0 - direct) * segment.kappa_s;
    [tau * segment.lines, tau * (segment.lines + (1.0 - segment.lines) * bare) + eta]
}

impl SurfaceIndex {
    /// The index for a scale: passes and bare reflectance as its type has them.
    #[must_use]
    pub fn for_scale(map: &SurfaceMap, spec: &ScaleSpec) -> Self {
        let bare = spec.bare_reflectance / spec.mean_reflectance();
        Self::new(map, spec.grating_type.passes(), bare)
    }

    /// The index for light that passes the surface `passes` times (1 or 2); `bare` is the mean
    /// light where lines are missing relative to where they are, 0 to about 2.
    #[must_use]
    pub fn new(map: &SurfaceMap, passes: u8, bare: f64) -> Self {
        let mut knots = vec![Knot { at_m: -1e9, slope: [0.0; 2], sum: [0.0; 2] }];
        let mut sum = [0.0; 2];
        for segment in map.segments() {
            let [ac, dc] = gains(segment, passes, bare);
            let slope = [ac - 1.0, dc - 1.0];
            let start = Knot { at_m: segment.from_m, slope, sum };
            match knots.last_mut() {
                Some(last) if last.at_m == segment.from_m => *last = start,
                _ => knots.push(start),
            }
            let length_m = segment.to_m - segment.from_m;
            sum = [sum[0] + slope[0] * length_m, sum[1] + slope[1] * length_m];
            knots.push(Knot { at_m: segment.to_m, slope: [0.0; 2], sum });
        }
        Self { knots }
    }

    /// Whether the whole scale is clean, so that no look-up is needed.
    #[inline]
    #[must_use]
    pub fn is_clean(&self) -> bool {
        self.knots.len() == 1
    }

    /// Mean gains over the window `from_m..to_m` of the scale; the cursor remembers the place.
    /// A window without width takes the value at its place.
    #[inline]
    #[must_use]
    pub fn mean(&self, from_m: f64, to_m: f64, cursor: &mut WindowCursor) -> SurfaceGains {
        cursor.low = self.find(from_m, cursor.low);
        cursor.high = self.find(to_m, cursor.high);
        let (low, high) = (&self.knots[cursor.low as usize], &self.knots[cursor.high as usize]);
        if cursor.low >= cursor.high {
            return SurfaceGains { ac: 1.0 + low.slope[0], dc: 1.0 + low.slope[1] };
        }
        let width_m = to_m - from_m;
        let mean = |i: usize| {
            let to_high = high.sum[i] + high.slope[i] * (to_m - high.at_m);
            let to_low = low.sum[i] + low.slope[i] * (from_m - low.at_m);
            (1.0 + (to_high - to_low) / width_m).max(0.0)
        };
        SurfaceGains { ac: mean(0), dc: mean(1) }
    }

    /// Last knot at or before a place, starting from a guess.
    #[inline]
    fn find(&self, x_m: f64, guess: u32) -> u32 {
        let last = self.knots.len() as u32 - 1;
        let at = |i: u32| self.knots[i as usize].at_m;
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
        let after = self.knots.partition_point(|knot| knot.at_m <= x_m);
        (after as u32).saturating_sub(1)
    }
}
