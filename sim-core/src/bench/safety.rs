//! Making safe: which acts stand, what the DC link still holds, and whether hands may go in.

use super::command::SafetyAct;
use crate::axis::STEP;
use serde::{Deserialize, Serialize};

/// A second of the bench stands for a minute in the shop while the machine is isolated (own scale): nobody waits five
/// minutes in front of a screen.
pub const SHOP_S_PER_BENCH_S: f64 = 60.0;
/// What the label of the drive says, s of the bench: five minutes of the shop (common practice; the label decides).
pub const LABEL_WAIT_S: f64 = 5.0;
/// Time constant of the bleeder on the DC link, s of the bench: 1.6 minutes of the shop (own value, so that 650 V are
/// below the limit within the time of the label).
const BLEED_S: f64 = 1.6;
/// A DC link below this is taken for discharged, V (IEC 61800-5-1, from memory).
pub const SAFE_LINK_V: f64 = 60.0;
/// Acts that are kept.
const KEPT: usize = 100;

/// An act that was done.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ActDone {
    /// Which.
    pub act: SafetyAct,
    /// After which step of the model.
    pub step: u64,
    /// Whether it came to something: a start that was answered, or a tester that found voltage, did not.
    pub stood: bool,
}

/// State of the making safe. An untouched machine has power, no lock and no prop.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Safety {
    /// Acts that stand now, in the order in which they were done.
    standing: Vec<SafetyAct>,
    /// The step after which the disconnector was opened, while it is open.
    isolated_at: Option<u64>,
    /// Whether the prop is in.
    propped: bool,
    /// All that was done, in its order; the last hundred.
    done: Vec<ActDone>,
}

impl Safety {
    /// Whether nothing was ever done: such a bench is kept without this block.
    #[must_use]
    pub fn is_untouched(&self) -> bool {
        *self == Self::default()
    }

    /// Whether the disconnector is open.
    #[must_use]
    pub fn isolated(&self) -> bool {
        self.isolated_at.is_some()
    }

    /// Whether the prop is in.
    #[must_use]
    pub fn propped(&self) -> bool {
        self.propped
    }

    /// Whether an act stands.
    #[must_use]
    pub fn stands(&self, act: SafetyAct) -> bool {
        self.standing.contains(&act)
    }

    /// All that was done, in its order; the last hundred.
    #[must_use]
    pub fn done(&self) -> &[ActDone] {
        &self.done
    }

    /// Whether all five acts stand and were done in their order; a table that hangs must be propped besides.
    #[must_use]
    pub fn locked_out(&self, hangs: bool) -> bool {
        self.standing == SafetyAct::IN_ORDER && (self.propped || !hangs)
    }

    /// Voltage of the DC link, V, at a step; `full_v` with the mains on.
    #[must_use]
    pub fn link_v(&self, full_v: f64, step: u64) -> f64 {
        let since = |at: u64| step.saturating_sub(at) as f64 * STEP;
        self.isolated_at.map_or(full_v, |at| full_v * crate::num::math::exp(-since(at) / BLEED_S))
    }

    /// How long the disconnector has been open at a step, s of the bench.
    #[must_use]
    pub fn open_s(&self, step: u64) -> f64 {
        self.isolated_at.map_or(0.0, |at| step.saturating_sub(at) as f64 * STEP)
    }

    /// Notes an act. One that stands and is done again counts from now on.
    pub(super) fn note(&mut self, act: SafetyAct, step: u64, stood: bool) {
        if self.done.len() == KEPT {
            self.done.remove(0);
        }
        self.done.push(ActDone { act, step, stood });
        self.standing.retain(|other| *other != act);
        match act {
            _ if !stood => {}
            SafetyAct::Isolate => {
                self.isolated_at = Some(step);
                self.standing.push(act);
            }
            SafetyAct::SwitchOff | SafetyAct::Lock | SafetyAct::TryStart | SafetyAct::VerifyDead => {
                self.standing.push(act);
            }
            SafetyAct::Prop => self.propped = true,
            SafetyAct::PropOut => self.propped = false,
            // Without the lock anybody may have closed it: what was tried and measured says nothing any more.
            SafetyAct::Unlock => self.standing.retain(|a| matches!(a, SafetyAct::SwitchOff | SafetyAct::Isolate)),
            SafetyAct::SwitchOn => {
                self.standing.clear();
                self.isolated_at = None;
            }
        }
    }

    /// The drive was switched on.
    pub(super) fn drive_on(&mut self) {
        self.standing.retain(|act| *act != SafetyAct::SwitchOff);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn after(acts: &[SafetyAct]) -> Safety {
        let mut safety = Safety::default();
        for (i, act) in acts.iter().enumerate() {
            safety.note(*act, i as u64, true);
        }
        safety
    }

    #[test]
    fn the_acts_stand_in_their_order_or_not_at_all() {
        use SafetyAct::{Isolate, Lock, Prop, SwitchOff, SwitchOn, TryStart, Unlock, VerifyDead};
        let whole = after(&SafetyAct::IN_ORDER);
        assert!(whole.locked_out(false) && !whole.locked_out(true));
        assert!(after(&[SwitchOff, Prop, Isolate, Lock, TryStart, VerifyDead]).locked_out(true));
        let mixed = after(&[SwitchOff, Isolate, Lock, VerifyDead, TryStart]);
        assert!(!mixed.locked_out(false) && mixed.stands(VerifyDead));
        let mut again = mixed;
        again.note(VerifyDead, 9, true);
        assert!(again.locked_out(false), "measured once more at the end");
        again.note(Unlock, 10, true);
        assert!(again.isolated() && !again.stands(VerifyDead) && !again.locked_out(false));
        again.note(SwitchOn, 11, true);
        assert!(!again.isolated() && again.done().len() == 8 && !again.is_untouched());
    }

    #[test]
    fn what_was_done_does_not_grow_without_end() {
        let safety = after(&[SafetyAct::SwitchOff; 250]);
        assert_eq!((safety.done().len(), safety.done()[0].step), (KEPT, 150));
    }

    // Source: discharge of a capacitor over a resistor, V exp(-t/RC); 650 V and 325 V are the links of this program.
    #[test]
    fn the_link_is_discharged_within_the_time_of_the_label_and_not_long_before() {
        let safety = after(&[SafetyAct::Isolate]);
        let at = |s: f64| safety.link_v(650.0, (s / STEP) as u64);
        assert_eq!(at(0.0), 650.0);
        assert!((at(BLEED_S) - 650.0 / std::f64::consts::E).abs() < 0.05);
        assert!(at(2.0) > SAFE_LINK_V && at(LABEL_WAIT_S) < SAFE_LINK_V);
        assert_eq!(Safety::default().link_v(650.0, 1_000_000), 650.0);
    }
}
