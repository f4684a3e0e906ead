//! Fine steel tape: 40 um period, read by a single-field head with a one-third mask.
//!
//! The mask kills the third harmonic. First null of the gap at 1.88 mm.

use super::{Architecture, GratingType, OutputKind, ScaleId, ScaleSpec, single_field, with_nominal_current};

pub(super) fn spec() -> ScaleSpec {
    with_nominal_current(ScaleSpec {
        id: ScaleId::Tape40,
        period_m: 40e-6,
        grating_type: GratingType::Reflective,
        kappa: 0.5,
        wavelength_m: 850e-9,
        fwhm_m: 40e-9,
        source_half_angle_rad: 0.020,
        duty: 0.5,
        bright_reflectance: 0.55,
        dark_reflectance: 0.03,
        diffuse_reflectance: 0.0,
        bare_reflectance: 0.0,
        off_track_reflectance: 0.03,
        rms_slope_rad: 0.0,
        mask_duty: 1.0 / 3.0,
        track_width_m: 5e-3,
        gap_nominal_m: 0.8e-3,
        gap_min_m: 0.0,
        gap_max_m: 2.2e-3,
        power_depends_on_gap: true,
        harmonics: 3,
        architecture: Architecture::SingleField,
        fields: single_field(1.6e-3, 1.5e-3),
        photocurrent_scale_a: 0.0,
        dark_current_a: 1e-9,
        output: OutputKind::Differential1Vpp,
        bandwidth_hz: 200e3,
        squares_per_period: None,
        disc: None,
        code: None,
    })
}
