//! The one table of settings: stable name, meaning, unit, range, and how to read and write it.
//!
//! Files, links, column headings and tests use the name; code uses the enum. Number fields of the page are built
//! from the rows, so a new setting costs one field in [`crate::setup`] and one row here.

mod access;
mod fit;
mod on_bench;
mod rows;

pub use rows::ROWS;

use crate::numbers::{self, NumberError};
use crate::setup::Setup;

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
    /// `head.output`
    HeadOutput,
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
    /// `scale.housing`
    ScaleHousing,
    /// `scale.lips_percent`
    ScaleLips,
    /// `scale.purge_air`
    ScalePurgeAir,
    /// `monitor.signal`
    MonitorSignal,
    /// `scale.marks`
    ScaleMarks,
    /// `scale.reading`
    ScaleReading,
    /// `motor.encoder`
    MotorEncoder,
    /// `input.filter_samples`
    InputFilter,
    /// `monitor.comparison`
    MonitorComparison,
    /// `machine.load_kg`
    MachineLoad,
    /// `machine.ambient_c`
    MachineAmbient,
    /// `machine.counterbalance_n`
    MachineCounterbalance,
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
    /// A value that is right elsewhere and not on this bench.
    #[error("{name} = {value} does not fit this bench; {why}")]
    NotHere {
        /// The setting.
        name: &'static str,
        /// What was given.
        value: Value,
        /// Why, and what to do.
        why: &'static str,
    },
}

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
        self.check_on(setup, value)?;
        match value {
            Value::Number(n) => self.set_number(setup, *n),
            Value::Word(word) => self.set_word(setup, word),
        }
        Ok(())
    }
}

/// Checks every setting of a set-up that came from outside as a whole.
///
/// # Errors
/// The first setting that is out of its range.
pub fn check_all(setup: &Setup) -> Result<(), SettingError> {
    ROWS.iter().try_for_each(|row| row.setting.check_on(setup, &row.setting.get(setup)))
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
            format!("there are {}", listed(name, offer))
        }
    }
}

/// Longest list that a message carries, characters: more would bury what it says.
const LONGEST_LIST: usize = 200;

/// The words in their order, or where they are too many the ones most like `name`, and how many more there are.
fn listed(name: &str, mut words: Vec<&str>) -> String {
    let whole = words.join(", ");
    if whole.len() <= LONGEST_LIST {
        return whole;
    }
    words.sort_by_key(|word| (edit_distance(name, word), *word));
    let mut some = String::new();
    let mut told = 0;
    for word in &words {
        if some.len() + word.len() > LONGEST_LIST / 2 {
            break;
        }
        some.push_str(word);
        some.push_str(", ");
        told += 1;
    }
    format!("{some}and {} more", words.len() - told)
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
    fn a_long_list_of_names_is_cut_to_the_likeliest() {
        let names: Vec<String> = (0..40).map(|i| format!("fault-number-{i}")).collect();
        let hint = nearest_hint("rust", names.iter().map(String::as_str));
        assert!(hint.len() < 160 && hint.ends_with(" more"), "{hint}");
        let shown = hint.matches("fault-number").count();
        assert!(hint.ends_with(&format!("and {} more", 40 - shown)), "{hint}");
    }

    #[test]
    fn every_row_stands_at_its_setting_and_can_be_read_and_written() {
        for (index, row) in ROWS.iter().enumerate() {
            assert_eq!(row.setting as usize, index, "{}", row.name);
            assert_eq!(Setting::by_name(row.name), Ok(row.setting));
            for bench in BenchId::ALL {
                let mut setup = Setup::healthy(bench);
                let healthy = row.setting.get(&setup);
                row.setting.check(&healthy).unwrap();
                let other = match row.setting.kind_on(&setup) {
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
        let square = Value::Word("square".into());
        assert_eq!(Setting::HeadOutput.set(&mut setup, &square), Ok(()));
        let mut rail = Setup::healthy(BenchId::TeachingRail);
        let refused = text(Setting::HeadOutput.set(&mut rail, &square));
        assert!(refused.starts_with("head.output = \"square\" does not fit this bench; its simple"), "{refused}");
        rail.head.output = crate::setup::HeadOutput::Square;
        assert!(check_all(&rail).is_err() && check_all(&setup).is_ok());
        let unknown = Setting::by_name("head.gap_mm").unwrap_err().to_string();
        assert_eq!(unknown, "there is no setting \"head.gap_mm\"; did you mean \"head.gap_um\"?");
        assert!(Setting::by_name("head.height").unwrap_err().to_string().contains("head.gap_um, head.wedge_um_per_m"));
    }
}
