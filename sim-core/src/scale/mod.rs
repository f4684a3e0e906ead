//! Gratings and the reading heads made for them.
//!
//! A [`ScaleSpec`] says everything about a healthy scale with its head in SI units. It is
//! looked up by [`ScaleId`]; one file per scale holds the numbers. The numbers are our own:
//! plausible for the type, of no maker's product.

mod check;
mod code_disc_10;
mod code_tape_11;
mod disc_100;
mod disc_2500;
mod glass_20;
mod glass_4;
mod grating;
pub mod housing;
#[cfg(test)]
mod presets;
pub mod rotary;
mod tape_100;
mod tape_1000;
mod tape_40;

pub use grating::Grating;

use serde::{Deserialize, Serialize};
use std::f64::consts::PI;

/// Which scale with its head is fitted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ScaleId {
    /// Coarse steel tape, 1 mm period, two-window head with single-ended output: the one you
    /// can see with the naked eye.
    #[serde(rename = "tape-1000")]
    Tape1000,
    /// Fine steel tape, 40 um period, single-field head, 1 V peak to peak.
    #[serde(rename = "tape-40")]
    Tape40,
    /// Chrome on glass, 20 um period, four-field head, 1 V peak to peak.
    #[serde(rename = "glass-20")]
    Glass20,
    /// Slotted disc, 100 slots at 20 mm radius, two-window head with single-ended output.
    #[serde(rename = "disc-100")]
    Disc100,
    /// Medium steel tape, 100 um period, single-field head that sends squares, five per period.
    #[serde(rename = "tape-100")]
    Tape100,
    /// Glass disc of a motor encoder, 2500 lines at 18 mm radius, four-field head that sends squares.
    #[serde(rename = "disc-2500")]
    Disc2500,
    /// Very fine lines on glass, 4 um period: shows the repeating focus planes.
    #[serde(rename = "glass-4")]
    Glass4,
    /// The 100 um tape with a pseudo-random code track of eleven bits beside its lines.
    #[serde(rename = "code-tape-11")]
    CodeTape11,
    /// Glass disc with ten Gray-coded tracks.
    #[serde(rename = "code-disc-10")]
    CodeDisc10,
}

impl ScaleId {
    /// Every scale, in the order of teaching: coarse to fine, then the absolute ones.
    pub const ALL: [Self; 9] = [
        Self::Tape1000,
        Self::Disc100,
        Self::Tape100,
        Self::Tape40,
        Self::Glass20,
        Self::Disc2500,
        Self::Glass4,
        Self::CodeTape11,
        Self::CodeDisc10,
    ];

    /// The healthy scale and head.
    #[must_use]
    pub fn spec(self) -> ScaleSpec {
        match self {
            Self::Tape1000 => tape_1000::spec(),
            Self::Tape40 => tape_40::spec(),
            Self::Glass20 => glass_20::spec(),
            Self::Disc100 => disc_100::spec(),
            Self::Tape100 => tape_100::spec(),
            Self::Disc2500 => disc_2500::spec(),
            Self::Glass4 => glass_4::spec(),
            Self::CodeTape11 => code_tape_11::spec(),
            Self::CodeDisc10 => code_disc_10::spec(),
        }
    }

    /// Stable name, as in files.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Tape1000 => "tape-1000",
            Self::Tape40 => "tape-40",
            Self::Glass20 => "glass-20",
            Self::Disc100 => "disc-100",
            Self::Tape100 => "tape-100",
            Self::Disc2500 => "disc-2500",
            Self::Glass4 => "glass-4",
            Self::CodeTape11 => "code-tape-11",
            Self::CodeDisc10 => "code-disc-10",
        }
    }
}

/// How light meets the lines.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GratingType {
    /// Bright lines mirror the light back; dirt is passed twice.
    Reflective,
    /// Light passes between opaque lines; dirt is passed once.
    Transmissive,
}

impl GratingType {
    /// How often light crosses a film lying on the scale.
    #[must_use]
    pub const fn passes(self) -> u8 {
        match self {
            Self::Reflective => 2,
            Self::Transmissive => 1,
        }
    }
}

/// Where the detector fields look.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Architecture {
    /// Four fields at four places of the scale: a speck hits one of them and shifts the offset.
    FourField,
    /// The four phases are interleaved in one field: a speck dims all alike.
    SingleField,
    /// Two windows, no differences: the simplest head.
    TwoWindow,
}

