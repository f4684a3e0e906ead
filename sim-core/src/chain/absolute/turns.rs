//! Turns counter of a multi-turn encoder, kept alive by a battery.
//!
//! The code disc knows the place within a turn only. Whole turns are counted, and without
//! supply the counter lives on a battery: it then looks only now and then, so that a shaft
//! spun fast with the power off loses turns without a word, and with a flat battery it loses
//! them all and says so. Battery levels are common practice for a 3.6 V lithium cell.

use crate::limits::{self, FieldError};
use serde::{Deserialize, Serialize};

/// Largest number of turns kept, 12 bits.
const TURNS_RANGE: i32 = 1 << 12;

/// What the counter lives on.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TurnsParams {
    /// Whether the head has its supply.
    pub supply_on: bool,
    /// Voltage of the buffer battery, V, 0 (taken out) to 5; 3.6 new.
    pub battery_v: f64,
    /// Below this the battery wants changing, V, 2 to 4; nominal 3.1.
    pub battery_low_v: f64,
    /// Below this the counter forgets, V, 1 to 3.5; nominal 2.6.
    pub battery_dead_v: f64,
    /// Time between two looks while on the battery, s, 1e-4 to 1; nominal 10e-3.
    pub look_every_s: f64,
}

impl TurnsParams {
    /// A new battery, supply on.
    pub const HEALTHY: Self =
        Self { supply_on: true, battery_v: 3.6, battery_low_v: 3.1, battery_dead_v: 2.6, look_every_s: 10e-3 };

    /// Refuses what no counter lives on.
    ///
    /// # Errors
    /// The first field that is not finite or outside its range.
    pub fn check(&self) -> Result<(), FieldError> {
        limits::within("battery_v", self.battery_v, 0.0, 5.0)?;
        limits::within("battery_low_v", self.battery_low_v, 2.0, 4.0)?;
        limits::within("battery_dead_v", self.battery_dead_v, 1.0, 3.5_f64.min(self.battery_low_v))?;
        limits::within("look_every_s", self.look_every_s, 1e-4, 1.0)
    }

    /// State of the battery as the head reports it.
    #[must_use]
    pub fn battery(&self) -> BatteryLevel {
        if self.battery_v < self.battery_dead_v {
            BatteryLevel::Dead
        } else if self.battery_v < self.battery_low_v {
            BatteryLevel::Low
        } else {
            BatteryLevel::Good
        }
    }

    /// Fastest shaft that is followed on the battery, turns/s: half a turn between two looks.
    #[must_use]
    pub fn fastest_on_battery_turns_per_s(&self) -> f64 {
        0.5 / self.look_every_s
    }
}

/// State of the buffer battery.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum BatteryLevel {
    /// Above the warning level.
    Good,
    /// Warning: change it with the supply on.
    Low,
    /// The counter does not survive a power-off.
    Dead,
}

/// What the counter carries.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct TurnsState {
    /// Whole turns, 12 bits, wraps.
    turns: i32,
    /// Place within the turn at the last look, turns, 0 to 1; none before the first.
    looked: Option<f64>,
    /// Time since the last look, s.
    since_s: f64,
    /// Turns were forgotten; stays until re-taught.
    lost: bool,
}

impl TurnsState {
    /// A counter set at a shaft angle, turns, as after commissioning.
    #[must_use]
    pub fn taught(shaft_turns: f64) -> Self {
        let whole = shaft_turns.floor();
        Self { turns: wrap(whole), looked: Some(shaft_turns - whole), since_s: 0.0, lost: false }
    }

    /// Follows the shaft, true angle in turns, over a step of `dt_s`. With supply it looks at
    /// every step (half a turn a step at most), on the battery every `look_every_s`, without
    /// either it forgets.
    pub fn step(&mut self, p: &TurnsParams, shaft_turns: f64, dt_s: f64) {
        if !p.supply_on && p.battery() == BatteryLevel::Dead {
            *self = Self { lost: true, ..Self::default() };
            return;
        }
        self.since_s += dt_s;
        if !p.supply_on && self.since_s < p.look_every_s {
            return;
        }
        self.since_s = 0.0;
        let within = shaft_turns - shaft_turns.floor();
        if let Some(before) = self.looked {
            // The short way round.
            let moved = within - before;
            if moved < -0.5 {
                self.turns = (self.turns + 1).rem_euclid(TURNS_RANGE);
            } else if moved > 0.5 {
                self.turns = (self.turns - 1).rem_euclid(TURNS_RANGE);
            }
        }
        self.looked = Some(within);
    }

    /// Turns as reported, 0 to 4095.
    #[must_use]
    pub fn turns(&self) -> u16 {
        self.turns as u16
    }

