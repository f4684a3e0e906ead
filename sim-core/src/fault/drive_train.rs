//! Faults of guides and drive train.

use super::{FaultId, Group, Row};
use crate::axis::plant::LocalDrag;
use crate::params::Params;

/// Force of the drive at its peak current, N.
pub(super) fn peak_force_n(params: &Params) -> f64 {
    params.machine.motor.torque_constant * params.machine.motor.peak_current / params.machine.mechanics.ratio
}

/// Guide binds at one place: up to 1.8 times the peak force of the drive over some 60 mm.
pub(super) const DRAG_SPOT: Row = Row {
    id: FaultId::DragSpot,
    name: "drag-spot",
    title: "Guide binds here",
    group: Group::DriveTrain,
    has_place: true,
    wipes_off: false,
    apply: |params: &mut Params, s, at_m| {
        let force_n = 1.8 * s * peak_force_n(params);
        params.plant.local_drag = Some(LocalDrag { place: at_m, sigma: 0.03, force_n });
    },
};

/// Gib too tight: friction up everywhere by up to 1.1 times the continuous force of the drive.
pub(super) const GIB_TIGHT: Row = Row {
    id: FaultId::GibTight,
    name: "gib-tight",
    title: "Gib too tight",
    group: Group::DriveTrain,
    has_place: false,
    wipes_off: false,
    apply: |params: &mut Params, s, _| {
        let motor = &params.machine.motor;
        let continuous_n = motor.torque_constant * motor.continuous_current / params.machine.mechanics.ratio;
        params.plant.guide.sliding_n += 1.1 * s * continuous_n;
        params.plant.guide.breakaway_n += 1.1 * s * continuous_n;
    },
};
