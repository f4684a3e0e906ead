//! Looking at something with an instrument, and exchanging a part.

use super::command::{Look, Part};
use super::sim::Sim;
use crate::chain::interference::Shield;
use crate::chain::wiring::Wire;
use crate::event::{Hands, What, fixed};
use crate::fault::FaultId;
use crate::surface::SurfaceMap;

/// Light behind the window below which the eye finds it dim, 1 nominal (own value).
const EYE_SEES: f64 = 0.9;

impl Sim {
    /// Looks and tells what is found. Nothing on the bench changes.
    pub(super) fn look(&mut self, look: Look) -> Result<(), String> {
        let safety = &self.bench.state.safety;
        if look.needs_dead() {
            self.is_dead(look.name())?;
        } else if safety.isolated() {
            let name = look.name();
            return Err(format!("{name} needs the machine with power, and the disconnector is open; close it first"));
        }
        let found = match look {
            Look::Ohm => self.ohms_told(),
            Look::Screen => self.screen_told(),
            Look::GapGauge => self.gaps_told(),
            Look::Lamp => self.lamp_told(),
            Look::MeterSupply => {
                let (drive_v, head_v) = (self.params.supply.source_v, self.compiled.head_v);
                format!("{} V at the drive, {} V at the head.", fixed(drive_v, 2), fixed(head_v, 2))
            }
            Look::ScopeDrive => {
                let r = &self.record;
                levels_told("At the plug of the drive", [r.amplitude_a_v, r.amplitude_b_v])
            }
            Look::ScopeHead => levels_told("At the head's end of the cable", self.amplitudes_at_head_v()),
            Look::LoopValues => self.values_told(),
        };
        self.pending.push(What::Hands(Hands::Looked { with: look.name().to_owned(), found }));
        Ok(())
    }

    /// Amplitudes of A and B at the head's end of the cable, V, at the place where the head is now.
    #[must_use]
    pub fn amplitudes_at_head_v(&self) -> [f64; 2] {
        self.compiled.head_levels(&self.params, &self.seen).0
    }

    /// Means of A and B at the plug of the drive, V, at the place where the head is now.
    #[must_use]
    pub fn means_at_drive_v(&self) -> [f64; 2] {
        let (_, head_v) = self.compiled.head_levels(&self.params, &self.seen);
        self.compiled.means_at_input(&self.params, head_v)
    }

    /// Whether there is no voltage where hands would go.
    fn is_dead(&self, what: &str) -> Result<(), String> {
        if !self.bench.state.safety.isolated() {
            return Err(format!("{what} needs a dead machine: switch off, isolate, lock, try to start, prove it dead"));
        }
        let link_v = self.link_v();
        if link_v >= super::safety::SAFE_LINK_V {
            let link_v = fixed(link_v, 0);
            return Err(format!(
                "the DC link still holds {link_v} V: wait as long as the drive's label says, measure, then do {what}"
            ));
        }
        Ok(())
    }

    fn ohms_told(&self) -> String {
        let mut told = Vec::new();
        for row in self.params.wiring.ohms() {
            let name = pin(row.wire);
            match row.through_ohm {
                None => told.push(format!("{name} no passage")),
                Some(ohm) => told.push(format!("{name} {} ohm", fixed(ohm, 1))),
            }
            if row.ends_on != row.wire {
                told.push(format!("{name} ends on pin {}", pin(row.ends_on)));
            }
            for (to, ohm) in [("the screen", row.to_screen_ohm), ("the supply", row.to_supply_ohm)] {
                if let Some(ohm) = ohm {
                    told.push(format!("{name} to {to} {} ohm", fixed(ohm, 1)));
                }
            }
        }
        let supply = &self.params.supply;
        told.push(format!("5 V and 0 V together {} ohm", fixed(supply.loop_ohm(), 1)));
        format!("Cable off at both ends, lying still: {}.", told.join(", "))
    }

    fn screen_told(&self) -> String {
        match self.params.interference.shield {
            Shield::BothEnds => "The screen has passage to earth at the head and at the cabinet.",
            Shield::OneEnd => "The screen has passage to earth at the cabinet, none at the head.",
            Shield::Open => "The screen has no passage to earth at either end.",
        }
        .to_owned()
    }

    fn gaps_told(&self) -> String {
        let travel_m = self.params.machine.travel;
        let um = |share: f64| fixed(self.params.feeler_m(share * travel_m) * 1e6, 0);
        format!(
            "Gap at the low end {} \u{b5}m, in the middle {} \u{b5}m, at the high end {} \u{b5}m.",
            um(0.0),
            um(0.5),
            um(1.0)
        )
    }

