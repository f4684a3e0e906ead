//! The door of the alignment: numbers that cannot be are refused by name.

use super::AlignmentParams;
use crate::numbers::{NumberError, check};

/// Most waves, bumps or lines of vibration.
const LIST_MAX: usize = 16;

/// Why an alignment was refused.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum AlignmentError {
    /// A number that is not finite or out of its range.
    #[error("alignment: {field}: {error}")]
    Number {
        /// Which.
        field: &'static str,
        /// What is wrong with it.
        error: NumberError,
    },
    /// Too many of a kind.
    #[error("alignment: {field}: {count} of them; at most {LIST_MAX} are allowed")]
    TooMany {
        /// Which list.
        field: &'static str,
        /// How many there are.
        count: usize,
    },
}

impl AlignmentParams {
    /// Refuses numbers that are not finite or out of their range.
    ///
    /// # Errors
    /// The first wrong number, with its name and range.
    pub fn check(&self) -> Result<(), AlignmentError> {
        let range = |field, value, low, high| {
            check(value, low, high).map(|_| ()).map_err(|error| AlignmentError::Number { field, error })
        };
        range("gap_range_m.0", self.gap_range_m.0, 0.0, 10e-3)?;
        range("gap_range_m.1", self.gap_range_m.1, self.gap_range_m.0, 10e-3)?;
        range("pose.gap_m", self.pose.gap_m, self.gap_range_m.0, self.gap_range_m.1)?;
        range("pose.pitch_rad", self.pose.pitch_rad, -0.2, 0.2)?;
        range("pose.roll_rad", self.pose.roll_rad, -0.2, 0.2)?;
        range("pose.yaw_rad", self.pose.yaw_rad, -0.2, 0.2)?;
        range("pose.lateral_m", self.pose.lateral_m, -20e-3, 20e-3)?;
        range("pose.detune", self.pose.detune, -0.1, 0.1)?;
        range("wedge", self.wedge, -0.01, 0.01)?;
        range("sag_m", self.sag_m, -2e-3, 2e-3)?;
        range("travel_m", self.travel_m, 1e-3, 100.0)?;
        range("track_angle_rad", self.track_angle_rad, -0.02, 0.02)?;
        range("lost_motion_m", self.lost_motion_m, 0.0, 1e-3)?;
        for (field, count) in [
            ("waves", self.waves.len()),
            ("bumps", self.bumps.len()),
            ("gap_vibration", self.gap_vibration.len()),
            ("position_vibration", self.position_vibration.len()),
        ] {
            if count > LIST_MAX {
                return Err(AlignmentError::TooMany { field, count });
            }
        }
        for wave in &self.waves {
            range("waves.amplitude_m", wave.amplitude_m, 0.0, 1e-3)?;
            range("waves.length_m", wave.length_m, 1e-4, 100.0)?;
            range("waves.phase_turns", wave.phase_turns, -1.0, 1.0)?;
        }
        for bump in &self.bumps {
            range("bumps.at_m", bump.at_m, -100.0, 100.0)?;
            range("bumps.width_m", bump.width_m, 1e-4, 1.0)?;
            range("bumps.rise_m", bump.rise_m, -3e-3, 3e-3)?;
        }
        for line in self.gap_vibration.iter().chain(&self.position_vibration) {
            range("vibration.amplitude_m", line.amplitude_m, 0.0, 1e-3)?;
            range("vibration.frequency_hz", line.frequency_hz, 0.1, 2000.0)?;
            range("vibration.phase_turns", line.phase_turns, -1.0, 1.0)?;
        }
        Ok(())
    }
}
