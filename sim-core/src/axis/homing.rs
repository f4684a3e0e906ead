//! Finding the machine zero.
//!
//! With a home switch: towards it until it is pressed, off it until it is released, on to the first
//! mark after that, take the latched count for zero, go there. The switch only chooses the mark; the
//! mark gives the accuracy. Of many marks alike the switch chooses one by its place alone, so a
//! switch that stands near a mark chooses now this one, now the next (see [`switch`]).
//!
//! With distance-coded marks: along the scale until three neighbouring marks agree on the place,
//! and stay there (see [`coded`]). Pure: inputs in, an order out.

use serde::{Deserialize, Serialize};
use thiserror::Error;

use crate::axis::machine::HomeSpec;
use crate::chain::distance_code::{DistanceState, MarkError};

pub mod coded;
pub mod switch;

pub use coded::CodedMarks;
pub use switch::{HomeSwitch, SwitchParams};

/// Longest time the whole run may take, s.
const TIME_LIMIT: f64 = 120.0;
/// Way off the switch within which it must be released, m.
const RELEASE_WITHIN: f64 = 20e-3;

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
    /// Distance-coded marks that do not fit their plan, again and again.
    #[error(
        "the distances between the reference marks do not fit their plan; check the signal, the marks and the plan"
    )]
    MarksDisagree,
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
    /// Running along distance-coded marks.
    SeekCoded {
        /// Away from the home switch.
        upward: bool,
        /// Feedback at the last mark, or where this search began, m.
        since: f64,
        /// Marks that did not fit so far.
        refused: u32,
    },
    /// The place is proven; stopping.
    LatchCoded {
        /// Count that belongs to the machine zero.
        zero: i64,
    },
    /// Done: readings count from the mark.
    Referenced {
        /// Way from the released switch to the mark, m; a change of it tells of a moved dog. 0 where
        /// no switch was used.
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
    /// Call this count the machine zero and stay.
    ReferHere(i64),
    /// Stop and give up.
    GiveUp(HomingFailure),
}

/// What the run found on its way, for the log and the monitors; told in the step in which it happens.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ZeroNote {
    /// A mark was met; its count.
    Mark {
        /// Latched count.
        count: i64,
        /// Way from the released switch to it, m, where the switch chose it.
        switch_to_mark: Option<f64>,
    },
    /// Two marks tell the place, still to be proven.
    Located {
        /// Distance between them, m, positive upwards.
        distance: f64,
        /// Place of the second, m from machine zero.
        place: f64,
    },
    /// The third mark fits: the place is proven.
    Confirmed {
        /// Its place, m from machine zero.
        place: f64,
    },
    /// A mark does not fit those before it.
    Refused {
        /// How.
        error: MarkError,
    },
    /// No mark came where one must be, within this way, m.
    Missing {
        /// Way that was searched, m.
        within: f64,
    },
    /// Zero was taken.
    Taken {
        /// How far the count of zero is from the one before, counts; `None` where there was none.
        moved: Option<i64>,
    },
}

/// State of the run.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct Homing {
    /// Where it stands.
    pub state: HomingState,
    /// Time since its start, s.
    pub elapsed: f64,
    /// What distance-coded marks have told so far.
    #[serde(default)]
    pub coded: DistanceState,
    /// Zero was known when the run began.
    #[serde(default)]
    pub again: bool,
    /// The search goes round to the one mark of a turn.
    #[serde(default)]
    pub on_turn: bool,
    /// What was found since the last step.
    #[serde(skip)]
    pub note: Option<ZeroNote>,
}

impl Homing {
    /// Begins a run and returns its first order.
    pub fn start(
        &mut self,
        home: &HomeSpec,
        marks: Option<&CodedMarks>,
        switch_pressed: bool,
        x_fb: f64,
    ) -> HomingOrder {
        self.elapsed = 0.0;
        if let Some(marks) = marks {
            self.start_coded(marks, switch_pressed, x_fb)
        } else if switch_pressed {
            self.state = HomingState::BackOff { from: x_fb };
            HomingOrder::Jog(home.back_off_speed)
        } else {
            self.state = HomingState::Approach { from: x_fb };
            HomingOrder::Jog(-home.approach_speed)
        }
    }

    /// Begins the search for the one mark of a turn, upwards at `speed` m/s: without a switch.
    pub fn start_on_turn(&mut self, speed: f64, x_fb: f64) -> HomingOrder {
        (self.elapsed, self.on_turn) = (0.0, true);
        self.state = HomingState::SeekMark { released_at: x_fb };
        HomingOrder::Jog(speed)
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
    pub fn tick(&mut self, home: &HomeSpec, marks: Option<&CodedMarks>, input: &HomingInput) -> Option<HomingOrder> {
        if !self.running() {
            return None;
        }
        self.elapsed += input.dt;
        // Slow feed over a whole turn takes its time.
        if self.elapsed > if self.on_turn { 5.0 * TIME_LIMIT } else { TIME_LIMIT } {
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
                    let switch_to_mark = x - released_at;
                    self.state = HomingState::Latch { count, switch_to_mark };
                    self.note =
                        Some(ZeroNote::Mark { count, switch_to_mark: (!self.on_turn).then_some(switch_to_mark) });
                    return Some(HomingOrder::Stop);
                }
                if input.x_fb - released_at > home.mark_within {
                    self.note = Some(ZeroNote::Missing { within: home.mark_within });
                    return self.fail(HomingFailure::NoMark);
                }
            }
            HomingState::Latch { count, switch_to_mark } if input.motion_done => {
                self.state = HomingState::MoveToZero { switch_to_mark };
                return Some(HomingOrder::ReferTo(count));
            }
            HomingState::SeekCoded { upward, since, refused } => {
                return match marks {
                    Some(marks) => self.seek_coded(marks, input, upward, since, refused),
                    // The marks were changed under a running search.
                    None => self.fail(HomingFailure::NoMark),
                };
            }
            HomingState::LatchCoded { zero } if input.motion_done => {
                self.state = HomingState::MoveToZero { switch_to_mark: 0.0 };
                return Some(HomingOrder::ReferHere(zero));
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
mod tests;
