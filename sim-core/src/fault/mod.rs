//! THE place for faults. A fault changes parameters, and nothing else in the model knows that faults exist.
//!
//! [`TABLE`] is the catalogue: one row a fault, with the function that puts it in. `params_of` in [`crate::params`]
//! applies the rows in order, so taking a fault out restores the exact old values.

mod cable;
mod control;
mod drive;
mod drive_train;
mod head;
pub mod hidden;
mod mechanics;
mod scale;
pub mod service;
mod values;
mod zero;

use crate::params::Params;
use serde::{Deserialize, Serialize};

/// A fault of the catalogue.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum FaultId {
    /// Smear on the tape.
    TapeSmear,
    /// Scratch: lines missing over a short stretch.
    TapeScratch,
    /// Scale lifted off its bed.
    TapeLift,
    /// Thin film of oil over the whole scale.
    OilFilm,
    /// Drop of coolant on the scale.
    CoolantDrop,
    /// Chip on the scale.
    ChipOnTape,
    /// Fingerprint on the scale.
    Fingerprint,
    /// Lines stripped off over some millimetres.
    MissingLines,
    /// Dried coolant on the scale.
    DriedResidue,
    /// Purge air of the housing lost.
    PurgeLost,
    /// Lips of the housing worn.
    LipsWorn,
    /// Dew on the scale.
    Condensation,
    /// Tape stretched: longer than it says.
    TapeStretch,
    /// Dirt on the reference marks.
    MarkDirty,
    /// A scratch that looks like a reference mark.
    MarkFalse,
    /// Dirt on the code track.
    CodeDirt,
    /// Head set too far off the scale.
    GapWide,
    /// Gap grows along the travel.
    GapWedge,
    /// Head turned about the scale normal.
    HeadYaw,
    /// Head tilted along the travel.
    HeadTilt,
    /// Film on the head's window.
    WindowFilm,
    /// Light source aged.
    SourceAged,
    /// Channel A shifted off its centre.
    ChannelOffset,
    /// Electrical noise.
    NoisySignal,
    /// Light from outside.
    StrayLight,
    /// Head rolled about the direction of travel.
    HeadRoll,
    /// Head beside the track.
    HeadLateral,
    /// Head set too close to the scale.
    GapNarrow,
    /// Head rubs on the scale.
    GapRub,
    /// Guide sags in the middle of the travel.
    GuideSag,
    /// Head shakes on its bracket.
    HeadVibration,
    /// Light source too hot.
    SourceHot,
    /// Light source drops out now and then.
    SourceFlicker,
    /// One channel weaker than the other.
    ChannelGain,
    /// Amplifier of the head too slow.
    BandwidthLow,
    /// Outputs of a square-wave head change too slowly.
    EdgeLimit,
    /// A conductor of pair A open.
    ConductorOpen,
    /// A conductor of pair B on the screen.
    ConductorShort,
    /// Pairs A and B exchanged.
    PairsSwapped,
    /// A conductor opens where the cable bends.
    FlexBreak,
    /// Supply low at the head.
    SupplyThin,
    /// Screen lifted beside a running inverter.
    ScreenOpen,
    /// Termination missing.
    TerminationMissing,
    /// A conductor of pair A on the supply.
    ConductorSupply,
    /// A poor contact in pair B.
    ContactPoor,
    /// The conductors of pair A exchanged.
    ChannelInverted,
    /// A mains voltage between the grounds of machine and control.
    GroundLift,
    /// Wire of the home switch broken.
    SwitchWire,
    /// Wrong bits on the line of an absolute encoder.
    CodeBits,
    /// Battery of the motor encoder flat.
    BatteryFlat,
    /// Guide binds at one place.
    DragSpot,
    /// Gib too tight: friction everywhere.
    GibTight,
    /// Dog of the home switch moved.
    DogMoved,
    /// Home switch worn.
    SwitchWorn,
    /// Nut of the screw worn.
    NutWorn,
    /// Fixed bearing of the screw loose.
    BearingPlay,
    /// Screw with an error that returns every turn.
    ScrewCyclic,
    /// Mesh or belt of the drive slack.
    DriveSlack,
    /// Guide runs dry.
    DryGuide,
    /// A plate of the cover catches.
    CoverCatch,
    /// Holding brake drags.
    BrakeDrag,
    /// Holding brake worn.
    BrakeWorn,
    /// Holding brake closes late.
    BrakeSlow,
    /// Counterbalance lost.
    BalanceLost,
    /// Screw warms up and grows.
    ScrewGrowth,
    /// Clamp of the rotary table stays on.
    ClampOn,
    /// Head loose on its bracket.
    BracketLoose,
    /// Scale loose on its bed.
    ScaleLoose,
    /// Coupling between motor and screw slips.
    CouplingSlip,
    /// Coupling of the motor encoder cracked.
    EncoderCoupling,
    /// Disc of an encoder off its centre.
    DiscEccentric,
    /// Disc of the motor encoder dirty.
    DiscDirt,
    /// Position gain halved.
    KvHalved,
    /// Velocity feed-forward lost.
    FeedForwardOff,
    /// Current limit too low.
    CurrentLimitLow,
    /// Count direction reversed.
    SignWrong,
    /// An input of the control damaged.
    InputDamaged,
    /// Plugs of two axes exchanged.
    AxisPlugsSwapped,
    /// Water in a plug.
    PlugWet,
    /// The axis' own motor cable beside its encoder cable.
    PowerCableNear,
    /// Counter too narrow, nothing extends it.
    CounterNarrow,
    /// Gains of both loops far too high.
    KvHigh,
    /// Lines or lead wrong in the control.
    RatioWrong,
    /// Input filter of the counter too long.
    FilterLong,
    /// Reference mark where the home switch releases.
    MarkNearSwitch,
    /// Limit of the comparison too tight.
    MismatchTight,
    /// Soft limits off their places.
    SoftLimitWrong,
    /// Compensation of the play wrong.
    PlayCompWrong,
    /// Zero not taught after an exchange.
    ZeroNotTaught,
    /// Bus voltage sags at speed.
    BusSag,
    /// A motor phase missing.
    PhaseMissing,
    /// Commutation angle wrong.
    CommutationOff,
}

