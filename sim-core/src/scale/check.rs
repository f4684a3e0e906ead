//! The door of a scale: numbers that no scale and head can have are refused by name.

use super::{CodeSpec, OutputKind, ScaleSpec};
use crate::limits::{FieldError, even, whole_within, within};

impl ScaleSpec {
    /// Refuses numbers that are not finite or outside the range that their description states.
    ///
    /// # Errors
    /// The first wrong number, with its name, value and range.
    pub fn check(&self) -> Result<(), FieldError> {
        within("period_m", self.period_m, 4e-6, 1.3e-3)?;
        within("kappa", self.kappa, 0.5, 1.0)?;
        within("wavelength_m", self.wavelength_m, 600e-9, 1000e-9)?;
        within("fwhm_m", self.fwhm_m, 0.0, 50e-9)?;
        within("source_half_angle_rad", self.source_half_angle_rad, 0.0, 0.2)?;
        within("duty", self.duty, 0.3, 0.7)?;
        within("bright_reflectance", self.bright_reflectance, 0.01, 1.0)?;
        within("dark_reflectance", self.dark_reflectance, 0.0, self.bright_reflectance)?;
        within("diffuse_reflectance", self.diffuse_reflectance, 0.0, 0.1)?;
        within("bare_reflectance", self.bare_reflectance, 0.0, 1.0)?;
        within("off_track_reflectance", self.off_track_reflectance, 0.0, 1.0)?;
        within("rms_slope_rad", self.rms_slope_rad, 0.0, 5e-3)?;
        within("mask_duty", self.mask_duty, 0.3, 0.5)?;
        within("track_width_m", self.track_width_m, 0.1e-3, 50e-3)?;
        self.check_gap()?;
        self.check_fields()?;
        within("photocurrent_scale_a", self.photocurrent_scale_a, 1e-9, 1e-3)?;
        within("dark_current_a", self.dark_current_a, 0.0, 1e-6)?;
        if let OutputKind::SingleEnded { mean_v, amplitude_v } = self.output {
            within("output.mean_v", mean_v, 0.0, 5.0)?;
            within("output.amplitude_v", amplitude_v, 0.0, 5.0)?;
        }
        within("bandwidth_hz", self.bandwidth_hz, 10.0, 1e6)?;
        if let Some(squares) = self.squares_per_period {
            whole_within("squares_per_period", squares, 1, 1024)?;
        }
        match self.code {
            Some(CodeSpec::Sequence { bits, check_bits, cell_m }) => {
                whole_within("code.bits", bits, 3, 16)?;
                whole_within("code.check_bits", check_bits, 3, 16)?;
                within("code.cell_m", cell_m, 10e-6, 10e-3)
            }
            Some(CodeSpec::Gray { tracks, inner_m, outer_m }) => {
                whole_within("code.tracks", tracks, 3, 16)?;
                within("code.inner_m", inner_m, 1e-3, 0.2)?;
                within("code.outer_m", outer_m, inner_m, 0.2)
            }
            None => Ok(()),
        }
    }

    /// The gaps that the table covers, and the nominal one among them.
    fn check_gap(&self) -> Result<(), FieldError> {
        within("gap_min_m", self.gap_min_m, 0.0, 10e-3)?;
        within("gap_max_m", self.gap_max_m, self.gap_min_m + 1e-6, 10e-3)?;
        within("gap_nominal_m", self.gap_nominal_m, self.gap_min_m, self.gap_max_m)
    }

    fn check_fields(&self) -> Result<(), FieldError> {
        let count = u32::try_from(self.fields.len()).unwrap_or(u32::MAX);
        whole_within("fields (number of them)", count, 2, 4)?;
        even("fields (number of them)", count)?;
        whole_within("harmonics", u32::try_from(self.harmonics).unwrap_or(u32::MAX), 1, 5)?;
        for field in &self.fields {
            within("fields.x_m", field.x_m, -10e-3, 10e-3)?;
            within("fields.y_m", field.y_m, -10e-3, 10e-3)?;
            within("fields.length_m", field.length_m, 0.1e-3, 10e-3)?;
            within("fields.height_m", field.height_m, 0.1e-3, 10e-3)?;
            within("fields.phase_turns", field.phase_turns, -1.0, 1.0)?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use crate::scale::{ScaleId, ScaleSpec};

    fn told(change: impl FnOnce(&mut ScaleSpec)) -> String {
        let mut spec = ScaleId::Tape40.spec();
        change(&mut spec);
        spec.check().expect_err("no scale is like that").to_string()
    }

    #[test]
    fn every_scale_is_let_in() {
        for id in ScaleId::ALL {
            assert_eq!(id.spec().check(), Ok(()), "{id:?}");
        }
    }

    #[test]
    fn a_wrong_number_is_told_with_its_value_and_range() {
        assert_eq!(told(|s| s.period_m = -40e-6), "period_m: -0.00004 is outside the allowed range 0.000004 to 0.0013");
        assert_eq!(
            told(|s| s.wavelength_m = f64::NAN),
            "wavelength_m: NaN is not a finite number; write a plain number such as 0.0000006"
        );
        assert_eq!(told(|s| s.gap_nominal_m = 3e-3), "gap_nominal_m: 0.003 is outside the allowed range 0 to 0.0022");
        assert!(told(|s| s.fields[1].length_m = 0.0).starts_with("fields.length_m: 0 is outside"));
        assert!(told(|s| s.fields.truncate(3)).ends_with("3 is odd; give an even number"));
    }
}
