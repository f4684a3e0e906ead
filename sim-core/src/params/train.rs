//! The train of a set-up: what drives the table, what lies on it, how warm the room is.

use crate::axis::heat::{self, GLASS_EXPANSION, STEEL_EXPANSION};
use crate::axis::machine::{MachineId, MachineSpec};
use crate::axis::train::TrainParams;
use crate::axis::two_mass::TwoMassParams;
use crate::scale::{GratingType, ScaleSpec};
use crate::setup::{MachineSetup, Setup};
use core::f64::consts::TAU;

/// What turns the motor's turns into travel.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Gearing {
    /// A pinion on a rack.
    Rack,
    /// A screw on the motor's shaft.
    Screw,
    /// A worm on the motor's shaft.
    Worm,
}

/// What drives a machine.
#[must_use]
pub const fn gearing(machine: MachineId) -> Gearing {
    match machine {
        MachineId::TeachingRail | MachineId::RouterGantryX => Gearing::Rack,
        MachineId::MillX | MachineId::MillZ | MachineId::RouterGantryZ => Gearing::Screw,
        MachineId::RotaryTable => Gearing::Worm,
    }
}

/// Puts what lies on the table, and what balances it, into the machine.
pub(super) fn load(machine: &mut MachineSpec, setup: &MachineSetup) {
    machine.mechanics.table_mass += setup.load_kg;
    if machine.mechanics.incline > 0.0 {
        machine.mechanics.counterbalance_n += setup.counterbalance_n;
    }
}

/// The healthy train of a set-up on its loaded machine; its torque was stored with the table bare.
pub(super) fn train(setup: &Setup, machine: &MachineSpec) -> (TwoMassParams, TrainParams) {
    let gearing = gearing(setup.machine());
    let mut masses = TwoMassParams::from_spec(machine);
    if gearing != Gearing::Rack {
        masses.screw.turns_per_rad = 1.0 / TAU;
    }
    let mut train = TrainParams::from_spec(machine, gearing == Gearing::Screw);
    let mut bare = *machine;
    bare.mechanics.table_mass -= setup.machine.load_kg;
    train.holding_nm = bare.mechanics.holding_torque();
    train.heat.room_c = setup.machine.ambient_c;
    (masses, train)
}

/// Place on the scale per place on the axis in a room of `room_c` C: a warm scale is longer than it says.
pub(super) fn scale_in_room(scale: &ScaleSpec, room_c: f64) -> f64 {
    let expansion = match scale.grating_type {
        GratingType::Transmissive => GLASS_EXPANSION,
        GratingType::Reflective => STEEL_EXPANSION,
    };
    1.0 / (1.0 + heat::growth(expansion, room_c))
}
