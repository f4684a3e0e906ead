//! Bending the cable with a tool while the axis stands: the contact in it goes through its places as it would on a move,
//! and a recorder counts when it lets go.

use super::command::Flex;
use super::sim::Sim;
use crate::axis::{DriveMode, STEP};
use crate::event::{Hands, What};
use serde::{Deserialize, Serialize};

/// How fast the tool goes along the cable, in travel of the axis, m/s (own value).
const TOOL_MPS: f64 = 0.05;

/// A cable that is being bent.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Flexing {
    from_m: f64,
    to_m: f64,
    at_m: f64,
    open: bool,
    dropouts: u32,
    /// First and last place at which the contact let go, m.
    between_m: Option<(f64, f64)>,
}

impl Flexing {
    /// The place of the axis at which the cable bends as it does now, m.
    #[must_use]
    pub fn at_m(&self) -> f64 {
        self.at_m
    }

    fn told(&self) -> Hands {
        Hands::Flexed { from_m: self.from_m, to_m: self.at_m, dropouts: self.dropouts, between_m: self.between_m }
    }
}

impl Sim {
    pub(super) fn flex(&mut self, flex: &Flex) -> Result<(), String> {
        let axis = &self.bench.state.axis;
        if self.bench.state.safety.isolated() {
            return Err(
                "there is no signal to watch without power; close the disconnector, then bend the cable".to_owned()
            );
        }
        if matches!(axis.mode, DriveMode::Moving | DriveMode::Homing | DriveMode::Stopping) || axis.plant.v.abs() > 1e-3
        {
            return Err("stop the axis and wait until it stands before the cable is bent".to_owned());
        }
        let (from_m, to_m) = (flex.from_mm.get() * 1e-3, flex.to_mm.get() * 1e-3);
        self.bench.state.flexing =
            Some(Flexing { from_m, to_m, at_m: from_m, open: false, dropouts: 0, between_m: None });
        Ok(())
    }

    /// Somebody stops bending: what was found so far is told.
    pub(super) fn end_flexing(&mut self) {
        if let Some(flexing) = self.bench.state.flexing.take() {
            self.pending.push(What::Hands(flexing.told()));
        }
    }

    /// A step of the tool along the cable.
    pub(super) fn bend_cable(&mut self) {
        let state = &mut self.bench.state;
        let Some(flexing) = &mut state.flexing else { return };
        let open = state.wiring.contact_open();
        if open && !flexing.open {
            flexing.dropouts += 1;
            flexing.between_m = Some((flexing.between_m.map_or(flexing.at_m, |(first, _)| first), flexing.at_m));
        }
        flexing.open = open;
        flexing.at_m += TOOL_MPS * STEP;
        if flexing.at_m >= flexing.to_m {
            self.end_flexing();
        }
    }
}
