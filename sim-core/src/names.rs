//! The one table of settings: stable name, meaning, unit, range, and how to read and write it.
//!
//! Files, links, column headings and tests use the name; code uses the enum. Number fields of the page are built
//! from the rows, so a new setting costs one field in [`crate::setup`] and one row here.

use crate::numbers::{self, NumberError};
use crate::setup::{Counting, Feedback, LampControl, Sensors, Setup, ShieldBond};

/// A setting of the bench.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Setting {
    /// `head.gap_um`
    HeadGap,
    /// `head.wedge_um_per_m`
    HeadWedge,
    /// `head.tilt_mrad`
    HeadTilt,
    /// `head.yaw_mrad`
    HeadYaw,
    /// `head.lamp_percent`
    HeadLamp,
    /// `head.noise_factor`
    HeadNoise,
    /// `head.sensors`
    HeadSensors,
    /// `head.roll_mrad`
    HeadRoll,
    /// `head.lateral_um`
    HeadLateral,
    /// `head.sag_um`
    HeadSag,
    /// `head.vibration_um`
    HeadVibration,
    /// `lamp.control`
    LampControl,
    /// `lamp.age_kilohours`
    LampAge,
    /// `lamp.temperature_c`
    LampTemperature,
    /// `cable.length_m`
    CableLength,
    /// `cable.supply_awg`
    CableSupplyGauge,
    /// `cable.supply_v`
    CableSupply,
    /// `cable.shield`
    CableShield,
    /// `cable.inverter_v`
    CableInverter,
    /// `cable.hum_mv`
    CableHum,
    /// `input.threshold_mv`
    InputThreshold,
    /// `input.hysteresis_mv`
    InputHysteresis,
    /// `input.hold_mv`
    InputHold,
    /// `input.interpolation`
    InputInterpolation,
    /// `input.counting`
    InputCounting,
    /// `servo.kv_per_s`
    ServoKv,
    /// `servo.feed_forward_percent`
    ServoFeedForward,
    /// `servo.feedback`
    ServoFeedback,
    /// `monitor.moving_band_mm`
    MonitorMovingBand,
    /// `monitor.standstill_band_mm`
    MonitorStandstillBand,
}

/// What a setting may be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Kind {
    /// A number from `low` to `high`; `step` is the smallest sensible change.
    Number {
        /// Smallest allowed.
        low: f64,
        /// Largest allowed.
        high: f64,
        /// Step of the arrow keys.
        step: f64,
        /// Whole numbers only.
        whole: bool,
    },
    /// One of these words.
    Words(&'static [&'static str]),
}

/// One row of the table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Row {
    /// Which setting.
    pub setting: Setting,
    /// Stable name `group.key`.
    pub name: &'static str,
    /// What it is, for people.
    pub label: &'static str,
    /// Unit of the number, empty for words and plain numbers.
    pub unit: &'static str,
    /// What it may be.
    pub kind: Kind,
}

/// A value of a setting.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// A number in the unit of the row.
    Number(f64),
    /// A word of the row.
    Word(String),
}

impl std::fmt::Display for Value {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Value::Number(n) => write!(f, "{n}"),
            Value::Word(w) => write!(f, "\"{w}\""),
        }
    }
}

/// Why a setting was refused; every text says what, which value and what is allowed.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum SettingError {
    /// No such name.
    #[error("there is no setting \"{name}\"; {hint}")]
    Unknown {
        /// What was asked for.
        name: String,
        /// The nearest name, or the names of the group.
        hint: String,
    },
    /// A word where a number belongs.
    #[error(
        "{name} takes a number{unit}, not the text \"{word}\"; write the bare number (the unit is part of the name)"
    )]
    NotANumber {
        /// The setting.
        name: &'static str,
        /// Its unit, with " of " before it.
        unit: String,
        /// What was given.
        word: String,
    },
    /// A number where a word belongs, or a word that is not in the list.
    #[error("{name} = {value} is not one of its words; write {allowed}")]
    NotAWord {
        /// The setting.
        name: &'static str,
        /// What was given.
        value: Value,
        /// The words, quoted.
        allowed: String,
    },
    /// Not finite or outside the range.
    #[error("{name}: {error}{unit}")]
    Number {
        /// The setting.
        name: &'static str,
        /// Why.
        error: NumberError,
        /// The unit, with a space before it.
        unit: String,
    },
    /// A fraction where only whole numbers make sense.
    #[error("{name} = {value} must be a whole number")]
    NotWhole {
        /// The setting.
        name: &'static str,
        /// What was given.
        value: f64,
    },
}

const fn number(low: f64, high: f64, step: f64) -> Kind {
    Kind::Number { low, high, step, whole: false }
}