/// Where on the machine a fault sits; the groups of the page.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Group {
    /// The scale.
    Scale,
    /// The head.
    Head,
    /// Cable, plugs, screen, supply.
    Cable,
    /// Guides, screw, rack.
    DriveTrain,
    /// Control and its parameters.
    Control,
}

impl Group {
    /// All groups in the order of the chain.
    pub const ALL: [Group; 5] = [Group::Scale, Group::Head, Group::Cable, Group::DriveTrain, Group::Control];

    /// Its name on the sheet.
    pub fn title(self) -> &'static str {
        match self {
            Group::Scale => "Scale",
            Group::Head => "Head",
            Group::Cable => "Cable and supply",
            Group::DriveTrain => "Drive train",
            Group::Control => "Control",
        }
    }
}

/// One row of the catalogue.
pub struct Row {
    /// Which fault.
    pub id: FaultId,
    /// Its stable name in files.
    pub name: &'static str,
    /// Its name on the sheet.
    pub title: &'static str,
    /// Where it sits.
    pub group: Group,
    /// Whether it sits at one place of the axis.
    pub has_place: bool,
    /// Whether cleaning takes it away.
    pub wipes_off: bool,
    /// Puts it in: parameters, severity 0..1, place on the axis, m.
    pub apply: fn(&mut Params, f64, f64),
}

/// A fault that is in.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Active {
    /// Which.
    pub id: FaultId,
    /// Severity, 0 (as good as healthy) to 1.
    pub severity: f64,
    /// Where on the axis, m from machine zero; unused by faults without a place.
    pub at_m: f64,
}

