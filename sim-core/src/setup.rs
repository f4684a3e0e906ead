//! What a person can choose or turn on the bench, in the units of the trade.
//!
//! Every field can be reached by name through [`crate::names`], which also holds its range; the machine's fixed
//! numbers (masses, motor, travel) belong to [`crate::axis::machine`] and the scale's to [`crate::scale`].

use crate::axis::machine::{FeedbackSource, MachineId, ReferenceScheme};
use crate::monitor::signal::SignalMonitor;
use crate::scale::ScaleId;
use serde::{Deserialize, Serialize};

mod bench_id;
pub use bench_id::BenchId;

mod housing;
pub use housing::{Enclosure, HousingSetup};

mod machine;
pub use machine::MachineSetup;

/// Which sensors of the head are plugged in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Sensors {
    /// A alone: pulses, but no direction.
    OneSensor,
    /// A and B a quarter period apart.
    TwoSensors,
}

/// What the head sends down its cable.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum HeadOutput {
    /// The channels themselves; the control squares or interpolates them.
    #[default]
    Sine,
    /// Square waves: the head interpolates and squares (with the threshold, hysteresis, hold level and interpolation of
    /// [`InputSetup`]) and the control's line receivers decide the levels. Differential scales only.
    Square,
}

/// Which edges of the squared channels count.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Counting {
    /// One count per squared period.
    X1,
    /// Both edges of A.
    X2,
    /// Every edge.
    X4,
    /// Teaching case: each rising edge of A, its direction from the level of B. Drifts where A dithers.
    X1Naive,
}

/// Where the position loop takes its position from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Feedback {
    /// The encoder on the motor shaft; the scale is only read out.
    Motor,
    /// The scale on the table.
    Scale,
}

/// Head and its place over the scale.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HeadSetup {
    /// Gap at machine zero, um.
    pub gap_um: f64,
    /// How much the gap grows along the travel, um per m of travel.
    pub wedge_um_per_m: f64,
    /// Tilt about the direction of the lines (one end of the head closer), mrad.
    pub tilt_mrad: f64,
    /// Yaw about the scale normal, mrad.
    pub yaw_mrad: f64,
    /// Roll about the direction of travel, mrad.
    pub roll_mrad: f64,
    /// Offset across the track, um.
    pub lateral_um: f64,
    /// Sag of the guide in the middle of the travel, um.
    pub sag_um: f64,
    /// Vibration of the gap, amplitude, um.
    pub vibration_um: f64,
    /// Lamp brightness, percent of nominal.
    pub lamp_percent: f64,
    /// Electrical noise, multiple of the natural noise.
    pub noise_factor: f64,
    /// Which sensors are plugged in.
    pub sensors: Sensors,
    /// What is sent.
    #[serde(default)]
    pub output: HeadOutput,
}

/// How the lamp is driven.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum LampControl {
    /// The drive stays where it is: less light is less signal.
    Fixed,
    /// The mean light is held: dirt and age do not show until the drive is at its limit.
    Regulated,
}

/// Light source.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LampSetup {
    /// How it is driven.
    pub control: LampControl,
    /// Time in operation, thousands of hours.
    pub age_kilohours: f64,
    /// Temperature, degrees Celsius.
    pub temperature_c: f64,
}

/// Where the screen of the encoder cable is bonded.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ShieldBond {
    /// At head and cabinet.
    BothEnds,
    /// At the cabinet.
    OneEnd,
    /// Nowhere.
    Open,
}

/// Cable between head and control, and what goes on around it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CableSetup {
    /// Length, m.
    pub length_m: f64,
    /// Gauge of the supply conductors, AWG.
    pub supply_awg: f64,
    /// Supply at the control, V.
    pub supply_v: f64,
    /// Where the screen is bonded.
    pub shield: ShieldBond,
    /// Switching bursts on the motor cable next to it, V; 0 with the inverter off.
    pub inverter_v: f64,
    /// Mains hum picked up in common mode, mV.
    pub hum_mv: f64,
}

