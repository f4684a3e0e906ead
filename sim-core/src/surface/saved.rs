//! Surface maps on their way to and from files and links: what was read is checked.

use super::lanes::LANES;
use super::segment::{DEPTH_MAX, INDEX_MAX, SCATTER_MAX, Segment, THICKNESS_MAX_M};
use super::{REACH_M, SEGMENTS_MAX, SurfaceMap};
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
    /// A segment begins before the one before it in a lane ends, or before the one before it begins.
    #[error(
        "surface segment {index}: begins at {from_m} m, inside the one before it; sort the list and cut the overlap in each lane"
    )]
    Overlap {
        /// Place in the list, from 0.
        index: usize,
        /// Start as read, m.
        from_m: f64,
    },
    /// A property is outside its range.
    #[error("surface segment {index}: {name} is {value}; it must lie between {lowest} and {highest}")]
    Range {
        /// Place in the list, from 0.
        index: usize,
        /// Which property.
        name: &'static str,
        /// Value as read.
        value: f64,
        /// Lower end of the range.
        lowest: f64,
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
        let mut ends_m = [-REACH_M; LANES];
        let mut start_m = -REACH_M;
        for (index, s) in segments.iter().enumerate() {
            let (from_m, to_m) = (s.from_m, s.to_m);
            let on_scale = from_m.abs() <= REACH_M && to_m.abs() <= REACH_M;
            if !(on_scale && from_m < to_m) {
                return Err(SurfaceError::Extent { index, from_m, to_m });
            }
            if from_m < start_m || s.lanes.indices().any(|lane| from_m < ends_m[lane]) {
                return Err(SurfaceError::Overlap { index, from_m });
            }
            start_m = from_m;
            for lane in s.lanes.indices() {
                ends_m[lane] = to_m;
            }
            let range = |name, value: f64, lowest: f64, highest: f64| {
                let inside = (lowest..=highest).contains(&value);
                if inside { Ok(()) } else { Err(SurfaceError::Range { index, name, value, lowest, highest }) }
            };
            range("mu_t", s.mu_t, 0.0, DEPTH_MAX)?;
            range("scatter", s.scatter, 0.0, SCATTER_MAX)?;
            range("kappa_s", s.kappa_s, 0.0, 1.0)?;
            range("lines", s.lines, 0.0, 1.0)?;
            range("polish", s.polish, 0.0, 1.0)?;
            if let Some(liquid) = s.liquid {
                range("liquid.thickness_m", liquid.thickness_m, 0.0, THICKNESS_MAX_M)?;
                range("liquid.index", liquid.index, 1.0, INDEX_MAX)?;
            }
        }
        Ok(Self { segments })
    }
}
