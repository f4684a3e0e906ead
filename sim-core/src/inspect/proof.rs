//! For each fault of the catalogue the reading in which it must show at full severity: on which stand, which way.

use super::stand::Stand::{
    self, AbsoluteMill, Gantry, Head, Lift, Mill, PeriodicMill, Rail, Rotary, SquareMill, WarmMill,
};
use super::survey::PLACE_M;
use super::survey::Shift::{self, Down, Other, Up};
use crate::fault::{Active, FaultId, TABLE};

/// Where a fault must show.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Proof {
    /// Name of the fault.
    pub name: &'static str,
    /// The bench on which it is looked for.
    pub stand: Stand,
    /// Reading of the survey that must differ.
    pub reading: &'static str,
    /// Which way.
    pub shift: Shift,
    /// Where on the axis it is put, m.
    pub at_m: f64,
}

const fn proof(name: &'static str, stand: Stand, reading: &'static str, shift: Shift) -> Proof {
    Proof { name, stand, reading, shift, at_m: PLACE_M }
}

/// One for every row of the catalogue, in its order.
pub static PROOFS: &[Proof] = &[
    proof("tape-smear", Mill, "slow.lowest_contrast_percent", Down),
    proof("tape-scratch", Mill, "cleaned.shortest_vector_v", Down),
    proof("tape-lift", Mill, "gauge.gap_at_place_um", Down),
    proof("oil-film", Mill, "slow.lowest_contrast_percent", Down),
    proof("coolant-drop", Mill, "slow.shortest_vector_v", Down),
    proof("chip-on-tape", Mill, "slow.count_stands", Up),
    proof("fingerprint", Mill, "slow.lowest_amplitude_a_v", Down),
    proof("missing-lines", Mill, "slow.count_stands", Up),
    proof("dried-residue", Mill, "slow.lowest_amplitude_a_v", Down),
    proof("purge-lost", Mill, "slow.lowest_contrast_percent", Down),
    proof("lips-worn", Mill, "slow.lowest_contrast_percent", Down),
    proof("condensation", Mill, "slow.amplitude_a_v", Down),
    proof("tape-stretch", Mill, "slow.mismatch_um_per_m", Down),
    proof("mark-dirty", Mill, "home.referenced", Down),
    Proof { at_m: -0.004, ..proof("mark-false", Mill, "home.off_um", Up) },
    proof("code-dirt", AbsoluteMill, "slow.stopped", Other),
    proof("gap-wide", Mill, "gauge.gap_middle_um", Up),
    proof("gap-wedge", Mill, "gauge.gap_high_um", Up),
    proof("head-yaw", Mill, "motor.phase_error_deg", Up),
    proof("head-tilt", Mill, "slow.amplitude_b_v", Up),
    proof("window-film", Mill, "slow.lowest_light_percent", Down),
    proof("source-aged", Mill, "cleaned.lowest_light_percent", Down),
    proof("channel-offset", Mill, "slow.offset_a_mv", Up),
    proof("noisy-signal", Mill, "rest.noise_mv", Up),
    proof("stray-light", Rail, "motor.offset_a_mv", Up),
    proof("head-roll", Mill, "slow.amplitude_b_v", Up),
    proof("head-lateral", Mill, "slow.amplitude_a_v", Down),
    proof("gap-narrow", Mill, "gauge.gap_middle_um", Down),
    proof("gap-rub", Mill, "rest.noise_mv", Up),
    proof("guide-sag", Mill, "gauge.gap_middle_um", Up),
    proof("head-vibration", Mill, "rest.false_at_rest_um", Up),
    proof("source-hot", Mill, "slow.lowest_light_percent", Down),
    proof("source-flicker", Mill, "slow.lowest_light_percent", Down),
    proof("channel-gain", Mill, "slow.amplitude_b_v", Down),
    proof("bandwidth-low", Mill, "fast.vector_v", Down),
    proof("edge-limit", SquareMill, "fast.stopped", Other),
    proof("conductor-open", Mill, "motor.amplitude_a_v", Down),
    proof("conductor-short", Mill, "motor.offset_b_mv", Down),
    proof("pairs-swapped", Mill, "motor.counts_per_count", Down),
    proof("flex-break", Mill, "slow.shortest_vector_v", Down),
    proof("supply-thin", Mill, "rest.supply_at_head_v", Down),
    proof("screen-open", Mill, "rest.peaks_over_noise", Up),
    proof("termination-missing", Mill, "slow.amplitude_a_v", Up),
    proof("conductor-supply", Mill, "motor.offset_a_mv", Up),
    proof("contact-poor", Mill, "slow.amplitude_b_v", Down),
    proof("channel-inverted", Mill, "motor.counts_per_count", Down),
    proof("ground-lift", Mill, "rest.hum_mv", Up),
    proof("switch-wire", Mill, "home.referenced", Down),
    proof("code-bits", AbsoluteMill, "slow.stopped", Other),
    proof("battery-flat", Lift, "mains.stopped", Other),
    proof("drag-spot", Mill, "slow.stopped", Other),
    proof("gib-tight", Mill, "slow.friction_a", Up),
    proof("dog-moved", PeriodicMill, "home.switch_to_mark_um", Up),
    proof("switch-worn", Mill, "home.switch_to_mark_um", Down),
    proof("nut-worn", Mill, "motor.indicator_lost_um", Up),
    proof("bearing-play", Mill, "motor.indicator_lost_um", Up),
    proof("screw-cyclic", Mill, "slow.mismatch_cyclic_um", Up),
    proof("drive-slack", Mill, "motor.indicator_lost_um", Up),
    proof("dry-guide", Mill, "motor.indicator_lost_um", Up),
    proof("cover-catch", Mill, "slow.stopped", Other),
    proof("brake-drag", Lift, "slow.friction_a", Up),
    proof("brake-worn", Head, "mains.stopped", Other),
    proof("brake-slow", Head, "mains.dropped_um", Up),
    proof("balance-lost", Head, "slow.weight_a", Up),
    proof("screw-growth", WarmMill, "warm.mismatch_um", Up),
    proof("clamp-on", Rotary, "slow.stopped", Other),
    proof("bracket-loose", Mill, "slow.lost_motion_um", Up),
    proof("scale-loose", Mill, "return.off_on_return_mm", Up),
    proof("coupling-slip", Mill, "motor.off_at_place_um", Up),
    proof("encoder-coupling", Mill, "motor.stopped", Other),
    proof("disc-eccentric", Mill, "slow.mismatch_cyclic_um", Up),
    proof("disc-dirt", Mill, "slow.mismatch_um_per_m", Up),
    proof("kv-halved", Mill, "slow.error_mm", Up),
    proof("feed-forward-off", Gantry, "slow.stopped", Other),
    proof("current-limit-low", Mill, "fast.stopped", Other),
    proof("sign-wrong", Mill, "slow.stopped", Other),
    proof("input-damaged", Mill, "motor.counts_per_count", Down),
    proof("axis-plugs-swapped", Mill, "motor.amplitude_a_v", Down),
    proof("plug-wet", Mill, "slow.offset_b_mv", Up),
    proof("power-cable-near", Mill, "slow.noise_mv", Up),
    proof("counter-narrow", Mill, "slow.stopped", Other),
    proof("kv-high", Mill, "fast.noise_mv", Up),
    proof("ratio-wrong", Mill, "slow.mismatch_um_per_m", Up),
    proof("filter-long", Mill, "fast.stopped", Other),
    proof("mark-near-switch", PeriodicMill, "home.off_um", Down),
    proof("mismatch-tight", Mill, "values.comparison_mm", Down),
    proof("soft-limit-wrong", Mill, "values.soft_limit_mm", Down),
    proof("play-comp-wrong", Mill, "motor.indicator_lost_um", Down),
    proof("zero-not-taught", Mill, "home.off_um", Up),
    proof("bus-sag", Gantry, "fast.stopped", Other),
    proof("phase-missing", Mill, "slow.friction_a", Up),
    proof("commutation-off", Mill, "slow.friction_a", Up),
];

impl Proof {
    /// The fault at a severity, 0..1.
    #[must_use]
    pub fn fault(&self, severity: f64) -> Option<Active> {
        let id: FaultId = TABLE.iter().find(|row| row.name == self.name)?.id;
        Some(Active { id, severity, at_m: self.at_m })
    }
}

#[cfg(test)]
mod tests {
    use super::{PROOFS, TABLE};

    #[test]
    fn no_fault_is_exempt() {
        let proven: Vec<&str> = PROOFS.iter().map(|proof| proof.name).collect();
        let all: Vec<&str> = TABLE.iter().map(|row| row.name).collect();
        assert_eq!(proven, all);
    }
}
