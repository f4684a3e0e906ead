//! Faults of the control: parameters that somebody changed.

use super::{FaultId, Group, Row};
use crate::params::Params;

const fn row(id: FaultId, name: &'static str, title: &'static str, apply: fn(&mut Params, f64, f64)) -> Row {
    Row { id, name, title, group: Group::Control, has_place: false, wipes_off: false, apply }
}

/// Position gain down to half; the monitors still expect the stored one.
pub(super) const KV_HALVED: Row = row(FaultId::KvHalved, "kv-halved", "Position gain halved", |params, s, _| {
    params.machine.control.kv *= 1.0 - 0.5 * s;
});

/// Velocity feed-forward lost.
pub(super) const FEED_FORWARD_OFF: Row =
    row(FaultId::FeedForwardOff, "feed-forward-off", "Feed-forward lost", |params, s, _| {
        params.machine.control.kff *= 1.0 - s;
        if params.machine.control.kff == 0.0 && params.stored_kff == 0.0 {
            // A machine commissioned without feed-forward can only have it put in by mistake.
            params.machine.control.kff = s;
        }
    });

/// Current limit down to a tenth.
pub(super) const CURRENT_LIMIT_LOW: Row =
    row(FaultId::CurrentLimitLow, "current-limit-low", "Current limit too low", |params, s, _| {
        params.machine.motor.peak_current *= 1.0 - 0.9 * s;
        params.plant.peak_current *= 1.0 - 0.9 * s;
    });

/// Count direction reversed from half severity on.
pub(super) const SIGN_WRONG: Row = row(FaultId::SignWrong, "sign-wrong", "Count reversed", |params, s, _| {
    if s >= 0.5 {
        params.sign = -params.sign;
    }
});

/// Input of channel B damaged (a static discharge, a wrong plug): off its middle by up to 1.2 times the amplitude that
/// arrives, and its switching band up to 0.6 V wider. A new head does not help.
pub(super) const INPUT_DAMAGED: Row = row(FaultId::InputDamaged, "input-damaged", "Input B damaged", |params, s, _| {
    // What a healthy squared pair shows across its termination is some 2.8 V.
    let amplitude_v = if params.squared() { 2.8 } else { params.nominal_v() };
    params.input.offset_v[1] += 1.2 * s * amplitude_v;
    params.input.hysteresis_v[1] += 0.6 * s;
});
