//! Faults of drive and motor: bus, commutation, a phase.

use super::{FaultId, Group, Row};
use crate::axis::bus::commutation_share;
use crate::params::Params;
use core::f64::consts::PI;

const fn row(id: FaultId, name: &'static str, title: &'static str, apply: fn(&mut Params, f64, f64)) -> Row {
    Row { id, name, title, group: Group::Control, has_place: false, wipes_off: false, apply }
}

/// Bus of the drive sags by up to half at the highest speed.
pub(super) const BUS_SAG: Row = row(FaultId::BusSag, "bus-sag", "Bus voltage sags", |params, s, _| {
    params.train.bus.sag += 0.5 * s;
});

/// One motor phase missing: up to 60 % of the torque gone where that phase would make most of it.
pub(super) const PHASE_MISSING: Row =
    row(FaultId::PhaseMissing, "phase-missing", "Motor phase missing", |params, s, _| {
        params.masses.phase_loss = params.masses.phase_loss.max(0.6 * s);
    });

/// The drive's idea of the rotor is off by up to 80 electrical degrees.
pub(super) const COMMUTATION_OFF: Row =
    row(FaultId::CommutationOff, "commutation-off", "Commutation angle wrong", |params, s, _| {
        params.plant.commutation *= commutation_share(80.0 * s * PI / 180.0);
    });
