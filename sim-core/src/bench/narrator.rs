//! The narrator: notices what only the model can know (dirt under the head, a count that stands while the table moves)
//! and tells it once. It watches and never acts.

use super::compiled::Swing;
use crate::axis::DriveMode;
use crate::axis::homing::HomingState;
use crate::axis::machine::MachineSpec;
use crate::event::What;
use crate::params::Params;
use serde::{Deserialize, Serialize};

/// Contrast below which dirt is told, and above which it is over.
const DIRTY: (f64, f64) = (0.6, 0.9);

/// Way over which counting must be sound again before it is told, m: a signal that hovers at its limit is one story.
const RESUMED_M: f64 = 0.5e-3;

/// Where counting stands.
#[derive(Clone, Copy, Debug, PartialEq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum Counting {
    /// Keeps pace with the table.
    #[default]
    Sound,
    /// Stands while the table moves; what was missing before.
    Blind { missing: i64 },
    /// Keeps pace again since this place; told when it lasts.
    Resuming { missing: i64, from_m: f64 },
}

/// What the log has already told.
#[derive(Clone, Copy, Debug, PartialEq, Default, Serialize, Deserialize)]
pub struct Narrator {
    dirty: bool,
    counting: Counting,
    /// Place and count from which the present stretch is judged.
    anchor_m: f64,
    anchor_count: i64,
    anchor_missing: i64,
    /// What was missing from the readout where counting last kept pace to the count.
    sound_missing: i64,
    illegal: u64,
    end_stop: bool,
    tripped: bool,
    homing: bool,
    zero_from_m: f64,
    corrected_m: Option<f64>,
}

/// What the narrator looks at.
pub struct Sight<'a> {
    /// Parameters in force.
    pub params: &'a Params,
    /// Light and need at the place.
    pub swing: &'a Swing,
    /// Where the table is, m.
    pub table_m: f64,
    /// What the readout says, m.
    pub counted_m: f64,
    /// Count.
    pub count: i64,
    /// Illegal transitions so far.
    pub illegal: u64,
    /// Drive.
    pub mode: DriveMode,
    /// Homing.
    pub homing: &'a HomingState,
    /// Speed of the table, m/s.
    pub speed_mps: f64,
}

/// Slower than this the table stands, m/s: as the drive judges it before it takes the torque off.
const STANDS_MPS: f64 = 1e-3;

impl Narrator {
    /// Starts to watch at a place, with the readout that belongs to the count and the length of a count `q`, m.
    pub fn begin(&mut self, table_m: f64, counted_m: f64, count: i64, q: f64) {
        self.anchor_m = table_m;
        self.anchor_count = count;
        self.anchor_missing = missing_counts(table_m, counted_m, q);
        self.sound_missing = self.anchor_missing;
        self.counting = Counting::Sound;
    }

    /// As before, with every count so much higher.
    #[must_use]
    pub fn renumbered(self, counts: i64) -> Self {
        Self { anchor_count: self.anchor_count + counts, ..self }
    }

    /// Whether the count stands while the table moves.
    pub fn blind(&self) -> bool {
        matches!(self.counting, Counting::Blind { .. })
    }

    /// Looks at the end of a step and tells what is new.
    pub fn look(&mut self, sight: &Sight<'_>, mut tell: impl FnMut(What)) {
        self.look_at_dirt(sight, &mut tell);
        self.look_at_counting(sight, &mut tell);
        self.look_at_axis(sight, &mut tell);
    }

    fn look_at_dirt(&mut self, sight: &Sight<'_>, tell: &mut impl FnMut(What)) {
        let contrast = sight.swing.contrast;
        if !self.dirty && contrast < DIRTY.0 {
            self.dirty = true;
            tell(What::DirtUnderHead { contrast });
        } else if self.dirty && contrast > DIRTY.1 {
            self.dirty = false;
            tell(What::DirtPassed);
        }
    }

