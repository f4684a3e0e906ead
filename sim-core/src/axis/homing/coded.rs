//! The search along distance-coded marks: two neighbours tell the place, a third proves it.
//!
//! It runs towards the home switch, so that it turns round in time wherever it begins, and starts
//! afresh there. A mark that does not fit its plan begins a new try with itself as the first mark.

use super::{Homing, HomingFailure, HomingInput, HomingOrder, HomingState, ZeroNote};
use crate::chain::distance_code::{DistancePlan, DistanceState, Sighting};
use serde::{Deserialize, Serialize};

/// Marks that may fail to fit before the run is given up.
const REFUSALS: u32 = 3;
/// Share of the largest distance of two marks after which one is missed (axis model, monitors).
const MISSING: f64 = 1.2;

/// Distance-coded marks as the control knows them.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct CodedMarks {
    /// The plan.
    pub plan: DistancePlan,
    /// Signal period, m.
    pub period: f64,
    /// Machine place of the plan's zero, m.
    pub zero_at: f64,
    /// Length of a count, m, signed as the control takes it.
    pub count: f64,
    /// Speed of the search, m/s.
    pub speed: f64,
}

impl CodedMarks {
    /// Largest distance of two neighbouring marks, m: `G/2 + J D`.
    #[must_use]
    pub fn widest(&self) -> f64 {
        let steps = f64::from(self.plan.coded_marks) * f64::from(self.plan.step_periods);
        (0.5 * f64::from(self.plan.basic_periods) + steps) * self.period
    }

    /// Machine place of a place of the plan in periods, m.
    fn place(&self, periods: i64) -> f64 {
        self.zero_at + periods as f64 * self.period
    }
}

impl Homing {
    /// Begins the search: away from the switch when it is pressed, else towards it.
    pub(super) fn start_coded(&mut self, marks: &CodedMarks, switch_pressed: bool, x_fb: f64) -> HomingOrder {
        self.coded = DistanceState::default();
        self.state = HomingState::SeekCoded { upward: switch_pressed, since: x_fb, refused: 0 };
        HomingOrder::Jog(if switch_pressed { marks.speed } else { -marks.speed })
    }

    /// One position tick of the search.
    pub(super) fn seek_coded(
        &mut self,
        marks: &CodedMarks,
        input: &HomingInput,
        upward: bool,
        since: f64,
        refused: u32,
    ) -> Option<HomingOrder> {
        if !upward && input.switch_pressed {
            return Some(self.start_coded(marks, true, input.x_fb));
        }
        let Some((count, _)) = input.latched else {
            if (input.x_fb - since).abs() > MISSING * marks.widest() {
                self.note = Some(ZeroNote::Missing { within: MISSING * marks.widest() });
                return self.fail(HomingFailure::NoMark);
            }
            return None;
        };
        self.state = HomingState::SeekCoded { upward, since: input.x_fb, refused };
        // In the direction of the axis: a scale that counts backwards is told by the sign of its count.
        let periods = count as f64 * marks.count / marks.period;
        match self.coded.sight(&marks.plan, periods) {
            Sighting::First => self.note = Some(ZeroNote::Mark { count, switch_to_mark: None }),
            Sighting::SameAgain => {}
            Sighting::Located(pair) => {
                let distance = (pair.second_periods - pair.first_periods) as f64 * marks.period;
                self.note = Some(ZeroNote::Located { distance, place: marks.place(pair.second_periods) });
            }
            Sighting::Confirmed(pair) => {
                let place = marks.place(pair.second_periods);
                self.note = Some(ZeroNote::Confirmed { place });
                self.state = HomingState::LatchCoded { zero: count - libm::round(place / marks.count) as i64 };
                return Some(HomingOrder::Stop);
            }
            Sighting::Refused(error) => {
                self.note = Some(ZeroNote::Refused { error });
                if refused + 1 >= REFUSALS {
                    return self.fail(HomingFailure::MarksDisagree);
                }
                self.state = HomingState::SeekCoded { upward, since: input.x_fb, refused: refused + 1 };
            }
        }
        None
    }
}
