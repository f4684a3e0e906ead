//! Very fine lines on glass: 4 um period, mounted at the second Talbot plane.
//!
//! A demonstrator of repeating focus planes, not a machine's scale: the signal fades and
//! comes back every 24 um of gap. Real heads for such lines use a third grating and are far
//! more tolerant.

use super::{Architecture, GratingType, OutputKind, ScaleId, ScaleSpec, single_field, with_nominal_current};

pub(super) fn spec() -> ScaleSpec {
    with_nominal_current(ScaleSpec {
        id: ScaleId::Glass4,
        period_m: 4e-6,
        grating_type: GratingType::Transmissive,
        kappa: 1.0,
        wavelength_m: 650e-9,
        fwhm_m: 18e-9,
        source_half_angle_rad: 0.002,
        duty: 0.5,
        bright_reflectance: 1.0,
        dark_reflectance: 0.0,
        diffuse_reflectance: 0.0,
        bare_reflectance: 0.0,
        off_track_reflectance: 0.0,
        rms_slope_rad: 0.0,
        mask_duty: 1.0 / 3.0,
        track_width_m: 3e-3,
        gap_nominal_m: 0.0978e-3,
        gap_min_m: 0.07e-3,
        gap_max_m: 0.13e-3,
        power_depends_on_gap: false,
        harmonics: 3,
        architecture: Architecture::SingleField,
        fields: single_field(0.4e-3, 0.5e-3),
        photocurrent_scale_a: 0.0,
        dark_current_a: 1e-9,
        output: OutputKind::Differential1Vpp,
        bandwidth_hz: 500e3,
        squares_per_period: None,
        disc: None,
        code: None,
    })
}
