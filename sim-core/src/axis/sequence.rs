//! Switching a hanging axis on and off: torque before the brake opens, brake before the torque goes.
//!
//! On: current on with the stored holding torque in the integral, brake released, its opening delay waited for, then the
//! commanded place is set to where the axis stands and the loops are closed. Off: brake ordered closed, torque held for
//! its delay and 50 ms more, current off. Without the stored torque the axis sags at every start; without the wait it drops
//! at every stop. An axis without a brake takes the same way with no delays.

use serde::{Deserialize, Serialize};

use crate::axis::machine::BrakeSpec;

/// Times of the sequence.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct SequenceParams {
    /// From current on until the brake is released, s: the current builds up.
    pub build_up: f64,
    /// Wait after releasing the brake, s.
    pub opening: f64,
    /// Torque held after ordering the brake closed, s.
    pub closing: f64,
}

/// How much longer than its closing delay the torque is held, s (common practice).
const CLOSING_MARGIN: f64 = 0.05;
/// Time for the current to build up, s; forty lags of the current loop.
const BUILD_UP: f64 = 0.02;

impl SequenceParams {
    /// As commissioned for a brake; no waiting without one.
    #[must_use]
    pub fn from_spec(brake: Option<&BrakeSpec>) -> Self {
        brake.map_or_else(Self::default, |b| Self {
            build_up: BUILD_UP,
            opening: b.open_delay,
            closing: b.close_delay + CLOSING_MARGIN,
        })
    }
}

/// What is wanted of the axis.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum PowerWish {
    /// Loops closed.
    On,
    /// Off in good order: brake first. For an axis at standstill.
    Off,
    /// Torque off now (stop category 0).
    TorqueOff,
}

/// Where the sequence stands.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", tag = "phase")]
pub enum PowerPhase {
    /// No torque, brake closed.
    #[default]
    Off,
    /// Torque on with the stored holding torque, speed loop holding zero, brake closed.
    BuildUp {
        /// Time left, s.
        left: f64,
    },
    /// As before, brake ordered open.
    Opening {
        /// Time left, s.
        left: f64,
    },
    /// Loops closed.
    On,
    /// Loops closed, brake ordered closed.
    Closing {
        /// Time left, s.
        left: f64,
    },
}

/// What the sequence wants done at a tick.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PowerOrder {
    /// The drive is to have current.
    pub torque: bool,
    /// The brake is to be closed.
    pub brake_closed: bool,
    /// At this tick: put the stored holding torque into the integral.
    pub preload: bool,
    /// At this tick: take the place where it stands for the command, close the position loop.
    pub close_loop: bool,
    /// The position loop is closed; with torque but without it the speed loop holds zero.
    pub loop_closed: bool,
}

impl PowerPhase {
    /// One tick of `dt` s.
    pub fn tick(&mut self, p: &SequenceParams, wish: PowerWish, dt: f64) -> PowerOrder {
        let before = *self;
        *self = match (before, wish) {
            (_, PowerWish::TorqueOff) | (Self::BuildUp { .. }, PowerWish::Off) => Self::Off,
            (Self::Off, PowerWish::On) => Self::BuildUp { left: p.build_up },
            (Self::BuildUp { left }, PowerWish::On) if over(left, dt) => Self::Opening { left: p.opening },
            (Self::BuildUp { left }, PowerWish::On) => Self::BuildUp { left: left - dt },
            (Self::Opening { left }, PowerWish::On) if over(left, dt) => Self::On,
            (Self::Opening { left }, PowerWish::On) => Self::Opening { left: left - dt },
            // A closing brake may already hold: it opens again in good order.
            (Self::Closing { .. }, PowerWish::On) => Self::Opening { left: p.opening },
            (Self::Opening { .. } | Self::On, PowerWish::Off) => Self::Closing { left: p.closing },
            (Self::Closing { left }, PowerWish::Off) if over(left, dt) => Self::Off,
            (Self::Closing { left }, PowerWish::Off) => Self::Closing { left: left - dt },
            (phase, _) => phase,
        };
        PowerOrder {
            torque: *self != Self::Off,
            brake_closed: matches!(self, Self::Off | Self::BuildUp { .. } | Self::Closing { .. }),
            preload: before == Self::Off && matches!(self, Self::BuildUp { .. }),
            close_loop: before != Self::On && *self == Self::On,
            loop_closed: *self == Self::On || matches!((self, before), (Self::Closing { .. }, Self::On)),
        }
    }
}

/// Whether waiting is over at the end of this tick, with half a tick of slack for adding up.
fn over(left: f64, dt: f64) -> bool {
    left <= 1.5 * dt
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::axis::machine::MachineId;

    const DT: f64 = 1e-3;

    fn run(phase: &mut PowerPhase, p: &SequenceParams, wish: PowerWish, ticks: u32) -> Vec<PowerOrder> {
        (0..ticks).map(|_| phase.tick(p, wish, DT)).collect()
    }

    // Source: common practice for hanging axes, by hand for the mill's head.
    #[test]
    fn torque_comes_before_the_brake_opens_and_goes_after_it_holds() {
        let p = SequenceParams::from_spec(MachineId::MillZ.spec().brake.as_ref());
        let mut phase = PowerPhase::Off;
        let on = run(&mut phase, &p, PowerWish::On, 200);
        assert!(on[0].preload && on[0].torque && on[0].brake_closed);
        assert_eq!(on.iter().filter(|o| o.preload).count(), 1);
        let opened = on.iter().position(|o| !o.brake_closed).unwrap();
        let closed_loop = on.iter().position(|o| o.close_loop).unwrap();
        assert_eq!((opened, closed_loop), (20, 100));
        assert!(on[closed_loop..].iter().all(|o| o.torque && o.loop_closed && !o.brake_closed));
        assert_eq!(on.iter().filter(|o| o.close_loop).count(), 1);

        let off = run(&mut phase, &p, PowerWish::Off, 200);
        assert!(off[0].brake_closed && off[0].torque);
        let dead = off.iter().position(|o| !o.torque).unwrap();
        assert_eq!(dead, 110);
        assert_eq!(phase, PowerPhase::Off);
    }

    #[test]
    fn torque_off_is_at_once_from_everywhere_and_no_brake_means_no_waiting() {
        let p = SequenceParams::from_spec(MachineId::MillZ.spec().brake.as_ref());
        for ticks in [1, 30, 150] {
            let mut phase = PowerPhase::Off;
            run(&mut phase, &p, PowerWish::On, ticks);
            let order = phase.tick(&p, PowerWish::TorqueOff, DT);
            assert!(!order.torque && order.brake_closed && !order.loop_closed);
        }
        let none = SequenceParams::from_spec(None);
        let mut phase = PowerPhase::Off;
        assert!(run(&mut phase, &none, PowerWish::On, 4)[2].loop_closed);
    }

    #[test]
    fn wanted_on_again_while_closing_it_waits_for_the_brake_to_open() {
        let p = SequenceParams::from_spec(MachineId::MillZ.spec().brake.as_ref());
        let mut phase = PowerPhase::On;
        run(&mut phase, &p, PowerWish::Off, 80);
        let again = run(&mut phase, &p, PowerWish::On, 100);
        assert!(!again[0].brake_closed && again[0].torque && !again[0].loop_closed);
        assert_eq!(again.iter().position(|o| o.close_loop), Some(80));
    }
}
