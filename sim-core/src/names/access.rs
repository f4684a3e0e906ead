//! Reading and writing a setting in a set-up.

use super::{Setting, Value};
use crate::monitor::signal::SignalMonitor;
use crate::setup::{
    Comparison, Counting, Enclosure, Feedback, HeadOutput, LampControl, Marks, MotorEncoderKind, Reading, Sensors,
    Setup, ShieldBond,
};

impl Setting {
    /// Its value in a set-up.
    pub fn get(self, setup: &Setup) -> Value {
        let word = |w: &str| Value::Word(w.to_owned());
        Value::Number(match self {
            Setting::HeadGap => setup.head.gap_um,
            Setting::HeadWedge => setup.head.wedge_um_per_m,
            Setting::HeadTilt => setup.head.tilt_mrad,
            Setting::HeadYaw => setup.head.yaw_mrad,
            Setting::HeadLamp => setup.head.lamp_percent,
            Setting::HeadNoise => setup.head.noise_factor,
            Setting::HeadRoll => setup.head.roll_mrad,
            Setting::HeadLateral => setup.head.lateral_um,
            Setting::HeadSag => setup.head.sag_um,
            Setting::HeadVibration => setup.head.vibration_um,
            Setting::LampAge => setup.lamp.age_kilohours,
            Setting::LampTemperature => setup.lamp.temperature_c,
            Setting::CableLength => setup.cable.length_m,
            Setting::CableSupplyGauge => setup.cable.supply_awg,
            Setting::CableSupply => setup.cable.supply_v,
            Setting::CableInverter => setup.cable.inverter_v,
            Setting::CableHum => setup.cable.hum_mv,
            Setting::LampControl => {
                return word(match setup.lamp.control {
                    LampControl::Fixed => "fixed",
                    LampControl::Regulated => "regulated",
                });
            }
            Setting::CableShield => {
                return word(match setup.cable.shield {
                    ShieldBond::BothEnds => "both-ends",
                    ShieldBond::OneEnd => "one-end",
                    ShieldBond::Open => "open",
                });
            }
            Setting::InputThreshold => setup.input.threshold_mv,
            Setting::InputHysteresis => setup.input.hysteresis_mv,
            Setting::InputHold => setup.input.hold_mv,
            Setting::InputInterpolation => setup.input.interpolation,
            Setting::InputFilter => setup.input.filter_samples,
            Setting::MonitorComparison => {
                return word(match setup.monitor.comparison {
                    Comparison::Off => "off",
                    Comparison::On => "on",
                });
            }
            Setting::ServoKv => setup.servo.kv_per_s,
            Setting::ServoFeedForward => setup.servo.feed_forward_percent,
            Setting::MonitorMovingBand => setup.monitor.moving_band_mm,
            Setting::MonitorStandstillBand => setup.monitor.standstill_band_mm,
            Setting::HeadSensors => {
                return word(match setup.head.sensors {
                    Sensors::OneSensor => "one-sensor",
                    Sensors::TwoSensors => "two-sensors",
                });
            }
            Setting::HeadOutput => {
                return word(match setup.head.output {
                    HeadOutput::Sine => "sine",
                    HeadOutput::Square => "square",
                });
            }
            Setting::MonitorSignal => {
                return word(match setup.monitor.signal {
                    SignalMonitor::Off => "off",
                    SignalMonitor::Log => "log",
                    SignalMonitor::Trip => "trip",
                });
            }
            Setting::InputCounting => {
                return word(match setup.input.counting {
                    Counting::X1 => "x1",
                    Counting::X2 => "x2",
                    Counting::X4 => "x4",
                    Counting::X1Naive => "x1-naive",
                });
            }
            Setting::ServoFeedback => {
                return word(match setup.servo.feedback {
                    Feedback::Motor => "motor",
                    Feedback::Scale => "scale",
                });
            }
            Setting::ScaleHousing => {
                return word(match setup.housing.enclosure {
                    Enclosure::Open => "open",
                    Enclosure::Enclosed => "enclosed",
                });
            }
            Setting::ScaleLips => setup.housing.lips_percent,
            Setting::MachineLoad => setup.machine.load_kg,
            Setting::MachineAmbient => setup.machine.ambient_c,
            Setting::MachineCounterbalance => setup.machine.counterbalance_n,
            Setting::ScalePurgeAir => return word(if setup.housing.purge_air { "on" } else { "off" }),
            Setting::ScaleMarks => {
                return word(match setup.scale.marks {
                    Marks::Single => "single",
                    Marks::Periodic => "periodic",
                    Marks::DistanceCoded => "distance-coded",
                });
            }
            Setting::ScaleReading => {
                return word(match setup.scale.reading {
                    Reading::Incremental => "incremental",
                    Reading::Absolute => "absolute",
                });
            }
            Setting::MotorEncoder => {
                return word(match setup.motor.encoder {
                    MotorEncoderKind::Incremental => "incremental",
                    MotorEncoderKind::Multiturn => "multiturn",
                });
            }
        })
    }

