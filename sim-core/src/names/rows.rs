//! The rows: every setting with its name, meaning, unit and range.

use super::{Kind, Row, Setting};

const fn number(low: f64, high: f64, step: f64) -> Kind {
    Kind::Number { low, high, step, whole: false }
}

const fn row(setting: Setting, name: &'static str, label: &'static str, unit: &'static str, kind: Kind) -> Row {
    Row { setting, name, label, unit, kind }
}

/// All settings, in the order of the enum.
pub const ROWS: [Row; 43] = [
    row(Setting::HeadGap, "head.gap_um", "Gap at machine zero", "um", number(0.0, 4000.0, 10.0)),
    row(Setting::HeadWedge, "head.wedge_um_per_m", "Gap growth along the travel", "um/m", number(-500.0, 6000.0, 10.0)),
    row(Setting::HeadTilt, "head.tilt_mrad", "Tilt", "mrad", number(-200.0, 200.0, 1.0)),
    row(Setting::HeadYaw, "head.yaw_mrad", "Yaw", "mrad", number(-200.0, 200.0, 0.1)),
    row(Setting::HeadLamp, "head.lamp_percent", "Lamp brightness", "%", number(0.0, 150.0, 1.0)),
    row(Setting::HeadNoise, "head.noise_factor", "Electrical noise", "", number(0.0, 1000.0, 1.0)),
    row(Setting::HeadSensors, "head.sensors", "Sensors", "", Kind::Words(&["one-sensor", "two-sensors"])),
    row(Setting::HeadRoll, "head.roll_mrad", "Roll", "mrad", number(-200.0, 200.0, 1.0)),
    row(Setting::HeadLateral, "head.lateral_um", "Offset across the track", "um", number(-5000.0, 5000.0, 50.0)),
    row(Setting::HeadSag, "head.sag_um", "Sag in the middle of the travel", "um", number(-1500.0, 1500.0, 10.0)),
    row(Setting::HeadVibration, "head.vibration_um", "Vibration of the gap", "um", number(0.0, 500.0, 1.0)),
    row(Setting::HeadOutput, "head.output", "Head sends", "", Kind::Words(&["sine", "square"])),
    row(Setting::LampControl, "lamp.control", "Lamp drive", "", Kind::Words(&["fixed", "regulated"])),
    row(Setting::LampAge, "lamp.age_kilohours", "Lamp age", "kh", number(0.0, 500.0, 1.0)),
    row(Setting::LampTemperature, "lamp.temperature_c", "Lamp temperature", "\u{b0}C", number(-30.0, 110.0, 1.0)),
    row(Setting::CableLength, "cable.length_m", "Cable length", "m", number(0.5, 100.0, 0.5)),
    row(
        Setting::CableSupplyGauge,
        "cable.supply_awg",
        "Supply conductor, AWG",
        "",
        Kind::Number { low: 16.0, high: 32.0, step: 1.0, whole: true },
    ),
    row(Setting::CableSupply, "cable.supply_v", "Supply at the control", "V", number(0.0, 6.0, 0.05)),
    row(Setting::CableShield, "cable.shield", "Screen bonded at", "", Kind::Words(&["both-ends", "one-end", "open"])),
    row(Setting::CableInverter, "cable.inverter_v", "Inverter bursts next to it", "V", number(0.0, 100.0, 1.0)),
    row(Setting::CableHum, "cable.hum_mv", "Mains hum", "mV", number(0.0, 5000.0, 10.0)),
    row(Setting::InputThreshold, "input.threshold_mv", "Switching threshold", "mV", number(-2000.0, 5000.0, 10.0)),
    row(Setting::InputHysteresis, "input.hysteresis_mv", "Hysteresis", "mV", number(1.0, 2000.0, 5.0)),
    row(Setting::InputHold, "input.hold_mv", "Least signal", "mV", number(0.0, 1000.0, 5.0)),
    row(
        Setting::InputInterpolation,
        "input.interpolation",
        "Interpolation",
        "",
        Kind::Number { low: 1.0, high: 100.0, step: 1.0, whole: true },
    ),
    row(Setting::InputCounting, "input.counting", "Counting", "", Kind::Words(&["x1", "x2", "x4", "x1-naive"])),
    row(Setting::ServoKv, "servo.kv_per_s", "Position gain", "1/s", number(1.0, 200.0, 0.5)),
    row(Setting::ServoFeedForward, "servo.feed_forward_percent", "Velocity feed-forward", "%", number(0.0, 100.0, 1.0)),
    row(Setting::ServoFeedback, "servo.feedback", "Position from", "", Kind::Words(&["motor", "scale"])),
    row(
        Setting::MonitorMovingBand,
        "monitor.moving_band_mm",
        "Following error allowed while moving",
        "mm",
        number(0.01, 100.0, 0.1),
    ),
    row(
        Setting::MonitorStandstillBand,
        "monitor.standstill_band_mm",
        "Following error allowed at standstill",
        "mm",
        number(0.01, 100.0, 0.1),
    ),
    row(Setting::ScaleHousing, "scale.housing", "Scale", "", Kind::Words(&["open", "enclosed"])),
    row(Setting::ScaleLips, "scale.lips_percent", "Condition of the housing's lips", "%", number(0.0, 100.0, 1.0)),
    row(Setting::ScalePurgeAir, "scale.purge_air", "Purge air of the housing", "", Kind::Words(&["on", "off"])),
    row(Setting::MonitorSignal, "monitor.signal", "Loss of signal", "", Kind::Words(&["off", "log", "trip"])),
    row(
        Setting::ScaleMarks,
        "scale.marks",
        "Reference marks",
        "",
        Kind::Words(&["single", "periodic", "distance-coded"]),
    ),
    row(Setting::ScaleReading, "scale.reading", "Scale reading", "", Kind::Words(&["incremental", "absolute"])),
    row(Setting::MotorEncoder, "motor.encoder", "Motor encoder", "", Kind::Words(&["incremental", "multiturn"])),
    row(
        Setting::InputFilter,
        "input.filter_samples",
        "Input filter, equal samples",
        "",
        Kind::Number { low: 0.0, high: 255.0, step: 1.0, whole: true },
    ),
    row(Setting::MonitorComparison, "monitor.comparison", "Scale and motor compared", "", Kind::Words(&["off", "on"])),
    row(Setting::MachineLoad, "machine.load_kg", "Load on the table", "kg", number(0.0, 50.0, 5.0)),
    row(Setting::MachineAmbient, "machine.ambient_c", "Temperature of the room", "\u{b0}C", number(5.0, 45.0, 1.0)),
    row(
        Setting::MachineCounterbalance,
        "machine.counterbalance_n",
        "Counterbalance of a hanging axis",
        "N",
        number(0.0, 600.0, 10.0),
    ),
];
