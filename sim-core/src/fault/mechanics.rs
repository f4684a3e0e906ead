//! Faults of what carries and drives the table: nut, bearing, screw, guide, cover, brake, coupling, mountings.
//!
//! Where a machine has no such part the fault leaves it as it is.

use super::drive_train::peak_force_n;
use super::{FaultId, Group, Row};
use crate::axis::machine::BrakeSide;
use crate::axis::plant::Catch;
use crate::params::{Gearing, Params};
use core::f64::consts::PI;

/// Radius of the lines on the disc of a motor encoder, m (the disc of 2500 lines).
const DISC_RADIUS_M: f64 = 18e-3;
/// Play of a cracked encoder coupling, rad (own value).
const COUPLING_PLAY_RAD: f64 = 10e-3;
/// What a cracked coupling swings the encoder to and fro in a turn, rad (own value).
const COUPLING_WOBBLE_RAD: f64 = 5e-3;
/// Friction of the encoder's bearings, N m (own value), against the stiffness of a sound coupling, N m/rad.
const ENCODER_DRAG_NM: f64 = 0.02;
const COUPLING_NM_PER_RAD: f64 = 500.0;

const fn row(id: FaultId, name: &'static str, title: &'static str, apply: fn(&mut Params, f64, f64)) -> Row {
    Row { id, name, title, group: Group::DriveTrain, has_place: false, wipes_off: false, apply }
}

/// Play of the drive is at least this much.
fn play(params: &mut Params, play_m: f64) {
    params.masses.backlash = params.masses.backlash.max(play_m);
}

/// Nut worn: up to 120 um of play.
pub(super) const NUT_WORN: Row = row(FaultId::NutWorn, "nut-worn", "Nut of the screw worn", |params, s, _| {
    play(params, 120e-6 * s);
});

/// Fixed bearing of the screw with up to 80 um of play and half its stiffness.
pub(super) const BEARING_PLAY: Row =
    row(FaultId::BearingPlay, "bearing-play", "Bearing of the screw loose", |params, s, _| {
        play(params, 80e-6 * s);
        params.masses.stiffness *= 1.0 - 0.5 * s;
    });

/// Screw or worm with an error of up to 20 um that returns every turn.
pub(super) const SCREW_CYCLIC: Row =
    row(FaultId::ScrewCyclic, "screw-cyclic", "Screw off once per turn", |params, s, _| {
        if params.gearing != Gearing::Rack {
            params.masses.screw.cyclic += 20e-6 * s;
        }
    });

/// Mesh or belt slack: up to 100 um more play, up to 70 % less stiffness.
pub(super) const DRIVE_SLACK: Row = row(FaultId::DriveSlack, "drive-slack", "Mesh or belt slack", |params, s, _| {
    params.masses.backlash += 100e-6 * s;
    params.masses.stiffness *= 1.0 - 0.7 * s;
});

/// Guide dry: breakaway up to twice as high and at a third of the speed.
pub(super) const DRY_GUIDE: Row = row(FaultId::DryGuide, "dry-guide", "Guide runs dry", |params, s, _| {
    params.plant.guide.breakaway_n *= 1.0 + s;
    params.plant.guide.stribeck_speed *= 1.0 - 0.7 * s;
});

/// A plate of the cover catches over 15 mm on the way up: up to 1.2 times the peak force of the drive.
pub(super) const COVER_CATCH: Row = Row {
    has_place: true,
    ..row(FaultId::CoverCatch, "cover-catch", "Cover catches here", |params, s, at_m| {
        let force_n = 1.2 * s * peak_force_n(params);
        params.plant.catch = Some(Catch { from: at_m, to: at_m + 15e-3, force_n });
    })
};

/// Brake drags with up to 60 % of its torque; not a clamp.
pub(super) const BRAKE_DRAG: Row = row(FaultId::BrakeDrag, "brake-drag", "Brake drags", |params, s, _| {
    if let Some(brake) = params.train.brake.as_mut().filter(|b| b.side == BrakeSide::Motor) {
        brake.drag = brake.drag.max(0.6 * s * brake.holding);
    }
});

