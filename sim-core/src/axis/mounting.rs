//! How the measuring parts sit: the encoder on its motor, the scale on its machine.

use core::f64::consts::TAU;

use serde::{Deserialize, Serialize};

use crate::axis::STEP;
use crate::axis::machine::MachineSpec;
use crate::num::math;

/// The encoder on the motor's shaft. The default is a sound one.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct EncoderMount {
    /// Play of its coupling, full width, rad, 0..0.1.
    pub play_rad: f64,
    /// Its coupling is broken: it stands still.
    pub broken: bool,
    /// Eccentricity of the disc over the radius of its lines, rad, 0..5e-3: reading is off by it times the sine of the angle.
    pub eccentric_rad: f64,
    /// Sector of the disc that is dead, rad, 0..1.
    pub dead_rad: f64,
}

/// What the mounting of the encoder has made of the angle so far.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct MountState {
    /// Lag in the play, rad.
    lag: f64,
    /// Angle not seen so far, rad.
    lost: f64,
}

impl EncoderMount {
    /// Whether the encoder sees the angle as it is.
    #[must_use]
    pub fn sound(&self) -> bool {
        !self.broken && self.play_rad == 0.0 && self.eccentric_rad == 0.0 && self.dead_rad == 0.0
    }

    fn off(&self, state: &MountState, theta: f64) -> f64 {
        let eccentric = match self.eccentric_rad {
            0.0 => 0.0,
            e => e * math::sincos_turns(theta / TAU).0,
        };
        state.lag + state.lost + eccentric
    }

    /// Angle that the encoder sees with the motor at `theta` rad.
    #[must_use]
    pub fn seen(&self, state: &MountState, theta: f64) -> f64 {
        theta + self.off(state, theta)
    }

    /// The motor turned from `from` to `to` rad: what the encoder saw.
    pub fn step(&self, state: &mut MountState, from: f64, to: f64) -> (f64, f64) {
        let before = self.seen(state, from);
        if !self.sound() {
            let turned = to - from;
            let half = 0.5 * self.play_rad;
            if half > 0.0 {
                state.lag = (state.lag - turned).clamp(-half, half);
            }
            let in_turn = to - TAU * libm::floor(to / TAU);
            if self.broken || in_turn < self.dead_rad {
                state.lost -= turned;
            }
        }
        (before, self.seen(state, to))
    }
}

/// Speed at which a loose scale slides, m/s (own value).
const SLIDE: f64 = 0.05;
/// Furthest that it can slide, m: the play of its holes.
const SLIDE_MOST: f64 = 2e-3;
/// Share of the acceleration limit from which on it slides, and below which it has settled.
const SLIDES: (f64, f64) = (0.5, 0.25);
/// Share of a step's acceleration that enters the smoothed one: 5 ms.
const SMOOTH: f64 = 0.01;

/// The scale on its machine.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct ScaleSeat {
    /// How far it shifts whenever the table slows down hard, m, 0 when it is fast.
    pub slip: f64,
    /// Acceleration limit of the machine, m/s^2.
    pub acceleration: f64,
    /// Eccentricity of a ring, m, 0..1e-3.
    pub eccentric: f64,
    /// Radius of its lines, m.
    pub radius: f64,
}

/// Where the scale has gone.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct SeatState {
    /// Where it stands, m, against where it was taught.
    pub shift: f64,
    target: f64,
    smoothed: f64,
    moving: bool,
}

impl ScaleSeat {
    /// A scale that sits as it should.
    #[must_use]
    pub fn from_spec(m: &MachineSpec) -> Self {
        Self { slip: 0.0, acceleration: m.limits.acceleration, eccentric: 0.0, radius: m.travel / TAU }
    }

    /// Where the head reads because of the seat, m, against the table's place `x` m.
    #[must_use]
    pub fn shift(&self, state: &SeatState, x: f64) -> f64 {
        if self.eccentric == 0.0 {
            return state.shift;
        }
        state.shift + self.eccentric * math::sincos_turns(x / (TAU * self.radius)).0
    }

