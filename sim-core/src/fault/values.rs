//! Faults of values that somebody entered: gains, ratio, filter, limits, compensation.

use super::{FaultId, Group, Row};
use crate::chain::edge_filter::EdgeFilterParams;
use crate::params::{INPUT_CLOCK_HZ, Params, samples_that_lose_above};

const fn row(id: FaultId, name: &'static str, title: &'static str, apply: fn(&mut Params, f64, f64)) -> Row {
    Row { id, name, title, group: Group::Control, has_place: false, wipes_off: false, apply }
}

/// Counter of 16 bits that nothing extends, from half severity on; before, of 24 bits, which is enough here.
pub(super) const COUNTER_NARROW: Row =
    row(FaultId::CounterNarrow, "counter-narrow", "Counter too narrow", |params, s, _| {
        params.control.counter_bits = Some(if s >= 0.5 { 16 } else { 24 });
    });

/// Position gain up to five times, velocity gain up to seven times what they should be.
pub(super) const KV_HIGH: Row = row(FaultId::KvHigh, "kv-high", "Gains far too high", |params, s, _| {
    params.machine.control.kv *= 1.0 + 4.0 * s;
    params.machine.control.kp *= 1.0 + 6.0 * s;
});

/// Lines or lead wrong by a plain factor in the control: twice from half severity on, before a quarter more.
pub(super) const RATIO_WRONG: Row = row(FaultId::RatioWrong, "ratio-wrong", "Lines or lead wrong", |params, s, _| {
    params.control.count_ratio *= if s >= 0.5 { 2.0 } else { 1.25 };
});

/// Input filter so long that edges are lost from `(1 - 0.7 s) v_max` on.
pub(super) const FILTER_LONG: Row = row(FaultId::FilterLong, "filter-long", "Input filter too long", |params, s, _| {
    let speed = (1.0 - 0.7 * s) * params.machine.limits.speed;
    let samples = samples_that_lose_above(params.square_m(), speed).max(2);
    params.control.filter = Some(EdgeFilterParams { clock_hz: INPUT_CLOCK_HZ, samples });
});

/// Scale and motor encoder compared with a limit down to a fifth of what was commissioned: less than a warm screw grows.
pub(super) const MISMATCH_TIGHT: Row =
    row(FaultId::MismatchTight, "mismatch-tight", "Comparison too tight", |params, s, _| {
        params.monitors.comparison = true;
        params.monitors.mismatch_m *= 1.0 - 0.8 * s;
    });

/// Both soft limits off by up to a tenth of the travel towards the home switch.
pub(super) const SOFT_LIMIT_WRONG: Row =
    row(FaultId::SoftLimitWrong, "soft-limit-wrong", "Soft limits off their places", |params, s, _| {
        params.control.soft_shift_m -= 0.1 * s * params.machine.travel;
    });

/// Compensation of a play that is not there, up to 60 um; it acts where the loop is closed over the motor encoder.
pub(super) const PLAY_COMP_WRONG: Row =
    row(FaultId::PlayCompWrong, "play-comp-wrong", "Play compensation wrong", |params, s, _| {
        params.control.play_comp_m += 60e-6 * s;
    });