    pub(super) fn set_number(self, setup: &mut Setup, n: f64) {
        let place = match self {
            Setting::HeadGap => &mut setup.head.gap_um,
            Setting::HeadWedge => &mut setup.head.wedge_um_per_m,
            Setting::HeadTilt => &mut setup.head.tilt_mrad,
            Setting::HeadYaw => &mut setup.head.yaw_mrad,
            Setting::HeadLamp => &mut setup.head.lamp_percent,
            Setting::HeadNoise => &mut setup.head.noise_factor,
            Setting::HeadRoll => &mut setup.head.roll_mrad,
            Setting::HeadLateral => &mut setup.head.lateral_um,
            Setting::HeadSag => &mut setup.head.sag_um,
            Setting::HeadVibration => &mut setup.head.vibration_um,
            Setting::LampAge => &mut setup.lamp.age_kilohours,
            Setting::LampTemperature => &mut setup.lamp.temperature_c,
            Setting::CableLength => &mut setup.cable.length_m,
            Setting::CableSupplyGauge => &mut setup.cable.supply_awg,
            Setting::CableSupply => &mut setup.cable.supply_v,
            Setting::CableInverter => &mut setup.cable.inverter_v,
            Setting::CableHum => &mut setup.cable.hum_mv,
            Setting::InputThreshold => &mut setup.input.threshold_mv,
            Setting::InputHysteresis => &mut setup.input.hysteresis_mv,
            Setting::InputHold => &mut setup.input.hold_mv,
            Setting::InputInterpolation => &mut setup.input.interpolation,
            Setting::InputFilter => &mut setup.input.filter_samples,
            Setting::ServoKv => &mut setup.servo.kv_per_s,
            Setting::ServoFeedForward => &mut setup.servo.feed_forward_percent,
            Setting::MonitorMovingBand => &mut setup.monitor.moving_band_mm,
            Setting::MonitorStandstillBand => &mut setup.monitor.standstill_band_mm,
            Setting::ScaleLips => &mut setup.housing.lips_percent,
            Setting::MachineLoad => &mut setup.machine.load_kg,
            Setting::MachineAmbient => &mut setup.machine.ambient_c,
            Setting::MachineCounterbalance => &mut setup.machine.counterbalance_n,
            Setting::HeadSensors
            | Setting::ScaleHousing
            | Setting::ScalePurgeAir
            | Setting::HeadOutput
            | Setting::MonitorSignal
            | Setting::LampControl
            | Setting::CableShield
            | Setting::InputCounting
            | Setting::ServoFeedback
            | Setting::ScaleMarks
            | Setting::ScaleReading
            | Setting::MotorEncoder
            | Setting::MonitorComparison => return,
        };
        *place = n;
    }

    pub(super) fn set_word(self, setup: &mut Setup, word: &str) {
        match (self, word) {
            (Setting::HeadSensors, "one-sensor") => setup.head.sensors = Sensors::OneSensor,
            (Setting::HeadSensors, _) => setup.head.sensors = Sensors::TwoSensors,
            (Setting::HeadOutput, "square") => setup.head.output = HeadOutput::Square,
            (Setting::HeadOutput, _) => setup.head.output = HeadOutput::Sine,
            (Setting::MonitorSignal, "off") => setup.monitor.signal = SignalMonitor::Off,
            (Setting::MonitorSignal, "trip") => setup.monitor.signal = SignalMonitor::Trip,
            (Setting::MonitorSignal, _) => setup.monitor.signal = SignalMonitor::Log,
            (Setting::LampControl, "regulated") => setup.lamp.control = LampControl::Regulated,
            (Setting::LampControl, _) => setup.lamp.control = LampControl::Fixed,
            (Setting::CableShield, "open") => setup.cable.shield = ShieldBond::Open,
            (Setting::CableShield, "one-end") => setup.cable.shield = ShieldBond::OneEnd,
            (Setting::CableShield, _) => setup.cable.shield = ShieldBond::BothEnds,
            (Setting::InputCounting, "x1") => setup.input.counting = Counting::X1,
            (Setting::InputCounting, "x1-naive") => setup.input.counting = Counting::X1Naive,
            (Setting::InputCounting, "x2") => setup.input.counting = Counting::X2,
            (Setting::InputCounting, _) => setup.input.counting = Counting::X4,
            (Setting::ServoFeedback, "motor") => setup.servo.feedback = Feedback::Motor,
            (Setting::ServoFeedback, _) => setup.servo.feedback = Feedback::Scale,
            (Setting::ScaleHousing, "enclosed") => setup.housing.enclosure = Enclosure::Enclosed,
            (Setting::ScaleHousing, _) => setup.housing.enclosure = Enclosure::Open,
            (Setting::ScalePurgeAir, word) => setup.housing.purge_air = word == "on",
            (Setting::ScaleMarks, "periodic") => setup.scale.marks = Marks::Periodic,
            (Setting::ScaleMarks, "distance-coded") => setup.scale.marks = Marks::DistanceCoded,
            (Setting::ScaleMarks, _) => setup.scale.marks = Marks::Single,
            (Setting::ScaleReading, "absolute") => setup.scale.reading = Reading::Absolute,
            (Setting::ScaleReading, _) => setup.scale.reading = Reading::Incremental,
            (Setting::MotorEncoder, "multiturn") => setup.motor.encoder = MotorEncoderKind::Multiturn,
            (Setting::MonitorComparison, "on") => setup.monitor.comparison = Comparison::On,
            (Setting::MonitorComparison, _) => setup.monitor.comparison = Comparison::Off,
            (Setting::MotorEncoder, _) => setup.motor.encoder = MotorEncoderKind::Incremental,
            _ => {}
        }
    }
}
