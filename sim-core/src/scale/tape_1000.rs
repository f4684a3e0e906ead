//! Coarse steel tape: 1 mm period, read by two slit windows a quarter period apart.
//!
//! Far below its Talbot length of 2 m, so the light behind it is a plain shadow.

use super::{Architecture, Field, GratingType, OutputKind, ScaleId, ScaleSpec, with_nominal_current};

pub(super) fn spec() -> ScaleSpec {
    let window = |x_m, phase_turns| Field { x_m, y_m: 0.0, length_m: 0.4e-3, height_m: 4e-3, phase_turns };
    with_nominal_current(ScaleSpec {
        id: ScaleId::Tape1000,
        period_m: 1e-3,
        grating_type: GratingType::Reflective,
        kappa: 0.5,
        wavelength_m: 940e-9,
        fwhm_m: 45e-9,
        source_half_angle_rad: 0.15,
        duty: 0.5,
        bright_reflectance: 0.70,
        dark_reflectance: 0.04,
        diffuse_reflectance: 0.0,
        bare_reflectance: 0.0,
        off_track_reflectance: 0.04,
        rms_slope_rad: 0.0,
        mask_duty: 0.4,
        track_width_m: 8e-3,
        gap_nominal_m: 1.5e-3,
        gap_min_m: 0.0,
        gap_max_m: 4e-3,
        power_depends_on_gap: true,
        harmonics: 5,
        architecture: Architecture::TwoWindow,
        fields: vec![window(1.125e-3, 0.0), window(-1.125e-3, 0.25)],
        photocurrent_scale_a: 0.0,
        dark_current_a: 1e-9,
        output: OutputKind::SingleEnded { mean_v: 1.2, amplitude_v: 0.97 },
        bandwidth_hz: 20e3,
        squares_per_period: None,
        disc: None,
        code: None,
    })
}