const fn row(setting: Setting, name: &'static str, label: &'static str, unit: &'static str, kind: Kind) -> Row {
    Row { setting, name, label, unit, kind }
}

/// All settings, in the order of the enum.
pub const ROWS: [Row; 30] = [
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
    row(Setting::InputCounting, "input.counting", "Counting", "", Kind::Words(&["x1", "x2", "x4"])),
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
];

impl Setting {
    /// Its row.
    pub fn row(self) -> &'static Row {
        &ROWS[self as usize]
    }

    /// The setting of a stable name.
    ///
    /// # Errors
    /// When there is none; the error offers the nearest.
    pub fn by_name(name: &str) -> Result<Setting, SettingError> {
        ROWS.iter().find(|row| row.name == name).map(|row| row.setting).ok_or_else(|| SettingError::Unknown {
            name: name.to_owned(),
            hint: nearest_hint(name, ROWS.iter().map(|row| row.name)),
        })
    }

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
            Setting::InputCounting => {
                return word(match setup.input.counting {
                    Counting::X1 => "x1",
                    Counting::X2 => "x2",
                    Counting::X4 => "x4",
                });
            }
            Setting::ServoFeedback => {
                return word(match setup.servo.feedback {
                    Feedback::Motor => "motor",
                    Feedback::Scale => "scale",
                });
            }
        })
    }

    /// Its number in a set-up; `None` for a setting of words.
    pub fn number(self, setup: &Setup) -> Option<f64> {
        match self.get(setup) {
            Value::Number(n) => Some(n),
            Value::Word(_) => None,
        }
    }

    /// Checks a value against the row.
    ///
    /// # Errors
    /// See [`SettingError`].
    pub fn check(self, value: &Value) -> Result<(), SettingError> {
        let row = self.row();
        match (&row.kind, value) {
            (Kind::Number { low, high, whole, .. }, Value::Number(n)) => {
                numbers::check(*n, *low, *high).map_err(|error| SettingError::Number {
                    name: row.name,
                    unit: if matches!(error, NumberError::OutOfRange { .. }) {
                        spaced(row.unit)
                    } else {
                        String::new()
                    },
                    error,
                })?;
                if *whole && libm::floor(*n) != *n {
                    return Err(SettingError::NotWhole { name: row.name, value: *n });
                }
                Ok(())
            }
            (Kind::Number { .. }, Value::Word(word)) => Err(SettingError::NotANumber {
                name: row.name,
                unit: if row.unit.is_empty() { String::new() } else { format!(" of {}", row.unit) },
                word: word.clone(),
            }),
            (Kind::Words(words), Value::Word(word)) if words.contains(&word.as_str()) => Ok(()),
            (Kind::Words(words), _) => Err(SettingError::NotAWord {
                name: row.name,
                value: value.clone(),
                allowed: words.iter().map(|w| format!("\"{w}\"")).collect::<Vec<_>>().join(" or "),
            }),
        }
    }

    /// Writes a value into a set-up.
    ///
    /// # Errors
    /// See [`SettingError`]; the set-up is then unchanged.
    pub fn set(self, setup: &mut Setup, value: &Value) -> Result<(), SettingError> {
        self.check(value)?;
        match value {
            Value::Number(n) => self.set_number(setup, *n),
            Value::Word(word) => self.set_word(setup, word),
        }
        Ok(())
    }

    fn set_number(self, setup: &mut Setup, n: f64) {
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
            Setting::ServoKv => &mut setup.servo.kv_per_s,
            Setting::ServoFeedForward => &mut setup.servo.feed_forward_percent,
            Setting::MonitorMovingBand => &mut setup.monitor.moving_band_mm,
            Setting::MonitorStandstillBand => &mut setup.monitor.standstill_band_mm,
            Setting::HeadSensors
            | Setting::LampControl
            | Setting::CableShield
            | Setting::InputCounting
            | Setting::ServoFeedback => return,
        };
        *place = n;
    }

    fn set_word(self, setup: &mut Setup, word: &str) {
        match (self, word) {
            (Setting::HeadSensors, "one-sensor") => setup.head.sensors = Sensors::OneSensor,
            (Setting::HeadSensors, _) => setup.head.sensors = Sensors::TwoSensors,
            (Setting::LampControl, "regulated") => setup.lamp.control = LampControl::Regulated,
            (Setting::LampControl, _) => setup.lamp.control = LampControl::Fixed,
            (Setting::CableShield, "open") => setup.cable.shield = ShieldBond::Open,
            (Setting::CableShield, "one-end") => setup.cable.shield = ShieldBond::OneEnd,
            (Setting::CableShield, _) => setup.cable.shield = ShieldBond::BothEnds,
            (Setting::InputCounting, "x1") => setup.input.counting = Counting::X1,
            (Setting::InputCounting, "x2") => setup.input.counting = Counting::X2,
            (Setting::InputCounting, _) => setup.input.counting = Counting::X4,
            (Setting::ServoFeedback, "motor") => setup.servo.feedback = Feedback::Motor,
            (Setting::ServoFeedback, _) => setup.servo.feedback = Feedback::Scale,
            _ => {}
        }
    }
}

