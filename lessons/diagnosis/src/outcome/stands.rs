//! Outcomes of checks on a standing machine.

use super::Beside;
use crate::measure::OPEN_OHM;

pub fn supply(b: &Beside<'_>) -> &'static str {
    match (b.more("at_drive_v"), b.more("at_head_v")) {
        (Some(drive), _) if drive < -0.1 => "low",
        (_, Some(head)) if head < -0.1 => "drop",
        (Some(_), Some(_)) => "right",
        _ => "none",
    }
}

pub fn ohms(b: &Beside<'_>) -> &'static str {
    let more = |name: &str| b.more(name).unwrap_or(0.0);
    match b.both("worst_ohm") {
        None => "none",
        Some((worst, _)) if worst >= OPEN_OHM => "open",
        Some((worst, usual)) if worst > 2.0 * usual + 2.0 => "high",
        _ if more("crossed") > 0.5 => "crossed",
        _ if more("touching") > 0.5 => "touch",
        _ if more("supply_ohm") > 1.0 => "thin",
        _ => "sound",
    }
}

pub fn screen(b: &Beside<'_>) -> &'static str {
    match b.more("earthed_ends") {
        Some(ends) if ends < -0.5 => "lifted",
        Some(_) => "sound",
        None => "none",
    }
}

pub fn flex(b: &Beside<'_>) -> &'static str {
    match b.more("dropouts") {
        Some(dropouts) if dropouts > 0.5 => "lets-go",
        Some(_) => "quiet",
        None => "none",
    }
}

/// A fifth of the light missing is seen in a window; a film is what covers more than a third of the travel.
pub fn lamp(b: &Beside<'_>) -> &'static str {
    match (b.more("covered_percent"), b.measured.get("window_percent")) {
        (Some(covered), _) if covered > 33.0 => "film",
        (Some(covered), _) if covered > 0.005 => "place",
        _ if b.more("damaged_percent").is_some_and(|damaged| damaged > 0.001) => "damage",
        (_, Some(window)) if window < 90.0 => "window",
        (Some(_), _) => "clean",
        _ => "none",
    }
}

/// A tenth of the gap, or what the gauge resolves.
pub fn gap(b: &Beside<'_>) -> &'static str {
    let places = ["gap_low_um", "gap_middle_um", "gap_high_um"];
    let more: Vec<f64> = places.into_iter().filter_map(|name| b.more(name)).collect();
    let (least, most) =
        more.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), um| (least.min(*um), most.max(*um)));
    let limit_um = (0.1 * b.healthy.get("gap_middle_um").unwrap_or(0.0)).max(15.0);
    match () {
        () if more.len() < places.len() => "none",
        () if most - least > limit_um => "uneven",
        () if least > limit_um => "wide",
        () if most < -limit_um => "narrow",
        () => "right",
    }
}

pub fn values(b: &Beside<'_>) -> &'static str {
    let differs = |names: &[&str]| names.iter().any(|name| b.steps(name).is_some_and(|steps| steps.abs() > 1.0));
    match () {
        () if b.has_none() => "none",
        () if differs(&["kv_per_s", "feed_forward", "kp", "peak_current_a"]) => "gain",
        () if differs(&["filter_samples", "count_sign", "count_ratio", "motor_loop"]) => "count",
        () if differs(&["play_compensation_um", "comparison_mm", "soft_limit_mm"]) => "limit",
        () => "stored",
    }
}

pub fn housing(b: &Beside<'_>) -> &'static str {
    match (b.more("air"), b.more("lips_percent")) {
        (Some(air), _) if air < -0.5 => "no-air",
        (_, Some(lips)) if lips < -15.0 => "worn",
        (Some(_), _) => "tight",
        _ => "none",
    }
}

pub fn swapped(b: &Beside<'_>) -> &'static str {
    match b.measured.get("changed") {
        Some(changed) if changed > 0.5 => "changes",
        Some(_) => "unchanged",
        None => "none",
    }
}
