//! Places where the scale's surface stands up towards the head.

use crate::num::math::sincos_turns;
use serde::{Deserialize, Serialize};

/// A bump of the scale's surface along the travel, raised-cosine shaped: tape that has lifted off
/// its bed, a chip under the tape. Lines are not lost, but the gap is smaller there.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Bump {
    /// Its middle, scale coordinate, m.
    pub at_m: f64,
    /// Its full width along the travel, m, 0.1e-3 to 1.
    pub width_m: f64,
    /// How far the surface rises towards the head, m, -3e-3 to 3e-3; negative is a hollow.
    pub rise_m: f64,
}

impl Bump {
    /// Rise of the surface at a place, m: `h (1 + cos(2 pi (x - x_0)/w))/2` inside, 0 outside
    /// (own shape: smooth at its feet).
    #[must_use]
    pub fn rise_at_m(&self, x_m: f64) -> f64 {
        let place = (x_m - self.at_m) / self.width_m;
        if !(-0.5..=0.5).contains(&place) {
            return 0.0;
        }
        let (_, c) = sincos_turns(place);
        0.5 * self.rise_m * (1.0 + c)
    }
}
