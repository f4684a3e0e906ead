//! Glass disc of a motor encoder: 2500 lines at 18 mm radius, four fields in diagonal pairs,
//! squared in the head, one square period per line.
//!
//! Its pattern sits 5 um off the axis of rotation, which is good workmanship and still a
//! position error of 5 um at the lines, once per turn. Diffraction has its first null at
//! 1.163 mm of gap, the blur by the source a little earlier, at 1.104 mm.

use super::rotary::DiscSpec;
use super::{Architecture, Field, GratingType, OutputKind, ScaleId, ScaleSpec, with_nominal_current};

pub(super) fn spec() -> ScaleSpec {
    let disc = DiscSpec { radius_m: 18e-3, lines: 2500, eccentricity_m: 5e-6 };
    // A pair ahead and outside, B pair behind and inside; within a pair 2 w apart along travel.
    let (ahead_m, half_pair_m, above_m) = (1.2e-3, 0.55e-3, 0.2e-3);
    let field = |x_m, y_m, phase_turns| Field { x_m, y_m, length_m: 0.9e-3, height_m: 1.2e-3, phase_turns };
    with_nominal_current(ScaleSpec {
        id: ScaleId::Disc2500,
        period_m: disc.period_m(),
        grating_type: GratingType::Transmissive,
        kappa: 1.0,
        wavelength_m: 880e-9,
        fwhm_m: 40e-9,
        source_half_angle_rad: 0.025,
        duty: 0.5,
        bright_reflectance: 1.0,
        dark_reflectance: 0.0,
        diffuse_reflectance: 0.0,
        bare_reflectance: 0.0,
        off_track_reflectance: 0.0,
        rms_slope_rad: 0.0,
        mask_duty: 1.0 / 3.0,
        track_width_m: 3e-3,
        gap_nominal_m: 0.20e-3,
        gap_min_m: 0.0,
        gap_max_m: 1.2e-3,
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
        // 7200 rpm of 2500 lines (validation row V43).
        bandwidth_hz: 300e3,
        squares_per_period: Some(1),
        disc: Some(disc),
        code: None,
    })
}
