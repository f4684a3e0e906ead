//! Where across the track something lies: four lanes.
//!
//! The lanes are quarters of the strip that the centred head reads: lane 1 lies at the lowest
//! place along the lines (most negative y), lane 4 at the highest. The outer two reach on to the
//! edges of the track, so that a head mounted off-centre still finds dirt under it.

use crate::scale::{Field, ScaleSpec};
use serde::{Deserialize, Serialize};
use thiserror::Error;

/// Number of lanes.
pub const LANES: usize = 4;

/// A set of lanes, never empty. Saved as the list of their numbers, 1 to 4.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "Vec<u8>", into = "Vec<u8>")]
pub struct Lanes(u8);

/// What is wrong with a list of lanes.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum LanesError {
    /// A lane that does not exist.
    #[error("lane {0} does not exist; lanes are numbered 1 to 4 across the track")]
    Unknown(u8),
    /// No lane at all.
    #[error("the list of lanes is empty; name at least one of 1 to 4")]
    Empty,
}

impl Lanes {
    /// The whole height of the track.
    pub const ALL: Self = Self(0b1111);
    /// The half at negative y.
    pub const LOWER_HALF: Self = Self(0b0011);
    /// The half at positive y.
    pub const UPPER_HALF: Self = Self(0b1100);

    /// A set from the numbers of its lanes.
    ///
    /// # Errors
    /// When a number is not 1 to 4 or the list is empty.
    pub fn of(numbers: &[u8]) -> Result<Self, LanesError> {
        let mut bits = 0;
        for number in numbers {
            if !(1..=4).contains(number) {
                return Err(LanesError::Unknown(*number));
            }
            bits |= 1 << (number - 1);
        }
        if bits == 0 { Err(LanesError::Empty) } else { Ok(Self(bits)) }
    }

    /// Whether the whole height is meant.
    #[must_use]
    pub fn is_all(&self) -> bool {
        *self == Self::ALL
    }

    /// How many lanes, 1 to 4.
    #[must_use]
    pub fn count(self) -> u32 {
        self.0.count_ones()
    }

    /// The first `count` lanes of the set, at least one.
    #[must_use]
    pub fn first(self, count: u32) -> Self {
        let mut bits = 0;
        for lane in self.indices().take(count.max(1) as usize) {
            bits |= 1 << lane;
        }
        Self(bits)
    }

    /// Places in an array of four, 0 to 3, from the lowest lane.
    pub(super) fn indices(self) -> impl Iterator<Item = usize> {
        (0..LANES).filter(move |lane| self.has(*lane))
    }

    /// One lane by its place in an array of four.
    pub(super) fn single(lane: usize) -> Self {
        Self(1 << (lane & 3))
    }

    pub(super) fn has(self, lane: usize) -> bool {
        self.0 >> lane & 1 == 1
    }

    pub(super) fn lowest(self) -> u32 {
        self.0.trailing_zeros()
    }

    pub(super) fn union(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }

    /// Lanes in both, if any.
    pub(super) fn common(self, other: Self) -> Option<Self> {
        let bits = self.0 & other.0;
        (bits != 0).then_some(Self(bits))
    }

    /// Lanes in this set but not in the other, if any.
    pub(super) fn without(self, other: Self) -> Option<Self> {
        let bits = self.0 & !other.0;
        (bits != 0).then_some(Self(bits))
    }
}

impl From<Lanes> for Vec<u8> {
    fn from(lanes: Lanes) -> Self {
        (1..).zip((0..LANES).map(|lane| lanes.has(lane))).filter(|(_, has)| *has).map(|(number, _)| number).collect()
    }
}

impl TryFrom<Vec<u8>> for Lanes {
    type Error = LanesError;

    fn try_from(numbers: Vec<u8>) -> Result<Self, LanesError> {
        Self::of(&numbers)
    }
}

/// Where the track runs beside the head's middle: lateral offset of the head as a function of
/// the place, `Y(X) = Y_0 + X tan(eta)`.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct TrackOffset {
    /// Offset of the head along the lines at the scale's zero, m.
    pub at_zero_m: f64,
    /// Growth along the travel, `tan(eta)` of a guide that is not parallel to the track.
    pub slope: f64,
}

impl TrackOffset {
    /// Offset at a place of the scale, m.
    #[must_use]
    pub fn at_m(&self, x_m: f64) -> f64 {
        self.at_zero_m + x_m * self.slope
    }
}

