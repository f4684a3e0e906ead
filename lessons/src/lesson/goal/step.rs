//! Steps that a goal can ask for with `done`: the commands by their names, and what is recognised from commands and run.

use sim_core::bench::command::{Look, Part};

/// The commands by their names.
const COMMANDS: [&str; 26] = [
    "set",
    "break",
    "mend",
    "mend_all",
    "smear",
    "wipe",
    "wipe_all",
    "wipe_all_with",
    "pick_chips",
    "smear_window",
    "wipe_window",
    "age",
    "jog",
    "move_to",
    "move_by",
    "shuttle",
    "stop",
    "drive",
    "acknowledge",
    "home",
    "zero_readout",
    "power_cycle",
    "safety",
    "look",
    "flex",
    "replace",
];

/// All acts of making safe were done in their order and stand; a table that hangs stands on its prop.
pub const LOCKOUT: &str = "lockout";
/// The whole travel was driven in one go at a steady speed.
pub const AMP_SCAN: &str = "amp-scan";
/// Something was cleaned as the maker says.
pub const CLEAN_RIGHT: &str = "clean-right";
/// Something was wiped with a dry cloth.
pub const CLEAN_DRY: &str = "clean-dry";
/// The cable was bent along its stretch to the end.
pub const FLEX: &str = "flex";
/// The inverter of the neighbouring machine was switched off and on.
pub const NEIGHBOUR: &str = "neighbour";

/// Steps that are recognised, without looks and exchanged parts.
const RECOGNISED: [&str; 5] = [LOCKOUT, AMP_SCAN, CLEAN_RIGHT, CLEAN_DRY, NEIGHBOUR];

/// The step of exchanging a part.
pub fn of_part(part: Part) -> &'static str {
    match part {
        Part::Head => "replace-head",
        Part::Cable => "replace-cable",
        Part::Scale => "replace-scale",
        Part::Input => "replace-input",
        Part::Motor => "replace-motor",
    }
}

/// All names of steps.
pub fn names() -> impl Iterator<Item = &'static str> + Clone {
    let parts = Part::ALL.into_iter().map(of_part);
    COMMANDS.into_iter().chain(RECOGNISED).chain(Look::ALL.into_iter().map(Look::name)).chain(parts)
}

/// A step in words.
pub fn words(step: &str) -> String {
    let title = match step {
        LOCKOUT => "machine locked out, all acts in their order",
        AMP_SCAN => "whole travel driven in one go at a steady speed",
        CLEAN_RIGHT => "cleaned as the maker says",
        CLEAN_DRY => "wiped dry",
        FLEX => "cable bent along the stretch",
        NEIGHBOUR => "the neighbour's inverter switched off and on",
        _ => return step.replace(['_', '-'], " "),
    };
    title.to_owned()
}
