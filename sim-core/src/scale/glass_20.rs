//! Chrome lines on glass: 20 um period, light through the scale, four fields in diagonal pairs.
//!
//! The pairs of A and B look at different places, so yaw, pitch, roll and single specks each
//! leave their own mark on the figure. First null of the gap at 0.2325 mm.

use super::{Architecture, Field, GratingType, OutputKind, ScaleId, ScaleSpec, with_nominal_current};

pub(super) fn spec() -> ScaleSpec {
    // A pair ahead and above, B pair behind and below; within a pair 2 w apart along travel.
    let (ahead_m, half_pair_m, above_m) = (1.5e-3, 0.5e-3, 0.2e-3);
    let field = |x_m, y_m, phase_turns| Field { x_m, y_m, length_m: 0.8e-3, height_m: 1.2e-3, phase_turns };
    with_nominal_current(ScaleSpec {
        id: ScaleId::Glass20,
        period_m: 20e-6,
        grating_type: GratingType::Transmissive,
        kappa: 1.0,
        wavelength_m: 860e-9,
        fwhm_m: 35e-9,
        source_half_angle_rad: 0.015,
        duty: 0.5,
        bright_reflectance: 1.0,
        dark_reflectance: 0.0,
        diffuse_reflectance: 0.0,
        bare_reflectance: 0.0,
        off_track_reflectance: 0.0,
        rms_slope_rad: 0.0,
        mask_duty: 1.0 / 3.0,
        track_width_m: 5e-3,
        gap_nominal_m: 0.10e-3,
        gap_min_m: 0.0,
        gap_max_m: 0.4e-3,
        power_depends_on_gap: false,
        harmonics: 3,
        architecture: Architecture::FourField,
        fields: vec![
            field(ahead_m - half_pair_m, above_m, 0.0),
            field(-ahead_m - half_pair_m, -above_m, 0.25),
            field(ahead_m + half_pair_m, above_m, 0.5),
            field(-ahead_m + half_pair_m, -above_m, 0.75),
        ],
        photocurrent_scale_a: 0.0,
        dark_current_a: 1e-9,
        output: OutputKind::Differential1Vpp,
        bandwidth_hz: 200e3,
        squares_per_period: None,
        disc: None,
        code: None,
    })
}
