//! Outcomes of checks on the signals.

use super::Beside;

/// Less than this share of the usual amplitude is low, more than its inverse high (common practice: a fifth).
const LOW: f64 = 0.85;
/// Less than this share is no signal to speak of.
const DEAD: f64 = 0.1;
/// A channel this share of the other is lower.
const UNEQUAL: f64 = 0.9;

pub fn scan(b: &Beside<'_>) -> &'static str {
    let Some((middle_v, usual_v)) = b.both("middle_v") else {
        return "none";
    };
    let least = b.measured.get("least_v").unwrap_or(middle_v) / middle_v.max(1e-9);
    let weak = b.measured.get("weak_percent").unwrap_or(0.0);
    let fade = b.more("fade_percent").unwrap_or(0.0);
    // One sample that falls far under all others is a dip that is shorter than a place.
    let shortest = b.times("shortest_v").unwrap_or(1.0) * usual_v / middle_v.max(1e-9);
    match middle_v / usual_v.max(1e-9) {
        share if share < DEAD => "dead",
        _ if weak < 20.0 && (least < 0.75 || shortest < 0.6) => "dip",
        _ if fade.abs() > 20.0 => "ramp",
        share if share < LOW => "low",
        share if share > 1.0 / LOW => "high",
        _ => "flat",
    }
}

pub fn figure(b: &Beside<'_>) -> &'static str {
    let (Some(a), Some(bb)) = (b.times("amplitude_a_v"), b.times("amplitude_b_v")) else {
        return "none";
    };
    let off_mv = ["offset_a_mv", "offset_b_mv"].into_iter().filter_map(|n| b.more(n)).map(f64::abs).fold(0.0, f64::max);
    let slant_deg = b.more("phase_error_deg").unwrap_or(0.0).abs();
    let noise_mv = b.more("noise_mv").unwrap_or(0.0);
    match (a.min(bb), a.max(bb)) {
        (least, _) if least < DEAD => "line",
        (least, most) if least < UNEQUAL * most => "unequal",
        _ if off_mv > 25.0 => "off-centre",
        _ if slant_deg > 5.0 => "slanted",
        _ if noise_mv > 3.0 => "noisy",
        (least, _) if least < LOW => "small",
        (_, most) if most > 1.0 / LOW => "large",
        _ => "round",
    }
}

pub fn rest(b: &Beside<'_>) -> &'static str {
    let Some(noise) = b.times("noise_mv") else {
        return "none";
    };
    match (b.more("hum_mv"), b.more("peaks_over_noise"), b.more("false_at_rest_um")) {
        (Some(hum), ..) if hum > 2.0 => "hum",
        (_, Some(peaks), _) if peaks > 6.0 => "bursts",
        _ if noise > 1.6 => "noise",
        (.., Some(wander)) if wander > 5.0 => "wanders",
        _ => "quiet",
    }
}

pub fn scope(b: &Beside<'_>) -> &'static str {
    let (Some(a), Some(bb)) = (b.times("amplitude_a_v"), b.times("amplitude_b_v")) else {
        return "none";
    };
    let off_mv = ["mean_a_mv", "mean_b_mv"].into_iter().filter_map(|n| b.more(n)).map(f64::abs).fold(0.0, f64::max);
    match (a.min(bb), a.max(bb)) {
        (_, most) if most < DEAD => "both-dead",
        (least, _) if least < DEAD => "one-dead",
        (least, most) if least < UNEQUAL * most => "one-low",
        _ if off_mv > 25.0 => "shifted",
        (least, _) if least < LOW => "both-low",
        (_, most) if most > 1.0 / LOW => "both-high",
        _ => "usual",
    }
}
