//! Slotted steel disc: 100 slots at 20 mm radius, read by two slit windows.
//!
//! The rotary sister of the coarse tape: bare chip as a source, plain shadows, single-ended
//! output. Its period, 1.257 mm, is the coarsest of all.

use super::rotary::DiscSpec;
use super::{Architecture, Field, GratingType, OutputKind, ScaleId, ScaleSpec, with_nominal_current};

pub(super) fn spec() -> ScaleSpec {
    let disc = DiscSpec { radius_m: 20e-3, lines: 100, eccentricity_m: 0.0 };
    let period_m = disc.period_m();
    // Two and a quarter periods apart, as on the coarse tape (own).
    let window = |side: f64, phase_turns| Field {
        x_m: side * 1.125 * period_m,
        y_m: 0.0,
        length_m: 0.63e-3,
        height_m: 3e-3,
        phase_turns,
    };
    with_nominal_current(ScaleSpec {
        id: ScaleId::Disc100,
        period_m,
        grating_type: GratingType::Transmissive,
        kappa: 1.0,
        wavelength_m: 880e-9,
        fwhm_m: 45e-9,
        source_half_angle_rad: 0.20,
        duty: 0.5,
        bright_reflectance: 1.0,
        dark_reflectance: 0.0,
        diffuse_reflectance: 0.0,
        bare_reflectance: 0.0,
        off_track_reflectance: 0.0,
        rms_slope_rad: 0.0,
        mask_duty: 0.5,
        track_width_m: 6e-3,
        gap_nominal_m: 1.0e-3,
        gap_min_m: 0.0,
        gap_max_m: 4e-3,
        power_depends_on_gap: false,
        harmonics: 5,
        architecture: Architecture::TwoWindow,
        fields: vec![window(1.0, 0.0), window(-1.0, 0.25)],
        photocurrent_scale_a: 0.0,
        dark_current_a: 1e-9,
        // Mean as on the coarse tape (own); the amplitude follows from the modulation 0.7134.
        output: OutputKind::SingleEnded { mean_v: 1.2, amplitude_v: 0.856 },
        bandwidth_hz: 20e3,
        squares_per_period: None,
        disc: Some(disc),
        code: None,
    })
}
