//! What kind of command it is: its name, and whether it is an order to the axis.

use super::Command;

impl Command {
    /// Its name in files.
    #[must_use]
    pub fn name(&self) -> &'static str {
        match self {
            Command::Set(_) => "set",
            Command::Break(_) => "break",
            Command::Mend(_) => "mend",
            Command::MendAll => "mend_all",
            Command::Smear(_) => "smear",
            Command::Wipe(_) => "wipe",
            Command::WipeAll => "wipe_all",
            Command::WipeAllWith(_) => "wipe_all_with",
            Command::PickChips(_) => "pick_chips",
            Command::SmearWindow(_) => "smear_window",
            Command::WipeWindow(_) => "wipe_window",
            Command::Age(_) => "age",
            Command::Jog(_) => "jog",
            Command::MoveTo(_) => "move_to",
            Command::MoveBy(_) => "move_by",
            Command::Shuttle(_) => "shuttle",
            Command::Stop => "stop",
            Command::Drive(_) => "drive",
            Command::Acknowledge => "acknowledge",
            Command::Home => "home",
            Command::ZeroReadout => "zero_readout",
            Command::PowerCycle(_) => "power_cycle",
            Command::Safety(_) => "safety",
            Command::Look(_) => "look",
            Command::Flex(_) => "flex",
            Command::Replace(_) => "replace",
        }
    }

    /// Whether it is an order to the axis and its drive; the others change the bench, its readout or its surroundings.
    #[must_use]
    pub fn moves_axis(&self) -> bool {
        matches!(
            self,
            Self::Jog(_)
                | Self::MoveTo(_)
                | Self::MoveBy(_)
                | Self::Shuttle(_)
                | Self::Stop
                | Self::Drive(_)
                | Self::Acknowledge
                | Self::Home
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::command::{DriveSwitch, PowerCycle};
    use crate::numbers::Within;

    /// The name is the one that files use.
    #[test]
    fn names_are_those_of_files() {
        let off_s = Within::nearest(60.0);
        for command in [
            Command::MendAll,
            Command::WipeAll,
            Command::Stop,
            Command::Acknowledge,
            Command::Home,
            Command::ZeroReadout,
            Command::Drive(DriveSwitch::On),
            Command::PowerCycle(PowerCycle { off_s }),
        ] {
            let text = serde_json::to_string(&command).unwrap();
            assert!(text.contains(&format!("\"{}\"", command.name())), "{text}");
        }
    }
}
