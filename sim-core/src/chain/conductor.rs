//! Conductors and the cable between head and input: resistance, capacitance, the pole they make.
//!
//! Copper of 100 % IACS, solid, at the temperature of the cable. Left out: skin effect (below 1 % up to 100 kHz at
//! these sizes), reflections on long lines, loss of the insulation.

use crate::limits::{FieldError, whole_within, within};
use crate::num::math::pow;
use serde::{Deserialize, Serialize};
use std::f64::consts::PI;

/// Resistivity of annealed copper at 20 C, ohm m: 100 % IACS (IEC 60028, 1/58 ohm mm^2/m).
pub const COPPER_OHM_M: f64 = 1.7241e-8;
/// Rise of the resistance of copper per kelvin, referred to 20 C, 1/K (IEC 60028).
pub const COPPER_PER_K: f64 = 0.003_93;
/// Temperature at which resistances are stated, K: 20 C.
pub const REFERENCE_K: f64 = 293.15;

/// Size of a conductor.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ConductorSize {
    /// American wire gauge, 10 to 40; solid round copper.
    Awg(u8),
    /// Flexible metric conductor, with the greatest resistance that the standard allows.
    Flexible(FlexibleSize),
}

/// Nominal cross-sections of flexible (class 5) conductors.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum FlexibleSize {
    /// 0.5 mm^2.
    #[serde(rename = "0.5mm2")]
    Mm2Half,
    /// 0.75 mm^2.
    #[serde(rename = "0.75mm2")]
    Mm2ThreeQuarters,
    /// 1 mm^2.
    #[serde(rename = "1mm2")]
    Mm2One,
    /// 1.5 mm^2.
    #[serde(rename = "1.5mm2")]
    Mm2OneAndHalf,
}

impl ConductorSize {
    /// The sizes found in encoder cables, thin to thick (common practice: signal pairs thin, supply thicker).
    pub const USUAL: [Self; 6] = [
        Self::Awg(28),
        Self::Awg(26),
        Self::Awg(24),
        Self::Awg(22),
        Self::Flexible(FlexibleSize::Mm2Half),
        Self::Flexible(FlexibleSize::Mm2One),
    ];

    /// Resistance of one conductor per metre at 20 C, ohm/m.
    ///
    /// Gauge: `rho/(pi D^2/4)` with the diameter of ASTM B258. Flexible: greatest value of IEC 60228, class 5, plain
    /// copper (0.5 mm^2 read in a public tabulation, the others from memory).
    #[must_use]
    pub fn ohm_per_m_20c(self) -> f64 {
        match self {
            Self::Awg(gauge) => {
                let diameter_m = awg_diameter_m(gauge);
                COPPER_OHM_M / (0.25 * PI * diameter_m * diameter_m)
            }
            Self::Flexible(FlexibleSize::Mm2Half) => 39.0e-3,
            Self::Flexible(FlexibleSize::Mm2ThreeQuarters) => 26.0e-3,
            Self::Flexible(FlexibleSize::Mm2One) => 19.5e-3,
            Self::Flexible(FlexibleSize::Mm2OneAndHalf) => 13.3e-3,
        }
    }

    /// Resistance of one conductor per metre at a temperature, ohm/m: `R_20 (1 + 0.00393 (T - 20 C))`.
    #[must_use]
    pub fn ohm_per_m(self, temperature_k: f64) -> f64 {
        self.ohm_per_m_20c() * (1.0 + COPPER_PER_K * (temperature_k - REFERENCE_K))
    }

    /// Refuses gauges that no cable has.
    ///
    /// # Errors
    /// When a gauge lies outside 10 to 40; the error carries `field`.
    pub fn check(self, field: &'static str) -> Result<(), FieldError> {
        match self {
            Self::Awg(gauge) => whole_within(field, u32::from(gauge), 10, 40),
            Self::Flexible(_) => Ok(()),
        }
    }
}

/// Diameter of a gauge, m: `0.127 mm x 92^((36 - n)/39)` (ASTM B258).
#[must_use]
pub fn awg_diameter_m(gauge: u8) -> f64 {
    0.127e-3 * pow(92.0, (36.0 - f64::from(gauge)) / 39.0)
}

/// Corner frequency of a resistance with a capacitance, Hz: `1/(2 pi R C)`; infinite without capacitance.
#[must_use]
pub fn rc_corner_hz(resistance_ohm: f64, capacitance_f: f64) -> f64 {
    1.0 / (2.0 * PI * resistance_ohm * capacitance_f)
}

/// The cable between head and input.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CableParams {
    /// Length l, m, 0 to 200; 1 to 100 is usual.
    pub length_m: f64,
    /// Size of a signal conductor.
    pub signal: ConductorSize,
    /// Size of a supply conductor.
    pub supply: ConductorSize,
    /// Capacitance of a pair per metre C', F/m, 20e-12 to 300e-12; 60e-12 to 120e-12 is usual.
    pub farad_per_m: f64,
    /// Temperature of the copper, K, 233.15 to 378.15 (-40 to 105 C).
    pub temperature_k: f64,
}

