//! What stands around the two masses: brake, mounting of the motor encoder, seat of the scale, heat, bus.
//!
//! All of it costs a healthy step next to nothing: what is sound is asked once, heat is taken every hundredth step.

use serde::{Deserialize, Serialize};

use crate::axis::STEP;
use crate::axis::brake::{BrakeForce, BrakeParams, BrakeState};
use crate::axis::bus::BusParams;
use crate::axis::heat::{self, Heat, HeatParams};
use crate::axis::machine::MachineSpec;
use crate::axis::mounting::{EncoderMount, MountState, ScaleSeat, SeatState};
use crate::axis::sequence::{PowerPhase, SequenceParams};
use crate::axis::two_mass::{TwoMass, TwoMassParams};

/// Steps between two looks at the temperatures.
const HEAT_STEPS: u32 = 100;
/// Heat that a screw gives away per kelvin, W/K, and its time constant, s (own values; 1200..4000 s is usual).
const SCREW_W_PER_K: f64 = 5.0;
const SCREW_TIME: f64 = 2400.0;
/// Rise of the winding at the continuous current, K, and its time constant, s (own values).
const WINDING_RISE_K: f64 = 85.0;
const WINDING_TIME: f64 = 900.0;

/// Temperatures of screw and motor. Both are counted from [`heat::REFERENCE_C`]: the room is one more source of heat, so
/// that a room that is heated warms the machine slowly.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct ThermalParams {
    /// The screw.
    pub screw: HeatParams,
    /// Its expansion, 1/K; 0 where a rack or a worm drives, whose growth does not add up along the travel.
    pub expansion: f64,
    /// Heat that enters the screw while the drive is on, W, on top of its friction.
    pub extra_w: f64,
    /// The winding.
    pub winding: HeatParams,
    /// The room, C, 5..45.
    pub room_c: f64,
}

/// Numbers of the train beside its two masses.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct TrainParams {
    /// Holding brake or clamp, if there is one.
    pub brake: Option<BrakeParams>,
    /// Order of torque and brake.
    pub sequence: SequenceParams,
    /// Torque that held the table at commissioning, N m.
    pub holding_nm: f64,
    /// How the encoder sits on the motor.
    pub mount: EncoderMount,
    /// How the scale sits on the machine.
    pub seat: ScaleSeat,
    /// Heat.
    pub heat: ThermalParams,
    /// Bus of the drive.
    pub bus: BusParams,
}

impl TrainParams {
    /// The healthy train of a machine in a room of 20 C; `screw` where a screw moves the table.
    #[must_use]
    pub fn from_spec(m: &MachineSpec, screw: bool) -> Self {
        let room_c = heat::REFERENCE_C;
        Self {
            brake: m.brake.as_ref().map(BrakeParams::from_spec),
            sequence: SequenceParams::from_spec(m.brake.as_ref()),
            holding_nm: m.mechanics.holding_torque(),
            mount: EncoderMount::default(),
            seat: ScaleSeat::from_spec(m),
            heat: ThermalParams {
                screw: HeatParams { conductance: SCREW_W_PER_K, time: SCREW_TIME, ambient_c: room_c },
                expansion: if screw { heat::STEEL_EXPANSION } else { 0.0 },
                extra_w: 0.0,
                winding: HeatParams::winding(&m.motor, WINDING_RISE_K, WINDING_TIME, room_c),
                room_c,
            },
            bus: BusParams { nominal: m.motor.bus_voltage, sag: 0.0, v_max: m.limits.speed },
        }
    }
}

/// State of the train beside its two masses.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(default)]
pub struct TrainState {
    /// Where switching on or off stands.
    pub power: PowerPhase,
    /// The brake is ordered open.
    pub release: bool,
    /// The brake.
    pub brake: BrakeState,
    /// Torque that held the table when it was last switched off in good order, N m; before that the commissioned one.
    pub held_nm: Option<f64>,
    /// Mounting of the encoder.
    pub mount: MountState,
    /// Seat of the scale.
    pub seat: SeatState,
    /// Screw, above 20 C.
    pub screw: Heat,
    /// Winding, above 20 C.
    pub winding: Heat,
    /// Growth of the screw, m/m.
    pub growth: f64,
    /// Squares of the current since the temperatures were last looked at, A^2, and steps since.
    squares: f64,
    since: u32,
}

impl TrainState {
    /// A train that has stood in its room for long, drive off.
    #[must_use]
    pub fn soaked(p: &TrainParams) -> Self {
        let room = Heat { rise_k: p.heat.room_c - heat::REFERENCE_C };
        let growth = p.heat.expansion * room.rise_k;
        Self { screw: room, winding: room, growth, ..Self::default() }
    }

    /// As after the cabinet was off: what is in memory is forgotten, mechanics and temperatures are not.
    #[must_use]
    pub fn powered_up(&self) -> Self {
        Self { power: PowerPhase::Off, release: false, brake: BrakeState::default(), held_nm: None, ..self.clone() }
    }

    /// What the brake adds in the step that begins.
    pub(super) fn brake_force(&mut self, p: &TrainParams) -> BrakeForce {
        match &p.brake {
            None => BrakeForce::default(),
            Some(brake) => self.brake.step(brake, !self.release, STEP),
        }
    }

    /// The brake holds as far as it can: ordered closed and closed.
    #[must_use]
    pub fn braked(&self) -> bool {
        !self.release && self.brake.closed >= 1.0
    }

    /// Temperatures after a step.
    pub(super) fn warm(&mut self, p: &TrainParams, plant: &TwoMassParams, s: &TwoMass) {
        self.squares += s.current * s.current;
        self.since += 1;
        if self.since < HEAT_STEPS {
            return;
        }
        let h = f64::from(self.since) * STEP;
        let mean_square = self.squares / f64::from(self.since);
        (self.squares, self.since) = (0.0, 0);
        let room_k = p.heat.room_c - heat::REFERENCE_C;
        let copper_w = plant.body.resistance * mean_square;
        self.winding.step(&p.heat.winding, copper_w + p.heat.winding.conductance * room_k, h);
        let rubbing_w = heat::friction_loss(plant.table_dry_n(s.x, s.v), s.v, plant.motor_dry_nm, s.omega);
        let extra_w = if self.power == PowerPhase::Off { 0.0 } else { p.heat.extra_w };
        self.screw.step(&p.heat.screw, rubbing_w + extra_w + p.heat.screw.conductance * room_k, h);
        self.growth = p.heat.expansion * self.screw.rise_k;
    }

    /// Temperature of the screw, C.
    #[must_use]
    pub fn screw_c(&self) -> f64 {
        heat::REFERENCE_C + self.screw.rise_k
    }

    /// Temperature of the winding, C.
    #[must_use]
    pub fn winding_c(&self) -> f64 {
        heat::REFERENCE_C + self.winding.rise_k
    }
}
