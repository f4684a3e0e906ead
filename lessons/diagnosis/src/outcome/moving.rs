//! Outcomes of checks that move the axis.

use super::Beside;
use sim_core::inspect::drive::Stopped;
use sim_core::monitor::MonitorKind as Kind;

pub fn traverse(b: &Beside<'_>) -> &'static str {
    match &b.measured.stopped {
        Some(Stopped::ByMonitor { kind, .. }) => match kind {
            Kind::FollowingMoving | Kind::FollowingStill | Kind::FollowingCap => "following",
            Kind::SignalLow | Kind::SignalHigh | Kind::SignalLost | Kind::CodeRead | Kind::HeadSupplyLow => "signal",
            _ => "stops",
        },
        Some(Stopped::Late { .. }) => "stops",
        Some(Stopped::Refused { .. }) => "none",
        None => match b.steps("off_on_return_mm") {
            Some(steps) if steps.abs() > 1.0 => "count-off",
            Some(_) => "runs",
            None => "none",
        },
    }
}

/// What the motor needs. Half an ampere more at one place, or a quarter of the usual friction, is more than the scatter.
pub fn current(b: &Beside<'_>) -> &'static str {
    let bump = ["bump_up_a", "bump_down_a"].into_iter().filter_map(|name| b.more(name)).fold(0.0, f64::max);
    match (b.both("friction_a"), b.more("weight_a")) {
        _ if bump > 0.5 => "bump",
        (Some((found, usual)), _) if found - usual > (0.25 * usual).max(0.1) => "more",
        (_, Some(weight)) if weight.abs() > 0.15 => "weight",
        (Some(_), _) => "usual",
        (None, _) => "none",
    }
}

/// How scale and motor encoder go together.
pub fn compare(b: &Beside<'_>) -> &'static str {
    match (b.more("mismatch_um_per_m"), b.more("mismatch_cyclic_um"), b.more("lost_motion_um")) {
        (Some(slope), ..) if slope.abs() > 30.0 => "apart",
        (_, Some(cyclic), _) if cyclic > 1.5 => "cyclic",
        (.., Some(lost)) if lost.abs() > 5.0 => "reversal",
        (Some(_), ..) => "together",
        _ => "none",
    }
}

pub fn home(b: &Beside<'_>) -> &'static str {
    if b.has_none() {
        return "same";
    }
    match (b.steps("off_um"), b.steps("spread_um")) {
        (_, Some(spread)) if spread > 1.0 => "scatters",
        (Some(off), _) if off.abs() > 1.0 => "moved",
        (Some(_), _) => match b.both("switch_to_mark_um") {
            // Closer to the edge than a tenth of what it was.
            Some((found, usual)) if found.abs() < 0.1 * usual.abs() => "edge",
            _ => "same",
        },
        _ => "not-found",
    }
}

pub fn indicator(b: &Beside<'_>) -> &'static str {
    match b.more("indicator_lost_um") {
        Some(lost) if lost > 4.0 => "lost",
        Some(lost) if lost < -4.0 => "too-far",
        Some(_) => "tight",
        None => "none",
    }
}

pub fn mains(b: &Beside<'_>) -> &'static str {
    match (b.steps("dropped_um"), b.more("referenced")) {
        (Some(dropped), _) if dropped > 1.0 => "sunk",
        (_, Some(referenced)) if referenced < -0.5 => "lost",
        _ if b.measured.stopped != b.healthy.stopped => "lost",
        (Some(_), _) => "usual",
        _ => "none",
    }
}
