//! The supply of the head at the end of its cable: drop on the conductors, remote sense, collapse.
//!
//! Worked out once per change of parameters, never per sample. Left out: start-up current, ripple, the time a regulator
//! takes.

use crate::limits::{FieldError, whole_within, within};
use serde::{Deserialize, Serialize};

/// How far remote sense may raise the source, V (own).
const SENSE_MOST_V: f64 = 0.8;

/// What the head draws.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum HeadLoad {
    /// The same current at any voltage, A, 0 to 2: a head with a linear regulator; 0.05 to 0.25 is usual.
    ConstantCurrent(f64),
    /// The same power at any voltage, W, 0 to 10: a head with a switching regulator, which draws more from less.
    ConstantPower(f64),
}

/// The supply and its way to the head.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SupplyParams {
    /// Voltage of the source, V, 0 to 30.
    pub source_v: f64,
    /// What the head draws.
    pub load: HeadLoad,
    /// Resistance of one supply conductor from end to end, ohm, 0 to 1000.
    pub conductor_ohm: f64,
    /// Conductors in parallel in each direction, 1 to 8.
    pub parallel: u8,
    /// Resistance of a bad contact in the supply conductor, ohm, 0 to 1000; 0 when healthy.
    pub contact_ohm: f64,
    /// Resistance of a bad contact in the 0 V conductor, ohm, 0 to 1000; 0 when healthy.
    pub return_contact_ohm: f64,
    /// Whether the source measures at the head and makes up for the drop, up to 0.8 V (own).
    pub remote_sense: bool,
    /// Whether either conductor is interrupted.
    pub open: bool,
}

/// What arrives.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SupplyPoint {
    /// Voltage at the head between its supply pins, V, at least 0.
    pub head_v: f64,
    /// Current that the head draws, A.
    pub current_a: f64,
    /// Potential of the head's 0 V pin above that of the input, V: what the return conductor drops. It lifts every
    /// signal leg, so a single-ended signal carries it and a difference does not.
    pub ground_v: f64,
    /// How far remote sense has raised the source, V.
    pub raised_v: f64,
    /// True when the load could not be fed: the voltage falls away and the head is off.
    pub collapsed: bool,
}

impl SupplyParams {
    /// A 5 V source over a conductor of this resistance, 0.15 A.
    #[must_use]
    pub fn usual(conductor_ohm: f64) -> Self {
        Self {
            source_v: 5.0,
            load: HeadLoad::ConstantCurrent(0.15),
            conductor_ohm,
            parallel: 1,
            contact_ohm: 0.0,
            return_contact_ohm: 0.0,
            remote_sense: false,
            open: false,
        }
    }

    /// Resistance of both ways together, ohm: `2 R' l/n` and the contacts.
    #[must_use]
    pub fn loop_ohm(&self) -> f64 {
        self.forward_ohm() + self.return_ohm()
    }

    fn forward_ohm(&self) -> f64 {
        self.conductor_ohm / f64::from(self.parallel.max(1)) + self.contact_ohm
    }

    fn return_ohm(&self) -> f64 {
        self.conductor_ohm / f64::from(self.parallel.max(1)) + self.return_contact_ohm
    }

    /// The steady state (Ohm's law).
    ///
    /// Constant current: `V_s - I R`. Constant power: the upper root of `V^2 - V_s V + P R = 0`,
    /// `(V_s + sqrt(V_s^2 - 4 P R))/2`; without a real root the voltage collapses, as it does when a constant current
    /// drops the whole source.
    #[must_use]
    pub fn solve(&self) -> SupplyPoint {
        let off = SupplyPoint { collapsed: true, ..SupplyPoint::default() };
        if self.open || self.source_v <= 0.0 {
            return SupplyPoint { collapsed: false, ..off };
        }
        let loop_ohm = self.loop_ohm();
        let most_v = if self.remote_sense { SENSE_MOST_V } else { 0.0 };
        let (head_v, current_a, raised_v) = match self.load {
            HeadLoad::ConstantCurrent(current_a) => {
                let drop_v = current_a * loop_ohm;
                let raised_v = drop_v.min(most_v);
                (self.source_v + raised_v - drop_v, current_a, raised_v)
            }
            HeadLoad::ConstantPower(power_w) => {
                // What it takes to have the full source voltage at the head.
                let wanted_v = power_w / self.source_v * loop_ohm;
                let raised_v = wanted_v.min(most_v);
                if wanted_v <= most_v {
                    (self.source_v, power_w / self.source_v, raised_v)
                } else {
                    let source_v = self.source_v + raised_v;
                    let under_root = source_v * source_v - 4.0 * power_w * loop_ohm;
                    if under_root < 0.0 {
                        return off;
                    }
                    // Sense never lifts the head above the wanted voltage (matters for a source below 0.8 V alone).
                    let head_v = (0.5 * (source_v + under_root.sqrt())).min(self.source_v);
                    (head_v, power_w / head_v, raised_v)
                }
            }
        };
        if head_v <= 0.0 {
            return off;
        }
        SupplyPoint { head_v, current_a, ground_v: current_a * self.return_ohm(), raised_v, collapsed: false }
    }