/// One detector field projected to the scale plane, in head axes (x along travel, y along the lines).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Field {
    /// Centre along travel, m, within about 3e-3 of the head centre.
    pub x_m: f64,
    /// Centre along the lines, m, within about 3e-3 of the head centre.
    pub y_m: f64,
    /// Length along travel, m, 0.4e-3 to 4e-3.
    pub length_m: f64,
    /// Height along the lines, m, 0.4e-3 to 4e-3.
    pub height_m: f64,
    /// Phase of the mask before this field, turns: 0, 1/4, 1/2 or 3/4.
    pub phase_turns: f64,
}

/// What leaves the head's amplifier when all is well.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum OutputKind {
    /// Differences of opposite fields, amplitude 0.5 V (1 V peak to peak) on each channel.
    Differential1Vpp,
    /// Photocurrent of one field across a resistor, never below zero.
    SingleEnded {
        /// Mean voltage, V.
        mean_v: f64,
        /// Amplitude of the fundamental, V; follows from the mean and the modulation, kept as a check.
        amplitude_v: f64,
    },
}

/// A healthy scale with its reading head. SI units; phases in turns (1 turn = one period).
#[derive(Clone, Debug, PartialEq)]
pub struct ScaleSpec {
    /// Which scale this is.
    pub id: ScaleId,
    /// Grating period p, m, 4e-6 to 1.3e-3.
    pub period_m: f64,
    /// Reflective or transmissive.
    pub grating_type: GratingType,
    /// Geometry factor: effective distance = kappa x gap. 1 for collimated light through the
    /// scale, 1/2 where source and detector sit side by side above it.
    pub kappa: f64,
    /// Centre wavelength of the light source, m, 650e-9 to 950e-9.
    pub wavelength_m: f64,
    /// Spectral full width at half maximum of the source, m, 15e-9 to 50e-9.
    pub fwhm_m: f64,
    /// Angular half-size of the source (a uniform disc) seen from the scale, rad, 0.002 to 0.2.
    pub source_half_angle_rad: f64,
    /// Bright width of the lines divided by the period, 0.3 to 0.7.
    pub duty: f64,
    /// Reflectance (transmittance) of the bright lines, 0 to 1.
    pub bright_reflectance: f64,
    /// Reflectance (transmittance) of the dark lines, 0 to 1.
    pub dark_reflectance: f64,
    /// Diffuse reflectance of the dark lines that still reaches the detector, 0 to 0.1.
    pub diffuse_reflectance: f64,
    /// Mean reflectance (transmittance) where lines are missing: 0 for a dull scratch.
    pub bare_reflectance: f64,
    /// Reflectance (transmittance) beside the track, 0 to 1.
    pub off_track_reflectance: f64,
    /// Root-mean-square slope of the surface, rad, 0 to 5e-3.
    pub rms_slope_rad: f64,
    /// Duty of the scanning mask (slit width / period), 1/3 to 1/2.
    pub mask_duty: f64,
    /// Width of the track along the lines, m.
    pub track_width_m: f64,
    /// Gap the head is meant to be mounted at, m.
    pub gap_nominal_m: f64,
    /// Smallest gap the model covers, m.
    pub gap_min_m: f64,
    /// Largest gap the model covers, m.
    pub gap_max_m: f64,
    /// Whether the collected power falls off either side of the nominal gap (uncollimated
    /// reflective heads) or not (collimated).
    pub power_depends_on_gap: bool,
    /// Highest harmonic computed: 3 for fine, 5 for coarse scales, where flat tops show.
    pub harmonics: usize,
    /// Where the fields look.
    pub architecture: Architecture,
    /// Detector fields in the order of their phases, two or four.
    pub fields: Vec<Field>,
    /// Photocurrent scale S = responsivity x optical power per field, A; gives 0.3e-6 A mean
    /// current per field at the nominal gap.
    pub photocurrent_scale_a: f64,
    /// Dark current per field, A.
    pub dark_current_a: f64,
    /// Output of the healthy head.
    pub output: OutputKind,
    /// Bandwidth of the head's amplifier (one pole), Hz, 20e3 to 500e3.
    pub bandwidth_hz: f64,
    /// Square periods per signal period that the head itself makes and sends on differential
    /// pairs, 1 to 1024; none where the analog channels leave the head.
    pub squares_per_period: Option<u32>,
    /// The circle the lines lie on; none for a scale along a straight axis.
    pub disc: Option<rotary::DiscSpec>,
    /// Absolute code beside the lines; none on incremental scales.
    pub code: Option<CodeSpec>,
}

