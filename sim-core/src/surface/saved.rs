//! Surface maps on their way to and from files and links: what was read is checked.

use super::{DEPTH_MAX, REACH_M, SCATTER_MAX, SEGMENTS_MAX, Segment, SurfaceMap};
use thiserror::Error;

/// What is wrong with a map read from a file or link.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum SurfaceError {
    /// A segment does not run forwards from one finite place to another.
    #[error(
        "surface segment {index}: runs from {from_m} m to {to_m} m; give finite places with the end beyond the start"
    )]
    Extent {
        /// Place in the list, from 0.
        index: usize,
        /// Start as read, m.
        from_m: f64,
        /// End as read, m.
        to_m: f64,
    },
    /// A segment begins before the one before it ends.
    #[error(
        "surface segment {index}: begins at {from_m} m, inside the one before it; sort the list and cut the overlap"
    )]
    Overlap {
        /// Place in the list, from 0.
        index: usize,
        /// Start as read, m.
        from_m: f64,
    },
    /// A property is outside its range.
    #[error("surface segment {index}: {name} is {value}; it must lie between 0 and {highest}")]
    Range {
        /// Place in the list, from 0.
        index: usize,
        /// Which property.
        name: &'static str,
        /// Value as read.
        value: f64,
        /// Upper end of the range.
        highest: f64,
    },
    /// More segments than a map keeps.
    #[error("surface map: {count} segments; at most {SEGMENTS_MAX} are kept, join the short ones")]
    TooMany {
        /// Segments as read.
        count: usize,
    },
}

impl From<SurfaceMap> for Vec<Segment> {
    fn from(map: SurfaceMap) -> Self {
        map.segments
    }
}

impl TryFrom<Vec<Segment>> for SurfaceMap {
    type Error = SurfaceError;

    fn try_from(segments: Vec<Segment>) -> Result<Self, SurfaceError> {
        if segments.len() > SEGMENTS_MAX {
            return Err(SurfaceError::TooMany { count: segments.len() });
        }
        let mut end_m = -REACH_M;
        for (index, s) in segments.iter().enumerate() {
            let (from_m, to_m) = (s.from_m, s.to_m);
            let on_scale = from_m.abs() <= REACH_M && to_m.abs() <= REACH_M;
            if !(on_scale && from_m < to_m) {
                return Err(SurfaceError::Extent { index, from_m, to_m });
            }
            if from_m < end_m {
                return Err(SurfaceError::Overlap { index, from_m });
            }
            end_m = to_m;
            for (name, value, highest) in [
                ("mu_t", s.mu_t, DEPTH_MAX),
                ("scatter", s.scatter, SCATTER_MAX),
                ("kappa_s", s.kappa_s, 1.0),
                ("lines", s.lines, 1.0),
            ] {
                if !(0.0..=highest).contains(&value) {
                    return Err(SurfaceError::Range { index, name, value, highest });
                }
            }
        }
        Ok(Self { segments })
    }
}