    /// Refuses numbers that no supply has.
    ///
    /// # Errors
    /// The first field that is not finite or outside its range.
    pub fn check(&self) -> Result<(), FieldError> {
        within("supply.source_v", self.source_v, 0.0, 30.0)?;
        match self.load {
            HeadLoad::ConstantCurrent(current_a) => within("supply.load (current, A)", current_a, 0.0, 2.0)?,
            HeadLoad::ConstantPower(power_w) => within("supply.load (power, W)", power_w, 0.0, 10.0)?,
        }
        within("supply.conductor_ohm", self.conductor_ohm, 0.0, 1e3)?;
        whole_within("supply.parallel", u32::from(self.parallel), 1, 8)?;
        within("supply.contact_ohm", self.contact_ohm, 0.0, 1e3)?;
        within("supply.return_contact_ohm", self.return_contact_ohm, 0.0, 1e3)
    }
}

#[cfg(test)]
mod tests {
    use super::{HeadLoad, SupplyParams};
    use crate::chain::conductor::{COPPER_OHM_M, ConductorSize, FlexibleSize};
    use proptest::prelude::*;

    #[track_caller]
    fn near(value: f64, expected: f64, relative: f64) {
        let error = (value / expected - 1.0).abs();
        assert!(error <= relative, "{value} is not {expected}: off by {error:e}");
    }

    fn over_30_m(size: ConductorSize) -> SupplyParams {
        SupplyParams::usual(30.0 * size.ohm_per_m_20c())
    }

    // Source: Ohm's law with ASTM B258 and IEC 60228 conductors.
    #[test]
    fn signal_v37_supply_drop_over_thirty_metres() {
        let drop_v = |size| 5.0 - over_30_m(size).solve().head_v;
        near(drop_v(ConductorSize::Awg(24)), 0.757_919, 1e-5);
        near(drop_v(ConductorSize::Awg(26)), 1.205_138, 1e-5);
        near(drop_v(ConductorSize::Flexible(FlexibleSize::Mm2Half)), 0.351, 1e-5);
    }

    // Source: R = rho 2 l/A with the resistivity of IEC 60028 (from memory), and Ohm's law.
    #[test]
    fn axis_v41_drop_over_twenty_metres_of_thin_wire() {
        let one_way_ohm = COPPER_OHM_M * 20.0 / 0.14e-6;
        let thin = SupplyParams::usual(one_way_ohm);
        near(thin.loop_ohm(), 4.926, 1e-3);
        near(thin.solve().head_v, 4.261, 1e-3);
        assert!(thin.solve().head_v < 4.75, "5 V less 5 % are not there");
        near(SupplyParams { parallel: 2, ..thin }.solve().head_v, 4.631, 1e-3);
    }

    // Source: the quadratic of a constant-power load behind a resistance (6.6).
    #[test]
    fn signal_v38_constant_power_head_over_thirty_metres() {
        let supply = SupplyParams { load: HeadLoad::ConstantPower(0.75), ..over_30_m(ConductorSize::Awg(24)) };
        let point = supply.solve();
        near(point.head_v, 4.068_568, 1e-6);
        // Power balance: what leaves the source is what the head takes and the wires heat.
        near(5.0 * point.current_a, 0.75 + point.current_a * point.current_a * supply.loop_ohm(), 1e-12);
    }