/// The absolute code of a scale.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum CodeSpec {
    /// One track of pseudo-random bits along the scale.
    Sequence {
        /// Bits that name the place, 3 to 16.
        bits: u32,
        /// Further bits read as checks, 3 to 16.
        check_bits: u32,
        /// Length of a bit, m.
        cell_m: f64,
    },
    /// Gray-coded tracks side by side on a disc, the finest outside.
    Gray {
        /// Tracks, one bit each, 3 to 16.
        tracks: u32,
        /// Inner edge of the innermost track, m.
        inner_m: f64,
        /// Outer edge of the outermost track, m.
        outer_m: f64,
    },
}

impl ScaleSpec {
    /// Field amplitudes and duty of the lines, as the diffraction formulas want them.
    #[must_use]
    pub fn grating(&self) -> Grating {
        Grating {
            duty: self.duty,
            bright_amplitude: self.bright_reflectance.sqrt(),
            dark_amplitude: self.dark_reflectance.sqrt(),
            diffuse_reflectance: self.diffuse_reflectance,
        }
    }

    /// Mean reflectance (transmittance) of the scale, `I_0`, 0 to 1.
    #[must_use]
    pub fn mean_reflectance(&self) -> f64 {
        self.grating().mean()
    }

    /// Speed at which the signal frequency reaches the amplifier's bandwidth, m/s: `v = f p`.
    #[must_use]
    pub fn bandwidth_speed_m_per_s(&self) -> f64 {
        self.bandwidth_hz * self.period_m
    }

    /// Phase of the signal per metre of travel, rad/m.
    #[must_use]
    pub fn radians_per_metre(&self) -> f64 {
        2.0 * PI / self.period_m
    }
}

/// Mean photocurrent per field at the nominal gap, A (own choice, usual order of size).
const NOMINAL_CURRENT_A: f64 = 0.3e-6;

/// Photocurrent scale that gives the nominal mean current; at the nominal gap the collected
/// power is 1 and the mean does not blur, so `J_0 = d_m I_0`.
fn with_nominal_current(mut spec: ScaleSpec) -> ScaleSpec {
    spec.photocurrent_scale_a = NOMINAL_CURRENT_A / (spec.mask_duty * spec.mean_reflectance());
    spec
}

/// Four fields at one place.
fn single_field(length_m: f64, height_m: f64) -> Vec<Field> {
    [0.0, 0.25, 0.5, 0.75]
        .into_iter()
        .map(|phase_turns| Field { x_m: 0.0, y_m: 0.0, length_m, height_m, phase_turns })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::{OutputKind, ScaleId};
    use crate::chain::light::table_entry;

    #[test]
    fn names_in_files_are_the_stable_names() {
        for id in ScaleId::ALL {
            let text = serde_json::to_string(&id).expect("an id is a word");
            assert_eq!(text, format!("\"{}\"", id.name()));
            let back: ScaleId = serde_json::from_str(&text).expect("what was written reads");
            assert_eq!(back, id);
            assert_eq!(id.spec().id, id);
        }
    }

    #[test]
    fn every_scale_is_complete_and_in_range() {
        for id in ScaleId::ALL {
            let s = id.spec();
            assert!(s.gap_min_m < s.gap_nominal_m && s.gap_nominal_m < s.gap_max_m, "{id:?}");
            assert!((4e-6..=1.3e-3).contains(&s.period_m), "{id:?}");
            assert!((600e-9..1000e-9).contains(&s.wavelength_m), "{id:?}");
            assert!(s.fields.len() == 2 || s.fields.len() == 4, "{id:?}");
            for (k, f) in s.fields.iter().enumerate() {
                assert_eq!(f.phase_turns, 0.25 * k as f64, "{id:?}");
                // The track covers every field of a centred head.
                assert!(f.y_m.abs() + f.height_m / 2.0 <= s.track_width_m / 2.0, "{id:?}");
            }
            let mean = s.photocurrent_scale_a * table_entry(&s, 0, s.gap_nominal_m);
            assert!((mean / 0.3e-6 - 1.0).abs() < 1e-12, "{id:?}: {mean} A");
        }
    }

    #[test]
    fn single_ended_amplitude_follows_from_the_mean_and_the_modulation() {
        let mut seen = 0;
        for id in ScaleId::ALL {
            let s = id.spec();
            let OutputKind::SingleEnded { mean_v, amplitude_v } = s.output else { continue };
            let modulation = 2.0 * table_entry(&s, 1, s.gap_nominal_m) / table_entry(&s, 0, s.gap_nominal_m);
            assert!((mean_v * modulation / amplitude_v - 1.0).abs() < 5e-3, "{id:?}");
            seen += 1;
        }
        assert_eq!(seen, 2, "the coarse tape and the slotted disc");
    }
}
