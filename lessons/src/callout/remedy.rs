//! Remedies: what a technician can do about a cause, what it costs, and which causes it cures.

use serde::{Deserialize, Serialize};
use sim_core::bench::command::Part;
use sim_core::bench::part_of;
use sim_core::fault::FaultId as F;

/// Something that is done to put a machine right.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Remedy {
    /// Scale and window cleaned with lint-free cloth and the permitted solvent, chips lifted first.
    CleanRight,
    /// Wiped with a dry cloth.
    CleanDry,
    /// The gap set with shims or gauge.
    Regap,
    /// The head set square, in the track and along the travel.
    Realign,
    /// Head, bracket or scale fastened.
    Fasten,
    /// A plug dried, cleaned and seated, wires laid on their terminals.
    Reseat,
    /// A new encoder cable.
    ReplaceCable,
    /// A new head.
    ReplaceHead,
    /// A new scale or tape.
    ReplaceScale,
    /// A new input card of the control.
    ReplaceInput,
    /// A new motor with its encoder.
    ReplaceMotor,
    /// Screen, earth and route of the cable put right.
    Screen,
    /// Guides, covers, clamp or brake freed, lubricated, set.
    Free,
    /// Nut, bearing, mesh or coupling tightened or exchanged.
    Tighten,
    /// Screw exchanged or its growth compensated.
    Screw,
    /// Home switch, its dog and its wire put right.
    HomeSwitch,
    /// Brake or counterbalance put right.
    Brake,
    /// A new battery, and the place taught again.
    Battery,
    /// Purge air and lips of the housing restored, and the scale cleaned.
    Housing,
    /// A hood against light from outside.
    Hood,
    /// A value of the control set back to what is stored.
    Values,
    /// Mains, phases and DC link put right by an electrician.
    Power,
}

/// What parts cost, as a class.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Parts {
    /// Nothing to speak of.
    None,
    /// Up to an hour's work.
    Small,
    /// Up to a day's work.
    Middle,
    /// More.
    Large,
}

/// What is known of a remedy.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RemedyRow {
    /// Which.
    pub remedy: Remedy,
    /// Its stable name in files.
    pub name: &'static str,
    /// What is done, in words.
    pub title: &'static str,
    /// How long it takes, min (own values of the usual kind).
    pub minutes: u16,
    /// Cost of parts.
    pub parts: Parts,
    /// The part that is exchanged, where the bench knows it: what sits in it leaves with it.
    pub part: Option<Part>,
    /// Whether a part is exchanged: a good one may go.
    pub exchanges: bool,
    /// Whether it needs a dead machine; the others need one with power.
    pub dead: bool,
    /// Whether a plug is pulled for it.
    pub unplugs: bool,
    /// Whether a hanging table comes off its drive.
    pub frees_weight: bool,
    /// Causes that it cures, besides those that sit in the part.
    pub cures: &'static [F],
}

const fn row(
    remedy: Remedy,
    name: &'static str,
    title: &'static str,
    minutes: u16,
    parts: Parts,
    cures: &'static [F],
) -> RemedyRow {
    RemedyRow {
        remedy,
        name,
        title,
        minutes,
        parts,
        part: None,
        exchanges: false,
        dead: true,
        unplugs: false,
        frees_weight: false,
        cures,
    }
}