/// From volts to counts: the input card, or the same stages in a head that sends square waves.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct InputSetup {
    /// Comparator threshold, mV (single-ended head; 0 for differential channels).
    pub threshold_mv: f64,
    /// Comparator hysteresis, full width, mV.
    pub hysteresis_mv: f64,
    /// Shortest (A, B) vector that an interpolating input accepts, mV.
    pub hold_mv: f64,
    /// Interpolation: squared periods per signal period; 1 = plain comparators.
    pub interpolation: f64,
    /// Edges that are counted.
    pub counting: Counting,
    /// Equal samples that the counter's input filter wants; 0 = no filter.
    #[serde(default)]
    pub filter_samples: f64,
}

/// Position control.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ServoSetup {
    /// Position gain Kv, 1/s.
    pub kv_per_s: f64,
    /// Velocity feed-forward, percent.
    pub feed_forward_percent: f64,
    /// Source of the position.
    pub feedback: Feedback,
}

/// Whether scale and motor encoder are compared while the axis runs.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Comparison {
    /// No: the following error is met first.
    #[default]
    Off,
    /// Yes: what one counts and the other does not takes the torque off.
    On,
}

/// Monitors of the control.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MonitorSetup {
    /// Following error allowed around the expected one while moving, mm.
    pub moving_band_mm: f64,
    /// Following error allowed at standstill, mm.
    pub standstill_band_mm: f64,
    /// What a bad signal leads to; without effect on a single-ended head, whose input sees no vector.
    #[serde(default)]
    pub signal: SignalMonitor,
    /// Whether scale and motor encoder are compared.
    #[serde(default)]
    pub comparison: Comparison,
}

/// Which reference marks are on the scale.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Marks {
    /// One, at the machine zero.
    #[default]
    Single,
    /// One every 20 mm, all alike: the home switch chooses.
    Periodic,
    /// Marks whose distances tell where they are.
    DistanceCoded,
}

/// How the place is read from the scale.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Reading {
    /// Lines are counted; the zero must be found.
    #[default]
    Incremental,
    /// A code beside the lines tells the place at any time.
    Absolute,
}

/// What the encoder on the motor knows after switching on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum MotorEncoderKind {
    /// Nothing: it counts from there.
    #[default]
    Incremental,
    /// The place within the turn and, kept by a battery, the turns.
    Multiturn,
}

/// What is on the scale beside its lines.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ZeroSetup {
    /// Reference marks.
    pub marks: Marks,
    /// How the place is read.
    pub reading: Reading,
}

/// Encoder on the motor.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MotorSetup {
    /// What it knows after switching on.
    pub encoder: MotorEncoderKind,
}

/// Everything that a person can choose or turn.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Setup {
    /// Which bench this is.
    pub bench: BenchId,
    /// Head.
    pub head: HeadSetup,
    /// Light source.
    pub lamp: LampSetup,
    /// Cable and surroundings.
    pub cable: CableSetup,
    /// Input card.
    pub input: InputSetup,
    /// Position control.
    pub servo: ServoSetup,
    /// Monitors.
    pub monitor: MonitorSetup,
    /// Housing of the scale.
    #[serde(default)]
    pub housing: HousingSetup,
    /// What is on the scale beside its lines.
    #[serde(default)]
    pub scale: ZeroSetup,
    /// Encoder on the motor.
    #[serde(default)]
    pub motor: MotorSetup,
    /// Machine and room.
    #[serde(default)]
    pub machine: MachineSetup,
}