/// The catalogue, in the order of the enum and of the chain from scale to control.
pub static TABLE: [Row; 92] = [
    scale::SMEAR,
    scale::SCRATCH,
    scale::LIFT,
    scale::OIL_FILM,
    scale::COOLANT_DROP,
    scale::CHIP,
    scale::FINGERPRINT,
    scale::MISSING_LINES,
    scale::DRIED_RESIDUE,
    scale::PURGE_LOST,
    scale::LIPS_WORN,
    scale::CONDENSATION,
    scale::STRETCH,
    zero::MARK_DIRTY,
    zero::MARK_FALSE,
    zero::CODE_DIRT,
    head::GAP_WIDE,
    head::GAP_WEDGE,
    head::YAW,
    head::TILT,
    head::WINDOW_FILM,
    head::SOURCE_AGED,
    head::CHANNEL_OFFSET,
    head::NOISE,
    head::STRAY_LIGHT,
    head::ROLL,
    head::LATERAL,
    head::GAP_NARROW,
    head::GAP_RUB,
    head::GUIDE_SAG,
    head::VIBRATION,
    head::SOURCE_HOT,
    head::SOURCE_FLICKER,
    head::CHANNEL_GAIN,
    head::BANDWIDTH_LOW,
    head::EDGE_LIMIT,
    cable::CONDUCTOR_OPEN,
    cable::CONDUCTOR_SHORT,
    cable::PAIRS_SWAPPED,
    cable::FLEX_BREAK,
    cable::SUPPLY_THIN,
    cable::SCREEN_OPEN,
    cable::TERMINATION_MISSING,
    cable::CONDUCTOR_SUPPLY,
    cable::CONTACT_POOR,
    cable::CHANNEL_INVERTED,
    cable::GROUND_LIFT,
    zero::SWITCH_WIRE,
    zero::CODE_BITS,
    zero::BATTERY_FLAT,
    drive_train::DRAG_SPOT,
    drive_train::GIB_TIGHT,
    zero::DOG_MOVED,
    zero::SWITCH_WORN,
    mechanics::NUT_WORN,
    mechanics::BEARING_PLAY,
    mechanics::SCREW_CYCLIC,
    mechanics::DRIVE_SLACK,
    mechanics::DRY_GUIDE,
    mechanics::COVER_CATCH,
    mechanics::BRAKE_DRAG,
    mechanics::BRAKE_WORN,
    mechanics::BRAKE_SLOW,
    mechanics::BALANCE_LOST,
    mechanics::SCREW_GROWTH,
    mechanics::CLAMP_ON,
    mechanics::BRACKET_LOOSE,
    mechanics::SCALE_LOOSE,
    mechanics::COUPLING_SLIP,
    mechanics::ENCODER_COUPLING,
    mechanics::DISC_ECCENTRIC,
    mechanics::DISC_DIRT,
    control::KV_HALVED,
    control::FEED_FORWARD_OFF,
    control::CURRENT_LIMIT_LOW,
    control::SIGN_WRONG,
    control::INPUT_DAMAGED,
    cable::AXIS_PLUGS_SWAPPED,
    cable::PLUG_WET,
    cable::POWER_CABLE_NEAR,
    values::COUNTER_NARROW,
    values::KV_HIGH,
    values::RATIO_WRONG,
    values::FILTER_LONG,
    zero::MARK_NEAR_SWITCH,
    values::MISMATCH_TIGHT,
    values::SOFT_LIMIT_WRONG,
    values::PLAY_COMP_WRONG,
    zero::ZERO_NOT_TAUGHT,
    drive::BUS_SAG,
    drive::PHASE_MISSING,
    drive::COMMUTATION_OFF,
];

impl FaultId {
    /// Its row.
    pub fn row(self) -> &'static Row {
        &TABLE[self as usize]
    }
}

/// Puts all faults in, in the order of the catalogue, so that the order of breaking does not matter.
pub fn apply_all(faults: &[Active], params: &mut Params) {
    let mut sorted: Vec<&Active> = faults.iter().filter(|f| f.severity > 0.0).collect();
    sorted.sort_by_key(|f| f.id);
    for fault in sorted {
        (fault.id.row().apply)(params, fault.severity, fault.at_m);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::params::params_of;
    use crate::setup::{BenchId, Setup};
    use crate::surface::SurfaceMap;

    #[test]
    fn every_row_stands_at_its_id_and_its_name_is_the_one_in_files() {
        for (index, row) in TABLE.iter().enumerate() {
            assert_eq!(row.id as usize, index, "{}", row.name);
            assert_eq!(serde_json::to_string(&row.id).unwrap(), format!("\"{}\"", row.name));
        }
    }

    /// Every bench as it is delivered, and the hanging head with the counterbalance that can be fitted.
    fn benches() -> Vec<Setup> {
        let mut all: Vec<Setup> = BenchId::ALL.map(Setup::healthy).into();
        let mut balanced = Setup::healthy(BenchId::MillHead);
        balanced.machine.counterbalance_n = 600.0;
        all.push(balanced);
        all
    }

    /// What a machine has not got cannot break, so a fault needs to show on one bench only; the signal chain is on all.
    #[test]
    fn every_fault_changes_the_parameters_at_full_severity_and_not_at_none() {
        for row in &TABLE {
            let changes = |setup: &Setup| {
                let params = |faults: &[Active]| params_of(setup, faults, &SurfaceMap::default());
                let with = |severity| params(&[Active { id: row.id, severity, at_m: 0.2 }]);
                assert_eq!(with(0.0), params(&[]), "{} at severity 0", row.name);
                with(1.0) != params(&[])
            };
            let changed = benches().iter().filter(|setup| changes(setup)).count();
            let wanted = if row.group < Group::DriveTrain { benches().len() } else { 1 };
            assert!(changed >= wanted, "{} changes {changed} benches", row.name);
        }
    }

    #[test]
    fn the_order_of_breaking_does_not_matter() {
        let setup = Setup::healthy(BenchId::RouterGantry);
        let faults: Vec<Active> = TABLE.iter().map(|r| Active { id: r.id, severity: 0.7, at_m: 0.3 }).collect();
        let reversed: Vec<Active> = faults.iter().rev().copied().collect();
        let map = SurfaceMap::default();
        assert_eq!(params_of(&setup, &faults, &map), params_of(&setup, &reversed, &map));
    }
}
