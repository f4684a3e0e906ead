//! Families of causes: what a technician names as one. Whether a smear is grease or dried coolant, the answer is "dirt on
//! the scale".

use crate::particle::Cause;
use sim_core::fault::FaultId as F;

/// Causes that are one answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Family {
    /// Its stable name in files.
    pub name: &'static str,
    /// Its name for people.
    pub title: &'static str,
    /// Its causes.
    pub members: &'static [Cause],
}

const fn of(name: &'static str, title: &'static str, members: &'static [Cause]) -> Family {
    Family { name, title, members }
}

/// All families, along the chain from scale to control.
pub static FAMILIES: [Family; 31] = [
    of(
        "dirt-on-scale",
        "Dirt on the scale",
        &[F::TapeSmear, F::OilFilm, F::CoolantDrop, F::ChipOnTape, F::Fingerprint, F::DriedResidue, F::Condensation],
    ),
    of("scale-damaged", "Lines of the scale damaged", &[F::TapeScratch, F::MissingLines]),
    of("scale-loose", "Scale lifted or loose on its bed", &[F::TapeLift, F::ScaleLoose]),
    of("scale-stretched", "Scale longer than it says", &[F::TapeStretch]),
    of("housing-open", "Housing lets dirt in", &[F::PurgeLost, F::LipsWorn]),
    of("mark-unread", "Reference mark not read right", &[F::MarkDirty, F::MarkFalse]),
    of("code-unread", "Absolute code not read right", &[F::CodeDirt, F::CodeBits]),
    of("gap-wrong", "Gap of the head wrong everywhere", &[F::GapWide, F::GapNarrow, F::GapRub]),
    of("gap-uneven", "Gap changes along the travel", &[F::GapWedge, F::GuideSag]),
    of("head-askew", "Head turned or beside the track", &[F::HeadYaw, F::HeadTilt, F::HeadRoll, F::HeadLateral]),
    of("head-loose", "Head loose or shaking", &[F::HeadVibration, F::BracketLoose]),
    of("window-dim", "Window of the head dim", &[F::WindowFilm]),
    of("light-weak", "Light source of the head", &[F::SourceAged, F::SourceHot, F::SourceFlicker]),
    of("stray-light", "Light from outside", &[F::StrayLight]),
    of(
        "head-electronics",
        "Electronics of the head",
        &[F::ChannelOffset, F::ChannelGain, F::BandwidthLow, F::EdgeLimit, F::NoisySignal],
    ),
    of(
        "conductor-bad",
        "A conductor or contact of the cable",
        &[F::ConductorOpen, F::ConductorShort, F::ConductorSupply, F::ContactPoor, F::FlexBreak, F::PlugWet],
    ),
    of("wires-crossed", "Wires or plugs exchanged", &[F::PairsSwapped, F::ChannelInverted, F::AxisPlugsSwapped]),
    of("supply-low", "Supply low at the head", &[F::SupplyThin]),
    of("noise-enters", "Noise gets into the cable", &[F::ScreenOpen, F::PowerCableNear, F::GroundLift]),
    of("termination", "Termination missing", &[F::TerminationMissing]),
    of("home-switch", "Home switch and its place", &[F::SwitchWire, F::DogMoved, F::SwitchWorn, F::MarkNearSwitch]),
    of("battery-flat", "Battery of the absolute encoder", &[F::BatteryFlat]),
    of(
        "friction",
        "Something drags or binds",
        &[F::DragSpot, F::GibTight, F::DryGuide, F::CoverCatch, F::BrakeDrag, F::ClampOn],
    ),
    of("play", "Play in the drive train", &[F::NutWorn, F::BearingPlay, F::DriveSlack, F::CouplingSlip]),
    of("screw-pitch", "Screw not true to length", &[F::ScrewCyclic, F::ScrewGrowth]),
    of("axis-sinks", "Brake or counterbalance", &[F::BrakeWorn, F::BrakeSlow, F::BalanceLost]),
    of("motor-encoder", "Motor encoder", &[F::EncoderCoupling, F::DiscEccentric, F::DiscDirt, F::CommutationOff]),
    of(
        "gains-wrong",
        "Gains or current limit of the control",
        &[F::KvHalved, F::KvHigh, F::FeedForwardOff, F::CurrentLimitLow],
    ),
    of(
        "counting-wrong",
        "How the control counts",
        &[F::SignWrong, F::CounterNarrow, F::RatioWrong, F::FilterLong, F::InputDamaged],
    ),
    of(
        "limits-wrong",
        "Limits, compensation or zero of the control",
        &[F::MismatchTight, F::SoftLimitWrong, F::PlayCompWrong, F::ZeroNotTaught],
    ),
    of("power-weak", "Power of the drive", &[F::BusSag, F::PhaseMissing]),
];

/// The family of a cause.
#[must_use]
pub fn family_of(cause: Cause) -> &'static Family {
    // A test holds that each cause has one.
    FAMILIES.iter().find(|family| family.members.contains(&cause)).unwrap_or(&FAMILIES[0])
}

impl Family {
    /// The family of a name in files.
    #[must_use]
    pub fn by_name(name: &str) -> Option<&'static Self> {
        FAMILIES.iter().find(|family| family.name == name)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use sim_core::fault::TABLE;

    #[test]
    fn every_cause_is_in_one_family_and_no_more() {
        for row in &TABLE {
            let homes: Vec<&str> = FAMILIES.iter().filter(|f| f.members.contains(&row.id)).map(|f| f.name).collect();
            assert_eq!(homes.len(), 1, "{}: {homes:?}", row.name);
            assert_eq!(family_of(row.id).name, homes[0]);
        }
        let mut names: Vec<&str> = FAMILIES.iter().map(|family| family.name).collect();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), FAMILIES.len());
        assert_eq!(Family::by_name("play").map(|family| family.title), Some("Play in the drive train"));
    }
}
