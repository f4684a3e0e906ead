//! Minutes of work: the bench's own time, a minute in the shop for each second while it is isolated, and what the work of
//! hands takes (own values of the usual kind).

use sim_core::bench::command::{Command, Look, Part, SafetyAct};

/// What a command takes beside the bench's own time, s.
pub fn booked_s(command: &Command) -> f64 {
    60.0 * match command {
        Command::Wipe(_) | Command::WipeAll | Command::WipeAllWith(_) | Command::WipeWindow(_) => 15.0,
        Command::PickChips(_) | Command::Set(_) => 5.0,
        Command::Mend(_) | Command::MendAll => 30.0,
        Command::Safety(act) => match act {
            SafetyAct::VerifyDead => 2.0,
            SafetyAct::Prop | SafetyAct::PropOut => 5.0,
            _ => 1.0,
        },
        Command::Look(look) => match look {
            Look::Ohm | Look::GapGauge => 8.0,
            Look::Screen | Look::MeterSupply | Look::ScopeDrive => 6.0,
            Look::ScopeHead => 14.0,
            Look::Lamp => 5.0,
            Look::LoopValues => 4.0,
        },
        Command::Flex(_) => 8.0,
        Command::Replace(part) => match part {
            Part::Input => 40.0,
            Part::Head => 50.0,
            Part::Cable => 60.0,
            Part::Motor => 120.0,
            Part::Scale => 150.0,
        },
        _ => 0.0,
    }
}
