//! The lines of a scale, as the diffraction formulas want them.

/// A binary grating, as its field amplitudes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Grating {
    /// Bright width divided by the period, 0 to 1.
    pub duty: f64,
    /// Field amplitude of the bright lines, square root of their reflectance, 0 to 1.
    pub bright_amplitude: f64,
    /// Field amplitude of the dark lines, square root of their reflectance, 0 to 1.
    pub dark_amplitude: f64,
    /// Diffuse reflectance of the dark lines that still reaches the detector, 0 to 0.1.
    pub diffuse_reflectance: f64,
}

impl Grating {
    /// Mean reflectance (transmittance) `I_0`, independent of the gap.
    #[must_use]
    pub fn mean(&self) -> f64 {
        let (a, b, d) = (self.bright_amplitude, self.dark_amplitude, self.duty);
        d * a * a + (1.0 - d) * (b * b + self.diffuse_reflectance)
    }
}