/// Brake worn: its torque down to nothing.
pub(super) const BRAKE_WORN: Row = row(FaultId::BrakeWorn, "brake-worn", "Brake worn", |params, s, _| {
    if let Some(brake) = &mut params.train.brake {
        brake.wear = 1.0 - (1.0 - brake.wear) * (1.0 - s);
    }
});

/// Brake closes up to a quarter of a second late; the control still waits as long as before.
pub(super) const BRAKE_SLOW: Row = row(FaultId::BrakeSlow, "brake-slow", "Brake closes late", |params, s, _| {
    if let Some(brake) = &mut params.train.brake {
        brake.close_delay += 0.25 * s;
    }
});

/// Counterbalance down to nothing, where one is fitted.
pub(super) const BALANCE_LOST: Row =
    row(FaultId::BalanceLost, "balance-lost", "Counterbalance lost", |params, s, _| {
        params.plant.outside_n -= s * params.machine.mechanics.counterbalance_n;
    });

/// Screw ends up to 10 K warmer in use than it should.
pub(super) const SCREW_GROWTH: Row =
    row(FaultId::ScrewGrowth, "screw-growth", "Screw warms up and grows", |params, s, _| {
        let heat = &mut params.train.heat;
        if heat.expansion > 0.0 {
            heat.extra_w += 10.0 * s * heat.screw.conductance;
        }
    });

/// Clamp of a rotary table stays on with up to all its force.
pub(super) const CLAMP_ON: Row = row(FaultId::ClampOn, "clamp-on", "Clamp stays on", |params, s, _| {
    if let Some(clamp) = params.train.brake.as_mut().filter(|b| b.side == BrakeSide::Table) {
        clamp.drag = clamp.drag.max(s * clamp.holding);
    }
});

/// Head loose on its bracket: up to 60 um of play.
pub(super) const BRACKET_LOOSE: Row =
    row(FaultId::BracketLoose, "bracket-loose", "Bracket of the head loose", |params, s, _| {
        params.alignment.lost_motion_m = params.alignment.lost_motion_m.max(60e-6 * s);
    });

/// Scale loose: it shifts by up to 100 um at every hard stop.
pub(super) const SCALE_LOOSE: Row = row(FaultId::ScaleLoose, "scale-loose", "Scale loose", |params, s, _| {
    params.train.seat.slip += 100e-6 * s;
});

/// Coupling between motor and screw slips: from the peak torque down to 3 % of it, less than a brisk start needs (own).
pub(super) const COUPLING_SLIP: Row =
    row(FaultId::CouplingSlip, "coupling-slip", "Coupling to the screw slips", |params, s, _| {
        let motor = &params.machine.motor;
        params.masses.coupling_nm = Some((1.0 - 0.97 * s) * motor.torque_constant * motor.peak_current);
    });

/// Coupling of the motor encoder cracked: play, wind-up and a wobble once per turn; at full severity it is broken through.
pub(super) const ENCODER_COUPLING: Row =
    row(FaultId::EncoderCoupling, "encoder-coupling", "Coupling of the motor encoder", |params, s, _| {
        if s >= 1.0 {
            params.train.mount.broken = true;
        } else {
            let twist = 2.0 * ENCODER_DRAG_NM / (COUPLING_NM_PER_RAD * (1.0 - s));
            params.train.mount.play_rad += s * COUPLING_PLAY_RAD + s * twist.min(COUPLING_PLAY_RAD);
            params.train.mount.eccentric_rad += s * COUPLING_WOBBLE_RAD;
        }
    });

/// Disc off its centre by up to 50 um: of the ring where the table carries one, else of the motor encoder. The gap, and
/// with it the amplitude, breathes with a ring.
pub(super) const DISC_ECCENTRIC: Row =
    row(FaultId::DiscEccentric, "disc-eccentric", "Disc off its centre", |params, s, _| {
        if params.machine.endless {
            params.train.seat.eccentric += 50e-6 * s;
        } else {
            params.train.mount.eccentric_rad += 50e-6 * s / DISC_RADIUS_M;
        }
    });

/// Up to 20 degrees of the motor encoder's disc dead.
pub(super) const DISC_DIRT: Row =
    row(FaultId::DiscDirt, "disc-dirt", "Disc of the motor encoder dirty", |params, s, _| {
        params.train.mount.dead_rad += 20.0 * s * PI / 180.0;
    });