/// All remedies in the order of [`Remedy`].
pub static REMEDIES: [RemedyRow; 22] = [
    row(
        Remedy::CleanRight,
        "clean-right",
        "Clean scale and window: chips off, lint-free, permitted solvent",
        15,
        Parts::None,
        &[F::MarkDirty, F::CodeDirt],
    ),
    row(Remedy::CleanDry, "clean-dry", "Wipe the scale with a dry cloth", 5, Parts::None, &[]),
    row(Remedy::Regap, "regap", "Set the gap", 15, Parts::None, &[F::GapWide, F::GapNarrow, F::GapRub]),
    row(
        Remedy::Realign,
        "realign",
        "Align the head, and the scale along the travel",
        30,
        Parts::None,
        &[F::GapWedge, F::GuideSag, F::HeadYaw, F::HeadTilt, F::HeadRoll, F::HeadLateral],
    ),
    row(
        Remedy::Fasten,
        "fasten",
        "Fasten head, bracket and scale",
        25,
        Parts::None,
        &[F::HeadVibration, F::BracketLoose, F::ScaleLoose, F::TapeLift],
    ),
    RemedyRow {
        unplugs: true,
        ..row(
            Remedy::Reseat,
            "reseat",
            "Dry and seat the plugs, wires on their terminals",
            10,
            Parts::None,
            &[
                F::PlugWet,
                F::ContactPoor,
                F::PairsSwapped,
                F::ChannelInverted,
                F::AxisPlugsSwapped,
                F::TerminationMissing,
            ],
        )
    },
    RemedyRow {
        part: Some(Part::Cable),
        exchanges: true,
        unplugs: true,
        ..row(Remedy::ReplaceCable, "replace-cable", "Replace the encoder cable", 60, Parts::Middle, &[])
    },
    RemedyRow {
        part: Some(Part::Head),
        exchanges: true,
        unplugs: true,
        ..row(Remedy::ReplaceHead, "replace-head", "Replace the head", 50, Parts::Large, &[])
    },
    RemedyRow {
        part: Some(Part::Scale),
        exchanges: true,
        ..row(Remedy::ReplaceScale, "replace-scale", "Replace the scale", 150, Parts::Large, &[])
    },
    RemedyRow {
        part: Some(Part::Input),
        exchanges: true,
        unplugs: true,
        ..row(
            Remedy::ReplaceInput,
            "replace-input",
            "Replace the input card of the control",
            40,
            Parts::Large,
            &[F::CounterNarrow],
        )
    },
    RemedyRow {
        part: Some(Part::Motor),
        exchanges: true,
        unplugs: true,
        frees_weight: true,
        ..row(
            Remedy::ReplaceMotor,
            "replace-motor",
            "Replace the motor with its encoder",
            120,
            Parts::Large,
            &[F::DiscEccentric, F::CodeBits],
        )
    },
    row(
        Remedy::Screen,
        "screen-right",
        "Put screen, earth and route of the cable right",
        50,
        Parts::Small,
        &[F::ScreenOpen, F::PowerCableNear, F::GroundLift],
    ),
    row(
        Remedy::Free,
        "free",
        "Free, lubricate and set guides, covers, clamp",
        45,
        Parts::None,
        &[F::DragSpot, F::GibTight, F::DryGuide, F::CoverCatch, F::ClampOn, F::BrakeDrag],
    ),
    RemedyRow {
        frees_weight: true,
        ..row(
            Remedy::Tighten,
            "tighten",
            "Tighten or exchange nut, bearing, mesh, coupling",
            90,
            Parts::Middle,
            &[F::NutWorn, F::BearingPlay, F::DriveSlack, F::CouplingSlip],
        )
    },
    RemedyRow {
        exchanges: true,
        frees_weight: true,
        ..row(
            Remedy::Screw,
            "screw",
            "Exchange the screw, or compensate its growth",
            180,
            Parts::Large,
            &[F::ScrewCyclic, F::ScrewGrowth],
        )
    },
    row(
        Remedy::HomeSwitch,
        "home-switch",
        "Put home switch, dog and their places right",
        30,
        Parts::Small,
        &[F::SwitchWire, F::DogMoved, F::SwitchWorn, F::MarkNearSwitch],
    ),
    RemedyRow {
        frees_weight: true,
        ..row(
            Remedy::Brake,
            "brake",
            "Put brake and counterbalance right",
            90,
            Parts::Middle,
            &[F::BrakeWorn, F::BrakeSlow, F::BrakeDrag, F::BalanceLost],
        )
    },
    RemedyRow {
        dead: false,
        ..row(
            Remedy::Battery,
            "battery",
            "New battery, and the place taught again",
            20,
            Parts::Small,
            &[F::BatteryFlat],
        )
    },
    row(
        Remedy::Housing,
        "housing",
        "Restore purge air and lips, clean the scale",
        60,
        Parts::Small,
        &[F::PurgeLost, F::LipsWorn],
    ),
    row(Remedy::Hood, "hood", "Keep light from outside off the head", 15, Parts::Small, &[F::StrayLight]),
    RemedyRow {
        dead: false,
        ..row(
            Remedy::Values,
            "values",
            "Set the control's values back to the stored ones",
            5,
            Parts::None,
            &[
                F::KvHalved,
                F::KvHigh,
                F::FeedForwardOff,
                F::CurrentLimitLow,
                F::SignWrong,
                F::RatioWrong,
                F::FilterLong,
                F::MismatchTight,
                F::SoftLimitWrong,
                F::PlayCompWrong,
                F::ZeroNotTaught,
                F::MarkNearSwitch,
            ],
        )
    },
    row(
        Remedy::Power,
        "power",
        "Have mains, phases and DC link put right",
        60,
        Parts::Middle,
        &[F::BusSag, F::PhaseMissing],
    ),
];

impl Remedy {
    /// What is known of it.
    #[must_use]
    pub fn row(self) -> &'static RemedyRow {
        &REMEDIES[self as usize]
    }

    /// The remedy of a name in files.
    #[must_use]
    pub fn by_name(name: &str) -> Option<Self> {
        REMEDIES.iter().find(|row| row.name == name).map(|row| row.remedy)
    }

    /// Whether a cause is gone after it.
    #[must_use]
    pub fn cures(self, cause: F) -> bool {
        let row = self.row();
        let leaves = row.part.is_some_and(|part| part_of(cause) == Some(part));
        leaves || row.cures.contains(&cause) || (self.cleans() && cause.row().wipes_off)
    }

    /// Whether it takes dirt off the scale and the window.
    #[must_use]
    pub fn cleans(self) -> bool {
        matches!(self, Self::CleanRight | Self::Housing)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use sim_core::fault::TABLE;

    #[test]
    fn the_rows_stand_in_the_order_of_the_remedies() {
        for (i, row) in REMEDIES.iter().enumerate() {
            assert_eq!((row.remedy as usize, Remedy::by_name(row.name)), (i, Some(row.remedy)), "{}", row.name);
            assert!((1..=240).contains(&row.minutes));
            // A part that is exchanged costs something, and what costs much is exchanged.
            assert!(!row.exchanges || row.parts >= Parts::Middle, "{}", row.name);
        }
        assert_eq!(Remedy::by_name("hope"), None);
    }

    #[test]
    fn every_cause_has_a_remedy() {
        for row in &TABLE {
            let cured = REMEDIES.iter().any(|remedy| remedy.remedy.cures(row.id));
            assert!(cured, "{} has no remedy", row.name);
        }
    }
}
