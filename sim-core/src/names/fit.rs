//! Values that are right in themselves and cannot be had on every bench.

use super::{Setting, SettingError, Value};
use crate::scale::OutputKind;
use crate::setup::Setup;

impl Setting {
    /// Whether a value, right in itself, can be had on the bench of a set-up.
    ///
    /// # Errors
    /// [`SettingError::NotHere`].
    pub fn fits(self, setup: &Setup, value: &Value) -> Result<(), SettingError> {
        let single_ended = matches!(setup.scale().spec().output, OutputKind::SingleEnded { .. });
        let machine = setup.machine().spec();
        let not_here = |why| Err(SettingError::NotHere { name: self.row().name, value: value.clone(), why });
        match value {
            Value::Word(word) if machine.endless && self == Setting::ScaleMarks && word != "single" => {
                not_here("its ring has one mark; write \"single\", or take a bench with a straight scale")
            }
            Value::Word(word) if machine.endless && self == Setting::ScaleReading && word == "absolute" => {
                not_here("its ring has no code track; write \"incremental\", or take a bench with a straight scale")
            }
            Value::Word(word) if self == Setting::HeadOutput && word == "square" && single_ended => {
                let why = "its simple sensors send one wire per channel; write \"sine\", or take a bench with a \
                           differential head";
                Err(SettingError::NotHere { name: self.row().name, value: value.clone(), why })
            }
            _ => Ok(()),
        }
    }
}
