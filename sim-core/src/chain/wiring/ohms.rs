//! What an ohmmeter finds on the cable with the plugs off at both ends and no voltage on it: the passage of each
//! conductor, and what it touches.

use super::harness::{Harness, Wire};
use super::{WiringParams, harness};

/// More than this an ohmmeter shows as no passage, ohm.
const NO_PASSAGE_OHM: f64 = 1e6;

/// One conductor on the ohmmeter.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ConductorOhms {
    /// The conductor, by its pin at the head.
    pub wire: Wire,
    /// The pin at the control on which it ends.
    pub ends_on: Wire,
    /// From end to end, ohm; `None` when there is no passage.
    pub through_ohm: Option<f64>,
    /// To the screen, ohm; `None` when there is none, as there should be.
    pub to_screen_ohm: Option<f64>,
    /// To the supply conductor, ohm; `None` when there is none, as there should be.
    pub to_supply_ohm: Option<f64>,
}

impl WiringParams {
    /// All signal conductors in the order of their pins: resistance of the copper and of bad contacts in series, and the
    /// touches of each. A contact that opens only while it is bent is closed here, for the cable lies still.
    #[must_use]
    pub fn ohms(&self) -> [ConductorOhms; 6] {
        let harness = Harness::with_all(&self.faults);
        let copper_ohm = self.cable.signal_ohm();
        let touch = |siemens: f64| (siemens > 0.0).then(|| 1.0 / siemens).filter(|ohm| *ohm < NO_PASSAGE_OHM);
        harness::Wire::ALL.map(|wire| {
            let i = wire as usize;
            let through = copper_ohm + harness.series_ohm[i];
            ConductorOhms {
                wire,
                ends_on: Wire::ALL[usize::from(harness.lands_on[i]).min(5)],
                through_ohm: (!harness.open[i] && through < NO_PASSAGE_OHM).then_some(through),
                to_screen_ohm: touch(harness.to_shield_s[i]),
                to_supply_ohm: touch(harness.to_supply_s[i]),
            }
        })
    }
}

#[cfg(test)]
mod tests {
    use super::super::harness::{Pair, WireFault};
    use super::super::{FlexContact, WiringParams};
    use super::Wire;
    use crate::chain::conductor::awg_diameter_m;
    use crate::chain::line::OutputForm;
    use crate::chain::wiring::flex::FlexParams;

    // Source: resistance of a round copper wire, rho l/A, IEC 60028 copper and an AWG 26 wire (ASTM B258).
    #[test]
    fn a_good_cable_shows_its_copper_and_nothing_else() {
        let d = awg_diameter_m(26);
        let copper = 1.7241e-8 * 20.0 / (0.25 * std::f64::consts::PI * d * d);
        for row in WiringParams::healthy(OutputForm::Analog, 20.0).ohms() {
            assert!((row.through_ohm.unwrap() - copper).abs() < 1e-6, "{row:?}");
            assert_eq!((row.ends_on, row.to_screen_ohm, row.to_supply_ohm), (row.wire, None, None));
        }
    }

    #[test]
    fn every_lasting_fault_is_found_and_one_that_sleeps_is_not() {
        let with =
            |faults: Vec<WireFault>| WiringParams { faults, ..WiringParams::healthy(OutputForm::Analog, 5.0) }.ohms();
        assert_eq!(with(vec![WireFault::Open(Wire::APlus)])[0].through_ohm, None);
        let poor = with(vec![WireFault::HighResistance { wire: Wire::BPlus, ohm: 300.0 }])[2];
        assert!(poor.through_ohm.is_some_and(|ohm| (300.0..302.0).contains(&ohm)));
        let short = with(vec![WireFault::ShortToShield { wire: Wire::BPlus, ohm: 2.0 }])[2];
        assert_eq!(short.to_screen_ohm, Some(2.0));
        let supply = with(vec![WireFault::ShortToSupply { wire: Wire::APlus, ohm: 4.0 }])[0];
        assert_eq!(supply.to_supply_ohm, Some(4.0));
        let swapped = with(vec![WireFault::PairsSwapped([Pair::A, Pair::B])]);
        assert_eq!((swapped[0].ends_on, swapped[3].ends_on), (Wire::BPlus, Wire::AMinus));
        let flex = FlexParams { from_m: 0.0, to_m: 1.0, open_rate_per_s: 10.0, mean_open_s: 1e-2 };
        let contact = Some(FlexContact { fault: WireFault::Open(Wire::APlus), flex });
        let sleeping = WiringParams { contact, ..WiringParams::healthy(OutputForm::Analog, 5.0) };
        assert_eq!(sleeping.ohms(), with(vec![]));
    }
}
