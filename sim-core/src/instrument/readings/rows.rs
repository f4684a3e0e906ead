//! The table of the readings: name, meaning, unit, and where it comes from.

use super::Figures;

/// One reading.
pub struct ReadingRow {
    /// Its name in files; the ending is the unit.
    pub name: &'static str,
    /// What it is, in words.
    pub title: &'static str,
    /// Unit on the sheet; empty for plain numbers.
    pub unit: &'static str,
    /// Decimals that mean something.
    pub decimals: usize,
    /// Takes it from a run.
    pub(super) of: fn(&Figures<'_>) -> Option<f64>,
}

const fn row(
    name: &'static str,
    title: &'static str,
    unit: &'static str,
    decimals: usize,
    of: fn(&Figures<'_>) -> Option<f64>,
) -> ReadingRow {
    ReadingRow { name, title, unit, decimals, of }
}

/// All readings in the order in which they are printed.
pub static READINGS: &[ReadingRow] = &[
    row("table_mm", "table at the end", "mm", 3, |f| Some(f.of.summary.table_mm)),
    row("readout_mm", "readout at the end", "mm", 3, |f| Some(f.of.summary.readout_mm)),
    row("readout_error_mm", "readout error at the end", "mm", 3, |f| Some(f.of.summary.readout_error_mm)),
    row("worst_readout_error_mm", "largest readout error", "mm", 3, |f| Some(f.of.summary.worst_readout_error_mm)),
    row("count", "count at the end", "", 0, |f| Some(f.of.summary.count as f64)),
    row("illegal_transitions", "illegal transitions", "", 0, |f| Some(f.of.summary.illegal_transitions as f64)),
    row("count_stands", "times that the count stood while the table moved", "", 0, |f| {
        Some(f64::from(f.of.more.count_stands))
    }),
    row("following_error_mm", "largest following error", "mm", 3, |f| Some(f.of.summary.following_error_mm)),
    row("following_departure_mm", "largest departure from the expected following error", "mm", 3, |f| {
        Some(f.of.summary.following_departure_mm)
    }),
    row("current_a", "largest motor current", "A", 2, |f| Some(f.of.summary.current_a)),
    row("alarms", "alarms", "", 0, |f| Some(f64::from(f.of.summary.alarms))),
    row("warnings", "warnings", "", 0, |f| Some(f64::from(f.of.summary.warnings))),
    row("first_alarm_s", "first alarm after", "s", 3, |f| f.of.summary.first_alarm_s),
    row("first_alarm_mm", "first alarm at", "mm", 1, |f| f.of.summary.first_alarm_mm),
    row("homed_mm", "readout corrected by homing", "mm", 3, |f| f.of.more.homed_m.map(|m| m * 1e3)),
    row("homing_failures", "homings that failed", "", 0, |f| Some(f64::from(f.of.more.homing_failures))),
    row("amplitude_a_v", "amplitude of A", "V", 3, |f| f.levels.map(|l| l.a.amplitude_v)),
    row("amplitude_b_v", "amplitude of B", "V", 3, |f| f.levels.map(|l| l.b.amplitude_v)),
    row("offset_a_mv", "offset of A", "mV", 1, |f| f.levels.map(|l| l.a.offset_v * 1e3)),
    row("offset_b_mv", "offset of B", "mV", 1, |f| f.levels.map(|l| l.b.offset_v * 1e3)),
    row("ratio", "amplitude of A over that of B", "", 3, |f| f.levels.and_then(|l| l.ratio)),
    row("phase_error_deg", "B behind A by 90 degrees and", "deg", 2, |f| {
        f.levels.and_then(|l| l.phase_error_rad).map(f64::to_degrees)
    }),
    row("noise_mv", "what is no harmonic of A, r.m.s.", "mV", 2, |f| f.levels.map(|l| l.a.noise_v * 1e3)),
    row("third_harmonic_percent", "third harmonic of A", "%", 2, |f| f.levels.map(|l| l.a.third_harmonic * 100.0)),
    row("position_error_nm", "position error within a period, peak to peak", "nm", 0, |f| {
        f.figure.and_then(|g| g.before).map(|spread| spread.peak_to_peak_m * 1e9)
    }),
    row("corrected_error_nm", "position error left after the correction, peak to peak", "nm", 0, |f| {
        f.figure.map(|g| g.after.peak_to_peak_m * 1e9)
    }),
    row("lowest_amplitude_a_v", "smallest amplitude of A on the way", "V", 3, |f| Some(f.of.summary.amplitude_a_v.0)),
    row("lowest_amplitude_b_v", "smallest amplitude of B on the way", "V", 3, |f| Some(f.of.more.amplitude_b_v.0)),
    row("highest_amplitude_a_v", "largest amplitude of A on the way", "V", 3, |f| Some(f.of.summary.amplitude_a_v.1)),
    row("amplitude_at_start_v", "amplitude of A at the start", "V", 3, |f| Some(f.of.summary.amplitude_ends_v.0)),
    row("amplitude_at_end_v", "amplitude of A at the end", "V", 3, |f| Some(f.of.summary.amplitude_ends_v.1)),
    row("amplitude_at_top_speed_v", "amplitude of A at the highest speed", "V", 3, |f| {
        (f.of.more.fastest.0 > 0.0).then_some(f.of.more.fastest.1)
    }),
    row("shortest_vector_v", "shortest vector of A and B anywhere", "V", 3, |f| {
        f.of.travel.as_ref().and_then(super::Travel::worst).map(|place| place.vector_v)
    }),
    row("weakest_place_mm", "where the vector is shortest", "mm", 0, |f| {
        f.of.travel.as_ref().and_then(super::Travel::worst).map(|place| place.table_m * 1e3)
    }),
    row("vector_slope_v_per_m", "change of the vector along the travel", "V/m", 3, |f| {
        f.of.travel.as_ref().and_then(super::Travel::slope).map(|slope| slope.vector_v_per_m)
    }),
    row("gap_at_start_um", "gap at the start", "um", 1, |f| Some(f.of.more.gap_ends_m.0 * 1e6)),
    row("gap_at_end_um", "gap at the end", "um", 1, |f| Some(f.of.more.gap_ends_m.1 * 1e6)),
    row("smallest_gap_um", "smallest gap on the way", "um", 1, |f| Some(f.of.more.gap_m.0 * 1e6)),
    row("largest_gap_um", "largest gap on the way", "um", 1, |f| Some(f.of.more.gap_m.1 * 1e6)),
    row("lowest_contrast_percent", "least share of the pattern that got through", "%", 1, |f| {
        Some(f.of.more.contrast_low * 100.0)
    }),
    row("lowest_light_percent", "least light behind the window", "%", 1, |f| Some(f.of.more.light.0 * 100.0)),
    row("lamp_used_percent", "drive of the lamp that is used up", "%", 1, |f| Some(f.of.more.lamp_used * 100.0)),
    row("head_supply_v", "lowest supply at the head", "V", 3, |f| Some(f.of.more.head_supply_v.0)),
    row("still_rms_mv", "A at rest, r.m.s.", "mV", 2, |f| f.of.still.reading().map(|s| s.rms_v * 1e3)),
    row("still_peak_to_peak_mv", "A at rest, peak to peak", "mV", 1, |f| {
        f.of.still.reading().map(|s| s.peak_to_peak_v * 1e3)
    }),
    row("still_hum_mv", "A at rest, amplitude at mains frequency", "mV", 2, |f| {
        f.of.still.reading().map(|s| s.hum_v * 1e3)
    }),
    row("still_false_um", "readout wandered at rest", "um", 1, |f| f.of.still.reading().map(|s| s.false_m * 1e6)),
    row("motor_error_um", "motor encoder less table at the end", "um", 1, |f| Some(f.of.more.motor_off_m * 1e6)),
    row("mismatch_um", "scale less motor encoder at the end", "um", 1, |f| Some(f.of.more.mismatch_m * 1e6)),
    row("flex_dropouts", "times that the signal let go while the cable was bent", "", 0, |f| {
        f.of.more.dropouts.map(f64::from)
    }),
];

#[cfg(test)]
mod tests {
    use super::READINGS;

    #[test]
    fn names_are_unique_and_end_in_their_unit() {
        for (i, row) in READINGS.iter().enumerate() {
            assert!(READINGS[..i].iter().all(|other| other.name != row.name), "{} stands twice", row.name);
            let ending = match row.unit {
                "%" => "_percent".to_owned(),
                "" => String::new(),
                unit => format!("_{}", unit.to_lowercase().replace('/', "_per_")),
            };
            assert!(row.name.ends_with(&ending), "{} is in {}", row.name, row.unit);
        }
    }
}
