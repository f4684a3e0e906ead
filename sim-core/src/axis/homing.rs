//! Finding the machine zero: home switch at the negative end, one reference mark.
//!
//! Towards the switch until it is pressed, off it until it is released, on to the first mark after
//! that, take the latched count for zero, go there. The switch only chooses the mark; the mark
//! gives the accuracy. Pure: inputs in, an order out.

use serde::{Deserialize, Serialize};
use thiserror::Error;

use crate::axis::machine::HomeSpec;

/// Longest time the whole run may take, s.
const TIME_LIMIT: f64 = 120.0;
/// Way off the switch within which it must be released, m.
const RELEASE_WITHIN: f64 = 20e-3;

/// The home switch.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct HomeSwitch {
    /// The dog presses it.
    pub pressed: bool,
}

impl HomeSwitch {
    /// Takes the true place of the axis, m: pressed below `switch_at`, released from
    /// `switch_at + switch_hysteresis` on, kept between.
    pub fn step(&mut self, home: &HomeSpec, x: f64) -> bool {
        if x < home.switch_at {
            self.pressed = true;
        } else if x > home.switch_at + home.switch_hysteresis {
            self.pressed = false;
        }
        self.pressed
    }
}

/// Why the run failed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum HomingFailure {
    /// The whole travel and a tenth more went by without the switch.
    #[error("home switch not met within the whole travel; check the switch, its dog and its wire")]
    SwitchNotMet,
    /// The switch still reads pressed 20 mm off its edge.
    #[error("home switch still pressed after 20 mm; check the switch and its wire")]
    SwitchNotReleased,
    /// No mark where one must be.
    #[error("no reference mark after the switch; check the mark, its signal and its wire")]
    NoMark,
    /// Over two minutes.
    #[error("homing took longer than 120 s; check that the axis moves and that the position counts")]
    TooLong,
}

/// Where the run stands.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", tag = "homing")]
pub enum HomingState {
    /// Never begun, or withdrawn.
    #[default]
    Idle,
    /// Running to the negative end until the switch is pressed.
    Approach {
        /// Feedback at the start, m.
        from: f64,
    },
    /// Stopping on the switch.
    Decelerate,
    /// Running up until the switch is released.
    BackOff {
        /// Feedback at the start, m.
        from: f64,
    },
    /// Running up to the first mark.
    SeekMark {
        /// Feedback where the switch was released, m.
        released_at: f64,
    },
    /// Mark met; stopping.
    Latch {
        /// The latched count.
        count: i64,
        /// Way from the released switch to the mark, m.
        switch_to_mark: f64,
    },
    /// Going back to the mark, now zero.
    MoveToZero {
        /// Way from the released switch to the mark, m.
        switch_to_mark: f64,
    },
    /// Done: readings count from the mark.
    Referenced {
        /// Way from the released switch to the mark, m; a change of it tells of a moved dog.
        switch_to_mark: f64,
    },
    /// Given up.
    Failed {
        /// Why.
        why: HomingFailure,
    },
}

/// What the run is told at a position tick.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HomingInput {
    /// The switch reads pressed.
    pub switch_pressed: bool,
    /// Count latched at the mark since the last tick, with the feedback it stands for, m.
    pub latched: Option<(i64, f64)>,
    /// Position feedback, m.
    pub x_fb: f64,
    /// The commanded path has nothing left to do.
    pub motion_done: bool,
    /// Travel of the machine, m.
    pub travel: f64,
    /// Time since the last tick, s.
    pub dt: f64,
}

/// What the run wants done.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum HomingOrder {
    /// Run at a signed speed, m/s.
    Jog(f64),
    /// Ramp to standstill.
    Stop,
    /// Call this latched count the machine zero, then go to it.
    ReferTo(i64),
    /// Stop and give up.
    GiveUp(HomingFailure),
}

/// State of the run.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct Homing {
    /// Where it stands.
    pub state: HomingState,
    /// Time since its start, s.
    pub elapsed: f64,
}

impl Homing {
    /// Begins a run and returns its first order.
    pub fn start(&mut self, home: &HomeSpec, switch_pressed: bool, x_fb: f64) -> HomingOrder {
        self.elapsed = 0.0;
        if switch_pressed {
            self.state = HomingState::BackOff { from: x_fb };
            HomingOrder::Jog(home.back_off_speed)
        } else {
            self.state = HomingState::Approach { from: x_fb };
            HomingOrder::Jog(-home.approach_speed)
        }
    }

    /// Gives the run up (a stop was asked, the drive tripped); a finished reference stays.
    pub fn abandon(&mut self) {
        if self.running() {
            self.state = HomingState::Idle;
        }
    }

    /// Withdraws the reference.
    pub fn withdraw(&mut self) {
        self.state = HomingState::Idle;
    }

    /// True between start and end of a run.
    #[must_use]
    pub fn running(&self) -> bool {
        !matches!(self.state, HomingState::Idle | HomingState::Referenced { .. } | HomingState::Failed { .. })
    }

    /// True when readings count from the mark.
    #[must_use]
    pub fn referenced(&self) -> bool {
        matches!(self.state, HomingState::Referenced { .. })
    }

