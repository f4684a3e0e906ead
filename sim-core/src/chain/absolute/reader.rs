//! The absolute head as a whole: code track and fine phase become a word on the line, and the word
//! a place again.

use super::{
    CodeLight, CodeReadError, CodeSequence, CodeTrack, CodeTrackParams, CodeWatchParams, FRAME_BYTES, Frame, combine,
    disturb, receive,
};
use crate::num::math::{atan2_turns, hypot};
use crate::num::random::Stream;
use crate::scale::ScaleSpec;
use crate::surface::{SurfaceIndex, WindowCursor};

/// Period from which on a scale is a coarse one, m.
const COARSE_PERIOD_M: f64 = 200e-6;
/// Length of a code cell in periods on fine and coarse scales (own).
const CELL_PERIODS: [f64; 2] = [10.0, 2.0];
/// Fewest bits of a code (own).
const BITS_MIN: u32 = 8;
/// Most bits of a code.
const BITS_MAX: u32 = 16;

/// What the reader is made for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ReaderParams {
    /// Places from and to which the head may come, m.
    pub reach_m: [f64; 2],
    /// Step of the place on the line, m.
    pub count_m: f64,
    /// Brightness of the light on the track, 1 nominal, 0 to 3.
    pub light: f64,
    /// Blur of the cells' edges, m.
    pub blur_m: f64,
    /// Chance that a bit on the line is turned.
    pub bit_error_rate: f64,
    /// Shortest (A, B) vector that has a phase, V.
    pub hold_v: f64,
    /// The receiver's check.
    pub watch: CodeWatchParams,
}

/// An absolute head on its scale. Rebuilt when parameters or surface change; not saved.
#[derive(Clone, Debug, PartialEq)]
pub struct CodeReader {
    track: CodeTrack,
    surface: SurfaceIndex,
    period_m: f64,
    origin_m: f64,
    first_count: i64,
    params: ReaderParams,
}

impl CodeReader {
    /// The head of a scale; `surface` is what lies over the code track. None where the numbers give
    /// no code: then the place cannot be read.
    #[must_use]
    pub fn new(spec: &ScaleSpec, params: &ReaderParams, surface: SurfaceIndex) -> Option<Self> {
        let cell_m = spec.period_m * CELL_PERIODS[usize::from(spec.period_m >= COARSE_PERIOD_M)];
        // Whole periods, so that code and lines begin together.
        let origin_m = libm::floor(params.reach_m[0] / spec.period_m) * spec.period_m;
        let places = (params.reach_m[1] - origin_m) / cell_m;
        let bits = (BITS_MIN..=BITS_MAX).find(|bits| f64::from((1_u32 << bits) - 1) > places)?;
        let checks = CodeSequence::checks_for_every_bit(bits).ok()?.max(3);
        let sequence = CodeSequence::maximal(bits, checks).ok()?;
        let light =
            CodeLight { light: params.light.clamp(0.0, 3.0), blur_m: params.blur_m, ..CodeLight::nominal(spec) };
        let track = CodeTrackParams { light, ..CodeTrackParams::nominal(spec, cell_m, origin_m) };
        params.watch.check().ok()?;
        Some(Self {
            track: CodeTrack::new(sequence, &track).ok()?,
            surface,
            period_m: spec.period_m,
            origin_m,
            first_count: libm::floor(origin_m / params.count_m) as i64,
            params: *params,
        })
    }

    /// The receiver's check.
    #[must_use]
    pub fn watch(&self) -> &CodeWatchParams {
        &self.params.watch
    }

    /// The track.
    #[must_use]
    pub fn track(&self) -> &CodeTrack {
        &self.track
    }

    /// The count that stands for a place, m.
    #[must_use]
    pub fn count(&self, place_m: f64) -> i64 {
        libm::round(place_m / self.params.count_m) as i64
    }