    fn lamp_told(&self) -> String {
        let dirty: Vec<String> = self
            .params
            .surface
            .segments()
            .iter()
            .filter(|s| s.is_dirty())
            .map(|s| format!("{} to {} mm", fixed(s.from_m * 1e3, 0), fixed(s.to_m * 1e3, 0)))
            .take(3)
            .collect();
        let window = if self.params.window_light() < EYE_SEES { "the window is dim" } else { "the window is clear" };
        if dirty.is_empty() {
            return format!("The light source is off. Nothing is to be seen on the scale; {window}.");
        }
        format!("The light source is off. Something lies on the scale at {}; {window}.", dirty.join(", "))
    }

    fn values_told(&self) -> String {
        let (control, params) = (&self.params.machine.control, &self.params);
        format!(
            "Position gain {} 1/s, stored {} 1/s; feed-forward {} %, stored {} %.",
            fixed(control.kv, 1),
            fixed(params.stored_kv, 1),
            fixed(control.kff * 100.0, 0),
            fixed(params.stored_kff * 100.0, 0)
        )
    }

    /// Exchanges a part: what was wrong with the old one leaves with it.
    pub(super) fn replace(&mut self, part: Part) -> Result<(), String> {
        self.is_dead("exchanging a part")?;
        if self.hangs() && part == Part::Motor && !self.bench.state.safety.propped() {
            return Err("a table that hangs must stand on its prop before the motor comes off".to_owned());
        }
        self.bench.faults.retain(|fault| part_of(fault.id) != Some(part));
        match part {
            Part::Scale => self.bench.state.dirt = SurfaceMap::default(),
            Part::Head => {
                self.bench.state.upkeep.window.wipe();
                self.bench.setup.lamp.age_kilohours = 0.0;
            }
            Part::Cable | Part::Input | Part::Motor => {}
        }
        self.pending.push(What::Hands(Hands::Replaced { part: part.name().to_owned() }));
        self.rebuild();
        Ok(())
    }
}

fn levels_told(where_: &str, v: [f64; 2]) -> String {
    format!("{where_}: amplitude of A {} V, of B {} V.", fixed(v[0], 2), fixed(v[1], 2))
}

fn pin(wire: Wire) -> &'static str {
    match wire {
        Wire::APlus => "A+",
        Wire::AMinus => "A\u{2212}",
        Wire::BPlus => "B+",
        Wire::BMinus => "B\u{2212}",
        Wire::RPlus => "R+",
        Wire::RMinus => "R\u{2212}",
    }
}

/// The part that a fault sits in, where exchanging that part cures it.
#[must_use]
pub fn part_of(fault: FaultId) -> Option<Part> {
    use FaultId as F;
    match fault {
        F::WindowFilm
        | F::SourceAged
        | F::ChannelOffset
        | F::NoisySignal
        | F::SourceHot
        | F::SourceFlicker
        | F::ChannelGain
        | F::BandwidthLow
        | F::EdgeLimit => Some(Part::Head),
        F::ConductorOpen
        | F::ConductorShort
        | F::PairsSwapped
        | F::FlexBreak
        | F::SupplyThin
        | F::ConductorSupply
        | F::ContactPoor
        | F::ChannelInverted
        | F::PlugWet => Some(Part::Cable),
        F::TapeSmear
        | F::TapeScratch
        | F::TapeLift
        | F::OilFilm
        | F::CoolantDrop
        | F::ChipOnTape
        | F::Fingerprint
        | F::MissingLines
        | F::DriedResidue
        | F::Condensation
        | F::TapeStretch
        | F::MarkDirty
        | F::MarkFalse
        | F::CodeDirt
        | F::ScaleLoose => Some(Part::Scale),
        F::InputDamaged => Some(Part::Input),
        F::EncoderCoupling | F::DiscDirt | F::CommutationOff => Some(Part::Motor),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fault::{Group, TABLE};

    #[test]
    fn no_part_cures_what_sits_elsewhere() {
        for row in &TABLE {
            let fits = match part_of(row.id) {
                Some(Part::Head) => row.group == Group::Head,
                Some(Part::Cable) => matches!(row.group, Group::Cable | Group::Control),
                Some(Part::Scale) => matches!(row.group, Group::Scale | Group::DriveTrain),
                Some(Part::Input) => row.group == Group::Control,
                Some(Part::Motor) => matches!(row.group, Group::DriveTrain | Group::Control),
                None => true,
            };
            assert!(fits, "{}", row.name);
        }
        for part in Part::ALL {
            assert!(TABLE.iter().any(|row| part_of(row.id) == Some(part)), "{}", part.name());
        }
    }
}
