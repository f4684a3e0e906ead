//! Absolute glass disc: ten Gray-coded tracks side by side between 12 and 22 mm radius.
//!
//! Track by track 1 mm wide, the coarsest inside. The lines of the finest one, 256 per turn
//! at 21.5 mm, serve as its grating for amplitude and gap; optics and fields are own numbers.

use super::rotary::DiscSpec;
use super::{Architecture, CodeSpec, GratingType, OutputKind, ScaleId, ScaleSpec, single_field, with_nominal_current};

pub(super) fn spec() -> ScaleSpec {
    let disc = DiscSpec { radius_m: 21.5e-3, lines: 256, eccentricity_m: 0.0 };
    with_nominal_current(ScaleSpec {
        id: ScaleId::CodeDisc10,
        period_m: disc.period_m(),
        grating_type: GratingType::Transmissive,
        kappa: 1.0,
        wavelength_m: 880e-9,
        fwhm_m: 40e-9,
        source_half_angle_rad: 0.05,
        duty: 0.5,
        bright_reflectance: 1.0,
        dark_reflectance: 0.0,
        diffuse_reflectance: 0.0,
        bare_reflectance: 0.0,
        off_track_reflectance: 0.0,
        rms_slope_rad: 0.0,
        mask_duty: 1.0 / 3.0,
        track_width_m: 1e-3,
        gap_nominal_m: 0.30e-3,
        gap_min_m: 0.0,
        gap_max_m: 2e-3,
        power_depends_on_gap: false,
        harmonics: 3,
        architecture: Architecture::SingleField,
        fields: single_field(1.0e-3, 0.8e-3),
        photocurrent_scale_a: 0.0,
        dark_current_a: 1e-9,
        output: OutputKind::Differential1Vpp,
        bandwidth_hz: 100e3,
        squares_per_period: None,
        disc: Some(disc),
        code: Some(CodeSpec::Gray { tracks: 10, inner_m: 12e-3, outer_m: 22e-3 }),
    })
}