    fn look_at_counting(&mut self, sight: &Sight<'_>, tell: &mut impl FnMut(What)) {
        let q = sight.params.metres_per_count();
        if sight.illegal > self.illegal {
            if self.illegal == 0 || sight.illegal >= 2 * self.illegal {
                self.illegal = sight.illegal;
                tell(What::IllegalTransition { total: sight.illegal });
            }
        } else if sight.illegal < self.illegal {
            self.illegal = sight.illegal;
        }
        let way = sight.table_m - self.anchor_m;
        let stretch = sight.params.scale.period_m + q;
        if way.abs() < stretch {
            return;
        }
        // A count that goes the wrong way does not stand: that is another fault.
        let counted = q * (sight.count - self.anchor_count) as f64;
        let sound = counted.abs() > 0.5 * way.abs();
        let missing = missing_counts(sight.table_m, sight.counted_m, q);
        let in_step = (missing - self.anchor_missing).abs() <= 1;
        self.anchor_m = sight.table_m;
        self.anchor_count = sight.count;
        self.anchor_missing = missing;
        match self.counting {
            Counting::Sound if !sound => {
                // The loss may have begun within the stretch before.
                self.counting = Counting::Blind { missing: self.sound_missing };
                tell(What::CountStands { amplitude_v: sight.swing.amplitude_v[0], needed_v: sight.swing.needed_v });
            }
            Counting::Blind { missing } if sound => {
                self.counting = Counting::Resuming { missing, from_m: sight.table_m };
            }
            Counting::Resuming { missing, .. } if !sound => self.counting = Counting::Blind { missing },
            Counting::Resuming { missing: before, from_m }
                if (sight.table_m - from_m).abs() > RESUMED_M.max(2.0 * stretch) =>
            {
                self.counting = Counting::Sound;
                self.sound_missing = missing;
                let period = libm::round(sight.params.scale.period_m / q) as i64;
                let lost_counts = whole_periods(missing - before, period);
                let off_m = q * whole_periods(missing, period) as f64;
                let lost_m = without_turns(&sight.params.machine, off_m);
                tell(What::CountResumes { lost_counts, lost_m });
            }
            Counting::Sound if in_step => self.sound_missing = missing,
            _ => {}
        }
    }

    fn look_at_axis(&mut self, sight: &Sight<'_>, tell: &mut impl FnMut(What)) {
        let q = sight.params.metres_per_count();
        let mechanics = &sight.params.machine.mechanics;
        let (low, high) = (sight.table_m < mechanics.stop_low, sight.table_m > mechanics.stop_high);
        if (low || high) && !self.end_stop {
            tell(What::EndStop { positive: high });
        }
        self.end_stop = low || high;
        // Without torque the table may still run on.
        let tripped = sight.mode == DriveMode::Tripped && (self.tripped || sight.speed_mps.abs() < STANDS_MPS);
        if tripped && !self.tripped {
            tell(What::Stopped);
        }
        self.tripped = tripped;
        match sight.homing {
            HomingState::MoveToZero { .. } if self.corrected_m.is_none() => {
                let off_m = sight.counted_m - self.zero_from_m;
                self.corrected_m = Some(without_turns(&sight.params.machine, off_m));
                self.begin(sight.table_m, sight.counted_m, sight.count, q);
            }
            HomingState::Referenced { .. } if self.homing => {
                tell(What::Homed { corrected_m: self.corrected_m.unwrap_or(0.0) });
                self.begin(sight.table_m, sight.counted_m, sight.count, q);
            }
            HomingState::Failed { why } if self.homing => tell(What::HomingFailed { why: why.to_string() }),
            _ => {}
        }
        self.homing =
            !matches!(sight.homing, HomingState::Idle | HomingState::Referenced { .. } | HomingState::Failed { .. });
        if !matches!(sight.homing, HomingState::MoveToZero { .. }) {
            self.corrected_m = None;
        }
        self.zero_from_m = sight.counted_m;
    }
}

/// A difference of places without whole turns, where the table turns for ever: a turn more is the same place.
fn without_turns(machine: &MachineSpec, off_m: f64) -> f64 {
    if machine.endless { off_m - machine.travel * libm::round(off_m / machine.travel) } else { off_m }
}

/// A weak signal comes back in the phase that the light has there, so what was lost are whole signal periods of so many
/// counts. In motion the counting lags by a count or so, which is taken off here; what is clearly no whole period (an
/// illegal transition) stays as it is.
fn whole_periods(counts: i64, period: i64) -> i64 {
    let whole = libm::round(counts as f64 / period as f64) as i64 * period;
    if 4 * (counts - whole).abs() <= period { whole } else { counts }
}

/// Counts that are missing from the readout: positive when it says less than the table's place.
fn missing_counts(table_m: f64, counted_m: f64, q: f64) -> i64 {
    // The readout names the start of a count's stretch, so half a count belongs to it.
    libm::round((table_m - counted_m) / q - 0.5) as i64
}

#[cfg(test)]
mod tests {
    use super::whole_periods;

    #[test]
    fn the_lag_of_counting_is_no_loss_but_an_illegal_transition_is() {
        let whole = |counts| whole_periods(counts, 20);
        assert_eq!([whole(499), whole(-481), whole(1), whole(510)], [500, -480, 0, 510]);
        assert_eq!([whole_periods(41, 4), whole_periods(-2, 4), whole_periods(3, 1)], [40, -2, 3]);
    }
}