impl Setup {
    /// The healthy set-up of a bench. Switching levels: single-ended teaching threshold 0.8 V or 1.0 V (common
    /// practice; here in the middle of the signal would be 1.2 V, so 1.0 V), differential hold level a fifth of the
    /// nominal amplitude (own value).
    pub fn healthy(bench: BenchId) -> Self {
        let machine = Self::machine_of(bench).spec();
        let scale = Self::scale_of(bench).spec();
        let coarse = bench == BenchId::TeachingRail;
        Self {
            bench,
            head: HeadSetup {
                gap_um: round_to(scale.gap_nominal_m * 1e6, 1e-3),
                wedge_um_per_m: 0.0,
                tilt_mrad: 0.0,
                yaw_mrad: 0.0,
                roll_mrad: 0.0,
                lateral_um: 0.0,
                sag_um: 0.0,
                vibration_um: 0.0,
                lamp_percent: 100.0,
                noise_factor: 1.0,
                sensors: Sensors::TwoSensors,
                output: HeadOutput::Sine,
            },
            lamp: LampSetup { control: LampControl::Fixed, age_kilohours: 0.0, temperature_c: 25.0 },
            cable: CableSetup {
                length_m: if coarse { 3.0 } else { 15.0 },
                // Thick enough that 4.75 V are left at the head (5 V less 5 %, common practice).
                supply_awg: 20.0,
                supply_v: 5.0,
                shield: ShieldBond::BothEnds,
                inverter_v: 0.0,
                hum_mv: 0.0,
            },
            input: InputSetup {
                threshold_mv: if coarse { 1000.0 } else { 0.0 },
                hysteresis_mv: if coarse { 100.0 } else { 60.0 },
                hold_mv: 100.0,
                interpolation: if coarse { 1.0 } else { 5.0 },
                counting: Counting::X4,
                filter_samples: 0.0,
            },
            servo: ServoSetup {
                kv_per_s: machine.control.kv,
                feed_forward_percent: round_to(machine.control.kff * 100.0, 1e-6),
                feedback: match machine.control.feedback {
                    FeedbackSource::Motor => Feedback::Motor,
                    FeedbackSource::Scale => Feedback::Scale,
                },
            },
            monitor: MonitorSetup {
                moving_band_mm: round_to(machine.following.moving_band * 1e3, 1e-6),
                standstill_band_mm: round_to(machine.following.still_band * 1e3, 1e-6),
                signal: SignalMonitor::Log,
                comparison: Comparison::Off,
            },
            housing: HousingSetup::healthy(bench),
            scale: ZeroSetup::default(),
            motor: MotorSetup {
                encoder: match machine.reference {
                    ReferenceScheme::Absolute => MotorEncoderKind::Multiturn,
                    _ => MotorEncoderKind::Incremental,
                },
            },
            machine: MachineSetup::default(),
        }
    }

    /// The machine of a bench.
    pub fn machine_of(bench: BenchId) -> MachineId {
        match bench {
            BenchId::TeachingRail => MachineId::TeachingRail,
            BenchId::RouterGantry => MachineId::RouterGantryX,
            BenchId::SmallMill => MachineId::MillX,
            BenchId::GantryLift => MachineId::RouterGantryZ,
            BenchId::MillHead => MachineId::MillZ,
            BenchId::RotaryTable => MachineId::RotaryTable,
        }
    }

    /// The scale of a bench.
    pub fn scale_of(bench: BenchId) -> ScaleId {
        match bench {
            BenchId::TeachingRail => ScaleId::Tape1000,
            BenchId::RouterGantry | BenchId::GantryLift => ScaleId::Tape40,
            // The ring is glass with the lines of the straight scale bent round.
            BenchId::SmallMill | BenchId::MillHead | BenchId::RotaryTable => ScaleId::Glass20,
        }
    }

    /// The machine of this bench.
    pub fn machine(&self) -> MachineId {
        Self::machine_of(self.bench)
    }

    /// Smallest and largest gap that the optics of this bench cover, um.
    pub fn gap_range_um(&self) -> (f64, f64) {
        let scale = self.scale().spec();
        (round_to(scale.gap_min_m * 1e6, 1e-3), round_to(scale.gap_max_m * 1e6, 1e-3))
    }

    /// The scale of this bench.
    pub fn scale(&self) -> ScaleId {
        Self::scale_of(self.bench)
    }
}

/// Rounds away the last bits of a unit conversion, so that 0.8 mm is shown and kept as 800 um.
fn round_to(value: f64, step: f64) -> f64 {
    let digits = 1.0 / step;
    libm::round(value * digits) / digits
}
