//! Medium steel tape: 100 um period, read by a single-field head that squares the signal itself.
//!
//! The head interpolates by five and sends 5 um square steps (20 um square periods) on
//! differential pairs. The one-third mask kills the third harmonic.

use super::{Architecture, GratingType, OutputKind, ScaleId, ScaleSpec, single_field, with_nominal_current};

pub(super) fn spec() -> ScaleSpec {
    with_nominal_current(ScaleSpec {
        id: ScaleId::Tape100,
        period_m: 100e-6,
        grating_type: GratingType::Reflective,
        kappa: 0.5,
        wavelength_m: 850e-9,
        fwhm_m: 40e-9,
        source_half_angle_rad: 0.05,
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
        gap_max_m: 2e-3,
        power_depends_on_gap: true,
        harmonics: 3,
        architecture: Architecture::SingleField,
        fields: single_field(2e-3, 2e-3),
        photocurrent_scale_a: 0.0,
        dark_current_a: 1e-9,
        output: OutputKind::Differential1Vpp,
        // Own: 10 m/s, more than the squares can follow.
        bandwidth_hz: 100e3,
        squares_per_period: Some(5),
        disc: None,
        code: None,
    })
}
