//! Commands of the technician's hands: making the machine safe and ready again, looking with an instrument, bending the
//! cable, exchanging a part.

use super::{PlaceMm, check_place};
use crate::setup::Setup;
use serde::{Deserialize, Serialize};

/// `safety`: one act of making the machine safe, or of making it ready again.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum SafetyAct {
    /// Switches the machine off by its own switch: the drive goes off.
    SwitchOff,
    /// Opens the disconnector: nothing has mains any more. What the drive has stored is still there.
    Isolate,
    /// Puts the own lock and tag on the open disconnector.
    Lock,
    /// Presses start: a machine that is isolated does not answer.
    TryStart,
    /// Proves the tester, measures mains and DC link, proves the tester again.
    VerifyDead,
    /// Puts the prop under a table that hangs.
    Prop,
    /// Takes the prop out.
    PropOut,
    /// Takes lock and tag off.
    Unlock,
    /// Closes the disconnector: the control comes up, the drive stays off.
    SwitchOn,
}

impl SafetyAct {
    /// The acts that make safe, in the order in which they are done. A hanging table is propped besides.
    pub const IN_ORDER: [Self; 5] = [Self::SwitchOff, Self::Isolate, Self::Lock, Self::TryStart, Self::VerifyDead];

    /// What is done, in words.
    #[must_use]
    pub fn title(self) -> &'static str {
        match self {
            Self::SwitchOff => "machine switched off",
            Self::Isolate => "disconnector opened",
            Self::Lock => "locked and tagged",
            Self::TryStart => "start tried",
            Self::VerifyDead => "proved dead",
            Self::Prop => "table propped",
            Self::PropOut => "prop taken out",
            Self::Unlock => "lock taken off",
            Self::SwitchOn => "disconnector closed",
        }
    }

    /// What is to be done, in words.
    #[must_use]
    pub fn order(self) -> &'static str {
        match self {
            Self::SwitchOff => "Switch the machine off",
            Self::Isolate => "Open the disconnector",
            Self::Lock => "Lock and tag",
            Self::TryStart => "Try to start",
            Self::VerifyDead => "Prove it dead",
            Self::Prop => "Prop the table",
            Self::PropOut => "Take the prop out",
            Self::Unlock => "Take the lock off",
            Self::SwitchOn => "Close the disconnector",
        }
    }

    pub(super) fn check(self, setup: &Setup) -> Result<(), String> {
        let hangs = setup.machine().spec().mechanics.incline > 0.0;
        match self {
            Self::Prop | Self::PropOut if !hangs => {
                Err("this table does not hang, so there is nothing to prop; leave this act out".to_owned())
            }
            _ => Ok(()),
        }
    }
}

/// `look`: something is looked at with an instrument or by eye. It tells what it finds and changes nothing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Look {
    /// Ohmmeter: each conductor from end to end, cable off at both ends.
    Ohm,
    /// Ohmmeter: the way of the screen to earth at both ends.
    Screen,
    /// Feeler gauge between head and scale at both ends and in the middle of the travel.
    GapGauge,
    /// Lamp and eye: scale and window.
    Lamp,
    /// Voltmeter: the supply at the drive and at the head.
    MeterSupply,
    /// Oscilloscope at the plug of the drive.
    ScopeDrive,
    /// Oscilloscope at the head's end of the cable.
    ScopeHead,
    /// The control's values beside the stored record.
    LoopValues,
}

impl Look {
    /// All of them.
    pub const ALL: [Self; 8] = [
        Self::Ohm,
        Self::Screen,
        Self::GapGauge,
        Self::Lamp,
        Self::MeterSupply,
        Self::ScopeDrive,
        Self::ScopeHead,
        Self::LoopValues,
    ];

    /// Its name in files.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Ohm => "ohm",
            Self::Screen => "screen",
            Self::GapGauge => "gap-gauge",
            Self::Lamp => "lamp",
            Self::MeterSupply => "meter-supply",
            Self::ScopeDrive => "scope-drive",
            Self::ScopeHead => "scope-head",
            Self::LoopValues => "loop-values",
        }
    }

    /// Whether it needs a dead machine; the others need one with power.
    #[must_use]
    pub fn needs_dead(self) -> bool {
        matches!(self, Self::Ohm | Self::Screen | Self::GapGauge | Self::Lamp)
    }
}

/// `flex`: the cable is bent with a long-handled tool, place by place, while the axis stands.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Flex {
    /// Where it begins: the part of the cable that bends when the table is there.
    pub from_mm: PlaceMm,
    /// Where it ends.
    pub to_mm: PlaceMm,
}

impl Flex {
    pub(super) fn check(&self, setup: &Setup) -> Result<(), String> {
        super::check_stretch(setup, self.from_mm.get(), self.to_mm.get())?;
        check_place(setup, self.to_mm.get())
    }
}

/// `replace`: a part that is exchanged for a new one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Part {
    /// The reading head.
    Head,
    /// The encoder cable with its plugs.
    Cable,
    /// The scale.
    Scale,
    /// The input of the control.
    Input,
    /// The motor with its encoder.
    Motor,
}

impl Part {
    /// All of them.
    pub const ALL: [Self; 5] = [Self::Head, Self::Cable, Self::Scale, Self::Input, Self::Motor];

    /// Its name in files.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Head => "head",
            Self::Cable => "cable",
            Self::Scale => "scale",
            Self::Input => "input",
            Self::Motor => "motor",
        }
    }
}