/// Checks every setting of a set-up that came from outside as a whole.
///
/// # Errors
/// The first setting that is out of its range.
pub fn check_all(setup: &Setup) -> Result<(), SettingError> {
    ROWS.iter().try_for_each(|row| row.setting.check(&row.setting.get(setup)))
}

fn spaced(unit: &str) -> String {
    if unit.is_empty() { String::new() } else { format!(" {unit}") }
}

/// "did you mean ..." for a mistyped name: the nearest by edit distance, or all names of its group.
pub fn nearest_hint<'a>(name: &str, names: impl Iterator<Item = &'a str> + Clone) -> String {
    let begun = names.clone().find(|n| name.len() >= 3 && n.starts_with(name));
    let nearest = names.clone().map(|n| (edit_distance(name, n), n)).min();
    // Three letters of a long name or half of a short one: further off it would be a guess.
    let near = nearest.filter(|(distance, _)| *distance <= 3 && 2 * distance <= name.chars().count());
    match begun.or(near.map(|(_, n)| n)) {
        Some(near) => format!("did you mean \"{near}\"?"),
        None => {
            let group = name.split('.').next().unwrap_or_default();
            let in_group: Vec<&str> =
                names.clone().filter(|n| n.split('.').next() == Some(group) && n.contains('.')).collect();
            let offer = if in_group.is_empty() { names.collect() } else { in_group };
            if let [only] = offer.as_slice() {
                return format!("there is only {only}");
            }
            format!("there are {}", offer.join(", "))
        }
    }
}

fn edit_distance(a: &str, b: &str) -> usize {
    let b: Vec<char> = b.chars().collect();
    let mut last: Vec<usize> = (0..=b.len()).collect();
    for (i, ca) in a.chars().take(64).enumerate() {
        let mut diagonal = last[0];
        last[0] = i + 1;
        for (j, cb) in b.iter().enumerate() {
            let change = diagonal + usize::from(ca != *cb);
            diagonal = last[j + 1];
            last[j + 1] = change.min(last[j] + 1).min(diagonal + 1);
        }
    }
    last[b.len()]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::setup::BenchId;

    #[test]
    fn every_row_stands_at_its_setting_and_can_be_read_and_written() {
        for (index, row) in ROWS.iter().enumerate() {
            assert_eq!(row.setting as usize, index, "{}", row.name);
            assert_eq!(Setting::by_name(row.name), Ok(row.setting));
            for bench in BenchId::ALL {
                let mut setup = Setup::healthy(bench);
                let healthy = row.setting.get(&setup);
                row.setting.check(&healthy).unwrap();
                let other = match row.kind {
                    Kind::Number { low, high, whole, .. } => {
                        Value::Number(if whole { high } else { (low + high) / 2.0 })
                    }
                    Kind::Words(words) => Value::Word(words[0].to_owned()),
                };
                row.setting.set(&mut setup, &other).unwrap();
                assert_eq!(row.setting.get(&setup), other);
            }
        }
    }

    #[test]
    fn refusals_say_what_and_what_is_allowed() {
        let mut setup = Setup::healthy(BenchId::RouterGantry);
        let text = |r: Result<(), SettingError>| r.unwrap_err().to_string();
        assert_eq!(
            text(Setting::HeadGap.set(&mut setup, &Value::Number(9000.0))),
            "head.gap_um: 9000 is outside the allowed range 0 to 4000 um"
        );
        assert!(text(Setting::HeadGap.set(&mut setup, &Value::Word("0.8 mm".into()))).contains("a number of um"));
        assert!(text(Setting::InputCounting.set(&mut setup, &Value::Word("x3".into()))).contains("\"x1\" or \"x2\""));
        assert!(text(Setting::InputInterpolation.set(&mut setup, &Value::Number(2.5))).contains("whole number"));
        let unknown = Setting::by_name("head.gap_mm").unwrap_err().to_string();
        assert_eq!(unknown, "there is no setting \"head.gap_mm\"; did you mean \"head.gap_um\"?");
        assert!(Setting::by_name("head.height").unwrap_err().to_string().contains("head.gap_um, head.wedge_um_per_m"));
    }
}