    /// One reading with the head at a place, m, and the channels at `fine_v`, V from their
    /// thresholds: head, line and receiver. Draws the same number of random numbers each time.
    ///
    /// # Errors
    /// Why the word is not to be believed.
    pub fn read(
        &self,
        x_m: f64,
        fine_v: [f64; 2],
        cursor: &mut WindowCursor,
        stream: &mut Stream,
    ) -> Result<f64, CodeReadError> {
        let coarse = self.track.read(x_m, &self.surface, cursor, stream).coarse_m;
        let told = coarse.and_then(|coarse_m| self.place(coarse_m, fine_v));
        let frame = match told {
            Ok(place) => Frame { place, ..Frame::default() },
            Err(_) => Frame { error: true, ..Frame::default() },
        };
        let mut bytes: [u8; FRAME_BYTES] = frame.encode();
        disturb(&mut bytes, self.params.bit_error_rate, stream);
        match (receive(&bytes), told) {
            // The head keeps the reason of its error bit, to be asked for.
            (Err(CodeReadError::HeadError), Err(why)) => Err(why),
            (Err(why), _) => Err(why),
            (Ok(frame), _) => Ok((self.first_count + i64::from(frame.place)) as f64 * self.params.count_m),
        }
    }

    /// The place on the line, steps from the first.
    fn place(&self, coarse_m: f64, fine_v: [f64; 2]) -> Result<u32, CodeReadError> {
        let length_v = hypot(fine_v[0], fine_v[1]);
        // Written so that a broken voltage is refused as well.
        if !(length_v >= self.params.hold_v && length_v.is_finite()) {
            return Err(CodeReadError::HeadError);
        }
        let phase = atan2_turns(fine_v[1], fine_v[0]);
        let place_m = self.origin_m + combine(coarse_m, phase, self.period_m)?;
        let steps = libm::floor(place_m / self.params.count_m + 1e-6) as i64 - self.first_count;
        u32::try_from(steps).map_err(|_| CodeReadError::HeadError)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scale::ScaleId;
    use crate::surface::{Film, SurfaceMap};
    use proptest::prelude::{prop_assert, proptest};
    use std::f64::consts::TAU;

    fn reader(id: ScaleId, travel_m: f64, surface: &SurfaceMap) -> CodeReader {
        let spec = id.spec();
        let count_m = spec.period_m / 20.0;
        let params = ReaderParams {
            reach_m: [-0.05, travel_m],
            count_m,
            light: 1.0,
            blur_m: 0.0,
            bit_error_rate: 0.0,
            hold_v: 0.1,
            watch: CodeWatchParams { speed_max_m_per_s: 1.0, period_s: 1e-3, resolution_m: count_m },
        };
        CodeReader::new(&spec, &params, SurfaceIndex::for_scale(surface, &spec)).expect("a code fits")
    }

    fn read(r: &CodeReader, x_m: f64) -> Result<f64, CodeReadError> {
        let phase = TAU * x_m / r.period_m;
        let fine_v = [0.5 * libm::cos(phase), 0.5 * libm::sin(phase)];
        r.read(x_m, fine_v, &mut WindowCursor::default(), &mut Stream::named(1, "code"))
    }

    #[test]
    fn opaque_dirt_on_the_track_is_refused_and_says_so() {
        let mut map = SurfaceMap::default();
        map.paint(0.2, 0.202, Film { mu_t: 6.0, scatter: 0.0, kappa_s: 0.0 });
        let r = reader(ScaleId::Glass20, 0.56, &map);
        assert!(matches!(read(&r, 0.2), Err(CodeReadError::CheckBits | CodeReadError::Dark)));
        assert!(read(&r, 0.3).is_ok());
        let dark = r.read(0.3, [0.0, 0.02], &mut WindowCursor::default(), &mut Stream::named(1, "code"));
        assert_eq!(dark, Err(CodeReadError::HeadError));
    }

    proptest! {
        // The place comes back within its step, on every scale and all along it.
        #[test]
        fn the_place_is_known_at_once(at in 0.0..1.0_f64) {
            for (id, travel_m) in [(ScaleId::Tape1000, 0.66), (ScaleId::Tape40, 3.26), (ScaleId::Glass20, 0.56)] {
                let r = reader(id, travel_m, &SurfaceMap::default());
                let x_m = -0.04 + at * travel_m;
                let place_m = read(&r, x_m).expect("a clean track");
                let q = r.params.count_m;
                prop_assert!((place_m - x_m).abs() <= 1.001 * q, "{id:?} {x_m} {place_m}");
            }
        }
    }
}
