//! What people have made of a bench: its settings, faults, dirt and upkeep, apart from where everything stands. Undoing a
//! change, sharing a bench and opening it as it was found all move this one value.

use super::sim::Sim;
use crate::axis::DriveMode;
use crate::fault::Active;
use crate::names::check_all;
use crate::numbers::check;
use crate::params::params_after;
use crate::setup::Setup;
use crate::surface::SurfaceMap;
use crate::upkeep::Upkeep;
use serde::{Deserialize, Serialize};

/// What people have made of a bench.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Arrangement {
    /// What can be chosen or turned.
    pub setup: Setup,
    /// Faults that are in.
    pub faults: Vec<Active>,
    /// Dirt and damage on the scale.
    pub dirt: SurfaceMap,
    /// What time and cleaning have left.
    pub upkeep: Upkeep,
}

impl Arrangement {
    /// Whether it makes a bench.
    ///
    /// # Errors
    /// What cannot be, in words.
    pub fn check(&self) -> Result<(), String> {
        check_all(&self.setup).map_err(|e| e.to_string())?;
        for fault in &self.faults {
            let name = fault.id.row().title;
            check(fault.severity, 0.0, 1.0).map_err(|e| format!("severity of the fault \"{name}\": {e}"))?;
            check(fault.at_m, -1.0, 10.0).map_err(|e| format!("place of the fault \"{name}\": {e}"))?;
        }
        self.upkeep.check().map_err(|(what, e)| format!("{what}: {e}"))?;
        params_after(&self.setup, &self.faults, &self.dirt, &self.upkeep).check().map_err(|e| e.to_string())
    }
}

impl Sim {
    /// What people have made of the bench.
    pub fn arrangement(&self) -> Arrangement {
        let bench = &self.bench;
        Arrangement {
            setup: bench.setup.clone(),
            faults: bench.faults.clone(),
            dirt: bench.state.dirt.clone(),
            upkeep: bench.state.upkeep.clone(),
        }
    }

    /// Makes the bench what it was, or is to be, while everything on it stands and moves as it does. The run that follows
    /// depends on the bench and on this value alone.
    ///
    /// # Errors
    /// Why it was refused, in words; the bench is then as before.
    pub fn arrange(&mut self, to: &Arrangement) -> Result<(), String> {
        to.check()?;
        let now = &self.bench.setup;
        if to.setup.bench != now.bench {
            return Err("this belongs to another bench".to_owned());
        }
        let moving = matches!(self.bench.state.axis.mode, DriveMode::Moving | DriveMode::Homing | DriveMode::Stopping);
        let (scale, motor) = (to.setup.scale != now.scale, to.setup.motor != now.motor);
        if moving && (scale || motor || to.setup.servo.feedback != now.servo.feedback) {
            return Err("stop the axis before its encoders are exchanged".to_owned());
        }
        self.bench.setup = to.setup.clone();
        self.bench.faults = to.faults.clone();
        self.bench.faults.sort_by_key(|f| f.id);
        self.bench.state.dirt = to.dirt.clone();
        self.bench.state.upkeep = to.upkeep.clone();
        self.rebuild();
        if motor {
            self.teach_turns();
        }
        self.refresh_record();
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::command::{Break, Command, Percent, PlaceMm, SettingList, Smear};
    use crate::fault::FaultId;
    use crate::names::{Setting, Value};
    use crate::setup::BenchId;

    fn sim() -> Sim {
        Sim::start(Setup::healthy(BenchId::TeachingRail), 3, 0.2)
    }

    #[test]
    fn going_back_undoes_settings_faults_and_dirt_and_leaves_the_axis_where_it_is() {
        let mut sim = sim();
        let before = sim.arrangement();
        let place_m = sim.record().table_m;
        let gap = Command::Set(SettingList(vec![(Setting::HeadGap, Value::Number(900.0))]));
        let fault = Break { fault: FaultId::ChannelOffset, severity_percent: Percent::nearest(50.0), at_mm: None };
        let smear = Smear::blocking(PlaceMm::nearest(190.0), PlaceMm::nearest(210.0), Percent::nearest(80.0));
        for command in [gap, Command::Break(fault), Command::Smear(smear)] {
            sim.command(&command).unwrap();
        }
        let after = sim.arrangement();
        let weak_v = sim.record().amplitude_a_v;
        sim.arrange(&before).unwrap();
        assert_eq!(sim.arrangement(), before);
        assert!(sim.record().amplitude_a_v > 2.0 * weak_v);
        assert_eq!(sim.record().table_m, place_m);
        sim.arrange(&after).unwrap();
        assert_eq!(sim.arrangement(), after);
        assert_eq!(sim.record().amplitude_a_v, weak_v);
    }

    #[test]
    fn what_cannot_be_is_refused_and_changes_nothing() {
        let mut sim = sim();
        let before = sim.bench().clone();
        let mut wrong = sim.arrangement();
        wrong.setup.head.gap_um = f64::NAN;
        assert!(sim.arrange(&wrong).unwrap_err().contains("gap"));
        let other = Sim::start(Setup::healthy(BenchId::SmallMill), 3, 0.2).arrangement();
        assert!(sim.arrange(&other).unwrap_err().contains("another bench"));
        assert_eq!(*sim.bench(), before);
    }
}