    /// Whether turns were forgotten: the head sets its error bit until the counter is re-taught.
    #[must_use]
    pub fn is_lost(&self) -> bool {
        self.lost
    }
}

/// Whole turns into the counter's range.
fn wrap(whole: f64) -> i32 {
    (whole as i64).rem_euclid(i64::from(TURNS_RANGE)) as i32
}

#[cfg(test)]
mod tests {
    use super::{BatteryLevel, TurnsParams, TurnsState};
    use proptest::prelude::{prop_assert_eq, proptest};

    const DT_S: f64 = 1e-3;
    const OFF: TurnsParams = TurnsParams { supply_on: false, ..TurnsParams::HEALTHY };

    /// Turns the shaft at a speed, turns/s, over whole milliseconds; returns its angle.
    fn spin(state: &mut TurnsState, p: &TurnsParams, from: f64, speed: f64, ms: u32) -> f64 {
        let mut at = from;
        for i in 1..=ms {
            at = from + speed * DT_S * f64::from(i);
            state.step(p, at, DT_S);
        }
        at
    }

    #[test]
    fn turns_are_followed_on_supply_and_slowly_on_the_battery() {
        let mut s = TurnsState::taught(100.2);
        let at = spin(&mut s, &TurnsParams::HEALTHY, 100.2, 50.0, 1000);
        assert_eq!(s.turns(), 150);
        let at = spin(&mut s, &OFF, at, -20.0, 1000);
        assert_eq!((s.turns(), at.floor()), (130, 130.0));
        assert!(!s.is_lost());
    }

    // Sampling theorem: half a turn between two looks; 60 turns/s need one look in 8.3 ms.
    #[test]
    fn a_shaft_spun_fast_without_supply_loses_turns_silently() {
        let mut s = TurnsState::taught(100.2);
        assert_eq!(OFF.fastest_on_battery_turns_per_s(), 50.0);
        spin(&mut s, &OFF, 100.2, 60.0, 1000);
        assert_ne!(s.turns(), 160);
        assert!(!s.is_lost(), "nothing is said");
    }

    #[test]
    fn a_flat_battery_shows_at_the_next_power_off_only() {
        let flat = TurnsParams { battery_v: 1.0, ..TurnsParams::HEALTHY };
        assert_eq!(flat.battery(), BatteryLevel::Dead);
        let mut s = TurnsState::taught(7.5);
        s.step(&flat, 7.5, DT_S);
        assert!(!s.is_lost() && s.turns() == 7);
        s.step(&TurnsParams { supply_on: false, ..flat }, 7.5, DT_S);
        s.step(&TurnsParams::HEALTHY, 7.5, DT_S);
        assert!(s.is_lost() && s.turns() == 0);
        s = TurnsState::taught(7.5);
        assert!(!s.is_lost());
        let low = TurnsParams { battery_v: 3.0, ..TurnsParams::HEALTHY };
        assert_eq!(low.battery(), BatteryLevel::Low);
    }

    #[test]
    fn wrong_batteries_are_refused_by_name() {
        let p = TurnsParams::HEALTHY;
        p.check().expect("healthy");
        let field = |p: TurnsParams| p.check().unwrap_err().field;
        assert_eq!(field(TurnsParams { battery_v: f64::NAN, ..p }), "battery_v");
        assert_eq!(field(TurnsParams { battery_low_v: 9.0, ..p }), "battery_low_v");
        assert_eq!(field(TurnsParams { battery_dead_v: 3.4, ..p }), "battery_dead_v");
        assert_eq!(field(TurnsParams { look_every_s: 0.0, ..p }), "look_every_s");
    }

    proptest! {
        // Below half a turn a look the counter is exact, and so is the way back.
        #[test]
        fn slow_shafts_are_followed_exactly(
            from in 0.0..4000.0_f64, speeds in proptest::collection::vec(-49.0..49.0_f64, 1..8), supply in proptest::bool::ANY,
        ) {
            let p = TurnsParams { supply_on: supply, ..TurnsParams::HEALTHY };
            let mut s = TurnsState::taught(from);
            let mut at = from;
            for speed in speeds {
                // Whole numbers of looks, so that the last look sees the end.
                at = spin(&mut s, &p, at, speed, 200);
            }
            s.step(&TurnsParams::HEALTHY, at, DT_S);
            prop_assert_eq!(i64::from(s.turns()), (at.floor() as i64).rem_euclid(4096));
            let text = serde_json::to_string(&s).expect("plain numbers");
            prop_assert_eq!(serde_json::from_str::<TurnsState>(&text).expect("reads back"), s);
        }
    }
}
