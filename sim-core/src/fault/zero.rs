//! Faults of what the zero depends on: marks, home switch, code track, battery.

use super::{FaultId, Group, Row};
use crate::num::math::nearest;
use crate::params::Params;

/// Scatter of a home switch in good order, m (axis model, presets).
const SWITCH_SCATTER_M: f64 = 20e-6;

const fn row(
    id: FaultId,
    name: &'static str,
    title: &'static str,
    group: Group,
    apply: fn(&mut Params, f64, f64),
) -> Row {
    Row { id, name, title, group, has_place: false, wipes_off: false, apply }
}

/// Dirt on the mark track: the marks' signal falls to nothing at full severity.
pub(super) const MARK_DIRTY: Row = Row {
    wipes_off: true,
    ..row(FaultId::MarkDirty, "mark-dirty", "Reference marks dirty", Group::Scale, |params, s, _| {
        params.mark.amplitude *= 1.0 - s;
    })
};

/// A scratch that passes light like a mark, from half severity on seen as one. It sits in a gate of the lines, which is
/// where it does harm.
pub(super) const MARK_FALSE: Row = Row {
    has_place: true,
    ..row(FaultId::MarkFalse, "mark-false", "Scratch like a mark", Group::Scale, |params, s, at_m| {
        let period_m = params.scale.period_m;
        if s >= 0.5 {
            params.mark.false_mark_m = Some((nearest(at_m / period_m) + 0.125) * period_m);
        }
    })
};

/// Opaque dirt over up to 10 mm of the code track; the lines stay clean.
pub(super) const CODE_DIRT: Row = Row {
    has_place: true,
    wipes_off: true,
    ..row(FaultId::CodeDirt, "code-dirt", "Code track dirty", Group::Scale, |params, s, at_m| {
        params.zero.code_dirt.push([at_m - 5e-3 * s, at_m + 5e-3 * s]);
    })
};

/// Dog of the home switch moved by up to 10 mm towards the travel.
pub(super) const DOG_MOVED: Row =
    row(FaultId::DogMoved, "dog-moved", "Dog of the home switch moved", Group::DriveTrain, |params, s, _| {
        params.machine.home.switch_at += 10e-3 * s;
    });

/// Worn home switch: its edge scatters up to 21 times as much, its contact follows up to 10 ms later.
pub(super) const SWITCH_WORN: Row =
    row(FaultId::SwitchWorn, "switch-worn", "Home switch worn", Group::DriveTrain, |params, s, _| {
        params.zero.switch.scatter_m += SWITCH_SCATTER_M * (1.0 + 20.0 * s);
        params.zero.switch.delay_s += 10e-3 * s;
    });

/// Wire of the normally closed home switch broken, from half severity on: it reads pressed for ever.
pub(super) const SWITCH_WIRE: Row =
    row(FaultId::SwitchWire, "switch-wire", "Wire of the home switch broken", Group::Cable, |params, s, _| {
        if s >= 0.5 {
            params.zero.switch_stuck = Some(true);
        }
    });

/// Noise on the serial line: up to one wrong bit in a thousand.
pub(super) const CODE_BITS: Row =
    row(FaultId::CodeBits, "code-bits", "Wrong bits on the code line", Group::Cable, |params, s, _| {
        params.zero.bit_error_rate += 1e-3 * s;
    });

/// Battery of the motor encoder down from 3.6 V to 2.4 V; below 2.6 V it does not keep the turns.
pub(super) const BATTERY_FLAT: Row =
    row(FaultId::BatteryFlat, "battery-flat", "Encoder battery flat", Group::Cable, |params, s, _| {
        params.zero.turns.battery_v -= 1.2 * s;
    });

/// The dog stands so that the home switch releases within three standard deviations of a reference mark; at full severity
/// on it: chance decides which mark is found.
pub(super) const MARK_NEAR_SWITCH: Row =
    row(FaultId::MarkNearSwitch, "mark-near-switch", "Mark at the home switch", Group::Control, |params, s, _| {
        let home = &mut params.machine.home;
        home.switch_at = home.mark_at - home.switch_hysteresis - 3.0 * SWITCH_SCATTER_M * (1.0 - s);
        params.zero.switch.scatter_m = params.zero.switch.scatter_m.max(SWITCH_SCATTER_M);
    });

/// The head was exchanged, reads up to 2 mm beside the old one, and the zero was not taught again: no count is lost, but
/// marks and code come at another place of the table.
pub(super) const ZERO_NOT_TAUGHT: Row = row(
    FaultId::ZeroNotTaught,
    "zero-not-taught",
    "Zero not taught after an exchange",
    Group::Control,
    |params, s, _| {
        let period_m = params.scale.period_m;
        params.head_offset_m += nearest(2e-3 * s / period_m).max(1.0) * period_m;
    },
);