/// The strip that a centred head reads and the band of one field in it: gives the share of the
/// field that looks at each lane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct LaneShares {
    strip_m: (f64, f64),
    field_m: (f64, f64),
    half_track_m: f64,
}

impl LaneShares {
    pub(super) fn of(spec: &ScaleSpec, field: &Field) -> Self {
        let band = |f: &Field| (f.y_m - f.height_m / 2.0, f.y_m + f.height_m / 2.0);
        let mut strip_m = band(field);
        for other in spec.fields.iter().map(band) {
            strip_m = (strip_m.0.min(other.0), strip_m.1.max(other.1));
        }
        Self { strip_m, field_m: band(field), half_track_m: spec.track_width_m / 2.0 }
    }

    pub(super) fn lane_height_m(&self) -> f64 {
        (self.strip_m.1 - self.strip_m.0) / LANES as f64
    }

    /// Shares with the head off-centre by `offset_m`; they add up to 1. Only the part on the track
    /// counts; with nothing on it, all lanes count alike.
    pub(super) fn at(&self, offset_m: f64) -> [f64; LANES] {
        let low_m = (offset_m + self.field_m.0).max(-self.half_track_m);
        let high_m = (offset_m + self.field_m.1).min(self.half_track_m);
        let height_m = high_m - low_m;
        if height_m.is_nan() || height_m <= 0.0 {
            return [1.0 / LANES as f64; LANES];
        }
        let edge = |lane: usize| match lane {
            0 => f64::NEG_INFINITY,
            LANES => f64::INFINITY,
            _ => self.strip_m.0 + lane as f64 * self.lane_height_m(),
        };
        let mut shares = [0.0; LANES];
        for (lane, share) in shares.iter_mut().enumerate() {
            let overlap_m = edge(lane + 1).min(high_m) - edge(lane).max(low_m);
            *share = (overlap_m / height_m).clamp(0.0, 1.0);
        }
        shares
    }
}

#[cfg(test)]
mod tests {
    use super::{LaneShares, Lanes, LanesError};
    use crate::scale::ScaleId;
    use proptest::prelude::{prop_assert, proptest};

    #[test]
    fn lanes_are_written_by_their_numbers() {
        let upper = Lanes::of(&[3, 4]).expect("they exist");
        assert_eq!(upper, Lanes::UPPER_HALF);
        assert_eq!(serde_json::to_string(&upper).expect("plain numbers"), "[3,4]");
        assert_eq!(serde_json::from_str::<Lanes>("[4,3]").expect("any order"), upper);
        let error = serde_json::from_str::<Lanes>("[5]").expect_err("there are four");
        assert!(error.to_string().contains("lane 5 does not exist"), "{error}");
        assert_eq!(Lanes::of(&[]), Err(LanesError::Empty));
        assert_eq!(Lanes::UPPER_HALF.first(1), Lanes::of(&[3]).expect("it exists"));
    }

    // Source: geometry of overlapping spans, worked by hand from the field layouts.
    #[test]
    fn shares_follow_the_field_layout_and_the_offset() {
        let tape = ScaleId::Tape40.spec();
        let one = LaneShares::of(&tape, &tape.fields[0]);
        let close = |a: [f64; 4], b: [f64; 4]| a.iter().zip(b).all(|(a, b)| (a - b).abs() < 1e-12);
        assert!(close(one.at(0.0), [0.25; 4]));
        // Moved up by one lane of 0.375 mm: the lowest is left, the outer one counts twice.
        assert!(close(one.at(0.375e-3), [0.0, 0.25, 0.25, 0.5]));
        let glass = ScaleId::Glass20.spec();
        let third = 1.0 / 3.0;
        assert!(close(LaneShares::of(&glass, &glass.fields[0]).at(0.0), [0.0, third, third, third]));
        assert!(close(LaneShares::of(&glass, &glass.fields[1]).at(0.0), [third, third, third, 0.0]));
    }

    proptest! {
        #[test]
        fn shares_add_up_to_one(offset in -20e-3..20e-3_f64) {
            for id in ScaleId::ALL {
                let spec = id.spec();
                for field in &spec.fields {
                    let shares = LaneShares::of(&spec, field).at(offset);
                    prop_assert!((shares.iter().sum::<f64>() - 1.0).abs() < 1e-9, "{shares:?}");
                }
            }
        }
    }
}