    // Most power through a resistance is V^2/(4 R), at half the voltage (maximum power transfer, textbook).
    #[test]
    fn a_constant_power_head_collapses_just_beyond_half_the_voltage() {
        let most_w = 25.0 / (4.0 * 10.0);
        let at = |power_w| SupplyParams { load: HeadLoad::ConstantPower(power_w), ..SupplyParams::usual(5.0) }.solve();
        near(at(most_w * (1.0 - 1e-9)).head_v, 2.5, 1e-4);
        let beyond = at(most_w * 1.001);
        assert!(beyond.collapsed && beyond.head_v == 0.0 && beyond.current_a == 0.0);
    }

    #[test]
    fn remote_sense_makes_up_for_the_drop_until_it_runs_out() {
        let sensed = SupplyParams { remote_sense: true, ..over_30_m(ConductorSize::Awg(24)) };
        near(sensed.solve().head_v, 5.0, 1e-15);
        near(sensed.solve().raised_v, 0.757_919, 1e-5);
        let thin = SupplyParams { remote_sense: true, ..over_30_m(ConductorSize::Awg(26)) };
        near(thin.solve().head_v, 5.0 + 0.8 - 1.205_138, 1e-5);
        let power = SupplyParams { load: HeadLoad::ConstantPower(0.75), ..sensed };
        near(power.solve().head_v, 5.0, 1e-15);
        near(power.solve().current_a, 0.15, 1e-15);
    }

    #[test]
    fn paralleled_conductors_halve_the_drop_and_a_bad_return_lifts_the_ground() {
        let one = over_30_m(ConductorSize::Awg(24));
        let two = SupplyParams { parallel: 2, ..one }.solve();
        near(5.0 - two.head_v, 0.5 * 0.757_919, 1e-5);
        near(two.ground_v, 0.25 * 0.757_919, 1e-5);
        let corroded = SupplyParams { return_contact_ohm: 4.0, ..one }.solve();
        near(corroded.ground_v, 0.5 * 0.757_919 + 0.6, 1e-5);
        let open = SupplyParams { open: true, ..one }.solve();
        assert!(open.head_v == 0.0 && open.ground_v == 0.0 && !open.collapsed);
    }

    #[test]
    fn impossible_supplies_are_refused_by_name() {
        let usual = SupplyParams::usual(1.0);
        let refused = |supply: SupplyParams| supply.check().expect_err("refused").to_string();
        assert_eq!(usual.check(), Ok(()));
        assert!(refused(SupplyParams { source_v: f64::INFINITY, ..usual }).starts_with("supply.source_v: inf"));
        assert!(refused(SupplyParams { parallel: 0, ..usual }).starts_with("supply.parallel: 0 is outside"));
        let negative = SupplyParams { load: HeadLoad::ConstantCurrent(-0.1), ..usual };
        assert!(refused(negative).starts_with("supply.load (current, A): -0.1 is outside"));
    }

    proptest! {
        // The head never gets more than the source gives, more resistance never gives it more, nothing is NaN.
        #[test]
        fn the_head_gets_no_more_than_the_source_gives(
            source_v in 0.0..30.0, load in 0.0..2.0, power in any::<bool>(), ohm in 0.0..1e3, more in 0.0..100.0,
            parallel in 1_u8..=8, contact in 0.0..1e3, remote_sense in any::<bool>(), open in any::<bool>(),
        ) {
            let load = if power { HeadLoad::ConstantPower(load) } else { HeadLoad::ConstantCurrent(load) };
            let supply = SupplyParams {
                source_v, load, conductor_ohm: ohm, parallel, contact_ohm: contact, return_contact_ohm: contact,
                remote_sense, open,
            };
            let near = supply.solve();
            let far = SupplyParams { contact_ohm: contact + more, ..supply }.solve();
            for point in [near, far] {
                prop_assert!((0.0..=source_v + 1e-12).contains(&point.head_v), "{:?}", point);
                prop_assert!(point.current_a.is_finite() && point.ground_v.is_finite());
                prop_assert!((0.0..=0.8).contains(&point.raised_v));
            }
            prop_assert!(far.head_v <= near.head_v + 1e-12);
        }
    }
}