    /// One position tick.
    pub fn tick(&mut self, home: &HomeSpec, input: &HomingInput) -> Option<HomingOrder> {
        if !self.running() {
            return None;
        }
        self.elapsed += input.dt;
        if self.elapsed > TIME_LIMIT {
            return self.fail(HomingFailure::TooLong);
        }
        match self.state {
            HomingState::Approach { from } => {
                if input.switch_pressed {
                    self.state = HomingState::Decelerate;
                    return Some(HomingOrder::Stop);
                }
                if from - input.x_fb > 1.1 * input.travel {
                    return self.fail(HomingFailure::SwitchNotMet);
                }
            }
            HomingState::Decelerate if input.motion_done => {
                self.state = HomingState::BackOff { from: input.x_fb };
                return Some(HomingOrder::Jog(home.back_off_speed));
            }
            HomingState::BackOff { from } => {
                if !input.switch_pressed {
                    self.state = HomingState::SeekMark { released_at: input.x_fb };
                    return Some(HomingOrder::Jog(home.creep_speed));
                }
                if input.x_fb - from > RELEASE_WITHIN {
                    return self.fail(HomingFailure::SwitchNotReleased);
                }
            }
            HomingState::SeekMark { released_at } => {
                if let Some((count, x)) = input.latched {
                    self.state = HomingState::Latch { count, switch_to_mark: x - released_at };
                    return Some(HomingOrder::Stop);
                }
                if input.x_fb - released_at > home.mark_within {
                    return self.fail(HomingFailure::NoMark);
                }
            }
            HomingState::Latch { count, switch_to_mark } if input.motion_done => {
                self.state = HomingState::MoveToZero { switch_to_mark };
                return Some(HomingOrder::ReferTo(count));
            }
            HomingState::MoveToZero { switch_to_mark } if input.motion_done => {
                self.state = HomingState::Referenced { switch_to_mark };
            }
            _ => {}
        }
        None
    }

    fn fail(&mut self, why: HomingFailure) -> Option<HomingOrder> {
        self.state = HomingState::Failed { why };
        Some(HomingOrder::GiveUp(why))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::axis::machine::MachineId;

    fn home() -> HomeSpec {
        MachineId::MillX.spec().home
    }

    fn input(switch_pressed: bool, x_fb: f64) -> HomingInput {
        HomingInput { switch_pressed, latched: None, x_fb, motion_done: false, travel: 0.5, dt: 0.5e-3 }
    }

    #[test]
    fn the_whole_run() {
        let home = home();
        let mut h = Homing::default();
        assert_eq!(h.start(&home, false, 0.2), HomingOrder::Jog(-0.04));
        assert_eq!(h.tick(&home, &input(false, 0.1)), None);
        assert_eq!(h.tick(&home, &input(true, -0.01)), Some(HomingOrder::Stop));
        assert_eq!(h.tick(&home, &input(true, -0.011)), None);
        let stopped = HomingInput { motion_done: true, ..input(true, -0.011) };
        assert_eq!(h.tick(&home, &stopped), Some(HomingOrder::Jog(0.01)));
        assert_eq!(h.tick(&home, &input(false, -0.009)), Some(HomingOrder::Jog(0.002)));
        let mark = HomingInput { latched: Some((77, 0.0)), ..input(false, 0.0001) };
        assert_eq!(h.tick(&home, &mark), Some(HomingOrder::Stop));
        let done = HomingInput { motion_done: true, ..input(false, 0.0002) };
        assert_eq!(h.tick(&home, &done), Some(HomingOrder::ReferTo(77)));
        assert!(!h.referenced());
        assert_eq!(h.tick(&home, &done), None);
        assert_eq!(h.state, HomingState::Referenced { switch_to_mark: 0.009 });
    }

    #[test]
    fn begins_by_backing_off_when_it_stands_on_the_switch() {
        assert_eq!(Homing::default().start(&home(), true, -0.02), HomingOrder::Jog(0.01));
    }

    #[test]
    fn a_mark_before_the_switch_is_released_is_not_taken() {
        let home = home();
        let mut h = Homing::default();
        h.start(&home, true, -0.02);
        let early = HomingInput { latched: Some((5, -0.015)), ..input(true, -0.015) };
        assert_eq!(h.tick(&home, &early), None);
        assert!(matches!(h.state, HomingState::BackOff { .. }));
    }

    #[test]
    fn failures_say_what_to_check() {
        let home = home();
        let mut h = Homing::default();
        h.start(&home, false, 0.2);
        assert_eq!(h.tick(&home, &input(false, -0.36)), Some(HomingOrder::GiveUp(HomingFailure::SwitchNotMet)));
        h.start(&home, true, -0.02);
        assert_eq!(h.tick(&home, &input(true, 0.001)), Some(HomingOrder::GiveUp(HomingFailure::SwitchNotReleased)));
        h.start(&home, true, -0.02);
        h.tick(&home, &input(false, -0.009));
        assert_eq!(h.tick(&home, &input(false, 0.016)), Some(HomingOrder::GiveUp(HomingFailure::NoMark)));
        h.start(&home, false, 0.2);
        let frozen = HomingInput { dt: 121.0, ..input(false, 0.2) };
        assert_eq!(h.tick(&home, &frozen), Some(HomingOrder::GiveUp(HomingFailure::TooLong)));
        assert!(HomingFailure::NoMark.to_string().contains("check the mark"));
        assert!(!h.running() && h.tick(&home, &frozen).is_none());
    }

    #[test]
    fn switch_has_a_pressed_and_a_released_edge() {
        let home = home();
        let mut s = HomeSwitch::default();
        let seen: Vec<bool> = [0.0, -0.0095, -0.0101, -0.0095, -0.0091].iter().map(|&x| s.step(&home, x)).collect();
        assert_eq!(seen, [false, false, true, true, false]);
    }
}