    /// The table's speed changed by `dv` m/s in a step. It slides one way only, as a scale does whose end bears.
    pub fn step(&self, state: &mut SeatState, dv: f64) {
        if self.slip == 0.0 {
            return;
        }
        state.smoothed += (dv / STEP - state.smoothed) * SMOOTH;
        let slowing = -state.smoothed / self.acceleration;
        if !state.moving && slowing > SLIDES.0 {
            state.moving = true;
            state.target = (state.target + self.slip).min(SLIDE_MOST);
        } else if slowing < SLIDES.1 {
            state.moving = false;
        }
        state.shift = (state.shift + SLIDE * STEP).min(state.target);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::axis::machine::MachineId;

    // Source: geometry of an eccentric disc, error e/R sin(angle): 10 um at 100 mm are 20.63 arcsec.
    #[test]
    fn axis_v55_eccentric_disc() {
        let mount = EncoderMount { eccentric_rad: 10e-6 / 0.1, ..EncoderMount::default() };
        let state = MountState::default();
        let off = |turns: f64| (mount.seen(&state, TAU * turns) - TAU * turns).to_degrees() * 3600.0;
        assert!((off(0.25) - 20.63).abs() < 0.01 && (off(3.75) + 20.63).abs() < 0.01, "{}", off(0.25));
        assert!(off(0.5).abs() < 1e-6);
        let seat = ScaleSeat { eccentric: 10e-6, radius: 0.1, ..ScaleSeat::from_spec(&MachineId::RotaryTable.spec()) };
        let arc = seat.shift(&SeatState::default(), 0.1 * TAU / 4.0) / 0.1;
        assert!((arc.to_degrees() * 3600.0 - 20.63).abs() < 0.01);
    }

    fn turn(mount: &EncoderMount, state: &mut MountState, from: f64, to: f64) -> f64 {
        let (mut theta, mut seen) = (from, 0.0);
        for i in 1..=1000 {
            let next = from + (to - from) * f64::from(i) / 1000.0;
            let (before, after) = mount.step(state, theta, next);
            seen += after - before;
            theta = next;
        }
        seen
    }

    // Source: by hand. Play is taken out of every reversal, a dead sector out of every turn, a broken coupling all.
    #[test]
    fn what_the_mounting_takes_from_the_angle() {
        let (sound, mut state) = (EncoderMount::default(), MountState::default());
        assert_eq!(turn(&sound, &mut state, 0.0, 10.0), 10.0);
        let loose = EncoderMount { play_rad: 0.02, ..sound };
        assert!((turn(&loose, &mut state, 10.0, 11.0) - 0.99).abs() < 1e-9);
        assert!((turn(&loose, &mut state, 11.0, 10.0) + 0.98).abs() < 1e-9);
        let mut state = MountState::default();
        let dead = EncoderMount { dead_rad: 0.3, ..sound };
        assert!((turn(&dead, &mut state, 0.5, 0.5 + TAU) - (TAU - 0.3)).abs() < 0.01);
        // The way back loses it again.
        assert!((turn(&dead, &mut state, 0.5 + TAU, 0.5) + (TAU - 0.3)).abs() < 0.01);
        assert_eq!(turn(&EncoderMount { broken: true, ..sound }, &mut state, 0.0, 5.0), 0.0);
    }

    // Source: by hand: one step for every hard stop, none for a soft one.
    #[test]
    fn a_loose_scale_goes_a_step_at_every_hard_stop() {
        let seat = ScaleSeat { slip: 50e-6, ..ScaleSeat::from_spec(&MachineId::MillX.spec()) };
        let mut state = SeatState::default();
        let ramp = |state: &mut SeatState, share: f64| {
            for a in [1.0, 0.0, -1.0, 0.0] {
                for _ in 0..2000 {
                    seat.step(state, share * a * seat.acceleration * STEP);
                }
            }
        };
        ramp(&mut state, 0.3);
        assert_eq!(state.shift, 0.0);
        ramp(&mut state, 0.9);
        ramp(&mut state, 0.9);
        assert!((state.shift - 100e-6).abs() < 1e-12, "{}", state.shift);
    }
}