impl CableParams {
    /// A cable of a length, m, as a machine of middling size has it: AWG 26 signal pairs, 0.5 mm^2 supply, 100 pF/m,
    /// 20 C (own values of the usual kind).
    #[must_use]
    pub fn usual(length_m: f64) -> Self {
        Self {
            length_m,
            signal: ConductorSize::Awg(26),
            supply: ConductorSize::Flexible(FlexibleSize::Mm2Half),
            farad_per_m: 100e-12,
            temperature_k: REFERENCE_K,
        }
    }

    /// Resistance of one signal conductor from end to end, ohm: `R' l`.
    #[must_use]
    pub fn signal_ohm(&self) -> f64 {
        self.signal.ohm_per_m(self.temperature_k) * self.length_m
    }

    /// Resistance of one supply conductor from end to end, ohm: `R' l`.
    #[must_use]
    pub fn supply_ohm(&self) -> f64 {
        self.supply.ohm_per_m(self.temperature_k) * self.length_m
    }

    /// Capacitance of a pair from end to end, F: `C' l`.
    #[must_use]
    pub fn pair_f(&self) -> f64 {
        self.farad_per_m * self.length_m
    }

    /// Refuses numbers that no cable has.
    ///
    /// # Errors
    /// The first field that is not finite or outside its range.
    pub fn check(&self) -> Result<(), FieldError> {
        within("cable.length_m", self.length_m, 0.0, 200.0)?;
        self.signal.check("cable.signal (gauge)")?;
        self.supply.check("cable.supply (gauge)")?;
        within("cable.farad_per_m", self.farad_per_m, 20e-12, 300e-12)?;
        within("cable.temperature_k", self.temperature_k, 233.15, 378.15)
    }
}

#[cfg(test)]
mod tests {
    use super::{CableParams, ConductorSize, awg_diameter_m, rc_corner_hz};

    #[track_caller]
    fn near(value: f64, expected: f64, relative: f64) {
        let error = (value / expected - 1.0).abs();
        assert!(error <= relative, "{value} is not {expected}: off by {error:e}");
    }

    // Source: ASTM B258 diameters with the IACS resistivity; public wire tables say 84.22 and 133.9 ohm/km.
    #[test]
    fn signal_v36_wire_gauge_diameter_and_resistance() {
        near(awg_diameter_m(24), 0.510_559e-3, 1e-5);
        near(ConductorSize::Awg(24).ohm_per_m_20c(), 84.2132e-3, 1e-5);
        near(ConductorSize::Awg(26).ohm_per_m_20c(), 133.904e-3, 1e-5);
        // The tables themselves are rounded to four digits.
        near(ConductorSize::Awg(24).ohm_per_m_20c(), 84.22e-3, 2e-4);
        near(ConductorSize::Awg(26).ohm_per_m_20c(), 133.9e-3, 2e-4);
    }

    // Source: ASTM B258: gauge 36 is 0.005 inch and gauge 0000 0.46 inch by definition; three gauges double the area.
    #[test]
    fn gauges_keep_their_definition() {
        near(awg_diameter_m(36), 0.127e-3, 1e-15);
        let area = awg_diameter_m(24) / awg_diameter_m(30);
        near(area * area, 4.0, 0.01);
    }

    // Source: RC low-pass, textbook; resistance as seen between the ends of the pair.
    #[test]
    fn signal_v41_cable_pole() {
        let cable = CableParams { signal: ConductorSize::Awg(24), ..CableParams::usual(30.0) };
        let loop_ohm = 2.0 * (10.0 + cable.signal_ohm());
        let seen_ohm = loop_ohm * 120.0 / (loop_ohm + 120.0);
        near(rc_corner_hz(seen_ohm, cable.pair_f()), 2.5597e6, 1e-4);
        assert_eq!(rc_corner_hz(seen_ohm, CableParams::usual(0.0).pair_f()), f64::INFINITY);
    }

    // Source: IEC 60028, 0.393 % per kelvin from 20 C.
    #[test]
    fn warm_copper_resists_more() {
        let wire = ConductorSize::Awg(24);
        near(wire.ohm_per_m(REFERENCE_PLUS_40) / wire.ohm_per_m_20c(), 1.1572, 1e-12);
        assert!(CableParams { temperature_k: 250.0, ..CableParams::usual(1.0) }.signal_ohm() < 133.9e-3);
    }
    const REFERENCE_PLUS_40: f64 = super::REFERENCE_K + 40.0;

    #[test]
    fn impossible_cables_are_refused_by_name() {
        let refused = |cable: CableParams| cable.check().expect_err("refused").to_string();
        let usual = CableParams::usual(10.0);
        assert_eq!(usual.check(), Ok(()));
        assert_eq!(
            refused(CableParams { length_m: -1.0, ..usual }),
            "cable.length_m: -1 is outside the allowed range 0 to 200"
        );
        assert!(refused(CableParams { farad_per_m: f64::NAN, ..usual }).starts_with("cable.farad_per_m: NaN"));
        assert!(refused(CableParams { signal: ConductorSize::Awg(90), ..usual }).contains("90"));
        assert!(refused(CableParams { temperature_k: 20.0, ..usual }).starts_with("cable.temperature_k"));
    }
}
