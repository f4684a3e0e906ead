//! Absolute scales: code on the scale, light on the code, words on the line, what is believed.
//!
//! ```text
//! shaft or table place -> code cells under the head -> light per cell (dirt, gap, brightness)
//!   -> bits -> place by table and check bits -> serial frame with CRC -> receiver -> watch
//! ```
//!
//! An absolute scale loses its place in other ways than a counting one: dirt makes a wrong
//! bit, noise a wrong frame, a flat battery a wrong turn. Each file here holds one of them;
//! this one holds the last link, [`CodeWatch`], which decides whether to believe a reading.

use crate::limits::{self, FieldError};
use serde::{Deserialize, Serialize};
use thiserror::Error;

mod disc;
mod frame;
pub mod gray;
mod reader;
mod sequence;
mod track;
mod turns;
pub use disc::{GrayDisc, GrayDiscParams};
pub use frame::{FRAME_BYTES, Frame, FrameError, crc8, disturb};
pub use reader::{CodeReader, ReaderParams};
pub use sequence::{CodeSequence, SequenceError};
pub use track::{CodeLight, CodeTrack, CodeTrackParams, TrackRead, combine};
pub use turns::{BatteryLevel, TurnsParams, TurnsState};

/// Why a code word was not believed.
#[derive(Clone, Copy, Debug, PartialEq, Error, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum CodeReadError {
    /// The bits are those of no place: all dark.
    #[error("the code reads all dark; check the light, the gap and the track")]
    Dark,
    /// The check bits do not follow from the others.
    #[error("the code's check bits are wrong; clean the code track")]
    CheckBits,
    /// The frame from the head is damaged, or the head reports an error.
    #[error("frame from the head refused: {0}")]
    Frame(FrameError),
    /// The head says itself that its reading is bad.
    #[error("the head reports that it cannot read its code")]
    HeadError,
    /// The place jumped further than the axis can move.
    #[error("place jumped by {jump_m} m where at most {limit_m} m are possible; a code was misread")]
    Jump {
        /// Change since the last believed reading, m.
        jump_m: f64,
        /// Largest possible change, m.
        limit_m: f64,
    },
    /// Code and lines name places further apart than a quarter period.
    #[error("code and lines disagree by {off_m} m; the code track is dirty or out of register")]
    Disagree {
        /// Code minus lines, m.
        off_m: f64,
    },
}

/// Settings of the receiver's plausibility check.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CodeWatchParams {
    /// Highest speed of the axis, m/s, 1e-3 to 100.
    pub speed_max_m_per_s: f64,
    /// Time between two readings, s, 10e-6 to 0.1.
    pub period_s: f64,
    /// Step of the reading q, m, 1e-9 to 1e-2.
    pub resolution_m: f64,
}

impl CodeWatchParams {
    /// Refuses what no receiver can be set to.
    ///
    /// # Errors
    /// The first field that is not finite or outside its range.
    pub fn check(&self) -> Result<(), FieldError> {
        limits::within("speed_max_m_per_s", self.speed_max_m_per_s, 1e-3, 100.0)?;
        limits::within("period_s", self.period_s, 10e-6, 0.1)?;
        limits::within("resolution_m", self.resolution_m, 1e-9, 1e-2)
    }
}

/// What the receiver carries from reading to reading.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct CodeWatch {
    /// Last place given out, m.
    place_m: Option<f64>,
    /// Speed between the last two believed readings, m/s.
    speed_m_per_s: f64,
    /// Bad readings running.
    bad: u32,
}

/// What one reading came to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CodeStep {
    /// Place to go on with, m; none before the first good reading.
    pub place_m: Option<f64>,
    /// Why the reading was not believed; then the place is the old one moved on at its speed.
    pub refused: Option<CodeReadError>,
    /// Two or more bad readings running: stop the axis.
    pub alarm: bool,
}

impl CodeWatch {
    /// Takes one reading: believed when it is good and within reach of the one before,
    /// `|x_k - x_(k-1)| <= v_max T + 10 q` for each period T since; else the old place is moved
    /// on once at its speed, and two bad ones running raise the alarm (common practice).
    pub fn step(&mut self, p: &CodeWatchParams, reading: Result<f64, CodeReadError>) -> CodeStep {
        let reading = reading.and_then(|place_m| match self.place_m {
            Some(old_m) => {
                let limit_m = p.speed_max_m_per_s * p.period_s * f64::from(self.bad + 1) + 10.0 * p.resolution_m;
                let jump_m = place_m - old_m;
                if jump_m.abs() <= limit_m { Ok(place_m) } else { Err(CodeReadError::Jump { jump_m, limit_m }) }
            }
            None => Ok(place_m),
        });
        let refused = match reading {
            Ok(place_m) => {
                let moved_m = self.place_m.map_or(0.0, |old_m| place_m - old_m);
                // After a place that was only extrapolated the difference tells no speed.
                if self.bad == 0 {
                    self.speed_m_per_s = moved_m / p.period_s;
                }
                self.place_m = Some(place_m);
                self.bad = 0;
                None
            }
            Err(error) => {
                if self.bad == 0 {
                    self.place_m = self.place_m.map(|old_m| old_m + self.speed_m_per_s * p.period_s);
                }
                self.bad = self.bad.saturating_add(1).min(1000);
                Some(error)
            }
        };
        CodeStep { place_m: self.place_m, refused, alarm: self.bad >= 2 }
    }

    /// Forgets everything, as after power-up: the next good reading is believed wherever it is.
    pub fn reset(&mut self) {
        *self = Self::default();
    }
}

/// What the receiver makes of the bytes of one frame.
///
/// # Errors
/// When the frame is damaged or carries the head's error bit.
pub fn receive(bytes: &[u8; FRAME_BYTES]) -> Result<Frame, CodeReadError> {
    let frame = Frame::decode(bytes).map_err(CodeReadError::Frame)?;
    if frame.error { Err(CodeReadError::HeadError) } else { Ok(frame) }
}

#[cfg(test)]
mod tests;
